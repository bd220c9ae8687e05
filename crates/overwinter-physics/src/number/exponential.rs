//! An exponential that the compiler can turn into vector instructions.
//!
//! Saturation takes one for every face that water may settle on; the library's costs twice as much
//! and calls the platform, whose last digit differs from one to the next.

/// Inputs outside this range are taken at its ends.
const LOWEST: f64 = -708.0;
const HIGHEST: f64 = 709.0;

/// Added to a number below 2^51, it leaves the nearest whole number in the last bits.
const ROUNDER: f64 = 6_755_399_441_055_744.0;

/// ln 2 in two parts; the first has so few digits that its product with a whole number is exact.
const LN_2_HIGH: f64 = 0.693_147_180_369_123_8;
const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;

/// e to the power of a number, within 2e-14 of its size; below -708 and above 709 that of the end.
///
/// `2^n e^r` with `r` at most half of ln 2 in size, and the power series of `e^r` up to its eleventh
/// power (the twelfth is 6e-15).
#[inline(always)]
pub(super) fn exponential(value: f64) -> f64 {
    let value = if value < LOWEST { LOWEST } else { value };
    let value = if value > HIGHEST { HIGHEST } else { value };
    let rounded = value * std::f64::consts::LOG2_E + ROUNDER;
    let whole = rounded - ROUNDER;
    let rest = value - whole * LN_2_HIGH - whole * LN_2_LOW;
    let power_of_two = f64::from_bits((rounded.to_bits() << 52).wrapping_add(1023 << 52));
    series(rest) * power_of_two
}

#[inline(always)]
fn series(x: f64) -> f64 {
    let squared = x * x;
    let fourth = squared * squared;
    let low = (1.0 + x) + squared * (1.0 / 2.0 + x * (1.0 / 6.0));
    let middle = (1.0 / 24.0 + x * (1.0 / 120.0)) + squared * (1.0 / 720.0 + x * (1.0 / 5_040.0));
    let high = (1.0 / 40_320.0 + x * (1.0 / 362_880.0))
        + squared * (1.0 / 3_628_800.0 + x * (1.0 / 39_916_800.0));
    low + fourth * middle + fourth * fourth * high
}

#[cfg(test)]
mod tests {
    use super::exponential;
    use proptest::prelude::*;

    #[test]
    #[expect(clippy::float_cmp, reason = "the power zero is exact")]
    fn ends_of_the_range() {
        assert_eq!(exponential(0.0), 1.0);
        assert!(exponential(f64::NAN).is_nan());
        assert!(exponential(f64::NEG_INFINITY) < 1e-300);
        assert!(exponential(f64::INFINITY) > 1e300);
        assert!((exponential(1.0) / std::f64::consts::E - 1.0).abs() < 2e-14);
    }

    proptest! {
        #[test]
        fn it_is_the_exponential_of_the_library(value in -707.0..708.0_f64) {
            prop_assert!((exponential(value) / value.exp() - 1.0).abs() < 2e-14);
        }

        #[test]
        fn it_rises(value in -50.0..50.0_f64) {
            prop_assert!(exponential(value + 1e-10) > exponential(value));
        }
    }
}

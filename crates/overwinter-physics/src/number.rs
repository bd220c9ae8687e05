//! The number every formula of this crate is written over.
//!
//! A formula that the season loop calls is generic over [`Real`]: with `f64` it answers for one
//! case, with [`Lanes`] for several cases side by side, and the source is the same. Comparison
//! gives a [`Real::Mask`], and a branch is a [`Real::select`] between two computed values, since
//! lanes may disagree about which way to go.

mod cube_root;
mod exponential;

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use cube_root::cube_root;
use exponential::exponential;

/// A real number, or several side by side.
///
/// Every operation acts on each lane by itself: a lane's result has the same bits as the `f64`
/// computation of that lane alone.
pub trait Real:
    Copy
    + std::fmt::Debug
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
    + AddAssign
    + SubAssign
{
    /// One truth value a lane.
    type Mask: Copy + std::fmt::Debug + PartialEq;

    /// True for a single number, false for several.
    const IS_SINGLE: bool;

    /// The same value in every lane.
    fn splat(value: f64) -> Self;
    /// Number of lanes.
    fn lanes() -> usize;
    /// The value of one lane; panics if `lane >= lanes()`.
    fn lane(self, lane: usize) -> f64;
    /// Sets one lane; panics if `lane >= lanes()`.
    fn set_lane(&mut self, lane: usize, value: f64);
    /// Absolute value.
    fn abs(self) -> Self;
    /// Square root.
    fn sqrt(self) -> Self;
    /// Cube root, within 1e-14 of its size from 1e-290 to 1e300, zero below.
    fn cbrt(self) -> Self;
    /// e to the power of this number, within 2e-14 of its size; below -708 and above 709 that of the
    /// end.
    fn exp(self) -> Self;
    /// Natural logarithm.
    fn ln(self) -> Self;
    /// The smaller of two; the argument if either is NaN.
    fn min(self, other: Self) -> Self;
    /// The larger of two; the argument if either is NaN.
    fn max(self, other: Self) -> Self;
    /// True where this number is below `other`.
    fn lt(self, other: Self) -> Self::Mask;
    /// `yes` where the mask is true, else `no`.
    fn select(mask: Self::Mask, yes: Self, no: Self) -> Self;
    /// True if the mask is true in any lane.
    fn any(mask: Self::Mask) -> bool;
    /// True if the mask is true in every lane.
    fn all(mask: Self::Mask) -> bool;

    /// Zero in every lane.
    #[inline(always)]
    fn zero() -> Self {
        Self::splat(0.0)
    }

    /// One in every lane.
    #[inline(always)]
    fn one() -> Self {
        Self::splat(1.0)
    }

    /// The square of this number.
    #[inline(always)]
    fn squared(self) -> Self {
        self * self
    }

    /// This number held between two bounds.
    #[inline(always)]
    fn clamp_between(self, low: f64, high: f64) -> Self {
        self.max(Self::splat(low)).min(Self::splat(high))
    }

    /// True in some lane that is NaN or infinite.
    #[inline(always)]
    fn is_broken(self) -> bool {
        (0..Self::lanes()).any(|lane| !self.lane(lane).is_finite())
    }
}

impl Real for f64 {
    type Mask = bool;

    const IS_SINGLE: bool = true;

    #[inline(always)]
    fn splat(value: f64) -> Self {
        value
    }
    #[inline(always)]
    fn lanes() -> usize {
        1
    }
    #[inline(always)]
    fn lane(self, lane: usize) -> f64 {
        assert!(lane == 0, "a single number has one lane");
        self
    }
    #[inline(always)]
    fn set_lane(&mut self, lane: usize, value: f64) {
        assert!(lane == 0, "a single number has one lane");
        *self = value;
    }
    #[inline(always)]
    fn abs(self) -> Self {
        f64::abs(self)
    }
    #[inline(always)]
    fn sqrt(self) -> Self {
        f64::sqrt(self)
    }
    #[inline(always)]
    fn cbrt(self) -> Self {
        cube_root(self)
    }
    #[inline(always)]
    fn exp(self) -> Self {
        exponential(self)
    }
    #[inline(always)]
    fn ln(self) -> Self {
        f64::ln(self)
    }
    #[inline(always)]
    fn min(self, other: Self) -> Self {
        // One instruction, where `f64::min` takes five to sort out NaN.
        if self < other { self } else { other }
    }
    #[inline(always)]
    fn max(self, other: Self) -> Self {
        if self > other { self } else { other }
    }
    #[inline(always)]
    fn lt(self, other: Self) -> bool {
        self < other
    }
    #[inline(always)]
    fn select(mask: bool, yes: Self, no: Self) -> Self {
        if mask { yes } else { no }
    }
    #[inline(always)]
    fn any(mask: bool) -> bool {
        mask
    }
    #[inline(always)]
    fn all(mask: bool) -> bool {
        mask
    }
}

/// `N` numbers side by side in a plain array, which the compiler turns into vector instructions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lanes<const N: usize>(pub [f64; N]);

impl<const N: usize> Lanes<N> {
    #[inline(always)]
    fn map(self, f: impl Fn(f64) -> f64) -> Self {
        // Not `array::map`, which the compiler may leave as a call.
        let mut values = self.0;
        for value in &mut values {
            *value = f(*value);
        }
        Self(values)
    }

    #[inline(always)]
    fn zip(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self(std::array::from_fn(|lane| f(self.0[lane], other.0[lane])))
    }
}

macro_rules! lanewise {
    ($($trait:ident $method:ident $op:tt),*) => {$(
        impl<const N: usize> $trait for Lanes<N> {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: Self) -> Self {
                self.zip(other, |a, b| a $op b)
            }
        }
        impl<const N: usize> $trait<f64> for Lanes<N> {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: f64) -> Self {
                self.map(|a| a $op other)
            }
        }
    )*};
}
lanewise!(Add add +, Sub sub -, Mul mul *, Div div /);

impl<const N: usize> Neg for Lanes<N> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        self.map(|a| -a)
    }
}

impl<const N: usize> AddAssign for Lanes<N> {
    #[inline(always)]
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl<const N: usize> SubAssign for Lanes<N> {
    #[inline(always)]
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

impl<const N: usize> Real for Lanes<N> {
    type Mask = [bool; N];

    const IS_SINGLE: bool = false;

    #[inline(always)]
    fn splat(value: f64) -> Self {
        Self([value; N])
    }
    #[inline(always)]
    fn lanes() -> usize {
        N
    }
    #[inline(always)]
    fn lane(self, lane: usize) -> f64 {
        self.0[lane]
    }
    #[inline(always)]
    fn set_lane(&mut self, lane: usize, value: f64) {
        self.0[lane] = value;
    }
    #[inline(always)]
    fn abs(self) -> Self {
        self.map(f64::abs)
    }
    #[inline(always)]
    fn sqrt(self) -> Self {
        self.map(f64::sqrt)
    }
    #[inline(always)]
    fn cbrt(self) -> Self {
        self.map(cube_root)
    }
    #[inline(always)]
    fn exp(self) -> Self {
        self.map(exponential)
    }
    #[inline(always)]
    fn ln(self) -> Self {
        self.map(f64::ln)
    }
    #[inline(always)]
    fn min(self, other: Self) -> Self {
        self.zip(other, Real::min)
    }
    #[inline(always)]
    fn max(self, other: Self) -> Self {
        self.zip(other, Real::max)
    }
    #[inline(always)]
    fn lt(self, other: Self) -> [bool; N] {
        std::array::from_fn(|lane| self.0[lane] < other.0[lane])
    }
    #[inline(always)]
    fn select(mask: [bool; N], yes: Self, no: Self) -> Self {
        Self(std::array::from_fn(|lane| {
            if mask[lane] { yes.0[lane] } else { no.0[lane] }
        }))
    }
    #[inline(always)]
    fn any(mask: [bool; N]) -> bool {
        mask.contains(&true)
    }
    #[inline(always)]
    fn all(mask: [bool; N]) -> bool {
        !mask.contains(&false)
    }
}

#[cfg(test)]
#[expect(
    clippy::float_cmp,
    reason = "lanes promise the same bits as a single number"
)]
mod tests {
    use super::{Lanes, Real};

    fn formula<R: Real>(x: R) -> R {
        let grown = (x.abs() + 1.0).cbrt() * x.exp() - x.sqrt().max(R::one());
        R::select(x.lt(R::splat(1.5)), grown, -grown)
    }

    #[test]
    fn lanes_have_the_bits_of_single_numbers() {
        let inputs = [0.25, 1.0, 2.5, 7.75];
        let side_by_side = formula(Lanes(inputs));
        for (lane, x) in inputs.into_iter().enumerate() {
            assert_eq!(side_by_side.lane(lane), formula(x));
        }
    }
}

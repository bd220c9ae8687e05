//! A house reduced to its air over a half-space of soil, whose heater fails, beside the closed form.

use overwinter_engine::season::{FINE_STEPS_PER_HOUR, STEPS_PER_HOUR};
use overwinter_tests::half_space::{AFTER_H, beside_exact, erfc, kept_share};

/// Double film, inner face wet, clear night, 0.7 air changes: 7.9 W/m2 K by floor area (estimate);
/// shares to two decimals, computed from the closed form apart from this program.
#[test]
fn the_closed_form_gives_its_tabulated_shares() {
    for (hours, tabulated) in AFTER_H.into_iter().zip([0.38, 0.37, 0.32, 0.26]) {
        // Without the heat of the air itself.
        let share = kept_share(7.9, 1e-9, hours);
        assert!((share - tabulated).abs() < 0.006, "{hours} h: {share}");
    }
    // Abramowitz and Stegun 1964, "Handbook of mathematical functions", table 7.1: erf 0.5, 1, 2.
    for (x, erf) in [
        (0.5, 0.520_499_878),
        (1.0, 0.842_700_793),
        (2.0, 0.995_322_265),
    ] {
        assert!((1.0 - erfc(x) - erf).abs() < 1e-8, "{x}");
    }
}

/// In the five-minute steps that failures are answered with, and in finer ones. The closed form lets the
/// air store its heat but not hand it on: finer steps end 1 to 2 % above it, not nearer.
#[test]
fn a_house_whose_heater_fails_cools_as_air_over_a_half_space() {
    for cover_w_m2k in [4.0, 7.9, 15.0] {
        for (steps, allowed) in [(FINE_STEPS_PER_HOUR, 0.05), (60, 0.025)] {
            for (hours, found, exact) in beside_exact(cover_w_m2k, steps) {
                let off = found / exact - 1.0;
                println!("{cover_w_m2k} W/m2K, {steps} steps, {hours} h: {found:.4}, {exact:.4}");
                assert!(off.abs() < allowed, "{hours} h: {found} {exact}");
            }
        }
    }
}

/// Half-hour steps, which a season takes between failures, swing for an hour after one.
#[test]
fn half_hour_steps_follow_from_the_second_hour_on() {
    for cover_w_m2k in [4.0, 7.9, 15.0] {
        for (hours, found, exact) in beside_exact(cover_w_m2k, STEPS_PER_HOUR) {
            println!("{cover_w_m2k} W/m2K, {hours} h: {found:.4}, {exact:.4}");
            let late = hours > 2.0;
            assert!(
                !late || (found / exact - 1.0).abs() < 0.02,
                "{found} {exact}"
            );
        }
    }
}

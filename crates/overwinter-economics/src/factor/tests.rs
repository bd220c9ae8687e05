#![allow(clippy::unwrap_used, reason = "a test may panic")]

use super::*;

fn check(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "{got}, not {expected}");
}

#[test]
fn factors_follow_their_printed_tables() {
    // SPV and UPV evaluated from the formulas of ASTM E917 apart from this code (numpy), rounded to
    // four decimals: years, then both at 3, 5 and 7 %.
    for (years, row) in [
        (5, [0.8626, 4.5797, 0.7835, 4.3295, 0.7130, 4.1002]),
        (10, [0.7441, 8.5302, 0.6139, 7.7217, 0.5083, 7.0236]),
        (15, [0.6419, 11.9379, 0.4810, 10.3797, 0.3624, 9.1079]),
        (20, [0.5537, 14.8775, 0.3769, 12.4622, 0.2584, 10.5940]),
        (25, [0.4776, 17.4131, 0.2953, 14.0939, 0.1842, 11.6536]),
    ] {
        for (pair, rate) in row.chunks(2).zip([0.03, 0.05, 0.07]) {
            check(single_present_value(rate, years).unwrap(), pair[0], 5e-5);
            check(uniform_present_value(rate, years).unwrap(), pair[1], 5e-5);
        }
    }
}

#[test]
fn factors_at_three_percent_as_printed_by_the_institute() {
    // Supplement to NIST Handbook 135, discount factors at 3 % (from memory).
    let years = [5, 10, 15, 20, 25];
    let single = [0.863, 0.744, 0.642, 0.554, 0.478];
    let uniform = [4.58, 8.53, 11.94, 14.88, 17.41];
    for ((years, single), uniform) in years.into_iter().zip(single).zip(uniform) {
        check(single_present_value(0.03, years).unwrap(), single, 5e-4);
        check(uniform_present_value(0.03, years).unwrap(), uniform, 5e-3);
    }
}

#[test]
fn present_values_of_the_first_two_years() {
    // Present value of 1 at 3 %, after one year and after two (seen in print).
    check(single_present_value(0.03, 1).unwrap(), 0.9709, 5e-5);
    check(single_present_value(0.03, 2).unwrap(), 0.9426, 5e-5);
}

#[test]
fn escalation_as_evaluated_apart() {
    // d 3 %, e 1 %, 20 years: 16.3827, evaluated from the formula apart from this code.
    let factor = escalating_uniform_present_value(0.03, 0.01, 20).unwrap();
    check(factor, 16.3827, 5e-5);
    // d 0, e 10 %, 3 years, by hand: 1.1 + 1.21 + 1.331.
    let without_discount = escalating_uniform_present_value(0.0, 0.1, 3).unwrap();
    check(without_discount, 3.641, 1e-12);
}

#[test]
fn limits_are_counts_of_years() {
    check(single_present_value(0.0, 7).unwrap(), 1.0, 0.0);
    check(single_compound_amount(0.0, 7).unwrap(), 1.0, 0.0);
    check(uniform_present_value(0.0, 7).unwrap(), 7.0, 0.0);
    check(uniform_compound_amount(0.0, 7).unwrap(), 7.0, 0.0);
    check(uniform_capital_recovery(0.0, 8).unwrap(), 0.125, 0.0);
    check(uniform_sinking_fund(0.0, 8).unwrap(), 0.125, 0.0);
    let equal = escalating_uniform_present_value(0.04, 0.04, 30).unwrap();
    check(equal, 30.0, 0.0);
}

#[test]
fn no_digits_are_lost_near_the_limits() {
    // To first order in a small d: UPV = N - d N (N + 1) / 2.
    for rate in [1e-12, -1e-12, 1e-9] {
        let wanted = 20.0 - rate * 210.0;
        check(uniform_present_value(rate, 20).unwrap(), wanted, 1e-13);
        let beside = escalating_uniform_present_value(0.04, 0.04 - rate, 20).unwrap();
        check(beside, 20.0 - rate * 210.0 / 1.04, 1e-13 + 210.0 * 1e-16);
    }
}

#[test]
fn what_has_no_factor_is_refused_with_its_numbers() {
    for rate in [-1.0, -1.5, -0.51, 1.01, f64::NAN, f64::INFINITY] {
        let refused = uniform_present_value(rate, 5).unwrap_err();
        assert!(matches!(refused, EconomicsError::Rate { .. }), "{refused}");
    }
    let refused = single_present_value(0.03, 0).unwrap_err();
    assert_eq!(refused.to_string(), "period: 0 years, it must be 1 to 100");
    let refused = escalating_uniform_present_value(0.03, -1.0, 5).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "escalation: -100 % a year, it must be -50 % to 100 %"
    );
}

#![allow(clippy::unwrap_used, reason = "a test may panic")]

use super::*;

#[test]
fn limits_of_the_bands() {
    // 7 CFR 4280.120, in a copy with amendments to 2018 (seen).
    for (share, points) in [
        (-0.1, 0),
        (0.199, 0),
        (0.20, 5),
        (0.349, 5),
        (0.35, 10),
        (0.499, 10),
        (0.5, 15),
        (1.0, 15),
    ] {
        assert_eq!(SavedBand::of(share).unwrap().points(), points, "{share}");
    }
    for (years, points) in [
        (0.0, 15),
        (3.99, 15),
        (4.0, 10),
        (7.99, 10),
        (8.0, 5),
        (12.0, 5),
        (12.01, 0),
    ] {
        assert_eq!(
            PaybackBand::of(Some(years)).unwrap().points(),
            points,
            "{years}"
        );
    }
    assert_eq!(PaybackBand::of(None).unwrap().points(), 0);
}

#[test]
fn payback_of_the_rule_leaves_out_what_is_not_eligible() {
    assert_eq!(simple_payback_years(6000.0, 1500.0).unwrap(), Some(4.0));
    assert_eq!(simple_payback_years(6000.0, 0.0).unwrap(), None);
    assert_eq!(simple_payback_years(6000.0, -3.0).unwrap(), None);
}

#[test]
fn points_for_a_grant_dollar_end_at_ten() {
    let points = |btu| btu_per_grant_dollar_points(btu).unwrap();
    assert!((points(25_000.0) - 5.0).abs() < 1e-12);
    assert!((points(60_000.0) - 10.0).abs() < 1e-12);
    assert!(points(-5.0).abs() < 1e-12);
}

#[test]
fn draws_are_counted_by_band() {
    let shares = SavedBand::shares_of_draws(&[0.3, 0.36, 0.34, 0.6]).unwrap();
    assert_eq!(shares.map(|share| share.draws), [0, 2, 1, 1]);
    assert!((shares[1].share - 0.5).abs() < 1e-12);
    let paybacks = PaybackBand::shares_of_draws(&[Some(3.0), None]).unwrap();
    assert_eq!(paybacks.map(|share| share.draws), [1, 0, 0, 1]);
}

#[test]
fn what_has_no_band_is_refused() {
    assert_eq!(
        SavedBand::shares_of_draws(&[]),
        Err(EconomicsError::NoDraws)
    );
    for share in [1.01, f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(SavedBand::of(share).is_err(), "{share}");
    }
    assert!(PaybackBand::of(Some(-1.0)).is_err());
    assert!(btu_per_grant_dollar(1.0, 1.0, 0.0).is_err());
    assert!(btu_per_grant_dollar_points(f64::NAN).is_err());
}

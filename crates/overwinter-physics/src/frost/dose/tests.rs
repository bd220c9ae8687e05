#![allow(clippy::unwrap_used, reason = "a test may panic")]

use super::*;
use proptest::prelude::*;

fn fed(limit_k: f64, lag_h: f64, steps: &[(f64, f64)]) -> Dose {
    let mut dose = Dose::new(limit_k, lag_h);
    for &(leaf_k, length_h) in steps {
        dose.add(leaf_k, length_h);
    }
    dose
}

#[test]
fn sums_of_a_short_night() {
    let dose = fed(
        273.0,
        1.0,
        &[
            (274.0, 0.5),
            (272.0, 0.5),
            (271.0, 0.25),
            (273.0, 0.5),
            (270.0, 0.5),
        ],
    );
    assert!((dose.hours_below() - 1.25).abs() < 1e-12);
    assert!((dose.kelvin_hours_below() - (0.5 + 0.5 + 1.5)).abs() < 1e-12);
    assert!((dose.longest_spell_h() - 0.75).abs() < 1e-12);
    assert!((dose.lowest_mean_k().unwrap() - 270.0).abs() < 1e-9);
    assert_eq!(dose.lost_after_h(), None);
}

#[test]
fn leaf_is_lost_a_lag_after_the_spell_began() {
    let steps = [
        (274.0, 0.5),
        (272.0, 0.25),
        (274.0, 0.25),
        (272.0, 2.0),
        (274.0, 1.0),
    ];
    let after = |lag_h| fed(273.0, lag_h, &steps).lost_after_h();
    assert!((after(0.0).unwrap() - 0.5).abs() < 1e-12);
    assert!((after(0.25).unwrap() - 0.75).abs() < 1e-12);
    assert!((after(0.5).unwrap() - 1.5).abs() < 1e-12);
    assert!((after(2.0).unwrap() - 3.0).abs() < 1e-12);
    assert_eq!(after(2.1), None);
}

#[test]
fn twelfths_of_an_hour_add_up_to_a_lag() {
    let dose = fed(273.0, 0.5, &[(272.0, 1.0 / 12.0); 6]);
    assert!((dose.lost_after_h().unwrap() - 0.5).abs() < 1e-9);
}

#[test]
fn running_mean_spans_a_quarter_of_an_hour() {
    let minutes = |minutes: f64| minutes / 60.0;
    // Ten minutes of 270 K with 5 min of 273 K beside them: (10 x 270 + 5 x 273) / 15.
    let dip = [
        (273.0, minutes(30.0)),
        (270.0, minutes(10.0)),
        (273.0, minutes(30.0)),
    ];
    assert!((fed(273.0, 0.0, &dip).lowest_mean_k().unwrap() - 271.0).abs() < 1e-9);
    // The window begins with the dip, since what comes after is colder than what was before:
    // (5 x 270 + 10 x 272) / 15.
    let step = [
        (276.0, minutes(60.0)),
        (270.0, minutes(5.0)),
        (272.0, minutes(60.0)),
    ];
    let lowest_k = fed(273.0, 0.0, &step).lowest_mean_k().unwrap();
    assert!((lowest_k - (5.0 * 270.0 + 10.0 * 272.0) / 15.0).abs() < 1e-9);
}

#[test]
fn a_time_shorter_than_the_window_has_its_own_mean() {
    assert_eq!(Dose::new(273.0, 0.0).lowest_mean_k(), None);
    let dose = fed(273.0, 0.0, &[(270.0, 0.05), (273.0, 0.1)]);
    assert!((dose.lowest_mean_k().unwrap() - 272.0).abs() < 1e-9);
}

#[test]
fn odd_steps_count_as_no_time() {
    let plain = fed(273.0, 0.1, &[(272.0, 0.05)]);
    let steps = [
        (f64::NAN, 1.0),
        (272.0, 0.05),
        (200.0, 0.0),
        (200.0, -1.0),
        (200.0, f64::NAN),
    ];
    assert_eq!(fed(273.0, 0.1, &steps), plain);
    assert!((Dose::new(273.0, -1.0).lag_h).abs() < f64::EPSILON);
}

/// Half the leaves are damaged at their half-damage temperature in a test of half an hour, and more
/// the longer it lasts.
#[test]
fn damage_grows_with_the_time_below() {
    // Gusta et al. 2004, Table I: half damage of leaves that are not hardened at -3 degC.
    let share = |hours| {
        fed(273.15, 0.0, &[(270.15, hours)])
            .damage_share(270.15, 2.0)
            .unwrap()
    };
    assert!((share(0.5) - 0.5).abs() < 1e-12);
    // Two doublings move the half by 1 K: 1 / (1 + exp(-2)).
    assert!((share(2.0) - 1.0 / (1.0 + (-2.0_f64).exp())).abs() < 1e-12);
}

proptest! {
    /// The least of all 15 min means, found by sliding a window minute by minute.
    #[test]
    fn lowest_mean_is_that_of_a_sliding_window(
        minutes in proptest::collection::vec(1_usize..40, 1..12),
        temps_k in proptest::collection::vec(255.0..285.0_f64, 12),
    ) {
        let mut dose = Dose::new(273.15, 0.5);
        let mut by_minute_k = Vec::new();
        for (&minutes, &leaf_k) in minutes.iter().zip(&temps_k) {
            dose.add(leaf_k, minutes as f64 / 60.0);
            by_minute_k.extend(std::iter::repeat_n(leaf_k, minutes));
        }
        let window = by_minute_k.len().min(15);
        let means_k = by_minute_k.windows(window).map(|all| all.iter().sum::<f64>() / window as f64);
        let lowest_k = means_k.fold(f64::INFINITY, f64::min);
        prop_assert!((dose.lowest_mean_k().unwrap() - lowest_k).abs() < 1e-6);
    }

    /// Colder steps never give a smaller dose, and cutting a step in two changes nothing.
    #[test]
    fn colder_is_never_less(
        temps_k in proptest::collection::vec(262.0..280.0_f64, 1..30),
        colder_k in 0.0..5.0_f64,
        lag_h in 0.0..3.0_f64,
    ) {
        let (mut dose, mut cold, mut cut) =
            (Dose::new(273.15, lag_h), Dose::new(273.15, lag_h), Dose::new(273.15, lag_h));
        for &leaf_k in &temps_k {
            dose.add(leaf_k, 0.5);
            cold.add(leaf_k - colder_k, 0.5);
            cut.add(leaf_k, 0.2);
            cut.add(leaf_k, 0.3);
        }
        prop_assert!(cold.hours_below() >= dose.hours_below());
        prop_assert!(cold.kelvin_hours_below() >= dose.kelvin_hours_below());
        prop_assert!(cold.longest_spell_h() >= dose.longest_spell_h());
        prop_assert!(cold.damage_share(270.0, 2.0) >= dose.damage_share(270.0, 2.0));
        if let Some(lost_h) = dose.lost_after_h() {
            prop_assert!(cold.lost_after_h().unwrap() <= lost_h);
        }
        prop_assert!((cut.longest_spell_h() - dose.longest_spell_h()).abs() < 1e-9);
        prop_assert!((cut.lowest_mean_k().unwrap() - dose.lowest_mean_k().unwrap()).abs() < 1e-9);
    }
}

use proptest::prelude::*;

use super::*;
use crate::cover::{CoverConditions, CoverLayer, CoverSpace, steady_cover};
use crate::error::PhysicsError;

const LOWER_K: f64 = 275.0;
const UPPER_K: f64 = 265.0;

fn conductance_w_m2k(gap_m: f64, touching_w_m2k: f64) -> f64 {
    let below_m = TOUCHING_BELOW_M.likely;
    TouchingGap::new(gap_m, below_m, touching_w_m2k, 15.0, 4.0).conductance_w_m2k(LOWER_K, UPPER_K)
}

#[test]
fn conductance_has_no_step_where_films_begin_to_touch() {
    let start_m = TOUCHING_BELOW_M.likely;
    let above = conductance_w_m2k(start_m * (1.0 + 1e-9), TOUCHING_W_M2K.likely);
    let below = conductance_w_m2k(start_m * (1.0 - 1e-9), TOUCHING_W_M2K.likely);
    assert!((above - below).abs() < 1e-6, "{above} {below}");
}

#[test]
fn three_air_films_give_the_three_conductances() {
    // k / d with air at 0.0247 W/m K, 2, 1 and 0.5 mm: the range is that rounded to whole figures.
    for (residual_m, stated) in [
        (0.002, TOUCHING_W_M2K.low),
        (0.001, TOUCHING_W_M2K.likely),
        (0.0005, TOUCHING_W_M2K.high),
    ] {
        let conducted = 0.0247 / residual_m;
        assert!(
            (conducted / stated - 1.0).abs() < 0.05,
            "{conducted} {stated}"
        );
    }
}

/// Heat loss of a pair with a wet inner film whose gap is as given, sky 20 K below the air.
fn pair_u_w_m2k(gap: &TouchingGap) -> Result<f64, PhysicsError> {
    let film = CoverLayer::film(0.70, 0.08);
    let conditions = CoverConditions::night(283.15, 263.15, 20.0);
    let space = CoverSpace::Conductance(gap.conductance_w_m2k(LOWER_K, UPPER_K));
    Ok(steady_cover(&[film.wet(1.0), film], &[space], &conditions)?.u_w_m2k)
}

/// Independent calculation of the same equations (a small solver): house and floor 10 C, outdoors
/// -10 C, 3 m/s, tilt 15 degrees, by the conductance where films touch.
#[test]
fn heat_loss_of_a_collapsed_pair_by_touching_conductance() -> Result<(), PhysicsError> {
    let table = [
        (5.0, 5.04),
        (10.0, 5.45),
        (25.0, 5.92),
        (50.0, 6.16),
        (100.0, 6.30),
    ];
    for (touching_w_m2k, expected) in table {
        let below_m = TOUCHING_BELOW_M.likely;
        let found = pair_u_w_m2k(&TouchingGap::new(0.0, below_m, touching_w_m2k, 15.0, 4.0))?;
        assert!(
            (found / expected - 1.0).abs() < 0.01,
            "{touching_w_m2k}: {found} {expected}"
        );
    }
    Ok(())
}

#[test]
fn closing_gap_runs_from_the_inflated_pair_towards_the_single_film() -> Result<(), PhysicsError> {
    let film = CoverLayer::film(0.70, 0.08);
    let conditions = CoverConditions::night(283.15, 263.15, 20.0);
    let single = steady_cover(&[film.wet(1.0)], &[], &conditions)?.u_w_m2k;
    for touching in [TOUCHING_W_M2K.low, TOUCHING_W_M2K.high, WATER_BRIDGED_W_M2K] {
        for below_m in [TOUCHING_BELOW_M.low, TOUCHING_BELOW_M.high] {
            let at = |gap_m| pair_u_w_m2k(&TouchingGap::new(gap_m, below_m, touching, 15.0, 4.0));
            let mut wider = at(0.12)?;
            for step in 0..=20_u8 {
                let closing = at(below_m * (1.0 - f64::from(step) / 20.0))?;
                assert!(
                    wider < closing && closing < single,
                    "{step}: {wider} {closing} {single}"
                );
                wider = closing;
            }
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn a_narrower_gap_that_touches_never_conducts_less(
        gap_m in 0.0..0.025_f64, narrower in 0.0..1.0_f64, touching in 12.0..50.0_f64,
    ) {
        let wide = conductance_w_m2k(gap_m, touching);
        prop_assert!(conductance_w_m2k(gap_m * narrower, touching) >= wide - 1e-12);
    }

    #[test]
    fn every_gap_has_a_finite_conductance(
        gap_m in -1.0..10.0_f64, below_m in -0.1..0.1_f64, tilt_deg in -10.0..100.0_f64, share in -1.0..2.0_f64,
    ) {
        let gap = TouchingGap::new(gap_m, below_m, 25.0, tilt_deg, 4.0).pressed(share);
        let found: f64 = gap.conductance_w_m2k(LOWER_K, UPPER_K);
        prop_assert!(found.is_finite() && found > 0.0);
        prop_assert!((0.0..=1.0).contains(&gap.contact_share));
    }
}

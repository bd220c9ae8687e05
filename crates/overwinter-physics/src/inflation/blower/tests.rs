use proptest::prelude::*;

use super::{Blower, ElectricDraw};
use crate::error::PhysicsError;
use crate::inflation::{Jumper, Opening};

const DENSITY_KG_M3: f64 = 1.25;

fn blower(bend: f64, damper_area_m2: Option<f64>, back_draft_flap: bool) -> Blower {
    Blower {
        shut_off_pa: 200.0,
        free_flow_m3_s: 0.04,
        bend,
        inlet_area_m2: 0.004_418,
        damper_area_m2,
        back_draft_flap,
        draw: ElectricDraw::Watts(60.0),
    }
}

#[test]
fn square_curve_with_damper_has_a_closed_form() {
    // Computed from the formula: Q = sqrt((p0 - p) / (p0 / Q0^2 + K_d)).
    let damper_area_m2 = 0.002;
    let loss = DENSITY_KG_M3 / 2.0 / (0.62 * damper_area_m2 * 0.62 * damper_area_m2);
    let expected = (140.0 / (200.0 / 0.0016 + loss)).sqrt();
    let flow = blower(2.0, Some(damper_area_m2), false).running_flow_m3_s(60.0, DENSITY_KG_M3);
    assert!((flow - expected).abs() < 1e-14, "{flow} {expected}");
}

#[test]
fn stopped_blower_lets_air_back_unless_a_flap_shuts() {
    // Computed from the formula: 0.62 x 0.004418 m2 x sqrt(2 x 60 / 1.25).
    let expected = -0.62 * 0.004_418 * 96_f64.sqrt();
    let open = blower(2.0, None, false).stopped_flow_m3_s(60.0, DENSITY_KG_M3);
    assert!((open / expected - 1.0).abs() < 1e-6, "{open} {expected}");
    let shut = blower(2.0, None, true);
    assert!(shut.stopped_flow_m3_s(60.0, DENSITY_KG_M3).abs() < f64::MIN_POSITIVE);
    // Suction in the gap opens the flap.
    assert!(shut.stopped_flow_m3_s(-60.0, DENSITY_KG_M3) > 0.02);
}

#[test]
fn gap_above_the_shut_off_pressure_drives_air_back() {
    assert!(blower(1.7, None, false).running_flow_m3_s(260.0, DENSITY_KG_M3) < -0.02);
    let flapped = blower(1.7, None, true).running_flow_m3_s(260.0, DENSITY_KG_M3);
    assert!(flapped.abs() < f64::MIN_POSITIVE);
}

#[test]
fn sizes_out_of_range_are_refused_by_name() {
    let mut flat = blower(2.0, None, false);
    flat.free_flow_m3_s = 0.0;
    assert!(matches!(
        flat.check(),
        Err(PhysicsError::Condition { what: "blower free flow in m3/s", value, .. }) if value.abs() < 1e-9
    ));
    assert!(Opening::hole(0.62, -1.0, 1.25).is_err());
    assert!(Opening::crack(f64::NAN, 60.0, 0.5).is_err());
    assert!(Jumper::new(0.0, 1.0, 0).opening(1.25).is_err());
}

#[test]
fn two_hoses_carry_twice_the_flow_and_a_bend_costs() {
    let flow = |jumper: Jumper| {
        let opening = jumper.opening(DENSITY_KG_M3);
        opening.expect("sizes in range").flow_m3_s(10.0)
    };
    let one = Jumper::new(0.1, 1.0, 0);
    let two = flow(Jumper { count: 2, ..one });
    assert!((two - 2.0 * flow(one)).abs() < 1e-15);
    // Loss 1.75 against 2.75 velocity heads.
    let bent = flow(Jumper { bends: 1, ..one });
    assert!((bent / flow(one) - (1.75_f64 / 2.75).sqrt()).abs() < 1e-12);
}

proptest! {
    #[test]
    fn flow_at_the_pressure_of_a_flow_is_that_flow(
        flow_m3_s in 2e-3..0.05_f64, bend in 1.0..4.0_f64, damper in proptest::option::of(1e-4..0.01_f64),
    ) {
        let blower = blower(bend, damper, true);
        let pressure_pa = blower.pressure_pa(flow_m3_s, DENSITY_KG_M3);
        let back = blower.running_flow_m3_s(pressure_pa, DENSITY_KG_M3);
        // 2e-3 m3/s takes at least 6e-6 of the shut-off pressure, which is known to 1e-16.
        prop_assert!((back / flow_m3_s - 1.0).abs() < 1e-10, "{} {}", back, flow_m3_s);
        let again_pa = blower.pressure_pa(back, DENSITY_KG_M3);
        prop_assert!((again_pa - pressure_pa).abs() < 1e-10 * pressure_pa.abs().max(200.0));
    }

    #[test]
    fn more_pressure_never_gives_more_flow(
        low_pa in -500.0..500.0_f64, more_pa in 0.0..500.0_f64, bend in 1.0..4.0_f64,
        flap: bool, running: bool,
    ) {
        let blower = blower(bend, Some(0.003), flap);
        let flow = |gap_pa| blower.flow_and_slope(gap_pa, DENSITY_KG_M3, running).flow_m3_s;
        prop_assert!(flow(low_pa + more_pa) <= flow(low_pa) + 1e-15);
    }

    #[test]
    fn slope_of_an_opening_is_its_differential(pressure_pa in -80.0..80.0_f64, exponent in 0.5..1.0_f64) {
        let opening = Opening::crack(0.02, 60.0, exponent).expect("sizes in range");
        let step_pa = 1e-4;
        let rise = opening.flow_m3_s(pressure_pa + step_pa) - opening.flow_m3_s(pressure_pa - step_pa);
        let slope = opening.slope_m3_s_pa(pressure_pa);
        prop_assert!((rise / (2.0 * step_pa) / slope - 1.0).abs() < 1e-4);
    }
}

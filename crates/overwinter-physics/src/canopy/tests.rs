use super::*;
use proptest::prelude::*;

/// Arithmetic on the published factors (Stanghellini 1987, from memory) at full light: 100 W/m2 of
/// leaf, 24.5 C, 1 kPa: 82 * 104.3 / 100.54 * 1 * 3.8 (capped from 5.3).
#[test]
fn daytime_resistance_by_hand() {
    let resistance = stomatal_resistance_stanghellini1987(82.0, 1500.0, 100.0, 297.65, 1000.0);
    assert!(
        (resistance - 82.0 * 104.3 / 100.54 * 3.8).abs() < 0.01,
        "{resistance}"
    );
    // 14.5 C and dry air at 0.5 kPa: factors 3.3 and 2.075.
    let resistance = stomatal_resistance_stanghellini1987(82.0, 1500.0, 100.0, 287.65, 500.0);
    assert!(
        (resistance - 82.0 * 104.3 / 100.54 * 3.3 * 2.075).abs() < 0.01,
        "{resistance}"
    );
}

#[test]
fn dark_resistance_is_the_stated_one() {
    let resistance = stomatal_resistance_stanghellini1987(82.0, 3000.0, 0.0, 283.15, 200.0);
    assert!((resistance - 3000.0).abs() < 1e-9);
    // Where the stated value is the published dark limit, the light curve is the published one.
    let limit = 82.0 * 4.3 / 0.54;
    let resistance = stomatal_resistance_stanghellini1987(82.0, limit, 0.3, 297.65, 0.0);
    assert!((resistance - 82.0 * 4.6 / 0.84).abs() < 1e-9);
}

#[test]
fn leaf_air_resistance_by_hand() {
    // 5 cm leaf, 2 K, 0.1 m/s: 1174 * 0.2236 / (0.1 + 2.07)^0.25 = 216.3 s/m.
    let resistance = leaf_air_resistance_stanghellini1987(0.05, -2.0, 0.1);
    assert!((resistance - 216.3).abs() < 0.1, "{resistance}");
}

proptest! {
    #[test]
    fn light_opens_the_stomata(
        light in 0.0..400.0_f64,
        temp_k in 268.0..313.0_f64,
        deficit_pa in 0.0..3000.0_f64,
    ) {
        let at = |light| {
            stomatal_resistance_stanghellini1987(82.0, 1500.0, light, temp_k, deficit_pa)
        };
        prop_assert!(at(light) >= 82.0 && at(light) <= 1500.0);
        prop_assert!(at(light + 1.0) <= at(light));
    }

    #[test]
    fn leaf_air_resistance_is_bounded(dt in -40.0..40.0_f64, speed in 0.0..3.0_f64) {
        let resistance = leaf_air_resistance_stanghellini1987(0.05, dt, speed);
        prop_assert!(resistance > 0.0 && resistance <= 1000.0 + 1e-9);
    }

    #[test]
    fn denser_crop_takes_more(extinction in 0.1..1.2_f64, index in 0.0..8.0_f64) {
        let share = intercepted_share(extinction, index);
        prop_assert!((0.0..1.0).contains(&share));
        prop_assert!(intercepted_share(extinction, index + 0.1) > share);
    }
}

use super::*;
use crate::moist_air::{air_density_kg_m3, saturation_vapour_density, vaporisation_heat_j_kg};
use overwinter_units::constants::{AIR_HEAT_CAPACITY_J_KGK, STANDARD_PRESSURE_PA};
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

/// Stanghellini 1987 in its linear form, `lambda E = (s / gamma Rn + 2 LAI rho cp / gamma D / ra)
/// / (1 + s / gamma + ri / ra)`, is the balance of a leaf with the saturation curve taken straight:
/// near equal temperatures it agrees with the balance solved with these functions.
#[test]
fn leaf_balance_agrees_with_the_combination_equation() {
    const AIR_K: f64 = 293.15;
    const INDEX: f64 = 2.5;
    let (net_w_m2, air_resistance, leaf_resistance) = (12.0, 180.0, 300.0);
    let (saturated, slope) = saturation_vapour_density(AIR_K);
    let vapour = 0.93 * saturated;
    let heat_capacity = air_density_kg_m3(STANDARD_PRESSURE_PA, AIR_K) * AIR_HEAT_CAPACITY_J_KGK;
    let vaporisation = vaporisation_heat_j_kg(AIR_K);
    let latent = |leaf_k: f64| {
        let deficit = saturation_vapour_density(leaf_k).0 - vapour;
        2.0 * INDEX * vaporisation * deficit / (air_resistance + leaf_resistance)
    };
    let surplus = |leaf_k: f64| {
        net_w_m2 - 2.0 * INDEX * heat_capacity * (leaf_k - AIR_K) / air_resistance - latent(leaf_k)
    };
    let (mut low_k, mut high_k) = (AIR_K - 5.0, AIR_K + 5.0);
    for _ in 0..60 {
        let middle_k = 0.5 * (low_k + high_k);
        if surplus(middle_k) > 0.0 {
            low_k = middle_k
        } else {
            high_k = middle_k
        }
    }
    // Slope over psychrometric constant in vapour densities: L s / (rho cp).
    let ratio = vaporisation * slope / heat_capacity;
    let drying = 2.0 * INDEX * vaporisation * (saturated - vapour) / air_resistance;
    let combination =
        (ratio * net_w_m2 + drying) / (1.0 + ratio + leaf_resistance / air_resistance);
    assert!(
        (latent(low_k) / combination - 1.0).abs() < 5e-3,
        "{} {combination}",
        latent(low_k)
    );
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

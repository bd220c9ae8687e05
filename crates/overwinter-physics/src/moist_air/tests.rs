use super::*;
use crate::number::Lanes;
use overwinter_units::constants::LEWIS_NUMBER;
use proptest::prelude::*;

/// ASHRAE Handbook Fundamentals 2017, chapter 1, table 3: saturation pressure in Pa at t in C.
/// The Magnus form is not the handbook's: the last column is the deviation it is allowed, over water
/// the 0.4 % that its authors state from -40 to 50 C, over ice 0.1 % (1 % at -60 C, where the table
/// has three digits).
#[test]
fn saturation_pressure_stays_near_the_handbook() {
    let table = [
        (-60.0, 1.08, 1e-2),
        (-20.0, 103.24, 1e-3),
        (-5.0, 401.74, 1e-3),
        (5.0, 872.6, 4e-3),
        (25.0, 3169.7, 4e-3),
        (50.0, 12351.3, 4e-3),
    ];
    for (celsius, printed_pa, allowed) in table {
        let pressure_pa = saturation_pressure_pa(celsius + ZERO_CELSIUS_K);
        let deviation = pressure_pa / printed_pa - 1.0;
        assert!(
            deviation.abs() < allowed,
            "{celsius} C: {pressure_pa} Pa, {deviation:+.5}"
        );
    }
}

/// ASHRAE Handbook Fundamentals 2017, chapter 1, table 1: standard atmosphere, printed to 1 Pa.
#[test]
fn standard_atmosphere_table() {
    let table = [
        (-500.0, 107_478.0),
        (0.0, 101_325.0),
        (500.0, 95_461.0),
        (1000.0, 89_875.0),
        (4000.0, 61_640.0),
        (10_000.0, 26_436.0),
    ];
    for (elevation_m, printed_pa) in table {
        let pressure_pa = standard_pressure_pa(elevation_m);
        assert!(
            (pressure_pa - printed_pa).abs() < 1.0,
            "{elevation_m} m: {pressure_pa} Pa"
        );
    }
}

/// ASHRAE Handbook Fundamentals 2017, chapter 1, equations 20, 24 and 30: humidity ratio of vapour
/// at 3,169.7 Pa in air of 95,461 Pa, enthalpy of dry air at 25 C and of moist air at 30 C, 0.02;
/// volume of dry air at 25 C from table 2.
#[test]
fn humidity_ratio_and_enthalpy_of_the_handbook() {
    assert!((humidity_ratio(3169.7, 95_461.0) - 0.021_360_399_8).abs() < 1e-6);
    let dry_j_kg = moist_air_enthalpy_j_kg(298.15, 0.0);
    assert!((dry_j_kg / 25_148.0 - 1.0).abs() < 3e-4, "{dry_j_kg}");
    let moist_j_kg = moist_air_enthalpy_j_kg(303.15, 0.02);
    assert!((moist_j_kg / 81_316.0 - 1.0).abs() < 3e-4, "{moist_j_kg}");
    let volume_m3_kg = 1.0 / air_density_kg_m3(STANDARD_PRESSURE_PA, 298.15);
    assert!((volume_m3_kg / 0.8443 - 1.0).abs() < 1e-3, "{volume_m3_kg}");
}

/// ASHRAE Handbook Fundamentals 2017, chapter 1, table 2: humidity ratio of saturated air at sea
/// level. The handbook's own ideal-gas equation is within 0.5 to 2 % of the table, which holds air's
/// enhancement of the saturation pressure.
#[test]
fn saturated_air_table() {
    let table = [
        (-20.0, 0.000_637_3, 0.01),
        (-5.0, 0.002_486_3, 0.01),
        (5.0, 0.005_425, 0.01),
        (25.0, 0.020_173, 0.01),
        (50.0, 0.086_863, 0.02),
    ];
    for (celsius, printed, allowed) in table {
        let pressure_pa = saturation_pressure_pa(celsius + ZERO_CELSIUS_K);
        let found = humidity_ratio(pressure_pa, STANDARD_PRESSURE_PA);
        assert!(
            (found / printed - 1.0).abs() < allowed,
            "{celsius} C: {found}"
        );
    }
}

/// ASHRAE Handbook Fundamentals 2017, chapter 1, example 1: air at 40 C with a humidity ratio of
/// 0.0065 has a dew point of 7 C, 14 % relative humidity and 56.7 kJ/kg, read from a chart. The reading
/// is good to 0.5 K, and 0.0001 in the humidity ratio is another 0.2 K or 0.26 kJ/kg.
#[test]
fn moist_air_of_the_handbook_example() {
    let vapour_pa = 0.0065 * STANDARD_PRESSURE_PA / (WATER_TO_AIR_MASS_RATIO + 0.0065);
    assert!((dew_point_k(vapour_pa) - ZERO_CELSIUS_K - 7.0).abs() < 0.7);
    let density = vapour_pa / (GAS_CONSTANT_VAPOUR_J_KGK * 313.15);
    assert!((relative_humidity(density, 313.15) - 0.14).abs() < 0.01);
    assert!((moist_air_enthalpy_j_kg(313.15, 0.0065) - 56_700.0).abs() < 360.0);
}

/// Allen, Pereira, Raes and Smith 1998, "Crop evapotranspiration", FAO Irrigation and Drainage
/// Paper 56: saturation at 15 and 24.5 C averages 2.39 kPa (example 3), 1.68 kPa at 14.8 C (example
/// 20), and its slope at 30.2 C is 0.246 kPa/K (example 17); printed to three digits.
#[test]
fn saturation_and_slope_of_fao_56() {
    let at_kpa = |celsius: f64| saturation_pressure_pa(celsius + ZERO_CELSIUS_K) / 1000.0;
    assert!((0.5 * (at_kpa(15.0) + at_kpa(24.5)) - 2.39).abs() < 0.01);
    assert!((at_kpa(14.8) - 1.68).abs() < 0.01);
    let temp_k = 30.2 + ZERO_CELSIUS_K;
    let (density, slope) = saturation_vapour_density(temp_k);
    let pressure_slope = GAS_CONSTANT_VAPOUR_J_KGK * (temp_k * slope + density) / 1000.0;
    assert!((pressure_slope - 0.246).abs() < 0.001, "{pressure_slope}");
}

/// Arithmetic: 4 W/m2 K in air of 1.25 kg/m3 is 4 / (1.25 * 1006 * 0.86^(2/3)) = 3.5174e-3 m/s.
#[test]
fn mass_transfer_by_hand() {
    assert!((LEWIS_TWO_THIRDS - LEWIS_NUMBER.powf(2.0 / 3.0)).abs() < 1e-6);
    assert!((mass_transfer_m_s(4.0, 1.25) - 3.5174e-3).abs() < 1e-6);
}

proptest! {
    #[test]
    fn saturation_rises_through_zero_without_a_step(temp_k in 180.0..420.0_f64) {
        let step_k = 1e-3;
        let (low, slope) = saturation_vapour_density(temp_k);
        let (high, _) = saturation_vapour_density(temp_k + step_k);
        prop_assert!(saturation_pressure_pa(temp_k + step_k) > saturation_pressure_pa(temp_k));
        let secant = (high - low) / step_k;
        // Across 0 C the slope changes by a tenth, from ice to water.
        let kink = (temp_k - ZERO_CELSIUS_K).abs() < 2.0 * step_k;
        let allowed = if kink { 0.12 } else { 1e-3 };
        prop_assert!((secant / slope - 1.0).abs() < allowed, "{secant} {slope}");
    }

    #[test]
    fn dew_point_undoes_saturation(temp_k in 190.0..370.0_f64) {
        let over_water = saturation_pressure_over_water_pa(temp_k);
        prop_assert!((dew_point_k(over_water) - temp_k).abs() < 1e-9);
        let over_either = saturation_pressure_pa(temp_k);
        prop_assert!((dew_or_frost_point_k(over_either) - temp_k).abs() < 1e-9);
    }

    #[test]
    fn density_and_pressure_go_round(temp_k in 230.0..330.0_f64, humidity in 0.01..1.0_f64) {
        let density = saturation_vapour_density(temp_k).0 * humidity;
        prop_assert!((relative_humidity(density, temp_k) - humidity).abs() < 1e-12);
        let pressure_pa = vapour_pressure_pa(density, temp_k);
        prop_assert!((pressure_pa / saturation_pressure_pa(temp_k) / humidity - 1.0).abs() < 1e-12);
    }

    #[test]
    fn nothing_breaks_outside_the_range(temp_k in -1e6..1e6_f64) {
        let (density, slope) = saturation_vapour_density(temp_k);
        prop_assert!(density.is_finite() && slope.is_finite());
        prop_assert!(density > 0.0 && slope > 0.0);
    }

    #[test]
    fn lanes_give_the_bits_of_one(a in 200.0..400.0_f64, b in 200.0..400.0_f64) {
        let (density, slope) = saturation_vapour_density(Lanes([a, b]));
        prop_assert_eq!((density.0[1], slope.0[1]), saturation_vapour_density(b));
        prop_assert_eq!((density.0[0], slope.0[0]), saturation_vapour_density(a));
    }
}

use super::*;
use crate::number::Lanes;
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

use super::*;
use crate::moist_air::saturation_pressure_pa;
use proptest::prelude::*;

#[test]
fn the_engines_saturation_is_near_that_of_the_paper() {
    for celsius in [5.0, 15.0, 25.0, 35.0, 45.0] {
        let temp_k = celsius + ZERO_CELSIUS_K;
        let ratio = saturation_pressure_pa(temp_k) / saturation_pressure_fao56(temp_k);
        assert!((ratio - 1.0).abs() < 2e-3, "{celsius} C: {ratio}");
    }
}

#[test]
fn the_slope_is_that_of_the_pressure() {
    for temp_k in [275.0, 290.0, 310.0] {
        let secant = saturation_pressure_fao56(temp_k + 0.01) - saturation_pressure_fao56(temp_k);
        assert!((secant / 0.01 / saturation_slope_fao56(temp_k) - 1.0).abs() < 1e-3);
    }
}

#[test]
fn hours_add_up_to_their_day() {
    for (latitude_deg, day) in [(16.2, 274.0), (-45.0, 10.0), (68.0, 172.0), (80.0, 1.0)] {
        let hours: f64 = (0..24)
            .map(|hour| (f64::from(hour) - 11.5) * std::f64::consts::PI / 12.0)
            .map(|angle| extraterrestrial_of_period_fao56(latitude_deg, day, angle, 1.0))
            .sum();
        let whole = extraterrestrial_of_day_fao56(latitude_deg, day);
        assert!((hours / 24.0 - whole).abs() < 1e-9, "{latitude_deg} {day}");
    }
}

proptest! {
    #[test]
    fn drier_or_brighter_takes_more(
        celsius in -10.0..45.0_f64, wind in 0.0..10.0_f64, deficit in 0.0..4000.0_f64,
    ) {
        let weather = ReferenceWeather {
            air_temp_k: celsius + ZERO_CELSIUS_K,
            vapour_deficit_pa: deficit,
            wind_2m_m_s: wind,
            net_radiation_w_m2: 100.0,
            ground_heat_w_m2: 5.0,
            pressure_pa: 95_000.0,
        };
        let of = |weather| reference_evapotranspiration_fao56(&weather, Period::Day).total_kg_m2s();
        let drier = ReferenceWeather { vapour_deficit_pa: deficit + 50.0, ..weather };
        let brighter = ReferenceWeather { net_radiation_w_m2: 120.0, ..weather };
        prop_assert!(of(drier) >= of(weather) && of(brighter) > of(weather));
    }

    #[test]
    fn odd_input_gives_finite_figures(any in -1e4..1e4_f64, other in -1e4..1e4_f64) {
        prop_assert!(saturation_pressure_fao56(any).is_finite());
        prop_assert!(air_pressure_fao56(any * 100.0) >= 0.0);
        prop_assert!(wind_at_2m_fao56(any, other).is_finite());
        prop_assert!(extraterrestrial_of_day_fao56(any, other) >= -1e-9);
        prop_assert!(extraterrestrial_of_period_fao56(any, 10.0, other, any).is_finite());
        prop_assert!((0.0..=24.0).contains(&daylight_hours_fao56(any, other)));
        prop_assert!(net_longwave_fao56([280.0, 290.0], any, other).is_finite());
    }
}

//! Longwave radiation of the sky: emissivity from the dew point, cloud, irradiance, temperature.
//!
//! Used where a weather file carries no longwave of its own, and to state an irradiance as a sky
//! temperature. Left out: altitude, aerosols, the height of the clouds.

use overwinter_units::constants::{STEFAN_BOLTZMANN_W_M2K4, ZERO_CELSIUS_K};

/// Emissivity of the clear sky, for the horizontal.
///
/// ```text
/// emissivity = 0.787 + 0.764 ln(dew_point_k / 273)
/// ```
///
/// `dew_point_k` near 240 to 305; outside it the curve is extrapolated and held between 0 and 1.
/// NaN gives NaN.
///
/// # References
/// G. Clark and C. Allen (1978), "The estimation of atmospheric radiation for clear and cloudy
/// skies", Proc. 2nd National Passive Solar Conference; the coefficients as widely printed.
///
/// ```
/// use overwinter_physics::sky::sky_emissivity_clark_allen1978;
/// let emissivity = sky_emissivity_clark_allen1978(283.15);
/// assert!((emissivity - 0.8149).abs() < 5e-5);
/// ```
pub fn sky_emissivity_clark_allen1978(dew_point_k: f64) -> f64 {
    (0.787 + 0.764 * (dew_point_k / 273.0).ln()).clamp(0.0, 1.0)
}

/// Emissivity of the clear sky, for the horizontal, with its daily swing.
///
/// ```text
/// emissivity = 0.711 + 0.56 d + 0.73 d^2 + 0.013 cos(2 pi hours_from_midnight / 24)
/// d = (dew_point_k - 273.15) / 100
/// ```
///
/// `dew_point_k` near 253 to 297 (from memory); outside it the curve is extrapolated and held
/// between 0 and 1. The swing vanishes at 6 and 18 hours. NaN gives NaN.
/// Deviation: the pressure correction of the paper is left out.
///
/// # References
/// P. Berdahl and M. Martin (1984), "Emissivity of clear skies", Solar Energy 32(5), 663-664.
///
/// ```
/// use overwinter_physics::sky::sky_emissivity_berdahl_martin1984;
/// let emissivity = sky_emissivity_berdahl_martin1984(283.15, 6.0);
/// assert!((emissivity - 0.7743).abs() < 5e-5);
/// ```
pub fn sky_emissivity_berdahl_martin1984(dew_point_k: f64, hours_from_midnight: f64) -> f64 {
    let hundreds_c = (dew_point_k - ZERO_CELSIUS_K) / 100.0;
    let swing = 0.013 * (std::f64::consts::TAU * hours_from_midnight / 24.0).cos();
    (0.711 + 0.56 * hundreds_c + 0.73 * hundreds_c * hundreds_c + swing).clamp(0.0, 1.0)
}

/// Factor by which cloud raises the emissivity of the clear sky.
///
/// ```text
/// factor = 1 + 0.0224 n - 0.0035 n^2 + 0.00028 n^3,  n = 10 opaque_cover_share
/// ```
///
/// `opaque_cover_share` is the opaque cloud cover, 0 to 1; outside it the nearest bound is taken.
/// NaN gives NaN.
///
/// # References
/// G. N. Walton (1983), "Thermal Analysis Research Program Reference Manual", NBSIR 83-2655.
///
/// ```
/// use overwinter_physics::sky::cloud_factor_walton1983;
/// assert!((cloud_factor_walton1983(0.5) - 1.0595).abs() < 1e-12);
/// ```
pub fn cloud_factor_walton1983(opaque_cover_share: f64) -> f64 {
    let tenths = 10.0 * opaque_cover_share.clamp(0.0, 1.0);
    1.0 + tenths * (0.0224 + tenths * (-0.0035 + tenths * 0.00028))
}

/// Downward longwave irradiance of the sky on the horizontal, W/m2.
///
/// ```text
/// longwave = sigma emissivity(dew_point_k) factor(opaque_cover_share) air_temp_k^4
/// ```
///
/// The emissivity with cloud is held at 1: a sky no warmer than the air cannot send more than a
/// black body at air temperature. NaN gives NaN.
///
/// # References
/// As [`sky_emissivity_clark_allen1978`] and [`cloud_factor_walton1983`].
///
/// ```
/// use overwinter_physics::sky::sky_longwave_w_m2;
/// assert!((sky_longwave_w_m2(293.15, 283.15, 0.0) - 341.21).abs() < 0.06);
/// ```
pub fn sky_longwave_w_m2(air_temp_k: f64, dew_point_k: f64, opaque_cover_share: f64) -> f64 {
    let emissivity = (sky_emissivity_clark_allen1978(dew_point_k)
        * cloud_factor_walton1983(opaque_cover_share))
    .min(1.0);
    STEFAN_BOLTZMANN_W_M2K4 * emissivity * air_temp_k.powi(4)
}

/// Temperature, K, of a black sky that sends a given longwave irradiance on the horizontal.
///
/// ```text
/// sky_temp = (longwave_w_m2 / sigma)^(1/4)
/// ```
///
/// Negative irradiance counts as none (0 K). NaN gives NaN.
///
/// # References
/// Stefan-Boltzmann law.
///
/// ```
/// use overwinter_physics::sky::sky_temp_k;
/// assert!((sky_temp_k(341.21) - 273.15 - 5.38).abs() < 0.02);
/// ```
pub fn sky_temp_k(longwave_w_m2: f64) -> f64 {
    (longwave_w_m2.clamp(0.0, f64::INFINITY) / STEFAN_BOLTZMANN_W_M2K4)
        .sqrt()
        .sqrt()
}

/// Share of a tilted plane's view that is as cold as the sky is for the horizontal; the rest is at the
/// temperature of the air, ground and low sky together.
///
/// ```text
/// F = (1 + cos_tilt) / 2
/// share = F sqrt(F)
/// ```
///
/// The sky is warm near the horizon, where its radiation comes through much air, and an upright plane
/// sees that part most. `cos_tilt` outside -1 to 1 is held at the bounds.
///
/// # References
/// G. N. Walton (1983), "Thermal Analysis Research Program Reference Manual", NBSIR 83-2655 (from
/// memory).
///
/// ```
/// use overwinter_physics::sky::cold_sky_view_walton1983;
/// // Half of the view is sky for a wall, 0.3536 of it cold.
/// assert!((cold_sky_view_walton1983(0.0) - 0.3536).abs() < 5e-5);
/// assert!((cold_sky_view_walton1983(1.0) - 1.0).abs() < 1e-12);
/// ```
pub fn cold_sky_view_walton1983(cos_tilt: f64) -> f64 {
    let view = 0.5 * (1.0 + cos_tilt.clamp(-1.0, 1.0));
    view * view.sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Evaluated apart from this code from the printed formulas, with sigma 5.6697e-8 W/(m2 K4):
    /// air C, dew point C, tenths of cloud, clear emissivity, cloud factor, longwave W/m2, sky C.
    const CLARK_ALLEN_WALTON: [[f64; 7]; 7] = [
        [20.0, 10.0, 0.0, 0.8149, 1.0, 341.21, 5.38],
        [20.0, 10.0, 5.0, 0.8149, 1.0595, 361.51, 9.43],
        [20.0, 10.0, 10.0, 0.8149, 1.1540, 393.75, 15.53],
        [-10.0, -15.0, 0.0, 0.7443, 1.0, 202.35, -28.73],
        [-10.0, -15.0, 8.0, 0.7443, 1.0986, 222.29, -22.92],
        [0.0, -5.0, 0.0, 0.7733, 1.0, 244.07, -17.00],
        [30.0, 15.0, 0.0, 0.8283, 1.0, 396.61, 16.05],
    ];

    #[test]
    fn clear_and_cloudy_sky_follow_the_printed_formulas() {
        for [air_c, dew_c, tenths, emissivity, factor, longwave, sky_c] in CLARK_ALLEN_WALTON {
            let (air_k, dew_k) = (air_c + ZERO_CELSIUS_K, dew_c + ZERO_CELSIUS_K);
            let got = sky_longwave_w_m2(air_k, dew_k, tenths / 10.0);
            assert!((sky_emissivity_clark_allen1978(dew_k) - emissivity).abs() < 5.1e-5);
            assert!((cloud_factor_walton1983(tenths / 10.0) - factor).abs() < 5.1e-5);
            // The two values of sigma differ by 1.2e-4.
            assert!((got / longwave - 5.670_374 / 5.6697).abs() < 3e-5);
            assert!((sky_temp_k(got) - ZERO_CELSIUS_K - sky_c).abs() < 5.1e-3);
        }
    }

    #[test]
    fn berdahl_martin_without_its_daily_swing() {
        // Evaluated apart from this code: air C, dew point C, emissivity, sky C.
        for [air_c, dew_c, emissivity, sky_c] in [
            [20.0, 10.0, 0.7743, 1.84],
            [-10.0, -15.0, 0.6434, -37.47],
            [0.0, -5.0, 0.6848, -24.67],
            [30.0, 15.0, 0.8114, 14.57],
        ] {
            let air_k: f64 = air_c + ZERO_CELSIUS_K;
            let got = sky_emissivity_berdahl_martin1984(dew_c + ZERO_CELSIUS_K, 18.0);
            let sky_k = sky_temp_k(STEFAN_BOLTZMANN_W_M2K4 * got * air_k.powi(4));
            assert!((got - emissivity).abs() < 5.1e-5);
            assert!((sky_k - ZERO_CELSIUS_K - sky_c).abs() < 5.1e-3);
        }
    }

    #[test]
    fn daily_swing_is_highest_at_midnight() {
        let at = |hour| sky_emissivity_berdahl_martin1984(273.15, hour);
        assert!((at(0.0) - 0.724).abs() < 1e-12);
        assert!((at(12.0) - 0.698).abs() < 1e-12);
    }

    #[test]
    fn odd_input_is_held_or_stays_nan() {
        let full = cloud_factor_walton1983(1.0);
        assert!((cloud_factor_walton1983(7.0) - full).abs() < 1e-12);
        assert!(sky_emissivity_clark_allen1978(1.0).abs() < 1e-12);
        let black = STEFAN_BOLTZMANN_W_M2K4 * 310.0_f64.powi(4);
        assert!(sky_longwave_w_m2(310.0, 310.0, 1.0) <= black * (1.0 + 1e-12));
        assert!(sky_temp_k(-5.0).abs() < 1e-12);
        assert!(sky_temp_k(f64::NAN).is_nan());
        assert!(sky_longwave_w_m2(f64::NAN, 270.0, 0.0).is_nan());
    }

    /// Sky of the measured form: emissivity 0.70 overhead and 0.09 ln(1 / cos) more towards the
    /// horizon (Unsworth and Monteith 1975, "Long-wave radiation at the ground", Q. J. R. Met. Soc.
    /// 101, from memory), summed over what a plane sees of it.
    #[test]
    fn planes_see_the_cold_of_a_measured_sky() {
        let cells = 200_u32;
        let middle = |index: u32, whole: f64| (f64::from(index) + 0.5) * whole / f64::from(cells);
        for tilt_deg in [0.0_f64, 30.0, 45.0, 60.0, 90.0] {
            let tilt = tilt_deg.to_radians();
            let (mut plane, mut flat) = (0.0, 0.0);
            for from_zenith in (0..cells).map(|i| middle(i, std::f64::consts::FRAC_PI_2)) {
                let emissivity = 0.70 - 0.09 * from_zenith.cos().ln();
                let cold = (1.0 - emissivity).max(0.0) * from_zenith.sin();
                for around in (0..cells).map(|i| middle(i, std::f64::consts::TAU)) {
                    let cos_angle = from_zenith.cos() * tilt.cos()
                        + from_zenith.sin() * around.cos() * tilt.sin();
                    plane += cold * cos_angle.max(0.0);
                    flat += cold * from_zenith.cos();
                }
            }
            let share = cold_sky_view_walton1983(tilt.cos());
            assert!((share - plane / flat).abs() < 0.035, "{tilt_deg}: {share}");
        }
    }
}

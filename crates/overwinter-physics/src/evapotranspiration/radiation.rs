//! Radiation of the reference crop from date, place, sunshine and air. Every figure is a mean over
//! its day or hour, W/m2 of the horizontal.

use std::f64::consts::{PI, TAU};

/// The paper's solar constant, 0.0820 MJ/m2 min.
const SOLAR_CONSTANT_W_M2: f64 = 0.0820e6 / 60.0;
/// The paper's Stefan-Boltzmann constant, 4.903e-9 MJ/m2 K4 day.
const RADIATION_CONSTANT_W_M2K4: f64 = 4.903e-3 / 86_400.0;
/// Reflectance of the reference crop.
const CROP_REFLECTANCE: f64 = 0.23;

/// The sun on a day of the year, by the paper's fits.
#[derive(Clone, Copy, Debug)]
struct SunOfDay {
    above_w_m2: f64,
    /// Products of sines and of cosines of latitude and declination.
    sines: f64,
    cosines: f64,
}

impl SunOfDay {
    fn new(latitude_deg: f64, day_of_year: f64) -> Self {
        let turn = TAU / 365.0 * day_of_year;
        let (sin_declination, cos_declination) = (0.409 * (turn - 1.39).sin()).sin_cos();
        let (sin_latitude, cos_latitude) = latitude_deg.clamp(-90.0, 90.0).to_radians().sin_cos();
        Self {
            above_w_m2: SOLAR_CONSTANT_W_M2 * (1.0 + 0.033 * turn.cos()),
            sines: sin_latitude * sin_declination,
            cosines: (cos_latitude * cos_declination).max(1e-12),
        }
    }

    /// 0 in the polar night, pi in the polar day.
    fn sunset_rad(&self) -> f64 {
        (-self.sines / self.cosines).clamp(-1.0, 1.0).acos()
    }

    /// Integral of the cosine of the zenith angle between two hour angles.
    fn integral(&self, from_rad: f64, to_rad: f64) -> f64 {
        (to_rad - from_rad) * self.sines + self.cosines * (to_rad.sin() - from_rad.sin())
    }
}

/// Radiation above the atmosphere on the horizontal, mean over a day, W/m2.
///
/// ```text
/// Gsc dr / pi (ws sin f sin d + cos f cos d sin ws),  dr = 1 + 0.033 cos(2 pi J / 365),
/// d = 0.409 sin(2 pi J / 365 - 1.39),  ws = acos(-tan f tan d)
/// ```
///
/// f latitude (south negative), J day of the year from 1. Polar day and night are whole and dark.
///
/// # References
/// Allen et al. (1998), FAO Paper 56, equations 21 to 25.
///
/// ```
/// // Example 8: 20 deg south, 3 September: 32.2 MJ/m2 a day.
/// use overwinter_physics::evapotranspiration::extraterrestrial_of_day_fao56;
/// let mean_w_m2 = extraterrestrial_of_day_fao56(-20.0, 246.0);
/// assert!((mean_w_m2 * 0.0864 - 32.2).abs() < 0.05);
/// ```
pub fn extraterrestrial_of_day_fao56(latitude_deg: f64, day_of_year: f64) -> f64 {
    let sun = SunOfDay::new(latitude_deg, day_of_year);
    let sunset_rad = sun.sunset_rad();
    sun.above_w_m2 * sun.integral(-sunset_rad, sunset_rad) / TAU
}

/// The same over a shorter period around an hour angle, W/m2: the part between sunrise and sunset,
/// spread over the whole period. A period of no length has no radiation.
///
/// # References
/// Allen et al. (1998), FAO Paper 56, equations 28 to 30. Deviation: the paper only sets hours
/// outside sunrise to sunset to 0; here the hours of sunrise and sunset are cut at them too.
pub fn extraterrestrial_of_period_fao56(
    latitude_deg: f64,
    day_of_year: f64,
    hour_angle_rad: f64,
    period_h: f64,
) -> f64 {
    let width_rad = TAU / 24.0 * period_h;
    if width_rad <= 0.0 {
        return 0.0;
    }
    let sun = SunOfDay::new(latitude_deg, day_of_year);
    let sunset_rad = sun.sunset_rad();
    let from_rad = (hour_angle_rad - 0.5 * width_rad).max(-sunset_rad);
    let to_rad = (hour_angle_rad + 0.5 * width_rad).min(sunset_rad);
    if to_rad <= from_rad {
        return 0.0;
    }
    (sun.above_w_m2 * sun.integral(from_rad, to_rad) / width_rad).max(0.0)
}

/// Hour angle of the sun, rad, 0 at solar noon and negative before it, from clock time.
///
/// ```text
/// pi / 12 (clock_h + (longitude / 15 - time_zone) + Sc - 12)
/// Sc = 0.1645 sin 2b - 0.1255 cos b - 0.025 sin b,  b = 2 pi (J - 81) / 364
/// ```
///
/// East is positive; the time zone is local standard time minus universal time.
///
/// # References
/// Allen et al. (1998), FAO Paper 56, equations 31 to 33.
pub fn hour_angle_fao56(
    day_of_year: f64,
    clock_h: f64,
    longitude_deg: f64,
    time_zone_h: f64,
) -> f64 {
    let b = TAU * (day_of_year - 81.0) / 364.0;
    let season_h = 0.1645 * (2.0 * b).sin() - 0.1255 * b.cos() - 0.025 * b.sin();
    PI / 12.0 * (clock_h + longitude_deg / 15.0 - time_zone_h + season_h - 12.0)
}

/// Hours between sunrise and sunset: `24 / pi` times the sunset hour angle.
///
/// # References
/// Allen et al. (1998), FAO Paper 56, equation 34 (example 9: 11.7 h at 20 deg south on 3 September).
pub fn daylight_hours_fao56(latitude_deg: f64, day_of_year: f64) -> f64 {
    24.0 / PI * SunOfDay::new(latitude_deg, day_of_year).sunset_rad()
}

/// Shortwave at the ground from hours of sunshine, W/m2: `(0.25 + 0.50 n / N) Ra`, the share n / N
/// held between 0 and 1.
///
/// # References
/// Allen et al. (1998), FAO Paper 56, equation 35.
pub fn shortwave_from_sunshine_fao56(extraterrestrial_w_m2: f64, sunshine_share: f64) -> f64 {
    (0.25 + 0.50 * sunshine_share.clamp(0.0, 1.0)) * extraterrestrial_w_m2
}

/// Shortwave at the ground under a clear sky, W/m2: `(0.75 + 2e-5 z) Ra`, z elevation in m.
///
/// # References
/// Allen et al. (1998), FAO Paper 56, equation 37.
pub fn clear_sky_shortwave_fao56(extraterrestrial_w_m2: f64, elevation_m: f64) -> f64 {
    (0.75 + 2e-5 * elevation_m) * extraterrestrial_w_m2
}

/// Shortwave that the reference crop takes, W/m2: 0.77 of what falls on it.
///
/// # References
/// Allen et al. (1998), FAO Paper 56, equation 38.
pub fn net_shortwave_fao56(shortwave_w_m2: f64) -> f64 {
    (1.0 - CROP_REFLECTANCE) * shortwave_w_m2
}

/// Longwave that the reference crop gives off, less what it takes, W/m2.
///
/// ```text
/// sigma (T1^4 + T2^4) / 2 (0.34 - 0.14 sqrt(e)) (1.35 Rs / Rso - 0.35)
/// ```
///
/// T1 and T2 the day's lowest and highest air temperature (twice the mean for an hour), e the vapour
/// pressure in kPa (negative counts as none), `clear_share` Rs / Rso held at 1.
///
/// # References
/// Allen et al. (1998), FAO Paper 56, equation 39.
///
/// ```
/// // Example 11: 19.1 and 25.1 C, 2.1 kPa, Rs 14.5 of Rso 18.8 MJ/m2 a day: 3.5 MJ/m2 a day.
/// use overwinter_physics::evapotranspiration::net_longwave_fao56;
/// let loss_w_m2 = net_longwave_fao56([292.25, 298.25], 2100.0, 14.5 / 18.8);
/// assert!((loss_w_m2 * 0.0864 - 3.5).abs() < 0.05);
/// ```
pub fn net_longwave_fao56(temps_k: [f64; 2], vapour_pressure_pa: f64, clear_share: f64) -> f64 {
    let black_w_m2 = RADIATION_CONSTANT_W_M2K4 * 0.5 * (temps_k[0].powi(4) + temps_k[1].powi(4));
    let by_vapour = 0.34 - 0.14 * (vapour_pressure_pa.max(0.0) / 1000.0).sqrt();
    black_w_m2 * by_vapour * (1.35 * clear_share.min(1.0) - 0.35)
}

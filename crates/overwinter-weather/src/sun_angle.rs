//! Where the sun stands in each hour, well enough to check the clock and the closure of a file.
//!
//! The season loop takes its sun from a precise algorithm; here a Fourier series is enough, since
//! the tests on a file look for errors of tenths of an hour.

use crate::year::HOURS;
use std::f64::consts::{PI, TAU};

/// Total solar irradiance, W/m2 (Kopp and Lean 2011, Geophysical Research Letters 38, L01706).
const SOLAR_CONSTANT_W_M2: f64 = 1361.0;

/// Declination, equation of time and distance factor on one moment of the year.
///
/// # References
/// J. W. Spencer (1971), "Fourier series representation of the position of the sun", Search 2(5),
/// 172 (coefficients from memory; checked in the tests against an independent algorithm).
#[derive(Clone, Copy, Debug)]
pub(crate) struct SunDay {
    pub(crate) declination_rad: f64,
    pub(crate) equation_of_time_h: f64,
    /// Square of mean over actual distance to the sun.
    pub(crate) distance_factor: f64,
}

impl SunDay {
    /// `day` counts from 0 at 1 January 00:00 and may be fractional.
    pub(crate) fn at(day: f64) -> Self {
        let angle = TAU * day / 365.0;
        let (s1, c1) = angle.sin_cos();
        let (s2, c2) = (2.0 * angle).sin_cos();
        let (s3, c3) = (3.0 * angle).sin_cos();
        let equation_rad =
            0.000_075 + 0.001_868 * c1 - 0.032_077 * s1 - 0.014_615 * c2 - 0.040_89 * s2;
        Self {
            declination_rad: 0.006_918 - 0.399_912 * c1 + 0.070_257 * s1 - 0.006_758 * c2
                + 0.000_907 * s2
                - 0.002_697 * c3
                + 0.001_48 * s3,
            equation_of_time_h: equation_rad * 12.0 / PI,
            distance_factor: 1.000_11
                + 0.034_221 * c1
                + 0.001_28 * s1
                + 0.000_719 * c2
                + 0.000_077 * s2,
        }
    }
}

/// The sun of one hour.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SunHour {
    /// Cosine of the zenith angle, mean over the hour (0 while the sun is down), or at the instant.
    pub(crate) cos_zenith: f64,
    /// Extraterrestrial irradiance on the horizontal, over the hour or at the instant.
    pub(crate) extraterrestrial_w_m2: f64,
    /// True if the sun stays more than a degree below the horizon all hour.
    pub(crate) is_dark: bool,
}

/// Local standard time of true solar noon, h.
pub(crate) fn solar_noon_h(longitude_deg: f64, time_zone_h: f64, equation_of_time_h: f64) -> f64 {
    12.0 - (longitude_deg / 15.0 - time_zone_h) - equation_of_time_h
}

/// The sun of every hour of the year; `instant_h` gives the moment within the hour for
/// instantaneous radiation, `None` the mean over the hour.
pub(crate) fn sun_of_hours(
    latitude_deg: f64,
    longitude_deg: f64,
    time_zone_h: f64,
    instant_h: Option<f64>,
) -> Vec<SunHour> {
    let (sin_lat, cos_lat) = latitude_deg.to_radians().sin_cos();
    let within_h = instant_h.unwrap_or(0.5);
    (0..HOURS)
        .map(|hour| {
            let sun = SunDay::at((hour as f64 + within_h) / 24.0);
            let noon = solar_noon_h(longitude_deg, time_zone_h, sun.equation_of_time_h);
            let hours_from_noon = wrapped((hour % 24) as f64 + within_h - noon);
            let (sin_dec, cos_dec) = sun.declination_rad.sin_cos();
            let path = DayPath {
                level: sin_lat * sin_dec,
                swing: cos_lat * cos_dec,
            };
            let cos_zenith = match instant_h {
                Some(_) => path.cos_zenith(hours_from_noon).max(0.0),
                None => path.mean_over_hour(hours_from_noon),
            };
            SunHour {
                cos_zenith,
                extraterrestrial_w_m2: SOLAR_CONSTANT_W_M2 * sun.distance_factor * cos_zenith,
                is_dark: path.is_dark(hours_from_noon),
            }
        })
        .collect()
}

/// Hours brought between -12 and 12.
fn wrapped(hours: f64) -> f64 {
    hours - 24.0 * (hours / 24.0).round()
}

/// cos zenith = level + swing cos(hour angle).
struct DayPath {
    level: f64,
    swing: f64,
}

impl DayPath {
    fn cos_zenith(&self, hours_from_noon: f64) -> f64 {
        self.level + self.swing * (hours_from_noon * PI / 12.0).cos()
    }

    /// Mean of the positive part over the hour around a moment, by the integral in closed form.
    fn mean_over_hour(&self, mid_hours_from_noon: f64) -> f64 {
        let half_day = self.half_day_rad();
        let half_hour = PI / 24.0;
        let mid = mid_hours_from_noon * PI / 12.0;
        let begin = (mid - half_hour).max(-half_day);
        let end = (mid + half_hour).min(half_day);
        if end <= begin {
            return 0.0;
        }
        let integral = self.level * (end - begin) + self.swing * (end.sin() - begin.sin());
        (integral / (2.0 * half_hour)).max(0.0)
    }

    /// Hour angle of sunset: 0 in the polar night; beyond any hour of the day in the polar day.
    fn half_day_rad(&self) -> f64 {
        if self.level >= self.swing {
            2.0 * PI
        } else {
            (-self.level / self.swing.max(1e-12))
                .clamp(-1.0, 1.0)
                .acos()
        }
    }

    fn is_dark(&self, mid_hours_from_noon: f64) -> bool {
        const SINE_OF_ONE_DEGREE: f64 = 0.017_452_4;
        let nearest_noon = (mid_hours_from_noon.abs() - 0.5).max(0.0);
        self.cos_zenith(nearest_noon) < -SINE_OF_ONE_DEGREE
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Obliquity 23.44 degrees at the solstices (from memory, IAU 2006), no declination at the
    /// equinoxes, and the extremes of the equation of time (+16.4 min about 3 November, -14.2 min
    /// about 11 February; from memory, any almanac).
    #[test]
    fn series_meets_the_turning_points_of_the_year() {
        let declination_deg = |day: f64| SunDay::at(day).declination_rad.to_degrees();
        assert!((declination_deg(171.5) - 23.44).abs() < 0.05);
        assert!((declination_deg(354.5) + 23.44).abs() < 0.05);
        assert!(declination_deg(79.0).abs() < 0.6);
        let minutes = |day: f64| 60.0 * SunDay::at(day).equation_of_time_h;
        assert!((minutes(306.5) - 16.4).abs() < 0.5);
        assert!((minutes(41.5) + 14.2).abs() < 0.5);
    }

    /// The hours of a day must add up to the daily integral in closed form,
    /// (24 / pi) (ws sin lat sin dec + cos lat cos dec sin ws) (Duffie and Beckman, Solar
    /// Engineering of Thermal Processes, 1.10.3, from memory).
    #[test]
    fn hours_add_up_to_the_day() {
        for latitude_deg in [-35.0_f64, 0.0, 45.0, 63.0, 75.0] {
            let hours = sun_of_hours(latitude_deg, 8.0, 1.0, None);
            for day in [10_usize, 80, 171, 300] {
                let sum: f64 = hours[24 * day..24 * (day + 1)]
                    .iter()
                    .map(|h| h.cos_zenith)
                    .sum();
                let declination = SunDay::at(day as f64 + 0.5).declination_rad;
                let latitude = latitude_deg.to_radians();
                let half_day = (-latitude.tan() * declination.tan())
                    .clamp(-1.0, 1.0)
                    .acos();
                let expected = 24.0 / PI
                    * (half_day * latitude.sin() * declination.sin()
                        + latitude.cos() * declination.cos() * half_day.sin());
                assert!(
                    (sum - expected).abs() < 0.02,
                    "{latitude_deg} {day} {sum} {expected}"
                );
            }
        }
    }
}

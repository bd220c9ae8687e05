//! Where the sun stands and how strong it is above the atmosphere.
//!
//! The position comes from the solar position algorithm of Reda and Andreas. A typical year joins
//! months of many years, so [`SunYear`] answers for one fixed civil year. Left out: horizons,
//! shading by neighbours, refraction where an hour of radiation is spread on planes.

use solar_positioning::time::JulianDate;
use solar_positioning::{Location, RefractionCorrection, SolarPositions};
use std::f64::consts::{PI, TAU};

/// Irradiance of the sun above the atmosphere at the mean distance, W/m2.
///
/// Source: the value used by J. A. Duffie and W. A. Beckman, "Solar Engineering of Thermal
/// Processes", section 1.2, and in the fit of the sky model of Perez (from memory).
pub const SOLAR_CONSTANT_W_M2: f64 = 1367.0;

/// Julian day of 1 January 2002, 00:00 universal time.
///
/// 2002 stands for every typical year: it has no 29 February, lies in the middle of the four-year
/// leap cycle (so no source year is more than about half a day, 0.2 degrees of declination, away)
/// and inside the decades that typical years are drawn from.
const TYPICAL_YEAR_START_JD: f64 = 2_452_275.5;

/// Terrestrial minus universal time in 2002, seconds (from memory; 10 s move the sun by 1e-4 deg).
const TYPICAL_YEAR_DELTA_T_S: f64 = 64.3;

/// Equatorial horizontal parallax of the sun at the mean distance, rad (8.794 arc seconds; Reda and
/// Andreas 2004, equation 33).
const PARALLAX_RAD: f64 = 8.794 / 3600.0 * PI / 180.0;

const RAD_PER_HOUR: f64 = TAU / 24.0;

/// Where the sun stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunPosition {
    /// Angle between the sun and the zenith.
    pub zenith_deg: f64,
    /// Direction of the sun, clockwise from north: 90 east, 180 south.
    pub azimuth_deg: f64,
}

/// Air that bends the sun's light, for the apparent position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RefractingAir {
    /// Mean pressure of the place.
    pub pressure_hpa: f64,
    /// Mean temperature of the place.
    pub temp_c: f64,
}

/// Position of the sun at one instant, degrees, as seen from a place.
///
/// `julian_day_ut` counts days of universal time, `delta_t_s` is terrestrial minus universal time.
/// With `air` the apparent position (bent by refraction), without it the true one. An input outside
/// the globe, outside the years -2000 to 6000 or not a number gives NaN angles. Accuracy stated by
/// the source: 0.0003 deg.
///
/// # References
/// I. Reda and A. Andreas (2004), "Solar position algorithm for solar radiation applications",
/// Solar Energy 76(5), 577-589; worked example in the appendix.
///
/// ```
/// use overwinter_physics::sun::{RefractingAir, sun_position};
/// let air = RefractingAir { pressure_hpa: 820.0, temp_c: 11.0 };
/// let sun = sun_position(39.742476, -105.1786, 1830.14, 2452930.312847222, 67.0, Some(air));
/// assert!((sun.zenith_deg - 50.11162).abs() < 1e-4);
/// assert!((sun.azimuth_deg - 194.34024).abs() < 1e-4);
/// ```
pub fn sun_position(
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: f64,
    julian_day_ut: f64,
    delta_t_s: f64,
    air: Option<RefractingAir>,
) -> SunPosition {
    let location = Location {
        latitude: latitude_deg,
        longitude: longitude_deg,
    };
    let position = || {
        let bending = air
            .map(|air| RefractionCorrection::new(air.pressure_hpa, air.temp_c))
            .transpose()?;
        let instant = JulianDate::new(julian_day_ut, delta_t_s)?;
        SolarPositions::new().at_from_julian(instant, location, elevation_m, bending)
    };
    match position() {
        Ok(sun) => SunPosition {
            zenith_deg: sun.zenith_angle(),
            azimuth_deg: sun.azimuth(),
        },
        Err(_) => SunPosition {
            zenith_deg: f64::NAN,
            azimuth_deg: f64::NAN,
        },
    }
}

/// Relative optical air mass, 1 with the sun in the zenith at any height above sea level.
///
/// ```text
/// m = 1 / (cos z + 0.50572 (96.07995 - z)^-1.6364),  z = zenith_deg
/// ```
///
/// Below the horizon the value at the horizon is taken. NaN gives NaN.
///
/// # References
/// F. Kasten and A. T. Young (1989), "Revised optical air mass tables and approximation formula",
/// Applied Optics 28(22), 4735-4738, equation 3.
pub fn relative_air_mass_kasten_young1989(zenith_deg: f64) -> f64 {
    let zenith_deg = zenith_deg.clamp(0.0, 90.0);
    let bent = 0.50572 * (96.07995 - zenith_deg).powf(-1.6364);
    1.0 / (zenith_deg.to_radians().cos() + bent)
}

/// The sun over one hour of radiation, as seen from the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SunHour {
    /// Mean of the unit vector to the sun over the sunlit part of the hour: east, north, up. Its
    /// product with a plane's normal is the mean cosine of incidence while the plane is lit all
    /// along; it is a little shorter than 1. Zero when the sun stays down.
    pub mean_direction: [f64; 3],
    /// Part of the hour with the sun above the horizon.
    pub sunlit_share: f64,
    /// Irradiance normal to the sun above the atmosphere.
    pub extraterrestrial_normal_w_m2: f64,
}

impl SunHour {
    /// Cosine of the zenith angle of the mean direction; 0 when the sun stays down.
    pub fn cos_zenith(&self) -> f64 {
        let [east, north, up] = self.mean_direction;
        if self.sunlit_share > 0.0 {
            up / (east * east + north * north + up * up).sqrt()
        } else {
            0.0
        }
    }

    /// Mean cosine between the sun and an outward normal given as east, north, up; negative when
    /// the sun is behind the plane.
    pub fn cos_angle(&self, normal: [f64; 3]) -> f64 {
        let [east, north, up] = self.mean_direction;
        east * normal[0] + north * normal[1] + up * normal[2]
    }
}

/// Outward normal of a plane as east, north, up.
///
/// `tilt_deg` is the angle between the normal and the zenith, `azimuth_deg` its direction clockwise
/// from north.
pub fn plane_normal(tilt_deg: f64, azimuth_deg: f64) -> [f64; 3] {
    let (sin_tilt, cos_tilt) = tilt_deg.to_radians().sin_cos();
    let (sin_azimuth, cos_azimuth) = azimuth_deg.to_radians().sin_cos();
    [sin_tilt * sin_azimuth, sin_tilt * cos_azimuth, cos_tilt]
}

/// What the sun is doing at one midnight of universal time.
#[derive(Clone, Copy, Debug)]
struct Midnight {
    declination_rad: f64,
    /// Greenwich hour angle minus 180 degrees: the equation of time as an angle.
    equation_of_time_rad: f64,
    distance_au: f64,
}

impl Midnight {
    fn of_day(day: i32) -> Self {
        let instant = JulianDate::new(
            TYPICAL_YEAR_START_JD + f64::from(day),
            TYPICAL_YEAR_DELTA_T_S,
        );
        // Seen from the pole, the azimuth is the hour angle turned by 180 degrees.
        let pole = Location {
            latitude: 90.0,
            longitude: 0.0,
        };
        let prepared =
            instant.and_then(|instant| SolarPositions::new().for_time_from_julian(instant));
        let seen = prepared.and_then(|sun| Ok((sun, sun.at(pole, 0.0, None)?)));
        debug_assert!(seen.is_ok(), "fixed days and a fixed place are in range");
        seen.map_or(
            Self {
                declination_rad: f64::NAN,
                equation_of_time_rad: f64::NAN,
                distance_au: f64::NAN,
            },
            |(sun, polar)| Self {
                declination_rad: sun.declination().to_radians(),
                equation_of_time_rad: wrapped_rad(polar.azimuth().to_radians()),
                distance_au: sun.earth_radius_vector().unwrap_or(1.0),
            },
        )
    }
}

/// The sun over a typical year at one place, by local standard time.
///
/// The solar position algorithm is evaluated at every fourth midnight and interpolated by a cubic in
/// between, which keeps within 1e-4 deg of it at a hundredth of the effort.
#[derive(Clone, Debug)]
pub struct SunYear {
    sin_latitude: f64,
    cos_latitude: f64,
    longitude_rad: f64,
    time_zone_h: f64,
    /// Every [`DAYS_APART`] days from before the start to after the end of the year.
    midnights: Vec<Midnight>,
}

const FIRST_DAY: i32 = -6;
const LAST_DAY: i32 = 374;
const DAYS_APART: i32 = 4;

impl SunYear {
    /// The sun at a place; `time_zone_h` is local standard time minus universal time.
    ///
    /// A latitude beyond a pole is held at the pole. A time zone more than a day wide is held at a
    /// day. NaN gives NaN directions.
    pub fn new(latitude_deg: f64, longitude_deg: f64, time_zone_h: f64) -> Self {
        let (sin_latitude, cos_latitude) = latitude_deg.clamp(-90.0, 90.0).to_radians().sin_cos();
        Self {
            sin_latitude,
            cos_latitude,
            longitude_rad: longitude_deg.to_radians(),
            time_zone_h: time_zone_h.clamp(-24.0, 24.0),
            midnights: (FIRST_DAY..=LAST_DAY)
                .step_by(DAYS_APART as usize)
                .map(Midnight::of_day)
                .collect(),
        }
    }

    /// True position at `hour` hours after 1 January 00:00 local standard time, 0 to 8,760.
    pub fn position(&self, hour: f64) -> SunPosition {
        let (sun, hour_angle) = self.sun_and_hour_angle(hour);
        let [east, north, up] = self.direction(&sun, hour_angle, 1.0);
        SunPosition {
            zenith_deg: (east.hypot(north)).atan2(up).to_degrees(),
            azimuth_deg: east.atan2(north).to_degrees().rem_euclid(360.0),
        }
    }

    /// The sun over the sunlit part of the hour from `hour` to `hour + 1`, 0 to 8,759.
    pub fn mean_of_hour(&self, hour: usize) -> SunHour {
        let (sun, hour_angle) = self.sun_and_hour_angle(hour as f64 + 0.5);
        let half = 0.5 * RAD_PER_HOUR;
        let sunset = self.sunset_hour_angle(sun.declination_rad);
        // An hour at midnight can hold the end of one bright day and the start of the next.
        let (start, end) = [0.0, TAU, -TAU]
            .map(|turn| {
                let middle = hour_angle + turn;
                ((middle - half).max(-sunset), (middle + half).min(sunset))
            })
            .into_iter()
            .fold((0.0, 0.0), |best, part| {
                if part.1 - part.0 > best.1 - best.0 {
                    part
                } else {
                    best
                }
            });
        if sunset >= PI {
            self.sun_hour(&sun, hour_angle, RAD_PER_HOUR)
        } else {
            self.sun_hour(&sun, 0.5 * (start + end), end - start)
        }
    }

    /// The sun `instant_h` hours after the start of `hour`, for radiation read at instants.
    pub fn at_instant(&self, hour: usize, instant_h: f64) -> SunHour {
        let (sun, hour_angle) = self.sun_and_hour_angle(hour as f64 + instant_h);
        if hour_angle.abs() < self.sunset_hour_angle(sun.declination_rad) {
            SunHour {
                sunlit_share: 1.0,
                mean_direction: self.direction(&sun, hour_angle, 1.0),
                ..self.sun_hour(&sun, hour_angle, 0.0)
            }
        } else {
            self.sun_hour(&sun, hour_angle, 0.0)
        }
    }

    fn sun_hour(&self, sun: &Midnight, hour_angle: f64, width: f64) -> SunHour {
        let half = 0.5 * width;
        let mean_direction = if half > 0.0 {
            self.direction(sun, hour_angle, half.sin() / half)
        } else {
            [0.0; 3]
        };
        SunHour {
            mean_direction,
            sunlit_share: width / RAD_PER_HOUR,
            extraterrestrial_normal_w_m2: SOLAR_CONSTANT_W_M2 / (sun.distance_au * sun.distance_au),
        }
    }

    fn sun_and_hour_angle(&self, hour: f64) -> (Midnight, f64) {
        let day_ut = (hour - self.time_zone_h) / 24.0;
        let sun = self.interpolated(day_ut);
        let turned = TAU * day_ut - PI + self.longitude_rad + sun.equation_of_time_rad;
        (sun, wrapped_rad(turned))
    }

    /// Cubic through the four midnights around an instant.
    fn interpolated(&self, day_ut: f64) -> Midnight {
        let last = self.midnights.len() - 4;
        let along = (day_ut - f64::from(FIRST_DAY)) / f64::from(DAYS_APART);
        let first = (along.floor() - 1.0).clamp(0.0, last as f64) as usize;
        let x = along - first as f64;
        let [a, b, c] = [x - 1.0, x - 2.0, x - 3.0];
        let weights = [
            -a * b * c / 6.0,
            x * b * c / 2.0,
            -x * a * c / 2.0,
            x * a * b / 6.0,
        ];
        let mean = |value: fn(&Midnight) -> f64| -> f64 {
            weights
                .iter()
                .zip(&self.midnights[first..])
                .map(|(weight, midnight)| weight * value(midnight))
                .sum()
        };
        Midnight {
            declination_rad: mean(|m| m.declination_rad),
            equation_of_time_rad: mean(|m| m.equation_of_time_rad),
            distance_au: mean(|m| m.distance_au),
        }
    }

    /// East, north, up of the sun, its daily turn shortened by `turn_share` (1 at an instant).
    fn direction(&self, sun: &Midnight, hour_angle: f64, turn_share: f64) -> [f64; 3] {
        let (sin_declination, cos_declination) = sun.declination_rad.sin_cos();
        let (sin_hour, cos_hour) = hour_angle.sin_cos();
        let west = cos_declination * sin_hour * turn_share;
        let south = cos_declination * cos_hour * turn_share;
        let parallax = PARALLAX_RAD / sun.distance_au;
        [
            -west,
            self.cos_latitude * sin_declination - self.sin_latitude * south,
            self.sin_latitude * sin_declination + self.cos_latitude * south - parallax,
        ]
    }

    /// Hour angle of sunset, rad: 0 in the polar night, pi in the polar day.
    fn sunset_hour_angle(&self, declination_rad: f64) -> f64 {
        let (sin_declination, cos_declination) = declination_rad.sin_cos();
        let cos_sunset = -(self.sin_latitude * sin_declination)
            / (self.cos_latitude * cos_declination).max(1e-12);
        cos_sunset.clamp(-1.0, 1.0).acos()
    }
}

fn wrapped_rad(angle: f64) -> f64 {
    angle - TAU * (angle / TAU).round()
}

#[cfg(test)]
mod tests;

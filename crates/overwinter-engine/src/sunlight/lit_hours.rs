//! The light of a year outside, hour by hour: where the sun stands, how strong it and the sky are.
//!
//! Depends on the weather file alone, so it is worked out once for a climate.

use std::sync::Arc;

use overwinter_physics::sun::{SunHour, SunYear};
use overwinter_physics::tilted_plane::DiffuseSky;
use overwinter_weather::Year;
use overwinter_weather::year::HOURS;

/// Snow on the ground that hides it, where the file has no reflectance.
const HIDING_SNOW_M: f64 = 0.05;
/// Reflectance of lying snow (from memory: 0.6 to 0.8 between old and fresh).
const SNOW_REFLECTANCE: f64 = 0.7;
/// Lowest light of a dark horizon band, as a share of the even sky's: an upright plane, which sees
/// half the sky, then keeps half of that light.
const DARKEST_HORIZON: f64 = -0.25;

/// The hours of a year in which light falls.
#[derive(Clone, Debug)]
pub struct LitHours {
    /// Number of each hour of the year among those with light, from 1; 0 in the dark.
    pub(super) number: Arc<[u16]>,
    /// See [`super::Sunlight::sun_height_deg`].
    pub(super) sun_height_deg: Arc<[f64]>,
    pub(super) hours: Vec<HourLight>,
}

/// Light of one hour outside.
#[derive(Clone, Debug)]
pub(super) struct HourLight {
    sun: SunHour,
    /// One over the length of the mean direction, for the angle of incidence.
    pub(super) per_length: f64,
    /// From the sun and close around it, W/m2 of a plane normal to it.
    pub(super) beam_w_m2: f64,
    /// From the even sky and from the horizon, W/m2 of a plane that faces it whole.
    pub(super) sky_w_m2: [f64; 2],
    /// On level ground.
    global_w_m2: f64,
    ground: Ground,
}

/// What the weather file says of the ground in an hour.
#[derive(Clone, Copy, Debug)]
enum Ground {
    Reflects(f64),
    UnderSnow,
    Unknown,
}

impl LitHours {
    /// Those of a year.
    pub fn of(year: &Year) -> Self {
        let place = &year.place;
        let sun_year = SunYear::new(place.latitude_deg, place.longitude_deg, place.time_zone_h);
        let mut number = vec![0; HOURS];
        let mut sun_height_deg = vec![0.0; HOURS];
        let mut hours = Vec::new();
        let mut count = 0;
        let marks = number.iter_mut().zip(&mut sun_height_deg);
        for (hour, (number, sun_height_deg)) in marks.enumerate() {
            if let Some(light) = HourLight::new(year, hour, &sun_year) {
                count += 1;
                *number = count;
                *sun_height_deg = light.sun_height_deg();
                hours.push(light);
            }
        }
        Self {
            number: number.into(),
            sun_height_deg: sun_height_deg.into(),
            hours,
        }
    }
}

impl HourLight {
    /// `None` in the dark.
    fn new(year: &Year, hour: usize, sun_year: &SunYear) -> Option<Self> {
        let global = year.global_horizontal_w_m2[hour];
        let diffuse = year.diffuse_horizontal_w_m2[hour];
        let direct = year.direct_normal_w_m2[hour];
        if !(global > 0.0 || diffuse > 0.0 || direct > 0.0) {
            return None;
        }
        let sun = sun_of_hour(sun_year, year, hour);
        let cos_zenith = sun.cos_zenith();
        let outer_w_m2 = sun.extraterrestrial_normal_w_m2;
        let sky = DiffuseSky::perez1990(diffuse, direct, outer_w_m2, cos_zenith);
        let is_up = cos_zenith > 0.0;
        Some(Self {
            per_length: if is_up {
                cos_zenith / sun.mean_direction[2]
            } else {
                0.0
            },
            beam_w_m2: if is_up {
                direct.max(0.0) + sky.circumsolar_w_m2
            } else {
                0.0
            },
            sky_w_m2: [
                sky.even_w_m2,
                sky.horizon_w_m2.max(DARKEST_HORIZON * sky.even_w_m2),
            ],
            global_w_m2: global.max(0.0),
            ground: Ground::of(year, hour),
            sun,
        })
    }

    /// Sine of the height of the sun, mean over the sunlit part of the hour.
    pub(super) fn sin_height(&self) -> f64 {
        self.sun.mean_direction[2]
    }

    /// Height of the sun in the middle of the sunlit part of the hour, 0 while it is down.
    fn sun_height_deg(&self) -> f64 {
        let sin_height = self.sin_height() * self.per_length;
        sin_height.clamp(0.0, 1.0).asin().to_degrees()
    }

    /// Mean direction to the sun over the sunlit part of the hour.
    pub(super) fn to_sun(&self) -> [f64; 3] {
        self.sun.mean_direction
    }

    /// Mean cosine between the sun and an outward normal.
    pub(super) fn cos_angle(&self, normal: [f64; 3]) -> f64 {
        self.sun.cos_angle(normal)
    }

    /// Light from the ground, W/m2 of a plane that faces it whole, where ground that the file does
    /// not know reflects `usual`.
    ///
    /// Lying snow reflects what snow does, if `usual` is not more; what the file says goes before
    /// both, and a reflectance that `holds` before all.
    pub(super) fn ground_w_m2(&self, usual: f64, holds: bool) -> f64 {
        let reflectance = match self.ground {
            _ if holds => usual,
            Ground::Reflects(reflectance) => reflectance,
            Ground::UnderSnow => usual.max(SNOW_REFLECTANCE),
            Ground::Unknown => usual,
        };
        self.global_w_m2 * reflectance
    }
}

impl Ground {
    fn of(year: &Year, hour: usize) -> Self {
        let albedo = year.ground_albedo.as_ref().map(|albedo| albedo[hour]);
        let snow_m = year.snow_depth_m.as_ref().map_or(0.0, |depth| depth[hour]);
        match albedo {
            Some(albedo) if (0.0..=1.0).contains(&albedo) => Self::Reflects(albedo),
            _ if snow_m > HIDING_SNOW_M => Self::UnderSnow,
            _ => Self::Unknown,
        }
    }
}

fn sun_of_hour(sun_year: &SunYear, year: &Year, hour: usize) -> SunHour {
    if (year.radiation_instant_h - 0.5).abs() < 1e-6 {
        sun_year.mean_of_hour(hour)
    } else {
        sun_year.at_instant(hour, year.radiation_instant_h)
    }
}

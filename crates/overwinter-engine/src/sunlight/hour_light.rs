//! The light of one hour outside, and what of it falls on a plane.

use overwinter_physics::film_optics::AnglePlace;
use overwinter_physics::sun::{SunHour, plane_normal};
use overwinter_physics::tilted_plane::DiffuseSky;
use overwinter_weather::Year;

use super::shade::ShadePlan;
use crate::house::{Facet, House, Outside, Section, Wall};

/// Snow on the ground that hides it, where the file has no reflectance.
const HIDING_SNOW_M: f64 = 0.05;
/// Reflectance of lying snow (from memory: 0.6 to 0.8 between old and fresh).
const SNOW_REFLECTANCE: f64 = 0.7;
/// Lowest light of a dark horizon band, as a share of the even sky's: an upright plane, which sees
/// half the sky, then keeps half of that light.
const DARKEST_HORIZON: f64 = -0.25;

/// Sources of diffuse light: even sky, horizon, ground.
pub(super) const DIFFUSE_SOURCES: usize = 3;

/// Light of one hour outside.
pub(super) struct HourLight {
    sun: SunHour,
    /// One over the length of the mean direction, for the angle of incidence.
    per_length: f64,
    /// From the sun and close around it, W/m2 of a plane normal to it.
    pub(super) beam_w_m2: f64,
    /// From each source of diffuse light, W/m2 of a plane that faces it whole.
    pub(super) diffuse_w_m2: [f64; DIFFUSE_SOURCES],
}

/// How a plane stands to the sun.
#[derive(Clone, Copy)]
pub(super) struct Facing {
    /// Area of the plane as seen from the sun, m2; negative for a plane that faces away from it.
    pub(super) seen_m2: f64,
    /// Angle between the sun and the normal, on whichever side of the plane the sun stands.
    pub(super) place: AnglePlace,
}

impl HourLight {
    /// `None` in the dark.
    pub(super) fn new(
        year: &Year,
        hour: usize,
        sun_of_hour: impl FnOnce() -> SunHour,
        house: &House,
    ) -> Option<Self> {
        let global = year.global_horizontal_w_m2[hour];
        let diffuse = year.diffuse_horizontal_w_m2[hour];
        let direct = year.direct_normal_w_m2[hour];
        if !(global > 0.0 || diffuse > 0.0 || direct > 0.0) {
            return None;
        }
        let sun = sun_of_hour();
        let cos_zenith = sun.cos_zenith();
        let outer_w_m2 = sun.extraterrestrial_normal_w_m2;
        let sky = DiffuseSky::perez1990(diffuse, direct, outer_w_m2, cos_zenith);
        let ground = global.max(0.0) * ground_reflectance(year, hour, house);
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
            diffuse_w_m2: [
                sky.even_w_m2,
                sky.horizon_w_m2.max(DARKEST_HORIZON * sky.even_w_m2),
                ground,
            ],
            sun,
        })
    }

    /// Sine of the height of the sun, mean over the sunlit part of the hour.
    pub(super) fn sin_height(&self) -> f64 {
        self.sun.mean_direction[2]
    }

    /// Height of the sun in the middle of the sunlit part of the hour, 0 while it is down.
    pub(super) fn sun_height_deg(&self) -> f64 {
        let sin_height = self.sin_height() * self.per_length;
        sin_height.clamp(0.0, 1.0).asin().to_degrees()
    }

    #[inline]
    pub(super) fn facing(&self, plane: &Plane) -> Facing {
        let cos_angle = self.sun.cos_angle(plane.normal);
        let lit_share = plane
            .shade
            .map_or(1.0, |shade| shade.lit_share(self.sun.mean_direction));
        Facing {
            seen_m2: plane.area_m2 * cos_angle * lit_share,
            place: AnglePlace::of_cos(cos_angle.abs() * self.per_length),
        }
    }
}

/// Ground reflectance of an hour.
fn ground_reflectance(year: &Year, hour: usize, house: &House) -> f64 {
    let of_house = house.ground_reflectance;
    if house.ground_reflectance_holds {
        return of_house;
    }
    let of_year = year
        .ground_albedo
        .as_ref()
        .map_or(f64::NAN, |albedo| albedo[hour]);
    let snow_m = year.snow_depth_m.as_ref().map_or(0.0, |depth| depth[hour]);
    if (0.0..=1.0).contains(&of_year) {
        of_year
    } else if snow_m > HIDING_SNOW_M {
        of_house.max(SNOW_REFLECTANCE)
    } else {
        of_house
    }
}

/// A plane of the shell, ready for every hour.
pub(super) struct Plane {
    normal: [f64; 3],
    area_m2: f64,
    shade: Option<ShadePlan>,
}

impl Plane {
    pub(super) fn new(facet: &Facet) -> Self {
        Self {
            normal: plane_normal(facet.tilt_deg, facet.azimuth_deg),
            area_m2: facet.area_m2,
            shade: None,
        }
    }

    /// A plane of a section, with its shade.
    pub(super) fn of_section(facet: &Facet, section: &Section) -> Self {
        let plane = Self::new(facet);
        let shade = section
            .shading
            .map(|shading| ShadePlan::new(shading, facet, plane.normal));
        Self { shade, ..plane }
    }

    /// Area that counts for each source of diffuse light, m2.
    pub(super) fn diffuse_m2(&self) -> [f64; DIFFUSE_SOURCES] {
        let cos_tilt = self.normal[2];
        let sin_tilt = self.normal[0].hypot(self.normal[1]);
        // A plane that leans over must not lose more to a dark horizon than its bit of sky gives.
        let horizon = sin_tilt.min(1.0 + cos_tilt);
        let left = self
            .shade
            .map_or([1.0; DIFFUSE_SOURCES], |shade| shade.diffuse_shares());
        let views = [0.5 * (1.0 + cos_tilt), horizon, 0.5 * (1.0 - cos_tilt)];
        std::array::from_fn(|source| views[source] * left[source] * self.area_m2)
    }
}

/// An opaque wall, ready for every hour.
pub(super) struct WallPlan {
    pub(super) plane: Plane,
    /// Absorptance outside; 0 for a wall that the sun does not reach.
    absorptance: f64,
}

impl WallPlan {
    pub(super) fn new(wall: &Wall) -> Self {
        let absorptance = match wall.outside {
            Outside::Open => wall.solar_absorptance[1],
            Outside::Sheltered | Outside::Adiabatic | Outside::Held { .. } => 0.0,
        };
        Self {
            plane: Plane::new(&wall.facet),
            absorptance,
        }
    }

    pub(super) fn absorbed_w(&self, light: &HourLight) -> f64 {
        let seen_m2 = light.facing(&self.plane).seen_m2.max(0.0);
        let diffuse = self.plane.diffuse_m2().into_iter().zip(light.diffuse_w_m2);
        let diffuse_w: f64 = diffuse
            .map(|(area_m2, light_w_m2)| area_m2 * light_w_m2)
            .sum();
        self.absorptance * (light.beam_w_m2 * seen_m2 + diffuse_w)
    }
}

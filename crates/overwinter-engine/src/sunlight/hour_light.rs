//! The light of one hour outside, and what of it falls on a plane.

use overwinter_physics::film_optics::AnglePlace;
use overwinter_physics::sun::{SunHour, plane_normal};
use overwinter_physics::tilted_plane::{DiffuseSky, TiltedDiffuse, ground_reflected_w_m2};
use overwinter_weather::Year;

use crate::house::{Facet, Outside, Wall};

/// Snow on the ground that hides it, where the file has no reflectance.
const HIDING_SNOW_M: f64 = 0.05;
/// Reflectance of lying snow (from memory: 0.6 to 0.8 between old and fresh).
const SNOW_REFLECTANCE: f64 = 0.7;
/// Largest part of the even sky's light that a dark horizon may take away.
const DARKEST_HORIZON: f64 = -0.5;

/// Sources of diffuse light: even sky, horizon, ground.
pub(super) const DIFFUSE_SOURCES: usize = 3;

/// Light of one hour outside.
pub(super) struct HourLight {
    sun: SunHour,
    /// One over the length of the mean direction, for the angle of incidence.
    per_length: f64,
    direct_normal_w_m2: f64,
    sky: DiffuseSky,
    global_horizontal_w_m2: f64,
    ground_reflectance: f64,
}

/// Light on one plane in one hour, W/m2 of the plane.
pub(super) struct PlaneLight {
    /// From the sun and close around it.
    pub(super) beam_w_m2: f64,
    /// From the even sky, the horizon and the ground.
    pub(super) diffuse_w_m2: [f64; DIFFUSE_SOURCES],
    /// Angle of incidence of the beam.
    pub(super) place: AnglePlace,
}

impl HourLight {
    /// `None` in the dark.
    pub(super) fn new(year: &Year, hour: usize, sun: SunHour, of_house: f64) -> Option<Self> {
        let global = year.global_horizontal_w_m2[hour];
        let diffuse = year.diffuse_horizontal_w_m2[hour];
        let direct = year.direct_normal_w_m2[hour];
        if !(global > 0.0 || diffuse > 0.0 || direct > 0.0) {
            return None;
        }
        let cos_zenith = sun.cos_zenith();
        let is_up = cos_zenith > 0.0;
        Some(Self {
            sky: DiffuseSky::perez1990(
                diffuse,
                direct,
                sun.extraterrestrial_normal_w_m2,
                cos_zenith,
            ),
            per_length: if is_up {
                cos_zenith / sun.mean_direction[2]
            } else {
                0.0
            },
            direct_normal_w_m2: if is_up { direct.max(0.0) } else { 0.0 },
            global_horizontal_w_m2: global.max(0.0),
            ground_reflectance: ground_reflectance(year, hour, of_house),
            sun,
        })
    }

    /// Sine of the height of the sun, mean over the sunlit part of the hour.
    pub(super) fn sin_height(&self) -> f64 {
        self.sun.mean_direction[2]
    }

    /// Area of a plane as seen from the sun, m2; negative for a plane that faces away from it.
    #[inline]
    pub(super) fn seen_m2(&self, plane: &Plane) -> f64 {
        plane.area_m2 * self.sun.cos_angle(plane.normal)
    }

    /// Angle between the sun and the normal of a plane, on whichever side of it the sun stands.
    #[inline]
    pub(super) fn place_on_either_side(&self, plane: &Plane) -> AnglePlace {
        AnglePlace::of_cos(self.sun.cos_angle(plane.normal).abs() * self.per_length)
    }

    #[inline]
    pub(super) fn on(&self, plane: &Plane) -> PlaneLight {
        let cos_incidence = self.sun.cos_angle(plane.normal).max(0.0);
        let cos_tilt = plane.normal[2];
        let TiltedDiffuse {
            even_w_m2,
            circumsolar_w_m2,
            horizon_w_m2,
        } = self.sky.on_plane(cos_tilt, cos_incidence);
        let ground_w_m2 = ground_reflected_w_m2(
            self.global_horizontal_w_m2,
            self.ground_reflectance,
            cos_tilt,
        );
        // Under an overcast sky the band is dark; it cannot take more than there is.
        let horizon_w_m2 = horizon_w_m2.max(DARKEST_HORIZON * even_w_m2);
        PlaneLight {
            beam_w_m2: self.direct_normal_w_m2 * cos_incidence + circumsolar_w_m2,
            diffuse_w_m2: [even_w_m2, horizon_w_m2, ground_w_m2],
            place: AnglePlace::of_cos(cos_incidence * self.per_length),
        }
    }
}

/// Ground reflectance of an hour.
fn ground_reflectance(year: &Year, hour: usize, of_house: f64) -> f64 {
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
    pub(super) normal: [f64; 3],
    pub(super) area_m2: f64,
}

impl Plane {
    pub(super) fn new(facet: &Facet) -> Self {
        Self {
            normal: plane_normal(facet.tilt_deg, facet.azimuth_deg),
            area_m2: facet.area_m2,
        }
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
        let on = light.on(&self.plane);
        let incident_w_m2 = on.beam_w_m2 + on.diffuse_w_m2.iter().sum::<f64>();
        self.absorptance * self.plane.area_m2 * incident_w_m2
    }
}

//! The light of a year on every plane of a shell, before it meets the cover.
//!
//! Depends on the climate, the planes, the floor area and the ground outside, so it is worked out once
//! for all houses that have these in common, whatever they are covered with.

use std::sync::Arc;

use overwinter_physics::film_optics::AnglePlace;
use overwinter_physics::sun::plane_normal;

use super::lit_hours::{HourLight, LitHours};
use super::shade::ShadePlan;
use crate::house::{Facet, House, Section, Shading};

/// Sources of diffuse light: even sky, horizon, ground.
pub(super) const DIFFUSE_SOURCES: usize = 3;

/// Everything of a house that the light on its planes depends on.
#[derive(Clone, Debug, PartialEq)]
pub struct ShellPlanes {
    sections: Vec<SectionPlanes>,
    walls: Vec<Facet>,
    floor_area_m2: f64,
    ground_reflectance: f64,
    ground_reflectance_holds: bool,
}

#[derive(Clone, Debug, PartialEq)]
struct SectionPlanes {
    facets: Vec<Facet>,
    shading: Option<Shading>,
}

impl ShellPlanes {
    /// That of a house.
    pub fn of(house: &House) -> Self {
        let planes = |section: &Section| SectionPlanes {
            facets: section.facets.clone(),
            shading: section.shading,
        };
        Self {
            sections: house.sections.iter().map(planes).collect(),
            walls: house.walls.iter().map(|wall| wall.facet).collect(),
            floor_area_m2: house.floor_area_m2,
            ground_reflectance: house.ground_reflectance,
            ground_reflectance_holds: house.ground_reflectance_holds,
        }
    }
}

/// The light of a year on the planes of a shell.
#[derive(Clone, Debug)]
pub struct LitPlanes {
    pub(super) number: Arc<[u16]>,
    pub(super) sun_height_deg: Arc<[f64]>,
    /// The planes of each section.
    pub(super) sections: Vec<Vec<Plane>>,
    pub(super) walls: usize,
    pub(super) hours: Vec<HourOnPlanes>,
    /// For each hour with a beam, how the planes of all sections stand to it.
    facings: Vec<Facing>,
    /// For each hour and wall.
    on_walls: Vec<LightOnWall>,
}

/// The light of one hour on a shell.
#[derive(Clone, Debug)]
pub(super) struct HourOnPlanes {
    /// From the sun and close around it, W/m2 of a plane normal to it.
    pub(super) beam_w_m2: f64,
    /// From each source of diffuse light, W/m2 of a plane that faces it whole.
    pub(super) diffuse_w_m2: [f64; DIFFUSE_SOURCES],
    pub(super) crossing: Crossing,
    first_facing: usize,
}

/// The part of a beam that passes above the floor and crosses the house.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Crossing {
    /// Its share of every beam.
    pub(super) share: f64,
    /// The sides away from the sun, as seen from it; 0 if there are none.
    pub(super) far_m2: f64,
}

/// How a plane stands to the sun.
#[derive(Clone, Copy, Debug)]
pub(super) struct Facing {
    /// Area of the plane as seen from the sun, m2; negative for a plane that faces away from it.
    pub(super) seen_m2: f64,
    /// Angle between the sun and the normal, on whichever side of the plane the sun stands.
    pub(super) place: AnglePlace,
}

/// Light of one hour on an opaque wall.
#[derive(Clone, Copy, Debug)]
pub(super) struct LightOnWall {
    /// On its outer face, W.
    pub(super) outside_w: f64,
    /// Its inner face as seen from the sun through the house, m2; 0 for one that looks away.
    pub(super) seen_inside_m2: f64,
}

impl LitPlanes {
    /// The light on the planes of a shell.
    pub fn new(shell: &ShellPlanes, lit: &LitHours) -> Self {
        let sections: Vec<Vec<Plane>> = shell.sections.iter().map(Plane::all_of).collect();
        let walls: Vec<Plane> = shell
            .walls
            .iter()
            .map(|wall| Plane::new(wall, None))
            .collect();
        let planes: usize = sections.iter().map(Vec::len).sum();
        let mut facings = Vec::with_capacity(planes * lit.hours.len());
        let mut on_walls = Vec::with_capacity(walls.len() * lit.hours.len());
        let mut hours = Vec::with_capacity(lit.hours.len());
        for light in &lit.hours {
            let [even, horizon] = light.sky_w_m2;
            let usual = shell.ground_reflectance;
            let ground = light.ground_w_m2(usual, shell.ground_reflectance_holds);
            let diffuse_w_m2 = [even, horizon, ground];
            let first_wall = on_walls.len();
            on_walls.extend(walls.iter().map(|wall| wall.as_wall(light, diffuse_w_m2)));
            let first_facing = facings.len();
            let mut crossing = Crossing::default();
            if light.beam_w_m2 > 0.0 {
                facings.extend(sections.iter().flatten().map(|plane| plane.facing(light)));
                let on_floor_m2 = shell.floor_area_m2 * light.sin_height();
                let on_walls = &on_walls[first_wall..];
                crossing = Crossing::new(&facings[first_facing..], on_walls, on_floor_m2);
            }
            hours.push(HourOnPlanes {
                beam_w_m2: light.beam_w_m2,
                diffuse_w_m2,
                crossing,
                first_facing,
            });
        }
        facings.shrink_to_fit();
        Self {
            number: Arc::clone(&lit.number),
            sun_height_deg: Arc::clone(&lit.sun_height_deg),
            sections,
            walls: walls.len(),
            hours,
            facings,
            on_walls,
        }
    }

    /// How the planes of all sections stand to the sun, section by section, in an hour with a beam.
    pub(super) fn facings(&self, hour: &HourOnPlanes) -> &[Facing] {
        let planes: usize = self.sections.iter().map(Vec::len).sum();
        &self.facings[hour.first_facing..hour.first_facing + planes]
    }

    /// The light on all walls in a lit hour, counted from 0.
    pub(super) fn on_walls(&self, lit_hour: usize) -> &[LightOnWall] {
        &self.on_walls[lit_hour * self.walls..(lit_hour + 1) * self.walls]
    }

    /// Memory it holds, bytes.
    pub fn size_bytes(&self) -> usize {
        size_of_val(&*self.facings) + size_of_val(&*self.on_walls) + size_of_val(&*self.hours)
    }
}

impl Crossing {
    /// See [`super::sunlight`].
    fn new(facings: &[Facing], on_walls: &[LightOnWall], on_floor_m2: f64) -> Self {
        let lit_m2: f64 = facings.iter().map(|facing| facing.seen_m2.max(0.0)).sum();
        if lit_m2 <= on_floor_m2 {
            return Self::default();
        }
        let walls_m2 = on_walls.iter().map(|wall| wall.seen_inside_m2);
        let far = facings.iter().filter(|facing| facing.seen_m2 < 0.0);
        let far_m2 = far.fold(walls_m2.sum(), |sum, facing| sum - facing.seen_m2);
        Self {
            share: 1.0 - on_floor_m2 / lit_m2,
            far_m2,
        }
    }
}

/// A plane of the shell, ready for every hour.
#[derive(Clone, Debug)]
pub(super) struct Plane {
    pub(super) tilt_deg: f64,
    /// Area that counts for each source of diffuse light, m2.
    pub(super) diffuse_m2: [f64; DIFFUSE_SOURCES],
    normal: [f64; 3],
    area_m2: f64,
    shade: Option<ShadePlan>,
}

impl Plane {
    fn new(facet: &Facet, shading: Option<Shading>) -> Self {
        let normal = plane_normal(facet.tilt_deg, facet.azimuth_deg);
        let shade = shading.map(|shading| ShadePlan::new(shading, facet, normal));
        Self {
            tilt_deg: facet.tilt_deg,
            diffuse_m2: diffuse_m2(normal, facet.area_m2, shade),
            normal,
            area_m2: facet.area_m2,
            shade,
        }
    }

    fn all_of(section: &SectionPlanes) -> Vec<Self> {
        let facets = section.facets.iter();
        facets
            .map(|facet| Self::new(facet, section.shading))
            .collect()
    }

    fn facing(&self, light: &HourLight) -> Facing {
        let cos_angle = light.cos_angle(self.normal);
        Facing {
            seen_m2: self.seen_m2(light, cos_angle),
            place: AnglePlace::of_cos(cos_angle.abs() * light.per_length),
        }
    }

    fn seen_m2(&self, light: &HourLight, cos_angle: f64) -> f64 {
        let lit_share = self
            .shade
            .map_or(1.0, |shade| shade.lit_share(light.to_sun()));
        self.area_m2 * cos_angle * lit_share
    }

    fn as_wall(&self, light: &HourLight, diffuse_w_m2: [f64; DIFFUSE_SOURCES]) -> LightOnWall {
        let seen_m2 = self.seen_m2(light, light.cos_angle(self.normal));
        let diffuse = self.diffuse_m2.into_iter().zip(diffuse_w_m2);
        let diffuse_w: f64 = diffuse
            .map(|(area_m2, light_w_m2)| area_m2 * light_w_m2)
            .sum();
        LightOnWall {
            outside_w: light.beam_w_m2 * seen_m2.max(0.0) + diffuse_w,
            seen_inside_m2: (-seen_m2).max(0.0),
        }
    }
}

/// Area of a plane that counts for each source of diffuse light, m2.
fn diffuse_m2(normal: [f64; 3], area_m2: f64, shade: Option<ShadePlan>) -> [f64; DIFFUSE_SOURCES] {
    let cos_tilt = normal[2];
    let sin_tilt = normal[0].hypot(normal[1]);
    // A plane that leans over must not lose more to a dark horizon than its bit of sky gives.
    let horizon = sin_tilt.min(1.0 + cos_tilt);
    let left = shade.map_or([1.0; DIFFUSE_SOURCES], |shade| shade.diffuse_shares());
    let views = [0.5 * (1.0 + cos_tilt), horizon, 0.5 * (1.0 - cos_tilt)];
    std::array::from_fn(|source| views[source] * left[source] * area_m2)
}

//! Where the light that has entered the house ends.
//!
//! The floor plane (crop above soil) faces the shell (cover, walls, thermal mass). What a part does
//! not absorb it scatters evenly, over and over, until all of it is absorbed or let out again. A
//! beam first meets the floor plane: beams that pass above it are dealt with in
//! [`crate::sunlight`]. Left out: the shade of a part on another.

use overwinter_physics::film_optics::StackShares;

use crate::house::{Crop, Facet, House};
use crate::sunlight::{SectionOptics, beam_kept_share, stack_optics};

/// Part of the light caught by the frame that warms it, and so the air; the rest is scattered.
/// Estimate for bright steel tube.
const FRAME_ABSORPTANCE: f64 = 0.5;
/// A convex body in even light catches what falls on a quarter of its surface (Cauchy's theorem).
const CAUCHY_SHADOW_SHARE: f64 = 0.25;

/// Where light ends, as shares of the light that entered; together 1.
#[derive(Clone, Debug, PartialEq)]
pub struct LightEnds {
    /// Absorbed by the crop.
    pub crop: f64,
    /// Absorbed by the floor, alike per area in all columns.
    pub floor: f64,
    /// Absorbed by the inner face of each wall.
    pub walls: Vec<f64>,
    /// Absorbed by the thermal mass.
    pub mass: f64,
    /// Given to the house air by the frame.
    pub air: f64,
    /// Absorbed from inside by each layer of each section, from the house outwards; 0 for an open
    /// screen.
    pub layers: Vec<Vec<f64>>,
    /// Let out again through the cover.
    pub out: f64,
}

impl LightEnds {
    /// All shares together.
    pub fn total(&self) -> f64 {
        let walls: f64 = self.walls.iter().sum();
        let layers: f64 = self.layers.iter().flatten().sum();
        self.crop + self.floor + walls + self.mass + self.air + layers + self.out
    }
}

/// Where beam and diffuse light end.
#[derive(Clone, Debug, PartialEq)]
pub struct LightShares {
    /// Of light that entered as a beam.
    pub beam: LightEnds,
    /// Of light that entered as diffuse light.
    pub diffuse: LightEnds,
}

/// Where the light that enters a house ends, its screens open.
///
/// ```text
/// floor plane: F = f + v r_s S
/// shell:       S = s + r_f F + (1 - v) r_s S
/// ```
///
/// F and S is all light that arrives at floor plane and shell, f and s what arrives first, r_f and
/// r_s their reflectances, `v = floor area / shell area` the view of the floor from the shell. Light
/// on the shell spreads by area.
///
/// Diffuse light that a clear cover lets in keeps its direction: the floor first gets what falls on
/// it through the cover. A cover that scatters spreads it by view. Haze weighs the two.
pub fn light_shares(house: &House) -> LightShares {
    Room::new(house, false).shares(house)
}

/// Where the light that enters a house ends with every screen closed.
///
/// As [`light_shares`], with the screens' faces as the inner face of their sections.
pub fn light_shares_under_screens(house: &House) -> LightShares {
    Room::new(house, true).shares(house)
}

/// The floor plane: a canopy that catches a share of the light above a floor.
#[derive(Clone, Copy)]
struct FloorPlane {
    crop_absorptance: f64,
    floor_absorptance: f64,
    reflectance: f64,
}

impl FloorPlane {
    /// Adds the canopy (which scatters what it does not absorb back to where it came from) to the
    /// floor, bounces between the two included.
    fn new(crop: Option<&Crop>, floor_absorptance: f64) -> Self {
        let caught = crop.map_or(0.0, caught_share);
        let scattered = caught * crop.map_or(0.0, |crop| 1.0 - crop.solar_absorptance);
        let passed = 1.0 - caught;
        let floor_reflectance = 1.0 - floor_absorptance;
        let arrives = passed / (1.0 - scattered * floor_reflectance).max(1e-12);
        let reflectance = scattered + passed * arrives * floor_reflectance;
        let floor_absorptance = arrives * floor_absorptance;
        Self {
            crop_absorptance: (1.0 - reflectance - floor_absorptance).max(0.0),
            floor_absorptance,
            reflectance,
        }
    }
}

/// Share of the light over the floor that the canopy catches.
fn caught_share(crop: &Crop) -> f64 {
    crop.floor_share * (1.0 - (-crop.extinction * crop.leaf_area_index).exp())
}

/// Light that arrives for the first time at floor plane, thermal mass and shell.
struct Arrival {
    floor: f64,
    mass: f64,
    shell: f64,
}

/// The house as light sees it from inside.
struct Room {
    floor: FloorPlane,
    /// Optics of each section from inside, and its share of the shell.
    sections: Vec<(StackShares, f64)>,
    wall_shares: Vec<f64>,
    mass_share: f64,
    /// Share of a beam that falls on the mass.
    mass_shadow: f64,
    floor_view: f64,
    /// Share of diffuse light that meets the floor first.
    diffuse_on_floor: f64,
    shell_reflectance: f64,
}

impl Room {
    fn new(house: &House, screen_closed: bool) -> Self {
        let mass_m2 = house.mass.map_or(0.0, |mass| mass.area_m2);
        let cover_m2: f64 = house.sections.iter().map(|section| section.area_m2()).sum();
        let walls_m2: f64 = house.walls.iter().map(|wall| wall.facet.area_m2).sum();
        let shell_m2 = (cover_m2 + walls_m2 + mass_m2).max(f64::MIN_POSITIVE);
        let sections: Vec<(StackShares, f64)> = house
            .sections
            .iter()
            .map(|section| {
                let stack = stack_optics(SectionOptics::of(section).lit_layers(screen_closed));
                (
                    stack.diffuse_from_inside().clone(),
                    section.area_m2() / shell_m2,
                )
            })
            .collect();
        let wall_shares: Vec<f64> = house
            .walls
            .iter()
            .map(|wall| wall.facet.area_m2 / shell_m2)
            .collect();
        let floor_view = (house.floor_area_m2 / shell_m2).min(1.0);
        let mut room = Self {
            floor: FloorPlane::new(house.crop.as_ref(), house.floor.solar_absorptance),
            sections,
            wall_shares,
            mass_share: mass_m2 / shell_m2,
            mass_shadow: (CAUCHY_SHADOW_SHARE * mass_m2 / house.floor_area_m2).min(1.0),
            floor_view,
            diffuse_on_floor: diffuse_on_floor(house, screen_closed, floor_view),
            shell_reflectance: 0.0,
        };
        room.shell_reflectance = room.shell_reflectance_of(house);
        room
    }

    fn shell_reflectance_of(&self, house: &House) -> f64 {
        let cover: f64 = self
            .sections
            .iter()
            .map(|(optics, share)| optics.reflectance * share)
            .sum();
        let walls: f64 = house
            .walls
            .iter()
            .zip(&self.wall_shares)
            .map(|(wall, share)| (1.0 - wall.solar_absorptance[0]) * share)
            .sum();
        let mass = house.mass.map_or(0.0, |mass| 1.0 - mass.solar_absorptance);
        cover + walls + mass * self.mass_share
    }

    fn shares(&self, house: &House) -> LightShares {
        let frame = house.frame_shade.clamp(0.0, 1.0);
        let air = frame * FRAME_ABSORPTANCE;
        let scattered = frame - air;
        let past_frame = 1.0 - frame;
        let with_scattered = |floor: f64, mass: f64, shell: f64| Arrival {
            floor: past_frame * floor + scattered * self.floor_view,
            mass: past_frame * mass,
            shell: past_frame * shell + scattered * (1.0 - self.floor_view),
        };
        let beam = with_scattered(1.0 - self.mass_shadow, self.mass_shadow, 0.0);
        let diffuse = with_scattered(self.diffuse_on_floor, 0.0, 1.0 - self.diffuse_on_floor);
        LightShares {
            beam: self.ends(house, &beam, air),
            diffuse: self.ends(house, &diffuse, air),
        }
    }

    /// Bounces the light until it has ended.
    fn ends(&self, house: &House, first: &Arrival, air: f64) -> LightEnds {
        let mass_absorptance = house.mass.map_or(1.0, |mass| mass.solar_absorptance);
        let mass_scatters = first.mass * (1.0 - mass_absorptance);
        let first_floor = first.floor + mass_scatters * self.floor_view;
        let first_shell = first.shell + mass_scatters * (1.0 - self.floor_view);

        let from_shell = self.floor_view * self.shell_reflectance;
        let kept_in_shell = (1.0 - self.floor_view) * self.shell_reflectance;
        let left = (1.0 - kept_in_shell - self.floor.reflectance * from_shell).max(1e-12);
        let shell = (first_shell + self.floor.reflectance * first_floor) / left;
        let floor = first_floor + from_shell * shell;

        let walls = house.walls.iter().zip(&self.wall_shares);
        let layers = house
            .sections
            .iter()
            .zip(&self.sections)
            .map(|(section, (optics, share))| {
                let mut absorbed = vec![0.0; section.layers.len() - optics.absorptance.len()];
                absorbed.extend(optics.absorptance.iter().map(|part| shell * share * part));
                absorbed
            });
        LightEnds {
            crop: floor * self.floor.crop_absorptance,
            floor: floor * self.floor.floor_absorptance,
            walls: walls
                .map(|(wall, share)| shell * share * wall.solar_absorptance[0])
                .collect(),
            mass: first.mass * mass_absorptance + shell * self.mass_share * mass_absorptance,
            air,
            layers: layers.collect(),
            out: self
                .sections
                .iter()
                .map(|(optics, share)| shell * share * optics.transmittance)
                .sum(),
        }
    }
}

/// Share of entering diffuse light that meets the floor plane first.
///
/// Clear covers: the floor gets the even sky as far as it sees it through the cover, out of all the
/// light from sky and ground that the cover catches. Scattering covers: the view of the floor.
fn diffuse_on_floor(house: &House, screen_closed: bool, floor_view: f64) -> f64 {
    let sky_m2 = |facet: &Facet| facet.area_m2 * 0.5 * (1.0 + facet.tilt_deg.to_radians().cos());
    let mut cover_sky_m2 = 0.0;
    let mut cover_light_m2 = 0.0;
    let mut scattering_m2 = 0.0;
    for section in &house.sections {
        let kept = beam_kept_share(SectionOptics::of(section).lit_layers(screen_closed));
        scattering_m2 += (1.0 - kept) * section.area_m2();
        for facet in &section.facets {
            let sky = sky_m2(facet);
            cover_sky_m2 += sky;
            cover_light_m2 += sky + house.ground_reflectance * (facet.area_m2 - sky);
        }
    }
    let walls_sky_m2: f64 = house.walls.iter().map(|wall| sky_m2(&wall.facet)).sum();
    let cover_m2: f64 = house.sections.iter().map(|section| section.area_m2()).sum();
    if !(cover_m2 > 0.0 && cover_light_m2 > 0.0) {
        return floor_view;
    }
    let seen = (house.floor_area_m2 / (cover_sky_m2 + walls_sky_m2)).min(1.0);
    let clear = seen * cover_sky_m2 / cover_light_m2;
    let haze = scattering_m2 / cover_m2;
    haze * floor_view + (1.0 - haze) * clear
}

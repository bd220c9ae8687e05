//! The sun on the shell, hour by hour: light let in and heat absorbed by each part of the cover.
//!
//! Depends on the house's planes and optics and on the climate alone, so it is computed once for
//! both. Absent here: water and snow on the cover (the season loop takes their share), and what
//! becomes of the light inside (see [`crate::light_shares`]).

use overwinter_physics::film_optics::{AnglePlace, Sheet, StackOptics, StackShares};
use overwinter_physics::sun::{SunHour, SunYear, plane_normal};
use overwinter_physics::tilted_plane::{DiffuseSky, TiltedDiffuse, ground_reflected_w_m2};
use overwinter_weather::Year;
use overwinter_weather::year::HOURS;

use crate::house::{Facet, House, Layer, Outside, Section, SolarOptics};

/// Snow on the ground that hides it, where the file has no reflectance.
const HIDING_SNOW_M: f64 = 0.05;
/// Reflectance of lying snow (from memory: 0.6 to 0.8 between old and fresh).
const SNOW_REFLECTANCE: f64 = 0.7;
/// Sources of diffuse light: even sky, horizon, ground.
const DIFFUSE_SOURCES: usize = 3;
/// Largest part of the even sky's light that a dark horizon may take away.
const DARKEST_HORIZON: f64 = -0.5;
/// Columns of a section's block before its layers: light let in as a beam and as diffuse light.
const LIGHT_COLUMNS: usize = 2;

impl From<SolarOptics> for Sheet {
    fn from(optics: SolarOptics) -> Self {
        match optics {
            SolarOptics::Slab {
                refractive_index,
                extinction_thickness,
            } => Self::Slab {
                refractive_index,
                extinction_thickness,
            },
            SolarOptics::Measured {
                transmittance,
                reflectance,
            } => Self::Measured {
                transmittance,
                reflectance,
            },
            SolarOptics::Diffusing {
                transmittance,
                reflectance,
            } => Self::Diffusing {
                transmittance,
                reflectance,
            },
        }
    }
}

/// Optics of a section's layers; without its screen (layer 0) when that is open.
pub(crate) fn stack_optics(layers: &[Layer]) -> StackOptics {
    let sheets: Vec<Sheet> = layers.iter().map(|layer| layer.solar.into()).collect();
    StackOptics::new(&sheets)
}

/// Layers in the light: all of them, or all but an open screen.
pub(crate) fn lit_layers(section: &Section, screen_closed: bool) -> &[Layer] {
    let skip = usize::from(section.screen.is_some() && !screen_closed);
    section.layers.get(skip..).unwrap_or(&[])
}

/// Share of a beam that stays a beam through these layers.
pub(crate) fn beam_kept_share(layers: &[Layer]) -> f64 {
    layers
        .iter()
        .map(|layer| 1.0 - layer.haze.clamp(0.0, 1.0))
        .product()
}

/// What one section does with the sun in one hour, W on the whole section, mean over the hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionLight<'a> {
    /// Light let in that keeps the direction of the sun.
    pub beam_w: f64,
    /// Light let in from all over, scattered beam included.
    pub diffuse_w: f64,
    /// Heat absorbed in each layer, from the house outwards; 0 for an open screen.
    pub absorbed_w: &'a [f64],
}

/// The sun on a house over a year.
///
/// Stored as one row an hour. A row holds a block for every section (beam let in, diffuse let in,
/// heat absorbed in each layer), a second such block for the closed screen where the section has
/// one, and then the heat absorbed outside by each wall.
#[derive(Clone, Debug)]
pub struct Sunlight {
    width: usize,
    values: Vec<f64>,
    sections: Vec<Block>,
    walls_at: usize,
    /// Height of the sun above the horizon in the middle of the sunlit part of each hour; 0 while
    /// it is down.
    pub sun_height_deg: Vec<f64>,
}

/// Where a section stands in a row.
#[derive(Clone, Copy, Debug)]
struct Block {
    open_at: usize,
    /// The same as `open_at` where there is no screen.
    closed_at: usize,
    layers: usize,
}

impl Sunlight {
    /// What a section does with the sun in an hour, its screen open or closed; without a screen
    /// both are the same. Panics if there is no such hour or section.
    #[inline]
    pub fn section(&self, hour: usize, section: usize, screen_closed: bool) -> SectionLight<'_> {
        let block = self.sections[section];
        let start = if screen_closed {
            block.closed_at
        } else {
            block.open_at
        };
        let values = &self.row(hour)[start..start + LIGHT_COLUMNS + block.layers];
        SectionLight {
            beam_w: values[0],
            diffuse_w: values[1],
            absorbed_w: &values[LIGHT_COLUMNS..],
        }
    }

    /// Heat that the outer face of each wall absorbs in an hour, W on the whole wall. Panics if
    /// there is no such hour.
    #[inline]
    pub fn walls_w(&self, hour: usize) -> &[f64] {
        &self.row(hour)[self.walls_at..]
    }

    fn row(&self, hour: usize) -> &[f64] {
        &self.values[hour * self.width..(hour + 1) * self.width]
    }
}

/// Computes the sun on every plane of a house for a year.
///
/// The sky is that of Perez et al. (1990): its even part and its band at the horizon come in as
/// diffuse light, its part around the sun as a beam. Dirt turns `1 - light_kept_share` of the light
/// back before it meets the cover. Ground reflectance is that of the year where it has it, else
/// that of snow under more than 5 cm of it, else the house's.
pub fn sunlight(house: &House, year: &Year) -> Sunlight {
    let mut width = 0;
    let sections: Vec<SectionPlan> = house
        .sections
        .iter()
        .map(|section| SectionPlan::new(section, &mut width))
        .collect();
    let walls_at = width;
    let walls: Vec<WallPlan> = house.walls.iter().map(WallPlan::new).collect();
    width += walls.len();

    let sun_year = SunYear::new(
        year.place.latitude_deg,
        year.place.longitude_deg,
        year.place.time_zone_h,
    );
    let mut values = vec![0.0; HOURS * width];
    let mut sun_height_deg = vec![0.0; HOURS];
    for hour in 0..HOURS {
        let sun = sun_of_hour(&sun_year, year, hour);
        sun_height_deg[hour] = sun.cos_zenith().clamp(0.0, 1.0).asin().to_degrees();
        let Some(light) = HourLight::new(year, hour, sun, house.ground_reflectance) else {
            continue;
        };
        let row = &mut values[hour * width..(hour + 1) * width];
        for section in &sections {
            section.add_light(&light, row);
        }
        for (wall, absorbed_w) in walls.iter().zip(&mut row[walls_at..]) {
            *absorbed_w = wall.absorbed_w(&light);
        }
    }
    let sections = sections.iter().map(|section| section.block).collect();
    Sunlight {
        width,
        values,
        sections,
        walls_at,
        sun_height_deg,
    }
}

fn sun_of_hour(sun_year: &SunYear, year: &Year, hour: usize) -> SunHour {
    if (year.radiation_instant_h - 0.5).abs() < 1e-6 {
        sun_year.mean_of_hour(hour)
    } else {
        sun_year.at_instant(hour, year.radiation_instant_h)
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

/// Light of one hour outside.
struct HourLight {
    sun: SunHour,
    /// One over the length of the mean direction, for the angle of incidence.
    per_length: f64,
    direct_normal_w_m2: f64,
    sky: DiffuseSky,
    global_horizontal_w_m2: f64,
    ground_reflectance: f64,
}

/// Light on one plane in one hour, W/m2 of the plane.
struct PlaneLight {
    /// From the sun and close around it.
    beam_w_m2: f64,
    /// From the even sky, the horizon and the ground.
    diffuse_w_m2: [f64; DIFFUSE_SOURCES],
    place: AnglePlace,
}

impl HourLight {
    /// `None` in the dark.
    fn new(year: &Year, hour: usize, sun: SunHour, of_house: f64) -> Option<Self> {
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

    #[inline]
    fn on(&self, plane: &Plane) -> PlaneLight {
        let cos_incidence = self.sun.cos_incidence(plane.normal);
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

/// A plane of the shell, ready for every hour.
struct Plane {
    normal: [f64; 3],
    area_m2: f64,
}

impl Plane {
    fn new(facet: &Facet) -> Self {
        Self {
            normal: plane_normal(facet.tilt_deg, facet.azimuth_deg),
            area_m2: facet.area_m2,
        }
    }
}

/// An opaque wall, ready for every hour.
struct WallPlan {
    plane: Plane,
    /// Absorptance outside; 0 for a wall that the sun does not reach.
    absorptance: f64,
}

impl WallPlan {
    fn new(wall: &crate::house::Wall) -> Self {
        let absorptance = match wall.outside {
            Outside::Open => wall.solar_absorptance[1],
            Outside::Sheltered | Outside::Adiabatic | Outside::Held { .. } => 0.0,
        };
        Self {
            plane: Plane::new(&wall.facet),
            absorptance,
        }
    }

    fn absorbed_w(&self, light: &HourLight) -> f64 {
        let on = light.on(&self.plane);
        let incident_w_m2 = on.beam_w_m2 + on.diffuse_w_m2.iter().sum::<f64>();
        self.absorptance * self.plane.area_m2 * incident_w_m2
    }
}

/// A section, ready for every hour.
struct SectionPlan {
    block: Block,
    planes: Vec<Plane>,
    /// Screen open, and closed where there is one.
    states: Vec<StackPlan>,
}

/// A section's stack with its screen open or closed.
struct StackPlan {
    stack: StackOptics,
    /// Column of the row where the block starts, and of its innermost lit layer.
    at: usize,
    first_layer_at: usize,
    beam_kept_share: f64,
    light_kept_share: f64,
    /// For each plane, what becomes of diffuse light from each source.
    diffuse: Vec<[StackShares; DIFFUSE_SOURCES]>,
}

impl SectionPlan {
    fn new(section: &Section, width: &mut usize) -> Self {
        let layers = section.layers.len();
        let mut next_block = || {
            let at = *width;
            *width += LIGHT_COLUMNS + layers;
            at
        };
        let open_at = next_block();
        let mut states = vec![StackPlan::new(section, false, open_at)];
        let mut closed_at = open_at;
        if section.screen.is_some() {
            closed_at = next_block();
            states.push(StackPlan::new(section, true, closed_at));
        }
        Self {
            block: Block {
                open_at,
                closed_at,
                layers,
            },
            planes: section.facets.iter().map(Plane::new).collect(),
            states,
        }
    }

    fn add_light(&self, light: &HourLight, row: &mut [f64]) {
        for (at, plane) in self.planes.iter().enumerate() {
            let on = light.on(plane);
            for state in &self.states {
                state.add_plane(plane.area_m2, &on, &state.diffuse[at], row);
            }
        }
    }
}

impl StackPlan {
    fn new(section: &Section, screen_closed: bool, at: usize) -> Self {
        let layers = lit_layers(section, screen_closed);
        let stack = stack_optics(layers);
        let diffuse = section
            .facets
            .iter()
            .map(|facet| {
                [
                    stack.diffuse_from_sky(facet.tilt_deg),
                    stack.diffuse_from_horizon(facet.tilt_deg),
                    stack.diffuse_from_ground(facet.tilt_deg),
                ]
            })
            .collect();
        Self {
            at,
            first_layer_at: at + LIGHT_COLUMNS + section.layers.len() - layers.len(),
            beam_kept_share: beam_kept_share(layers),
            light_kept_share: section.light_kept_share,
            diffuse,
            stack,
        }
    }

    #[inline]
    fn add_plane(
        &self,
        area_m2: f64,
        on: &PlaneLight,
        diffuse: &[StackShares; DIFFUSE_SOURCES],
        row: &mut [f64],
    ) {
        let lit_m2 = area_m2 * self.light_kept_share;
        let beam_w = on.beam_w_m2 * lit_m2;
        let through_w = beam_w * self.stack.transmittance(on.place);
        row[self.at] += through_w * self.beam_kept_share;
        row[self.at + 1] += through_w * (1.0 - self.beam_kept_share);
        for (shares, light_w_m2) in diffuse.iter().zip(on.diffuse_w_m2) {
            row[self.at + 1] += light_w_m2 * lit_m2 * shares.transmittance;
        }
        for layer in 0..self.stack.sheets() {
            let mut absorbed_w = beam_w * self.stack.absorptance(on.place, layer);
            for (shares, light_w_m2) in diffuse.iter().zip(on.diffuse_w_m2) {
                absorbed_w += light_w_m2 * lit_m2 * shares.absorptance[layer];
            }
            row[self.first_layer_at + layer] += absorbed_w;
        }
    }
}

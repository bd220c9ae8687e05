//! The house: what it is made of, validated, in SI units. Nothing here changes during a season.
//!
//! A house is a room of air with a *shell* (cover sections, opaque walls, a lumped thermal mass)
//! around a *floor* (one or two columns of ground or a raised floor, with the crop above). Every
//! area is in m2 of the part itself, every outward angle in degrees.

/// Solar optics of one layer.
pub use overwinter_physics::film_optics::Sheet as SolarOptics;

/// Gases in a sealed space.
pub use overwinter_physics::cavity::iso15099::{AIR, ARGON, Gas};

use crate::control::{Cooler, Fans, Gains, Heater, ScreenRule, Setting, Vents};
use crate::inflated::Inflation;

/// A plane piece of the envelope, for sun and sky.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Facet {
    /// Area of this piece.
    pub area_m2: f64,
    /// Angle between the outward normal and the zenith: 0 flat roof, 90 wall.
    pub tilt_deg: f64,
    /// Direction the outward normal points to, clockwise from north: 90 east, 180 south.
    pub azimuth_deg: f64,
}

/// One layer of a cover section: a film, a pane, a skin of a sheet, a screen.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// Name for reports.
    pub name: String,
    /// Heat capacity of the layer.
    pub heat_capacity_j_m2k: f64,
    /// Resistance of the layer itself from face to face; it counts in the sealed spaces beside it.
    pub resistance_m2k_w: f64,
    /// Hemispherical longwave transmittance of the dry layer.
    pub longwave_transmittance: f64,
    /// Longwave reflectance of the dry layer, both sides; the emissivity is the rest.
    pub longwave_reflectance: f64,
    /// That of the upper (outer) face where it differs, as under a coating.
    pub upper_longwave_reflectance: Option<f64>,
    /// Solar optics.
    pub solar: SolarOptics,
    /// Share of transmitted beam that leaves as diffuse light.
    pub haze: f64,
    /// How water sits on the lower face.
    pub wetting: Wetting,
}

/// How water sits on the lower (house-side) face of a layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wetting {
    /// Water that covers the face for longwave and light: below it the wet share is proportional.
    pub full_cover_kg_m2: f64,
    /// Water the face can hold before it drains.
    pub capacity_kg_m2: f64,
    /// Share of drained water that drips on crop and floor; the rest runs to the gutter.
    pub drip_share: f64,
    /// Share of light lost when the face is wet all over.
    pub light_loss: f64,
}

/// The space between layer `i` and layer `i + 1` of a section, counted from the house.
#[derive(Clone, Debug, PartialEq)]
pub enum Space {
    /// Still air or another gas sealed in (insulating glass, multiwall sheet).
    Sealed {
        /// Distance between the layers.
        gap_m: f64,
        /// What fills it.
        gas: Gas,
        /// Conductance of ribs or spacers beside the air.
        bridge_w_m2k: f64,
    },
    /// An air space that a blower inflates: its air has a temperature and a humidity of its own.
    Inflated {
        /// Mean distance between the layers.
        gap_m: f64,
        /// Air the blower drives through, per m2 of section.
        flow_m3_s_m2: f64,
        /// True if the blower draws house air, false for outdoor air.
        inside_air: bool,
    },
    /// The space above a movable screen, open to the house when the screen is open.
    AboveScreen {
        /// Mean height of the space.
        gap_m: f64,
        /// Leakage of the closed screen: flow = this * |dT|^0.66, m3/(s m2 K^0.66).
        leakage_m3_s_m2_k066: f64,
        /// Air exchange with the house when the screen is open, per m2 of section.
        open_flow_m3_s_m2: f64,
    },
}

/// A shade at right angles to a window, along one of its edges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shade {
    /// How far it stands out.
    pub depth_m: f64,
    /// From the edge of the window to its root.
    pub distance_m: f64,
}

/// What shades a window.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shading {
    /// Above it.
    pub overhang: Option<Shade>,
    /// On both sides of it.
    pub fins: Option<Shade>,
    /// Width of the window.
    pub width_m: f64,
    /// Height of the window.
    pub height_m: f64,
}

/// A part of the cover with layers of its own.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Name for reports (roof, ends, south window).
    pub name: String,
    /// The planes it consists of.
    pub facets: Vec<Facet>,
    /// Layers from the house outwards, one to [`MAX_LAYERS`].
    pub layers: Vec<Layer>,
    /// Spaces between them, one fewer than layers.
    pub spaces: Vec<Space>,
    /// Share of light kept by dirt and age, 1 for a clean new cover.
    pub light_kept_share: f64,
    /// Height of the section's cavity, for cavity convection.
    pub cavity_height_m: f64,
    /// When the innermost layer is a movable screen, the rule that closes it.
    pub screen: Option<ScreenRule>,
    /// What shades a window; each plane is a window of that size.
    pub shading: Option<Shading>,
}

/// Most layers a section can have, the screen included.
pub const MAX_LAYERS: usize = 4;

impl Section {
    /// Area of the section, m2.
    pub fn area_m2(&self) -> f64 {
        self.facets.iter().map(|facet| facet.area_m2).sum()
    }

    /// Area-weighted mean of cos(tilt): 1 flat roof, 0 wall.
    pub fn mean_cos_tilt(&self) -> f64 {
        let weighted: f64 = self
            .facets
            .iter()
            .map(|f| f.area_m2 * f.tilt_deg.to_radians().cos())
            .sum();
        weighted / self.area_m2()
    }
}

/// One layer of a solid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Solid {
    /// Thickness.
    pub thickness_m: f64,
    /// Conductivity.
    pub conductivity_w_mk: f64,
    /// Density times specific heat; 0 for a massless insulation.
    pub heat_capacity_j_m3k: f64,
    /// Heat that its water sets free when it freezes, in a floor; 0 for a dry solid. In a wall it
    /// is not read.
    pub freezing_heat_j_m3: f64,
}

/// What an opaque part has on its outer side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outside {
    /// Sun, sky, wind.
    Open,
    /// Outdoor air without sun, sky or wind.
    Sheltered,
    /// No heat passes.
    Adiabatic,
    /// A surface at a given temperature.
    Held {
        /// Its temperature.
        temp_k: f64,
    },
}

/// An opaque part of the shell as layered mass: kneewall, insulated north wall, room wall.
#[derive(Clone, Debug, PartialEq)]
pub struct Wall {
    /// Name for reports.
    pub name: String,
    /// The plane it lies in; the area is that of the opaque part alone, windows taken out.
    pub facet: Facet,
    /// Solids from the house outwards.
    pub solids: Vec<Solid>,
    /// What lies beyond.
    pub outside: Outside,
    /// Solar absorptance of the inner and outer face.
    pub solar_absorptance: [f64; 2],
    /// Longwave emissivity of the inner and outer face.
    pub emissivity: [f64; 2],
}

/// What a floor column has at its lower end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Below {
    /// Deep soil whose temperature swings over the year around a mean:
    /// `mean - swing cos(2 pi (day - coldest_day) / 365)`.
    DeepSoil {
        /// Mean over the year.
        mean_k: f64,
        /// Half the distance from coldest to warmest.
        swing_k: f64,
        /// Day of the year of the coldest value, 0 = 1 January.
        coldest_day: f64,
        /// Resistance of the soil between the lower end and there; 0 if the lower end is there.
        resistance_m2k_w: f64,
    },
    /// Outdoor air under a raised floor.
    OutdoorAir {
        /// Surface coefficient, convection and radiation together.
        coefficient_w_m2k: f64,
    },
    /// No heat passes.
    Adiabatic,
}

/// A column of ground (or a raised floor) under a part of the house.
#[derive(Clone, Debug, PartialEq)]
pub struct FloorColumn {
    /// Plan area; 0 if the house has no such column.
    pub area_m2: f64,
    /// Solids from the surface downwards.
    pub solids: Vec<Solid>,
    /// Conductance from each solid sideways to the soil outside the house, per m2 of column and
    /// per layer; same length as `solids`, zeros where there is none.
    pub sideways_w_m2k: Vec<f64>,
    /// The lower end.
    pub below: Below,
}

/// The floor: the middle column and the strip along the edge.
#[derive(Clone, Debug, PartialEq)]
pub struct Floor {
    /// Middle and edge; the edge column may have area 0.
    pub columns: [FloorColumn; 2],
    /// Solar absorptance of the surface.
    pub solar_absorptance: f64,
    /// Longwave emissivity of the surface.
    pub emissivity: f64,
    /// Share of the surface that evaporates like open water, 0 dry to 1 wet.
    pub wet_share: f64,
    /// Undisturbed soil outside the house, for the sideways flow: mean and swing of its surface,
    /// day of the coldest value, and diffusivity.
    pub soil_outside: SoilOutside,
}

/// The yearly course of undisturbed soil.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SoilOutside {
    /// Mean over the year.
    pub mean_k: f64,
    /// Half the distance from coldest to warmest at the surface.
    pub swing_k: f64,
    /// Day of the year of the coldest surface value, 0 = 1 January.
    pub coldest_day: f64,
    /// Thermal diffusivity of the soil.
    pub diffusivity_m2_s: f64,
}

/// The crop as one big leaf.
#[derive(Clone, Debug, PartialEq)]
pub struct Crop {
    /// Leaf area per floor area, one-sided.
    pub leaf_area_index: f64,
    /// Share of the floor that carries the crop.
    pub floor_share: f64,
    /// Heat capacity per planted floor area.
    pub heat_capacity_j_m2k: f64,
    /// Extinction of diffuse longwave and shortwave in the canopy.
    pub extinction: f64,
    /// Solar absorptance of intercepted light.
    pub solar_absorptance: f64,
    /// Longwave emissivity.
    pub emissivity: f64,
    /// Boundary-layer resistance of one leaf side to heat.
    pub boundary_resistance_s_m: f64,
    /// Least stomatal resistance, by day.
    pub least_resistance_s_m: f64,
    /// Resistance at night.
    pub night_resistance_s_m: f64,
}

/// A lumped thermal mass in the house: water barrels, benches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ThermalMass {
    /// Heat capacity, total.
    pub heat_capacity_j_k: f64,
    /// Heat that its water sets free when it freezes, total; 0 for a dry mass.
    pub freezing_heat_j: f64,
    /// Surface that meets the house air.
    pub area_m2: f64,
    /// Surface coefficient to the air.
    pub coefficient_w_m2k: f64,
    /// Longwave emissivity.
    pub emissivity: f64,
    /// Solar absorptance.
    pub solar_absorptance: f64,
}

/// How outdoor air leaks in.
#[derive(Clone, Debug, PartialEq)]
pub enum Leakage {
    /// A leak area with stack and wind: Q = area sqrt(stack dT + wind u^2).
    Area {
        /// Effective leak area.
        area_cm2: f64,
        /// Stack coefficient, (L/s)^2/(cm4 K).
        stack: f64,
        /// Wind coefficient, (L/s)^2/(cm4 (m/s)^2), for the wind at 10 m.
        wind: f64,
    },
    /// A stated air change, volumes an hour.
    AirChange {
        /// Volumes an hour, by hour of the year.
        per_hour: Setting,
    },
}

/// How a surface coefficient is found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SurfaceRule {
    /// Published correlations for convection; radiation by itself.
    Calculated,
    /// A fixed convective coefficient; radiation by itself.
    Fixed {
        /// Convective coefficient.
        coefficient_w_m2k: f64,
    },
}

/// Convective coefficients of single parts, W/m2 K, in place of the rules of the house.
///
/// Parts beyond the end of a list follow the house.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OwnCoefficients {
    /// Inside and outside, by section.
    pub sections: Vec<[Option<f64>; 2]>,
    /// Inside and outside, by wall.
    pub walls: Vec<[Option<f64>; 2]>,
    /// Surface of the floor.
    pub floor: Option<f64>,
}

/// A house, ready to be stepped.
#[derive(Clone, Debug, PartialEq)]
pub struct House {
    /// Air volume.
    pub volume_m3: f64,
    /// Floor area; the sum of the floor columns.
    pub floor_area_m2: f64,
    /// Height of the ridge above the floor, for stack flow.
    pub height_m: f64,
    /// Share of the wind at 10 m that reaches the cover.
    pub wind_at_cover_share: f64,
    /// Cover sections.
    pub sections: Vec<Section>,
    /// Opaque parts.
    pub walls: Vec<Wall>,
    /// Floor.
    pub floor: Floor,
    /// Crop, if any.
    pub crop: Option<Crop>,
    /// Lumped mass, if any.
    pub mass: Option<ThermalMass>,
    /// Leakage.
    pub leakage: Leakage,
    /// Share of transmitted light that the frame catches.
    pub frame_shade: f64,
    /// Ground reflectance outside where the weather file has none.
    pub ground_reflectance: f64,
    /// True if it holds all year, in place of what the weather file says and of snow.
    pub ground_reflectance_holds: bool,
    /// Surface coefficients inside and outside.
    pub inside_surface: SurfaceRule,
    /// See `inside_surface`.
    pub outside_surface: SurfaceRule,
    /// Coefficients of single parts.
    pub own_coefficients: OwnCoefficients,
    /// Hold temperature of the heaters (thermostat), before each heater's offset.
    pub heat_set_k: Setting,
    /// Heaters, in staging order.
    pub heaters: Vec<Heater>,
    /// Vents, if any.
    pub vents: Option<Vents>,
    /// Mechanical cooling, if any.
    pub cooler: Option<Cooler>,
    /// Circulation fans and inflation blowers.
    pub fans: Fans,
    /// Internal gains.
    pub gains: Gains,
    /// How inflated gaps are fed, if there are any; without it they stay as [`Space::Inflated`] says
    /// when a blower fails.
    pub inflation: Option<Inflation>,
}

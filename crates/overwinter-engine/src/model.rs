//! A house compiled for stepping: where each unknown stands, and every constant the balance needs.
//!
//! A model may hold several houses side by side, one in each lane, as long as they have the same
//! layout: the same sections with the same layers and spaces, the same walls and floor layers, the
//! same number of heaters. Areas, properties and settings may differ from lane to lane.

mod compile;

use overwinter_physics::cavity::Cavity;
use overwinter_physics::ground::freezing::Freezing;
use overwinter_physics::longwave::LayerLongwave;
use overwinter_physics::number::Real;
use overwinter_units::constants::{STEFAN_BOLTZMANN_W_M2K4, ZERO_CELSIUS_K};

use crate::house::{Gas, House, MAX_LAYERS, Outside, Section, Space};
use crate::water_place::WaterPlace;
use compile::Builder;
pub use compile::shell_area_m2;

/// Irradiance on the faces of the shell from inside, W/m2.
pub const SHELL_IRRADIANCE: usize = 0;
/// Irradiance on the floor plane (its own radiosity is that of the shell), W/m2.
pub const FLOOR_IRRADIANCE: usize = 1;
/// Lumped thermal mass.
pub const MASS: usize = 2;
/// Surface of the two floor columns.
pub const FLOOR: [usize; 2] = [3, 4];
/// Canopy.
pub const LEAF: usize = 5;
/// Vapour density of the house air, kg/m3.
pub const VAPOUR: usize = 6;
/// House air.
pub const AIR: usize = 7;
/// Number of unknowns every part of the house may be coupled to.
pub const CORE: usize = 8;
/// Most unknowns of one section: layers, and air and vapour of the spaces between them.
pub const MOST_LOCAL: usize = MAX_LAYERS + 2 * (MAX_LAYERS - 1);

/// Air temperature at which the station's air density is taken.
pub const DENSITY_AIR_K: f64 = ZERO_CELSIUS_K + 10.0;

/// How an unknown is carried in time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carry {
    /// Second order in time.
    Heat,
    /// First order in time, as all water is.
    Water,
}

/// The air that a face of a layer meets below it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum AirBelow {
    /// The house air.
    House,
    /// Air of a space; local index of its temperature, the vapour stands one further.
    Space(usize),
    /// None that carries water (sealed space).
    Sealed,
}

/// One layer of a section.
#[derive(Clone, Debug)]
pub struct LayerModel<R> {
    /// Local index of its temperature.
    pub at: usize,
    /// Longwave properties when dry.
    pub dry: LayerLongwave<R>,
    /// Air below.
    pub below: AirBelow,
    /// Water on the lower face.
    pub place: WaterPlace<R>,
    /// Light lost when the face is wet all over.
    pub light_loss: R,
    /// Index of the place in the list of all places.
    pub place_at: usize,
}

/// One space of a section.
#[derive(Clone, Debug)]
pub enum SpaceModel<R> {
    /// Still air.
    Sealed {
        /// Cavity convection.
        cavity: CavityModel<R>,
        /// Conductance beside the air.
        bridge_w_m2k: R,
        /// Where the layers around it resist heat themselves.
        panes: Option<PanesModel<R>>,
    },
    /// Inflated by a blower.
    Inflated {
        /// Local index of the air temperature; the vapour stands one further.
        at: usize,
        /// Cavity convection.
        cavity: CavityModel<R>,
        /// Blower air, whole section.
        flow_m3_s: R,
        /// 1 if the blower draws house air, else 0.
        from_inside: R,
        /// Share of the section in which the layers touch: 0 while the blower runs.
        touching_share: R,
        /// Conductance where they touch.
        touching_w_m2k: R,
        /// Conductance that the rest has at least: 0 but for slack films that flap in the wind.
        flapping_w_m2k: R,
    },
    /// Above a screen.
    AboveScreen {
        /// Local index of the air temperature; the vapour stands one further.
        at: usize,
        /// Leakage of the closed screen, whole section.
        leakage_m3_s_k066: R,
        /// Exchange with the house when open, whole section.
        open_flow_m3_s: R,
    },
}

/// The air between two layers: the form it has in every lane, and what follows from the station's
/// air.
#[derive(Clone, Copy, Debug)]
pub struct CavityModel<R> {
    /// Geometry and gas.
    pub form: Cavity,
    /// See [`Cavity::rayleigh_factor`].
    pub rayleigh_factor: R,
}

impl<R: Real> CavityModel<R> {
    /// See [`Cavity::conductance_w_m2k`].
    #[inline(always)]
    pub fn conductance_w_m2k(&self, lower_k: R, upper_k: R) -> R {
        self.form
            .conductance_of(self.rayleigh_factor, lower_k, upper_k)
    }
}

/// The resistance of opaque layers themselves, as a part of the way through a sealed space.
#[derive(Clone, Copy, Debug)]
pub struct PanesModel<R> {
    /// Resistance of both sides together.
    pub resistance_m2k_w: R,
    /// Radiation exchanged across the space as a share of that between black faces.
    pub exchange: R,
}

impl<R: Real> PanesModel<R> {
    /// The conductance that has to stand beside radiation for radiation and `convection_w_m2k`
    /// together to pass the panes too, W/m2 K.
    ///
    /// ```text
    /// h_r = 4 sigma T_m^3 exchange
    /// conductance = (h_c + h_r) / (1 + (h_c + h_r) resistance) - h_r
    /// ```
    #[inline(always)]
    pub fn beside_radiation_w_m2k(&self, convection_w_m2k: R, lower_k: R, upper_k: R) -> R {
        let mean_k = (lower_k + upper_k) * 0.5;
        let cubed = mean_k * mean_k * mean_k;
        let radiation = cubed * (4.0 * STEFAN_BOLTZMANN_W_M2K4) * self.exchange;
        let open = convection_w_m2k + radiation;
        let passed = open / (R::one() + open * self.resistance_m2k_w) - radiation;
        // To the bit what it is without panes, in a lane that has none.
        let resists = R::zero().lt(self.resistance_m2k_w);
        R::select(resists, passed, convection_w_m2k)
    }
}

/// A section of the cover.
#[derive(Clone, Debug)]
pub struct SectionModel<R> {
    /// Area.
    pub area_m2: R,
    /// Area as a share of the whole shell.
    pub shell_share: R,
    /// Layers from the house outwards.
    pub layers: Vec<LayerModel<R>>,
    /// Spaces between them.
    pub spaces: Vec<SpaceModel<R>>,
    /// First unknown of the section.
    pub offset: usize,
    /// Number of its unknowns.
    pub size: usize,
    /// True if house air reaches further than the innermost layer: by a blower or past a screen.
    pub mixed: bool,
    /// Area as a share of shell and floor together.
    pub shell_and_floor_share: R,
    /// View of the cold sky; the rest of the view is at the temperature of the air.
    pub sky_view: R,
    /// True if the innermost layer is a screen.
    pub has_screen: bool,
    /// True for a section nearer to a wall than to a roof.
    pub is_upright: bool,
    /// Fixed convective coefficients inside and outside, where it has them.
    pub fixed_w_m2k: [Option<f64>; 2],
}

/// A chain of nodes through layered solids; node 0 meets the house.
#[derive(Clone, Debug)]
pub struct ChainModel<R> {
    /// Area.
    pub area_m2: R,
    /// Conductance between node `i` and `i + 1`, W/K.
    pub conductance_w_k: Vec<R>,
}

/// An opaque wall.
#[derive(Clone, Debug)]
pub struct WallModel<R> {
    /// The chain through it.
    pub chain: ChainModel<R>,
    /// First unknown.
    pub offset: usize,
    /// Area as a share of the whole shell.
    pub shell_share: R,
    /// Emissivity inside and outside.
    pub emissivity: [R; 2],
    /// View of the cold sky.
    pub sky_view: R,
    /// What lies beyond.
    pub outside: Outside,
    /// Fixed convective coefficients inside and outside, where it has them.
    pub fixed_w_m2k: [Option<f64>; 2],
}

/// A floor column below its surface node.
#[derive(Clone, Debug)]
pub struct ColumnModel<R> {
    /// The chain from the surface (node 0, in the core) down.
    pub chain: ChainModel<R>,
    /// Unknown of node 1.
    pub offset: usize,
    /// Sideways conductance of each node to the soil outside, W/K.
    pub sideways_w_k: Vec<R>,
    /// Conductance of the lowest node to what lies below, W/K.
    pub below_w_k: R,
}

/// An unknown whose water freezes.
#[derive(Clone, Copy, Debug)]
pub struct FreezingNode<R> {
    /// The unknown.
    pub at: usize,
    /// How its water freezes.
    pub water: Freezing<R>,
}

/// Canopy constants.
#[derive(Clone, Copy, Debug)]
pub struct CropModel<R> {
    /// Both sides of all leaves.
    pub two_sided_m2: R,
    /// Convective conductance of all leaves, W/K.
    pub convection_w_k: R,
    /// Share of the floor plane that sees past the leaves.
    pub gap_share: R,
    /// Longwave emissivity.
    pub emissivity: R,
    /// Boundary resistance of a side.
    pub boundary_s_m: R,
    /// Transfer of vapour through the boundary layer of a wet side: a little easier than that of
    /// heat (Lewis number).
    pub vapour_boundary_m_s: R,
    /// Least stomatal resistance.
    pub least_s_m: R,
    /// Resistance at night.
    pub night_s_m: R,
    /// 1 where there is a crop, else 0.
    pub present: R,
    /// Water on the leaves, per m2 of leaf side.
    pub place: WaterPlace<R>,
}

/// A house compiled for stepping.
#[derive(Clone, Debug)]
pub struct Model<R> {
    /// Heat or vapour capacity of each unknown, J/K or m3.
    pub capacity: Vec<R>,
    /// How each unknown is carried.
    pub carry: Vec<Carry>,
    /// Heat capacity of each unknown, 0 for a vapour.
    pub heat_capacity_j_k: Vec<R>,
    /// The unknowns that are vapours.
    pub water: Vec<usize>,
    /// The unknowns whose water freezes: soil and barrels.
    pub freezing: Vec<FreezingNode<R>>,
    /// Sections.
    pub sections: Vec<SectionModel<R>>,
    /// Walls.
    pub walls: Vec<WallModel<R>>,
    /// Floor columns.
    pub columns: [ColumnModel<R>; 2],
    /// Floor area.
    pub floor_m2: R,
    /// Longwave emissivity and wet share of the floor.
    pub floor_emissivity: R,
    /// See `floor_emissivity`.
    pub floor_wet_share: R,
    /// Share of each column in the floor.
    pub column_share: [R; 2],
    /// Area of all faces of the shell.
    pub shell_m2: R,
    /// Canopy.
    pub crop: CropModel<R>,
    /// Thermal mass: conductance to the air, W/K; emissivity; share in the shell.
    pub mass_w_k: R,
    /// See `mass_w_k`.
    pub mass_emissivity: R,
    /// See `mass_w_k`.
    pub mass_m2: R,
    /// What thin air leaves of natural convection: (density / density at sea level)^(2/3).
    pub natural_scale: R,
    /// The same for the outer face of the cover; 0 with a fixed outside coefficient.
    pub outside_natural_scale: R,
    /// Cube of the forced part of the inside coefficient over `natural_scale`, (W/m2 K)^3.
    pub forced_cubed: R,
    /// A fixed coefficient at the floor, if it has one.
    pub fixed_floor_w_m2k: Option<f64>,
    /// Air density at the station.
    pub air_density_kg_m3: R,
    /// Volumetric heat capacity of air at the station.
    pub air_heat_j_m3k: R,
    /// Vapour transfer, m/s, for each W/(m2 K) of convection.
    pub transfer_per_coefficient: R,
    /// Air volume.
    pub volume_m3: R,
    /// Number of water places (one per cover layer, then the leaves).
    pub places: usize,
}

impl<R: Real> Model<R> {
    /// Compiles houses of one layout, one in each lane.
    ///
    /// `air_density_kg_m3` is that of each lane's station.
    pub fn new(houses: &[&House], air_density_kg_m3: &[f64]) -> Self {
        Builder::new(houses, air_density_kg_m3).build()
    }

    /// Number of unknowns.
    pub fn size(&self) -> usize {
        self.capacity.len()
    }

    /// Index of the leaves' water place.
    pub fn leaf_place(&self) -> usize {
        self.places - 1
    }
}

/// True if two houses can be stepped side by side.
pub fn same_layout(a: &House, b: &House) -> bool {
    let section = |s: &Section| {
        (
            s.layers.len(),
            s.spaces
                .iter()
                .map(std::mem::discriminant)
                .collect::<Vec<_>>(),
            s.screen.is_some(),
        )
    };
    let gap = |space: &Space| match *space {
        Space::Sealed { gap_m, .. }
        | Space::Inflated { gap_m, .. }
        | Space::AboveScreen { gap_m, .. } => gap_m.to_bits(),
    };
    let cavities = |s: &Section| {
        let gaps: Vec<u64> = s.spaces.iter().map(gap).collect();
        (
            s.mean_cos_tilt().to_bits(),
            s.cavity_height_m.to_bits(),
            gaps,
        )
    };
    let gases = |s: &Section| -> Vec<Option<Gas>> {
        let gas = |space: &Space| match space {
            Space::Sealed { gas, .. } => Some(*gas),
            Space::Inflated { .. } | Space::AboveScreen { .. } => None,
        };
        s.spaces.iter().map(gas).collect()
    };
    let shared = a.inside_surface == b.inside_surface
        && a.own_coefficients == b.own_coefficients
        && a.sections
            .iter()
            .map(gases)
            .eq(b.sections.iter().map(gases))
        && a.fans.air_speed_m_s.to_bits() == b.fans.air_speed_m_s.to_bits()
        && a.walls
            .iter()
            .map(|w| w.outside)
            .eq(b.walls.iter().map(|w| w.outside));
    shared
        && a.sections
            .iter()
            .map(section)
            .eq(b.sections.iter().map(section))
        && a.sections
            .iter()
            .map(cavities)
            .eq(b.sections.iter().map(cavities))
        && a.walls
            .iter()
            .map(|w| (w.solids.len(), std::mem::discriminant(&w.outside)))
            .eq(b
                .walls
                .iter()
                .map(|w| (w.solids.len(), std::mem::discriminant(&w.outside))))
        && a.floor.columns.iter().map(|c| c.solids.len()).eq(b
            .floor
            .columns
            .iter()
            .map(|c| c.solids.len()))
        && a.heaters.len() == b.heaters.len()
}

#[cfg(test)]
mod tests {
    use super::PanesModel;

    /// By hand: panes of 3 mm of 1 W/(m K) at 283 K, emissivity 0.84 on both faces (exchange 0.7241),
    /// pass radiation 5.670e-8 x 4 x 283^3 x 0.7241 = 3.722 W/(m2 K); with 2 W/(m2 K) of convection
    /// 1 / (1 / 5.722 + 0.006) = 5.532 in all.
    #[test]
    fn panes_stand_in_series_with_convection_and_radiation() {
        let panes = PanesModel {
            resistance_m2k_w: 0.006,
            exchange: 0.7241,
        };
        let beside = panes.beside_radiation_w_m2k(2.0, 288.0, 278.0);
        assert!((beside - (5.532 - 3.722)).abs() < 2e-3, "{beside}");
    }
}

//! Compiles houses into a [`Model`]: numbers the unknowns and works out every constant.

use overwinter_physics::cavity::{Cavity, iso15099};
use overwinter_physics::longwave::LayerLongwave;
use overwinter_physics::number::Real;
use overwinter_physics::{convection, moist_air, sky};
use overwinter_units::constants::{
    AIR_HEAT_CAPACITY_J_KGK, GAS_CONSTANT_DRY_AIR_J_KGK, LEWIS_NUMBER, STANDARD_PRESSURE_PA,
};

mod section;

use super::*;
use crate::house::{Crop, FloorColumn, OwnCoefficients, Solid, SurfaceRule};

/// Capacity of a node that stands for a part the house does not have.
const ABSENT_CAPACITY: f64 = 1.0;
/// Leaf area of the test leaf of a house without a crop, share of the floor.
const TEST_LEAF_SHARE: f64 = 0.01;
/// Leaf boundary resistance of that leaf: still air, from memory (100 to 300 s/m in greenhouses).
const TEST_LEAF_RESISTANCE_S_M: f64 = 200.0;
/// Span in which the water of moist soil freezes (estimate: most of it within a kelvin or two).
const FREEZING_SOIL_OVER_K: f64 = 1.0;
/// Span in which barrels freeze: the mean of a mass that is not mixed (estimate).
const FREEZING_MASS_OVER_K: f64 = 0.5;
/// Heat capacity of a canopy's test leaf.
const TEST_LEAF_CAPACITY_J_M2K: f64 = 1200.0;

/// Gathers houses of one layout, one in each lane, into a model.
pub(super) struct Builder<'a, R> {
    houses: &'a [&'a House],
    density: R,
    capacity: Vec<R>,
    carry: Vec<Carry>,
    places: usize,
}

impl<'a, R: Real> Builder<'a, R> {
    pub(super) fn new(houses: &'a [&'a House], air_density_kg_m3: &[f64]) -> Self {
        assert_eq!(houses.len(), R::lanes(), "one house a lane");
        let mut density = R::zero();
        for (lane, value) in air_density_kg_m3.iter().enumerate() {
            density.set_lane(lane, *value);
        }
        let capacity = vec![R::zero(); CORE];
        let mut carry = vec![Carry::Heat; CORE];
        carry[VAPOUR] = Carry::Water;
        Self {
            houses,
            density,
            capacity,
            carry,
            places: 0,
        }
    }

    fn gather(&self, value: impl Fn(&House) -> f64) -> R {
        let mut gathered = R::zero();
        for (lane, house) in self.houses.iter().enumerate() {
            gathered.set_lane(lane, value(house));
        }
        gathered
    }

    fn push(&mut self, capacity: R, carry: Carry) -> usize {
        self.capacity.push(capacity);
        self.carry.push(carry);
        self.capacity.len() - 1
    }

    fn air_heat(&self) -> R {
        self.density * AIR_HEAT_CAPACITY_J_KGK
    }

    pub(super) fn build(mut self) -> Model<R> {
        let first = self.houses[0];
        let shell_m2 = self.gather(shell_area_m2);
        let sections = (0..first.sections.len())
            .map(|i| self.section(i, shell_m2))
            .collect();
        let walls = (0..first.walls.len())
            .map(|i| self.wall(i, shell_m2))
            .collect();
        let columns = [self.column(0), self.column(1)];
        let crop = self.crop();
        self.core();
        let freezing = self.freezing(&columns);
        let places = self.places + 1;
        let mut transfer_per_coefficient = R::zero();
        for lane in 0..R::lanes() {
            let density = self.density.lane(lane);
            transfer_per_coefficient.set_lane(lane, moist_air::mass_transfer_m_s(1.0, density));
        }
        // Natural convection goes with the third root of the Rayleigh number and so with density to
        // the power 2/3, a laminar forced flow with its square root.
        let mut natural_scale = R::zero();
        let mut forced_cubed = R::zero();
        for (lane, house) in self.houses.iter().enumerate() {
            let thinner = self.density.lane(lane) / sea_level_density_kg_m3();
            natural_scale.set_lane(lane, thinner.powf(2.0 / 3.0));
            let forced =
                convection::forced_plate(house.fans.air_speed_m_s) * thinner.powf(0.5 - 2.0 / 3.0);
            forced_cubed.set_lane(lane, forced * forced * forced);
        }
        Model {
            sections,
            walls,
            columns,
            floor_m2: self.gather(|h| h.floor_area_m2),
            floor_emissivity: self.gather(|h| h.floor.emissivity),
            floor_wet_share: self.gather(|h| h.floor.wet_share),
            column_share: [0, 1]
                .map(|c| self.gather(|h| h.floor.columns[c].area_m2 / h.floor_area_m2)),
            shell_m2,
            crop,
            mass_w_k: self.gather(|h| h.mass.map_or(1e-3, |m| m.area_m2 * m.coefficient_w_m2k)),
            mass_emissivity: self.gather(|h| h.mass.map_or(0.0, |m| m.emissivity)),
            mass_m2: self.gather(|h| h.mass.map_or(0.0, |m| m.area_m2)),
            natural_scale,
            outside_natural_scale: natural_scale * self.gather(follows_outdoors),
            forced_cubed,
            fixed_floor_w_m2k: first
                .own_coefficients
                .floor
                .or(fixed_w_m2k(first.inside_surface)),
            air_density_kg_m3: self.density,
            air_heat_j_m3k: self.air_heat(),
            transfer_per_coefficient,
            volume_m3: self.gather(|h| h.volume_m3),
            places,
            heat_capacity_j_k: self.heat_capacity_j_k(),
            freezing,
            water: (0..self.carry.len())
                .filter(|index| self.carry[*index] == Carry::Water)
                .collect(),
            capacity: self.capacity,
            carry: self.carry,
        }
    }

    fn heat_capacity_j_k(&self) -> Vec<R> {
        self.capacity
            .iter()
            .zip(&self.carry)
            .map(|(capacity, carry)| match carry {
                Carry::Heat => *capacity,
                Carry::Water => R::zero(),
            })
            .collect()
    }

    /// Nodes of the ground and the thermal mass, where their water freezes in some lane.
    fn freezing(&self, columns: &[ColumnModel<R>; 2]) -> Vec<FreezingNode<R>> {
        let mut nodes = Vec::new();
        let mut add = |at: usize, latent_j: R, over_k: f64| {
            let water = Freezing {
                latent_k: latent_j / self.capacity[at],
                from_k: ZERO_CELSIUS_K,
                over_k,
            };
            if R::any(R::zero().lt(latent_j)) {
                nodes.push(FreezingNode { at, water });
            }
        };
        let mass_j = self.gather(|h| h.mass.map_or(0.0, |m| m.freezing_heat_j));
        add(MASS, mass_j, FREEZING_MASS_OVER_K);
        for (index, column) in columns.iter().enumerate() {
            for node in 0..=column.chain.conductance_w_k.len() {
                let at = node
                    .checked_sub(1)
                    .map_or(FLOOR[index], |n| column.offset + n);
                let latent_j = self.gather(|h| {
                    let column = &h.floor.columns[index];
                    column.area_m2 * node_freezing_heats_j_m2(&column.solids)[node]
                });
                add(at, latent_j, FREEZING_SOIL_OVER_K);
            }
        }
        nodes
    }

    fn core(&mut self) {
        self.capacity[MASS] =
            self.gather(|h| h.mass.map_or(ABSENT_CAPACITY, |m| m.heat_capacity_j_k));
        self.capacity[LEAF] = self.gather(|h| {
            h.floor_area_m2
                * h.crop
                    .as_ref()
                    .map_or(TEST_LEAF_CAPACITY_J_M2K * TEST_LEAF_SHARE, |c| {
                        c.heat_capacity_j_m2k * c.floor_share
                    })
        });
        for (column, surface) in FLOOR.into_iter().enumerate() {
            self.capacity[surface] = self
                .gather(|h| {
                    let column = &h.floor.columns[column];
                    column.area_m2 * node_capacities_j_m2k(&column.solids)[0]
                })
                .max(R::splat(ABSENT_CAPACITY));
        }
        self.capacity[VAPOUR] = self.gather(|h| h.volume_m3);
        self.capacity[AIR] = self.air_heat() * self.gather(|h| h.volume_m3);
    }

    fn wall(&mut self, index: usize, shell_m2: R) -> WallModel<R> {
        let first = &self.houses[0].walls[index];
        let area_m2 = self.gather(|h| h.walls[index].facet.area_m2);
        let offset = self.capacity.len();
        for node in 0..=first.solids.len() {
            let capacity = self.gather(|h| node_capacities_j_m2k(&h.walls[index].solids)[node]);
            self.push(capacity * area_m2, Carry::Heat);
        }
        let conductance_w_k = (0..first.solids.len())
            .map(|s| self.gather(|h| conductance_w_m2k(&h.walls[index].solids[s])) * area_m2)
            .collect();
        WallModel {
            chain: ChainModel {
                area_m2,
                conductance_w_k,
            },
            offset,
            shell_share: area_m2 / shell_m2,
            emissivity: [0, 1].map(|side| self.gather(|h| h.walls[index].emissivity[side])),
            sky_view: self.gather(|h| {
                let tilt = h.walls[index].facet.tilt_deg.to_radians();
                sky::cold_sky_view_walton1983(tilt.cos())
            }),
            outside: first.outside,
            fixed_w_m2k: fixed_of_part(self.houses[0], |own| own.walls.get(index)),
        }
    }

    fn column(&mut self, index: usize) -> ColumnModel<R> {
        let of = |h: &House| -> FloorColumn { h.floor.columns[index].clone() };
        let first = of(self.houses[0]);
        let area_m2 = self.gather(|h| h.floor.columns[index].area_m2);
        let offset = self.capacity.len();
        for node in 1..=first.solids.len() {
            let capacity = self.gather(|h| node_capacities_j_m2k(&of(h).solids)[node]);
            self.push(
                (capacity * area_m2).max(R::splat(ABSENT_CAPACITY)),
                Carry::Heat,
            );
        }
        let conductance_w_k = (0..first.solids.len())
            .map(|s| self.gather(|h| conductance_w_m2k(&of(h).solids[s])) * area_m2)
            .collect();
        // A layer's sideways conductance is shared by the nodes at its two faces.
        let sideways_w_k = (0..=first.solids.len())
            .map(|node| {
                self.gather(|h| {
                    let per_layer = of(h).sideways_w_m2k;
                    let above = if node > 0 { per_layer[node - 1] } else { 0.0 };
                    let below = per_layer.get(node).copied().unwrap_or(0.0);
                    (above + below) / 2.0
                }) * area_m2
            })
            .collect();
        let below_w_k = self.gather(|h| match h.floor.columns[index].below {
            crate::house::Below::DeepSoil {
                resistance_m2k_w, ..
            } if resistance_m2k_w > 0.0 => 1.0 / resistance_m2k_w,
            // The lowest node is that soil: held by a large conductance.
            crate::house::Below::DeepSoil { .. } => of(h)
                .solids
                .last()
                .map_or(0.0, |solid| 1e3 * conductance_w_m2k(solid)),
            crate::house::Below::OutdoorAir { coefficient_w_m2k } => coefficient_w_m2k,
            crate::house::Below::Adiabatic => 0.0,
        }) * area_m2;
        ColumnModel {
            chain: ChainModel {
                area_m2,
                conductance_w_k,
            },
            offset,
            sideways_w_k,
            below_w_k,
        }
    }

    fn crop(&self) -> CropModel<R> {
        let of = |value: &dyn Fn(&Crop) -> f64, without: f64| {
            self.gather(|h| h.crop.as_ref().map_or(without, value))
        };
        let floor_m2 = self.gather(|h| h.floor_area_m2);
        let two_sided_m2 = floor_m2
            * of(
                &|c| 2.0 * c.leaf_area_index * c.floor_share,
                2.0 * TEST_LEAF_SHARE,
            );
        let boundary_s_m = of(&|c| c.boundary_resistance_s_m, TEST_LEAF_RESISTANCE_S_M);
        CropModel {
            two_sided_m2,
            convection_w_k: two_sided_m2 * self.air_heat() / boundary_s_m,
            gap_share: of(
                &|c| 1.0 - c.floor_share * (1.0 - (-c.extinction * c.leaf_area_index).exp()),
                1.0,
            ),
            emissivity: of(&|c| c.emissivity, 0.95),
            boundary_s_m,
            vapour_boundary_m_s: R::splat(LEWIS_NUMBER.powf(-2.0 / 3.0)) / boundary_s_m,
            least_s_m: of(&|c| c.least_resistance_s_m, 82.0),
            night_s_m: of(&|c| c.night_resistance_s_m, 1500.0),
            present: of(&|_| 1.0, 0.0),
            // Leaves hold 0.1 to 0.2 mm per leaf area index: 0.075 kg a m2 of leaf side, estimate.
            place: WaterPlace {
                full_cover_kg_m2: R::splat(0.03),
                capacity_kg_m2: R::splat(0.075),
                drip_share: R::one(),
                pooling: R::zero(),
            },
        }
    }
}

/// The coefficient of a rule that fixes it.
fn fixed_w_m2k(rule: SurfaceRule) -> Option<f64> {
    match rule {
        SurfaceRule::Calculated => None,
        SurfaceRule::Fixed { coefficient_w_m2k } => Some(coefficient_w_m2k),
    }
}

/// Fixed coefficients of a part inside and outside: its own, else those of the house. The rule of
/// the house for the outside stands in the outdoor conditions.
fn fixed_of_part(
    house: &House,
    own: impl Fn(&OwnCoefficients) -> Option<&[Option<f64>; 2]>,
) -> [Option<f64>; 2] {
    let [inside, outside] = own(&house.own_coefficients).copied().unwrap_or_default();
    [inside.or(fixed_w_m2k(house.inside_surface)), outside]
}

/// Air density for which the convection formulas hold, kg/m3.
fn sea_level_density_kg_m3() -> f64 {
    moist_air::air_density_kg_m3(STANDARD_PRESSURE_PA, DENSITY_AIR_K)
}

/// Area of every face that looks into the house, the floor apart.
pub fn shell_area_m2(house: &House) -> f64 {
    house.sections.iter().map(Section::area_m2).sum::<f64>()
        + house
            .walls
            .iter()
            .map(|wall| wall.facet.area_m2)
            .sum::<f64>()
        + house.mass.map_or(0.0, |mass| mass.area_m2)
}

/// 1 for a house whose outside coefficient follows wind and temperature, 0 for a fixed one.
fn follows_outdoors(house: &House) -> f64 {
    f64::from(u8::from(house.outside_surface == SurfaceRule::Calculated))
}

/// Heat capacity of the nodes at the faces of layered solids.
fn node_capacities_j_m2k(solids: &[Solid]) -> Vec<f64> {
    at_nodes(solids, |solid| solid.heat_capacity_j_m3k)
}

/// Heat that freezing sets free at the nodes at the faces of layered solids.
fn node_freezing_heats_j_m2(solids: &[Solid]) -> Vec<f64> {
    at_nodes(solids, |solid| solid.freezing_heat_j_m3)
}

/// A content of the solids at the nodes at their faces: half of each neighbour.
fn at_nodes(solids: &[Solid], per_m3: impl Fn(&Solid) -> f64) -> Vec<f64> {
    let half = |solid: Option<&Solid>| solid.map_or(0.0, |s| s.thickness_m * per_m3(s) / 2.0);
    (0..=solids.len())
        .map(|node| half(node.checked_sub(1).and_then(|n| solids.get(n))) + half(solids.get(node)))
        .collect()
}

fn conductance_w_m2k(solid: &Solid) -> f64 {
    solid.conductivity_w_mk / solid.thickness_m
}

//! Opaque walls and floor columns: chains of nodes, eliminated from their far end.

use overwinter_physics::convection;
use overwinter_physics::number::Real;
use overwinter_units::constants::STEFAN_BOLTZMANN_W_M2K4;

use super::{Conditions, Core, Moment, Storage};
use crate::house::Outside;
use crate::model::{
    AIR, CORE, ColumnModel, FLOOR, FLOOR_IRRADIANCE, Model, SHELL_IRRADIANCE, WallModel,
};
use crate::solver::{ChainNode, eliminate_chain, substitute_chain};

/// A flux from outside with its slope on the node it enters.
#[derive(Clone, Copy, Debug)]
struct Entering<R> {
    flux_w: R,
    slope_w_k: R,
}

impl<R: Real> Entering<R> {
    fn none() -> Self {
        Self {
            flux_w: R::zero(),
            slope_w_k: R::zero(),
        }
    }
}

/// A wall's chain and what its outer flux was made of.
#[derive(Clone, Debug)]
pub struct WallBalance<R> {
    nodes: Vec<ChainNode<R>>,
    /// Changes of the wall's unknowns, once the core is solved.
    pub change: Vec<R>,
    air_w_k: R,
    shell: R,
    outer: Entering<R>,
}

impl<R: Real> WallBalance<R> {
    /// An empty chain for a wall.
    pub fn new(wall: &WallModel<R>) -> Self {
        let count = wall.chain.conductance_w_k.len() + 1;
        Self {
            nodes: vec![empty_node(); count],
            change: vec![R::zero(); count],
            air_w_k: R::zero(),
            shell: R::zero(),
            outer: Entering::none(),
        }
    }

    /// Builds the wall's chain at the linearisation point and eliminates it into the core.
    #[inline]
    pub fn assemble(&mut self, moment: Moment<'_, R>, index: usize, core: &mut Core<R>) {
        let Moment {
            model,
            storage,
            conditions,
            ..
        } = moment;
        let wall = &model.walls[index];
        fill_chain(
            &mut self.nodes,
            &wall.chain.conductance_w_k,
            wall.offset,
            storage,
        );
        self.outer_face(wall, storage, conditions);
        if let Some(outermost) = self.nodes.last_mut() {
            outermost.source += conditions.sun.wall_outside_w[index];
        }
        self.inner_face(model, index, storage, conditions, core);
        eliminate_chain(&mut self.nodes);
        let inverse = R::one() / self.nodes[0].diagonal;
        self.couple_to_core(model, index, storage, inverse, core);
    }

    /// Gives the wall's nodes their change, once the core is known.
    #[inline]
    pub fn substitute(&mut self, core: &[R; CORE]) {
        let first =
            (self.nodes[0].source + self.air_w_k * core[AIR] + self.shell * core[SHELL_IRRADIANCE])
                / self.nodes[0].diagonal;
        substitute_chain(&self.nodes, first, &mut self.change);
    }

    /// Heat from outdoors into the wall (longwave and convection, without the sun), W.
    #[inline]
    pub fn entering_w(&self) -> R {
        self.outer.flux_w + self.outer.slope_w_k * self.change[self.change.len() - 1]
    }

    #[inline]
    fn outer_face(
        &mut self,
        wall: &WallModel<R>,
        storage: &Storage<R>,
        conditions: &Conditions<R>,
    ) {
        let last = self.nodes.len() - 1;
        let face_k = storage.point[wall.offset + last];
        let drive = &conditions.drive;
        let area = wall.chain.area_m2;
        self.outer = match wall.outside {
            Outside::Open => open_face(wall, face_k, conditions),
            Outside::Sheltered => through(
                convection::wall_inside(face_k - drive.air_k) * area
                    + wall.emissivity[1]
                        * area
                        * (4.0 * STEFAN_BOLTZMANN_W_M2K4)
                        * drive.air_k
                        * drive.air_k
                        * drive.air_k,
                drive.air_k - face_k,
            ),
            Outside::Adiabatic => Entering::none(),
            Outside::Held { temp_k } => through(
                wall.chain.conductance_w_k[last - 1] * 1e3,
                R::splat(temp_k) - face_k,
            ),
        };
        self.nodes[last].source += self.outer.flux_w;
        self.nodes[last].diagonal -= self.outer.slope_w_k;
    }

    #[inline]
    fn inner_face(
        &mut self,
        model: &Model<R>,
        index: usize,
        storage: &Storage<R>,
        conditions: &Conditions<R>,
        core: &mut Core<R>,
    ) {
        let wall = &model.walls[index];
        let area = wall.chain.area_m2;
        let face_k = storage.point[wall.offset];
        let air_k = storage.point[AIR];
        let coefficient = match model.fixed_inside_w_m2k {
            Some(fixed) => R::splat(fixed),
            None => {
                convection::wall_inside_mixed(face_k - air_k, model.forced_w_m2k)
                    * model.natural_scale
            }
        };
        self.air_w_k = coefficient * area;
        self.shell = wall.emissivity[0] * area;
        let cubed = face_k * face_k * face_k;
        let emitted = cubed * face_k * STEFAN_BOLTZMANN_W_M2K4;
        let emitted_slope = cubed * (4.0 * STEFAN_BOLTZMANN_W_M2K4);
        let to_air = self.air_w_k * (face_k - air_k);
        let radiant = conditions.radiant_gain_w * area / (model.shell_m2 + model.floor_m2);
        let node = &mut self.nodes[0];
        node.source += self.shell * (storage.point[SHELL_IRRADIANCE] - emitted) - to_air
            + conditions.sun.wall_inside_w[index]
            + radiant;
        node.diagonal += self.air_w_k + self.shell * emitted_slope;
        core.gain(AIR, to_air);
        core.slope(AIR, AIR, -self.air_w_k);
        let reflected = R::one() - wall.emissivity[0];
        let radiosity = wall.emissivity[0] * emitted + reflected * storage.point[SHELL_IRRADIANCE];
        core.gain(FLOOR_IRRADIANCE, radiosity * wall.shell_share);
        core.slope(
            FLOOR_IRRADIANCE,
            SHELL_IRRADIANCE,
            reflected * wall.shell_share,
        );
    }

    /// Replaces the inner face in the core's balances by what it is in terms of the core.
    #[inline]
    fn couple_to_core(
        &mut self,
        model: &Model<R>,
        index: usize,
        storage: &Storage<R>,
        inverse: R,
        core: &mut Core<R>,
    ) {
        let wall = &model.walls[index];
        let face_k = storage.point[wall.offset];
        let emitting = wall.emissivity[0]
            * wall.shell_share
            * (face_k * face_k * face_k * (4.0 * STEFAN_BOLTZMANN_W_M2K4));
        for (balance, feels) in [(AIR, self.air_w_k), (FLOOR_IRRADIANCE, emitting)] {
            let factor = feels * inverse;
            core.slope(balance, AIR, factor * self.air_w_k);
            core.slope(balance, SHELL_IRRADIANCE, factor * self.shell);
            core.gain(balance, factor * self.nodes[0].source);
        }
    }
}

/// A floor column's chain below its surface node.
#[derive(Clone, Debug)]
pub struct ColumnBalance<R> {
    nodes: Vec<ChainNode<R>>,
    /// Changes of the column's nodes, the surface first, once the core is solved.
    pub change: Vec<R>,
    sideways: Vec<R>,
    below: Entering<R>,
}

impl<R: Real> ColumnBalance<R> {
    /// An empty chain for a column.
    pub fn new(column: &ColumnModel<R>) -> Self {
        let count = column.sideways_w_k.len();
        Self {
            nodes: vec![empty_node(); count],
            change: vec![R::zero(); count],
            sideways: vec![R::zero(); count],
            below: Entering::none(),
        }
    }

    /// Builds the column's chain at the linearisation point and eliminates it into its surface.
    #[inline]
    pub fn assemble(&mut self, moment: Moment<'_, R>, index: usize, core: &mut Core<R>) {
        let Moment {
            model,
            storage,
            conditions,
            ..
        } = moment;
        let column = &model.columns[index];
        let surface = FLOOR[index];
        fill_chain(
            &mut self.nodes[1..],
            &column.chain.conductance_w_k[1..],
            column.offset,
            storage,
        );
        let top = column.chain.conductance_w_k[0];
        let surface_k = storage.point[surface];
        let down = top * (surface_k - storage.point[column.offset]);
        self.nodes[0] = ChainNode {
            diagonal: top,
            outward: top,
            source: -down,
        };
        self.nodes[1].diagonal += top;
        self.nodes[1].source += down;
        for node in 0..self.nodes.len() {
            let node_k = if node == 0 {
                surface_k
            } else {
                storage.point[column.offset + node - 1]
            };
            let conductance = column.sideways_w_k[node];
            let flux = conductance * (conditions.soil_outside_k[index][node] - node_k);
            self.sideways[node] = flux;
            self.nodes[node].source += flux;
            self.nodes[node].diagonal += conductance;
        }
        let last = self.nodes.len() - 1;
        let last_k = storage.point[column.offset + last - 1];
        self.below = through(column.below_w_k, conditions.below_k[index] - last_k);
        self.nodes[last].source += self.below.flux_w;
        self.nodes[last].diagonal -= self.below.slope_w_k;
        eliminate_chain(&mut self.nodes);
        core.matrix[surface][surface] += self.nodes[0].diagonal;
        core.gain(surface, self.nodes[0].source);
    }

    /// Gives the column's nodes their change, once the core is known.
    #[inline]
    pub fn substitute(&mut self, index: usize, core: &[R; CORE]) {
        substitute_chain(&self.nodes, core[FLOOR[index]], &mut self.change);
    }

    /// Heat from below into the column, W.
    #[inline]
    pub fn from_below_w(&self) -> R {
        self.below.flux_w + self.below.slope_w_k * self.change[self.change.len() - 1]
    }

    /// Heat from the soil outside into the column, W.
    #[inline]
    pub fn sideways_w(&self, column: &ColumnModel<R>) -> R {
        let mut sum = R::zero();
        for (node, flux) in self.sideways.iter().enumerate() {
            sum += *flux - column.sideways_w_k[node] * self.change[node];
        }
        sum
    }
}

fn empty_node<R: Real>() -> ChainNode<R> {
    ChainNode {
        diagonal: R::one(),
        outward: R::zero(),
        source: R::zero(),
    }
}

/// Storage of each node and conduction to the next.
#[inline]
fn fill_chain<R: Real>(
    nodes: &mut [ChainNode<R>],
    conductances: &[R],
    offset: usize,
    storage: &Storage<R>,
) {
    for (index, node) in nodes.iter_mut().enumerate() {
        *node = ChainNode {
            diagonal: storage.diagonal[offset + index],
            outward: R::zero(),
            source: storage.push[offset + index],
        };
    }
    for (index, conductance) in conductances.iter().enumerate() {
        let flux =
            *conductance * (storage.point[offset + index] - storage.point[offset + index + 1]);
        nodes[index].outward = *conductance;
        nodes[index].diagonal += *conductance;
        nodes[index].source -= flux;
        nodes[index + 1].diagonal += *conductance;
        nodes[index + 1].source += flux;
    }
}

/// Heat through a conductance from a given temperature; `difference` is outside minus node.
#[inline(always)]
fn through<R: Real>(conductance: R, difference: R) -> Entering<R> {
    Entering {
        flux_w: conductance * difference,
        slope_w_k: -conductance,
    }
}

/// Wind and longwave at a face in the open. The sun stands in the node's source by itself.
#[inline]
fn open_face<R: Real>(wall: &WallModel<R>, face_k: R, conditions: &Conditions<R>) -> Entering<R> {
    let drive = &conditions.drive;
    let area = wall.chain.area_m2;
    let incoming = wall.sky_view * drive.sky_longwave_w_m2
        + (R::one() - wall.sky_view) * drive.ground_longwave_w_m2;
    let cubed = face_k * face_k * face_k;
    let absorbing = wall.emissivity[1] * area;
    let convection = drive.wall_coefficient_w_m2k * area;
    Entering {
        flux_w: convection * (drive.air_k - face_k)
            + absorbing * (incoming - cubed * face_k * STEFAN_BOLTZMANN_W_M2K4),
        slope_w_k: -(convection + absorbing * (cubed * (4.0 * STEFAN_BOLTZMANN_W_M2K4))),
    }
}

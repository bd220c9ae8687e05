//! Opaque walls and floor columns: slabs solved once a step, and their faces, solved with the core.

use overwinter_physics::convection;
use overwinter_physics::number::Real;
use overwinter_units::constants::STEFAN_BOLTZMANN_W_M2K4;

use super::{Conditions, Core, Moment, Storage};
use crate::house::Outside;
use crate::model::{
    AIR, CORE, ColumnModel, FLOOR, FLOOR_IRRADIANCE, Model, SHELL_IRRADIANCE, WallModel,
};
use crate::slab::{INNER, OUTER, Slab, SlabStart};
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
    slab: Slab<R>,
    /// Inner and outer face.
    faces: [ChainNode<R>; 2],
    /// How far the linearisation point of each face is from where the step began.
    ahead_k: [R; 2],
    /// Changes of the faces from the linearisation point, once the core is solved.
    face_change: [R; 2],
    air_w_k: R,
    shell: R,
    outer: Entering<R>,
}

impl<R: Real> WallBalance<R> {
    /// A wall before its first step.
    pub fn new(wall: &WallModel<R>) -> Self {
        Self {
            slab: Slab::new(wall.chain.conductance_w_k.clone(), Vec::new()),
            faces: [empty_node(); 2],
            ahead_k: [R::zero(); 2],
            face_change: [R::zero(); 2],
            air_w_k: R::zero(),
            shell: R::zero(),
            outer: Entering::none(),
        }
    }

    /// Factors the inside of the wall for the scheme that is set.
    pub fn factor(&mut self, wall: &WallModel<R>, storage: &Storage<R>) {
        let inside = wall.offset + 1..wall.offset + self.last();
        self.slab.factor(&storage.diagonal[inside]);
    }

    /// Solves the inside of the wall for a step, its faces held.
    #[inline(always)]
    pub fn begin(&mut self, wall: &WallModel<R>, storage: &Storage<R>, now: &[R]) {
        let last = wall.offset + self.last();
        self.slab.hold(SlabStart {
            now_k: &now[wall.offset + 1..last],
            at_rest_k: &storage.at_rest[wall.offset + 1..last],
            beside_k: &[],
            faces_k: [now[wall.offset], now[last]],
        });
    }

    /// Builds the balance of the wall's faces at the linearisation point and eliminates them into
    /// the core.
    #[inline(always)]
    pub fn assemble(&mut self, moment: Moment<'_, R>, index: usize, core: &mut Core<R>) {
        let Moment {
            model,
            storage,
            conditions,
            now,
            ..
        } = moment;
        let wall = &model.walls[index];
        let at = [wall.offset, wall.offset + self.last()];
        self.ahead_k = at.map(|node| storage.point[node] - now[node]);
        let through = self.slab.through_w_k;
        for face in [INNER, OUTER] {
            let own = self.slab.own_w_k[face];
            let from_slab = self.slab.base_w[face] - own * self.ahead_k[face]
                + through * self.ahead_k[1 - face];
            self.faces[face] = ChainNode {
                diagonal: storage.diagonal[at[face]] + own,
                outward: R::zero(),
                source: storage.push(at[face]) + from_slab,
            };
        }
        self.faces[INNER].outward = through;
        self.outer_face(wall, storage, conditions);
        self.faces[OUTER].source += conditions.sun.wall_outside_w[index];
        self.inner_face(model, index, storage, conditions, core);
        eliminate_chain(&mut self.faces);
        let inverse = R::one() / self.faces[INNER].diagonal;
        self.couple_to_core(model, index, storage, inverse, core);
    }

    /// Gives the wall's nodes their next value, once the core is known.
    #[inline(always)]
    pub fn substitute(
        &mut self,
        wall: &WallModel<R>,
        storage: &Storage<R>,
        core: &[R; CORE],
        now: &[R],
        next: &mut [R],
    ) {
        let inner = &self.faces[INNER];
        let first = (inner.source + self.air_w_k * core[AIR] + self.shell * core[SHELL_IRRADIANCE])
            / inner.diagonal;
        substitute_chain(&self.faces, first, &mut self.face_change);
        let [inner, outer] = self.face_change;
        let last = wall.offset + self.last();
        next[wall.offset] = storage.point[wall.offset] + inner;
        next[last] = storage.point[last] + outer;
        let from_now = [self.ahead_k[INNER] + inner, self.ahead_k[OUTER] + outer];
        let inside = wall.offset + 1..last;
        for ((next, now), change) in next[inside.clone()]
            .iter_mut()
            .zip(&now[inside])
            .zip(self.slab.follow(from_now))
        {
            *next = *now + *change;
        }
    }

    /// Change of a node: a face from its linearisation point, one inside from the start of the
    /// step.
    pub fn change(&self, node: usize) -> R {
        match node {
            0 => self.face_change[INNER],
            inside if inside < self.last() => self.slab.change()[inside - 1],
            _ => self.face_change[OUTER],
        }
    }

    /// Number of nodes, faces included.
    pub fn nodes(&self) -> usize {
        self.slab.change().len() + 2
    }

    fn last(&self) -> usize {
        self.nodes() - 1
    }

    /// Heat from outdoors into the wall (longwave and convection, without the sun), W.
    #[inline(always)]
    pub fn entering_w(&self) -> R {
        self.outer.flux_w + self.outer.slope_w_k * self.face_change[OUTER]
    }

    #[inline(always)]
    fn outer_face(
        &mut self,
        wall: &WallModel<R>,
        storage: &Storage<R>,
        conditions: &Conditions<R>,
    ) {
        let last = self.last();
        let face_k = storage.point[wall.offset + last];
        let drive = &conditions.drive;
        let area = wall.chain.area_m2;
        self.outer = match wall.outside {
            Outside::Open => open_face(wall, face_k, conditions),
            Outside::Sheltered => through(
                match wall.fixed_w_m2k[1] {
                    Some(fixed) => area * fixed,
                    None => convection::wall_inside(face_k - drive.air_k) * area,
                } + wall.emissivity[1]
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
        self.faces[OUTER].source += self.outer.flux_w;
        self.faces[OUTER].diagonal -= self.outer.slope_w_k;
    }

    #[inline(always)]
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
        let coefficient = match wall.fixed_w_m2k[0] {
            Some(fixed) => R::splat(fixed),
            None => {
                convection::wall_inside_mixed(face_k - air_k, model.forced_cubed)
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
        let node = &mut self.faces[INNER];
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
    #[inline(always)]
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
            core.gain(balance, factor * self.faces[INNER].source);
        }
    }
}

/// A floor column below its surface node.
#[derive(Clone, Debug)]
pub struct ColumnBalance<R> {
    slab: Slab<R>,
    ahead_k: R,
    /// Heat from the soil beside the surface node into it.
    surface_beside: Entering<R>,
    surface_change: R,
}

impl<R: Real> ColumnBalance<R> {
    /// A column before its first step.
    pub fn new(column: &ColumnModel<R>) -> Self {
        let mut conductance_w_k = column.chain.conductance_w_k.clone();
        conductance_w_k.push(column.below_w_k);
        let beside = &column.sideways_w_k[1..];
        let some = beside.iter().any(|w_k| R::any(R::zero().lt(*w_k)));
        Self {
            slab: Slab::new(
                conductance_w_k,
                if some { beside.to_vec() } else { Vec::new() },
            ),
            ahead_k: R::zero(),
            surface_beside: Entering::none(),
            surface_change: R::zero(),
        }
    }

    /// Factors the column for the scheme that is set.
    pub fn factor(&mut self, column: &ColumnModel<R>, storage: &Storage<R>) {
        let inside = column.offset..column.offset + self.slab.change().len();
        self.slab.factor(&storage.diagonal[inside]);
    }

    /// Solves the column for a step, its surface held.
    #[inline(always)]
    pub fn begin(
        &mut self,
        model: &Model<R>,
        index: usize,
        storage: &Storage<R>,
        now: &[R],
        conditions: &Conditions<R>,
    ) {
        let first = model.columns[index].offset;
        let inside = first..first + self.slab.change().len();
        self.slab.hold(SlabStart {
            now_k: &now[inside.clone()],
            at_rest_k: &storage.at_rest[inside],
            beside_k: &conditions.soil_outside_k[index][1..],
            faces_k: [now[FLOOR[index]], conditions.below_k[index]],
        });
    }

    /// Adds the column to the balance of its surface.
    #[inline(always)]
    pub fn assemble(&mut self, moment: Moment<'_, R>, index: usize, core: &mut Core<R>) {
        let Moment {
            model,
            storage,
            conditions,
            now,
            ..
        } = moment;
        let surface = FLOOR[index];
        let surface_k = storage.point[surface];
        self.ahead_k = surface_k - now[surface];
        let own = self.slab.own_w_k[INNER];
        core.gain(surface, self.slab.base_w[INNER] - own * self.ahead_k);
        core.slope(surface, surface, -own);
        self.surface_beside = through(
            model.columns[index].sideways_w_k[0],
            conditions.soil_outside_k[index][0] - surface_k,
        );
        core.gain(surface, self.surface_beside.flux_w);
        core.slope(surface, surface, self.surface_beside.slope_w_k);
    }

    /// Gives the column's nodes their next value, once the core is known.
    #[inline(always)]
    pub fn substitute(&mut self, first: usize, surface_change: R, now: &[R], next: &mut [R]) {
        self.surface_change = surface_change;
        let inside = first..first + self.slab.change().len();
        let changes = self.slab.follow_inner(self.ahead_k + surface_change);
        for ((next, now), change) in next[inside.clone()]
            .iter_mut()
            .zip(&now[inside])
            .zip(changes)
        {
            *next = *now + *change;
        }
    }

    /// Changes of the nodes below the surface from the start of the step.
    pub fn change(&self) -> &[R] {
        self.slab.change()
    }

    /// Heat from below into the column, W.
    #[inline(always)]
    pub fn from_below_w(&self) -> R {
        self.slab.from_outer_w()
    }

    /// Heat from the soil outside into the column, W.
    #[inline(always)]
    pub fn sideways_w(&self) -> R {
        let surface = &self.surface_beside;
        self.slab.sideways_w() + surface.flux_w + surface.slope_w_k * self.surface_change
    }
}

fn empty_node<R: Real>() -> ChainNode<R> {
    ChainNode {
        diagonal: R::one(),
        outward: R::zero(),
        source: R::zero(),
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
#[inline(always)]
fn open_face<R: Real>(wall: &WallModel<R>, face_k: R, conditions: &Conditions<R>) -> Entering<R> {
    let drive = &conditions.drive;
    let area = wall.chain.area_m2;
    let incoming = wall.sky_view * drive.sky_longwave_w_m2
        + (R::one() - wall.sky_view) * drive.ground_longwave_w_m2;
    let cubed = face_k * face_k * face_k;
    let absorbing = wall.emissivity[1] * area;
    let convection = match wall.fixed_w_m2k[1] {
        Some(fixed) => area * fixed,
        None => drive.wall_coefficient_w_m2k * area,
    };
    Entering {
        flux_w: convection * (drive.air_k - face_k)
            + absorbing * (incoming - cubed * face_k * STEFAN_BOLTZMANN_W_M2K4),
        slope_w_k: -(convection + absorbing * (cubed * (4.0 * STEFAN_BOLTZMANN_W_M2K4))),
    }
}

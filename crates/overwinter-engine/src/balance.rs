//! One pass of the balance: the linear system of a step, part by part.
//!
//! Every unknown is solved as its change from the linearisation point. A flux is written there with
//! its value and its slopes, once, and the same value and slopes give the ledger its terms, so that
//! heat and water close to rounding. Exchange coefficients are taken at the linearisation point;
//! saturation, emission and control enter with their slopes.

mod block;
mod cover;
mod freezing;
mod gap;
mod layer_response;
mod opaque;
mod room;
mod settling;

pub use cover::CoverBalance;
pub(crate) use freezing::Freezes;
pub use opaque::{ColumnBalance, WallBalance};
pub use room::{Room, RoomFluxes};
pub use settling::Condensing;

use overwinter_physics::number::Real;

use crate::absorbed_sun::AbsorbedSun;
use crate::drive::Drive;
use crate::model::{
    AIR, CORE, Carry, FLOOR, FLOOR_IRRADIANCE, LEAF, MASS, Model, SHELL_IRRADIANCE, VAPOUR,
};
use crate::plant::Plant;
use crate::solver::{eliminate_pivot, substitute_pivot};

use crate::water_place::WaterHeld;

/// Heat that a kilogram of water takes up when it evaporates, at 10 C; one value, so that the
/// latent heat in the heat account and the water in the water account are the same thing.
pub const VAPORISATION_J_KG: f64 = overwinter_units::constants::VAPORISATION_HEAT_J_KG
    - 10.0 * overwinter_units::constants::VAPORISATION_HEAT_SLOPE_J_KGK;

/// Least vapour of the house air at which a step is linearised.
const LEAST_VAPOUR_KG_M3: f64 = 1e-6;

/// How a step goes forward in time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scheme {
    /// Length of the step.
    pub step_s: f64,
    /// Second-order backward differences for heat; false for backward Euler.
    pub second_order: bool,
}

impl Scheme {
    /// Factor of the new value in the rate of change, 1/s.
    #[inline(always)]
    pub fn weight_per_s(&self, carry: Carry) -> f64 {
        match carry {
            Carry::Heat if self.second_order => 1.5 / self.step_s,
            Carry::Heat | Carry::Water => 1.0 / self.step_s,
        }
    }
}

/// What holds during a step besides the state.
#[derive(Clone, Debug)]
pub struct Conditions<R> {
    /// Outdoors at the end of the step.
    pub drive: Drive<R>,
    /// Sun at the end of the step.
    pub sun: AbsorbedSun<R>,
    /// Hold temperature, vent and cooling set points.
    pub heat_set_k: R,
    /// See `heat_set_k`.
    pub vent_set_k: R,
    /// See `heat_set_k`.
    pub cool_set_k: R,
    /// Gains to the air, fans included.
    pub convective_gain_w: R,
    /// Gains to the surfaces.
    pub radiant_gain_w: R,
    /// Scheduled ventilation, and what a blower drives in through a torn film.
    pub ventilation_m3_s: R,
    /// Stated air change.
    pub air_change_m3_s: R,
    /// 1 where a section's screen is closed, else 0.
    pub screen_closed: Vec<R>,
    /// Share of each section's light that water on it leaves.
    pub light_kept: Vec<R>,
    /// Share of its section's light that water on each place keeps out.
    pub light_kept_out: Vec<R>,
    /// Room for a row of light.
    pub sun_row: Vec<f64>,
    /// Soil outside at the depth of each node of each floor column.
    pub soil_outside_k: [Vec<R>; 2],
    /// What lies below each floor column.
    pub below_k: [R; 2],
    /// Whether the fans ran when settings that never change were last put in, if they were.
    pub(crate) steady_with_fans: Option<bool>,
    /// True if circulation fans and inflation blowers run.
    pub runs: Running,
}

/// What runs all the time unless it fails.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Running {
    /// Circulation fans.
    pub fans: bool,
    /// Inflation blowers.
    pub blowers: bool,
}

/// One pass: the house, where it is linearised, and what holds during the step.
#[derive(Clone, Copy, Debug)]
pub struct Moment<'a, R> {
    /// The compiled house.
    pub model: &'a Model<R>,
    /// Its plant.
    pub plant: &'a Plant<R>,
    /// Linearisation point and storage.
    pub storage: &'a Storage<R>,
    /// Unknowns at the start of the step.
    pub now: &'a [R],
    /// Water on every place at the start of the step.
    pub water: &'a [WaterHeld<R>],
    /// What holds during the step.
    pub conditions: &'a Conditions<R>,
    /// Length of the step.
    pub step_s: f64,
}

/// The past and the linearisation point of every unknown, with its storage.
#[derive(Clone, Debug)]
pub struct Storage<R> {
    /// Linearisation point.
    pub point: Vec<R>,
    /// Capacity times the weight of the new value: W/K or m3/s.
    pub diagonal: Vec<R>,
    /// What each unknown would come to in the step if nothing flowed.
    pub at_rest: Vec<R>,
    scheme: Option<Scheme>,
    freezes: Freezes<R>,
}

impl<R: Real> Storage<R> {
    /// Room for the unknowns of a house.
    pub fn new(model: &Model<R>) -> Self {
        let zeros = vec![R::zero(); model.size()];
        Self {
            point: zeros.clone(),
            diagonal: zeros.clone(),
            at_rest: zeros,
            scheme: None,
            freezes: Freezes::new(model),
        }
    }

    /// Sets the storage of every unknown; true if the scheme is not that of the step before.
    pub fn set_scheme(&mut self, scheme: Scheme, model: &Model<R>) -> bool {
        if self.scheme == Some(scheme) {
            return false;
        }
        for (diagonal, (capacity, carry)) in self
            .diagonal
            .iter_mut()
            .zip(model.capacity.iter().zip(&model.carry))
        {
            *diagonal = *capacity * scheme.weight_per_s(*carry);
        }
        self.scheme = Some(scheme);
        true
    }

    /// Takes up the past of every unknown, once a step, and linearises where the step is expected
    /// to end: straight on from the last one, or where it starts in the first-order scheme.
    #[inline(always)]
    pub fn begin(&mut self, scheme: Scheme, model: &Model<R>, now: &[R], before: &[R]) {
        if !scheme.second_order {
            self.at_rest.copy_from_slice(now);
            self.point.copy_from_slice(now);
            return;
        }
        for ((at_rest, point), (now, before)) in self
            .at_rest
            .iter_mut()
            .zip(&mut self.point)
            .zip(now.iter().zip(before))
        {
            let moved = *now - *before;
            *at_rest = *now + moved * (1.0 / 3.0);
            *point = *now + moved;
        }
        for index in &model.water {
            self.at_rest[*index] = now[*index];
        }
        self.point[VAPOUR] = self.point[VAPOUR].max(R::splat(LEAST_VAPOUR_KG_M3));
    }

    /// Known storage flux of an unknown at the linearisation point.
    #[inline(always)]
    pub fn push(&self, index: usize) -> R {
        self.diagonal[index] * (self.at_rest[index] - self.point[index])
    }
}

/// The unknowns that everything may be coupled to.
#[derive(Clone, Debug)]
pub struct Core<R> {
    /// Coefficients of the changes.
    pub matrix: [[R; CORE]; CORE],
    /// Known fluxes.
    pub source: [R; CORE],
}

impl<R: Real> Core<R> {
    /// A core without anything.
    pub fn empty() -> Self {
        Self {
            matrix: [[R::zero(); CORE]; CORE],
            source: [R::zero(); CORE],
        }
    }

    /// Leaves storage alone in it.
    #[inline(always)]
    pub fn set(&mut self, storage: &Storage<R>) {
        self.matrix = [[R::zero(); CORE]; CORE];
        for index in 0..CORE {
            self.matrix[index][index] = storage.diagonal[index];
            self.source[index] = storage.push(index);
        }
    }

    /// A flux into node `to`.
    #[inline(always)]
    pub fn gain(&mut self, to: usize, flux: R) {
        self.source[to] += flux;
    }

    /// The flux into `to` grows by `slope` for each unit of `with`.
    #[inline(always)]
    pub fn slope(&mut self, to: usize, with: usize, slope: R) {
        self.matrix[to][with] -= slope;
    }

    /// Heat flows from `from` to `to` through a conductance; `difference` is `from - to` at the
    /// linearisation point.
    #[inline(always)]
    pub fn couple(&mut self, to: usize, from: usize, conductance: R, difference: R) {
        let flux = conductance * difference;
        self.gain(to, flux);
        self.gain(from, -flux);
        self.slope(to, from, conductance);
        self.slope(from, to, conductance);
        self.slope(to, to, -conductance);
        self.slope(from, from, -conductance);
    }
}

impl<R: Real> Core<R> {
    /// Eliminates all but the air, in the order of the least work; afterwards `matrix[AIR][AIR]` is
    /// the stiffness with which the whole house answers the air.
    ///
    /// The lists say which unknowns a balance feels, and which balances feel its unknown, when its
    /// turn comes.
    #[inline(always)]
    pub fn eliminate(&mut self) {
        self.pivot(MASS, BY_MASS, [FLOOR_IRRADIANCE, AIR]);
        for floor in FLOOR {
            self.pivot(floor, BY_FLOOR, [LEAF, SHELL_IRRADIANCE, VAPOUR, AIR]);
        }
        self.pivot(LEAF, BY_LEAF, [SHELL_IRRADIANCE, VAPOUR, AIR]);
        self.pivot(SHELL_IRRADIANCE, BY_SHELL, [FLOOR_IRRADIANCE, VAPOUR, AIR]);
        self.pivot(FLOOR_IRRADIANCE, BY_PLANE, [VAPOUR, AIR]);
        self.pivot(VAPOUR, [AIR], [AIR]);
    }

    /// Changes of all core unknowns, once that of the air is known.
    #[inline(always)]
    pub fn substitute(&self, air: R) -> [R; CORE] {
        let mut change = [R::zero(); CORE];
        change[AIR] = air;
        self.follow(VAPOUR, [AIR], &mut change);
        self.follow(FLOOR_IRRADIANCE, BY_PLANE, &mut change);
        self.follow(SHELL_IRRADIANCE, BY_SHELL, &mut change);
        self.follow(LEAF, BY_LEAF, &mut change);
        for floor in FLOOR {
            self.follow(floor, BY_FLOOR, &mut change);
        }
        self.follow(MASS, BY_MASS, &mut change);
        change
    }

    #[inline(always)]
    fn pivot<const C: usize, const W: usize>(
        &mut self,
        pivot: usize,
        columns: [usize; C],
        rows: [usize; W],
    ) {
        eliminate_pivot(&mut self.matrix, &mut self.source, pivot, columns, rows);
    }

    #[inline(always)]
    fn follow<const C: usize>(&self, pivot: usize, columns: [usize; C], change: &mut [R; CORE]) {
        substitute_pivot(&self.matrix, &self.source, pivot, columns, change);
    }
}

/// What each unknown of the core hangs on when it is eliminated.
const BY_MASS: [usize; 2] = [SHELL_IRRADIANCE, AIR];
const BY_FLOOR: [usize; 4] = [LEAF, FLOOR_IRRADIANCE, VAPOUR, AIR];
const BY_LEAF: [usize; 3] = [FLOOR_IRRADIANCE, VAPOUR, AIR];
const BY_SHELL: [usize; 3] = [FLOOR_IRRADIANCE, VAPOUR, AIR];
const BY_PLANE: [usize; 2] = [VAPOUR, AIR];

/// Core unknowns that a section's own unknowns feel, in the order of their columns.
pub(crate) const FELT: [usize; 3] = [AIR, VAPOUR, SHELL_IRRADIANCE];
/// Core balances that feel a section's unknowns, in the order of their rows.
pub(crate) const FEELING: [usize; 3] = [AIR, VAPOUR, FLOOR_IRRADIANCE];

#[cfg(test)]
mod tests {
    use super::{BY_FLOOR, BY_LEAF, BY_MASS, BY_PLANE, BY_SHELL, Core};
    use crate::model::{AIR, CORE, FLOOR, FLOOR_IRRADIANCE, LEAF, MASS, SHELL_IRRADIANCE, VAPOUR};
    use crate::solver::solve_block;

    /// Every pair of unknowns that some house couples, with a different number in each.
    fn full_core() -> Core<f64> {
        let mut core = Core {
            matrix: [[0.0; CORE]; CORE],
            source: [3.0, -1.0, 4.0, 1.0, -5.0, 9.0, 2.0, -6.0],
        };
        let lists: [(usize, &[usize]); 7] = [
            (MASS, &BY_MASS),
            (FLOOR[0], &BY_FLOOR),
            (FLOOR[1], &BY_FLOOR),
            (
                LEAF,
                &[FLOOR[0], FLOOR[1], BY_LEAF[0], BY_LEAF[1], BY_LEAF[2]],
            ),
            (SHELL_IRRADIANCE, &[FLOOR[0], FLOOR[1], LEAF, BY_SHELL[0]]),
            (
                FLOOR_IRRADIANCE,
                &[MASS, SHELL_IRRADIANCE, BY_PLANE[0], BY_PLANE[1]],
            ),
            (VAPOUR, &[FLOOR[0], FLOOR[1], LEAF, SHELL_IRRADIANCE, AIR]),
        ];
        let mut next = 0.05;
        let mut put = |row: usize, column: usize| {
            core.matrix[row][column] = -next;
            next = (next * 1.7) % 0.3 + 0.01;
        };
        for (row, columns) in lists {
            for column in columns {
                put(row, *column);
            }
        }
        for column in [MASS, FLOOR[0], FLOOR[1], LEAF, SHELL_IRRADIANCE, VAPOUR] {
            put(AIR, column);
        }
        for index in 0..CORE {
            core.matrix[index][index] = 2.0 + index as f64;
        }
        core
    }

    #[test]
    fn the_written_out_elimination_is_that_of_a_full_matrix() {
        let mut core = full_core();
        let mut matrix = core.matrix;
        let mut columns = core.source.map(|value| [value]);
        solve_block(CORE, &mut matrix, &mut columns);
        core.eliminate();
        let changes = core.substitute(core.source[AIR] / core.matrix[AIR][AIR]);
        for (change, [expected]) in changes.into_iter().zip(columns) {
            assert!((change - expected).abs() < 1e-13, "{change} {expected}");
        }
    }
}

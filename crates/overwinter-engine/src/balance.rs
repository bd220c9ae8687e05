//! One pass of the balance: the linear system of a step, part by part.
//!
//! Every unknown is solved as its change from the linearisation point. A flux is written there with
//! its value and its slopes, once, and the same value and slopes give the ledger its terms, so that
//! heat and water close to rounding. Exchange coefficients are taken at the linearisation point;
//! saturation, emission and control enter with their slopes.

mod cover;
mod opaque;
mod room;

pub use cover::{Condensing, CoverBalance};
pub use opaque::{ColumnBalance, WallBalance};
pub use room::{Room, RoomFluxes};

use overwinter_physics::number::Real;

use crate::drive::Drive;
use crate::model::{AIR, CORE, Carry, FLOOR_IRRADIANCE, Model, SHELL_IRRADIANCE, VAPOUR};
use crate::plant::Plant;
use crate::sun_hour::SunHour;
use crate::water_place::WaterHeld;

/// Heat that a kilogram of water takes up when it evaporates, at 10 C; one value, so that the
/// latent heat in the heat account and the water in the water account are the same thing.
pub const VAPORISATION_J_KG: f64 = overwinter_units::constants::VAPORISATION_HEAT_J_KG
    - 10.0 * overwinter_units::constants::VAPORISATION_HEAT_SLOPE_J_KGK;

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

    /// The part of the rate of change that is known from the past, 1/s times the unknown.
    #[inline(always)]
    pub fn past_per_s<R: Real>(&self, carry: Carry, now: R, before: R) -> R {
        match carry {
            Carry::Heat if self.second_order => (now * 2.0 - before * 0.5) / self.step_s,
            Carry::Heat | Carry::Water => now / self.step_s,
        }
    }
}

/// What holds during a step besides the state.
#[derive(Clone, Debug)]
pub struct Conditions<R> {
    /// Outdoors at the end of the step.
    pub drive: Drive<R>,
    /// Sun of the hour.
    pub sun: SunHour<R>,
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
    /// Scheduled ventilation.
    pub ventilation_m3_s: R,
    /// Stated air change.
    pub air_change_m3_s: R,
    /// 1 where a section's screen is closed, else 0.
    pub screen_closed: Vec<R>,
    /// Share of each section's light that water on it leaves.
    pub light_kept: Vec<R>,
    /// Soil outside at the depth of each node of each floor column.
    pub soil_outside_k: [Vec<R>; 2],
    /// What lies below each floor column.
    pub below_k: [R; 2],
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
    /// Known storage flux at the linearisation point.
    pub push: Vec<R>,
}

impl<R: Real> Storage<R> {
    /// Room for `size` unknowns.
    pub fn new(size: usize) -> Self {
        let zeros = vec![R::zero(); size];
        Self {
            point: zeros.clone(),
            diagonal: zeros.clone(),
            push: zeros,
        }
    }

    /// Sets the storage of every unknown for a scheme, at the present linearisation point.
    #[inline]
    pub fn prepare(
        &mut self,
        scheme: Scheme,
        capacity: &[R],
        carry: &[Carry],
        now: &[R],
        before: &[R],
    ) {
        for index in 0..capacity.len() {
            let weight = scheme.weight_per_s(carry[index]);
            let past = scheme.past_per_s(carry[index], now[index], before[index]);
            self.diagonal[index] = capacity[index] * weight;
            self.push[index] = capacity[index] * (past - self.point[index] * weight);
        }
    }
}

/// The unknowns that everything may be coupled to.
#[derive(Clone, Debug)]
pub struct Core<R> {
    /// Coefficients of the changes.
    pub matrix: [[R; CORE]; CORE],
    /// Known fluxes.
    pub source: [[R; 1]; CORE],
}

impl<R: Real> Core<R> {
    /// A core with storage alone.
    #[inline(always)]
    pub fn new(storage: &Storage<R>) -> Self {
        let mut core = Self {
            matrix: [[R::zero(); CORE]; CORE],
            source: [[R::zero(); 1]; CORE],
        };
        for index in 0..CORE {
            core.matrix[index][index] = storage.diagonal[index];
            core.source[index][0] = storage.push[index];
        }
        core
    }

    /// A flux into node `to`.
    #[inline(always)]
    pub fn gain(&mut self, to: usize, flux: R) {
        self.source[to][0] += flux;
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

/// Core unknowns that a section's own unknowns feel, in the order of their columns.
pub(crate) const FELT: [usize; 3] = [AIR, VAPOUR, SHELL_IRRADIANCE];
/// Core balances that feel a section's unknowns, in the order of their rows.
pub(crate) const FEELING: [usize; 3] = [AIR, VAPOUR, FLOOR_IRRADIANCE];

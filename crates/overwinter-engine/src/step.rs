//! One step: passes over the balance until its regimes settle, then state, water and accounts.
//!
//! Houses side by side settle each by itself: a lane that has settled keeps its linearisation point
//! and its result while others go on, so that it has the bits that it has alone.

mod accept;
mod instructions;
mod parting;
mod passes;
mod rates;
mod settling;

use overwinter_physics::number::Real;

use crate::account::{Account, Amounts};
use crate::balance::{
    ColumnBalance, Conditions, Core, CoverBalance, Room, Scheme, Storage, WallBalance,
};
use crate::model::{CORE, Model};
use crate::plant::Plant;
use crate::record::Effort;
use crate::water_place::{WaterHeld, WaterMoved};
pub use instructions::Instructions;
use parting::Parting;
pub(crate) use parting::take;
use passes::Attempt;

/// Changes of temperature and of vapour density (K, kg/m3) that count as throughput at least: against them
/// a residual of the allowed share is 1e-12 K of all stores, some twenty of their last bits near 300 K.
const ROUNDING: [f64; 2] = [1e-6, 1e-12];
/// Backward-Euler sub-steps of a step that would not settle.
const SUB_STEPS: u32 = 4;

/// The state of a house (or of several side by side).
#[derive(Clone, Debug)]
pub struct State<R> {
    /// Unknowns now.
    pub now: Vec<R>,
    /// Unknowns one step ago.
    pub before: Vec<R>,
    /// Water on every place.
    pub water: Vec<WaterHeld<R>>,
    /// What each account moved in the last step, which the second-order scheme carries on.
    pub last: Amounts<R>,
}

/// Steps houses of one layout.
#[derive(Clone, Debug)]
pub struct Stepper<R> {
    /// The compiled house.
    pub model: Model<R>,
    /// Its plant.
    pub plant: Plant<R>,
    /// The state.
    pub state: State<R>,
    steps: u32,
    redos: R,
    fallbacks: R,
    storage: Storage<R>,
    covers: Vec<CoverBalance<R>>,
    walls: Vec<WallBalance<R>>,
    columns: [ColumnBalance<R>; 2],
    room: Room<R>,
    /// The balance of the core in the pass under way.
    matrix: Core<R>,
    core: [R; CORE],
    next: Vec<R>,
    /// State at the start of a step that is cut into sub-steps.
    step_start: Vec<R>,
    moved: Vec<WaterMoved<R>>,
    moved_sum: Vec<WaterMoved<R>>,
    /// True if the next step must not look back, since something changed at its start.
    starts_anew: bool,
    least: [R; 2],
    amounts: Amounts<R>,
    /// Room to keep what lanes have reached while others take smaller steps.
    parting: Option<Box<Parting<R>>>,
    instructions: Instructions,
}

impl<R: Real> Stepper<R> {
    /// A stepper with every temperature at `start`, one value an unknown.
    pub fn new(model: Model<R>, plant: Plant<R>, start: Vec<R>) -> Self {
        assert_eq!(start.len(), model.size(), "one start value an unknown");
        let state = State {
            now: start.clone(),
            before: start.clone(),
            water: vec![WaterHeld::dry(); model.places],
            last: Amounts::none(),
        };
        Self {
            parting: (!R::IS_SINGLE).then(|| Box::new(Parting::new(&state, &model))),
            state,
            instructions: Instructions::detected(),
            steps: 0,
            redos: R::zero(),
            fallbacks: R::zero(),
            storage: Storage::new(&model),
            covers: vec![CoverBalance::new(); model.sections.len()],
            walls: model.walls.iter().map(WallBalance::new).collect(),
            columns: [0, 1].map(|c| ColumnBalance::new(&model.columns[c])),
            room: Room::new(plant.heaters.len()),
            matrix: Core::empty(),
            core: [R::zero(); CORE],
            step_start: start.clone(),
            next: start,
            moved: vec![WaterMoved::none(); model.places],
            moved_sum: vec![WaterMoved::none(); model.places],
            starts_anew: false,
            least: [
                sum(&model.heat_capacity_j_k) * ROUNDING[0],
                model.volume_m3 * ROUNDING[1],
            ],
            amounts: Amounts::none(),
            model,
            plant,
        }
    }

    /// Goes one step forward and adds what it moved to the account.
    ///
    /// `set` puts what holds at a share (0 to 1) of the step into the conditions; afterwards they are
    /// those of its end.
    #[inline]
    pub fn advance(
        &mut self,
        step_s: f64,
        conditions: &mut Conditions<R>,
        account: &mut Account<R>,
        mut set: impl FnMut(f64, &mut Conditions<R>),
    ) {
        self.steps += 1;
        if std::mem::take(&mut self.starts_anew) {
            self.sub_steps(step_s, R::one(), conditions, account, &mut set);
            return;
        }
        set(1.0, conditions);
        let whole = Attempt {
            scheme: Scheme {
                step_s,
                second_order: true,
            },
            concerned: R::one(),
            is_last: false,
        };
        let over = self.attempt(whole, conditions, account);
        let unsettled = R::zero().lt(over);
        if !R::any(unsettled) {
            return;
        }
        self.fallbacks += R::select(unsettled, R::one(), R::zero());
        if R::IS_SINGLE || R::all(unsettled) {
            self.sub_steps(step_s, over, conditions, account, &mut set);
            return;
        }
        self.part(whole, conditions, account);
        self.sub_steps(step_s, over, conditions, account, &mut set);
        self.join(over, account);
    }

    /// Steps, redos and fallbacks of one lane since the last [`Self::forget_effort`].
    pub fn effort(&self, lane: usize) -> Effort {
        // Counts of whole numbers, exact far beyond a year of steps.
        Effort {
            steps: self.steps,
            redos: self.redos.lane(lane) as u32,
            fallbacks: self.fallbacks.lane(lane) as u32,
        }
    }

    /// Starts to count the effort anew.
    pub fn forget_effort(&mut self) {
        self.steps = 0;
        self.redos = R::zero();
        self.fallbacks = R::zero();
    }

    /// Sets which instructions the passes are done with; every choice gives the same bits.
    pub fn set_instructions(&mut self, instructions: Instructions) {
        self.instructions = instructions;
    }

    /// Goes on with a changed house and plant of the same layout.
    pub(crate) fn change(&mut self, model: Model<R>, plant: Plant<R>) {
        self.model = model;
        self.plant = plant;
        self.start_anew();
    }

    /// Lets the next step not look back.
    pub(crate) fn start_anew(&mut self) {
        self.starts_anew = true;
    }

    /// Goes to a state, whose last step the next one may look back to.
    pub(crate) fn resume(&mut self, state: State<R>) {
        self.state = state;
        self.starts_anew = false;
    }

    /// What moved on every place since [`Self::forget_moved`].
    pub fn moved_so_far(&self) -> &[WaterMoved<R>] {
        &self.moved_sum
    }

    /// Starts to sum up what moves anew.
    pub fn forget_moved(&mut self) {
        self.moved_sum.fill(WaterMoved::none());
    }

    /// Fluxes of the last pass.
    pub fn room(&self) -> &Room<R> {
        &self.room
    }

    /// Cuts the step for the lanes in which `concerned` is above zero; the others follow and are
    /// not asked whether they settle.
    fn sub_steps(
        &mut self,
        step_s: f64,
        concerned: R,
        conditions: &mut Conditions<R>,
        account: &mut Account<R>,
        set: &mut impl FnMut(f64, &mut Conditions<R>),
    ) {
        let part = Attempt {
            scheme: Scheme {
                step_s: step_s / f64::from(SUB_STEPS),
                second_order: false,
            },
            concerned,
            is_last: true,
        };
        self.step_start.copy_from_slice(&self.state.now);
        let mut whole = Amounts::none();
        for sub_step in 1..=SUB_STEPS {
            set(f64::from(sub_step) / f64::from(SUB_STEPS), conditions);
            self.attempt(part, conditions, account);
            whole.add(&self.state.last);
        }
        std::mem::swap(&mut self.state.before, &mut self.step_start);
        self.state.last = whole;
    }
}

fn sum<R: Real>(values: &[R]) -> R {
    values.iter().fold(R::zero(), |sum, value| sum + *value)
}

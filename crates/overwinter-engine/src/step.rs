//! One step: passes over the balance until its regimes settle, then state, water and accounts.

mod accept;
mod rates;
mod settling;

use overwinter_physics::number::Real;

use crate::account::{Account, Amounts};
use crate::balance::{
    ColumnBalance, Conditions, Core, CoverBalance, Moment, Room, Scheme, Storage, WallBalance,
};
use crate::model::{AIR, CORE, FLOOR, Model};
use crate::plant::Plant;
use crate::record::Effort;
use crate::water_place::{WaterHeld, WaterMoved};

/// Changes of temperature and of vapour density (K, kg/m3) that count as throughput at least: against them
/// a residual of the allowed share is 1e-12 K of all stores, some twenty of their last bits near 300 K.
const ROUNDING: [f64; 2] = [1e-6, 1e-12];
/// Passes over a step before it is given up to sub-steps.
const MOST_PASSES: u32 = 4;
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
    /// Effort so far.
    pub effort: Effort,
    storage: Storage<R>,
    covers: Vec<CoverBalance<R>>,
    walls: Vec<WallBalance<R>>,
    columns: [ColumnBalance<R>; 2],
    room: Room<R>,
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
}

impl<R: Real> Stepper<R> {
    /// A stepper with every temperature at `start`, one value an unknown.
    pub fn new(model: Model<R>, plant: Plant<R>, start: Vec<R>) -> Self {
        assert_eq!(start.len(), model.size(), "one start value an unknown");
        Self {
            state: State {
                now: start.clone(),
                before: start.clone(),
                water: vec![WaterHeld::dry(); model.places],
                last: Amounts::none(),
            },
            effort: Effort::default(),
            storage: Storage::new(&model),
            covers: vec![CoverBalance::new(); model.sections.len()],
            walls: model.walls.iter().map(WallBalance::new).collect(),
            columns: [0, 1].map(|c| ColumnBalance::new(&model.columns[c])),
            room: Room::new(plant.heaters.len()),
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
        self.effort.steps += 1;
        if std::mem::take(&mut self.starts_anew) {
            self.sub_steps(step_s, conditions, account, set);
            return;
        }
        set(1.0, conditions);
        let scheme = Scheme {
            step_s,
            second_order: true,
        };
        self.begin(scheme, conditions);
        for pass in 0..MOST_PASSES {
            self.pass(scheme, conditions);
            let over = self.over(step_s, conditions);
            if !R::any(R::zero().lt(over)) {
                self.accept(scheme, conditions, account);
                return;
            }
            if pass + 1 < MOST_PASSES {
                self.effort.redos += 1;
                self.move_point(over, scheme, conditions);
            }
        }
        self.effort.fallbacks += 1;
        self.sub_steps(step_s, conditions, account, set);
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

    /// What moved on every place since this was last asked for.
    pub fn take_moved(&mut self) -> Vec<WaterMoved<R>> {
        let still = vec![WaterMoved::none(); self.model.places];
        std::mem::replace(&mut self.moved_sum, still)
    }

    /// Fluxes of the last pass.
    pub fn room(&self) -> &Room<R> {
        &self.room
    }

    /// Takes up the past, and solves what does not change from pass to pass.
    #[inline]
    fn begin(&mut self, scheme: Scheme, conditions: &Conditions<R>) {
        let Self {
            model,
            state,
            storage,
            covers,
            walls,
            columns,
            ..
        } = self;
        let is_new = storage.set_scheme(scheme, model);
        if is_new {
            for (wall, balance) in model.walls.iter().zip(walls.iter_mut()) {
                balance.factor(wall, storage);
            }
        }
        storage.begin(scheme, model, &state.now, &state.before);
        let freezes = storage.begin_freezing(scheme, model, &state.now, &state.before);
        if is_new || freezes {
            for (column, balance) in model.columns.iter().zip(columns.iter_mut()) {
                balance.factor(column, storage);
            }
        }
        for (index, cover) in covers.iter_mut().enumerate() {
            let closed = conditions.screen_closed[index];
            cover.begin(&model.sections[index], &state.water, closed);
        }
        for (wall, balance) in model.walls.iter().zip(walls) {
            balance.begin(wall, storage, &state.now);
        }
        for (index, column) in columns.iter_mut().enumerate() {
            column.begin(model, index, storage, &state.now, conditions);
        }
    }

    /// Solves the balance once at the linearisation point; fills `next`.
    #[inline]
    fn pass(&mut self, scheme: Scheme, conditions: &Conditions<R>) {
        let Self {
            model,
            plant,
            state,
            storage,
            covers,
            walls,
            columns,
            room,
            ..
        } = self;
        let mut core = Core::new(storage);
        let step_s = scheme.step_s;
        let water = &state.water;
        let moment = Moment {
            model,
            plant,
            storage,
            now: &state.now,
            water,
            conditions,
            step_s,
        };
        room.assemble(moment, &mut core);
        for (index, cover) in covers.iter_mut().enumerate() {
            cover.assemble(moment, index, &mut core);
        }
        for (index, wall) in walls.iter_mut().enumerate() {
            wall.assemble(moment, index, &mut core);
        }
        for (index, column) in columns.iter_mut().enumerate() {
            column.assemble(moment, index, &mut core);
        }
        // The air is left to the last: its pivot is what the whole house answers with.
        core.eliminate();
        let stiffness_w_k = core.matrix[AIR][AIR];
        let air = plant.settle_air(
            stiffness_w_k,
            core.source[AIR],
            storage.point[AIR],
            conditions.heat_set_k,
            conditions.cool_set_k,
        );
        self.core = core.substitute(air);
        self.spread_changes();
    }

    #[inline]
    fn spread_changes(&mut self) {
        let Self {
            model,
            state,
            storage,
            covers,
            walls,
            columns,
            core,
            next,
            ..
        } = self;
        for (index, change) in core.iter().enumerate() {
            next[index] = storage.point[index] + *change;
        }
        for (section, cover) in model.sections.iter().zip(covers) {
            cover.substitute(section, storage, core, next);
        }
        let now = &state.now;
        for (wall, balance) in model.walls.iter().zip(walls) {
            balance.substitute(wall, storage, core, now, next);
        }
        for (index, (column, balance)) in model.columns.iter().zip(columns).enumerate() {
            balance.substitute(column.offset, core[FLOOR[index]], now, next);
        }
    }

    /// Takes the end of the pass as the next linearisation point in the lanes that did not settle;
    /// the others solve the same system again and get the same answer.
    #[inline]
    fn move_point(&mut self, over: R, scheme: Scheme, conditions: &Conditions<R>) {
        let unsettled = R::zero().lt(over);
        self.freeze();
        for (point, next) in self.storage.point.iter_mut().zip(&self.next) {
            *point = R::select(unsettled, *next, *point);
        }
        let Self {
            model,
            state,
            storage,
            columns,
            ..
        } = self;
        if storage.begin_freezing(scheme, model, &state.now, &state.before) {
            for (index, column) in columns.iter_mut().enumerate() {
                column.factor(&model.columns[index], storage);
                column.begin(model, index, storage, &state.now, conditions);
            }
        }
    }

    /// Sets the end of every freezing node to the temperature that its heat content has.
    #[inline]
    fn freeze(&mut self) {
        let (now, next) = (&self.state.now, &self.next);
        if !self.storage.has_ice(&self.model, now, next) {
            return;
        }
        for (index, node) in self.model.freezing.iter().enumerate() {
            let (now, next) = (self.state.now[node.at], self.next[node.at]);
            self.next[node.at] = self.storage.thawed_or_frozen_k(index, node, now, next);
        }
    }

    #[inline]
    fn sub_steps(
        &mut self,
        step_s: f64,
        conditions: &mut Conditions<R>,
        account: &mut Account<R>,
        mut set: impl FnMut(f64, &mut Conditions<R>),
    ) {
        let scheme = Scheme {
            step_s: step_s / f64::from(SUB_STEPS),
            second_order: false,
        };
        self.step_start.copy_from_slice(&self.state.now);
        let mut whole = Amounts::none();
        for sub_step in 1..=SUB_STEPS {
            set(f64::from(sub_step) / f64::from(SUB_STEPS), conditions);
            self.begin(scheme, conditions);
            for pass in 0..MOST_PASSES {
                self.pass(scheme, conditions);
                let over = self.over(scheme.step_s, conditions);
                if !R::any(R::zero().lt(over)) || pass + 1 == MOST_PASSES {
                    break;
                }
                self.move_point(over, scheme, conditions);
            }
            self.accept(scheme, conditions, account);
            whole.add(&self.state.last);
        }
        std::mem::swap(&mut self.state.before, &mut self.step_start);
        self.state.last = whole;
    }
}

fn sum<R: Real>(values: &[R]) -> R {
    values.iter().fold(R::zero(), |sum, value| sum + *value)
}

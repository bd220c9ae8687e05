//! One step: passes over the balance until its regimes settle, then state, water and accounts.

mod settling;

use overwinter_physics::number::Real;

use crate::account::{Account, Amounts};
use crate::balance::{
    ColumnBalance, Conditions, Core, CoverBalance, Moment, Room, Scheme, Storage, WallBalance,
};
use crate::model::{AIR, CORE, FLOOR, FLOOR_IRRADIANCE, Model, SHELL_IRRADIANCE, VAPOUR};
use crate::plant::Plant;
use crate::record::Effort;
use crate::water_place::{WaterHeld, WaterMoved};

/// A step so short that nothing moves; a power of two, so that dividing by it is exact.
const INSTANT_S: f64 = 1.0 / 1_073_741_824.0;
/// Changes of temperature and of vapour density (K, kg/m3) that are rounding.
const ROUNDING: [f64; 2] = [1e-9, 1e-12];
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
            storage: Storage::new(model.size()),
            covers: vec![CoverBalance::new(); model.sections.len()],
            walls: model.walls.iter().map(WallBalance::new).collect(),
            columns: [0, 1].map(|c| ColumnBalance::new(&model.columns[c])),
            room: Room::new(plant.heaters.len()),
            core: [R::zero(); CORE],
            step_start: start.clone(),
            next: start,
            moved: vec![WaterMoved::none(); model.places],
            moved_sum: vec![WaterMoved::none(); model.places],
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

    /// What moved on every place since this was last asked for.
    pub fn take_moved(&mut self) -> Vec<WaterMoved<R>> {
        let still = vec![WaterMoved::none(); self.model.places];
        std::mem::replace(&mut self.moved_sum, still)
    }

    /// Fluxes of the last pass.
    pub fn room(&self) -> &Room<R> {
        &self.room
    }

    /// Rates of change of every unknown and of the water on every place (liquid, ice) at the
    /// present state: the right-hand side that the steps integrate, for comparison with another
    /// integrator. `rates` holds the unknowns, then two values for each place.
    pub fn rates(&mut self, conditions: &Conditions<R>, rates: &mut [R]) {
        // The change over a step so short that nothing else has moved.
        let scheme = Scheme {
            step_s: INSTANT_S,
            second_order: false,
        };
        self.begin(scheme, conditions);
        // The two irradiances have no store: bring them up to date first.
        for _ in 0..2 {
            self.pass(scheme, conditions);
            for index in [SHELL_IRRADIANCE, FLOOR_IRRADIANCE] {
                self.storage.point[index] = self.next[index];
            }
        }
        self.pass(scheme, conditions);
        let size = self.model.size();
        for (index, rate) in rates.iter_mut().enumerate().take(size) {
            *rate = self.change_of(index) / scheme.step_s;
        }
        for place in 0..self.model.places {
            let (settling, freezing, area) = self.settling(place);
            let held = &self.state.water[place];
            let from_ice = R::select(
                settling.lt(R::zero()),
                settling * held.ice_share(),
                R::zero(),
            );
            let draining = self.place(place).draining_kg_m2s(held);
            rates[size + 2 * place] = (settling - from_ice - freezing) / area - draining;
            rates[size + 2 * place + 1] = (from_ice + freezing) / area;
        }
    }

    fn place(&self, place: usize) -> crate::water_place::WaterPlace<R> {
        self.model
            .sections
            .iter()
            .flat_map(|section| &section.layers)
            .find(|layer| layer.place_at == place)
            .map_or(self.model.crop.place, |layer| layer.place)
    }

    fn change_of(&self, index: usize) -> R {
        if index < CORE {
            return self.core[index];
        }
        for (section, cover) in self.model.sections.iter().zip(&self.covers) {
            if index >= section.offset && index < section.offset + section.size {
                return cover.change(section, index - section.offset);
            }
        }
        for (wall, balance) in self.model.walls.iter().zip(&self.walls) {
            if index >= wall.offset && index < wall.offset + balance.nodes() {
                return balance.change(index - wall.offset);
            }
        }
        for (column, balance) in self.model.columns.iter().zip(&self.columns) {
            if index >= column.offset && index < column.offset + balance.change().len() {
                return balance.change()[index - column.offset];
            }
        }
        R::zero()
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

    /// Takes the solved step as the new state and books what it moved.
    #[inline]
    fn accept(&mut self, scheme: Scheme, conditions: &Conditions<R>, account: &mut Account<R>) {
        self.freeze();
        let places_kg = self.move_water(scheme.step_s);
        let solved = crate::account::Solved {
            model: &self.model,
            plant: &self.plant,
            storage: &self.storage,
            covers: &self.covers,
            walls: &self.walls,
            columns: &self.columns,
            fluxes: &self.room.fluxes,
            core: &self.core,
            moved: &self.moved,
        };
        let amounts = &mut self.amounts;
        crate::account::fill(&solved, conditions, scheme, amounts);
        amounts.stored_places_kg = places_kg;
        if scheme.second_order {
            amounts.carry_on(&self.state.last);
        }
        let (capacity_j_k, now) = (&self.model.heat_capacity_j_k, &self.state.now);
        amounts.stored_j = stored(capacity_j_k, &self.next, now);
        for node in &self.model.freezing {
            let share = |state: &[R]| node.water.frozen_share(state[node.at]);
            let frozen = node.water.latent_k * (share(&self.next) - share(now));
            amounts.stored_j += -(capacity_j_k[node.at] * frozen);
        }
        amounts.stored_vapour_kg = R::zero();
        for index in &self.model.water {
            let change = self.next[*index] - self.state.now[*index];
            amounts.stored_vapour_kg += self.model.capacity[*index] * change;
        }
        account.book(amounts, self.least);
        for (sum, moved) in self.moved_sum.iter_mut().zip(&self.moved) {
            sum.add(moved);
        }
        std::mem::swap(&mut self.state.last, &mut self.amounts);
        std::mem::swap(&mut self.state.before, &mut self.state.now);
        std::mem::swap(&mut self.state.now, &mut self.next);
    }

    /// Settling and freezing on a place (kg/s on the whole of it) and its area.
    fn settling(&self, place: usize) -> (R, R, R) {
        for (section, cover) in self.model.sections.iter().zip(&self.covers) {
            for (index, layer) in section.layers.iter().enumerate() {
                if layer.place_at == place {
                    let rate = cover.condensing_kg_s(index, layer, &self.core);
                    return (rate, cover.freezing_kg_s(index), section.area_m2);
                }
            }
        }
        let leaf = &self.room.fluxes.leaf_wet;
        let rate = leaf.after(self.core[VAPOUR], self.core[crate::model::LEAF]);
        (rate, R::zero(), self.model.crop.two_sided_m2)
    }

    /// Carries the water on every place; returns by how much all of it grew, kg.
    #[inline]
    fn move_water(&mut self, step_s: f64) -> R {
        let step = R::splat(step_s);
        let mut grown = R::zero();
        let Self {
            model,
            covers,
            room,
            core,
            state,
            moved,
            ..
        } = self;
        for (section, cover) in model.sections.iter().zip(covers) {
            for (index, layer) in section.layers.iter().enumerate() {
                let rate = cover.condensing_kg_s(index, layer, core) / section.area_m2;
                let freezing = cover.freezing_kg_s(index) / section.area_m2;
                let held = &mut state.water[layer.place_at];
                let before = held.total_kg_m2();
                moved[layer.place_at] = layer.place.carry(held, rate, freezing, step);
                grown += (held.total_kg_m2() - before) * section.area_m2;
            }
        }
        let leaf = &room.fluxes.leaf_wet;
        let rate = leaf.after(core[VAPOUR], core[crate::model::LEAF]) / model.crop.two_sided_m2;
        let at = model.leaf_place();
        let before = state.water[at].total_kg_m2();
        moved[at] = model
            .crop
            .place
            .carry(&mut state.water[at], rate, R::zero(), step);
        grown + (state.water[at].total_kg_m2() - before) * model.crop.two_sided_m2
    }
}

/// Change of heat in all stores, J, against which the fluxes must balance.
#[inline(always)]
fn stored<R: Real>(capacity_j_k: &[R], next: &[R], now: &[R]) -> R {
    // Four sums side by side, which do not wait for each other.
    let mut sums = [R::zero(); 4];
    let (capacities, rest) = capacity_j_k.as_chunks::<4>();
    let (nexts, next_rest) = next.as_chunks::<4>();
    let (nows, now_rest) = now.as_chunks::<4>();
    for (capacity, (next, now)) in capacities.iter().zip(nexts.iter().zip(nows)) {
        for (sum, (capacity, (next, now))) in sums
            .iter_mut()
            .zip(capacity.iter().zip(next.iter().zip(now)))
        {
            *sum += *capacity * (*next - *now);
        }
    }
    let [a, b, c, d] = sums;
    let mut sum = (a + b) + (c + d);
    for (capacity, (next, now)) in rest.iter().zip(next_rest.iter().zip(now_rest)) {
        sum += *capacity * (*next - *now);
    }
    sum
}

fn sum<R: Real>(values: &[R]) -> R {
    values.iter().fold(R::zero(), |sum, value| sum + *value)
}

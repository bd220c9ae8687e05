//! One step: passes over the balance until its regimes settle, then state, water and accounts.

use overwinter_physics::number::Real;

use crate::account::{Account, Amounts};
use crate::balance::{
    ColumnBalance, Conditions, Core, CoverBalance, Moment, Room, Scheme, Storage, WallBalance,
};
use crate::model::{AIR, CORE, Model, VAPOUR};
use crate::plant::Plant;
use crate::record::Effort;
use crate::solver::{eliminate_block, substitute_block};
use crate::water_place::{WaterHeld, WaterMoved};

/// Passes over a step before it is given up to sub-steps.
const MOST_PASSES: u32 = 4;
/// A step in which the house air moves farther than this from the linearisation point is redone.
const FAR_AIR_K: f64 = 1.5;
/// A step in which control differs from what was assumed by more than this share of full action
/// is redone.
const CONTROL_SLIP: f64 = 0.02;
/// Water a face may come to owe in a step, kg/m2: about 1 W/m2 of latent heat over half an hour.
const WATER_DEBT_KG_M2: f64 = 0.7e-3;
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
    moved: Vec<WaterMoved<R>>,
    moved_sum: Vec<WaterMoved<R>>,
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
            next: start,
            moved: vec![WaterMoved::none(); model.places],
            moved_sum: vec![WaterMoved::none(); model.places],
            model,
            plant,
        }
    }

    /// Goes one step forward and adds what it moved to the account.
    #[inline]
    pub fn advance(&mut self, step_s: f64, conditions: &Conditions<R>, account: &mut Account<R>) {
        self.effort.steps += 1;
        let scheme = Scheme {
            step_s,
            second_order: true,
        };
        self.extrapolate();
        for pass in 0..MOST_PASSES {
            self.pass(scheme, conditions);
            if !self.slipped(step_s, conditions) {
                self.accept(scheme, conditions, account);
                return;
            }
            if pass + 1 < MOST_PASSES {
                self.effort.redos += 1;
                self.storage.point.copy_from_slice(&self.next);
            }
        }
        self.effort.fallbacks += 1;
        self.sub_steps(step_s, conditions, account);
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
            step_s: 1e-9,
            second_order: false,
        };
        self.storage.point.copy_from_slice(&self.state.now);
        // The two irradiances have no store: bring them up to date first.
        for _ in 0..2 {
            self.pass(scheme, conditions);
            self.storage.point[..2].copy_from_slice(&self.next[..2]);
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
                return cover.change[index - section.offset];
            }
        }
        for (wall, balance) in self.model.walls.iter().zip(&self.walls) {
            if index >= wall.offset && index < wall.offset + balance.change.len() {
                return balance.change[index - wall.offset];
            }
        }
        for (column, balance) in self.model.columns.iter().zip(&self.columns) {
            if index >= column.offset && index + 1 < column.offset + balance.change.len() {
                return balance.change[index - column.offset + 1];
            }
        }
        R::zero()
    }

    /// Where the step is expected to end: straight on from the last one.
    #[inline]
    fn extrapolate(&mut self) {
        let state = &self.state;
        for (index, point) in self.storage.point.iter_mut().enumerate() {
            *point = state.now[index] * 2.0 - state.before[index];
        }
        self.storage.point[VAPOUR] = self.storage.point[VAPOUR].max(R::splat(1e-6));
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
        storage.prepare(
            scheme,
            &model.capacity,
            &model.carry,
            &state.now,
            &state.before,
        );
        let mut core = Core::new(storage);
        let step_s = scheme.step_s;
        let water = &state.water;
        let moment = Moment {
            model,
            plant,
            storage,
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
        // The air is eliminated last: its pivot is what the whole house answers with.
        eliminate_block(CORE, &mut core.matrix, &mut core.source);
        let stiffness_w_k = R::one() / core.matrix[AIR][AIR];
        core.source[AIR][0] = plant.settle_air(
            stiffness_w_k,
            core.source[AIR][0],
            storage.point[AIR],
            conditions.heat_set_k,
            conditions.cool_set_k,
        );
        substitute_block(AIR, CORE, &core.matrix, &mut core.source);
        self.core = core.source.map(|[change]| change);
        self.spread_changes();
    }

    #[inline]
    fn spread_changes(&mut self) {
        let Self {
            model,
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
            cover.substitute(section.size, core);
            for local in 0..section.size {
                let index = section.offset + local;
                next[index] = storage.point[index] + cover.change[local];
            }
        }
        for (wall, balance) in model.walls.iter().zip(walls) {
            balance.substitute(core);
            for (node, change) in balance.change.iter().enumerate() {
                next[wall.offset + node] = storage.point[wall.offset + node] + *change;
            }
        }
        for (index, (column, balance)) in model.columns.iter().zip(columns).enumerate() {
            balance.substitute(index, core);
            for (node, change) in balance.change.iter().enumerate().skip(1) {
                let at = column.offset + node - 1;
                next[at] = storage.point[at] + *change;
            }
        }
    }

    /// True if the step ended where its linearisation does not hold.
    #[inline]
    fn slipped(&self, step_s: f64, conditions: &Conditions<R>) -> bool {
        let moved = self.core[AIR];
        let air_k = self.next[AIR];
        if R::any(R::splat(FAR_AIR_K).lt(moved.abs())) {
            return true;
        }
        let slip = R::splat(CONTROL_SLIP);
        let fluxes = &self.room.fluxes;
        for (heater, assumed) in self.plant.heaters.iter().zip(&fluxes.heaters) {
            let found = heater.share(conditions.heat_set_k, air_k).value;
            let used = assumed.value + assumed.slope_per_k * moved;
            // Radiant heat and water are given at the assumed share, the rest at the found one.
            let straight = R::select(
                R::zero().lt(heater.water_kg_j),
                R::one(),
                R::one() - heater.convective_share,
            );
            if R::any(slip.lt((found - used).abs() * straight)) {
                return true;
            }
        }
        if self.plant.has_vents() {
            let found = self.plant.vent_share(conditions.vent_set_k, air_k).value;
            let used = fluxes.vents.value + fluxes.vents.slope_per_k * moved;
            if R::any(slip.lt((found - used).abs())) {
                return true;
            }
        }
        self.water_slipped(step_s)
    }

    /// True if a face gave off water that it does not have.
    #[inline]
    fn water_slipped(&self, step_s: f64) -> bool {
        let owes = |held: &WaterHeld<R>, rate_kg_s: R, area_m2: R| {
            let left = held.total_kg_m2() * area_m2 + rate_kg_s * step_s;
            let allowed = held.total_kg_m2().min(R::zero()) * area_m2 - area_m2 * WATER_DEBT_KG_M2;
            R::any(left.lt(allowed))
        };
        let layers = self
            .model
            .sections
            .iter()
            .zip(&self.covers)
            .any(|(section, cover)| {
                section.layers.iter().enumerate().any(|(index, layer)| {
                    let rate = cover.condensing_kg_s(index, layer, &self.core);
                    owes(&self.state.water[layer.place_at], rate, section.area_m2)
                })
            });
        let leaf = &self.room.fluxes.leaf_wet;
        let rate = leaf.after(self.core[VAPOUR], self.core[crate::model::LEAF]);
        let held = &self.state.water[self.model.leaf_place()];
        layers || owes(held, rate, self.model.crop.two_sided_m2)
    }

    #[inline]
    fn sub_steps(&mut self, step_s: f64, conditions: &Conditions<R>, account: &mut Account<R>) {
        let scheme = Scheme {
            step_s: step_s / f64::from(SUB_STEPS),
            second_order: false,
        };
        let before = self.state.now.clone();
        let mut whole = Amounts::none();
        for _ in 0..SUB_STEPS {
            self.storage.point.copy_from_slice(&self.state.now);
            for pass in 0..MOST_PASSES {
                self.pass(scheme, conditions);
                if !self.slipped(scheme.step_s, conditions) || pass + 1 == MOST_PASSES {
                    break;
                }
                self.storage.point.copy_from_slice(&self.next);
            }
            self.accept(scheme, conditions, account);
            whole.add(&self.state.last);
        }
        self.state.before = before;
        self.state.last = whole;
    }

    /// Takes the solved step as the new state and books what it moved.
    #[inline]
    fn accept(&mut self, scheme: Scheme, conditions: &Conditions<R>, account: &mut Account<R>) {
        let places_kg = self.move_water(scheme.step_s);
        let mut amounts = self.amounts(scheme, conditions);
        amounts.stored_places_kg = places_kg;
        if scheme.second_order {
            amounts.carry_on(&self.state.last);
        }
        self.close(&mut amounts);
        account.book(&amounts);
        for (sum, moved) in self.moved_sum.iter_mut().zip(&self.moved) {
            sum.add(moved);
        }
        self.state.last = amounts;
        std::mem::swap(&mut self.state.before, &mut self.state.now);
        self.state.now.copy_from_slice(&self.next);
    }

    /// Settling and freezing on a place (kg/s on the whole of it) and its area.
    fn settling(&self, place: usize) -> (R, R, R) {
        for (section, cover) in self.model.sections.iter().zip(&self.covers) {
            for (index, layer) in section.layers.iter().enumerate() {
                if layer.place_at == place {
                    let rate = cover.condensing_kg_s(index, layer, &self.core);
                    return (rate, cover.condensing[index].freezing_kg_s, section.area_m2);
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
                let freezing = cover.condensing[index].freezing_kg_s / section.area_m2;
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

    /// What the step moved, every flux at its end with its slopes.
    #[inline]
    fn amounts(&self, scheme: Scheme, conditions: &Conditions<R>) -> Amounts<R> {
        crate::account::amounts(
            &crate::account::Solved {
                model: &self.model,
                plant: &self.plant,
                storage: &self.storage,
                covers: &self.covers,
                walls: &self.walls,
                columns: &self.columns,
                fluxes: &self.room.fluxes,
                core: &self.core,
                moved: &self.moved,
            },
            conditions,
            scheme,
        )
    }

    /// Adds the change of the stores, against which the fluxes must balance.
    #[inline]
    fn close(&self, amounts: &mut Amounts<R>) {
        let mut heat = R::zero();
        let mut vapour = R::zero();
        for (index, capacity) in self.model.capacity.iter().enumerate() {
            let change = *capacity * (self.next[index] - self.state.now[index]);
            match self.model.carry[index] {
                crate::model::Carry::Heat => heat += change,
                crate::model::Carry::Water => vapour += change,
            }
        }
        amounts.stored_j = heat;
        amounts.stored_vapour_kg = vapour;
    }
}

//! The passes of a step: each solves the balance once at a linearisation point.

use overwinter_physics::number::Real;

use super::Stepper;
use super::instructions::{Accept, Begin, Check, Close, Cover, Open};
use crate::account::Account;
use crate::balance::{Conditions, Moment, Scheme};
use crate::model::{AIR, FLOOR};

/// Passes over a step before it is given up to sub-steps.
const MOST_PASSES: u32 = 4;

/// How a step, or a part of one, is to be done.
#[derive(Clone, Copy, Debug)]
pub(super) struct Attempt<R> {
    pub(super) scheme: Scheme,
    /// Above zero in the lanes that have to settle.
    pub(super) concerned: R,
    /// True if what the last pass found is taken whether it settled or not.
    pub(super) is_last: bool,
}

/// What a part of a pass reads, while the rest of the stepper may be written to.
macro_rules! moment {
    ($stepper:ident, $scheme:ident, $conditions:ident) => {
        Moment {
            model: &$stepper.model,
            plant: &$stepper.plant,
            storage: &$stepper.storage,
            now: &$stepper.state.now,
            water: &$stepper.state.water,
            conditions: $conditions,
            step_s: $scheme.step_s,
        }
    };
}

impl<R: Real> Stepper<R> {
    /// Passes until all lanes concerned have settled, and takes the end as what happened if they
    /// have. What is returned is above zero in the lanes that did not settle.
    pub(super) fn attempt(
        &mut self,
        attempt: Attempt<R>,
        conditions: &Conditions<R>,
        account: &mut Account<R>,
    ) -> R {
        let scheme = attempt.scheme;
        self.work(Begin, scheme, conditions);
        let mut over = attempt.concerned;
        for pass in 1..=MOST_PASSES {
            self.pass(scheme, conditions);
            let found = self.work(Check, scheme, conditions);
            over = R::select(R::zero().lt(attempt.concerned), found, -R::one());
            let unsettled = R::zero().lt(over);
            if !R::any(unsettled) || pass == MOST_PASSES {
                break;
            }
            if scheme.second_order {
                self.redos += R::select(unsettled, R::one(), R::zero());
            }
            self.move_point(over, scheme, conditions);
        }
        if attempt.is_last || !R::any(R::zero().lt(over)) {
            self.work(Accept(account), scheme, conditions);
        }
        over
    }

    /// Solves the balance once at the linearisation point; fills `next`.
    pub(super) fn pass(&mut self, scheme: Scheme, conditions: &Conditions<R>) {
        self.work(Open, scheme, conditions);
        for index in 0..self.covers.len() {
            self.work(Cover(index), scheme, conditions);
        }
        self.work(Close, scheme, conditions);
    }

    /// Takes up the past, and solves what does not change from pass to pass.
    #[inline(always)]
    pub(super) fn begin(&mut self, scheme: Scheme, conditions: &Conditions<R>) {
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

    /// Begins a pass with the core of the house.
    #[inline(always)]
    pub(super) fn open(&mut self, scheme: Scheme, conditions: &Conditions<R>) {
        self.matrix.set(&self.storage);
        let moment = moment!(self, scheme, conditions);
        self.room.assemble(moment, &mut self.matrix);
    }

    /// Adds a section of the cover.
    #[inline(always)]
    pub(super) fn cover(&mut self, index: usize, scheme: Scheme, conditions: &Conditions<R>) {
        let moment = moment!(self, scheme, conditions);
        self.covers[index].assemble(moment, index, &mut self.matrix);
    }

    /// Adds walls and ground, and solves.
    #[inline(always)]
    pub(super) fn close(&mut self, scheme: Scheme, conditions: &Conditions<R>) {
        let moment = moment!(self, scheme, conditions);
        let core = &mut self.matrix;
        for (index, wall) in self.walls.iter_mut().enumerate() {
            wall.assemble(moment, index, core);
        }
        for (index, column) in self.columns.iter_mut().enumerate() {
            column.assemble(moment, index, core);
        }
        // The air is left to the last: its pivot is what the whole house answers with.
        core.eliminate();
        let air = self.plant.settle_air(
            core.matrix[AIR][AIR],
            core.source[AIR],
            self.storage.point[AIR],
            conditions.heat_set_k,
            conditions.cool_set_k,
        );
        self.core = core.substitute(air);
        self.spread_changes();
    }

    #[inline(always)]
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
    #[inline(always)]
    pub(super) fn freeze(&mut self) {
        if !self.storage.has_ice() {
            return;
        }
        for (index, node) in self.model.freezing.iter().enumerate() {
            let (now, next) = (self.state.now[node.at], self.next[node.at]);
            self.next[node.at] = self.storage.thawed_or_frozen_k(index, node, now, next);
        }
    }
}

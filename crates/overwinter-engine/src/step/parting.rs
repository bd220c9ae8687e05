//! Lanes that part within a step: some have settled, the others are cut into smaller steps.

use overwinter_physics::number::Real;

use super::instructions::Accept;
use super::passes::Attempt;
use super::{State, Stepper};
use crate::account::Account;
use crate::balance::{Conditions, Freezes};
use crate::model::Model;
use crate::water_place::WaterMoved;

/// What a step changes: where it starts, and where lanes that settled have come to.
#[derive(Clone, Debug)]
pub(super) struct Parting<R> {
    start: Reached<R>,
    settled: Reached<R>,
}

#[derive(Clone, Debug)]
struct Reached<R> {
    state: State<R>,
    moved_sum: Vec<WaterMoved<R>>,
    freezes: Freezes<R>,
    account: Account<R>,
}

impl<R: Real> Parting<R> {
    pub(super) fn new(state: &State<R>, model: &Model<R>) -> Self {
        let reached = Reached {
            state: state.clone(),
            moved_sum: vec![WaterMoved::none(); model.places],
            freezes: Freezes::new(model),
            account: Account::default(),
        };
        Self {
            start: reached.clone(),
            settled: reached,
        }
    }
}

impl<R: Real> Reached<R> {
    fn copy(&mut self, stepper: &Stepper<R>, account: &Account<R>) {
        self.state.copy_from(&stepper.state);
        self.moved_sum.copy_from_slice(&stepper.moved_sum);
        self.freezes.copy_from(stepper.storage.freezes());
        self.account = account.clone();
    }
}

impl<R: Real> Stepper<R> {
    /// Takes the pass just done as what happened, keeps it for the lanes that settled, and goes back
    /// to the start of the step.
    pub(super) fn part(
        &mut self,
        attempt: Attempt<R>,
        conditions: &Conditions<R>,
        account: &mut Account<R>,
    ) {
        let Some(mut parting) = self.parting.take() else {
            return;
        };
        parting.start.copy(self, account);
        self.work(Accept(account), attempt.scheme, conditions);
        parting.settled.copy(self, account);
        let start = &parting.start;
        self.state.copy_from(&start.state);
        self.moved_sum.copy_from_slice(&start.moved_sum);
        self.storage.freezes_mut().copy_from(&start.freezes);
        account.clone_from(&start.account);
        self.parting = Some(parting);
    }

    /// Gives the lanes in which `unsettled` is not above zero what [`Self::part`] kept for them.
    pub(super) fn join(&mut self, unsettled: R, account: &mut Account<R>) {
        let Some(parting) = &self.parting else {
            return;
        };
        let Reached {
            state,
            moved_sum,
            freezes,
            account: booked,
        } = &parting.settled;
        let settled = unsettled.lt(R::splat(f64::MIN_POSITIVE));
        self.state.take_lanes(settled, state);
        for (sum, kept) in self.moved_sum.iter_mut().zip(moved_sum) {
            sum.take_lanes(settled, kept);
        }
        self.storage.freezes_mut().take_lanes(settled, freezes);
        account.take_lanes(settled, booked);
    }
}

impl<R: Real> State<R> {
    fn copy_from(&mut self, other: &Self) {
        self.now.copy_from_slice(&other.now);
        self.before.copy_from_slice(&other.before);
        self.water.copy_from_slice(&other.water);
        self.last = other.last;
    }

    fn take_lanes(&mut self, lanes: R::Mask, other: &Self) {
        take(lanes, &mut self.now, &other.now);
        take(lanes, &mut self.before, &other.before);
        for (held, of) in self.water.iter_mut().zip(&other.water) {
            held.take_lanes(lanes, of);
        }
        self.last.take_lanes(lanes, &other.last);
    }
}

/// Sets the lanes of a mask to those of other numbers.
pub(crate) fn take<R: Real>(lanes: R::Mask, into: &mut [R], from: &[R]) {
    for (into, from) in into.iter_mut().zip(from) {
        *into = R::select(lanes, *from, *into);
    }
}

//! Branches of a season: from a saved state on, with something that fails.

use std::ops::ControlFlow;

use overwinter_physics::number::Real;
use overwinter_weather::year::HOURS;

use crate::account::Account;
use crate::error::EngineError;
use crate::failure::Works;
use crate::keeper::top_leaf_k;
use crate::model::AIR;
use crate::season::Season;
use crate::step::State;

/// The state of a season at the start of an hour, from which branches go.
#[derive(Clone, Debug)]
pub struct Saved<R> {
    hour: usize,
    state: State<R>,
    top_leaf_k: R,
}

impl<R: Real> Saved<R> {
    /// Hour of the year at whose start the state was saved.
    pub fn hour(&self) -> usize {
        self.hour
    }

    /// House air.
    pub fn air_k(&self) -> R {
        self.state.now[AIR]
    }

    /// A leaf at the top that sees the cover.
    pub fn top_leaf_k(&self) -> R {
        self.top_leaf_k
    }
}

/// How an hour of a branch goes.
#[derive(Clone, Copy, Debug)]
pub struct HourPlan<'a> {
    /// What works.
    pub works: &'a Works,
    /// Steps in the hour.
    pub steps: usize,
}

/// A branch at the end of a step.
#[derive(Clone, Copy, Debug)]
pub struct BranchMoment<R> {
    /// Time since the branch began, h.
    pub after_h: f64,
    /// House air.
    pub air_k: R,
    /// A leaf at the top that sees the cover; the air's own reading of it where there is no crop.
    pub top_leaf_k: R,
    /// Output of all heaters.
    pub heat_w: R,
}

impl<R: Real> Season<'_, R> {
    /// The present state, at the start of `hour`.
    pub fn save(&self, hour: usize) -> Saved<R> {
        Saved {
            hour,
            state: self.state().clone(),
            top_leaf_k: self.top_leaf_k(),
        }
    }

    /// Steps from a saved state for some hours, passing from December into January of the same year.
    ///
    /// `plan` says what works in each hour from the start, and in how many steps the hour is done.
    /// Where either changes, steps start anew without a memory of the one before. `each` sees the end
    /// of every step and may end the branch.
    ///
    /// # Errors
    /// As [`crate::season::run_season`].
    pub fn branch<'w>(
        &mut self,
        start: &Saved<R>,
        hours: usize,
        mut plan: impl FnMut(usize) -> HourPlan<'w>,
        mut each: impl FnMut(&BranchMoment<R>) -> ControlFlow<()>,
    ) -> Result<(), EngineError> {
        self.resume(start.hour, start.state.clone());
        let usual_steps = self.steps_per_hour();
        let result = self.branch_hours(start.hour, hours, &mut plan, &mut each);
        // Also where the branch fails: the season can be used on.
        self.set_works(&Works::all());
        self.set_steps_per_hour(usual_steps);
        result
    }

    fn branch_hours<'w>(
        &mut self,
        start_hour: usize,
        hours: usize,
        plan: &mut impl FnMut(usize) -> HourPlan<'w>,
        each: &mut impl FnMut(&BranchMoment<R>) -> ControlFlow<()>,
    ) -> Result<(), EngineError> {
        let mut account = Account::default();
        let mut ended = false;
        for passed in 0..hours {
            let plan = plan(passed);
            self.set_works(plan.works);
            self.set_steps_per_hour(plan.steps);
            let mut step = 0.0;
            let steps = plan.steps as f64;
            let hour = (start_hour + passed) % HOURS;
            self.hour(hour, &mut account, |stepper, conditions, _, _| {
                // The hour in which a branch ends is stepped to its end unseen.
                if ended {
                    return;
                }
                step += 1.0;
                let state = &stepper.state;
                let heaters = state.last.heater_w.iter().take(state.last.heaters);
                let moment = BranchMoment {
                    after_h: passed as f64 + step / steps,
                    air_k: state.now[AIR],
                    top_leaf_k: top_leaf_k(&stepper.model, &state.now, conditions),
                    heat_w: heaters.fold(R::zero(), |sum, output_w| sum + *output_w),
                };
                ended = each(&moment).is_break();
            })?;
            if ended {
                break;
            }
        }
        Ok(())
    }
}

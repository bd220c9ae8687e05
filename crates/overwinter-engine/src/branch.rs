//! Branches of a season: from a saved state on, with something that fails.

use std::ops::ControlFlow;

use overwinter_physics::number::Real;

use crate::account::Account;
use crate::error::EngineError;
use crate::events::EventPlan;
use crate::keeper::top_leaf_k;
use crate::model::{AIR, Model, SpaceModel};
use crate::season::Season;
use crate::step::State;
use crate::wetness::{WetShares, wet_shares};

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

/// A branch at the end of a step.
#[derive(Clone, Copy, Debug)]
pub struct BranchMoment<R> {
    /// Time since the branch began, h.
    pub after_h: f64,
    /// House air.
    pub air_k: R,
    /// A leaf at the top that sees the cover; the air's own reading of it where there is no crop.
    pub top_leaf_k: R,
    /// Outdoor air.
    pub outdoor_k: R,
    /// Output of all heaters.
    pub heat_w: R,
    /// Output of the last heater of the house; 0 without heaters.
    pub last_heater_w: R,
    /// Set point of the heaters.
    pub heat_set_k: R,
    /// Share of the inflated cover in which its films touch.
    pub touching_share: R,
    /// How much of the cover is wet.
    pub wet: WetShares<R>,
}

impl<R: Real> Season<'_, R> {
    /// The present state, at the start of `hour`, while everything works.
    pub fn save(&self, hour: usize) -> Saved<R> {
        Saved {
            hour,
            state: self.state().clone(),
            top_leaf_k: self.top_leaf_k(),
        }
    }

    /// Steps from a saved state for some hours, passing from December into January of the same year.
    ///
    /// Times of the events count from the start of the year in which the state was saved and go on past
    /// its end. `steps` says in how many steps each hour of the branch is done; an hour within which
    /// something changes wants [`crate::season::FINE_STEPS_PER_HOUR`] or a multiple. Where what works or the
    /// length of the steps changes, steps start anew without a memory of the one before. `each` sees
    /// the end of every step and may end the branch.
    ///
    /// # Errors
    /// As [`crate::season::run_season_with`].
    pub fn branch(
        &mut self,
        start: &Saved<R>,
        hours: usize,
        events: &EventPlan,
        mut steps: impl FnMut(usize) -> usize,
        mut each: impl FnMut(&BranchMoment<R>) -> ControlFlow<()>,
    ) -> Result<(), EngineError> {
        self.resume(start.hour, start.state.clone());
        let usual_steps = self.steps_per_hour();
        let result = self.branch_hours(start.hour, hours, events, &mut steps, &mut each);
        // Also where the branch fails: the season can be used on.
        self.set_steps_per_hour(usual_steps);
        result
    }

    fn branch_hours(
        &mut self,
        start_hour: usize,
        hours: usize,
        events: &EventPlan,
        steps: &mut impl FnMut(usize) -> usize,
        each: &mut impl FnMut(&BranchMoment<R>) -> ControlFlow<()>,
    ) -> Result<(), EngineError> {
        let mut account = Account::default();
        let mut ended = false;
        for passed in 0..hours {
            let in_hour = steps(passed);
            self.set_steps_per_hour(in_hour);
            let mut step = 0.0;
            let hour = start_hour + passed;
            self.hour(hour, events, &mut account, |stepper, conditions, _, _| {
                // The hour in which a branch ends is stepped to its end unseen.
                if ended {
                    return;
                }
                step += 1.0;
                let state = &stepper.state;
                let heaters = || state.last.heater_w.iter().take(state.last.heaters);
                let moment = BranchMoment {
                    after_h: passed as f64 + step / in_hour as f64,
                    air_k: state.now[AIR],
                    top_leaf_k: top_leaf_k(&stepper.model, &state.now, conditions),
                    outdoor_k: conditions.drive.air_k,
                    heat_w: heaters().fold(R::zero(), |sum, output_w| sum + *output_w),
                    last_heater_w: heaters().last().copied().unwrap_or(R::zero()),
                    heat_set_k: conditions.heat_set_k,
                    touching_share: touching_share(&stepper.model),
                    wet: wet_shares(&stepper.model, state),
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

fn touching_share<R: Real>(model: &Model<R>) -> R {
    let mut inflated_m2 = R::zero();
    let mut touching_m2 = R::zero();
    for section in &model.sections {
        for space in &section.spaces {
            if let SpaceModel::Inflated { touching_share, .. } = space {
                inflated_m2 += section.area_m2;
                touching_m2 += *touching_share * section.area_m2;
            }
        }
    }
    if R::any(R::zero().lt(inflated_m2)) {
        touching_m2 / inflated_m2.max(R::splat(1e-9))
    } else {
        R::zero()
    }
}

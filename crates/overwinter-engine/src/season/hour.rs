//! One hour of a season: what works in each step, the gaps that move meanwhile, and whether it holds.

use overwinter_physics::number::Real;
use overwinter_weather::year::HOURS;

use super::{ALLOWED_RESIDUAL, Season, TEMPS_K};
use crate::account::Account;
use crate::balance::Conditions;
use crate::error::EngineError;
use crate::events::EventPlan;
use crate::failure::Works;
use crate::gaps::{GapTrack, put_stated_into};
use crate::keeper::top_leaf_k;
use crate::model::{AIR, CORE, FLOOR, LEAF, MASS, Model};
use crate::plant::HOUR_S;
use crate::step::{State, Stepper};

impl<R: Real> Season<'_, R> {
    pub(crate) fn state(&self) -> &State<R> {
        &self.stepper.state
    }

    pub(crate) fn top_leaf_k(&self) -> R {
        top_leaf_k(&self.stepper.model, &self.state().now, &self.conditions)
    }

    pub(crate) fn steps_per_hour(&self) -> usize {
        self.steps_per_hour
    }

    /// Sets the length of the steps; where that changes, the next one has no memory of the one before.
    pub(crate) fn set_steps_per_hour(&mut self, steps: usize) {
        if self.steps_per_hour != steps {
            self.steps_per_hour = steps;
            self.stepper.start_anew();
        }
    }

    /// Goes to a state at the start of an hour.
    pub(crate) fn resume(&mut self, hour: usize, state: State<R>) {
        self.set_works(&Works::all());
        if self.gaps.iter().flatten().any(|gaps| gaps.is_moving()) {
            self.restore_gaps();
        }
        self.stepper.resume(state);
        self.schedule.begin(hour, &mut self.conditions);
    }

    /// Sets what works; where that changes, the next step has no memory of the one before.
    fn set_works(&mut self, works: &Works) {
        if self.works == *works {
            return;
        }
        self.works = works.clone();
        let model = self.model();
        self.stepper.change(model, works.plant(self.houses));
    }

    /// The houses compiled for what works now, all gaps as they are stated.
    fn model(&self) -> Model<R> {
        let mut model = Model::new(self.houses, &self.densities_kg_m3);
        self.works.stop(&mut model);
        model
    }

    fn restore_gaps(&mut self) {
        self.gaps.iter_mut().flatten().for_each(GapTrack::rest);
        self.torn_air_m3_s = R::zero();
        self.stepper.model = self.model();
    }

    /// Steps through an hour; `hour` goes on past the end of the year into its own January.
    pub(crate) fn hour(
        &mut self,
        hour: usize,
        events: &EventPlan,
        account: &mut Account<R>,
        mut after_step: impl FnMut(&Stepper<R>, &Conditions<R>, &Account<R>, f64),
    ) -> Result<(), EngineError> {
        let steps = self.steps_per_hour;
        let step_s = HOUR_S / steps as f64;
        let of_year = hour % HOURS;
        let changes_within = events.changes_within(hour);
        for step in 0..steps {
            let is_first = step == 0;
            if is_first || changes_within {
                let works = events.works_at(hour as f64 + step as f64 / steps as f64);
                let is_new = self.works != works;
                self.set_works(&works);
                if is_first || is_new {
                    let Self {
                        schedule,
                        stepper,
                        conditions,
                        works,
                        ..
                    } = self;
                    schedule.begin_hour(of_year, works, &stepper.model, &stepper.state, conditions);
                }
            }
            self.move_gaps(of_year, step_s)?;
            let Self {
                schedule,
                stepper,
                conditions,
                works,
                torn_air_m3_s,
                ..
            } = self;
            stepper.advance(step_s, conditions, account, |share, conditions| {
                let share = (step as f64 + share) / steps as f64;
                schedule.step_end(of_year, share, works, conditions);
                conditions.ventilation_m3_s += *torn_air_m3_s;
            });
            after_step(stepper, conditions, account, step_s);
        }
        check(of_year, &self.stepper, account)
    }

    /// Moves the gaps that are not as they are stated to the end of a step.
    fn move_gaps(&mut self, hour: usize, step_s: f64) -> Result<(), EngineError> {
        let mut all_whole = true;
        let mut ended = Vec::new();
        for (lane, gaps) in self.gaps.iter_mut().enumerate() {
            let Some(gaps) = gaps else { continue };
            gaps.follow(&self.works, hour)?;
            let was_moving = gaps.is_moving();
            if let Some(now) = gaps.advance(hour, step_s)? {
                all_whole = false;
                now.put_into(lane, &mut self.stepper.model);
                self.torn_air_m3_s.set_lane(lane, now.into_house_m3_s);
            } else if was_moving {
                ended.push(lane);
            }
        }
        if ended.is_empty() {
            return Ok(());
        }
        if all_whole {
            self.restore_gaps();
            return Ok(());
        }
        let stated = self.model();
        for lane in ended {
            put_stated_into(lane, &stated, &mut self.stepper.model);
            self.torn_air_m3_s.set_lane(lane, 0.0);
        }
        Ok(())
    }
}

fn check<R: Real>(
    hour: usize,
    stepper: &Stepper<R>,
    account: &Account<R>,
) -> Result<(), EngineError> {
    // A sum is broken if one of its parts is.
    let mut sum = R::zero();
    for value in &stepper.state.now {
        sum += *value;
    }
    if sum.is_broken() {
        let broken = stepper.state.now.iter().position(|value| value.is_broken());
        return Err(EngineError::NotFinite {
            hour,
            unknown: broken.unwrap_or(0),
        });
    }
    let [low_k, high_k] = TEMPS_K;
    for index in [MASS, FLOOR[0], FLOOR[1], LEAF, AIR] {
        debug_assert!(index < CORE, "temperatures of the core");
        for lane in 0..R::lanes() {
            let temp_k = stepper.state.now[index].lane(lane);
            if !(low_k..=high_k).contains(&temp_k) {
                return Err(EngineError::OutOfRange {
                    hour,
                    temp_k,
                    low_k,
                    high_k,
                });
            }
        }
    }
    for (name, worst) in ["heat", "water"].into_iter().zip(account.worst) {
        for lane in 0..R::lanes() {
            let residual_share = worst.lane(lane);
            if residual_share > ALLOWED_RESIDUAL {
                return Err(EngineError::AccountOpen {
                    account: name,
                    hour,
                    residual_share,
                    allowed_share: ALLOWED_RESIDUAL,
                });
            }
        }
    }
    Ok(())
}

//! One failure from one hour on: how low it takes the house, for a ladder of lengths, and how soon.

use std::ops::ControlFlow;

use overwinter_weather::year::HOURS;

use crate::branch::{BranchMoment, HourPlan, Saved};
use crate::error::EngineError;
use crate::failure::Works;
use crate::season::{RUN_UP_H, STEPS_PER_HOUR, Season};

/// The first hours of a failure, in which the house falls fastest, go in steps of 5 minutes.
const FINE_HOURS: usize = 2;
const FINE_STEPS_PER_HOUR: usize = 12;

/// What is asked of a failure.
#[derive(Clone, Debug)]
pub struct Question {
    /// What works while it lasts.
    pub works: Works,
    /// Lengths, from the shortest to the longest, h.
    pub lengths_h: Vec<usize>,
    /// Temperatures whose passing is timed, K: an alarm, freezing, a crop's limit.
    pub marks_k: Vec<f64>,
}

/// A failure of one length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rung {
    /// How long it lasts, h.
    pub length_h: usize,
    /// Lowest house air while it lasts.
    pub lowest_air_k: f64,
    /// Lowest leaf at the top while it lasts.
    pub lowest_leaf_k: f64,
}

/// What a failure from one hour on does.
#[derive(Clone, Debug, PartialEq)]
pub struct Outage {
    /// Hour of the year in which it begins.
    pub start_hour: usize,
    /// By length, in the order of the question.
    pub rungs: Vec<Rung>,
    /// Hours until the air, and until the leaf, is colder than each mark; `None` if it never is.
    pub passed_h: Vec<[Option<f64>; 2]>,
}

/// Saves the states of a season at the starts of some hours of the year, in ascending order.
///
/// # Errors
/// As [`crate::season::run_season`].
pub fn saved_states(
    season: &mut Season<'_, f64>,
    hours: &[usize],
) -> Result<Vec<Saved<f64>>, EngineError> {
    season.run_up(HOURS - RUN_UP_H, HOURS)?;
    let mut at = 0;
    let mut saved = Vec::with_capacity(hours.len());
    for hour in hours {
        season.run_up(at, *hour)?;
        saved.push(season.save(*hour));
        at = *hour;
    }
    Ok(saved)
}

/// Lets a failure begin at a saved state.
///
/// All lengths share one branch, to the longest: until it ends, a failure does not know how long it
/// will last. What the house does once it is over is not part of the answer.
///
/// # Errors
/// As [`crate::season::run_season`].
pub fn outage(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    question: &Question,
) -> Result<Outage, EngineError> {
    let mut watch = Watch::new(start, question);
    let hours = question.lengths_h.last().copied().unwrap_or(0);
    let plan = |hour: usize| HourPlan {
        works: &question.works,
        steps: if hour < FINE_HOURS {
            FINE_STEPS_PER_HOUR
        } else {
            STEPS_PER_HOUR
        },
    };
    season.branch(start, hours, plan, |moment| watch.see(moment))?;
    Ok(Outage {
        start_hour: start.hour(),
        rungs: watch.rungs,
        passed_h: watch.passed_h,
    })
}

/// Follows a branch.
struct Watch<'a> {
    question: &'a Question,
    lowest_k: [f64; 2],
    /// Time and air and leaf at the end of the step before.
    before: (f64, [f64; 2]),
    rungs: Vec<Rung>,
    passed_h: Vec<[Option<f64>; 2]>,
}

impl<'a> Watch<'a> {
    fn new(start: &Saved<f64>, question: &'a Question) -> Self {
        let temps_k = [start.air_k(), start.top_leaf_k()];
        Self {
            question,
            lowest_k: temps_k,
            before: (0.0, temps_k),
            rungs: Vec::with_capacity(question.lengths_h.len()),
            passed_h: vec![[None; 2]; question.marks_k.len()],
        }
    }

    fn see(&mut self, moment: &BranchMoment<f64>) -> ControlFlow<()> {
        let temps_k = [moment.air_k, moment.top_leaf_k];
        for (lowest, temp_k) in self.lowest_k.iter_mut().zip(temps_k) {
            *lowest = lowest.min(temp_k);
        }
        for (mark_k, passed) in self.question.marks_k.iter().zip(&mut self.passed_h) {
            for (which, passed_h) in passed.iter_mut().enumerate() {
                if passed_h.is_none() && temps_k[which] < *mark_k {
                    let (before_h, before_k) = self.before;
                    let from = (before_h, before_k[which]);
                    *passed_h = Some(crossing_h(from, (moment.after_h, temps_k[which]), *mark_k));
                }
            }
        }
        self.before = (moment.after_h, temps_k);
        let next = self.question.lengths_h.get(self.rungs.len());
        if let Some(length_h) = next.filter(|length_h| moment.after_h > **length_h as f64 - 1e-6) {
            self.rungs.push(Rung {
                length_h: *length_h,
                lowest_air_k: self.lowest_k[0],
                lowest_leaf_k: self.lowest_k[1],
            });
        }
        ControlFlow::Continue(())
    }
}

/// When a mark was passed, straight between two times with their temperatures; the first of them if it
/// was colder then.
fn crossing_h(from: (f64, f64), to: (f64, f64), mark_k: f64) -> f64 {
    if from.1 <= mark_k {
        return from.0;
    }
    from.0 + (from.1 - mark_k) / (from.1 - to.1) * (to.0 - from.0)
}

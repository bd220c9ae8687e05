//! Every failure from every saved state of the season.

use std::ops::Range;

use overwinter_engine::branch::Saved;
use overwinter_engine::error::EngineError;
use overwinter_engine::outage::{FailingNow, Marks, Outage, Question, outage};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};

use super::Tried;
use super::effect::Failures;
use super::nights::{Darkness, evenings};
use super::stage::Stage;
use crate::case::{Case, OutagePlan};

/// Nights that one thread takes at a time.
const NIGHTS_AT_A_TIME: usize = 20;

/// All branches of a case.
pub(super) struct Ladder {
    /// The failures tried.
    pub(super) failures: Failures,
    /// The evenings of the season.
    pub(super) evenings: Vec<usize>,
    /// By start: the state of every evening.
    pub(super) states: Vec<Vec<Saved<f64>>>,
    /// By distinct failure, start and evening.
    pub(super) outages: Vec<Vec<Vec<Outage>>>,
}

/// Some nights of one start and one failure.
struct Part {
    failure: usize,
    start: usize,
    nights: Range<usize>,
}

impl Ladder {
    pub(super) fn climb(tried: &Tried<'_>, stage: &Stage<'_>) -> Result<Self, EngineError> {
        let failures = Failures::new(&tried.case.house, &tried.plan.failures);
        let evenings = evenings(&tried.case.house, tried.year, tried.normal);
        let states = states(tried, stage, &evenings)?;
        let all = |failure| {
            let of_start = move |start| (failure, start);
            (0..states.len()).map(of_start)
        };
        let parts: Vec<Part> = (0..failures.distinct.len())
            .flat_map(all)
            .flat_map(|(failure, start)| parts(failure, start, evenings.len()))
            .collect();
        let done: Vec<Vec<Outage>> = parts
            .par_iter()
            .map_init(
                || stage.season(),
                |season, part| {
                    let season = season.as_mut().map_err(|error| error.clone())?;
                    let failing = &failures.distinct[part.failure].0;
                    let question = question(tried.case, tried.plan, failing);
                    states[part.start][part.nights.clone()]
                        .iter()
                        .map(|state| outage(season, state, &question))
                        .collect::<Result<Vec<Outage>, EngineError>>()
                },
            )
            .collect::<Result<_, _>>()?;
        let mut outages = vec![vec![Vec::new(); states.len()]; failures.distinct.len()];
        for (part, mut of_part) in parts.iter().zip(done) {
            outages[part.failure][part.start].append(&mut of_part);
        }
        Ok(Self {
            failures,
            evenings,
            states,
            outages,
        })
    }
}

fn parts(failure: usize, start: usize, nights: usize) -> impl Iterator<Item = Part> {
    (0..nights).step_by(NIGHTS_AT_A_TIME).map(move |from| Part {
        failure,
        start,
        nights: from..(from + NIGHTS_AT_A_TIME).min(nights),
    })
}

/// The states at every start of every evening, from one run through the year.
fn states(
    tried: &Tried<'_>,
    stage: &Stage<'_>,
    evenings: &[usize],
) -> Result<Vec<Vec<Saved<f64>>>, EngineError> {
    let darkness = Darkness::new(&tried.year.place);
    let starts = &tried.plan.starts;
    if evenings.is_empty() {
        return Ok(vec![Vec::new(); starts.len()]);
    }
    let hours: Vec<usize> = starts
        .iter()
        .flat_map(|start| {
            let hour = |evening: &usize| darkness.start_hour(*evening, *start);
            evenings.iter().map(hour).collect::<Vec<_>>()
        })
        .collect();
    let saved = stage.saved(&hours)?;
    Ok(saved.chunks(evenings.len()).map(<[_]>::to_vec).collect())
}

/// What is asked of a failure for the lengths of a plan.
pub(super) fn question(case: &Case, plan: &OutagePlan, failing: &FailingNow) -> Question {
    Question {
        failing: failing.clone(),
        lengths_h: plan.lengths_h.clone(),
        marks: marks(case, plan),
    }
}

/// What a failure is judged by; without any limit, by water that freezes on the leaf.
pub(super) fn marks(case: &Case, plan: &OutagePlan) -> Marks {
    let limit = case.frost_limits.get(plan.limit);
    Marks {
        alarm_k: plan.alarm_k,
        limit_k: limit.map_or(273.15, |limit| limit.limit_k),
        lag_h: limit.map_or(0.0, |limit| limit.lag_h),
        travel_h: plan.travel_h,
    }
}

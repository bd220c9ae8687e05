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

/// Some nights of one start.
struct Part {
    start: usize,
    nights: Range<usize>,
}

impl Ladder {
    pub(super) fn climb(tried: &Tried<'_>, stage: &Stage<'_>) -> Result<Self, EngineError> {
        let failures = Failures::new(&tried.case.house, &tried.plan.failures);
        let evenings = evenings(&tried.case.house, tried.year, tried.normal);
        let states = states(tried, stage, &evenings)?;
        let parts: Vec<Part> = (0..states.len())
            .flat_map(|start| parts(start, evenings.len()))
            .collect();
        let distinct = failures.distinct.iter();
        let questions: Vec<Question> = distinct
            .map(|(failing, _)| question(tried.case, tried.plan, failing))
            .collect();
        // By night: failures that stop the blower from one hour on share the course of its gaps.
        let done: Vec<Vec<Outage>> = parts
            .par_iter()
            .map_init(
                || stage.season(),
                |season, part| {
                    let season = season.as_mut().map_err(|error| error.clone())?;
                    let of_nights = states[part.start][part.nights.clone()].iter();
                    of_nights
                        .flat_map(|state| questions.iter().map(move |question| (state, question)))
                        .map(|(state, question)| outage(season, state, question))
                        .collect::<Result<Vec<Outage>, EngineError>>()
                },
            )
            .collect::<Result<_, _>>()?;
        let mut outages = vec![vec![Vec::new(); states.len()]; failures.distinct.len()];
        for (part, of_part) in parts.iter().zip(done) {
            let failures = (0..questions.len()).cycle();
            for (failure, outage) in failures.zip(of_part) {
                outages[failure][part.start].push(outage);
            }
        }
        Ok(Self {
            failures,
            evenings,
            states,
            outages,
        })
    }
}

fn parts(start: usize, nights: usize) -> impl Iterator<Item = Part> {
    (0..nights).step_by(NIGHTS_AT_A_TIME).map(move |from| Part {
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

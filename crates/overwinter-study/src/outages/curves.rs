//! The course of chosen nights.

use std::sync::Arc;

use overwinter_engine::branch::Saved;
use overwinter_engine::error::EngineError;
use overwinter_engine::outage::curve;
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};

use super::Tried;
use super::design::{DesignNight, Sky};
use super::judge::{median_night, worst_night};
use super::ladder::Ladder;
use super::stage::Stage;
use crate::case::NightStart;
use crate::tables::night::{NightCurve, NightIs};

/// How long a failure lasts in a curve, h.
pub const CURVE_H: f64 = 12.0;
/// How much of the recovery after it is shown, h.
pub const RECOVERY_H: f64 = 12.0;
/// The length at which a night is the worst or the median one, or the nearest of the plan, h.
const CHOSEN_AT_H: f64 = 8.0;

/// A failure in a chosen night.
struct Course<'a> {
    failure: usize,
    night: NightIs,
    stage: &'a Stage<'a>,
    state: &'a Saved<f64>,
}

/// The curves of every failure of the plan.
pub(super) fn all(
    tried: &Tried<'_>,
    stage: &Stage<'_>,
    ladder: &Ladder,
    design: &[DesignNight],
) -> Result<Vec<NightCurve>, EngineError> {
    let start = start_of(&tried.plan.starts);
    let length = nearest(&tried.plan.lengths_h, CHOSEN_AT_H);
    let skies: Vec<Stage<'_>> = design
        .iter()
        .map(|night| Stage::new(&tried.case.house, &night.of.sun, &night.of.year))
        .collect();
    let mut courses = Vec::new();
    for (failure, &distinct) in ladder.failures.of_plan.iter().enumerate() {
        let nights = ladder.outages[distinct].get(start);
        let nights = nights.map_or(&[][..], Vec::as_slice);
        let chosen = [
            (NightIs::Worst, worst_night(nights, length)),
            (NightIs::Median, median_night(nights, length)),
        ];
        courses.extend(chosen.into_iter().filter_map(|(night, at)| {
            Some(Course {
                failure,
                night,
                stage,
                state: &ladder.states[start][at?],
            })
        }));
        courses.extend(design.iter().zip(&skies).filter_map(|(night, stage)| {
            Some(Course {
                failure,
                night: NightIs::of_sky(night.sky),
                stage,
                state: night.states.get(start)?,
            })
        }));
    }
    courses
        .par_iter()
        .map(|course| draw(tried, ladder, course))
        .collect()
}

fn draw(
    tried: &Tried<'_>,
    ladder: &Ladder,
    course: &Course<'_>,
) -> Result<NightCurve, EngineError> {
    let distinct = ladder.failures.of_plan[course.failure];
    let failing = &ladder.failures.distinct[distinct].0;
    let mut season = course.stage.season()?;
    Ok(NightCurve {
        case_id: tried.case.id,
        failure: Arc::from(tried.plan.failures[course.failure].name.as_str()),
        night: course.night,
        start_hour: course.state.hour(),
        points: curve(&mut season, course.state, failing, CURVE_H, RECOVERY_H)?,
    })
}

impl NightIs {
    fn of_sky(sky: Sky) -> Self {
        match sky {
            Sky::Clear => Self::DesignClear,
            Sky::Windy => Self::DesignWindy,
        }
    }
}

/// The start from which curves are drawn: dusk, or the first one there is.
fn start_of(starts: &[NightStart]) -> usize {
    let dusk = starts.iter().position(|start| *start == NightStart::Dusk);
    dusk.unwrap_or(0)
}

/// The index of the length nearest to one; of two, the shorter.
pub(super) fn nearest(lengths_h: &[f64], wanted_h: f64) -> usize {
    let apart_h = |index: &usize| (lengths_h[*index] - wanted_h).abs();
    let nearest = (0..lengths_h.len()).min_by(|a, b| apart_h(a).total_cmp(&apart_h(b)));
    nearest.unwrap_or(0)
}

//! The one place where these tests call on branches of a season.

use std::ops::ControlFlow;

use overwinter_engine::branch::{BranchMoment, Saved};
use overwinter_engine::events::{Event, EventPlan};
use overwinter_engine::failure::Failure;
use overwinter_engine::season::Season;

/// A failure and how long it lasts.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Failing {
    /// What fails.
    pub(crate) what: Failure,
    /// From the start of the branch, h.
    pub(crate) hours: usize,
}

/// House air after every step of a branch of some hours.
pub(crate) fn air_k(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    hours: usize,
    failing: Failing,
    steps_per_hour: usize,
) -> Vec<f64> {
    let events = EventPlan {
        events: vec![Event {
            failure: failing.what,
            start_h: start.hour() as f64,
            length_h: failing.hours as f64,
        }],
        generator: None,
    };
    let mut air_k = Vec::new();
    let each = |moment: &BranchMoment<f64>| {
        air_k.push(moment.air_k);
        ControlFlow::Continue(())
    };
    season
        .branch(start, hours, &events, |_| steps_per_hour, each)
        .expect("the branch is finished");
    air_k
}

/// Lowest house air of such a branch, in half-hour steps.
pub(crate) fn lowest_k(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    hours: usize,
    failing: Failing,
) -> f64 {
    let air_k = air_k(season, start, hours, failing, 2);
    air_k.into_iter().fold(f64::INFINITY, f64::min)
}

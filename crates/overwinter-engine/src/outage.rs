//! One failure from one hour on: how low it takes the house, for a ladder of lengths, and how soon.

mod drying;
mod heating;
mod watch;

use std::ops::ControlFlow;

use overwinter_weather::year::HOURS;

use crate::branch::Saved;
use crate::error::EngineError;
use crate::events::{Event, EventPlan, Generator};
use crate::failure::Failure;
use crate::season::{FINE_STEPS_PER_HOUR, RUN_UP_H, STEPS_PER_HOUR, Season};
use crate::wetness::WetShares;

use watch::Watch;

pub use drying::{Drying, LONGEST_DRYING_H, Wet, drying};
pub use heating::{Heating, heating, standby_house, standby_w};

/// The first hours of a failure, in which the house falls fastest, go in steps of 5 minutes.
const FINE_HOURS: usize = 2;
/// After the first day, when the house follows the weather and its floor, steps of an hour do.
const HALVED_HOURS: usize = 24;
/// Time after which the fast fall of the air is over and what is left follows the floor, h: air and
/// crop have time constants of 10 to 30 minutes.
pub const PLATEAU_H: f64 = 2.0;

/// What fails together, from one moment on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FailingNow {
    /// What fails.
    pub failures: Vec<Failure>,
    /// A generator that takes over after a failure of the grid.
    pub generator: Option<Generator>,
}

impl FailingNow {
    /// As events that begin at an hour of the year.
    pub fn events(&self, start_hour: usize, length_h: f64) -> EventPlan {
        let event = |failure: &Failure| Event {
            failure: *failure,
            start_h: start_hour as f64,
            length_h,
        };
        EventPlan {
            events: self.failures.iter().map(event).collect(),
            generator: self.generator.clone(),
        }
    }
}

/// Temperatures and times that a failure is judged by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Marks {
    /// House air at which the alarm goes off.
    pub alarm_k: f64,
    /// Leaf temperature below which the crop is harmed.
    pub limit_k: f64,
    /// Time below it after which the crop is lost, h.
    pub lag_h: f64,
    /// Time from the alarm until help runs, h.
    pub travel_h: f64,
}

/// What is asked of a failure.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// What fails.
    pub failing: FailingNow,
    /// Lengths, from the shortest to the longest, h.
    pub lengths_h: Vec<f64>,
    /// What it is judged by.
    pub marks: Marks,
}

/// A failure of one length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rung {
    /// How long it lasts, h.
    pub length_h: f64,
    /// Lowest house air while it lasts.
    pub lowest_air_k: f64,
    /// Lowest leaf at the top while it lasts.
    pub lowest_leaf_k: f64,
    /// True if the leaf stays below the limit for the lag while it lasts.
    pub is_lost: bool,
}

/// What a failure from one hour on does.
#[derive(Clone, Debug, PartialEq)]
pub struct Outage {
    /// Hour of the year in which it begins.
    pub start_hour: usize,
    /// By length, in the order of the question.
    pub rungs: Vec<Rung>,
    /// Hours until the air is at the alarm; `None` if it never is, 0 if it is at the start.
    pub alarm_h: Option<f64>,
    /// Hours until the air is at 0 C.
    pub freezing_h: Option<f64>,
    /// Hours until the leaf is at the limit.
    pub limit_h: Option<f64>,
    /// Hours until the crop is lost: the leaf below the limit for the lag.
    pub lost_h: Option<f64>,
    /// Air after [`PLATEAU_H`]; `None` for a failure that is shorter.
    pub plateau_k: Option<f64>,
    /// House air when the time to travel is left until the leaf is at the limit: an alarm set to it
    /// comes in time. `None` if the limit is never reached or reached sooner.
    pub warning_k: Option<f64>,
}

impl Outage {
    /// True if the leaf is at the limit before anyone can be there, whatever the alarm.
    pub fn is_too_fast(&self) -> bool {
        self.limit_h.is_some() && self.warning_k.is_none()
    }
}

/// A point of a night's curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CurvePoint {
    /// Time since the failure began, h.
    pub after_h: f64,
    /// House air.
    pub air_k: f64,
    /// A leaf at the top that sees the cover.
    pub leaf_k: f64,
    /// Outdoor air.
    pub outdoor_k: f64,
    /// Output of all heaters.
    pub heat_w: f64,
    /// Share of the inflated cover in which its films touch.
    pub touching_share: f64,
    /// How much of the cover is wet.
    pub wet: WetShares<f64>,
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
/// As [`crate::season::run_season_with`].
pub fn outage(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    question: &Question,
) -> Result<Outage, EngineError> {
    let mut watch = Watch::new(start, question);
    let longest_h = question.lengths_h.last().copied().unwrap_or(0.0);
    let events = question.failing.events(start.hour(), f64::INFINITY);
    let steps = fine_at_first(start.hour(), &events);
    season.branch(start, whole_hours(longest_h), &events, steps, |moment| {
        watch.see(moment)
    })?;
    Ok(watch.finish())
}

/// Steps in each hour of a branch: of 5 minutes in the first hours and where something changes, of half
/// an hour for the rest of the first day, of an hour after it.
fn fine_at_first(start_hour: usize, events: &EventPlan) -> impl Fn(usize) -> usize {
    move |hour| {
        let usual = if hour < HALVED_HOURS {
            STEPS_PER_HOUR
        } else {
            1
        };
        if hour < FINE_HOURS {
            FINE_STEPS_PER_HOUR
        } else {
            events.steps_in(start_hour + hour, usual)
        }
    }
}

/// The curve of a failure of one length and of some hours after it, every 5 minutes.
///
/// # Errors
/// As [`crate::season::run_season_with`].
pub fn curve(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    failing: &FailingNow,
    length_h: f64,
    after_h: f64,
) -> Result<Vec<CurvePoint>, EngineError> {
    let events = failing.events(start.hour(), length_h);
    let mut points = Vec::new();
    let hours = whole_hours(length_h + after_h);
    let fine = |_| FINE_STEPS_PER_HOUR;
    season.branch(start, hours, &events, fine, |moment| {
        points.push(CurvePoint {
            after_h: moment.after_h,
            air_k: moment.air_k,
            leaf_k: moment.top_leaf_k,
            outdoor_k: moment.outdoor_k,
            heat_w: moment.heat_w,
            touching_share: moment.touching_share,
            wet: moment.wet,
        });
        ControlFlow::Continue(())
    })?;
    Ok(points)
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "lengths of failures are small and positive"
)]
fn whole_hours(length_h: f64) -> usize {
    (length_h - 1e-6).ceil().max(0.0) as usize
}

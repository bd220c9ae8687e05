//! How long the cover stays wet once what failed has come back.

use std::ops::ControlFlow;

use super::{FailingNow, whole_hours};
use crate::branch::Saved;
use crate::error::EngineError;
use crate::events::EventPlan;
use crate::season::{STEPS_PER_HOUR, Season};
use crate::wetness::WetShares;

/// Longest time that is looked at, h: a week.
pub const LONGEST_DRYING_H: usize = 168;
/// Wet share beyond that of the undisturbed house from which a face counts as still wetter.
const WETTER_SHARE: f64 = 0.1;
/// Wet share up to which a face counts as dry.
const DRY_SHARE: f64 = 0.1;

/// Hours that faces of the cover stay wet, from the end of a failure.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Wet {
    /// Until they are dry for the first time; `None` if not within [`LONGEST_DRYING_H`].
    pub dry_h: Option<f64>,
    /// The same in the house in which nothing failed.
    pub dry_without_h: Option<f64>,
    /// Until they were last wetter, by more than a tenth of their area, than without the failure.
    pub wetter_h: f64,
}

/// How the cover dries after a failure.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Drying {
    /// House side of the innermost films.
    pub film: Wet,
    /// Faces in inflated gaps; dry where there are none.
    pub gap: Wet,
}

/// Lets something fail for a time from a saved state, lets it come back, and follows the water on the
/// cover for a week, beside the same days in which nothing fails.
///
/// # Errors
/// As [`crate::season::run_season_with`].
pub fn drying(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    failing: &FailingNow,
    length_h: f64,
) -> Result<Drying, EngineError> {
    let hours = whole_hours(length_h) + LONGEST_DRYING_H;
    let held = wet_by_hour(season, start, &EventPlan::default(), hours)?;
    let failed = wet_by_hour(
        season,
        start,
        &failing.events(start.hour(), length_h),
        hours,
    )?;
    let after = whole_hours(length_h)..hours;
    let wet = |share: fn(&WetShares<f64>) -> f64| {
        let dry = |course: &[WetShares<f64>]| {
            let first = course[after.clone()]
                .iter()
                .position(|wet| share(wet) <= DRY_SHARE);
            first.map(|hour| hour as f64 + 1.0)
        };
        let is_wetter = |hour: &usize| share(&failed[*hour]) > share(&held[*hour]) + WETTER_SHARE;
        let wetter = after.clone().rev().find(is_wetter);
        Wet {
            dry_h: dry(&failed),
            dry_without_h: dry(&held),
            wetter_h: wetter.map_or(0.0, |hour| (hour + 1 - after.start) as f64),
        }
    };
    Ok(Drying {
        film: wet(|wet| wet.film),
        gap: wet(|wet| wet.gap),
    })
}

/// Wet shares at the end of every hour of a branch.
fn wet_by_hour(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    events: &EventPlan,
    hours: usize,
) -> Result<Vec<WetShares<f64>>, EngineError> {
    let mut by_hour: Vec<WetShares<f64>> = Vec::with_capacity(hours);
    let steps = |hour: usize| events.steps_in(start.hour() + hour, STEPS_PER_HOUR);
    season.branch(start, hours, events, steps, |moment| {
        // Of the steps of an hour the last one stays.
        by_hour.truncate(whole_hours(moment.after_h) - 1);
        by_hour.push(moment.wet);
        ControlFlow::Continue(())
    })?;
    Ok(by_hour)
}

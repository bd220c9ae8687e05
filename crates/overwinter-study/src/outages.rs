//! What fails on every night of the season, and how cold the house gets.
//!
//! The season runs through the year once with nothing failing and its state is saved at the starts of
//! every night. From each saved state every failure is branched to the longest length asked for; the
//! shorter ones are the same branch looked at sooner. Only what the summaries need is kept.
//!
//! Absent: how likely it is that something fails. No statistic says how long the grid is out on the
//! coldest night of one house.

mod curves;
mod design;
mod dried;
mod effect;
mod judge;
mod ladder;
pub mod night;
mod nights;
mod stage;
mod tryout;

use overwinter_engine::error::EngineError;
use overwinter_engine::record::HourSeries;
use overwinter_engine::season::run_season;
use overwinter_engine::sunlight::Sunlight;
use overwinter_weather::Year;

use crate::case::{Case, OutagePlan};
use crate::tables::night::NightCurve;
use crate::tables::outages::OutageRow;

pub use curves::{CURVE_H, RECOVERY_H};
pub use design::Sky;

use ladder::Ladder;
use stage::Stage;

/// What the tables hold of one case.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CaseOutages {
    /// By failure, start and length.
    pub rows: Vec<OutageRow>,
    /// Curves of chosen nights.
    pub curves: Vec<NightCurve>,
}

/// A case in its climate with what its season was when nothing failed.
struct Tried<'a> {
    case: &'a Case,
    plan: &'a OutagePlan,
    year: &'a Year,
    normal: &'a HourSeries,
}

/// Tries what the plan of a case asks for; nothing without a plan.
///
/// `hours` are those of the year of the case with its events. The work is split over the threads of
/// the pool it is called in; the result does not depend on their number.
///
/// # Errors
/// [`EngineError`] if a branch cannot be finished.
pub fn of_case(
    case: &Case,
    year: &Year,
    sun: &Sunlight,
    hours: &HourSeries,
) -> Result<CaseOutages, EngineError> {
    let Some(plan) = &case.outages else {
        return Ok(CaseOutages::default());
    };
    let without_events = without_events(case, year, sun)?;
    let tried = Tried {
        case,
        plan,
        year,
        normal: without_events.as_ref().unwrap_or(hours),
    };
    let stage = Stage::new(&case.house, sun, year);
    let ladder = Ladder::climb(&tried, &stage)?;
    let design = design::all(&tried, &ladder.failures)?;
    Ok(CaseOutages {
        rows: judge::rows(&tried, &stage, &ladder, &design)?,
        curves: curves::all(&tried, &stage, &ladder, &design)?,
    })
}

/// The hours of the year with nothing failing, where the case has events in it.
fn without_events(
    case: &Case,
    year: &Year,
    sun: &Sunlight,
) -> Result<Option<HourSeries>, EngineError> {
    if case.events.events.is_empty() {
        return Ok(None);
    }
    run_season(&case.house, sun, year).map(|record| Some(record.hours))
}

#[cfg(test)]
mod tests;

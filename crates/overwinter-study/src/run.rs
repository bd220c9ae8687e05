//! Running the cases of a study side by side.
//!
//! Each case is computed by one thread from start to end and the results stand in case order, so
//! that they are the same to the bit for any number of threads. Of a season only the rows of the
//! tables are kept.

use std::fmt::Display;
use std::ops::RangeInclusive;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};

use overwinter_engine::error::EngineError;
use overwinter_engine::record::{HourSeries, SeasonRecord};
use overwinter_engine::season::run_season_with;
use overwinter_engine::sunlight::sunlight;
use overwinter_weather::Year;
use rayon::iter::{IntoParallelIterator, ParallelIterator};

use crate::case::{Case, Study};
use crate::error::Problem;
use crate::outages::{self, CaseOutages};
use crate::sampling::Sampled;
use crate::tables::Table;
use crate::tables::balance::{self, BalanceRow};
use crate::tables::calendar::{HOURS, Moment};
use crate::tables::cases::{self, CaseRow, Quality, Status};
use crate::tables::frost_risk::{self, FrostRow, Lowest};
use crate::tables::fuel_use::{self, FuelRow};
use crate::tables::hourly::{self, CaseHours};
use crate::tables::moisture::{self, MoistureRow};
use crate::tables::{night, outages as outage_table};

/// A miss of the hold temperature smaller than this counts as none.
pub const HELD_WITHIN_K: f64 = 0.1;

/// How far a run is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Cases that have ended.
    pub done: usize,
    /// Cases in all.
    pub total: usize,
}

/// The rows of one case.
#[derive(Clone, Debug)]
pub struct CaseRows {
    /// What it is and how it ended.
    pub case: CaseRow,
    /// Fuel use; empty for a failed case, like all that follow.
    pub fuel_use: Vec<FuelRow>,
    /// Frost risk.
    pub frost_risk: Vec<FrostRow>,
    /// Moisture.
    pub moisture: Vec<MoistureRow>,
    /// Energy and water account.
    pub balance: Vec<BalanceRow>,
    /// What failures do, if they are tried.
    pub outages: Option<CaseOutages>,
    /// The hours, if asked for.
    pub hourly: Option<CaseHours>,
    /// Worst miss of the hold temperature.
    pub shortfall: Option<Shortfall>,
    /// Lowest air temperature of the year.
    pub lowest_air: Option<Lowest>,
    /// Lowest leaf temperature of the year, for a house with a crop.
    pub lowest_leaf: Option<Lowest>,
}

/// The hour in which the house was furthest below its hold temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shortfall {
    /// Set point less air.
    pub below_set_k: f64,
    /// Hour of the year, counted from 0.
    pub hour: usize,
}

/// What a study gave.
#[derive(Clone, Debug)]
pub struct StudyResult {
    /// Names of the axes.
    pub axis_names: Vec<String>,
    /// The sampled inputs.
    pub sampled: Vec<Sampled>,
    /// One entry a case, in case order.
    pub cases: Vec<CaseRows>,
}

impl StudyResult {
    /// Number of cases that failed.
    pub fn failed(&self) -> usize {
        let failed = |rows: &&CaseRows| matches!(rows.case.status, Status::Failed(_));
        self.cases.iter().filter(failed).count()
    }

    /// The tables: `outages` and `night` among them if any case tried failures, `hourly` if any kept
    /// its hours.
    pub fn tables(&self) -> Vec<Table> {
        let cases = || self.cases.iter();
        let mut tables = vec![
            cases::table(
                cases().map(|rows| &rows.case),
                &self.axis_names,
                &self.sampled,
            ),
            fuel_use::table(cases().flat_map(|rows| &rows.fuel_use)),
            frost_risk::table(cases().flat_map(|rows| &rows.frost_risk)),
            moisture::table(cases().flat_map(|rows| &rows.moisture)),
            balance::table(cases().flat_map(|rows| &rows.balance)),
        ];
        let tried = || cases().filter_map(|rows| rows.outages.as_ref());
        if tried().next().is_some() {
            tables.push(outage_table::table(tried().flat_map(|tried| &tried.rows)));
            tables.push(night::table(tried().flat_map(|tried| &tried.curves)));
        }
        if cases().any(|rows| rows.hourly.is_some()) {
            tables.push(hourly::table(
                cases().filter_map(|rows| rows.hourly.as_ref()),
            ));
        }
        tables
    }
}

/// The year of a case, and what failures do in its nights if it asks for that.
#[derive(Clone, Debug)]
pub struct Stepped {
    /// The year, with its events.
    pub record: SeasonRecord,
    /// The failures tried.
    pub outages: Option<CaseOutages>,
}

/// Runs every case through its year and, where asked for, failures through every night of it.
///
/// `threads` is the number of threads, one for each core if `None`. `progress` is called from
/// any of them after each case. A case whose season fails is a row with its reason.
pub fn run_study(
    study: &Study,
    threads: Option<usize>,
    progress: &(dyn Fn(Progress) + Sync),
) -> StudyResult {
    run_study_with(study, threads, progress, &step)
}

fn step(case: &Case, year: &Year) -> Result<Stepped, EngineError> {
    let sun = sunlight(&case.house, year);
    let record = run_season_with(&case.house, &sun, year, &case.events)?;
    let outages = match &case.outages {
        Some(_) => Some(outages::of_case(case, year, &sun, &record.hours)?),
        None => None,
    };
    Ok(Stepped { record, outages })
}

/// Runs every case with `season`, which steps one case through one year; see [`run_study`].
pub fn run_study_with<E: Display>(
    study: &Study,
    threads: Option<usize>,
    progress: &(dyn Fn(Progress) + Sync),
    season: &(dyn Fn(&Case, &Year) -> Result<Stepped, E> + Sync),
) -> StudyResult {
    let done = AtomicUsize::new(0);
    let total = study.cases.len();
    let run = |index: usize| {
        let rows = run_case(study, index, season);
        let done = done.fetch_add(1, Ordering::Relaxed) + 1;
        progress(Progress { done, total });
        rows
    };
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(threads.unwrap_or(0))
        .build();
    let cases = match pool {
        Ok(pool) => pool.install(|| (0..total).into_par_iter().map(run).collect()),
        // The system grants no threads: one after the other gives the same results.
        Err(_) => (0..total).map(run).collect(),
    };
    StudyResult {
        axis_names: study.axis_names.clone(),
        sampled: study.sampled.clone(),
        cases,
    }
}

fn run_case<E: Display>(
    study: &Study,
    index: usize,
    season: &(dyn Fn(&Case, &Year) -> Result<Stepped, E> + Sync),
) -> CaseRows {
    let case = match study.cases.get(index) {
        Ok(case) => case,
        Err(problems) => return not_built(study, index, &problems),
    };
    let climate = &study.climates[case.climate];
    let stepped = season(&case, &climate.year).map_err(|error| error.to_string());
    match stepped.and_then(complete) {
        Ok(stepped) => done(study, &case, stepped),
        Err(reason) => {
            let status = Status::Failed(Arc::from(reason));
            no_rows(cases::row(&case, climate, status))
        }
    }
}

fn done(study: &Study, case: &Case, stepped: Stepped) -> CaseRows {
    let Stepped { record, outages } = stepped;
    let climate = &study.climates[case.climate];
    CaseRows {
        case: cases::row(case, climate, Status::Done(Quality::of(&record))),
        fuel_use: fuel_use::rows(case, &record),
        frost_risk: frost_risk::rows(case, &record),
        moisture: moisture::rows(case, &record),
        balance: balance::rows(case, &record),
        shortfall: shortfall(&record.hours),
        lowest_air: frost_risk::lowest_air(&record),
        lowest_leaf: frost_risk::lowest_leaf(case, &record),
        outages,
        hourly: study
            .wants_hourly
            .then(|| hourly::hours(case, record, &climate.year)),
    }
}

fn not_built(study: &Study, index: usize, problems: &[Problem]) -> CaseRows {
    let reasons: Vec<String> = problems.iter().map(ToString::to_string).collect();
    let reason = reasons.join("; ");
    no_rows(cases::row_without_house(
        index + 1,
        &study.cases.labels(index),
        study.cases.draw(index),
        &reason,
    ))
}

fn no_rows(case: CaseRow) -> CaseRows {
    CaseRows {
        case,
        fuel_use: Vec::new(),
        frost_risk: Vec::new(),
        moisture: Vec::new(),
        balance: Vec::new(),
        outages: None,
        hourly: None,
        shortfall: None,
        lowest_air: None,
        lowest_leaf: None,
    }
}

/// Relative humidity that a season may show: a little over saturation for the length of a step.
const POSSIBLE_HUMIDITY: RangeInclusive<f64> = -0.001..=1.2;

/// The record, if it has all the months and hours that the tables are made from and no value that
/// cannot be.
fn complete(stepped: Stepped) -> Result<Stepped, String> {
    let record = &stepped.record;
    let hours = &record.hours;
    let needed = [
        ("house air", &hours.air_lowest_k),
        ("top leaf", &hours.top_leaf_lowest_k),
        ("heat", &hours.heat_w),
    ];
    for (name, series) in needed {
        if series.len() != HOURS {
            let found = series.len();
            return Err(format!(
                "the season has {found} hours of {name} instead of {HOURS}"
            ));
        }
    }
    if record.months.len() != 12 {
        let found = record.months.len();
        return Err(format!("the season has {found} months instead of 12"));
    }
    possible(&record.hours)?;
    Ok(stepped)
}

/// Refuses humidity that air cannot have: an account that closes does not show it, and a table
/// made from it would mislead.
fn possible(hours: &HourSeries) -> Result<(), String> {
    let impossible = |share: &f64| !POSSIBLE_HUMIDITY.contains(share);
    match hours.relative_humidity.iter().position(impossible) {
        None => Ok(()),
        Some(hour) => Err(format!(
            "the humidity of the house air came out as {:.0} % on {}, which cannot be",
            hours.relative_humidity[hour] * 100.0,
            Moment::of_hour(hour).date_and_hour(),
        )),
    }
}

/// The first of the hours furthest below the hold temperature; `None` if it was always held.
fn shortfall(hours: &HourSeries) -> Option<Shortfall> {
    let mut worst: Option<Shortfall> = None;
    for (hour, &below_set_k) in hours.below_set_k.iter().enumerate() {
        if below_set_k > worst.map_or(0.0, |worst| worst.below_set_k) {
            worst = Some(Shortfall { below_set_k, hour });
        }
    }
    worst.filter(|worst| worst.below_set_k >= HELD_WITHIN_K)
}

#[cfg(test)]
mod engine_tests;
#[cfg(test)]
mod tests;

//! Running the cases of a study side by side.
//!
//! Each case is computed by one thread from start to end and the results stand in case order, so
//! that they are the same to the bit for any number of threads. Of a season only the rows of the
//! tables are kept.

use std::borrow::Cow;
use std::fmt::Display;
use std::ops::{Range, RangeInclusive};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use overwinter_engine::error::EngineError;
use overwinter_engine::record::{HourSeries, SeasonRecord};
use overwinter_engine::season::{SeasonTask, run_seasons};
use overwinter_engine::sunlight::Sunlight;
use overwinter_weather::Year;
use serde::{Deserialize, Serialize};

use crate::case::{Case, Study};
use crate::error::Problem;
use crate::money::CaseMoney;
use crate::outages::{self, CaseOutages};
use crate::suns::SunStore;
use crate::tables::balance::{self, BalanceRow};
use crate::tables::calendar::{HOURS, Moment};
use crate::tables::cases::{self, CaseRow, Quality, Status};
use crate::tables::frost_risk::{self, FrostRow, Lowest};
use crate::tables::fuel_use::{self, FuelRow};
use crate::tables::hourly::{self, CaseHours};
use crate::tables::moisture::{self, MoistureRow};
use crate::tables::{Table, Wanted};

/// A miss of the hold temperature smaller than this counts as none.
pub const HELD_WITHIN_K: f64 = 0.1;

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
    /// What it costs, if money is counted.
    pub money: Option<CaseMoney>,
    /// What failures do, if they are tried.
    pub outages: Option<CaseOutages>,
    /// The hours, if asked for.
    pub hourly: Option<CaseHours>,
    /// Worst miss of the hold temperature.
    pub shortfall: Option<Shortfall>,
    /// Outdoor air at the end of the hour with the most heat.
    pub outdoor_at_peak_k: Option<f64>,
    /// Lowest air temperature of the year.
    pub lowest_air: Option<Lowest>,
    /// Lowest leaf temperature of the year, for a house with a crop.
    pub lowest_leaf: Option<Lowest>,
}

/// The hour in which the house was furthest below its hold temperature.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Shortfall {
    /// Set point less air.
    pub below_set_k: f64,
    /// Hour of the year, counted from 0.
    pub hour: usize,
}

/// What a study gave.
#[derive(Clone, Debug)]
pub struct StudyResult {
    /// Which tables it has.
    pub wanted: Wanted,
    /// One entry a case, in case order.
    pub cases: Vec<CaseRows>,
}

impl StudyResult {
    /// Number of cases that failed.
    pub fn failed(&self) -> usize {
        let failed = |rows: &&CaseRows| matches!(rows.case.status, Status::Failed(_));
        self.cases.iter().filter(failed).count()
    }

    /// The tables.
    pub fn tables(&self) -> Vec<Table> {
        self.wanted.tables(&self.cases)
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

/// Steps some cases through their years; one result a case, in their order.
pub(crate) type Seasons<'a> = dyn Fn(&[CaseYear]) -> Vec<Result<Stepped, String>> + Sync + 'a;

/// A case and the year that it is stepped through.
pub(crate) struct CaseYear<'a> {
    pub(crate) case: Cow<'a, Case>,
    pub(crate) year: Arc<Year>,
}

/// Cases that are stepped together: a few lanes of the engine, little enough to be told of often.
pub(crate) const TOGETHER: usize = 8;

/// Runs every case through its year and, where asked for, failures through every night of it, and
/// keeps all rows: for studies of few cases. See [`crate::sweep`] for those of many.
///
/// `threads` is the number of threads, one for each core if `None`. A case whose season fails is a row
/// with its reason.
pub fn run_study(study: &Study, threads: Option<usize>) -> StudyResult {
    let suns = SunStore::new(&study.climates);
    run_all(study, threads, &|cases| step(&suns, cases))
}

/// As [`run_study`] with `season`, which steps one case through one year.
pub fn run_study_with<E: Display>(
    study: &Study,
    threads: Option<usize>,
    season: &(dyn Fn(&Case, &Year) -> Result<Stepped, E> + Sync),
) -> StudyResult {
    run_all(study, threads, &one_by_one(season))
}

fn run_all(study: &Study, threads: Option<usize>, seasons: &Seasons<'_>) -> StudyResult {
    let total = study.cases.len();
    // Every thread gets something before lanes are filled.
    let together = (total / count_of(threads)).clamp(1, TOGETHER);
    let done: Mutex<Vec<CaseRows>> = Mutex::default();
    let next = AtomicUsize::new(0);
    on_threads(threads, total.div_ceil(together), &|| {
        loop {
            let start = next.fetch_add(together, Ordering::Relaxed);
            if start >= total {
                return;
            }
            let rows = run_cases(study, start..total.min(start + together), seasons);
            done.lock()
                .unwrap_or_else(PoisonError::into_inner)
                .extend(rows);
        }
    });
    let mut cases = done.into_inner().unwrap_or_else(PoisonError::into_inner);
    cases.sort_by_key(|rows| rows.case.case_id);
    StudyResult {
        wanted: Wanted::of(study),
        cases,
    }
}

/// Does `work` on that many threads at once, one for each core if `None`, at most `jobs`.
pub(crate) fn on_threads(threads: Option<usize>, jobs: usize, work: &(dyn Fn() + Sync)) {
    let count = count_of(threads).min(jobs);
    let pool = rayon::ThreadPoolBuilder::new().num_threads(count).build();
    match pool {
        Ok(pool) if count > 1 => {
            pool.broadcast(|_| work());
        }
        // The system grants no threads, or one is enough.
        _ => work(),
    }
}

/// The number of threads asked for, else one for each core.
fn count_of(threads: Option<usize>) -> usize {
    let cores = || std::thread::available_parallelism().map_or(1, usize::from);
    threads.unwrap_or_else(cores).max(1)
}

/// A season of one case at a time, for any number of cases.
pub(crate) fn one_by_one<E: Display>(
    season: &(dyn Fn(&Case, &Year) -> Result<Stepped, E> + Sync),
) -> impl Fn(&[CaseYear]) -> Vec<Result<Stepped, String>> + Sync {
    move |cases| {
        let one = |of: &CaseYear| season(&of.case, &of.year).map_err(|error| error.to_string());
        cases.iter().map(one).collect()
    }
}

/// Steps cases side by side in the engine, each with the sun on it.
pub(crate) fn step(suns: &SunStore<'_>, cases: &[CaseYear]) -> Vec<Result<Stepped, String>> {
    let sun = |of: &CaseYear| suns.sunlight(&of.case.house, of.case.climate);
    let suns: Vec<_> = cases.iter().map(sun).collect();
    let tasks: Vec<SeasonTask<'_>> = cases
        .iter()
        .zip(&suns)
        .map(|(of, sun)| SeasonTask {
            house: &of.case.house,
            sun,
            year: &of.year,
            events: &of.case.events,
        })
        .collect();
    let records = run_seasons(&tasks);
    let of_all = cases.iter().zip(&suns).zip(records);
    let stepped = of_all.map(|((of, sun), record)| {
        let record = record.map_err(|error| error.to_string())?;
        tried(&of.case, &of.year, sun, record).map_err(|error| error.to_string())
    });
    stepped.collect()
}

/// Tries failures in the nights of a season, where the case asks for that.
fn tried(
    case: &Case,
    year: &Year,
    sun: &Sunlight,
    record: SeasonRecord,
) -> Result<Stepped, EngineError> {
    let outages = match &case.outages {
        Some(_) => Some(outages::of_case(case, year, sun, &record.hours)?),
        None => None,
    };
    Ok(Stepped { record, outages })
}

/// The rows of some cases, counted from 0.
pub(crate) fn run_cases(
    study: &Study,
    indices: Range<usize>,
    seasons: &Seasons<'_>,
) -> Vec<CaseRows> {
    let ready: Vec<Result<CaseYear<'_>, Box<CaseRows>>> =
        indices.map(|index| case_year(study, index)).collect();
    let mut cases = Vec::new();
    let mut places = Vec::new();
    for one in ready {
        places.push(match one {
            Ok(case) => {
                cases.push(case);
                None
            }
            Err(rows) => Some(*rows),
        });
    }
    let mut stepped = cases.iter().zip(seasons(&cases)).map(|(of, stepped)| {
        let CaseYear { case, year } = of;
        match stepped.and_then(complete) {
            Ok(stepped) => done(study, case, year, stepped),
            Err(reason) => failed(study, case, &reason),
        }
    });
    let rows = places
        .into_iter()
        .filter_map(|place| place.or_else(|| stepped.next()));
    rows.collect()
}

/// A case with its year, or the rows of one that has none.
fn case_year(study: &Study, index: usize) -> Result<CaseYear<'_>, Box<CaseRows>> {
    let case = study
        .cases
        .get(index)
        .map_err(|problems| Box::new(not_built(study, index, &problems)))?;
    match case.year(study) {
        Ok(year) => Ok(CaseYear { case, year }),
        Err(error) => Err(Box::new(failed(study, &case, &error.to_string()))),
    }
}

fn failed(study: &Study, case: &Case, reason: &str) -> CaseRows {
    let status = Status::Failed(Arc::from(reason));
    no_rows(cases::row(case, &study.climates[case.climate], status))
}

fn done(study: &Study, case: &Case, year: &Arc<Year>, stepped: Stepped) -> CaseRows {
    let Stepped { record, outages } = stepped;
    let climate = &study.climates[case.climate];
    let fuel_use = fuel_use::rows(case, &record);
    CaseRows {
        case: cases::row(case, climate, Status::Done(Quality::of(&record, year))),
        outdoor_at_peak_k: fuel_use::outdoor_at_peak_k(&fuel_use, year),
        money: CaseMoney::of(case, &record, &fuel_use),
        fuel_use,
        frost_risk: frost_risk::rows(case, &record, year.kind()),
        moisture: moisture::rows(case, &record),
        balance: balance::rows(case, &record),
        shortfall: shortfall(&record.hours),
        lowest_air: frost_risk::lowest_air(&record),
        lowest_leaf: frost_risk::lowest_leaf(case, &record),
        outages,
        hourly: study
            .wants_hourly
            .then(|| hourly::hours(case, record, year)),
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
        money: None,
        outages: None,
        hourly: None,
        shortfall: None,
        outdoor_at_peak_k: None,
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

//! How long a run would take and how much room it needs, from a few of its cases.

use std::ops::Range;
use std::path::Path;
use std::time::{Duration, Instant};

use crate::case::Study;
use crate::money;
use crate::output::{OutputError, csv_bytes, parquet_bytes};
use crate::ranking;
use crate::run::{self, CaseRows, TOGETHER};
use crate::suns::SunStore;
use crate::tables::Wanted;

use super::TOLD_CASES;
use super::part::CaseNote;
use super::plan::Plan;

/// Cases that are tried where one takes long, spread evenly.
const TRIED_ALONE: usize = 4;
/// A case that takes longer is long: nights with failures, which gain little from company.
const LONG: Duration = Duration::from_millis(300);
/// No further case is begun after this.
const PATIENCE: Duration = Duration::from_secs(2);

/// Cases up to which the tables that compare designs are made for the estimate.
const MOST_COMPARED: usize = 20_000;

/// What a run would take.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimate {
    /// Cases that were tried.
    pub tried: usize,
    /// Time of one case on one thread.
    pub a_case: Duration,
    /// CSV and Parquet files in the end, bytes.
    pub tables_bytes: u64,
    /// Parts until then, bytes.
    pub parts_bytes: u64,
    /// Why tried cases failed, one entry a failed case.
    pub failures: Vec<String>,
}

impl Estimate {
    /// Time of a run on that many threads.
    pub fn on_threads(&self, cases: usize, threads: usize) -> Duration {
        let rounds = cases.div_ceil(threads.max(1));
        self.a_case
            .saturating_mul(u32::try_from(rounds).unwrap_or(u32::MAX))
    }
}

/// Tries some cases of a study and takes the others to be like them.
///
/// # Errors
/// [`OutputError::Encoding`] if their tables cannot be encoded.
pub fn estimate(study: &Study) -> Result<Estimate, OutputError> {
    let cases = study.cases.len();
    let (rows, a_case) = tried(study);
    let tried = rows.len();
    let reasons = rows.iter().filter_map(|rows| rows.case.reason());
    let failures = reasons.map(str::to_owned).collect();
    let plan = Plan::of(study);
    let [csv, parquet] = bytes(&rows, plan.wanted())?;
    let [tables, parts] = [1, plan.parts()].map(|files| parquet.of(cases, files));
    let notes: Vec<CaseNote> = rows
        .iter()
        .map(|rows| CaseNote::of(study, &plan.ranking, rows))
        .collect();
    Ok(Estimate {
        tried,
        a_case,
        tables_bytes: csv.of(cases, 1) + tables + compared_bytes(&plan, &notes)?,
        parts_bytes: parts + noted_bytes(&plan, &notes)?,
        failures,
    })
}

/// The rows of the cases that were tried and the time of one case among others.
///
/// Cases that stand together share what a run shares: lanes and the sun on their house. The first one
/// alone finds out whether there is time for that, and pays for what is computed once.
fn tried(study: &Study) -> (Vec<CaseRows>, Duration) {
    let cases = study.cases.len();
    let suns = SunStore::new(&study.climates);
    let timed = |of: Range<usize>| {
        let began = Instant::now();
        let rows = run::run_cases(study, of, &|cases| run::step(&suns, cases));
        (rows, began.elapsed())
    };
    let (first, first_took) = timed(0..1.min(cases));
    let (starts, together) = match first_took > LONG || cases < 2 * TOGETHER {
        true => (spread(cases, TRIED_ALONE), 1),
        false => (spread(cases, 2), TOGETHER),
    };
    let began = Instant::now();
    let (mut rows, mut took) = (Vec::new(), Duration::ZERO);
    for start in starts.skip(usize::from(together == 1)) {
        if began.elapsed() + first_took > PATIENCE {
            break;
        }
        let (more, for_them) = timed(start..cases.min(start + together));
        rows.extend(more);
        took += for_them;
    }
    if together == 1 {
        rows.splice(0..0, first);
        took += first_took;
    }
    let tried = u32::try_from(rows.len().max(1)).unwrap_or(1);
    (rows, took / tried)
}

/// Up to `number` cases, spread evenly from the first one on.
fn spread(cases: usize, number: usize) -> impl Iterator<Item = usize> {
    let number = number.min(cases);
    (0..number).map(move |at| at * cases / number)
}

/// The tables that compare designs, as if every case had the numbers of one that was tried; left out for
/// more than [`MOST_COMPARED`] cases, where making them would take longer than an estimate may.
fn compared_bytes(plan: &Plan, notes: &[CaseNote]) -> Result<u64, OutputError> {
    if plan.cases() > MOST_COMPARED || notes.is_empty() {
        return Ok(0);
    }
    let all = || notes.iter().cycle().take(plan.cases());
    let measures: Vec<_> = all().map(|note| note.measures.as_ref()).collect();
    let mut tables = ranking::tables(&plan.ranking, &measures);
    if plan.wanted().money {
        let money: Vec<_> = all().map(|note| note.money.as_ref()).collect();
        tables.extend(money::joined(&plan.ranking, &money).0);
    }
    let (mut bytes, nowhere) = (0, Path::new(""));
    for table in tables {
        bytes += csv_bytes(&table, nowhere)?.len() + parquet_bytes(&table, nowhere)?.len();
    }
    Ok(bytes as u64)
}

/// What is noted beside the tables of parts; what the screen tells of a case is noted of the first few.
fn noted_bytes(plan: &Plan, notes: &[CaseNote]) -> Result<u64, OutputError> {
    let length = |note: &CaseNote| {
        let text = serde_json::to_string(note);
        text.map_err(|source| OutputError::Manifest { source })
            .map(|text| text.len() as u64)
    };
    let mut bytes = 0;
    for note in notes {
        let later = CaseNote {
            summary: None,
            ..note.clone()
        };
        let told = plan.cases().min(TOLD_CASES) as u64;
        bytes += length(note)? * told + length(&later)? * (plan.cases() as u64 - told);
    }
    Ok(bytes / notes.len().max(1) as u64)
}

/// The CSV and the Parquet files of some cases.
fn bytes(rows: &[CaseRows], wanted: &Wanted) -> Result<[Bytes; 2], OutputError> {
    let nowhere = Path::new("");
    let (mut of_rows, mut once) = ([0; 2], [0; 2]);
    for (sums, rows) in [(&mut of_rows, rows), (&mut once, &[])] {
        for table in wanted.tables(rows) {
            sums[0] += csv_bytes(&table, nowhere)?.len();
            sums[1] += parquet_bytes(&table, nowhere)?.len();
        }
    }
    let cases = rows.len().max(1) as f64;
    Ok([0, 1].map(|kind| Bytes {
        once: once[kind] as f64,
        a_case: of_rows[kind].saturating_sub(once[kind]) as f64 / cases,
    }))
}

/// Bytes of the tables of some kind.
struct Bytes {
    /// What a file of each table has without rows.
    once: f64,
    /// What a case adds.
    a_case: f64,
}

impl Bytes {
    /// Those of some cases in a number of files.
    fn of(&self, cases: usize, files: usize) -> u64 {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "an estimate, never negative"
        )]
        let whole = (self.once * files as f64 + self.a_case * cases as f64) as u64;
        whole
    }
}

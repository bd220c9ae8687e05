//! How long a run would take and how much room it needs, from a few of its cases.

use std::path::Path;
use std::time::{Duration, Instant};

use crate::case::Study;
use crate::output::{OutputError, csv_bytes, parquet_bytes};
use crate::run::{self, CaseRows};
use crate::suns::SunStore;
use crate::tables::Wanted;

/// Cases that are tried, spread evenly.
const TRIED: usize = 4;
/// No further case is begun after this.
const PATIENCE: Duration = Duration::from_secs(2);
/// How often the rows of the tried cases stand in the tables that are measured, so that what a file
/// has only once counts little.
const TIMES: usize = 16;

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
    let suns = SunStore::new(&study.climates);
    let began = Instant::now();
    let mut rows: Vec<CaseRows> = Vec::new();
    for at in 0..TRIED.min(cases) {
        if began.elapsed() > PATIENCE {
            break;
        }
        let index = at * cases / TRIED.min(cases);
        let one = index..index + 1;
        rows.extend(run::run_cases(study, one, &|cases| run::step(&suns, cases)));
    }
    let tried = rows.len();
    let took = began.elapsed();
    let reasons = rows.iter().filter_map(|rows| rows.case.reason());
    let failures = reasons.map(str::to_owned).collect();
    let [csv, parquet] = bytes_a_case(&rows, &Wanted::of(study))?;
    let of_all = |bytes: f64| {
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "an estimate, never negative"
        )]
        let whole = (bytes * cases as f64) as u64;
        whole
    };
    Ok(Estimate {
        tried,
        a_case: took / u32::try_from(tried.max(1)).unwrap_or(1),
        tables_bytes: of_all(csv + parquet),
        parts_bytes: of_all(parquet),
        failures,
    })
}

/// Bytes of a case in the CSV and in the Parquet files.
fn bytes_a_case(rows: &[CaseRows], wanted: &Wanted) -> Result<[f64; 2], OutputError> {
    let nowhere = Path::new("");
    let repeated: Vec<CaseRows> = (0..TIMES).flat_map(|_| rows.to_vec()).collect();
    let mut sums = [0.0; 2];
    for (table, empty) in wanted.tables(&repeated).iter().zip(wanted.tables(&[])) {
        let csv = csv_bytes(table, nowhere)?.len() - csv_bytes(&empty, nowhere)?.len();
        let parquet = parquet_bytes(table, nowhere)?.len();
        sums[0] += csv as f64;
        sums[1] += parquet as f64;
    }
    let cases = repeated.len().max(1) as f64;
    Ok(sums.map(|sum| sum / cases))
}

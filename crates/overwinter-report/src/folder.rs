//! The output folder of a run: what of it a report reads.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::Path;

use crate::designs::{self, Design, Setting};
use crate::error::ReportError;
use crate::manifest::Manifest;
use crate::table::{RawRow, Table};

/// The program whose tables are read.
const PROGRAM: &str = "overwinter";
/// Tables read as a whole; they grow with designs, not with draws and nights.
const WHOLE: [&str; 7] = [
    "cases",
    "ranking",
    "compare",
    "drivers",
    "worst_years",
    "savings",
    "cash_flow",
];
/// Tables of which the cases are read that the report shows.
const OF_SHOWN_CASES: [&str; 7] = [
    "fuel_use",
    "costs",
    "frost_risk",
    "balance",
    "outages",
    "night",
    "hourly",
];

/// A finished run, read from its folder.
#[derive(Clone, Debug)]
pub struct Run {
    manifest: Manifest,
    tables: BTreeMap<&'static str, Table>,
    settings: Vec<Setting>,
    settings_left_out: usize,
}

/// Reads the output folder `dir` of a finished run: `manifest.json` and the CSV tables beside it.
///
/// A table that is missing, a missing column and an empty cell are no errors: the report says what
/// is not there. Of a run of many cases only the rows of the cases that are shown are kept.
pub fn read(dir: &Path) -> Result<Run, ReportError> {
    let manifest = read_manifest(dir)?;
    let mut tables = BTreeMap::new();
    for name in WHOLE {
        tables.extend(read_table(dir, &manifest, name, &|_| true)?.map(|table| (name, table)));
    }
    let fuels = year_fuels(dir, &manifest)?;
    let mut settings = designs::settings(&manifest, &tables, &fuels);
    let settings_left_out = settings.len().saturating_sub(designs::MOST_SETTINGS);
    settings.truncate(designs::MOST_SETTINGS);
    let shown: BTreeSet<u64> = shown_cases(&settings);
    let is_shown = |row: &RawRow<'_>| row.id("case_id").is_some_and(|id| shown.contains(&id));
    for name in OF_SHOWN_CASES {
        tables.extend(read_table(dir, &manifest, name, &is_shown)?.map(|table| (name, table)));
    }
    Ok(Run {
        manifest,
        tables,
        settings,
        settings_left_out,
    })
}

impl Run {
    /// Title of the scenario.
    pub fn title(&self) -> &str {
        &self.manifest.title
    }

    pub(crate) fn manifest(&self) -> &Manifest {
        &self.manifest
    }

    /// A table with at least one row.
    pub(crate) fn table(&self, name: &str) -> Option<&Table> {
        let table = self.tables.get(name);
        table.filter(|table| !table.rows().is_empty())
    }

    /// Climates, or whatever else designs are compared within.
    pub(crate) fn settings(&self) -> &[Setting] {
        &self.settings
    }

    pub(crate) fn settings_left_out(&self) -> usize {
        self.settings_left_out
    }

    /// The only design in the only setting, if there is but one.
    pub(crate) fn only_design(&self) -> Option<&Design> {
        match self.settings.as_slice() {
            [setting] if self.settings_left_out == 0 && setting.left_out == 0 => {
                match setting.designs.as_slice() {
                    [only] => Some(only),
                    _ => None,
                }
            }
            _ => None,
        }
    }

    /// True if designs have several draws.
    pub(crate) fn is_sampled(&self) -> bool {
        self.manifest.draws > 1
    }
}

fn read_manifest(dir: &Path) -> Result<Manifest, ReportError> {
    let path = dir.join("manifest.json");
    let bytes = match fs::read(&path) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            return Err(ReportError::NoFinishedRun {
                folder: dir.to_owned(),
            });
        }
        Err(source) => return Err(ReportError::Unreadable { file: path, source }),
    };
    let manifest: Manifest =
        serde_json::from_slice(&bytes).map_err(|error| ReportError::Manifest {
            manifest: path.clone(),
            line: error.line(),
            column: error.column(),
            message: error.to_string(),
        })?;
    let ours = env!("CARGO_PKG_VERSION");
    if manifest.program != PROGRAM || series(&manifest.version) != series(ours) {
        return Err(ReportError::OtherVersion {
            manifest: path,
            found: format!("{} {}", manifest.program, manifest.version),
            wanted: format!("{PROGRAM} {ours}"),
        });
    }
    Ok(manifest)
}

/// The part of a version within which tables stay as they are.
fn series(version: &str) -> Option<&str> {
    let (series, _) = version.rsplit_once('.')?;
    Some(series)
}

fn read_table(
    dir: &Path,
    manifest: &Manifest,
    name: &str,
    keep: &dyn Fn(&RawRow<'_>) -> bool,
) -> Result<Option<Table>, ReportError> {
    Table::read(&dir.join(format!("{name}.csv")), manifest.table(name), keep)
}

/// Energy of the fuel of the year of every case, by which the middle draw is found.
fn year_fuels(dir: &Path, manifest: &Manifest) -> Result<BTreeMap<u64, f64>, ReportError> {
    let is_year =
        |row: &RawRow<'_>| row.id("month") == Some(0) && row.get("row_is") == Some("house");
    let Some(table) = read_table(dir, manifest, "fuel_use", &is_year)? else {
        return Ok(BTreeMap::new());
    };
    let energy = |row| {
        let energy = table
            .number("fuel_kwh", row)
            .or_else(|| table.number("heat_kwh", row));
        table.id("case_id", row).zip(energy)
    };
    Ok(table.rows().filter_map(energy).collect())
}

fn shown_cases(settings: &[Setting]) -> BTreeSet<u64> {
    let designs = settings.iter().flat_map(|setting| &setting.designs);
    designs.map(|design| design.case_id).collect()
}

//! The manifest beside the tables: what they were made from and what their columns mean.
//!
//! No clock and no machine stands in it: the same inputs give the same bytes.

use std::borrow::Cow;
use std::path::Path;

use overwinter_engine::season::ALLOWED_RESIDUAL;
use overwinter_weather::Stress;
use serde::{Deserialize, Serialize};

use crate::case::{Climate, DefaultUsed, Study};
use crate::document::Given;
use crate::ranking::Outline;
use crate::sampling::Sampled;
use crate::stress::{StressUse, stress_uses};
use crate::tables::{Column, Table};

/// Cautions that stand with every run.
pub const CAUTIONS: [&str; 8] = [
    "Planning estimate for comparing options; not a design, permit, code or safety approval. \
     Local codes, the makers' instructions and licensed trades govern.",
    "A typical year hides extremes, and a year that was is one of many: size the heater and the alarm \
     for colder nights than these.",
    "Thermostat, leakage and film properties are assumed values unless you measured them.",
    "Fuel-burning heaters: vented to the outside, with combustion air and a carbon monoxide alarm \
     for people; installed by a qualified person.",
    "Blowers, fans and outlets stand in a wet location: ask your electrician or inspector.",
    "The course of a failure is no promise: sensor, wind, sky and leaks change it, and how gaps lose \
     their air was never measured. Do not rely on it for the safety of people.",
    "A generator runs outdoors only, away from doors and vents, behind a transfer switch.",
    "Snow load, and whether to heat or deflate under snow, is the word of the frame's maker and \
     an engineer; never enter a snow-loaded house.",
];

/// Cautions of runs that count money.
pub const MONEY_CAUTIONS: [&str; 2] = [
    "Costs, savings and paybacks are estimates at the prices, lives and rates that the scenario states; no \
     saving is promised, and a qualified assessor has to review them.",
    overwinter_economics::rural_energy::CAUTION,
];

/// What a run was made from and what it holds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Manifest {
    /// Program name.
    pub program: Cow<'static, str>,
    /// Program version.
    pub version: Cow<'static, str>,
    /// Title of the scenario.
    pub title: String,
    /// Scenario file.
    pub scenario: SourceFile,
    /// Weather files, in the order in which cases refer to them.
    pub weather: Vec<WeatherFile>,
    /// Seed of sampled inputs.
    pub seed: u64,
    /// The axes.
    pub axes: Vec<String>,
    /// Inputs drawn at random, with their keys and the values that 5, 50 and 95 % of draws lie below.
    pub sampled: Vec<Sampled>,
    /// Draws of every design, 1 where nothing is drawn.
    pub draws: usize,
    /// Cases in all.
    pub cases: usize,
    /// Tables.
    pub tables: Vec<TableEntry>,
    /// Every key that the scenario states, in its order.
    pub inputs_given: Vec<GivenEntry>,
    /// Inputs that the scenario left out.
    pub defaults_used: Vec<DefaultEntry>,
    /// Which designs are compared within what, where there are several.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub compared: Option<Outline>,
    /// Largest share of the heat or water of a case that its account may be off by; beyond it the case
    /// fails.
    pub allowed_residual_share: f64,
    /// What to bear in mind.
    pub cautions: Vec<Cow<'static, str>>,
}

/// A file that was read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SourceFile {
    /// Name of the scenario file; path of a weather file as the scenario writes it. Neither depends
    /// on the folder in which the program was called.
    pub path: String,
    /// SHA-256 of its bytes.
    pub sha256: String,
}

/// A weather file that was read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WeatherFile {
    /// The file.
    #[serde(flatten)]
    pub file: SourceFile,
    /// Station or place.
    pub place: String,
    /// State, province or country.
    pub region: String,
    /// Latitude, north positive.
    pub latitude_deg: f64,
    /// Longitude, east positive.
    pub longitude_deg: f64,
    /// Elevation.
    pub elevation_m: f64,
    /// Format in words.
    pub format: String,
    /// The number of a year that was, "typical" or "unstated".
    pub year: String,
    /// What cases ask of it beyond the file; each case's own stands in the table `cases`.
    pub stress: Vec<StressUse>,
    /// Whose data it is, where the format tells.
    pub credit: Option<Cow<'static, str>>,
    /// Defects found and what was done.
    pub defects: Vec<DefectEntry>,
}

/// A defect of a weather file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DefectEntry {
    /// What is wrong.
    pub defect: String,
    /// Rows or values with it.
    pub count: usize,
    /// Line of the first one, 0 where no line applies.
    pub first_line: usize,
    /// What was done.
    pub action: String,
}

/// A table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TableEntry {
    /// Name and stem of its files.
    pub name: String,
    /// What one row is.
    pub one_row_is: String,
    /// Rows.
    pub rows: usize,
    /// Columns, in order.
    pub columns: Vec<ColumnEntry>,
}

/// A column.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ColumnEntry {
    /// Name.
    pub name: String,
    /// Unit.
    pub unit: String,
    /// Meaning.
    pub meaning: String,
}

/// An input that the scenario states.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct GivenEntry {
    /// Key path in the scenario file.
    pub key: String,
    /// Value as it stands there, texts without quotes.
    pub value: String,
}

/// An input that was assumed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DefaultEntry {
    /// Key path in the scenario file.
    pub key: String,
    /// Value with unit.
    pub value: String,
    /// Where it comes from.
    pub source: String,
}

impl Manifest {
    /// The manifest of a study, without tables.
    pub fn new(study: &Study) -> Self {
        Self {
            program: "overwinter".into(),
            version: env!("CARGO_PKG_VERSION").into(),
            title: study.title.clone(),
            scenario: SourceFile {
                path: file_name(&study.scenario_path),
                sha256: study.scenario_sha256.clone(),
            },
            weather: weather(study),
            seed: study.seed,
            axes: study.axis_names.clone(),
            sampled: study.sampled.clone(),
            draws: study.draws.max(1),
            cases: study.cases.len(),
            tables: Vec::new(),
            inputs_given: study.stated.iter().map(given_entry).collect(),
            defaults_used: study.defaults.iter().map(default_entry).collect(),
            compared: study.ranking.outline(),
            allowed_residual_share: ALLOWED_RESIDUAL,
            cautions: cautions(study),
        }
    }

    /// The same with tables.
    #[must_use]
    pub fn with_tables(&self, tables: Vec<TableEntry>) -> Self {
        Self {
            tables,
            ..self.clone()
        }
    }
}

impl TableEntry {
    /// What a table holds, with that number of rows.
    pub fn of(table: &Table, rows: usize) -> Self {
        let column = |column: &Column| ColumnEntry {
            name: column.name.clone(),
            unit: column.unit.clone(),
            meaning: column.meaning.clone(),
        };
        Self {
            name: table.name.to_owned(),
            one_row_is: table.one_row_is.to_owned(),
            rows,
            columns: table.columns.iter().map(column).collect(),
        }
    }
}

/// Whose data a weather file of this format is, where the format tells.
pub fn credit(format: &str) -> Option<&'static str> {
    let credits = [
        (
            "PVGIS",
            "PVGIS (c) European Union, 2001-2025; free to use with this attribution",
        ),
        (
            "TMY",
            "Typical meteorological year, National Solar Radiation Data Base, U.S. Department of \
             Energy / National Renewable Energy Laboratory; public domain, without warranty",
        ),
        (
            "NSRDB",
            "National Solar Radiation Database, National Renewable Energy Laboratory",
        ),
    ];
    let known = credits.iter().find(|(word, _)| format.contains(word));
    known.map(|(_, credit)| *credit)
}

fn file_name(path: &Path) -> String {
    let name = path.file_name().unwrap_or(path.as_os_str());
    name.to_string_lossy().into_owned()
}

fn weather(study: &Study) -> Vec<WeatherFile> {
    let features = study.cases.features();
    let climates = study.climates.iter().enumerate();
    climates
        .map(|(index, climate)| weather_file(climate, &features.stresses(index)))
        .collect()
}

fn weather_file(climate: &Climate, stresses: &[Stress]) -> WeatherFile {
    let place = &climate.year.place;
    let defects = climate.year.notes.iter().map(|note| DefectEntry {
        defect: note.defect.clone(),
        count: note.count,
        first_line: note.first_line,
        action: note.action.clone(),
    });
    WeatherFile {
        file: SourceFile {
            path: climate.written.clone(),
            sha256: climate.sha256.clone(),
        },
        place: place.name.clone(),
        region: place.region.clone(),
        latitude_deg: place.latitude_deg,
        longitude_deg: place.longitude_deg,
        elevation_m: place.elevation_m,
        format: place.format.clone(),
        year: climate.year.kind().to_string(),
        stress: stress_uses(stresses.iter()),
        credit: credit(&place.format).map(Cow::Borrowed),
        defects: defects.collect(),
    }
}

/// Those of every run, and those of money where it is counted.
fn cautions(study: &Study) -> Vec<Cow<'static, str>> {
    let of_money = study
        .cases
        .features()
        .counts_money
        .then_some(MONEY_CAUTIONS);
    CAUTIONS
        .into_iter()
        .chain(of_money.into_iter().flatten())
        .map(Cow::Borrowed)
        .collect()
}

fn given_entry(given: &Given) -> GivenEntry {
    GivenEntry {
        key: given.key.clone(),
        value: given.value.clone(),
    }
}

fn default_entry(default: &DefaultUsed) -> DefaultEntry {
    DefaultEntry {
        key: default.key.clone(),
        value: default.value.clone(),
        source: default.source.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn credit_follows_the_source_and_not_the_layout() {
        for format in ["TMY3 CSV, 2015 layout", "EPW layout from TMY2-94018"] {
            assert!(credit(format).is_some_and(|credit| credit.contains("Solar Radiation")));
        }
        assert!(credit("PVGIS JSON").is_some_and(|credit| credit.contains("European Union")));
        assert_eq!(credit("plain hourly table"), None);
    }
}

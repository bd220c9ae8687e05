//! One row a case: what it is, whether it ran, how well the account closed.

use std::sync::Arc;

use overwinter_engine::record::{Effort, SeasonRecord};
use overwinter_weather::{Stress, Year, YearKind};

use super::column::{Table, TableBuilder};
use super::frost_risk;
use super::units::{degc, degf, ft2};
use crate::case::{Case, Climate};
use crate::sampling::{Draw, Sampled};
use crate::stress::stress_words;

/// How a case ended.
#[derive(Clone, Debug, PartialEq)]
pub enum Status {
    /// It ran through the year.
    Done(Quality),
    /// It stopped, for this reason.
    Failed(Arc<str>),
}

/// How well a season was computed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quality {
    /// Largest residual of the energy account in any step, as a share of its throughput.
    pub worst_energy_residual: f64,
    /// The same for water.
    pub worst_water_residual: f64,
    /// Largest difference of any soil node between the end and the start of the year.
    pub start_mismatch_k: f64,
    /// Steps, redos, fallbacks.
    pub effort: Effort,
    /// Lowest outdoor air of the year it was stepped through.
    pub lowest_outdoor_k: f64,
}

impl Quality {
    /// The quality of a record and of the year it came from.
    pub fn of(record: &SeasonRecord, year: &Year) -> Self {
        let air_k = year.air_temp_k.iter().copied();
        Self {
            lowest_outdoor_k: air_k.fold(f64::INFINITY, f64::min),
            worst_energy_residual: record.worst_energy_residual,
            worst_water_residual: record.worst_water_residual,
            start_mismatch_k: record.start_mismatch_k,
            effort: record.effort,
        }
    }
}

/// A row of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseRow {
    /// Number from 1.
    pub case_id: usize,
    /// The alternative on each axis.
    pub axis_labels: Vec<Arc<str>>,
    /// The draw of the sampled inputs, if there are any.
    pub draw: Option<Draw>,
    /// How it ended.
    pub status: Status,
    /// Name of the weather station or place, if the house could be built.
    pub climate: Option<Arc<str>>,
    /// Its weather file, as the scenario writes it, if the house could be built.
    pub weather_file: Option<Arc<str>>,
    /// What year that file holds, if the house could be built.
    pub weather_year: Option<YearKind>,
    /// What was asked of it beyond the file.
    pub stress: Stress,
    /// Floor area, if the house could be built.
    pub floor_area_m2: Option<f64>,
}

impl CaseRow {
    /// How well the season was computed, if it was.
    pub fn quality(&self) -> Option<Quality> {
        match self.status {
            Status::Done(quality) => Some(quality),
            Status::Failed(_) => None,
        }
    }

    /// Why the case failed, if it did.
    pub fn reason(&self) -> Option<&str> {
        match &self.status {
            Status::Done(_) => None,
            Status::Failed(reason) => Some(reason),
        }
    }
}

/// The row of one case.
pub fn row(case: &Case, climate: &Climate, status: Status) -> CaseRow {
    let labels = case.axis_labels.iter();
    CaseRow {
        case_id: case.id,
        axis_labels: labels.map(|label| Arc::from(label.as_str())).collect(),
        draw: case.draw.clone(),
        status,
        climate: Some(Arc::from(climate.year.place.name.as_str())),
        weather_file: Some(Arc::from(climate.written.as_str())),
        weather_year: Some(climate.year.kind()),
        stress: case.stress,
        floor_area_m2: Some(case.house.floor_area_m2),
    }
}

/// The row of a case whose house could not be built.
pub fn row_without_house(
    case_id: usize,
    axis_labels: &[String],
    draw: Option<Draw>,
    reason: &str,
) -> CaseRow {
    let labels = axis_labels.iter();
    CaseRow {
        case_id,
        axis_labels: labels.map(|label| Arc::from(label.as_str())).collect(),
        draw,
        status: Status::Failed(Arc::from(reason)),
        climate: None,
        weather_file: None,
        weather_year: None,
        stress: Stress::NONE,
        floor_area_m2: None,
    }
}

/// The table of all rows.
pub fn table<'a>(
    rows: impl Iterator<Item = &'a CaseRow>,
    axis_names: &[String],
    sampled: &[Sampled],
) -> Table {
    let mut builder = TableBuilder::new("cases", "a case", rows).whole(
        "case_id",
        "number of the case",
        |row: &CaseRow| Some(row.case_id as i64),
    );
    for (index, column) in axis_columns(axis_names).into_iter().enumerate() {
        let meaning = format!("alternative on the axis {}", axis_names[index]);
        builder = builder.text(column, meaning, move |row| {
            row.axis_labels.get(index).cloned()
        });
    }
    if !sampled.is_empty() {
        builder = draw_columns(builder, sampled);
    }
    quality_columns(status_columns(builder)).finish()
}

type Builder<'a> = TableBuilder<'a, CaseRow>;

fn draw_columns<'a>(builder: Builder<'a>, sampled: &[Sampled]) -> Builder<'a> {
    let mut builder = builder.whole(
        "draw",
        "number of the draw; draws of one number are the same for every design",
        |row: &CaseRow| Some(row.draw.as_ref()?.number as i64),
    );
    let mut columns = Vec::new();
    for (index, input) in sampled.iter().enumerate() {
        let keys = input.keys.join(" and ");
        let meaning = match input.unit.as_str() {
            "times" => format!("drawn for {}: what multiplies {keys}", input.name),
            _ => format!("drawn for {}, which sets or changes {keys}", input.name),
        };
        let column = different(&sampled_column(input), &mut columns);
        let unit = if input.unit.is_empty() {
            "number"
        } else {
            &input.unit
        };
        builder = builder.number(column, unit, meaning, move |row| {
            row.draw.as_ref()?.values.get(index).copied()
        });
    }
    builder
}

/// `sampled_leakage_per_h` of "leakage" in "/h".
fn sampled_column(input: &Sampled) -> String {
    let unit = input.unit.replace('%', "percent").replace('/', " per ");
    let unit = unit.split_whitespace().map(plain);
    let words: Vec<_> = std::iter::once(plain(&input.name)).chain(unit).collect();
    format!("sampled_{}", words.join("_"))
}

fn status_columns(builder: Builder) -> Builder {
    builder
        .text("status", "done or failed", |row| {
            Some(match row.status {
                Status::Done(_) => "done",
                Status::Failed(_) => "failed",
            })
        })
        .text("reason", "why the case failed", |row| {
            row.reason().map(Arc::<str>::from)
        })
        .text("climate", "name of the weather station or place", |row| {
            row.climate.clone()
        })
        .text(
            "weather_file",
            "the weather file, as written in the scenario",
            |row| row.weather_file.clone(),
        )
        .text("weather_year", frost_risk::WEATHER_YEAR, |row| {
            row.weather_year.map(|year| Arc::from(year.to_string()))
        })
        .text(
            "weather_stress",
            "what was asked of the year beyond its file; empty if nothing",
            |row| stress_words(&row.stress).map(Arc::from),
        )
        .number(
            "lowest_outdoor_degc",
            "degC",
            "lowest outdoor air of the year, under its stress",
            |row| row.quality().map(|quality| degc(quality.lowest_outdoor_k)),
        )
        .number("lowest_outdoor_degf", "degF", "the same", |row| {
            row.quality().map(|quality| degf(quality.lowest_outdoor_k))
        })
        .number("floor_area_m2", "m2", "floor area", |row| row.floor_area_m2)
        .number("floor_area_ft2", "ft2", "floor area", |row| {
            row.floor_area_m2.map(ft2)
        })
}

fn quality_columns(builder: Builder) -> Builder {
    let count = |row: &CaseRow, of: fn(Effort) -> u32| {
        row.quality().map(|quality| i64::from(of(quality.effort)))
    };
    builder
        .number(
            "worst_energy_residual_share",
            "share",
            "largest energy residual of any step, as a share of the energy moved in it",
            |row| row.quality().map(|quality| quality.worst_energy_residual),
        )
        .number(
            "worst_water_residual_share",
            "share",
            "largest water residual of any step, as a share of the water moved in it",
            |row| row.quality().map(|quality| quality.worst_water_residual),
        )
        .number(
            "start_mismatch_k",
            "K",
            "largest difference of any soil layer between the end and the start of the year",
            |row| row.quality().map(|quality| quality.start_mismatch_k),
        )
        .whole("steps", "steps taken", move |row| {
            count(row, |effort| effort.steps)
        })
        .whole(
            "redos",
            "steps taken again after a change of regime",
            move |row| count(row, |effort| effort.redos),
        )
        .whole("fallbacks", "steps split into smaller ones", move |row| {
            count(row, |effort| effort.fallbacks)
        })
}

/// Column names of the axes: lower-case words, numbered where two would be the same.
pub(crate) fn axis_columns(axis_names: &[String]) -> Vec<String> {
    let mut columns = Vec::new();
    for name in axis_names {
        different(&format!("axis_{}", plain(name)), &mut columns);
    }
    columns
}

/// Letters and digits in lower case, other signs as `_`.
fn plain(name: &str) -> String {
    let plain = |c: char| {
        if c.is_alphanumeric() {
            c.to_ascii_lowercase()
        } else {
            '_'
        }
    };
    name.chars().map(plain).collect()
}

/// The stem of a column name, numbered where it is among the columns already; it joins them.
fn different(stem: &str, columns: &mut Vec<String>) -> String {
    let mut column = stem.to_owned();
    let mut number = 2;
    while columns.contains(&column) {
        column = format!("{stem}_{number}");
        number += 1;
    }
    columns.push(column.clone());
    column
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axis_columns_are_plain_and_different() {
        let names = ["Hold temperature", "cover.roof", "cover roof"].map(String::from);
        let columns = [
            "axis_hold_temperature",
            "axis_cover_roof",
            "axis_cover_roof_2",
        ];
        assert_eq!(axis_columns(&names), columns);
    }

    #[test]
    fn sampled_columns_end_with_the_unit_as_written() {
        for (name, unit, column) in [
            ("leakage", "/h", "sampled_leakage_per_h"),
            (
                "heater.1.efficiency",
                "%",
                "sampled_heater_1_efficiency_percent",
            ),
            ("price", "USD/gal", "sampled_price_usd_per_gal"),
            ("price", "times", "sampled_price_times"),
            ("leaf area", "", "sampled_leaf_area"),
        ] {
            let input = Sampled {
                name: name.to_owned(),
                unit: unit.to_owned(),
                keys: Vec::new(),
                quantiles: Default::default(),
            };
            assert_eq!(sampled_column(&input), column);
        }
    }
}

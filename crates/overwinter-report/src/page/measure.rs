//! Values of the tables of comparison, in the unit of their row.

use overwinter_units::{System, tenth};

use super::View;
use crate::chart::ranges::Row;
use crate::designs::Design;
use crate::figures::{self, NOTHING};
use crate::table::Table;

/// The measure designs are ranked by, the first of these that the table has.
pub(super) const RANKED_BY: [&str; 4] = [
    "fuel and electricity cost",
    "fuel cost",
    "fuel energy",
    "lowest leaf",
];

/// A unit of a table as it is printed.
pub(super) fn printed_unit(unit: &str) -> &str {
    match unit {
        "degC" => "°C",
        "degF" => "°F",
        "kg CO2e" => "kg CO₂e",
        other => other,
    }
}

/// A value in its unit, as it is printed.
pub(super) fn in_unit(value: Option<f64>, unit: &str) -> String {
    match (value, unit) {
        (None, _) => NOTHING.to_owned(),
        (Some(value), "degC" | "degF" | "K") => tenth(value).replace('-', "−"),
        (Some(value), _) => figures::figures(value),
    }
}

/// Medians and ranges of a table of comparison in one system of units.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spread<'a> {
    table: &'a Table,
    /// What stands in front of `median`, `p05` and `p95` in the names of the columns.
    prefix: &'static str,
    end: &'static str,
    /// The unit of the rows.
    pub(super) unit: &'a str,
}

impl<'a> Spread<'a> {
    /// That of rows which have the unit of `row`.
    pub(super) fn new(table: &'a Table, prefix: &'static str, row: usize, system: System) -> Self {
        let (end, unit_column) = match system {
            System::Us => ("_us", "us_unit"),
            System::Si => ("", "unit"),
        };
        Self {
            table,
            prefix,
            end,
            unit: table.text(unit_column, row),
        }
    }

    /// `median`, `p05` or `p95` of a row.
    pub(super) fn number(self, name: &str, row: usize) -> Option<f64> {
        self.table
            .number(&format!("{}{name}{}", self.prefix, self.end), row)
    }

    /// The median in print.
    pub(super) fn median(self, row: usize) -> String {
        in_unit(self.number("median", row), self.unit)
    }

    /// The points of 5 and 95 %.
    pub(super) fn ends(self, row: usize) -> Option<(f64, f64)> {
        self.number("p05", row).zip(self.number("p95", row))
    }

    /// Those points in print, `100 to 200`.
    pub(super) fn range(self, row: usize) -> Option<String> {
        let (low, high) = self.ends(row)?;
        let [low, high] = [low, high].map(|value| in_unit(Some(value), self.unit));
        // Not torn apart where a cell is narrow.
        Some(format!("{low}\u{a0}to\u{a0}{high}"))
    }

    /// Median and range in print, `150 (100 to 200)`.
    pub(super) fn both(self, row: usize) -> String {
        let range = self
            .range(row)
            .map_or_else(String::new, |range| format!(" ({range})"));
        format!("{}{range}", self.median(row))
    }

    /// Median with its unit and the range, `150 gal (100 to 200)`, without one if all draws are alike;
    /// nothing without a median.
    pub(super) fn with_unit(self, row: usize) -> Option<String> {
        let median = in_unit(Some(self.number("median", row)?), self.unit);
        let unit = match printed_unit(self.unit) {
            "ratio" => String::new(),
            unit => format!("\u{a0}{unit}"),
        };
        let is_one = |(low, high): (f64, f64)| {
            in_unit(Some(low), self.unit) == in_unit(Some(high), self.unit)
        };
        let range = self
            .range(row)
            .filter(|_| !self.ends(row).is_some_and(is_one));
        let range = range.map_or_else(String::new, |range| format!(" ({range})"));
        Some(format!("{median}{unit}{range}"))
    }

    /// Median and range as a row of a chart; nothing without a median.
    pub(super) fn chart_row(self, name: &str, row: usize) -> Option<Row> {
        let median = self.number("median", row)?;
        Some(Row {
            name: name.to_owned(),
            printed: self.both(row),
            range: self.ends(row),
            marks: vec![(median, 0)],
        })
    }
}

/// Median and range of a design by a measure, as printed, with the unit, in the first units.
pub(super) fn median_and_range(
    view: View<'_>,
    design: &Design,
    measure: &str,
) -> Option<(String, String)> {
    let table = view.run.table("ranking")?;
    let row = row_of(table, design, measure)?;
    let spread = Spread::new(table, "", row, view.system);
    spread.number("median", row)?;
    Some((spread.both(row), printed_unit(spread.unit).to_owned()))
}

/// A range of differences in words: `200 to 500 less`, or from less to more.
pub(super) fn within((low, high): (f64, f64), unit: &str) -> String {
    let size = |value: f64| in_unit(Some(value.abs()), unit);
    match (low < 0.0, high < 0.0) {
        (true, true) => format!("{} to {} less", size(high), size(low)),
        (false, false) => format!("{} to {} more", size(low), size(high)),
        _ => format!("{} less to {} more", size(low), size(high)),
    }
}

/// The row of a design by a measure.
pub(super) fn row_of(table: &Table, design: &Design, measure: &str) -> Option<usize> {
    table.rows().find(|&row| {
        table.id("first_case_id", row) == Some(design.first_case_id)
            && table.text("measure", row) == measure
    })
}

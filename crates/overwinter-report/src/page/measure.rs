//! Values of the tables of comparison, in the unit of their row.

use overwinter_units::{System, tenth};

use super::View;
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
        other => other,
    }
}

pub(super) fn in_unit(value: Option<f64>, unit: &str) -> String {
    match (value, unit) {
        (None, _) => NOTHING.to_owned(),
        (Some(value), "degC" | "degF" | "K") => tenth(value).replace('-', "−"),
        (Some(value), _) => figures::figures(value),
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
    let (end, unit_column) = columns(view.system);
    let unit = table.text(unit_column, row);
    let number = |name: &str| table.number(&format!("{name}{end}"), row);
    let range = number("p05")
        .zip(number("p95"))
        .map_or_else(String::new, |(low, high)| {
            format!(
                " ({} to {})",
                in_unit(Some(low), unit),
                in_unit(Some(high), unit)
            )
        });
    let printed = format!("{}{range}", in_unit(Some(number("median")?), unit));
    Some((printed, printed_unit(unit).to_owned()))
}

/// Ending of the columns and column of the unit in a system.
pub(super) fn columns(system: System) -> (&'static str, &'static str) {
    match system {
        System::Us => ("_us", "us_unit"),
        System::Si => ("", "unit"),
    }
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

pub(super) fn row_of(table: &Table, design: &Design, measure: &str) -> Option<usize> {
    table.rows().find(|&row| {
        table.id("first_case_id", row) == Some(design.first_case_id)
            && table.text("measure", row) == measure
    })
}

//! Columns that the tables of this module share.
//!
//! A measure has rows and not columns: fifteen of them with their medians, ranges, shares and twins
//! would be two hundred columns of which a reader wants one measure at a time, which a filter gives.
//! Its unit stands in the row, that of the twin beside it.

use std::sync::Arc;

use super::measure::{Measure, Scale, Unit};
use super::plan::{Cell, Grid};
use crate::tables::cases::axis_columns;
use crate::tables::column::TableBuilder;

const IN_UNIT: &str = "see column unit";
const IN_US_UNIT: &str = "see column us_unit";

/// Labels of settings and designs.
pub(crate) struct Labels<'a> {
    grid: &'a Grid,
    setting_columns: Vec<String>,
}

impl<'a> Labels<'a> {
    pub(crate) fn of(grid: &'a Grid) -> Self {
        Self {
            grid,
            setting_columns: axis_columns(&grid.setting_axes),
        }
    }

    fn design(&self, cell: Cell) -> Option<Arc<str>> {
        self.grid.designs.get(cell.design).cloned()
    }
}

/// A table whose rows stand in a setting: a column for each axis of settings.
pub(crate) fn of_setting<'r, Row>(
    name: &'static str,
    one_row_is: &'static str,
    rows: impl Iterator<Item = &'r Row>,
    labels: &Labels<'_>,
    setting: impl Fn(&Row) -> usize + Copy,
) -> TableBuilder<'r, Row> {
    let mut builder = TableBuilder::new(name, one_row_is, rows);
    for (axis, column) in labels.setting_columns.iter().enumerate() {
        let meaning = format!(
            "alternative on the axis {}, within which designs are compared",
            labels.grid.setting_axes[axis]
        );
        builder = builder.text(column.clone(), meaning, |row| {
            let setting = labels.grid.settings.get(setting(row))?;
            setting.labels.get(axis).cloned()
        });
    }
    builder
}

/// A design and its first case.
pub(crate) fn design<'r, Row>(
    builder: TableBuilder<'r, Row>,
    [name, case]: [&str; 2],
    meaning: &str,
    labels: &Labels<'_>,
    cell: impl Fn(&Row) -> Option<Cell>,
) -> TableBuilder<'r, Row> {
    builder
        .text(name, meaning, |row| labels.design(cell(row)?))
        .whole(
            case,
            "number of its first case, which the table cases describes",
            |row| Some(cell(row)?.first_case as i64 + 1),
        )
}

/// What is compared and its units.
pub(super) fn measure<'r, Row>(
    builder: TableBuilder<'r, Row>,
    of: impl Fn(&Row) -> (Measure, &Unit),
) -> TableBuilder<'r, Row> {
    builder
        .text(
            "measure",
            "what is compared, over the year: fuel energy (higher heating value), fuel (in its own \
             unit), electricity (blowers, fans and the heaters' own fans), lowest leaf or air, hours \
             below the first limit and below that at which the crop is lost (by the leaf or, without \
             a crop, by the air), lowest leaf of the clear design night and nights lost under the \
             failure in column detail",
            |row| Some(of(row).0.name()),
        )
        .text(
            "detail",
            "the fuel that is measured, the limit that hours are below, or the failure and its length",
            |row| of(row).1.of.clone(),
        )
        .text(
            "unit",
            "unit of the values; differences of temperatures are in kelvins, which are as large as \
             degrees Celsius",
            |row| Some(of(row).1.name.clone()),
        )
        .text("us_unit", "unit of the values in columns ending in _us", |row| {
            let (measure, unit) = of(row);
            let twin = measure.scale().us_unit().map(Arc::from);
            Some(twin.unwrap_or_else(|| unit.name.clone()))
        })
}

/// A value and its twin.
pub(super) fn value<'r, Row>(
    builder: TableBuilder<'r, Row>,
    name: &str,
    meaning: &str,
    scale: impl Fn(&Row) -> Scale,
    value: impl Fn(&Row) -> Option<f64>,
) -> TableBuilder<'r, Row> {
    twins(builder, name, meaning, [Scale::si, Scale::us], scale, value)
}

/// A difference and its twin.
pub(super) fn difference<'r, Row>(
    builder: TableBuilder<'r, Row>,
    name: &str,
    meaning: &str,
    scale: impl Fn(&Row) -> Scale,
    value: impl Fn(&Row) -> Option<f64>,
) -> TableBuilder<'r, Row> {
    let written = [Scale::si_difference, Scale::us_difference];
    twins(builder, name, meaning, written, scale, value)
}

fn twins<'r, Row>(
    builder: TableBuilder<'r, Row>,
    name: &str,
    meaning: &str,
    [si, us]: [fn(Scale, f64) -> f64; 2],
    scale: impl Fn(&Row) -> Scale,
    value: impl Fn(&Row) -> Option<f64>,
) -> TableBuilder<'r, Row> {
    builder
        .number(name, IN_UNIT, meaning, |row| {
            value(row).map(|value| si(scale(row), value))
        })
        .number(format!("{name}_us"), IN_US_UNIT, "the same", |row| {
            value(row).map(|value| us(scale(row), value))
        })
}

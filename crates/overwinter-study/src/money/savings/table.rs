//! Columns of the table `savings`.

use super::row::SavingsRow;
use crate::ranking::Grid;
use crate::ranking::columns::{self, Labels};
use crate::tables::Table;
use crate::tables::column::TableBuilder;

const IN_UNIT: &str = "see column unit";
const IN_US_UNIT: &str = "see column us_unit";

type Builder<'r> = TableBuilder<'r, SavingsRow>;

pub(super) fn table(rows: &[SavingsRow], grid: &Grid) -> Table {
    let labels = Labels::of(grid);
    let builder = columns::of_setting(
        "savings",
        "a measure of what a design saves against another in one setting, of one carrier of energy, of \
         all or of none; under the same draw for both",
        rows.iter(),
        &labels,
        |row: &SavingsRow| row.setting,
    );
    let builder = columns::design(
        builder,
        ["design", "first_case_id"],
        "labels of its alternatives",
        &labels,
        |row: &SavingsRow| Some(row.cell),
    );
    let builder = columns::design(
        builder,
        ["against", "against_first_case_id"],
        "the design that it is compared with",
        &labels,
        |row: &SavingsRow| Some(row.against),
    );
    share_columns(number_columns(measure_columns(builder))).finish()
}

fn measure_columns(builder: Builder<'_>) -> Builder<'_> {
    builder
        .text(
            "measure",
            "energy (at the site, higher heating value), amount, energy cost (at prices of year 0), \
             carbon dioxide and greenhouse gases are those of a year; greenhouse gases are carbon dioxide, \
             methane and nitrous oxide, without biogenic carbon dioxide; extra first cost is less the grant; net saving is the \
             life-cycle cost of the other less that of the design, and value left is what of it the parts are \
             still worth at the end; heat lacking is what an ample heater would have had to give more; savings and rates follow NIST Handbook \
             135 and ASTM E917; bands and points are those of the rural energy grants of the United States \
             (7 CFR part 4280 subpart B, a copy with amendments to 2018: check the current text)",
            |row| Some(row.measure),
        )
        .text(
            "carrier",
            "fuel, electricity (blowers, fans, the heaters' fans and electric heaters) or all carriers",
            |row| row.carrier.clone(),
        )
        .text("unit", "unit of the values", |row| row.units.unit.clone())
        .text(
            "us_unit",
            "unit of the values in columns ending in _us",
            |row| row.units.us_unit.clone(),
        )
        .whole("draws", "draws that ran with both designs", |row| {
            Some(row.draws as i64)
        })
}

fn number_columns(builder: Builder<'_>) -> Builder<'_> {
    let builder = twins(
        builder,
        "against_median",
        "median of the one that it is compared with",
        |row| row.against_median,
    );
    let builder = twins(builder, "design_median", "median of the design", |row| {
        row.design_median
    });
    let builder = twins(
        builder,
        "median",
        "median over the draws of the measure, of amounts what the other has more; of paybacks a draw in \
         which the money does not come back counts as longer than the others, and one that no rate or price \
         makes even as below them",
        |row| row.median,
    );
    let builder = twins(
        builder,
        "p05",
        "5 % point: 90 of 100 draws lie between this and p95; empty for fewer than 10 draws and where it \
         is such a draw",
        |row| row.range.map(|[low, _]| low),
    );
    twins(builder, "p95", "95 % point", |row| {
        row.range.map(|[_, high]| high)
    })
}

fn share_columns(builder: Builder<'_>) -> Builder<'_> {
    let share = "share, 0 to 1";
    builder
        .number(
            "reached_share",
            share,
            "share of the draws that have such a value; of a payback, in which the money comes back",
            |row: &SavingsRow| row.reached_share,
        )
        .number(
            "holds_share",
            share,
            "share of the draws in which it comes back and what is bought again never takes it back",
            |row| row.holds_share,
        )
        .text("band", "band of the grant rule", |row| row.band)
        .number("points", "points", "points of the grant rule", |row| {
            row.points
        })
        .number(
            "share_of_draws",
            share,
            "share of the draws in that band, or in which the part of column note wears out first",
            |row| row.share_of_draws,
        )
        .text(
            "note",
            "the part, the factors of what is given off, or why there is no value",
            |row: &SavingsRow| row.note.clone(),
        )
}

fn twins<'r>(
    builder: Builder<'r>,
    name: &str,
    meaning: &str,
    of: impl Fn(&SavingsRow) -> Option<f64>,
) -> Builder<'r> {
    let us = |row: &SavingsRow| of(row).map(|value| value * row.units.us_times);
    builder.number(name, IN_UNIT, meaning, &of).number(
        format!("{name}_us"),
        IN_US_UNIT,
        "the same",
        us,
    )
}

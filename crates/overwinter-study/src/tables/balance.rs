//! The energy and water account by month. Positive = into the house.

use overwinter_engine::ledger::{HEAT_TERM_NAMES, Month, WATER_TERM_NAMES};
use overwinter_engine::record::SeasonRecord;

use super::calendar::Span;
use super::column::{Table, TableBuilder};
use super::units::kwh;
use crate::case::Case;

/// A row of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct BalanceRow {
    /// Case.
    pub case_id: usize,
    /// Month or year.
    pub span: Span,
    /// The account of the span.
    pub account: Month,
}

/// The rows of one case: the year, then the months.
pub fn rows(case: &Case, record: &SeasonRecord) -> Vec<BalanceRow> {
    let row = |span: Span| BalanceRow {
        case_id: case.id,
        span,
        account: total(&record.months[span.months()]),
    };
    Span::all().map(row).collect()
}

/// The table of all rows.
pub fn table<'a>(rows: impl Iterator<Item = &'a BalanceRow>) -> Table {
    let mut builder = TableBuilder::new("balance", "a case in a month (month 0: the year)", rows)
        .whole("case_id", "number of the case", |row| {
            Some(row.case_id as i64)
        })
        .whole("month", "month, 0 for the year", |row| {
            Some(row.span.number())
        })
        .number("span_h", "h", "length of the span", |row| row.account.hours);
    for (index, term) in HEAT_TERM_NAMES.iter().enumerate() {
        let meaning = format!("heat into the house by {}", term.replace('_', " "));
        builder = builder.number(format!("heat_{term}_kwh"), "kWh", meaning, move |row| {
            kwh(row.account.heat_j[index])
        });
    }
    builder = builder
        .number(
            "heat_stored_kwh",
            "kWh",
            "change of the heat stored",
            |row| kwh(row.account.stored_j),
        )
        .number(
            "heat_residual_kwh",
            "kWh",
            "sum of the terms less the change of store",
            |row| kwh(row.account.heat_residual_j),
        );
    for (index, term) in WATER_TERM_NAMES.iter().enumerate() {
        let meaning = format!("water into the house by {term}");
        builder = builder.number(format!("water_{term}_kg"), "kg", meaning, move |row| {
            row.account.water_kg[index]
        });
    }
    builder
        .number(
            "water_stored_kg",
            "kg",
            "change of the water stored",
            |row| row.account.stored_kg,
        )
        .number(
            "water_residual_kg",
            "kg",
            "sum of the terms less the change of store",
            |row| row.account.water_residual_kg,
        )
        .finish()
}

fn total(months: &[Month]) -> Month {
    let mut sum = Month::default();
    for month in months {
        add_terms(&mut sum.heat_j, &month.heat_j);
        add_terms(&mut sum.water_kg, &month.water_kg);
        sum.stored_j += month.stored_j;
        sum.heat_residual_j += month.heat_residual_j;
        sum.stored_kg += month.stored_kg;
        sum.water_residual_kg += month.water_residual_kg;
        sum.circulation_j += month.circulation_j;
        sum.blower_j += month.blower_j;
        sum.vent_fan_j += month.vent_fan_j;
        sum.unmet_j += month.unmet_j;
        sum.below_set_kh += month.below_set_kh;
        sum.hours += month.hours;
    }
    sum
}

fn add_terms(sum: &mut [f64], terms: &[f64]) {
    for (total, term) in sum.iter_mut().zip(terms) {
        *total += term;
    }
}

//! The energy and water account by month. Positive = into the house.

use overwinter_engine::ledger::{HEAT_TERM_NAMES, Month, WATER_TERM_NAMES};
use overwinter_engine::record::{HourSeries, SeasonRecord};

use super::calendar::Span;
use super::column::{Table, TableBuilder};
use super::units::{degc, kilowatts, kwh};
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
    /// House air and the hardest hours of the span.
    pub room: Room,
}

/// House air of a span and the most that heaters and cooling gave in an hour of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Room {
    /// Mean of the house air.
    pub air_mean_k: f64,
    /// Highest mean of the house air over an hour.
    pub air_highest_k: f64,
    /// Lowest mean of the house air over an hour.
    pub air_lowest_k: f64,
    /// Largest heat output over an hour, a mean.
    pub peak_heat_w: f64,
    /// Most heat that cooling removed in an hour, a mean.
    pub peak_cooling_w: f64,
}

impl Room {
    /// Not a number, and so an empty cell, where the record lacks the hours.
    fn of(span: Span, hours: &HourSeries) -> Self {
        let of = |series: &Vec<f64>| series.get(span.hours()).unwrap_or_default().to_vec();
        let highest = |values: Vec<f64>| values.into_iter().fold(f64::NEG_INFINITY, f64::max);
        let air_k = of(&hours.air_mean_k);
        Self {
            air_mean_k: air_k.iter().sum::<f64>() / air_k.len() as f64,
            air_lowest_k: air_k.iter().copied().fold(f64::INFINITY, f64::min),
            air_highest_k: highest(air_k),
            peak_heat_w: highest(of(&hours.heat_w)),
            peak_cooling_w: highest(of(&hours.cool_w)),
        }
    }
}

/// The rows of one case: the year, then the months.
pub fn rows(case: &Case, record: &SeasonRecord) -> Vec<BalanceRow> {
    let row = |span: Span| BalanceRow {
        case_id: case.id,
        span,
        account: total(&record.months[span.months()]),
        room: Room::of(span, &record.hours),
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
    builder = builder
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
        );
    room_columns(builder).finish()
}

fn room_columns(builder: TableBuilder<'_, BalanceRow>) -> TableBuilder<'_, BalanceRow> {
    builder
        .number("air_mean_degc", "degC", "mean of the house air", |row| {
            degc(row.room.air_mean_k)
        })
        .number(
            "air_highest_degc",
            "degC",
            "highest mean of the house air over an hour",
            |row| degc(row.room.air_highest_k),
        )
        .number(
            "air_lowest_degc",
            "degC",
            "lowest mean of the house air over an hour",
            |row| degc(row.room.air_lowest_k),
        )
        .number(
            "peak_heat_kw",
            "kW",
            "largest heat output over an hour, a mean",
            |row| kilowatts(row.room.peak_heat_w),
        )
        .number(
            "peak_cooling_kw",
            "kW",
            "most heat removed by cooling in an hour, a mean",
            |row| kilowatts(row.room.peak_cooling_w),
        )
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

//! States and fluxes of every hour, on request.

use std::sync::Arc;

use overwinter_engine::record::{HourSeries, SeasonRecord};
use overwinter_weather::Year;

use super::calendar::{HOURS, Moment};
use super::column::{Table, TableBuilder};
use super::units::{degc, degf, kilowatts};
use crate::case::Case;

/// The hours of one case.
#[derive(Clone, Debug)]
pub struct CaseHours {
    case_id: usize,
    has_crop: bool,
    series: HourSeries,
    year: Arc<Year>,
}

/// The hours of a case, with the weather beside them.
pub fn hours(case: &Case, record: SeasonRecord, year: &Arc<Year>) -> CaseHours {
    CaseHours {
        case_id: case.id,
        has_crop: case.house.crop.is_some(),
        series: record.hours,
        year: Arc::clone(year),
    }
}

/// One hour of one case.
struct HourRow<'a> {
    of: &'a CaseHours,
    hour: usize,
}

impl HourRow<'_> {
    fn when(&self) -> Moment {
        Moment::of_hour(self.hour)
    }

    /// The value of a series in this hour; `None` where the engine left the series empty.
    fn value(&self, series: fn(&HourSeries) -> &Vec<f64>) -> Option<f64> {
        series(&self.of.series).get(self.hour).copied()
    }

    fn leaf(&self, series: fn(&HourSeries) -> &Vec<f64>) -> Option<f64> {
        self.of.has_crop.then(|| self.value(series)).flatten()
    }
}

/// The table of all hours.
pub fn table<'a>(cases: impl Iterator<Item = &'a CaseHours>) -> Table {
    let rows: Vec<HourRow> = cases
        .flat_map(|of| (0..HOURS).map(move |hour| HourRow { of, hour }))
        .collect();
    let builder = TableBuilder::new("hourly", "a case in an hour of the year", rows.iter());
    let builder = key_columns(builder);
    let builder = temperature_columns(builder);
    flux_columns(builder).finish()
}

type Builder<'a, 'b> = TableBuilder<'a, HourRow<'b>>;

fn key_columns<'a, 'b>(builder: Builder<'a, 'b>) -> Builder<'a, 'b> {
    builder
        .whole("case_id", "number of the case", |row| {
            Some(row.of.case_id as i64)
        })
        .whole(
            "hour_of_year",
            "hours since 1 January 00:00 at the start of the hour",
            |row| Some(row.hour as i64),
        )
        .whole("month", "month", |row| Some(row.when().month as i64))
        .whole("day", "day of the month", |row| Some(row.when().day as i64))
        .whole(
            "hour",
            "hour of the day that begins, local standard time",
            |row| Some(row.when().hour as i64),
        )
}

fn temperature_columns<'a, 'b>(builder: Builder<'a, 'b>) -> Builder<'a, 'b> {
    let outdoor = |row: &HourRow| row.of.year.air_temp_k.get(row.hour + 1).copied();
    builder
        .number(
            "outdoor_air_degc",
            "degC",
            "outdoor air at the end of the hour",
            move |row| outdoor(row).map(degc),
        )
        .number("outdoor_air_degf", "degF", "the same", move |row| {
            outdoor(row).map(degf)
        })
        .number(
            "air_degc",
            "degC",
            "house air at the end of the hour",
            |row| row.value(|s| &s.air_temp_k).map(degc),
        )
        .number("air_degf", "degF", "the same", |row| {
            row.value(|s| &s.air_temp_k).map(degf)
        })
        .number(
            "air_lowest_degc",
            "degC",
            "lowest house air within the hour",
            |row| row.value(|s| &s.air_lowest_k).map(degc),
        )
        .number(
            "leaf_degc",
            "degC",
            "mean leaf temperature at the end of the hour",
            |row| row.leaf(|s| &s.leaf_temp_k).map(degc),
        )
        .number(
            "top_leaf_lowest_degc",
            "degC",
            "lowest top-leaf temperature in the hour",
            |row| row.leaf(|s| &s.top_leaf_lowest_k).map(degc),
        )
        .number("top_leaf_lowest_degf", "degF", "the same", |row| {
            row.leaf(|s| &s.top_leaf_lowest_k).map(degf)
        })
        .number(
            "floor_degc",
            "degC",
            "floor surface at the end of the hour",
            |row| row.value(|s| &s.floor_temp_k).map(degc),
        )
        .number(
            "inner_film_degc",
            "degC",
            "innermost fixed layer at the end of the hour",
            |row| row.value(|s| &s.inner_film_temp_k).map(degc),
        )
        .number(
            "below_set_k",
            "K",
            "largest set point less house air within the hour, 0 if held",
            |row| row.value(|s| &s.below_set_k),
        )
}

fn flux_columns<'a, 'b>(builder: Builder<'a, 'b>) -> Builder<'a, 'b> {
    builder
        .number(
            "relative_humidity_0_to_1",
            "share, 0 to 1",
            "relative humidity of the house air at the end of the hour",
            |row| row.value(|s| &s.relative_humidity),
        )
        .number(
            "heat_kw",
            "kW",
            "heat of all heaters, mean over the hour",
            |row| row.value(|s| &s.heat_w).map(kilowatts),
        )
        .number(
            "cooling_kw",
            "kW",
            "heat removed by cooling, mean over the hour",
            |row| row.value(|s| &s.cool_w).map(kilowatts),
        )
        .number(
            "sun_absorbed_kw",
            "kW",
            "sun absorbed in the house, mean over the hour",
            |row| row.value(|s| &s.solar_w).map(kilowatts),
        )
        .number(
            "air_change_per_h",
            "1/h",
            "air exchanged, volumes an hour",
            |row| row.value(|s| &s.air_change_per_h),
        )
        .number(
            "vent_opening_0_to_1",
            "share, 0 to 1",
            "opening of the vents",
            |row| row.value(|s| &s.vent_opening),
        )
        .number(
            "electricity_kw",
            "kW",
            "all fans, blowers and heaters, mean over the hour",
            |row| row.value(|s| &s.electric_w).map(kilowatts),
        )
}

//! The course of failures in chosen nights, every five minutes.

use std::sync::Arc;

use overwinter_engine::outage::CurvePoint;

use super::calendar::Moment;
use super::column::{Table, TableBuilder};
use super::units::{degc, degf, kbtu_h, kilowatts};

/// Which night it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NightIs {
    /// The one of the season with the coldest leaf.
    Worst,
    /// The one of the season with the median of the coldest leaf.
    Median,
    /// The clear and calm design night.
    DesignClear,
    /// The cloudy and windy design night.
    DesignWindy,
    /// The one of a stated evening.
    OfDate,
}

/// A failure in one night.
#[derive(Clone, Debug, PartialEq)]
pub struct NightCurve {
    /// Case.
    pub case_id: usize,
    /// What fails.
    pub failure: Arc<str>,
    /// The night.
    pub night: NightIs,
    /// Hour of the year in which the failure begins.
    pub start_hour: usize,
    /// The course.
    pub points: Vec<CurvePoint>,
}

/// A night in words.
pub fn night_name(night: NightIs) -> &'static str {
    match night {
        NightIs::Worst => "worst of the season",
        NightIs::Median => "median of the season",
        NightIs::DesignClear => "design night, clear and calm",
        NightIs::DesignWindy => "design night, cloudy and windy",
        NightIs::OfDate => "night of that date",
    }
}

/// One point of one curve.
struct PointRow<'a> {
    of: &'a NightCurve,
    point: &'a CurvePoint,
}

type Builder<'a, 'b> = TableBuilder<'a, PointRow<'b>>;

/// The table of all points.
pub fn table<'a>(curves: impl Iterator<Item = &'a NightCurve>) -> Table {
    let rows: Vec<PointRow<'_>> = curves
        .flat_map(|of| of.points.iter().map(move |point| PointRow { of, point }))
        .collect();
    let is =
        "a case, a failure, a chosen night and five minutes: 12 h of failure, 12 h of recovery";
    let builder = keys(TableBuilder::new("night", is, rows.iter()));
    let builder = temperature(builder, "air", "house air", |point| point.air_k);
    let builder = temperature(
        builder,
        "leaf",
        "a leaf at the top that sees the cover",
        |point| point.leaf_k,
    );
    let builder = temperature(builder, "outdoor", "outdoor air", |point| point.outdoor_k);
    builder
        .number("heat_kw", "kW", "output of all heaters", |row| {
            kilowatts(row.point.heat_w)
        })
        .number("heat_kbtu_h", "kBtu/h", "the same", |row| {
            kbtu_h(row.point.heat_w)
        })
        .number(
            "films_touch_share_0_to_1",
            "share, 0 to 1",
            "share of the inflated cover in which its films touch",
            |row| row.point.touching_share,
        )
        .number(
            "inner_film_wet_share_0_to_1",
            "share, 0 to 1",
            "share of the innermost films, house side, that is wet",
            |row| row.point.wet.film,
        )
        .number(
            "gap_wet_share_0_to_1",
            "share, 0 to 1",
            "share of the faces that look into an inflated gap from above that is wet",
            |row| row.point.wet.gap,
        )
        .finish()
}

fn keys<'a, 'b>(builder: Builder<'a, 'b>) -> Builder<'a, 'b> {
    builder
        .whole("case_id", "number of the case", |row| {
            Some(row.of.case_id as i64)
        })
        .text("failure", "what fails", |row| Some(row.of.failure.clone()))
        .text("night", "which night", |row| Some(night_name(row.of.night)))
        .text(
            "start_month_day_hour",
            "when the failure begins, local standard time",
            |row| Some(Moment::of_hour(row.of.start_hour).date_and_hour()),
        )
        .number(
            "after_min",
            "min",
            "time since the failure began; it ends after 720 min",
            |row| row.point.after_h * 60.0,
        )
}

fn temperature<'a, 'b>(
    builder: Builder<'a, 'b>,
    name: &str,
    meaning: &str,
    value_k: fn(&CurvePoint) -> f64,
) -> Builder<'a, 'b> {
    builder
        .number(format!("{name}_degc"), "degC", meaning, move |row| {
            degc(value_k(row.point))
        })
        .number(format!("{name}_degf"), "degF", "the same", move |row| {
            degf(value_k(row.point))
        })
}

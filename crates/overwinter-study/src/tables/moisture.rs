//! Water that settled, ran off, dripped and froze, by place and month.

use std::sync::Arc;

use overwinter_engine::record::{MoistureMonth, PlaceMoisture, SeasonRecord};

use super::calendar::Span;
use super::column::{Table, TableBuilder};
use crate::case::Case;

/// A row of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct MoistureRow {
    /// Case.
    pub case_id: usize,
    /// Month or year.
    pub span: Span,
    /// Where the water is.
    pub place: Arc<str>,
    /// Area of the place.
    pub area_m2: f64,
    /// The water of the span; what is held is that at its end.
    pub water: MoistureMonth,
}

/// The rows of one case: by place, the year and then the months.
pub fn rows(case: &Case, record: &SeasonRecord) -> Vec<MoistureRow> {
    let of_place = |place: &PlaceMoisture| -> Vec<MoistureRow> {
        let name: Arc<str> = Arc::from(place.name.as_str());
        let row = |span: Span| MoistureRow {
            case_id: case.id,
            span,
            place: Arc::clone(&name),
            area_m2: place.area_m2,
            water: total(&place.months[span.months()]),
        };
        Span::all().map(row).collect()
    };
    record.moisture.iter().flat_map(of_place).collect()
}

/// The table of all rows.
pub fn table<'a>(rows: impl Iterator<Item = &'a MoistureRow>) -> Table {
    TableBuilder::new(
        "moisture",
        "a case, a place and a month (month 0: the year)",
        rows,
    )
    .whole("case_id", "number of the case", |row| {
        Some(row.case_id as i64)
    })
    .whole("month", "month, 0 for the year", |row| {
        Some(row.span.number())
    })
    .text("place", "lower face of a cover layer, or the crop", |row| {
        Some(row.place.clone())
    })
    .number("area_m2", "m2", "area of the place", |row| row.area_m2)
    .number("condensed_kg", "kg", "vapour that settled", |row| {
        row.water.condensed_kg
    })
    .number("evaporated_kg", "kg", "water that dried off", |row| {
        row.water.evaporated_kg
    })
    .number("drained_kg", "kg", "water that ran to the gutter", |row| {
        row.water.drained_kg
    })
    .number(
        "dripped_kg",
        "kg",
        "water that dripped on crop and floor",
        |row| row.water.dripped_kg,
    )
    .number("frozen_kg", "kg", "water that froze", |row| {
        row.water.frozen_kg
    })
    .number(
        "wet_h",
        "h",
        "time with more than a tenth of the face wet",
        |row| row.water.wet_h,
    )
    .number(
        "held_at_end_kg",
        "kg",
        "water on the place at the end of the span",
        |row| row.water.held_kg,
    )
    .finish()
}

fn total(months: &[MoistureMonth]) -> MoistureMonth {
    let add = |sum: MoistureMonth, month: &MoistureMonth| MoistureMonth {
        condensed_kg: sum.condensed_kg + month.condensed_kg,
        evaporated_kg: sum.evaporated_kg + month.evaporated_kg,
        drained_kg: sum.drained_kg + month.drained_kg,
        dripped_kg: sum.dripped_kg + month.dripped_kg,
        frozen_kg: sum.frozen_kg + month.frozen_kg,
        wet_h: sum.wet_h + month.wet_h,
        held_kg: month.held_kg,
    };
    months.iter().fold(MoistureMonth::default(), add)
}

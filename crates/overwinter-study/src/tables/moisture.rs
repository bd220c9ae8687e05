//! Water that settled, ran off, dripped and froze, and the light it cost, by place and month.
//!
//! After the places stand the rows of the whole house: their sums. Hours of single faces have no sum
//! and are left empty there.

use std::sync::Arc;

use overwinter_engine::record::{MoistureMonth, PlaceMoisture, SeasonRecord, Side};

use super::calendar::Span;
use super::column::{Table, TableBuilder};
use super::units::{gallons_of_water, kwh};
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
    /// Which side of the cover it is, in a word.
    pub face: &'static str,
    /// Area of the place.
    pub area_m2: f64,
    /// The water of the span; what is held is that at its end.
    pub water: MoistureMonth,
}

/// What `face` says in the rows of the whole house.
const WHOLE_HOUSE: &str = "whole house";

/// The rows of one case: by place, the year and then the months; last the whole house.
pub fn rows(case: &Case, record: &SeasonRecord) -> Vec<MoistureRow> {
    let of_place = |place: &PlaceMoisture| -> Vec<MoistureRow> {
        let name: Arc<str> = Arc::from(place.name.as_str());
        let row = |span: Span| MoistureRow {
            case_id: case.id,
            span,
            place: Arc::clone(&name),
            face: face(place.side),
            area_m2: place.area_m2,
            water: total(&place.months[span.months()]),
        };
        Span::all().map(row).collect()
    };
    let mut rows: Vec<MoistureRow> = record.moisture.iter().flat_map(of_place).collect();
    let places = rows.len();
    let name: Arc<str> = Arc::from(WHOLE_HOUSE);
    for span in Span::all() {
        let of_span = rows[..places].iter().filter(|row| row.span == span);
        let water = of_span.fold(MoistureMonth::default(), |sum, row| beside(sum, &row.water));
        rows.push(MoistureRow {
            case_id: case.id,
            span,
            place: Arc::clone(&name),
            face: WHOLE_HOUSE,
            area_m2: record.moisture.iter().map(|place| place.area_m2).sum(),
            water,
        });
    }
    rows
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
    .text(
        "place",
        "lower face of a cover layer, the crop, or the whole house (all places together)",
        |row| Some(row.place.clone()),
    )
    .text(
        "face",
        "what the face meets: house, gap (between inflated films), screen, above screen, sealed, \
         leaves; or whole house",
        |row| Some(row.face),
    )
    .number(
        "area_m2",
        "m2",
        "area of the place; of all places for the whole house",
        |row| row.area_m2,
    )
    .number("condensed_kg", "kg", "vapour that settled", |row| {
        row.water.condensed_kg
    })
    .number("evaporated_kg", "kg", "water that dried off", |row| {
        row.water.evaporated_kg
    })
    .number(
        "drained_kg",
        "kg",
        "water that ran off: to the gutter, or out of a gap by its drain holes",
        |row| row.water.drained_kg,
    )
    .number("drained_gal", "US gal", "the same in US gallons", |row| {
        gallons_of_water(row.water.drained_kg)
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
        "time with more than a tenth of the face wet; empty for the whole house",
        |row| (row.face != WHOLE_HOUSE).then_some(row.water.wet_h),
    )
    .number(
        "light_lost_to_water_kwh",
        "kWh",
        "sunlight that the wet face kept out, of what the dry cover would let in; light meets the \
         outermost face first",
        |row| kwh(row.water.light_lost_j),
    )
    .number(
        "kept_in_gap_kg",
        "kg",
        "largest amount of water that stood at the low edge of a gap without drain holes",
        |row| row.water.kept_in_gap_kg,
    )
    .number(
        "kept_in_gap_gal",
        "US gal",
        "the same in US gallons",
        |row| gallons_of_water(row.water.kept_in_gap_kg),
    )
    .number(
        "held_at_end_kg",
        "kg",
        "water on the place at the end of the span, what stands in its gap included",
        |row| row.water.held_kg,
    )
    .finish()
}

/// The water of one place over months: sums, the largest of what is an extreme, the last of what
/// is a state.
fn total(months: &[MoistureMonth]) -> MoistureMonth {
    let add = |sum: MoistureMonth, month: &MoistureMonth| MoistureMonth {
        condensed_kg: sum.condensed_kg + month.condensed_kg,
        evaporated_kg: sum.evaporated_kg + month.evaporated_kg,
        drained_kg: sum.drained_kg + month.drained_kg,
        dripped_kg: sum.dripped_kg + month.dripped_kg,
        frozen_kg: sum.frozen_kg + month.frozen_kg,
        wet_h: sum.wet_h + month.wet_h,
        held_kg: month.held_kg,
        kept_in_gap_kg: sum.kept_in_gap_kg.max(month.kept_in_gap_kg),
        light_lost_j: sum.light_lost_j + month.light_lost_j,
    };
    months.iter().fold(MoistureMonth::default(), add)
}

/// The water of two places in one span together. Hours of different faces have no sum.
fn beside(sum: MoistureMonth, place: &MoistureMonth) -> MoistureMonth {
    MoistureMonth {
        condensed_kg: sum.condensed_kg + place.condensed_kg,
        evaporated_kg: sum.evaporated_kg + place.evaporated_kg,
        drained_kg: sum.drained_kg + place.drained_kg,
        dripped_kg: sum.dripped_kg + place.dripped_kg,
        frozen_kg: sum.frozen_kg + place.frozen_kg,
        wet_h: 0.0,
        held_kg: sum.held_kg + place.held_kg,
        kept_in_gap_kg: sum.kept_in_gap_kg + place.kept_in_gap_kg,
        light_lost_j: sum.light_lost_j + place.light_lost_j,
    }
}

fn face(side: Side) -> &'static str {
    match side {
        Side::House => "house",
        Side::Gap => "gap",
        Side::Screen => "screen",
        Side::AboveScreen => "above screen",
        Side::Sealed => "sealed",
        Side::Leaves => "leaves",
    }
}

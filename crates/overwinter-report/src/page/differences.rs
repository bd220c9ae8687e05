//! What designs differ by from what they are compared with.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use super::measure::{RANKED_BY, Spread, in_unit, printed_unit, within};
use crate::chart::Label;
use crate::chart::ranges::Ranges;
use crate::designs::Setting;
use crate::figures::{self, NOTHING};
use crate::table::Table;

/// The differences in a setting.
pub(super) fn differences(
    view: View<'_>,
    table: &Table,
    setting: &Setting,
    index: usize,
    name: &str,
) -> Markup {
    let compared = RANKED_BY.into_iter().find_map(|measure| {
        let rows = rows_of(table, setting, measure);
        Some((measure, *rows.first()?, rows))
    });
    let Some((measure, first, rows)) = compared else {
        return html! {};
    };
    let baseline = table.text("design_b", first);
    let spread = Spread::new(table, "a_less_b_", first, view.system);
    let unit = printed_unit(spread.unit);
    let all: Vec<String> = rows
        .iter()
        .filter_map(|&row| said(table, spread, row))
        .collect();
    let finding = format!(
        "Beside {baseline}, by {measure} of the year: {}.",
        all.join("; ")
    );
    let title = format!("Difference from {baseline}: {measure} of the year, {unit}");
    let drawing = Ranges {
        label: Label {
            id: format!("differences-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        title: unit.to_owned(),
        rows: rows
            .iter()
            .filter_map(|&row| spread.chart_row(table.text("design_a", row), row))
            .collect(),
        limits: vec![(0.0, baseline.to_owned())],
    };
    let head: &[&str] = if view.run.is_sampled() {
        &[
            "Design",
            "difference, median",
            "90 of 100 draws",
            "better in",
        ]
    } else {
        &["Design", "difference"]
    };
    let head = head.iter().map(|&name| name.to_owned()).collect();
    let mut numbers = DataTable::new(title.clone(), head);
    for &row in &rows {
        let mut cells = vec![spread.median(row)];
        if view.run.is_sampled() {
            let share = table.number("a_better_share", row);
            cells.push(spread.range(row).unwrap_or_else(|| NOTHING.to_owned()));
            cells.push(share.map_or_else(|| NOTHING.to_owned(), figures::of_hundred));
        }
        numbers.push(table.text("design_a", row), cells);
    }
    html! {
        h3 { "Difference from " (baseline) (name) }
        (block::chart(&title, &finding, &drawing.draw(), &numbers))
    }
}

/// Rows that compare designs shown with the first they are compared with, by a measure.
pub(super) fn rows_of(table: &Table, setting: &Setting, measure: &str) -> Vec<usize> {
    let is_shown = |column: &str, row| {
        let id = table.id(column, row);
        setting
            .designs
            .iter()
            .any(|design| Some(design.first_case_id) == id)
    };
    let rows = table.select(|row| {
        table.text("measure", row) == measure
            && is_shown("a_first_case_id", row)
            && is_shown("b_first_case_id", row)
    });
    let baseline = rows
        .first()
        .and_then(|&row| table.id("b_first_case_id", row));
    let is_it = |row: &usize| table.id("b_first_case_id", *row) == baseline;
    rows.into_iter().filter(is_it).collect()
}

/// A difference in words.
fn said(table: &Table, spread: Spread<'_>, row: usize) -> Option<String> {
    let median = spread.number("median", row)?;
    let side = if median < 0.0 { "less" } else { "more" };
    let range = spread.ends(row).map_or_else(String::new, |ends| {
        format!(" ({} in 90 of 100 draws)", within(ends, spread.unit))
    });
    let share = table.number("a_better_share", row);
    let sure = share.map_or_else(String::new, |share| {
        format!(", better in {} draws", figures::of_hundred(share))
    });
    Some(format!(
        "{} {} {} {side}{range}{sure}",
        table.text("design_a", row),
        in_unit(Some(median.abs()), spread.unit),
        printed_unit(spread.unit),
    ))
}

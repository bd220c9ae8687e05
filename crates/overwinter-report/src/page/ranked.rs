//! The designs of a setting in their order.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use super::measure::{RANKED_BY, Spread, printed_unit, row_of};
use crate::chart::Label;
use crate::chart::ranges::Ranges;
use crate::designs::{Design, Setting};
use crate::figures::{self, NOTHING};
use crate::plain_text::capital;
use crate::table::Table;

/// Measures of the table beside it.
const MEASURES: [&str; 8] = [
    "fuel and electricity cost",
    "fuel",
    "fuel energy",
    "electricity",
    "peak heat",
    "lowest leaf",
    "lowest leaf when failing",
    "nights lost when failing",
];

/// The ranking with its ranges, and other measures beside it.
pub(super) fn ranked(view: View<'_>, table: &Table, setting: &Setting, index: usize) -> Markup {
    let Some(measure) = ranked_by(table, setting) else {
        return block::gap(
            "ranking",
            "the ranking of these designs",
            "The table has no row of them.",
        );
    };
    let rows: Vec<(&Design, usize)> = setting
        .designs
        .iter()
        .filter_map(|design| Some((design, row_of(table, design, measure)?)))
        .collect();
    let Some(&(_, first)) = rows.first() else {
        return html! {};
    };
    let spread = Spread::new(table, "", first, view.system);
    let unit = printed_unit(spread.unit);
    let finding = first_place(table, &rows, spread, measure);
    let title = format!("{} of the year, {unit}", capital(measure));
    let drawing = Ranges {
        label: Label {
            id: format!("ranking-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        title: unit.to_owned(),
        rows: rows
            .iter()
            .filter_map(|(design, row)| spread.chart_row(&design.label, *row))
            .collect(),
        limits: Vec::new(),
    };
    let numbers = ranking_table(view, table, &rows, spread, &title);
    html! {
        (block::chart(&title, &finding, &drawing.draw(), &numbers))
        (measures(view, table, setting))
    }
}

fn ranking_table(
    view: View<'_>,
    table: &Table,
    rows: &[(&Design, usize)],
    spread: Spread<'_>,
    title: &str,
) -> DataTable {
    let head: &[&str] = if view.run.is_sampled() {
        &[
            "Design",
            "median",
            "90 of 100 draws",
            "place",
            "is the best in",
        ]
    } else {
        &["Design", "value", "place"]
    };
    let mut numbers = DataTable::new(title, head.iter().map(|&name| name.to_owned()).collect());
    for (design, row) in rows {
        let place = figures::cell(table.number("place_by_median", *row));
        let mut cells = vec![spread.median(*row), place];
        if view.run.is_sampled() {
            let share = table.number("best_share", *row);
            cells.insert(1, spread.range(*row).unwrap_or_else(|| NOTHING.to_owned()));
            cells.push(share.map_or_else(|| NOTHING.to_owned(), figures::of_hundred));
        }
        numbers.push(design.label.clone(), cells);
    }
    numbers
}

/// The best design in words.
fn first_place(
    table: &Table,
    rows: &[(&Design, usize)],
    spread: Spread<'_>,
    measure: &str,
) -> String {
    let mut places = rows.iter();
    let best = places.find(|(_, row)| table.id("place_by_median", *row) == Some(1));
    let Some(&(design, row)) = best else {
        return "The table does not say which design comes first.".to_owned();
    };
    let range = spread.range(row);
    let range = range.map_or_else(String::new, |range| format!(", {range} in 90 of 100 draws"));
    let share = table.number("best_share", row);
    let sure = share.map_or_else(String::new, |share| {
        format!(" It is the best in {} draws.", figures::of_hundred(share))
    });
    format!(
        "By {measure}, {} comes first: {} {}{range}.{sure}",
        design.label,
        spread.median(row),
        printed_unit(spread.unit),
    )
}

/// The measure a setting is ranked by, as the table has it.
fn ranked_by(table: &Table, setting: &Setting) -> Option<&'static str> {
    let mut measures = RANKED_BY.into_iter();
    measures.find(|measure| {
        setting
            .designs
            .iter()
            .any(|d| row_of(table, d, measure).is_some())
    })
}

/// All that matters of each design, in both systems of units.
fn measures(view: View<'_>, table: &Table, setting: &Setting) -> Markup {
    let first = if view.run.is_sampled() {
        "Median (90 of 100 draws)"
    } else {
        "Measure"
    };
    let mut head = vec![first.to_owned()];
    head.extend(setting.designs.iter().map(|design| design.label.clone()));
    let mut numbers = DataTable::new("The designs by other measures", head);
    let systems = [view.system, figures::other(view.system)];
    for measure in MEASURES {
        let rows: Vec<Option<usize>> = setting
            .designs
            .iter()
            .map(|design| row_of(table, design, measure))
            .collect();
        let Some(any) = rows.iter().flatten().next().copied() else {
            continue;
        };
        let spreads = systems.map(|system| Spread::new(table, "", any, system));
        let detail = match table.text("detail", any) {
            "" => String::new(),
            detail => format!(" ({detail})"),
        };
        for (place, spread) in spreads.into_iter().enumerate() {
            if place > 0 && spread.unit == spreads[0].unit {
                continue;
            }
            let cell = |row: &Option<usize>| {
                row.map_or_else(|| NOTHING.to_owned(), |row| spread.both(row))
            };
            let name = format!("{measure}{detail}, {}", printed_unit(spread.unit));
            numbers.push(name, rows.iter().map(cell).collect());
        }
    }
    numbers.draw()
}

//! The designs of a setting in their order.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use super::measure::{RANKED_BY, columns, in_unit, printed_unit, row_of};
use crate::chart::Label;
use crate::chart::ranges::{Ranges, Row};
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
    let (end, unit_column) = columns(view.system);
    let rows: Vec<(&Design, usize)> = setting
        .designs
        .iter()
        .filter_map(|design| Some((design, row_of(table, design, measure)?)))
        .collect();
    let unit = rows
        .first()
        .map_or("", |(_, row)| table.text(unit_column, *row));
    let number = |name: &str, row| table.number(&format!("{name}{end}"), row);
    let range = |row| {
        let (low, high) = (number("p05", row)?, number("p95", row)?);
        Some(format!(
            "{} to {}",
            in_unit(Some(low), unit),
            in_unit(Some(high), unit)
        ))
    };
    let best = rows
        .iter()
        .find(|(_, row)| table.id("place_by_median", *row) == Some(1));
    let finding = best.map_or_else(String::new, |(design, row)| {
        let sure = table
            .number("best_share", *row)
            .map_or_else(String::new, |share| {
                format!(" It is the best in {} draws.", figures::of_hundred(share))
            });
        format!(
            "By {measure}, {} comes first: {} {}{}.{sure}",
            design.label,
            in_unit(number("median", *row), unit),
            printed_unit(unit),
            range(*row).map_or_else(String::new, |range| format!(", {range} in 90 of 100 draws")),
        )
    });
    let title = format!("{} of the year, {}", capital(measure), printed_unit(unit));
    let row = |(design, row): &(&Design, usize)| {
        let median = number("median", *row)?;
        let range_text = range(*row).map_or_else(String::new, |range| format!(" ({range})"));
        Some(Row {
            name: design.label.clone(),
            printed: format!("{}{range_text}", in_unit(Some(median), unit)),
            range: number("p05", *row).zip(number("p95", *row)),
            marks: vec![(median, 0)],
        })
    };
    let drawing = Ranges {
        label: Label {
            id: format!("ranking-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        title: printed_unit(unit).to_owned(),
        rows: rows.iter().filter_map(row).collect(),
        limits: Vec::new(),
    };
    let head = [
        "Design",
        "median",
        "90 of 100 draws",
        "place",
        "is the best in",
    ];
    let mut numbers = DataTable::new(title.clone(), head.map(str::to_owned).to_vec());
    for (design, row) in &rows {
        let share = table.number("best_share", *row);
        let cells = vec![
            in_unit(number("median", *row), unit),
            range(*row).unwrap_or_else(|| NOTHING.to_owned()),
            figures::cell(table.number("place_by_median", *row)),
            share.map_or_else(|| NOTHING.to_owned(), figures::of_hundred),
        ];
        numbers.push(design.label.clone(), cells);
    }
    html! {
        (block::chart(&title, &finding, &drawing.draw(), &numbers))
        (measures(view, table, setting))
    }
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
    let mut head = vec!["Middle of the draws (90 of 100)".to_owned()];
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
        let units = systems.map(|system| table.text(columns(system).1, any));
        let detail = table.text("detail", any);
        let detail = if detail.is_empty() {
            String::new()
        } else {
            format!(" ({detail})")
        };
        for (system, unit) in systems.into_iter().zip(units) {
            if system != view.system && units[0] == units[1] {
                continue;
            }
            let (end, _) = columns(system);
            let cell = |row: &Option<usize>| {
                let number = |name: &str| table.number(&format!("{name}{end}"), (*row)?);
                let range =
                    number("p05")
                        .zip(number("p95"))
                        .map_or_else(String::new, |(low, high)| {
                            format!(
                                " ({} to {})",
                                in_unit(Some(low), unit),
                                in_unit(Some(high), unit)
                            )
                        });
                format!("{}{range}", in_unit(number("median"), unit))
            };
            let name = format!("{measure}{detail}, {}", printed_unit(unit));
            numbers.push(name, rows.iter().map(cell).collect());
        }
    }
    numbers.draw()
}

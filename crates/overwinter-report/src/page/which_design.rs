//! Which design is best, by how much, and how sure that is.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use super::fuel::capital;
use crate::chart::Label;
use crate::chart::ranges::{Ranges, Row};
use crate::designs::{Design, Setting};
use crate::figures::{self, NOTHING};
use crate::table::Table;
use overwinter_units::{System, tenth};

/// The measure designs are ranked by, the first of these that the table has.
const RANKED_BY: [&str; 4] = [
    "fuel and electricity cost",
    "fuel cost",
    "fuel energy",
    "lowest leaf",
];
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

/// The section.
pub(super) fn section(view: View<'_>) -> Markup {
    html! {
        section aria-labelledby="designs" {
            h2 #designs { "Which design" }
            @if view.run.only_design().is_some() {
                p { "The run holds one design in one climate, so there is nothing to rank. Alternatives are listed \
                    as axes in the scenario." }
            } @else {
                @match view.run.table("ranking") {
                    None => (block::gap("ranking", "the ranking of the designs with its ranges", "A run with [compare] \
                        or several designs writes it.")),
                    Some(ranking) => {
                        (block::note(range_words(view)))
                        @for (index, setting, name) in view.settings() {
                            h3 { "Ranking" (name) }
                            (ranked(view, ranking, setting, index))
                        }
                    }
                }
                @match view.run.table("compare") {
                    None => (block::gap("compare", "the difference of each design from the baseline", "A run with \
                        [compare] or several designs writes it.")),
                    Some(compare) => @for (index, setting, name) in view.settings() {
                        (differences(view, compare, setting, index, &name))
                    },
                }
                (worst_years(view))
            }
        }
    }
}

/// What a range means, in words.
fn range_words(view: View<'_>) -> &'static str {
    if view.run.is_sampled() {
        "A range holds 90 of 100 draws: 5 of 100 lie below it and 5 above. A draw is one guess at all inputs that \
         nobody has measured, within their stated spreads; every design gets the same draws. The range does not \
         cover what was not drawn, nor what the model leaves out."
    } else {
        "Each design was computed once, so there are no ranges here: the figures say nothing of how sure they are. \
         [sampling] in the scenario draws the inputs that nobody has measured."
    }
}

/// A unit of a table as it is printed.
fn printed_unit(unit: &str) -> &str {
    match unit {
        "degC" => "°C",
        "degF" => "°F",
        other => other,
    }
}

fn in_unit(value: Option<f64>, unit: &str) -> String {
    match (value, unit) {
        (None, _) => NOTHING.to_owned(),
        (Some(value), "degC" | "degF" | "K") => tenth(value).replace('-', "−"),
        (Some(value), _) => figures::figures(value),
    }
}

/// Median and range of a design by a measure, as printed, with the unit, in the first units.
pub(super) fn median_and_range(
    view: View<'_>,
    design: &Design,
    measure: &str,
) -> Option<(String, String)> {
    let table = view.run.table("ranking")?;
    let row = row_of(table, design, measure)?;
    let (end, unit_column) = columns(view.system);
    let unit = table.text(unit_column, row);
    let number = |name: &str| table.number(&format!("{name}{end}"), row);
    let range = number("p05")
        .zip(number("p95"))
        .map_or_else(String::new, |(low, high)| {
            format!(
                " ({} to {})",
                in_unit(Some(low), unit),
                in_unit(Some(high), unit)
            )
        });
    let printed = format!("{}{range}", in_unit(Some(number("median")?), unit));
    Some((printed, printed_unit(unit).to_owned()))
}

/// Ending of the columns and column of the unit in a system.
fn columns(system: System) -> (&'static str, &'static str) {
    match system {
        System::Us => ("_us", "us_unit"),
        System::Si => ("", "unit"),
    }
}

/// A range of differences in words: `200 to 500 less`, or from less to more.
fn within((low, high): (f64, f64), unit: &str) -> String {
    let size = |value: f64| in_unit(Some(value.abs()), unit);
    match (low < 0.0, high < 0.0) {
        (true, true) => format!("{} to {} less", size(high), size(low)),
        (false, false) => format!("{} to {} more", size(low), size(high)),
        _ => format!("{} less to {} more", size(low), size(high)),
    }
}

pub(super) fn row_of(table: &Table, design: &Design, measure: &str) -> Option<usize> {
    table.rows().find(|&row| {
        table.id("first_case_id", row) == Some(design.first_case_id)
            && table.text("measure", row) == measure
    })
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

fn ranked(view: View<'_>, table: &Table, setting: &Setting, index: usize) -> Markup {
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

fn differences(
    view: View<'_>,
    table: &Table,
    setting: &Setting,
    index: usize,
    name: &str,
) -> Markup {
    let is_shown = |id: Option<u64>| setting.designs.iter().any(|d| Some(d.first_case_id) == id);
    let of_setting = table.select(|row| {
        is_shown(table.id("a_first_case_id", row)) && is_shown(table.id("b_first_case_id", row))
    });
    let measure = RANKED_BY.into_iter().find(|measure| {
        of_setting
            .iter()
            .any(|&row| table.text("measure", row) == *measure)
    });
    let Some(measure) = measure else {
        return html! {};
    };
    let of_measure: Vec<usize> = of_setting
        .into_iter()
        .filter(|&row| table.text("measure", row) == measure)
        .collect();
    let baseline = of_measure
        .first()
        .map_or("", |&row| table.text("design_b", row));
    let rows: Vec<usize> = of_measure
        .iter()
        .copied()
        .filter(|&row| table.text("design_b", row) == baseline)
        .collect();
    let (end, unit_column) = columns(view.system);
    let unit = rows.first().map_or("", |&row| table.text(unit_column, row));
    let number = |name: &str, row| table.number(&format!("a_less_b_{name}{end}"), row);
    let range = |row| {
        let (low, high) = (number("p05", row)?, number("p95", row)?);
        Some(format!(
            "{} to {}",
            in_unit(Some(low), unit),
            in_unit(Some(high), unit)
        ))
    };
    let said = |&row: &usize| {
        let median = number("median", row)?;
        let side = if median < 0.0 { "less" } else { "more" };
        let (low, high) = (number("p05", row), number("p95", row));
        let range = low.zip(high).map_or_else(String::new, |ends| {
            format!(" ({} in 90 of 100 draws)", within(ends, unit))
        });
        let sure = table
            .number("a_better_share", row)
            .map_or_else(String::new, |share| {
                format!(", better in {} draws", figures::of_hundred(share))
            });
        Some(format!(
            "{} {} {} {side}{range}{sure}",
            table.text("design_a", row),
            in_unit(Some(median.abs()), unit),
            printed_unit(unit),
        ))
    };
    let all: Vec<String> = rows.iter().filter_map(said).collect();
    let finding = format!(
        "Beside {baseline}, by {measure} of the year: {}.",
        all.join("; ")
    );
    let title = format!(
        "Difference from {baseline}: {measure} of the year, {}",
        printed_unit(unit)
    );
    let row = |&row: &usize| {
        let median = number("median", row)?;
        let range_text = range(row).map_or_else(String::new, |range| format!(" ({range})"));
        Some(Row {
            name: table.text("design_a", row).to_owned(),
            printed: format!("{}{range_text}", in_unit(Some(median), unit)),
            range: number("p05", row).zip(number("p95", row)),
            marks: vec![(median, 0)],
        })
    };
    let drawing = Ranges {
        label: Label {
            id: format!("differences-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        title: printed_unit(unit).to_owned(),
        rows: rows.iter().filter_map(row).collect(),
        limits: vec![(0.0, baseline.to_owned())],
    };
    let head = [
        "Design",
        "difference, median",
        "90 of 100 draws",
        "better in",
    ];
    let mut numbers = DataTable::new(title.clone(), head.map(str::to_owned).to_vec());
    for &row in &rows {
        let share = table.number("a_better_share", row);
        let cells = vec![
            in_unit(number("median", row), unit),
            range(row).unwrap_or_else(|| NOTHING.to_owned()),
            share.map_or_else(|| NOTHING.to_owned(), figures::of_hundred),
        ];
        numbers.push(table.text("design_a", row), cells);
    }
    html! {
        h3 { "Difference from " (baseline) (name) }
        (block::chart(&title, &finding, &drawing.draw(), &numbers))
    }
}

/// The worst of several weather years, where there are several.
fn worst_years(view: View<'_>) -> Markup {
    match view.run.table("worst_years") {
        None => html! {},
        Some(table) => html! {
            h3 { "The worst of several years" }
            (super::money::as_it_is(table, "Worst and median year of each design and limit"))
        },
    }
}

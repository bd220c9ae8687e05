//! The course of the coldest night, where every hour is known.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use crate::chart::Label;
use crate::chart::lines::{Line, Lines};
use crate::designs::Setting;
use crate::facts;
use crate::figures::{self, Quantity};
use crate::plain_text::capital;
use crate::table::Table;

/// Hours before and after the coldest one.
const AROUND_H: u64 = 12;

/// What is drawn, with its column.
const COLUMNS: [(&str, &str); 3] = [
    ("house air", "air_degc"),
    ("top leaf, lowest of the hour", "top_leaf_lowest_degc"),
    ("outdoor air", "outdoor_air_degc"),
];

/// Air, leaf and outdoors around the coldest hour of the first design.
pub(super) fn course(view: View<'_>, table: &Table, setting: &Setting, index: usize) -> Markup {
    let Some(design) = setting.designs.first() else {
        return html! {};
    };
    let temperature = Quantity::Temperature;
    let rows = table.of_case(design.case_id);
    let Some((hour, part, degc)) = coldest(table, &rows) else {
        return block::gap(
            "hourly",
            "the course of the coldest night",
            "The table has no temperatures of it.",
        );
    };
    let near = near(table, &rows, hour);
    let lows = facts::lows(view.run, design.case_id);
    let when = lows.map(|lows| match part {
        "top leaf" => lows.leaf_when,
        _ => lows.air_when,
    });
    let when = when.filter(|when| !when.is_empty());
    let when = when.map_or_else(String::new, |when| {
        format!(", from {},", figures::date(&when))
    });
    let finding = format!(
        "{}: in the coldest hour{when} the {part} falls to {}.",
        capital(&design.label),
        temperature.pair(degc, view.system)
    );
    let unit = temperature.unit(view.system);
    let title = format!("The day around the coldest hour, {}, {unit}", design.label);
    let line = |(name, column): &(&str, &str)| {
        let point = |&(after, row): &(f64, usize)| {
            Some((
                after,
                temperature.value(table.number(column, row)?, view.system),
            ))
        };
        Line {
            name: (*name).to_owned(),
            points: near.iter().filter_map(point).collect(),
        }
    };
    let drawing = Lines {
        label: Label {
            id: format!("course-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        across: [-12.0, -6.0, 0.0, 6.0, 12.0]
            .map(|h| (h, figures::figures(h)))
            .to_vec(),
        across_title: "hours before and after the coldest".to_owned(),
        up_title: unit.to_owned(),
        from_zero: false,
        lines: COLUMNS
            .iter()
            .map(line)
            .filter(|line| !line.points.is_empty())
            .collect(),
        limits: Vec::new(),
    };
    let units = temperature.units(view.system);
    let mut head = vec!["Hours from the coldest".to_owned()];
    head.extend(COLUMNS.iter().map(|(name, _)| format!("{name}, {units}")));
    let mut numbers = DataTable::new(title.clone(), head);
    for &(after, row) in near.iter().filter(|(after, _)| (after % 2.0).abs() < 0.5) {
        let cell = |column| temperature.cell(table.number(column, row), view.system);
        let cells = COLUMNS.iter().map(|(_, column)| cell(column)).collect();
        numbers.push(figures::figures(after), cells);
    }
    block::chart(&title, &finding, &drawing.draw(), &numbers)
}

/// The coldest hour, what is coldest in it, and how cold; judged by the leaf where there is a crop.
fn coldest(table: &Table, rows: &[usize]) -> Option<(u64, &'static str, f64)> {
    let parts = [
        ("top leaf", "top_leaf_lowest_degc"),
        ("house air", "air_lowest_degc"),
    ];
    parts.into_iter().find_map(|(part, column)| {
        let low = |&row: &usize| {
            Some((
                table.id("hour_of_year", row)?,
                part,
                table.number(column, row)?,
            ))
        };
        rows.iter()
            .filter_map(low)
            .min_by(|a, b| a.2.total_cmp(&b.2))
    })
}

/// Rows of the hours around one, with the hours after it.
fn near(table: &Table, rows: &[usize], hour: u64) -> Vec<(f64, usize)> {
    let after = |&row: &usize| {
        let other = table.id("hour_of_year", row)?;
        let after = other as f64 - hour as f64;
        (other.abs_diff(hour) <= AROUND_H).then_some((after, row))
    };
    rows.iter().filter_map(after).collect()
}

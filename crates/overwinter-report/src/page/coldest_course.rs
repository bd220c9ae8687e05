//! The course of the coldest night, where every hour is known.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use crate::chart::Label;
use crate::chart::lines::{Line, Lines};
use crate::designs::Setting;
use crate::figures::{self, Quantity};
use crate::plain_text::capital;
use crate::table::Table;

/// Hours before and after the coldest one.
const AROUND_H: u64 = 12;

/// Air, leaf and outdoors around the coldest hour of the first design.
pub(super) fn course(view: View<'_>, table: &Table, setting: &Setting, index: usize) -> Markup {
    let Some(design) = setting.designs.first() else {
        return html! {};
    };
    let temperature = Quantity::Temperature;
    let rows = table.of_case(design.case_id);
    let low = |row: usize| {
        table
            .number("top_leaf_lowest_degc", row)
            .or(table.number("air_lowest_degc", row))
    };
    let coldest = rows
        .iter()
        .filter_map(|&row| Some((table.id("hour_of_year", row)?, low(row)?)))
        .min_by(|a, b| a.1.total_cmp(&b.1));
    let Some((hour, degc)) = coldest else {
        return block::gap(
            "hourly",
            "the course of the coldest night",
            "The table has no temperatures of it.",
        );
    };
    let near = |row: &&usize| {
        table
            .id("hour_of_year", **row)
            .is_some_and(|other| other.abs_diff(hour) <= AROUND_H)
    };
    let near: Vec<usize> = rows.iter().filter(near).copied().collect();
    let after = |row| {
        table
            .number("hour_of_year", row)
            .map_or(f64::NAN, |other| other - hour as f64)
    };
    let columns = [
        ("house air", "air_degc"),
        ("top leaf, lowest of the hour", "top_leaf_lowest_degc"),
        ("outdoor air", "outdoor_air_degc"),
    ];
    let finding = format!(
        "{}: in the coldest hour the top leaf falls to {}.",
        capital(&design.label),
        temperature.pair(degc, view.system)
    );
    let unit = temperature.unit(view.system);
    let title = format!("The day around the coldest hour, {}, {unit}", design.label);
    let line = |(name, column): &(&str, &str)| Line {
        name: (*name).to_owned(),
        points: near
            .iter()
            .filter_map(|&row| {
                let degc = table.number(column, row)?;
                Some((after(row), temperature.value(degc, view.system)))
            })
            .collect(),
    };
    let drawing = Lines {
        label: Label {
            id: format!("course-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        across: [-12, -6, 0, 6, 12]
            .map(|h: i32| (f64::from(h), h.to_string().replace('-', "−")))
            .to_vec(),
        across_title: "hours before and after the coldest".to_owned(),
        up_title: unit.to_owned(),
        from_zero: false,
        lines: columns.iter().map(line).collect(),
        limits: Vec::new(),
    };
    let mut head = vec!["Hours from the coldest".to_owned()];
    head.extend(
        columns
            .iter()
            .map(|(name, _)| format!("{name}, {}", temperature.units(view.system))),
    );
    let mut numbers = DataTable::new(title.clone(), head);
    for &row in near.iter().step_by(2) {
        let cells = columns
            .iter()
            .map(|(_, column)| temperature.cell(table.number(column, row), view.system));
        numbers.push(figures::figures(after(row)), cells.collect());
    }
    block::chart(&title, &finding, &drawing.draw(), &numbers)
}

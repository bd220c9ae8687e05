//! What designs differ by from what they are compared with.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use super::measure::{RANKED_BY, columns, in_unit, printed_unit, within};
use crate::chart::Label;
use crate::chart::ranges::{Ranges, Row};
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

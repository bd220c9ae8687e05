//! What a result depends on most, among the inputs that were drawn.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use crate::chart::Label;
use crate::chart::bars::{Bar, Bars};
use crate::designs::Setting;
use crate::figures::{self, NOTHING};
use crate::plain_text::capital;
use crate::table::Table;
use overwinter_units::{System, significant};

/// Measures that are told of, the first that the table has.
const MEASURES: [&str; 3] = ["fuel and electricity cost", "fuel cost", "fuel energy"];

/// The section.
pub(super) fn section(view: View<'_>) -> Markup {
    match view.run.table("drivers") {
        None => block::gap(
            "drivers",
            "which input the result depends on most",
            "It needs inputs that are drawn at random: [sampling] in the scenario, with at least 10 draws.",
        ),
        Some(table) => html! {
            p { "An input swings the result by the difference between the third of the draws in which it is highest and \
                the third in which it is lowest, middle to middle. The rank correlation says how closely the result \
                follows the input: 1 or −1 exactly, 0 not at all. \"By chance\" marks a link so weak that draws \
                without any link would show it too." }
            @for (index, setting, name) in view.settings() { (of_setting(view, table, setting, index, &name)) }
        },
    }
}

fn of_setting(
    view: View<'_>,
    table: &Table,
    setting: &Setting,
    index: usize,
    name: &str,
) -> Markup {
    let of = |measure: &str, less: bool| {
        setting.designs.iter().rev().find_map(|design| {
            let rows = table.select(|row| {
                table.id("first_case_id", row) == Some(design.first_case_id)
                    && table.text("measure", row) == measure
                    && table.id("less_first_case_id", row).is_some() == less
            });
            (!rows.is_empty()).then_some((design.label.as_str(), rows))
        })
    };
    let measure = MEASURES
        .into_iter()
        .find(|measure| of(measure, false).is_some());
    let Some(measure) = measure else {
        return html! {};
    };
    html! {
        @if let Some((design, rows)) = of(measure, false) {
            h4 { (capital(measure)) ": " (design) (name) }
            (draw(view, table, &rows, &format!("drivers-{index}"), &format!("{measure} of the year, {design}")))
        }
        @if let Some((design, rows)) = of(measure, true) {
            @let less = rows.first().map_or("", |&row| table.text("less_design", row));
            h4 { "Difference: " (design) " less " (less) (name) }
            (draw(view, table, &rows, &format!("drivers-difference-{index}"),
                &format!("{measure} of the year, {design} less {less}")))
        }
    }
}

fn draw(view: View<'_>, table: &Table, rows: &[usize], id: &str, of: &str) -> Markup {
    let (swing, unit_column) = match view.system {
        System::Us => ("swing_us", "us_unit"),
        System::Si => ("swing", "unit"),
    };
    let unit = rows.first().map_or("", |&row| table.text(unit_column, row));
    let title = format!("How much each input swings it: {of}, {unit}");
    let bars: Vec<Bar> = rows
        .iter()
        .filter_map(|&row| {
            let value = table.number(swing, row)?;
            Some(Bar {
                name: table.text("input", row).to_owned(),
                value,
                printed: figures::figures(value),
            })
        })
        .collect();
    let followed = rows.iter().find(|&&row| table.id("place", row) == Some(1));
    let finding = followed.map_or_else(
        || "The table does not say which input comes first.".to_owned(),
        |&row| {
            let swing = table.number(swing, row);
            let side = if swing.is_some_and(|swing| swing < 0.0) { "less" } else { "more" };
            format!(
                "It follows the input \"{}\" most closely: where that is high it is {} {unit} {side} than where \
                 that is low.",
                table.text("input", row),
                figures::cell(swing.map(f64::abs))
            )
        },
    );
    let drawing = Bars {
        label: Label {
            id: id.to_owned(),
            title: title.clone(),
            finding: finding.clone(),
        },
        title: unit.to_owned(),
        bars,
    };
    let head = vec![
        "Input".to_owned(),
        format!("swing, {unit}"),
        "rank correlation, −1 to 1".to_owned(),
        "link".to_owned(),
    ];
    let mut numbers = DataTable::new(title.clone(), head);
    for &row in rows {
        let correlation = table.number("rank_correlation", row);
        let correlation = correlation.map_or_else(
            || NOTHING.to_owned(),
            |value| significant(value, 2).replace('-', "−"),
        );
        let link = if table.text("above_chance", row) == "yes" {
            "clear"
        } else {
            "by chance"
        };
        let cells = vec![
            figures::cell(table.number(swing, row)),
            correlation,
            link.to_owned(),
        ];
        numbers.push(table.text("input", row), cells);
    }
    block::chart(&title, &finding, &drawing.draw(), &numbers)
}

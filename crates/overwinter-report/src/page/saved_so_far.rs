//! What each upgrade has saved so far, year by year, less what was paid more for it.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use crate::chart::Label;
use crate::chart::lines::{Line, Lines};
use crate::designs::Design;
use crate::figures;
use crate::savings::Savings;
use crate::table::Table;

/// Years up to which every one stands in the table and at the axis.
const MOST_YEARS: f64 = 12.0;
/// What was saved so far, less what was paid more, by the end of each year.
pub(super) fn course(
    view: View<'_>,
    savings: Savings<'_>,
    designs: &[&Design],
    index: usize,
) -> Markup {
    let Some(flow) = view.run.table("cash_flow") else {
        return block::gap(
            "cash_flow",
            "the balance of each upgrade, year by year",
            "A run with [money] and several designs writes it.",
        );
    };
    let rows: Vec<(&Design, Vec<(f64, f64)>)> = designs
        .iter()
        .map(|design| (*design, balance(view, flow, design)))
        .filter(|(_, points)| !points.is_empty())
        .collect();
    let Some(years) = rows
        .iter()
        .flat_map(|(_, points)| points)
        .map(|point| point.0)
        .reduce(f64::max)
    else {
        return block::gap(
            "cash_flow",
            "the balance of these designs",
            "The table has no row of them.",
        );
    };
    let against = savings.against(rows[0].0);
    let currency = flow
        .rows()
        .next()
        .map_or("", |row| flow.text("currency", row));
    let finding = finding(&rows, against, currency, years);
    let title =
        format!("Balance of each upgrade against {against} by the end of each year, {currency}");
    let told: Vec<f64> = ticks(years);
    let drawing = Lines {
        label: Label {
            id: format!("balance-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        across: told
            .iter()
            .map(|&year| (year, figures::figures(year)))
            .collect(),
        across_title: "years since the day of buying".to_owned(),
        up_title: currency.to_owned(),
        from_zero: true,
        lines: rows
            .iter()
            .map(|(design, points)| Line {
                name: design.label.clone(),
                points: points.clone(),
            })
            .collect(),
        limits: vec![(0.0, format!("{against} (even)"))],
    };
    let mut head = vec!["Year".to_owned()];
    head.extend(rows.iter().map(|(design, _)| design.label.clone()));
    let mut table = DataTable::new(title.clone(), head);
    for year in told {
        let at = |points: &[(f64, f64)]| {
            let point = points.iter().find(|point| (point.0 - year).abs() < 0.5);
            figures::cell(point.map(|point| point.1))
        };
        table.push(
            figures::figures(year),
            rows.iter().map(|(_, points)| at(points)).collect(),
        );
    }
    let middle = "Of many draws the line is that of the draw whose net saving is in the middle.";
    let without = "The balance is without interest and without what the parts are still worth at the end, so that \
        it is not the net saving.";
    html! {
        (block::chart(&title, &finding, &drawing.draw(), &table))
        (block::note(without))
        @if view.run.is_sampled() { (block::note(middle)) }
    }
}

/// Years and balance of a design.
fn balance(view: View<'_>, flow: &Table, design: &Design) -> Vec<(f64, f64)> {
    let point = |row: usize| {
        let so_far = flow.number("saved_so_far_in_currency", row)?;
        Some((flow.number("year", row)?, so_far))
    };
    flow_rows(view, flow, design)
        .into_iter()
        .filter_map(point)
        .collect()
}

/// Rows of `cash_flow` of a design; the table has one of its draws.
pub(super) fn flow_rows(view: View<'_>, flow: &Table, design: &Design) -> Vec<usize> {
    let draws = view.run.manifest().draws.max(1);
    let cases = design.first_case_id..design.first_case_id.saturating_add(draws);
    flow.select(|row| {
        flow.id("case_id", row)
            .is_some_and(|id| cases.contains(&id))
    })
}

/// The years told of: all of a short study, every fifth and the last of a long one.
fn ticks(years: f64) -> Vec<f64> {
    let every = if years <= MOST_YEARS { 1.0 } else { 5.0 };
    let steps = std::iter::successors(Some(0.0), |year| Some(year + every));
    let mut ticks: Vec<f64> = steps.take_while(|&year| year < years).take(100).collect();
    ticks.push(years);
    ticks
}

fn finding(
    rows: &[(&Design, Vec<(f64, f64)>)],
    against: &str,
    currency: &str,
    years: f64,
) -> String {
    let said = |(design, points): &(&Design, Vec<(f64, f64)>)| {
        let end = points.last()?.1;
        let side = if end < 0.0 { "behind" } else { "ahead of" };
        Some(format!(
            "{} is {} {currency} {side} {against}",
            design.label,
            figures::figures(end.abs())
        ))
    };
    let said: Vec<String> = rows.iter().filter_map(said).collect();
    format!(
        "After {} years {}.",
        figures::figures(years),
        said.join("; ")
    )
}

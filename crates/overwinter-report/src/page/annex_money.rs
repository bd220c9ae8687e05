//! What a grant office or a lender asks of money: baseline beside improved, eligible costs, its scores.

use maud::{Markup, html};
use overwinter_units::System;

use super::View;
use super::block::{self, DataTable};
use super::measure::{Spread, in_unit, printed_unit};
use super::payback::best_of;
use super::saved::{carriers, compared, row_of, text};
use super::saved_so_far::flow_rows;
use crate::designs::{Design, Setting};
use crate::figures::{self, NOTHING, other};
use crate::savings::{Savings, Terms, cost, cost_rows, terms};
use crate::table::Table;

/// Baseline and improved, costs for a grant, and what it would score.
pub(super) fn section(view: View<'_>) -> Markup {
    let Some(terms) = terms(view.run) else {
        return block::gap(
            "costs",
            "costs that count for a grant, energy saved for its money, and its payback",
            "They need [money] in the scenario, with the cost of each part.",
        );
    };
    html! {
        @match Savings::of(view.run) {
            None => (block::gap("savings", "baseline beside improved, and what a grant would score",
                "They need a design to compare with: list both as values of an [[axis]].")),
            Some(savings) => {
                (before_and_after(view, savings).draw())
                @if view.run.is_sampled() {
                    (block::note("Each figure is the median of its own draws: what is saved is told draw by draw and \
                        need not be the difference of the two beside it."))
                }
                (scores(view, savings).draw())
                (block::note("Payback of eligible costs divides them by the energy money saved at the prices stated, \
                    without light, upkeep, taxes and a grant. Points and bands follow a copy of the rule of a rural \
                    energy grant: ask the office for the one in force."))
            }
        }
        (eligible(view, &terms.currency).draw())
        (flows(view, &terms))
    }
}

/// Measures of all carriers together.
const ON_THE_WHOLE: [&str; 5] = [
    "energy per floor area",
    "energy cost per floor area",
    "carbon dioxide",
    "biogenic carbon dioxide",
    "greenhouse gases",
];

/// Columns of `cash_flow` with the words of the page.
const FLOW: [(&str, &str); 9] = [
    ("first_cost_in_currency", "bought, less grant"),
    ("replacements_in_currency", "bought again"),
    ("energy_in_currency", "energy"),
    ("upkeep_in_currency", "upkeep"),
    ("light_value_in_currency", "value of light"),
    ("residual_in_currency", "value left"),
    ("loan_drawn_in_currency", "loan drawn"),
    ("loan_paid_in_currency", "loan paid"),
    ("saved_in_currency", "saved"),
];

/// The payments of the best design of each setting, year by year.
fn flows(view: View<'_>, terms: &Terms) -> Markup {
    let Some(flow) = view.run.table("cash_flow") else {
        return html! {};
    };
    let savings = Savings::of(view.run);
    let best = |(_, setting, name): (usize, &Setting, String)| {
        let best = savings.and_then(|savings| best_of(savings, setting));
        let design = best.or(view.run.only_design())?.clone();
        let name = format!("{}{name}", design.label);
        Some((design, name))
    };
    let shown: Vec<(Design, String)> = view.settings().filter_map(best).collect();
    html! {
        @for (design, name) in &shown { (payments(view, flow, design, name, terms).draw()) }
    }
}

fn payments(view: View<'_>, flow: &Table, design: &Design, name: &str, terms: &Terms) -> DataTable {
    let rows = flow_rows(view, flow, design);
    let is_told = |column: &&(&str, &str)| {
        let numbers = rows.iter().filter_map(|&row| flow.number(column.0, row));
        numbers.into_iter().any(|number| number.abs() > 0.0)
    };
    let told: Vec<&(&str, &str)> = FLOW.iter().filter(is_told).collect();
    let mut head = vec!["Year".to_owned()];
    head.extend(told.iter().map(|(_, words)| (*words).to_owned()));
    let draw = if view.run.is_sampled() {
        ", of the draw in the middle"
    } else {
        ""
    };
    let caption = format!("Payments by year of {name}, {}{draw}", terms.currency);
    let mut table = DataTable::new(caption, head);
    for row in rows {
        let cells = told
            .iter()
            .map(|(column, _)| figures::cell(flow.number(column, row)));
        table.push(figures::cell(flow.number("year", row)), cells.collect());
    }
    table
}

/// Baseline, improved and saved, by carrier, in every unit.
fn before_and_after(view: View<'_>, savings: Savings<'_>) -> DataTable {
    let head = ["Design: carrier, unit", "baseline", "improved", "saved"];
    let mut table = DataTable::new(
        "Baseline and improved, of a year",
        head.map(str::to_owned).to_vec(),
    );
    let measures = [
        ("amount", view.system),
        ("energy", view.system),
        ("energy", other(view.system)),
        ("energy cost", view.system),
    ];
    for (design, name) in compared(view, savings) {
        for carrier in carriers(savings, design) {
            let mut units: Vec<&str> = Vec::new();
            for (measure, system) in measures {
                let row = row_of(savings, design, measure, carrier);
                let told = row.and_then(|row| beside(savings, row, system, &mut units));
                if let Some((unit, cells)) = told {
                    table.push(format!("{name}: {carrier}, {unit}"), cells);
                }
            }
        }
        for measure in ON_THE_WHOLE {
            let mut units: Vec<&str> = Vec::new();
            for system in [view.system, other(view.system)] {
                let row = savings.row(design, measure);
                let told = row.and_then(|row| beside(savings, row, system, &mut units));
                if let Some((unit, cells)) = told {
                    table.push(format!("{name}: {measure}, {unit}"), cells);
                }
            }
        }
    }
    table
}

/// Unit and cells of a row, baseline, improved and saved; nothing in a unit that was told before.
fn beside<'a>(
    savings: Savings<'a>,
    row: usize,
    system: System,
    units: &mut Vec<&'a str>,
) -> Option<(&'a str, Vec<String>)> {
    let unit = Spread::new(savings.table, "", row, system).unit;
    if units.contains(&unit) {
        return None;
    }
    units.push(unit);
    let cell = |prefix: &'static str| {
        let spread = Spread::new(savings.table, prefix, row, system);
        in_unit(spread.number("median", row), spread.unit)
    };
    let cells = ["against_", "design_", ""].map(cell).to_vec();
    Some((printed_unit(unit), cells))
}

/// What of the first cost counts for a grant.
fn eligible(view: View<'_>, currency: &str) -> DataTable {
    let head = vec![
        "Design".to_owned(),
        format!("counts, {currency}"),
        format!("does not count, {currency}"),
        format!("grant, {currency}"),
    ];
    let mut table = DataTable::new("First costs that count for a grant and that do not", head);
    let Some(costs) = view.run.table("costs") else {
        return table;
    };
    for (design, name) in view.rows() {
        let rows = cost_rows(view.run, design, "first cost");
        if rows.is_empty() {
            continue;
        }
        let sum = |eligible: &str| {
            let rows = rows
                .iter()
                .filter(|&&row| costs.text("eligible", row) == eligible);
            let numbers = rows.map(|&row| costs.number("year_0_in_currency", row));
            numbers.sum::<Option<f64>>()
        };
        let grant = cost(view.run, design, "grant", "year_0_in_currency").map(f64::abs);
        let cells = vec![
            figures::cell(sum("yes")),
            figures::cell(sum("no")),
            figures::cell(grant),
        ];
        table.push(name, cells);
    }
    table
}

/// Energy for the money of the grant, payback and bands.
fn scores(view: View<'_>, savings: Savings<'_>) -> DataTable {
    let head = [
        "Design",
        "site energy saved, %",
        "points",
        "payback of eligible costs, years",
        "points",
        "Btu saved a year for each USD of grant",
        "points",
    ];
    let mut table = DataTable::new(
        "What a rural energy grant scores",
        head.map(str::to_owned).to_vec(),
    );
    for (design, name) in compared(view, savings) {
        let cells = [
            "site energy saved",
            "payback of eligible costs",
            "energy saved per grant dollar",
        ]
        .into_iter()
        .flat_map(|measure| score(view, savings, design, measure));
        table.push(name, cells.collect());
    }
    table
}

fn score(view: View<'_>, savings: Savings<'_>, design: &Design, measure: &str) -> [String; 2] {
    let Some(row) = savings.row(design, measure) else {
        return [NOTHING.to_owned(), NOTHING.to_owned()];
    };
    let spread = Spread::new(savings.table, "", row, view.system);
    let value = match spread.number("median", row) {
        Some(_) => spread.both(row),
        None => text(savings.table.text("note", row)),
    };
    [value, figures::cell(savings.table.number("points", row))]
}

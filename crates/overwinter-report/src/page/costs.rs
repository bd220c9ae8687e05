//! What each design costs to buy and to keep.

use maud::{Markup, html};

use super::View;
use super::block::DataTable;
use crate::figures::{self, NOTHING};
use crate::savings::{Terms, cost, cost_rows};

/// Headings of the table `costs` up to their sum, with the words of the page.
const ITEMS: [(&str, &str); 7] = [
    ("first cost", "bought"),
    ("grant", "grant"),
    ("replacements", "bought again"),
    ("residual value", "value left"),
    ("energy", "energy"),
    ("upkeep", "upkeep"),
    ("life-cycle cost", "all together"),
];

/// The costs of every design, and of every part.
pub(super) fn part(view: View<'_>, terms: &Terms) -> Markup {
    html! {
        h3 { "What each design costs" }
        (designs(view, terms).draw())
        (parts(view, terms).draw())
        (prices(view).draw())
        (loans(view, terms).draw())
    }
}

fn designs(view: View<'_>, terms: &Terms) -> DataTable {
    let present = |design, item_is| cost(view.run, design, item_is, "present_value_in_currency");
    let told: Vec<(&str, &str)> = ITEMS
        .into_iter()
        .filter(|(item_is, _)| {
            view.rows()
                .any(|(design, _)| present(design, item_is).is_some())
        })
        .collect();
    let mut head = vec!["Design".to_owned()];
    head.extend(told.iter().map(|(_, name)| (*name).to_owned()));
    let caption = format!(
        "Costs of {} years as one sum on the day of buying (present value), {}; incomes are below zero",
        terms.years, terms.currency
    );
    let mut table = DataTable::new(caption, head);
    for (design, name) in view.rows() {
        let cells = told
            .iter()
            .map(|(item_is, _)| figures::cell(present(design, item_is)));
        table.push(name, cells.collect());
    }
    if told.is_empty() {
        table.rows.clear();
    }
    table
}

/// What is bought, part by part.
fn parts(view: View<'_>, terms: &Terms) -> DataTable {
    let head = vec![
        "Design and part".to_owned(),
        format!("cost, {}", terms.currency),
        "life, years".to_owned(),
        "counts for a grant".to_owned(),
    ];
    let mut table = DataTable::new("Parts that are bought", head);
    let Some(costs) = view.run.table("costs") else {
        return table;
    };
    for (design, name) in view.rows() {
        for row in cost_rows(view.run, design, "first cost") {
            let eligible = match costs.text("eligible", row) {
                "" => NOTHING,
                eligible => eligible,
            };
            let cells = vec![
                figures::cell(costs.number("year_0_in_currency", row)),
                figures::cell(costs.number("life_years", row)),
                eligible.to_owned(),
            ];
            table.push(format!("{name}: {}", costs.text("item", row)), cells);
        }
    }
    table
}

/// Loans, which stand outside the costs: they change who pays when, not what a design costs.
fn loans(view: View<'_>, terms: &Terms) -> DataTable {
    let head = vec![
        "Design".to_owned(),
        format!("lent, {}", terms.currency),
        format!("asked for by the bank each year, {}", terms.currency),
        "payments".to_owned(),
        format!("in all, {}", terms.currency),
    ];
    let mut table = DataTable::new("Loans, which are not counted among the costs", head);
    for (design, name) in view.rows() {
        let drawn = cost(view.run, design, "loan drawn", "year_0_in_currency");
        let of_loan = |column| cost(view.run, design, "loan payments", column);
        let payment = of_loan("price_in_currency_a_unit");
        let payments = of_loan("life_years");
        if drawn.is_some() {
            let in_all = payment.zip(payments).map(|(one, payments)| one * payments);
            let cells = vec![
                figures::cell(drawn.map(f64::abs)),
                figures::cell(payment),
                figures::cell(payments),
                figures::cell(in_all),
            ];
            table.push(name, cells);
        }
    }
    table
}

/// What a unit of each carrier costs.
fn prices(view: View<'_>) -> DataTable {
    let head = [
        "Design and carrier",
        "in a year",
        "price of a unit",
        "cost of the first year",
    ];
    let mut table = DataTable::new("Energy that is bought", head.map(str::to_owned).to_vec());
    let Some(costs) = view.run.table("costs") else {
        return table;
    };
    for (design, name) in view.rows() {
        for row in cost_rows(view.run, design, "energy") {
            let (unit, currency) = (costs.text("unit", row), costs.text("currency", row));
            let with = |column: &str, unit: &str| {
                let number = costs.number(column, row);
                number.map_or_else(
                    || NOTHING.to_owned(),
                    |number| format!("{}\u{a0}{unit}", figures::figures(number)),
                )
            };
            let cells = vec![
                with("amount_year", unit),
                with("price_in_currency_a_unit", &format!("{currency}/{unit}")),
                with("year_1_in_currency", currency),
            ];
            table.push(format!("{name}: {}", costs.text("item", row)), cells);
        }
    }
    table
}

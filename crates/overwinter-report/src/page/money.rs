//! What each design costs, what it saves, and when it has paid for itself.

use maud::{Markup, html};

use super::block::{self, note};
use super::{View, costs, payback, saved};
use crate::figures;
use crate::plain_text::listed;
use crate::savings::{Savings, Terms, terms, unpriced};

/// How costs come into a run.
const STATE_COSTS: &str = "State under [money] the years, the rate and, in [money.parts.NAME], cost and life of each \
    part that differs between the designs, and run the scenario again.";

/// The section.
pub(super) fn section(view: View<'_>) -> Markup {
    html! {
        section aria-labelledby="payback" {
            h2 #payback { "Payback" }
            (prices_missing(view))
            @match terms(view.run) {
                None => (block::gap("costs", "what each design costs to buy and to keep", STATE_COSTS)),
                Some(terms) => {
                    (note(&terms_words(view, &terms)))
                    (costs::part(view, &terms))
                }
            }
            @match Savings::of(view.run) {
                None => (no_savings(view)),
                Some(savings) => {
                    (payback::part(view, savings))
                    (saved::part(view, savings))
                }
            }
            (block::caution("Savings and payback are estimates and no promise. A film may wear out before it has \
                paid for itself: set its years of life beside the payback. A qualified assessor has to review them."))
        }
    }
}

/// Carriers without a price.
fn prices_missing(view: View<'_>) -> Markup {
    let missing = unpriced(view.run);
    if missing.is_empty() {
        return html! {};
    }
    let keys: Vec<String> = missing
        .iter()
        .map(|name| format!("prices.{name}"))
        .collect();
    let what = format!("the cost of {}, which has no price", listed(&missing));
    let remedy = format!("State {} in the scenario and run it again.", listed(&keys));
    block::gap("fuel_use", &what, &remedy)
}

fn no_savings(view: View<'_>) -> Markup {
    let remedy = if view.run.only_design().is_some() {
        "The run holds one design, so there is nothing to save against: list the house as it is and the upgrade as \
         two values of an [[axis]]."
    } else if terms(view.run).is_some() {
        "The costs are there, but the run compared no designs: [compare] in the scenario says with what."
    } else {
        "Without costs there is no payback. As a first look: what an upgrade costs, divided by what it saves a year \
         (Which design), is the simple payback in years."
    };
    block::gap(
        "savings",
        "savings a year and the time until an upgrade has paid for itself",
        remedy,
    )
}

/// Under what terms money is counted.
fn terms_words(view: View<'_>, terms: &Terms) -> String {
    let rate = terms.rate_percent.map_or_else(String::new, |percent| {
        format!(", discounted at {} % a year", figures::figures(percent))
    });
    let money = match (terms.money_is.as_str(), terms.inflation_percent) {
        ("constant", _) => " in constant money, that of the year of buying".to_owned(),
        ("current", Some(percent)) => format!(
            " in the money of each year, with prices rising by {} % a year",
            figures::figures(percent)
        ),
        ("current", None) => " in the money of each year".to_owned(),
        _ => String::new(),
    };
    let draws = if view.run.is_sampled() {
        " Costs are those of the middle draw by fuel, at its prices where a price is drawn; a range holds 90 of 100 \
         draws."
    } else {
        ""
    };
    format!(
        "Counted over {} years in {}{rate}{money}. Year 0 is the day of buying; payments fall due at the ends of \
         years. A part is bought again when its life ends.{draws}",
        terms.years, terms.currency
    )
}

//! What is counted in money over the years: `[money]`.

mod part;
mod sums;

use overwinter_engine::house::House;
use overwinter_units::range;

use super::context::Context;
use super::prices::{self, Prices};
use crate::axes::Axis;
use crate::catalogue::Entry;
use crate::document::Part;
use crate::money::{Basis, Carrier, ELECTRICITY, Money, StatedLoan, StatedTerms};
use crate::ranking::RankingPlan;
use sums::Sums;

/// Keys that have to be the same for designs to be compared.
const OF_TERMS: [&str; 4] = [
    "money.years",
    "money.rate",
    "money.basis",
    "money.inflation",
];

/// Reads `[money]`, of a house that buys at `prices`; without it nothing is counted. Adds the currency
/// of its sums to prices that have none.
pub(crate) fn read(
    context: &Context<'_>,
    root: &Part<'_>,
    prices: &mut Prices,
    house: Option<&House>,
) -> Option<Money> {
    let part = root.part("money");
    if !root.has("money") {
        return None;
    }
    let sums = Sums::in_currency(prices.stated_currency.clone());
    let parts = part::read(&part, &sums);
    let carriers = carriers(context, root, &part, prices, house);
    let mut money = Money {
        terms: terms(&part),
        grant: sums.sum(&part, "grant").unwrap_or(0.0),
        upkeep_year: sums.a_year(&part, "upkeep").unwrap_or(0.0),
        upkeep_rise: rise(&part, "upkeep_rise", part.has("upkeep")),
        light_value_percent_year: sums.a_year(&part, "percent_of_light"),
        parts,
        carriers,
        ..Money::default()
    };
    check_grant(&part, &money);
    money.loan = loan(&part, &sums, money.first_cost());
    part.finish();
    if let Some(currency) = sums.currency() {
        prices.currency.clone_from(&currency);
    }
    money.currency.clone_from(&prices.currency);
    Some(money)
}

/// Refuses axes of designs that set study period or rates, under which no two designs could be compared.
pub(crate) fn check_axes(root: &Part<'_>, axes: &[Axis], plan: &RankingPlan) {
    for axis in axes.iter().filter(|axis| plan.is_design_axis(&axis.name)) {
        let mut keys = axis.alternatives.iter().flat_map(|one| &one.changes);
        let Some((key, node)) = keys.find(|(key, _)| OF_TERMS.contains(&key.as_str())) else {
            continue;
        };
        let message = format!(
            "designs are compared under the same `{key}`: name the other axes in `designs` of \
             [compare], so that \"{}\" is something to compare within",
            axis.name
        );
        root.problem_at(node.place, &message);
    }
}

fn terms(part: &Part<'_>) -> StatedTerms {
    let years = part.count_or(
        "years",
        &range::STUDY_YEARS,
        "10",
        "life of energy practices by the U.S. Natural Resources Conservation Service (job sheet on \
         energy improvement practices, 2018)",
    );
    let bases = [
        (Basis::Constant.word(), Basis::Constant),
        (Basis::Current.word(), Basis::Current),
    ];
    let source = "results in money of year 0, rates above inflation";
    let basis = part.word_or("basis", &bases, Basis::Constant, source);
    let rate = match basis {
        Basis::Constant => part.quantity_or(
            "rate",
            &range::RATE,
            "3 %",
            "common practice, no source: above inflation; take your own cost of money",
        ),
        Basis::Current => part.required("rate", &range::RATE).unwrap_or(0.0),
    };
    let is_needed = basis == Basis::Current || part.has("loan");
    let inflation = match is_needed {
        true => part.quantity_or(
            "inflation",
            &range::RATE,
            "2 %",
            "estimate: what several central banks aim at, from memory",
        ),
        false => part.quantity("inflation", &range::RATE).unwrap_or(0.0),
    };
    StatedTerms {
        years,
        rate,
        inflation,
        basis,
    }
}

/// By how much a price rises a year above inflation; a default is only recorded of what is in use.
fn rise(part: &Part<'_>, key: &str, is_used: bool) -> f64 {
    if !is_used {
        return part.quantity(key, &range::RATE).unwrap_or(0.0);
    }
    let source = "estimate: it keeps pace with inflation";
    part.quantity_or(key, &range::RATE, "0 %", source)
}

fn check_grant(part: &Part<'_>, money: &Money) {
    let most = money.eligible_cost();
    // Sums of cents are off in their last bit.
    if money.grant > most * (1.0 + 1e-12) {
        let message = format!(
            "a grant pays no more than the eligible first costs, here {most}; an axis can set it \
             for the designs that get one alone"
        );
        part.problem("grant", &message);
    }
}

fn loan(money: &Part<'_>, sums: &Sums, first_cost: f64) -> Option<StatedLoan> {
    let part = money.part("loan");
    if !money.has("loan") {
        return None;
    }
    let sum = match (part.has("sum"), part.has("share")) {
        (true, true) => {
            part.problem("share", "a loan has one of `sum` and `share`");
            None
        }
        (true, false) => {
            let sum = sums.sum(&part, "sum");
            if sum.is_some_and(|sum| sum > first_cost) {
                let message = format!(
                    "more than the first costs, {first_cost}; `share`, such as \"80 %\", lends each design \
                     that of its own"
                );
                part.problem("sum", &message);
            }
            sum
        }
        (false, true) => part
            .quantity("share", &range::SHARE)
            .map(|share| share * first_cost.max(0.0)),
        (false, false) => {
            let what =
                "the sum borrowed, such as \"2000 USD\", or `share`, that of the first costs";
            part.may_be("sum", || crate::document::Form::Money);
            part.know(&["share"]);
            part.missing("sum", what);
            None
        }
    };
    let rate = part.required("rate", &range::RATE);
    let years = part::required_count(&part, "years", &range::LOAN_YEARS);
    part.finish();
    Some(StatedLoan {
        sum: sum?,
        rate: rate?,
        years: years?,
    })
}

/// What the house buys, with its price, which must be there: without it nothing could be counted.
fn carriers(
    context: &Context<'_>,
    root: &Part<'_>,
    part: &Part<'_>,
    prices: &Prices,
    house: Option<&House>,
) -> Vec<Carrier> {
    let rises = part.part("rise");
    let mut carriers = Vec::new();
    for entry in context.catalogue.list("fuel") {
        let is_used = house.is_some_and(|house| buys(house, &entry.name));
        let rise = rise(&rises, &prices::key_of(entry), is_used);
        if is_used {
            carriers.extend(carrier(root, entry, prices, rise));
        }
    }
    rises.finish();
    carriers
}

fn carrier(root: &Part<'_>, entry: &Entry, prices: &Prices, rise: f64) -> Option<Carrier> {
    let bought = prices.bought.iter().find(|fuel| fuel.name == entry.name)?;
    let Some(price) = bought.price_per_unit else {
        let of_prices = root.part("prices");
        let key = prices::key_of(entry);
        if !of_prices.has(&key) {
            let what = format!(
                "the price of {}, which the house uses and [money] counts, such as \"2 USD/{}\"",
                entry.name,
                entry.word("unit")
            );
            of_prices.missing(&key, &what);
        }
        return None;
    };
    Some(Carrier {
        name: bought.name.clone(),
        unit: bought.unit.clone(),
        price,
        rise,
        energy_j_per_unit: bought.energy_j_per_unit,
        emission_factors: bought.emission_factors,
        factor_sources: prices::emission_sources(&root.part("fuels"), entry),
    })
}

/// True if a house burns a fuel or, of electricity, if anything in it draws some.
fn buys(house: &House, name: &str) -> bool {
    let mut heaters = house.heaters.iter();
    if name != ELECTRICITY {
        return heaters.any(|heater| heater.fuel == name);
    }
    let vents_w = house
        .vents
        .as_ref()
        .map_or(0.0, |vents| vents.fan_electric_w);
    let fans_w = house.fans.circulation_w + house.fans.blower_w + vents_w;
    fans_w > 0.0 || heaters.any(|heater| heater.fuel == name || heater.electric_w > 0.0)
}

//! The first page, for the grower: what to bear in mind, what the season costs, how close the crop
//! comes to frost, what a failing night does.

use maud::{Markup, html};

use super::block::{self, DataTable};
use super::coldest;
use super::heater::sizing;
use super::{View, failing_night, overview};
use crate::designs::Design;
use crate::facts::{self, Fuel};
use crate::figures::{self, NOTHING, Quantity, figures as print};
use crate::plain_text::capital;

/// The first page.
pub(super) fn section(view: View<'_>) -> Markup {
    html! {
        section aria-label="For the grower" {
            (caveats(view))
            (failed(view))
            @match view.run.only_design() {
                Some(only) => (one(view, only)),
                None => (overview::many(view)),
            }
            (block::caution("Vent every fuel-burning heater outside, give it combustion air, and have a carbon \
                monoxide alarm for people. Outlets and blowers stand in a wet place: ask your electrician. Snow load is \
                the word of the frame's maker and an engineer."))
        }
    }
}

/// The two or three things that decide what the numbers can be used for.
fn caveats(view: View<'_>) -> Markup {
    let manifest = view.run.manifest();
    let defaults = manifest.defaults_used.len() as u64;
    html! {
        div.first role="note" aria-labelledby="read-first" {
            h2 #read-first { "Read this first" }
            ol {
                li { (year_words(view)) }
                li {
                    "Thermostat, leaks and films are as stated or assumed, not measured in your house. "
                    @if defaults > 0 {
                        (figures::counted(defaults, "input was", "inputs were")) " left to a default, and "
                        (figures::counted(manifest.assumed() as u64, "of these is", "of these are"))
                        " an estimate or a remembered figure. The annex lists them; give your own where you can."
                    }
                }
                @if view.run.table("outages").is_some() {
                    li { "What a failing night does is an estimate and no promise. How inflated films lose their air \
                        was never measured, and your wind, sky and leaks differ." }
                }
            }
        }
    }
}

fn year_words(view: View<'_>) -> String {
    let weather = &view.run.manifest().weather;
    let size = "Size the heater and the alarm for colder nights than these.";
    let lowest = lowest_outdoors(view);
    match weather.first().map(|file| file.year.as_str()) {
        Some("typical") => format!(
            "The weather is that of a typical year, put together to be usual{lowest}. Colder nights will \
             come. {size}"
        ),
        Some("unstated" | "") | None => format!(
            "The weather file does not say which year it holds{lowest}. Other years are colder. {size}"
        ),
        Some(year) => format!(
            "The weather is that of {year}, one year of many{lowest}. Others are colder. {size}"
        ),
    }
}

fn lowest_outdoors(view: View<'_>) -> String {
    let Some(cases) = view.run.table("cases") else {
        return String::new();
    };
    let shown = view
        .rows()
        .flat_map(|(design, _)| cases.of_case(design.case_id));
    let lows = shown.filter_map(|row| cases.number("lowest_outdoor_degc", row));
    lows.reduce(f64::min).map_or_else(String::new, |degc| {
        format!(
            "; the coldest hour is at {} outdoors",
            Quantity::Temperature.pair(degc, view.system)
        )
    })
}

/// Cases that did not run, and why.
fn failed(view: View<'_>) -> Markup {
    let Some(cases) = view.run.table("cases") else {
        return block::gap(
            "cases",
            "the list of cases, and with it every result",
            "Every finished run writes this table.",
        );
    };
    let failed = cases.select(|row| cases.text("status", row) != "done");
    let Some(&first) = failed.first() else {
        return html! {};
    };
    html! {
        p.gap {
            strong { (figures::counted(failed.len() as u64, "case", "cases")) " of "
                (figures::count(cases.rows().len() as u64)) " could not be computed. " }
            "The first: case " (figures::cell(cases.number("case_id", first))) ", "
            (cases.text("reason", first)) ". The results below leave them out."
        }
    }
}

fn one(view: View<'_>, design: &Design) -> Markup {
    let year = facts::fuel(view.run, design.case_id, 0);
    html! {
        h2 { "What the season costs" }
        @match &year {
            None => (block::gap("fuel_use", "what the season costs", "Every finished run writes this table.")),
            Some(year) if !year.is_heated() => p { "No heater gave heat, so no fuel was used." },
            Some(year) => {
                (season(view, year).draw())
                p { (sizing(view, year)) }
            }
        }
        h2 { "How close the crop comes to frost" }
        (frost(view, design))
        h2 { "What a failing night does" }
        (failing_night::failing(view, design))
    }
}

fn season(view: View<'_>, year: &Fuel) -> DataTable {
    let head = ["", "amount", "energy", "cost"].map(str::to_owned).to_vec();
    let mut table = DataTable::new("The heating season", head);
    table.head[0] = "Of the year".to_owned();
    let amount = |amount: Option<f64>| {
        let amount = amount.map(|amount| format!("{} {}", print(amount), year.unit));
        amount.unwrap_or_else(|| NOTHING.to_owned())
    };
    let cost = |cost: Option<f64>| {
        let cost = cost.map(|cost| format!("{} {}", print(cost), year.currency));
        cost.unwrap_or_else(|| "no price given".to_owned())
    };
    let energy = |kwh: Option<f64>| {
        let energy = kwh.map(|kwh| Quantity::Energy.pair(kwh, view.system));
        energy.unwrap_or_else(|| NOTHING.to_owned())
    };
    let fuel = if year.fuel == "several" {
        "all fuels"
    } else {
        &year.fuel
    };
    let fuel_cells = vec![
        amount(year.amount),
        energy(year.energy_kwh),
        cost(year.cost),
    ];
    table.push(capital(fuel), fuel_cells);
    let week = format!("Worst week, from {}", figures::date(&year.week_from));
    table.push(
        week,
        vec![
            amount(year.week_amount),
            format!("{} of heat", energy(year.week_heat_kwh)),
            cost(year.week_cost()),
        ],
    );
    let electricity = year
        .electricity_kwh
        .map(|kwh| format!("{} kWh", print(kwh)));
    let electricity = electricity.unwrap_or_else(|| NOTHING.to_owned());
    table.push(
        "Electricity of fans and blowers",
        vec![electricity, NOTHING.to_owned(), cost(year.electricity_cost)],
    );
    if let Some(all) = year.all_cost() {
        table.push(
            "Fuel and electricity",
            vec![NOTHING.to_owned(), NOTHING.to_owned(), cost(Some(all))],
        );
    }
    table
}

fn frost(view: View<'_>, design: &Design) -> Markup {
    let Some(lows) = facts::lows(view.run, design.case_id) else {
        return block::gap(
            "frost_risk",
            "how close the crop comes to frost",
            "Every finished run writes this table.",
        );
    };
    let limits = facts::limits(view.run, design.case_id);
    let temperature = |degc| Quantity::Temperature.pair(degc, view.system);
    let low = |part: &str, degc: Option<f64>, when: &str| {
        degc.map(|degc| {
            format!(
                "The lowest {part} is at {}, on {}.",
                temperature(degc),
                figures::date(when)
            )
        })
    };
    let leaf = low("leaf", lows.leaf_degc, &lows.leaf_when);
    let air = low("house air", lows.air_degc, &lows.air_when);
    let judged = lows.leaf_degc.or(lows.air_degc);
    let room = judged.map_or_else(String::new, |degc| coldest::room(view, degc, &limits));
    let below = limits
        .iter()
        .find(|limit| limit.loses_crop)
        .and_then(|limit| {
            let hours = limit.leaf_h.or(limit.air_h)?;
            Some(match hours {
                hours if hours <= 0.0 => {
                    " In this year it is never colder than the limit.".to_owned()
                }
                hours => format!(
                    " In this year it is colder than the limit for {} h.",
                    print(hours)
                ),
            })
        });
    html! {
        p { "In the year as it was computed: " (leaf.unwrap_or_default()) (room) (below.unwrap_or_default()) " "
            (air.unwrap_or_default()) }
    }
}

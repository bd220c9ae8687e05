//! Fuels in the unit they are bought in, and their prices: `[fuels]` and `[prices]`.

use overwinter_engine::control::Heater;
use overwinter_units::{Kind, Price, Range, Unit, parse_price, range, unit};

use super::context::{Context, figure};
use crate::case::{EmissionFactors, Fuel};
use crate::catalogue::Entry;
use crate::document::{Form, Part};
use crate::money::ELECTRICITY;

/// Fuels and prices of a case.
pub(crate) struct Prices {
    /// The fuels of the heaters, each once, in the order of the heaters.
    pub(crate) fuels: Vec<Fuel>,
    /// Price of electricity.
    pub(crate) electricity_price_per_kwh: Option<f64>,
    /// Currency word.
    pub(crate) currency: String,
    /// That of the prices, if any price is given.
    pub(crate) stated_currency: Option<String>,
    /// All that the house may buy: the fuels of the heaters, and electricity.
    pub(crate) bought: Vec<Fuel>,
}

/// Reads `[prices]` and `[fuels]`: one key for each fuel, with `_` for a space.
pub(crate) fn read(context: &Context<'_>, root: &Part<'_>, heaters: &[Heater]) -> Prices {
    let (part, contents) = (root.part("prices"), root.part("fuels"));
    let mut currency: Option<String> = None;
    let mut bought = Vec::new();
    let mut electricity_price_per_kwh = None;
    for entry in context.catalogue.list("fuel") {
        let is_used = heaters.iter().any(|heater| heater.fuel == entry.name);
        let (energy_j, emission_factors) = content(&contents, entry, is_used);
        let per_unit = price_per_unit(&part, entry, energy_j, &mut currency);
        if entry.name == ELECTRICITY {
            electricity_price_per_kwh = per_unit;
        }
        if is_used || entry.name == ELECTRICITY {
            bought.push(Fuel {
                name: entry.name.clone(),
                unit: entry.word("unit").to_owned(),
                energy_j_per_unit: energy_j,
                price_per_unit: per_unit,
                emission_factors,
            });
        }
    }
    part.finish();
    contents.finish();
    let place = |fuel: &Fuel| heaters.iter().position(|heater| heater.fuel == fuel.name);
    let mut fuels: Vec<Fuel> = bought
        .iter()
        .filter(|fuel| place(fuel).is_some())
        .cloned()
        .collect();
    fuels.sort_by_key(place);
    if currency.is_some() {
        warn_of_missing(&part, &fuels);
    }
    Prices {
        fuels,
        electricity_price_per_kwh,
        currency: currency.clone().unwrap_or_else(|| "USD".to_owned()),
        stated_currency: currency,
        bought,
    }
}

/// Tells of fuels without a price where others have one: no cost of the season can then be told.
fn warn_of_missing(part: &Part<'_>, fuels: &[Fuel]) {
    for fuel in fuels.iter().filter(|fuel| fuel.price_per_unit.is_none()) {
        let key = fuel.name.replace(' ', "_");
        if !part.has(&key) {
            let warning = format!(
                "prices.{key} is missing: a heater uses {}, so no cost of its heat is told",
                fuel.name
            );
            part.findings().borrow_mut().warning(warning);
        }
    }
}

/// Heat content of one unit of a fuel and what it gives off; a default is only recorded for fuels in
/// use.
fn content(contents: &Part<'_>, entry: &Entry, is_used: bool) -> (f64, Option<EmissionFactors>) {
    let key = key_of(entry);
    let usual_j = entry
        .figure("energy_per_unit")
        .map_or(0.0, |figure| figure.value);
    if !is_used && !contents.has(&key) {
        return (usual_j, None);
    }
    let fuel = contents.part(&key);
    let energy_j = figure(&fuel, "energy_per_unit", &range::FUEL_ENERGY, Some(entry));
    if entry.name == ELECTRICITY
        && energy_j.is_some_and(|given_j| (given_j / usual_j - 1.0).abs() > 1e-9)
    {
        fuel.problem(
            "energy_per_unit",
            "a kilowatt-hour holds 1 kWh: leave it out",
        );
    }
    let factors = emission_factors(&fuel, entry);
    fuel.finish();
    (energy_j.unwrap_or(usual_j), factors)
}

/// As given, else by the catalogue; of electricity nothing is known until it is given, since it
/// depends on the place and the hour.
fn emission_factors(fuel: &Part<'_>, entry: &Entry) -> Option<EmissionFactors> {
    let [carbon_dioxide, methane, nitrous_oxide] =
        EMISSION_RANGES.map(|(key, range)| match entry.figure(key) {
            Some(_) => figure(fuel, key, range, Some(entry)),
            None => fuel.quantity(key, range),
        });
    let factors = carbon_dioxide.map(|carbon_dioxide_kg_j| EmissionFactors {
        carbon_dioxide_kg_j,
        is_biogenic: entry.flag("biogenic"),
        methane_kg_j: methane,
        nitrous_oxide_kg_j: nitrous_oxide,
    });
    let has_more = methane.is_some() || nitrous_oxide.is_some();
    if has_more && factors.is_none() && !fuel.has("carbon_dioxide") {
        let what = format!(
            "the carbon dioxide of {} too, such as \"0.4 kg/kWh\": methane and nitrous oxide count beside it",
            entry.name
        );
        fuel.missing("carbon_dioxide", &what);
    }
    factors
}

/// Where what a fuel gives off comes from, each source once.
pub(super) fn emission_sources(contents: &Part<'_>, entry: &Entry) -> Vec<String> {
    let fuel = contents.part(&key_of(entry));
    let mut sources: Vec<String> = Vec::new();
    for (key, _) in EMISSION_RANGES {
        let source = match fuel.has(key) {
            true => Some("as the scenario states".to_owned()),
            false => entry.figure(key).map(|figure| figure.source.clone()),
        };
        sources.extend(source.filter(|source| !sources.contains(source)));
    }
    sources
}

/// Keys of what a fuel gives off: carbon dioxide, methane, nitrous oxide.
const EMISSION_RANGES: [(&str, &Range); 3] = [
    ("carbon_dioxide", &range::CARBON_DIOXIDE),
    ("methane", &range::METHANE),
    ("nitrous_oxide", &range::NITROUS_OXIDE),
];

/// The key of a fuel: its name with `_` for a space.
pub(super) fn key_of(entry: &Entry) -> String {
    entry.name.replace(' ', "_")
}

fn price_per_unit(
    part: &Part<'_>,
    entry: &Entry,
    energy_j: f64,
    currency: &mut Option<String>,
) -> Option<f64> {
    let key = key_of(entry);
    part.may_be(&key, || Form::Price);
    let price = match parse_price(part.text(&key)?) {
        Ok(price) => price,
        Err(error) => {
            part.problem(&key, &error.to_string());
            return None;
        }
    };
    match currency {
        Some(first) if *first != price.currency => {
            part.problem(
                &key,
                &format!("all prices are in one currency; the first one is in {first}"),
            );
        }
        _ => *currency = Some(price.currency.clone()),
    }
    let converted = converted(entry, energy_j, &price);
    if converted.is_none() {
        let message = format!(
            "{} is priced per {} or per unit of energy",
            entry.name,
            entry.word("unit")
        );
        part.problem(&key, &message);
    }
    converted
}

/// A price in the unit in which the catalogue holds the fuel.
fn converted(entry: &Entry, energy_j: f64, price: &Price) -> Option<f64> {
    let held = held_unit(entry.word("unit"))?;
    if held.kind == price.unit.kind {
        return Some(price.amount * held.factor / price.unit.factor);
    }
    (price.unit.kind == Kind::Energy).then(|| price.amount * energy_j / price.unit.factor)
}

fn held_unit(symbol: &str) -> Option<&'static Unit> {
    let kinds = [Kind::Volume, Kind::Mass, Kind::Energy];
    kinds.iter().find_map(|kind| unit::find(symbol, *kind))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalogue::catalogue;

    fn per_unit(fuel: &str, price: &str) -> Option<f64> {
        let entry = catalogue().entry("fuel", fuel).expect("in the catalogue");
        let energy_j = entry
            .figure("energy_per_unit")
            .expect("every fuel has it")
            .value;
        converted(entry, energy_j, &parse_price(price).expect("a price"))
    }

    #[test]
    fn prices_are_converted_to_the_unit_of_the_fuel() {
        let cases = [
            ("propane", "2.10 USD/gal", 2.10),
            // 1 gal = 3.785411784 L exactly.
            ("propane", "1 EUR/L", 3.785_411_784),
            // 91,500 Btu in a gallon, 100,000 Btu in a therm.
            ("propane", "2 USD/therm", 1.83),
            // 1 therm = 29.3071 kWh.
            ("natural gas", "0.10 EUR/kWh", 2.930_71),
            ("wood pellets", "300 USD/ton", 300.0),
            ("electricity", "140 USD/MWh", 0.14),
        ];
        for (fuel, price, expected) in cases {
            let converted = per_unit(fuel, price).expect(price);
            assert!(
                (converted / expected - 1.0).abs() < 1e-5,
                "{fuel} at {price}: {converted}"
            );
        }
        assert_eq!(per_unit("wood pellets", "2 USD/gal"), None);
    }
}

//! The one-screen summary of a run: first what can be acted on, then what to bear in mind.

use overwinter_study::features::YearEvents;
use overwinter_study::money::MoneyDigest;
use overwinter_study::ranking::{Digest, WorstYears};
use overwinter_study::run::HELD_WITHIN_K;
use overwinter_study::summary::{CaseSummary, FuelTotals, LimitSummary, Numbers};
use overwinter_study::tables::fuel_use::WorstWeek;
use overwinter_units::System;

use super::failing;
use super::figures;
use super::layout::{Lean, columns, item, labelled, title};
use super::money as costs;
use super::weather;
use super::worst_years;

/// Heat below this is none: a heater's band ends gradually.
pub(super) const NO_HEAT_J: f64 = 1e3;
const FREEZING_K: f64 = 273.15;

/// What the summary is about.
#[derive(Clone, Debug)]
pub struct Summary<'a> {
    /// Title of the scenario.
    pub title: &'a str,
    /// Names of the axes.
    pub axis_names: &'a [String],
    /// The cases.
    pub cases: &'a [CaseSummary],
    /// Cases after those, of which only the tables tell.
    pub untold: usize,
    /// The failed ones of them and why.
    pub untold_failures: &'a [(usize, String)],
    /// What the draws gave, where there are several.
    pub digest: Option<&'a Digest>,
    /// The worst of the calendar years of each place, where there are several.
    pub worst_years: &'a [WorstYears],
    /// What designs cost and save over the years, where the scenario counts money.
    pub money: Option<&'a MoneyDigest>,
    /// How many inputs the scenario left to defaults.
    pub defaults: usize,
    /// True if the output of the heaters is one of them.
    pub output_by_default: bool,
    /// True if how wet the inner film is decides on an infrared film or between covers.
    pub wet_film_decides: bool,
    /// What fails in the year itself, if anything does.
    pub events: Option<YearEvents>,
    /// True if house air is blown between films.
    pub house_air_in_gaps: bool,
    /// The units that stand first.
    pub system: System,
}

impl Summary<'_> {
    /// The text, at most 100 columns wide.
    pub fn text(&self) -> String {
        let body = match (self.cases, self.digest) {
            ([only], _) if self.untold == 0 => self.one_case(only),
            (cases, Some(digest)) => self.many_draws(cases, digest),
            (cases, None) => self.many_cases(cases),
        };
        let title = title(self.title);
        let years = worst_years::block(self.worst_years, self.system);
        let costs = self.money.map_or_else(String::new, costs::block);
        format!(
            "{title}\n\n{body}{years}{costs}\n{}{}",
            self.caveats(),
            cautions()
        )
    }

    fn one_case(&self, case: &CaseSummary) -> String {
        let place = format!(
            "{}, floor {}",
            case.climate,
            figures::area(case.floor_area_m2, self.system)
        );
        let place = labelled("House", &place) + &weather::line(case);
        match &case.outcome {
            Ok(numbers) => place + &self.numbers(case, numbers),
            Err(reason) => place + &labelled("Failed", reason),
        }
    }

    fn numbers(&self, case: &CaseSummary, numbers: &Numbers) -> String {
        let mut text = self.fuel(numbers);
        text += &self.months(case, numbers);
        text += &self.heater(numbers);
        text += &electricity(numbers);
        text.push('\n');
        text += &self.lowest(numbers);
        text += &self.limits(numbers);
        match &numbers.failing {
            Some(failing) => format!("{text}\n{}", failing::block(failing, self.system)),
            None => text,
        }
    }

    fn fuel(&self, numbers: &Numbers) -> String {
        if numbers.year.heat_j < NO_HEAT_J {
            return labelled("Fuel", "none: no heat was used");
        }
        let parts = match numbers.by_fuel.as_slice() {
            [] => std::slice::from_ref(&numbers.year),
            several => several,
        };
        let mut text = String::new();
        for part in parts {
            text += &labelled(
                &format!("{}, year", part.fuel),
                &self.fuel_year(part, numbers),
            );
        }
        if let Some(week) = numbers.worst_week {
            text += &labelled("Worst week", &self.week(week, numbers));
        }
        text
    }

    fn fuel_year(&self, part: &FuelTotals, numbers: &Numbers) -> String {
        let energy = figures::energy(part.fuel_j, self.system);
        let cost = part.fuel_cost.map(|cost| money(cost, &numbers.currency));
        let amount = amount(part.fuel_units, part);
        let all = [amount, Some(energy), cost];
        all.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }

    fn week(&self, week: WorstWeek, numbers: &Numbers) -> String {
        let year = &numbers.year;
        let from = week.first_day * 24;
        let dates = format!(
            "{} to {}",
            figures::date(from),
            figures::date(from + 6 * 24)
        );
        let heat = format!("{} of heat", figures::energy(week.heat_j, self.system));
        let price = price(year).zip(week.fuel_units);
        let cost = price.map(|(price, units)| money(price * units, &numbers.currency));
        let all = [amount(week.fuel_units, year), Some(heat), cost, Some(dates)];
        all.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }

    /// The months with heat, in the order of a heating season.
    fn months(&self, case: &CaseSummary, numbers: &Numbers) -> String {
        let first = if case.latitude_deg < 0.0 { 0 } else { 6 };
        let heated = |month: &usize| {
            let month = numbers.months.get(*month);
            month.is_some_and(|month| month.heat_j >= NO_HEAT_J)
        };
        let order: Vec<usize> = (first..first + 12).map(|m| m % 12).filter(heated).collect();
        if order.is_empty() {
            return String::new();
        }
        let (unit, value) = self.monthly(numbers);
        let mut header = vec![format!("{:<24}", "By month")];
        let mut line = vec![format!("  {unit}")];
        let mut costs = vec![format!("  {}", numbers.currency)];
        for month in order {
            let totals = &numbers.months[month];
            header.push(figures::month(month).to_owned());
            line.push(figures::figures(value(totals)));
            costs.extend(totals.fuel_cost.map(figures::figures));
        }
        let mut lean = vec![Lean::Right; header.len()];
        lean[0] = Lean::Left;
        let mut rows = vec![header, line];
        if costs.len() == lean.len() {
            rows.push(costs);
        }
        columns(&rows, &lean, 0..1)
    }

    /// Fuel by month where there is one fuel, else heat.
    fn monthly(&self, numbers: &Numbers) -> (String, impl Fn(&FuelTotals) -> f64 + use<>) {
        let system = self.system;
        let in_fuel = numbers.year.fuel_units.and(numbers.year.fuel_unit.clone());
        let unit = match &in_fuel {
            Some(unit) => unit.to_string(),
            None => format!("{} of heat", figures::energy_unit(system)),
        };
        let value = move |month: &FuelTotals| match &in_fuel {
            Some(_) => month.fuel_units.unwrap_or(0.0),
            None => figures::energy_number(month.heat_j, system),
        };
        (unit, value)
    }

    fn heater(&self, numbers: &Numbers) -> String {
        if numbers.heater_output_w <= 0.0 {
            return labelled("Heater", "none");
        }
        let full = match numbers.full_output_h {
            hours if hours > 0.0 => format!(", all of it for {} h", figures::figures(hours)),
            _ => String::new(),
        };
        let when = match numbers.house.peak_hour_w {
            peak_w if peak_w > 0.0 => format!(
                " at the peak, {}, {} outside",
                figures::date_and_hour(numbers.house.peak_at_hour),
                figures::temperature(numbers.outdoor_at_peak_k, self.system),
            ),
            _ => String::new(),
        };
        let sized = if self.output_by_default {
            " (sized generously by default)"
        } else {
            ""
        };
        let peak = format!(
            "{}{when}; the heater can give {}{sized}{full}",
            figures::output(numbers.house.peak_hour_w, self.system),
            figures::output(numbers.heater_output_w, self.system),
        );
        labelled("Heat output", &peak) + &labelled("Hold temperature", &self.hold(numbers))
    }

    fn hold(&self, numbers: &Numbers) -> String {
        match numbers.shortfall {
            Some(shortfall) if shortfall.below_set_k >= HELD_WITHIN_K => {
                let mut missed = format!(
                    "missed by up to {}, {}",
                    figures::difference(shortfall.below_set_k, self.system),
                    figures::date_and_hour(shortfall.hour),
                );
                if numbers.house.unmet_j >= NO_HEAT_J {
                    let lacking = figures::energy(numbers.house.unmet_j, self.system);
                    missed += &format!("; {lacking} of heat was lacking");
                }
                match numbers.house.holding_peak_w {
                    Some(peak_w) => {
                        let output = figures::output(peak_w, self.system);
                        format!("{missed}; an output of {output} would have held")
                    }
                    None => missed,
                }
            }
            _ => "held in every hour".to_owned(),
        }
    }

    fn lowest(&self, numbers: &Numbers) -> String {
        let lowest = [
            ("Lowest leaf", numbers.lowest_leaf),
            ("Lowest air", numbers.lowest_air),
        ];
        let line = |(label, lowest): (&str, Option<_>)| {
            let lowest: overwinter_study::tables::frost_risk::Lowest = lowest?;
            let temperature = figures::temperature(lowest.temp_k, self.system);
            let when = figures::date_and_hour(lowest.hour);
            Some(labelled(label, &format!("{temperature}, {when}")))
        };
        lowest.into_iter().filter_map(line).collect()
    }

    fn limits(&self, numbers: &Numbers) -> String {
        if numbers.limits.is_empty() {
            return String::new();
        }
        let header = ["Hours below", "", "leaf", "air", "nights", "longest"];
        let mut rows = vec![header.map(str::to_owned).to_vec()];
        rows.extend(numbers.limits.iter().map(|limit| self.limit(limit)));
        let lean = [
            Lean::Left,
            Lean::Right,
            Lean::Right,
            Lean::Right,
            Lean::Right,
            Lean::Right,
        ];
        columns(&rows, &lean, 0..1)
    }

    /// Nights and the longest spell are those of the leaf, or of the air without a crop.
    fn limit(&self, limit: &LimitSummary) -> Vec<String> {
        let judged = limit.leaf.unwrap_or(limit.air);
        let leaf = limit.leaf.map(|leaf| figures::count(leaf.hours));
        vec![
            format!("  {}", limit.name),
            figures::temperature(limit.limit_k, self.system),
            leaf.unwrap_or_else(|| "-".to_owned()),
            figures::count(limit.air.hours),
            figures::count(judged.nights),
            format!("{} h", figures::count(judged.longest_spell_h)),
        ]
    }

    fn caveats(&self) -> String {
        let defaults = match self.defaults {
            0 => String::new(),
            1 => " One input is a default: see check.".to_owned(),
            count => format!(" {count} inputs are defaults: see check."),
        };
        let assumed = format!(
            "The thermostat, the leaks and the films are as stated or assumed, not measured.{defaults}"
        );
        "Read with care\n".to_owned()
            + &weather::caveats(self.cases)
            + &item(&assumed)
            + &self.events_of_the_year()
            + &self.no_promise()
            + &self.frozen_soil()
            + &self.wet_film()
            + &self.wet_gaps()
    }

    fn no_promise(&self) -> String {
        let mut ran = self
            .cases
            .iter()
            .filter_map(|case| case.outcome.as_ref().ok());
        if !ran.any(|numbers| numbers.failing.is_some()) {
            return String::new();
        }
        item(
            "What a failure does is an estimate, no promise: sensor, wind and leaks change it, and how \
             gaps lose their air was never measured. See the command night.",
        )
    }

    /// Water that freezes in the soil gives off heat in the coldest nights.
    fn frozen_soil(&self) -> String {
        let mut ran = self
            .cases
            .iter()
            .filter_map(|case| case.outcome.as_ref().ok());
        let is_cold = |numbers: &Numbers| {
            let lowest_k = numbers
                .lowest_air
                .map_or(FREEZING_K, |lowest| lowest.temp_k);
            numbers.heater_output_w <= 0.0 || lowest_k < FREEZING_K
        };
        if !ran.any(is_cold) {
            return String::new();
        }
        let colder = match self.system {
            System::Si => "2 K (4 degF)",
            System::Us => "4 degF (2 K)",
        };
        item(&format!(
            "The soil's water holds lows below freezing up as it turns to ice: over dry soil they come \
             out some {colder} colder. See floor.water."
        ))
    }

    fn events_of_the_year(&self) -> String {
        self.events.as_ref().map_or_else(String::new, |events| {
            let more = match events.more {
                0 => String::new(),
                more => format!(", and {} more", figures::count(more)),
            };
            let first = format!(
                "{}, {}, {} h{more}",
                events.what,
                figures::date_and_hour(events.hour),
                figures::figures(events.length_h),
            );
            item(&format!(
                "The year holds what the scenario lets fail ({first}): its fuel, peak, shortfall and lows \
                 are those of a year with it. Size no heater by them."
            ))
        })
    }

    fn wet_gaps(&self) -> String {
        if !self.house_air_in_gaps {
            return String::new();
        }
        item(
            "House air between the films keeps the outer one wet, which holds thermal radiation back: the \
             fuel it seems to save rests on how wet a film is, and light and water are its price. See \
             the table moisture; do not rank designs by it.",
        )
    }

    fn wet_film(&self) -> String {
        if self.wet_film_decides {
            item(
                "How wet the inner film is decides what an infrared film saves: water stops \
                 longwave as well as the additive does.",
            )
        } else {
            String::new()
        }
    }
}

fn electricity(numbers: &Numbers) -> String {
    let house = &numbers.house;
    let parts = [
        ("blower", house.blower_j),
        ("circulation", house.circulation_j),
        ("vent fans", house.vent_fan_j),
        ("heaters", numbers.heater_electric_j),
    ];
    let used = parts.iter().filter(|(_, energy_j)| *energy_j > 0.0);
    let mut words: Vec<String> = used
        .map(|(name, energy_j)| format!("{name} {}", figures::electricity(*energy_j)))
        .collect();
    if words.is_empty() {
        words.push("fans and blowers none".to_owned());
    }
    let cost = house.electricity_cost.filter(|&cost| cost > 0.0);
    words.extend(cost.map(|cost| format!("in all {}", money(cost, &numbers.currency))));
    labelled("Electricity, year", &words.join(", "))
}

/// An amount of fuel in its own unit, where it has one.
pub(super) fn amount(units: Option<f64>, totals: &FuelTotals) -> Option<String> {
    let unit = totals.fuel_unit.as_ref()?;
    Some(format!("{} {unit}", figures::figures(units?)))
}

/// Price of a unit of fuel over the year, where it has one.
fn price(year: &FuelTotals) -> Option<f64> {
    let units = year.fuel_units.filter(|&units| units > 0.0)?;
    Some(year.fuel_cost? / units)
}

pub(super) fn money(amount: f64, currency: &str) -> String {
    format!("{} {currency}", figures::figures(amount))
        .trim_end()
        .to_owned()
}

fn cautions() -> String {
    "Cautions\n".to_owned()
        + &item(
            "Vent every fuel-burning heater outside, give it combustion air, and have a carbon \
             monoxide alarm for people.",
        )
        + &item(
            "Blowers, fans and outlets stand in a wet location: ask your electrician. Snow load is \
             the word of the frame's maker and an engineer.",
        )
        + &item(
            "A planning estimate, not a design, permit or safety approval: local codes and licensed \
             trades govern.",
        )
}

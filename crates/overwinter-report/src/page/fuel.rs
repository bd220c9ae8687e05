//! Fuel by month and by design.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use super::months::{months_of_many, months_of_one};
use crate::chart::Label;
use crate::chart::bars::{Bar, Bars};
use crate::designs::{Design, Setting};
use crate::facts::{self, Fuel};
use crate::figures::{self, Quantity, figures as print};
use crate::plain_text::capital;

/// What fuel is counted in.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Measure {
    /// The unit it is bought in, with its name.
    Bought { unit: String, fuel: String },
    /// Energy, where designs burn different fuels or a fuel has no unit.
    Energy,
}

impl Measure {
    /// What all these designs can be counted in.
    pub(super) fn of(view: View<'_>, designs: &[Design]) -> Self {
        let mut years = designs
            .iter()
            .filter_map(|d| facts::fuel(view.run, d.case_id, 0));
        let Some(first) = years.next() else {
            return Self::Energy;
        };
        let is_same = |year: &Fuel| {
            year.amount.is_some() && year.unit == first.unit && year.fuel == first.fuel
        };
        if is_same(&first) && years.all(|year| is_same(&year)) {
            Self::Bought {
                unit: first.unit,
                fuel: first.fuel,
            }
        } else {
            Self::Energy
        }
    }

    /// Its unit.
    pub(super) fn unit(&self, view: View<'_>) -> String {
        match self {
            Self::Bought { unit, .. } => unit.clone(),
            Self::Energy => Quantity::Energy.unit(view.system).to_owned(),
        }
    }

    /// The fuel in words.
    pub(super) fn fuel(&self) -> &str {
        match self {
            Self::Bought { fuel, .. } => fuel,
            Self::Energy => "fuel",
        }
    }

    /// The number of a row.
    pub(super) fn value(&self, view: View<'_>, fuel: &Fuel) -> Option<f64> {
        match self {
            Self::Bought { .. } => fuel.amount,
            Self::Energy => fuel
                .energy_kwh
                .map(|kwh| Quantity::Energy.value(kwh, view.system)),
        }
    }
}

/// The section.
pub(super) fn section(view: View<'_>) -> Markup {
    html! {
        section aria-labelledby="fuel" {
            h2 #fuel { "Fuel" }
            @if view.run.table("fuel_use").is_none() {
                (block::gap("fuel_use", "fuel by month and by design", "Every finished run writes this \
                    table: if the file was moved, put it back beside the manifest."))
            } @else {
                @if let Some(words) = view.left_out() { (block::note(&words)) }
                @for (index, setting, name) in view.settings() { (of_setting(view, setting, index, &name)) }
                (block::note("Fuel is that of the season in the weather year that was used. It is not the figure \
                    to size a heater by: see Heater size. Prices are those stated in the scenario."))
            }
        }
    }
}

fn of_setting(view: View<'_>, setting: &Setting, index: usize, name: &str) -> Markup {
    let measure = Measure::of(view, &setting.designs);
    let months = heated_months(view, setting);
    if months.is_empty() {
        return html! {
            h3 { "Fuel by month" (name) }
            p { "No heater gave heat in the year, so no fuel was used." }
        };
    }
    html! {
        h3 { "Fuel by month" (name) }
        @match setting.designs.as_slice() {
            [only] => (months_of_one(view, only, &months, &measure, index)),
            _ => {
                (months_of_many(view, setting, &months, &measure, index))
                h3 { "Fuel by design" (name) }
                (by_design(view, setting, &measure, index))
            }
        }
    }
}

/// Months in which a design needed heat, in the order of a heating season.
pub(super) fn heated_months(view: View<'_>, setting: &Setting) -> Vec<u64> {
    let files = &view.run.manifest().weather;
    let file = files
        .iter()
        .find(|file| file.file.path == setting.weather_file);
    let is_south = file.is_some_and(|file| file.latitude_deg < 0.0);
    let first = if is_south { 0 } else { 6 };
    let is_heated = |month: &u64| {
        setting.designs.iter().any(|design| {
            facts::fuel(view.run, design.case_id, *month).is_some_and(|fuel| fuel.is_heated())
        })
    };
    (first..first + 12)
        .map(|month| month % 12 + 1)
        .filter(is_heated)
        .collect()
}

fn by_design(view: View<'_>, setting: &Setting, measure: &Measure, index: usize) -> Markup {
    let years: Vec<(&Design, Fuel)> = setting
        .designs
        .iter()
        .filter_map(|design| Some((design, facts::fuel(view.run, design.case_id, 0)?)))
        .collect();
    let unit = measure.unit(view);
    let title = format!("{} of the year by design, {unit}", capital(measure.fuel()));
    let bars: Vec<Bar> = years
        .iter()
        .filter_map(|(design, year)| {
            let value = measure.value(view, year)?;
            Some(Bar {
                name: design.label.clone(),
                value,
                printed: print(value),
            })
        })
        .collect();
    let finding = match (
        bars.iter().min_by(|a, b| a.value.total_cmp(&b.value)),
        bars.iter().max_by(|a, b| a.value.total_cmp(&b.value)),
    ) {
        (Some(least), Some(most)) if least.printed == most.printed => format!(
            "All designs use about the same: {} {unit} in the year.",
            least.printed
        ),
        (Some(least), Some(most)) => format!(
            "Least fuel: {}, {} {unit} in the year. Most: {}, {} {unit}.",
            least.name, least.printed, most.name, most.printed
        ),
        _ => "No design has a figure for fuel.".to_owned(),
    };
    let drawing = Bars {
        label: Label {
            id: format!("fuel-designs-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        title: unit.clone(),
        bars,
    };
    block::chart(
        &title,
        &finding,
        &drawing.draw(),
        &year_table(view, &years, measure, &title),
    )
}

fn year_table(
    view: View<'_>,
    years: &[(&Design, Fuel)],
    measure: &Measure,
    title: &str,
) -> DataTable {
    let currency = years.first().map_or("", |(_, year)| year.currency.as_str());
    let mut head = vec!["Design".to_owned()];
    if let Measure::Bought { unit, fuel } = measure {
        head.push(format!("{fuel}, {unit}"));
        head.push(format!("in the worst week, {unit}"));
    }
    head.push(format!(
        "energy of the fuel, {}",
        Quantity::Energy.units(view.system)
    ));
    head.push("electricity, kWh".to_owned());
    // With a price that is drawn, the cost of one draw would say nothing.
    let has_costs = !view.run.is_sampled();
    if has_costs {
        head.push(format!("cost of the fuel, {currency}"));
        head.push(format!("cost of electricity, {currency}"));
    }
    let mut table = DataTable::new(title, head);
    for (design, year) in years {
        let mut cells = Vec::new();
        if let Measure::Bought { .. } = measure {
            cells.push(figures::cell(year.amount));
            cells.push(figures::cell(year.week_amount));
        }
        cells.push(Quantity::Energy.cell(year.energy_kwh, view.system));
        cells.push(figures::cell(year.electricity_kwh));
        if has_costs {
            cells.push(figures::cell(year.cost));
            cells.push(figures::cell(year.electricity_cost));
        }
        table.push(design.label.clone(), cells);
    }
    table
}

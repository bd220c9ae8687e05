//! Where the heat of a winter comes from and where it goes.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use crate::chart::Label;
use crate::chart::bars::{Bar, Bars};
use crate::designs::{Design, Setting};
use crate::figures::{self, Quantity};
use crate::plain_text::capital;
use crate::plain_text::listed;
use crate::table::Table;

/// Paths of heat: name and the columns of `balance` that make it up.
const PATHS: [(&str, &[&str]); 14] = [
    ("heaters", &["heat_heater_kwh"]),
    (
        "sun, caught inside and in the cover",
        &["heat_sun_inside_kwh", "heat_sun_shell_kwh"],
    ),
    ("fans and other devices", &["heat_gains_kwh"]),
    ("cooling", &["heat_cooling_kwh"]),
    (
        "cover: radiated to sky and surroundings",
        &["heat_cover_longwave_kwh"],
    ),
    (
        "cover: to the outdoor air and the wind",
        &["heat_cover_convection_kwh"],
    ),
    ("walls", &["heat_walls_kwh"]),
    ("leaks", &["heat_leakage_kwh"]),
    ("vents", &["heat_vents_kwh"]),
    ("air blown through the cover", &["heat_blower_kwh"]),
    ("ground below", &["heat_ground_below_kwh"]),
    ("edge of the ground", &["heat_ground_edge_kwh"]),
    ("water that evaporates inside", &["heat_evaporation_kwh"]),
    ("water that freezes and thaws", &["heat_freezing_kwh"]),
];
/// A month counts as one of the winter from this share of the year's heat on.
const WINTER_MONTH: f64 = 0.05;
/// A path is told of from this share of the largest on.
const LEAST_PATH: f64 = 0.001;

/// The section.
pub(super) fn section(view: View<'_>) -> Markup {
    html! {
        section aria-labelledby="heat-paths" {
            h2 #heat-paths { "Where the heat goes" }
            @match view.run.table("balance") {
                None => (block::gap("balance", "the parts of the heat loss", "Every finished run writes this table.")),
                Some(table) => {
                    @for (index, setting, name) in view.settings() {
                        h3 { "Heat into and out of the house" (name) }
                        (of_setting(view, table, setting, index))
                    }
                    (block::note("Above zero is heat into the house, below zero heat out of it. Water that \
                        evaporates takes heat from the house; where it settles on the cover it gives the heat \
                        to the cover, which loses it. Leaks and vents count the warmth of the air that is \
                        exchanged. Paths of less than a thousandth of the largest are left out."))
                }
            }
        }
    }
}

/// The months of the winter: those with at least a twentieth of the year's heat from the heaters;
/// without heaters the whole year.
fn winter(table: &Table, case_id: u64) -> (Vec<u64>, String) {
    let heat = |month: u64| {
        let rows = table.of_case(case_id);
        let row = rows
            .into_iter()
            .find(|&row| table.id("month", row) == Some(month))?;
        table.number("heat_heater_kwh", row)
    };
    let year = heat(0).unwrap_or(0.0);
    if year < crate::facts::NO_HEAT_KWH {
        return (vec![0], "the whole year".to_owned());
    }
    let order = (7..=12).chain(1..=6);
    let months: Vec<u64> = order
        .filter(|&month| heat(month).unwrap_or(0.0) >= WINTER_MONTH * year)
        .collect();
    let names: Vec<String> = months
        .iter()
        .filter_map(|&m| figures::month_name(m))
        .map(str::to_owned)
        .collect();
    (months, listed(&names))
}

fn path(table: &Table, case_id: u64, months: &[u64], columns: &[&str]) -> Option<f64> {
    let rows = table.select(|row| {
        table.id("case_id", row) == Some(case_id)
            && table
                .id("month", row)
                .is_some_and(|month| months.contains(&month))
    });
    let cells = rows
        .iter()
        .flat_map(|&row| columns.iter().map(move |column| table.number(column, row)));
    cells.flatten().reduce(|sum, cell| sum + cell)
}

fn of_setting(view: View<'_>, table: &Table, setting: &Setting, index: usize) -> Markup {
    let Some(lead) = setting
        .designs
        .iter()
        .find(|d| !table.of_case(d.case_id).is_empty())
    else {
        return block::gap(
            "balance",
            "the parts of the heat loss",
            "The table has no row of these designs.",
        );
    };
    let (months, names) = winter(table, lead.case_id);
    let value = |design: &Design, columns: &[&str]| path(table, design.case_id, &months, columns);
    let sizes = |columns: &[&str]| {
        let sizes = setting
            .designs
            .iter()
            .filter_map(|design| value(design, columns));
        sizes.map(f64::abs).fold(0.0, f64::max)
    };
    let largest = PATHS
        .iter()
        .map(|(_, columns)| sizes(columns))
        .fold(0.0, f64::max);
    let is_told = |columns: &[&str]| sizes(columns) > largest * LEAST_PATH;
    let told: Vec<_> = PATHS
        .iter()
        .filter(|(_, columns)| is_told(columns))
        .collect();
    let unit = Quantity::Energy.unit(view.system);
    let title = format!("Heat by path, {} in {names}, {unit}", lead.label);
    let bars: Vec<Bar> = told
        .iter()
        .filter_map(|(name, columns)| {
            let kwh = value(lead, columns)?;
            Some(Bar {
                name: (*name).to_owned(),
                value: Quantity::Energy.value(kwh, view.system),
                printed: Quantity::Energy.number(kwh, view.system),
            })
        })
        .collect();
    let finding = finding(view, &bars, lead, &names);
    let drawing = Bars {
        label: Label {
            id: format!("paths-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        title: unit.to_owned(),
        bars,
    };
    let mut head = vec!["Path of heat".to_owned()];
    let units = Quantity::Energy.units(view.system);
    head.extend(
        setting
            .designs
            .iter()
            .map(|design| format!("{}, {units}", design.label)),
    );
    let mut numbers = DataTable::new(format!("Heat by path in {names}, {units}"), head);
    for (name, columns) in &told {
        let cells = setting
            .designs
            .iter()
            .map(|d| Quantity::Energy.cell(value(d, columns), view.system));
        numbers.push(*name, cells.collect());
    }
    block::chart(&title, &finding, &drawing.draw(), &numbers)
}

fn finding(view: View<'_>, bars: &[Bar], lead: &Design, months: &str) -> String {
    let mut losses: Vec<&Bar> = bars.iter().filter(|bar| bar.value < 0.0).collect();
    losses.sort_by(|a, b| a.value.total_cmp(&b.value));
    let unit = Quantity::Energy.unit(view.system);
    let said = |bar: &&Bar| {
        format!(
            "{} ({} {unit})",
            bar.name,
            bar.printed.trim_start_matches('−')
        )
    };
    let largest: Vec<String> = losses.iter().take(3).map(said).collect();
    match largest.as_slice() {
        [] => format!("{}: no heat is lost in {months}.", capital(&lead.label)),
        [only] => format!(
            "{}: the only loss in {months} is {only}.",
            capital(&lead.label)
        ),
        several => format!(
            "{}: the largest losses in {months} are {}.",
            capital(&lead.label),
            listed(several)
        ),
    }
}

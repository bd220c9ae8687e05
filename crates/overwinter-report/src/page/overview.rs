//! The first page of a run of many designs: one table, and what stands out in words.

use maud::{Markup, html};

use super::block::{self, DataTable};
use super::fuel::Measure;
use super::ladder::begins;
use super::measure::{median_and_range, row_of};
use super::{View, inputs, payback};
use crate::designs::{Design, Setting};
use crate::facts::{self, Fuel, Outage};
use crate::figures::{self, NOTHING, Quantity};
use crate::plain_text::listed;

/// Rows beyond which the table would not leave room on the first page.
const MOST_ROWS: usize = 8;
/// Measures of a sampled run, with their names in the table.
const SAMPLED: [(&str, &str); 5] = [
    ("fuel", "fuel"),
    ("fuel and electricity cost", "fuel and electricity"),
    ("peak heat", "peak heat"),
    ("lowest leaf", "lowest leaf"),
    ("nights lost when failing", "nights lost when failing"),
];

/// A design with its name and its year.
struct Shown<'a> {
    design: &'a Design,
    name: String,
    year: Fuel,
}

/// The part of the first page that differs from that of one design.
pub(super) fn many(view: View<'_>) -> Markup {
    let shown = shown(view);
    html! {
        h2 { "What the season costs and what a failing night does" }
        @if shown.is_empty() {
            (block::gap("fuel_use", "what the season costs", "Every finished run writes this table."))
        } @else {
            @if let Some(words) = inputs::compared(view) { p { (words) } }
            p.finding { (cheapest(view)) }
            @for words in paybacks(view) { p { strong { "Payback. " } (words) } }
            @if view.run.is_sampled() { (sampled(view, &shown).draw()) }
            @else { (computed_once(view, &shown).draw()) }
            (words(view, &shown))
        }
    }
}

/// All designs, or the first and the cheapest of each setting where there are too many.
fn shown(view: View<'_>) -> Vec<Shown<'_>> {
    let all: usize = view
        .run
        .settings()
        .iter()
        .map(|setting| setting.designs.len())
        .sum();
    let is_kept = |design: &Design| {
        all <= MOST_ROWS
            || view.run.settings().iter().any(|setting| {
                let first = setting.designs.first().map(|first| first.case_id);
                let cheapest = cheapest_of(view, setting).0;
                let cheapest = cheapest.first().map(|cheapest| cheapest.case_id);
                [first, cheapest].contains(&Some(design.case_id))
            })
    };
    view.rows()
        .filter(|(design, _)| is_kept(design))
        .filter_map(|(design, name)| {
            let year = facts::fuel(view.run, design.case_id, 0)?;
            Some(Shown { design, name, year })
        })
        .collect()
}

/// The designs that cost least in a setting, with their cost as printed; several where the print is
/// the same.
fn cheapest_of<'a>(view: View<'_>, setting: &'a Setting) -> (Vec<&'a Design>, String) {
    let costs = setting
        .designs
        .iter()
        .filter_map(|design| cost_of(view, design));
    let costs: Vec<(&Design, f64, String)> = costs.collect();
    let least = costs.iter().min_by(|a, b| a.1.total_cmp(&b.1));
    let Some((_, _, printed)) = least else {
        return (Vec::new(), String::new());
    };
    let is_least = |cost: &&(&Design, f64, String)| cost.2 == *printed;
    let designs = costs.iter().filter(is_least).map(|(design, ..)| *design);
    (designs.collect(), printed.clone())
}

/// What fuel and electricity of a design cost, with the print of it.
fn cost_of<'a>(view: View<'_>, design: &'a Design) -> Option<(&'a Design, f64, String)> {
    if view.run.is_sampled() {
        let table = view.run.table("ranking")?;
        let measure = "fuel and electricity cost";
        let median = table.number("median", row_of(table, design, measure)?)?;
        let (printed, unit) = median_and_range(view, design, measure)?;
        return Some((design, median, format!("{printed} {unit}")));
    }
    let year = facts::fuel(view.run, design.case_id, 0)?;
    let cost = year.all_cost().or(year.cost)?;
    let printed = format!("{} {}", figures::figures(cost), year.currency);
    Some((design, cost, printed))
}

fn cheapest(view: View<'_>) -> String {
    let is_named = view.run.settings().len() > 1;
    let said = |setting: &Setting| {
        let (designs, cost) = cheapest_of(view, setting);
        let names = match designs.as_slice() {
            [] => return None,
            all if all.len() == setting.designs.len() && all.len() > 1 => {
                "all designs alike".to_owned()
            }
            some => listed(
                &some
                    .iter()
                    .map(|design| design.label.clone())
                    .collect::<Vec<_>>(),
            ),
        };
        let place = if is_named {
            format!("{}: ", setting.label)
        } else {
            String::new()
        };
        Some(format!("{place}{names}, {cost}"))
    };
    let said: Vec<String> = view.run.settings().iter().filter_map(said).collect();
    match said.as_slice() {
        [] => "No prices were given, so the designs are compared by fuel.".to_owned(),
        said => format!(
            "Least cost of fuel and electricity in the year: {}.",
            said.join("; ")
        ),
    }
}

/// The best upgrade of each setting in a sentence.
fn paybacks(view: View<'_>) -> Vec<String> {
    let said = |(_, setting, name): (usize, &Setting, String)| {
        let words = payback::best(view, setting)?;
        let place = name.trim_start_matches(", ");
        Some(if place.is_empty() {
            words
        } else {
            format!("{place}: {words}")
        })
    };
    view.settings().filter_map(said).collect()
}

/// Medians and ranges of a run whose inputs were drawn.
fn sampled(view: View<'_>, shown: &[Shown<'_>]) -> DataTable {
    let mut head = vec!["Design".to_owned()];
    let mut told = Vec::new();
    for (measure, name) in SAMPLED {
        let mut units = shown
            .iter()
            .filter_map(|row| Some(median_and_range(view, row.design, measure)?.1));
        if let Some(unit) = units.next() {
            head.push(format!("{name}, {unit}"));
            told.push(measure);
        }
    }
    let caption =
        "The designs in short, of the year: middle of the draws, and where 90 of 100 draws lie";
    let mut table = DataTable::new(caption, head);
    for row in shown {
        let cell = |measure: &&str| {
            let printed = median_and_range(view, row.design, measure);
            printed.map_or_else(|| NOTHING.to_owned(), |(printed, _)| printed)
        };
        table.push(row.name.clone(), told.iter().map(cell).collect());
    }
    table
}

fn computed_once(view: View<'_>, shown: &[Shown<'_>]) -> DataTable {
    let designs: Vec<Design> = shown.iter().map(|row| row.design.clone()).collect();
    let measure = Measure::of(view, &designs);
    let currency = shown.first().map_or("", |row| row.year.currency.as_str());
    let temperature = Quantity::Temperature;
    let failure = main_failure(view, shown);
    let mut head = vec![
        "Design".to_owned(),
        format!("{}, {}", measure.fuel(), measure.unit(view)),
        format!("fuel and electricity, {currency}"),
        format!("peak heat, {}", Quantity::Power.units(view.system)),
        format!("lowest leaf, {}", temperature.units(view.system)),
    ];
    if let Some(outage) = &failure {
        let name = facts::failure_name(&outage.failure);
        head.push(format!("{name}, nights lost"));
        head.push(format!(
            "{name}, leaf on the clear design night, {}",
            temperature.units(view.system)
        ));
    }
    let mut table = DataTable::new("The designs in short, of the year", head);
    for row in shown {
        let lows = facts::lows(view.run, row.design.case_id);
        let low = lows.and_then(|lows| lows.leaf_degc.or(lows.air_degc));
        let mut cells = vec![
            figures::cell(measure.value(view, &row.year)),
            figures::cell(row.year.all_cost().or(row.year.cost)),
            Quantity::Power.cell(row.year.peak_kw, view.system),
            temperature.cell(low, view.system),
        ];
        if let Some(of) = &failure {
            let outages = facts::outages(view.run, row.design.case_id);
            let outage = facts::main_outage(&outages, &of.failure);
            let number = |column| outage.and_then(|outage| outage.number(view.run, column));
            cells.push(figures::cell(number("nights_lost")));
            cells.push(temperature.cell(number("lowest_leaf_design_clear_degc"), view.system));
        }
        table.push(row.name.clone(), cells);
    }
    table
}

/// The failure told of in the table.
fn main_failure(view: View<'_>, shown: &[Shown<'_>]) -> Option<Outage> {
    shown.iter().find_map(|row| {
        let outages = facts::outages(view.run, row.design.case_id);
        let main = facts::main_failure(&outages)?;
        facts::main_outage(&outages, main).cloned()
    })
}

fn words(view: View<'_>, shown: &[Shown<'_>]) -> Markup {
    let is_lacking = |year: &Fuel| year.unmet_kwh.is_some_and(|kwh| kwh >= facts::NO_HEAT_KWH);
    let lacking: Vec<String> = shown
        .iter()
        .filter(|row| is_lacking(&row.year))
        .map(|row| format!("\"{}\"", row.name))
        .collect();
    let all: usize = view
        .run
        .settings()
        .iter()
        .map(|setting| setting.designs.len())
        .sum();
    html! {
        @if all > shown.len() {
            p { "The first and the cheapest design are shown here; the others follow below." }
        }
        @if !lacking.is_empty() {
            p { "Heat was lacking at times in: " (listed(&lacking)) ". See Heater size." }
        }
        @match main_failure(view, shown) {
            Some(outage) => p {
                "Nights lost: of the " (outage.count(view.run, "nights").map(figures::count).unwrap_or_default())
                " nights of the season at the first design, those in which the crop ("
                (outage.text(view.run, "limit")) ") would be lost if " (facts::failure_clause(&outage.failure)) " "
                (begins(&outage.start)) " for " (figures::length(outage.length_h)) "."
                @if !view.run.is_sampled() { " The last column is the lowest of the leaf in that time." }
            },
            None => (block::gap("outages", "what a failing night does", "The run tried no failure, or was too large to \
                try them: [outages] in the scenario asks for it.")),
        }
        @if view.run.table("frost_risk").is_none() {
            (block::gap("frost_risk", "how close the crop comes to frost", "Every finished run writes this table."))
        }
        @if let Some(words) = view.left_out() { (block::note(&words)) }
    }
}

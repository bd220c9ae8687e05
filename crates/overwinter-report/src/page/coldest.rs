//! How close the crop comes to frost while everything works.

use maud::{Markup, html};

use super::block::{self, DataTable};
use super::{View, coldest_course};
use crate::chart::Label;
use crate::chart::ranges::{Ranges, Row};
use crate::designs::{Design, Setting};
use crate::facts::{self, Limit, Lows};
use crate::figures::{self, Quantity};

/// The section.
pub(super) fn section(view: View<'_>) -> Markup {
    html! {
        section aria-labelledby="coldest" {
            h2 #coldest { "The coldest night" }
            @if view.run.table("frost_risk").is_none() {
                (block::gap("frost_risk", "how close the crop comes to frost", "Every finished run writes this table."))
            } @else {
                (block::note("Frost is judged on a leaf at the top of the crop that sees the cover. It is colder \
                    than the air, since it radiates to the cold cover. Limits of crops are rough: plants that \
                    were hardened bear more. These lows are those of the weather year, with \
                    what the scenario itself lets fail in it, if anything."))
                @for (index, setting, name) in view.settings() {
                    h3 { "Lowest temperatures" (name) }
                    (lows(view, setting, index))
                    (hours_below(view, setting))
                }
            }
            @match view.run.table("hourly") {
                None => (block::gap("hourly", "the course of the coldest night", &block::with_hours(view.run))),
                Some(table) => @for (index, setting, name) in view.settings() {
                    h3 { "Course of the coldest night" (name) }
                    (coldest_course::course(view, table, setting, index))
                },
            }
        }
    }
}

/// Limits in the order of their temperature, the warmest first, each once.
fn limits(view: View<'_>, setting: &Setting) -> Vec<Limit> {
    let mut limits: Vec<Limit> = Vec::new();
    for design in &setting.designs {
        for limit in facts::limits(view.run, design.case_id) {
            if !limits.iter().any(|known| known.name == limit.name) {
                limits.push(limit);
            }
        }
    }
    let degc = |limit: &Limit| limit.limit_degc.unwrap_or(f64::NEG_INFINITY);
    limits.sort_by(|a, b| degc(b).total_cmp(&degc(a)));
    limits
}

fn lows(view: View<'_>, setting: &Setting, index: usize) -> Markup {
    let temperature = Quantity::Temperature;
    let lows: Vec<(&Design, Lows)> = setting
        .designs
        .iter()
        .filter_map(|design| Some((design, facts::lows(view.run, design.case_id)?)))
        .collect();
    let limits = limits(view, setting);
    let finding = finding(view, &lows, &limits);
    let unit = temperature.unit(view.system);
    let title =
        format!("Lowest temperatures of the year: circle, top leaf; square, house air; {unit}");
    let short = |value: Option<f64>| {
        value.map_or_else(
            || figures::NOTHING.to_owned(),
            |v| temperature.number(v, view.system),
        )
    };
    let row = |(design, lows): &(&Design, Lows)| {
        let mark = |value: Option<f64>, look| {
            value.map(|value| (temperature.value(value, view.system), look))
        };
        Row {
            name: design.label.clone(),
            printed: format!(
                "leaf {}, air {} {unit}",
                short(lows.leaf_degc),
                short(lows.air_degc)
            ),
            range: None,
            marks: mark(lows.leaf_degc, 0)
                .into_iter()
                .chain(mark(lows.air_degc, 1))
                .collect(),
        }
    };
    let named = |limit: &Limit| {
        let value = temperature.value(limit.limit_degc?, view.system);
        Some((
            value,
            format!(
                "{}, {}",
                limit.name,
                temperature.short(limit.limit_degc?, view.system)
            ),
        ))
    };
    let drawing = Ranges {
        label: Label {
            id: format!("lows-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        title: unit.to_owned(),
        rows: lows.iter().map(row).collect(),
        limits: limits.iter().filter_map(named).collect(),
    };
    let table = lows_table(view, &lows, &title);
    block::chart(&title, &finding, &drawing.draw(), &table)
}

fn lows_table(view: View<'_>, lows: &[(&Design, Lows)], title: &str) -> DataTable {
    let temperature = Quantity::Temperature;
    let units = temperature.units(view.system);
    let head = [
        "Design",
        "lowest leaf",
        "in the hour from",
        "lowest air",
        "in the hour from",
    ];
    let mut head = head.map(str::to_owned).to_vec();
    for column in [1, 3] {
        head[column] = format!("{}, {units}", head[column]);
    }
    let mut table = DataTable::new(title, head);
    for (design, lows) in lows {
        let cells = vec![
            temperature.cell(lows.leaf_degc, view.system),
            figures::date(&lows.leaf_when),
            temperature.cell(lows.air_degc, view.system),
            figures::date(&lows.air_when),
        ];
        table.push(design.label.clone(), cells);
    }
    table
}

fn finding(view: View<'_>, lows: &[(&Design, Lows)], limits: &[Limit]) -> String {
    let judged = |lows: &Lows| lows.leaf_degc.or(lows.air_degc);
    let coldest = lows
        .iter()
        .filter_map(|(design, lows)| Some((design, lows, judged(lows)?)))
        .min_by(|a, b| a.2.total_cmp(&b.2));
    let Some((design, lows, degc)) = coldest else {
        return "The table has no lowest temperature.".to_owned();
    };
    let (part, when) = match lows.leaf_degc {
        Some(_) => ("leaf", &lows.leaf_when),
        None => ("air", &lows.air_when),
    };
    let named = if view.run.only_design().is_some() {
        String::new()
    } else {
        format!(" ({})", design.label)
    };
    let low = format!(
        "The lowest {part} of the year{named} is at {}, on {}.",
        Quantity::Temperature.pair(degc, view.system),
        figures::date(when)
    );
    format!("{low}{}", room(view, degc, limits))
}

/// How far a low is from the limit at which the crop is lost, in words.
pub(super) fn room(view: View<'_>, low_degc: f64, limits: &[Limit]) -> String {
    let limit = limits.iter().find(|limit| limit.loses_crop);
    let Some((limit, limit_degc)) = limit.and_then(|l| Some((l, l.limit_degc?))) else {
        return String::new();
    };
    let difference = Quantity::Difference.pair((low_degc - limit_degc).abs(), view.system);
    let side = if low_degc >= limit_degc {
        "above"
    } else {
        "below"
    };
    format!(
        " That is {difference} {side} the limit of the crop: {}, {}.",
        limit.name,
        Quantity::Temperature.pair(limit_degc, view.system)
    )
}

fn hours_below(view: View<'_>, setting: &Setting) -> Markup {
    let head = [
        if setting.designs.len() == 1 {
            "Limit"
        } else {
            "Design and limit"
        },
        "the limit",
        "hours below, leaf",
        "hours below, air",
        "nights below",
        "longest time below, h",
    ];
    let mut head = head.map(str::to_owned).to_vec();
    head[1] = format!("the limit, {}", Quantity::Temperature.units(view.system));
    let mut table = DataTable::new("Time below the limits in the year", head);
    for design in &setting.designs {
        for limit in facts::limits(view.run, design.case_id) {
            let is_alone = setting.designs.len() == 1;
            if !is_alone
                && !limit
                    .leaf_h
                    .or(limit.air_h)
                    .is_some_and(|hours| hours > 0.0)
            {
                continue;
            }
            let name = match setting.designs.as_slice() {
                [_] => limit.name.clone(),
                _ => format!("{}: {}", design.label, limit.name),
            };
            let cells = vec![
                Quantity::Temperature.cell(limit.limit_degc, view.system),
                figures::cell(limit.leaf_h),
                figures::cell(limit.air_h),
                figures::cell(limit.nights),
                figures::cell(limit.longest_h),
            ];
            table.push(name, cells);
        }
    }
    if table.rows.is_empty() {
        return html! { p { "None of these designs is below any limit of the crop in this year." } };
    }
    table.draw()
}

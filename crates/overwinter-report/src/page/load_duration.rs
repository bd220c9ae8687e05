//! For how many hours of the year how much heat is asked for.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use super::heater::{heater_limit, year};
use crate::chart::Label;
use crate::chart::lines::{Line, Lines};
use crate::chart::scale::Scale;
use crate::designs::{Design, Setting};
use crate::figures::{self, Quantity};
use crate::plain_text::capital;

/// Hours of the year told of in the table of a load-duration curve.
const HOURS: [usize; 9] = [1, 10, 50, 100, 200, 500, 1000, 2000, 4000];

/// A curve ends where it falls below this share of its peak.
const LEAST_HEAT: f64 = 0.01;
/// Less than a watt is none.
const LEAST_KW: f64 = 1e-3;
/// Points of a curve.
const POINTS: usize = 120;

/// The curves of all settings, or the gap.
pub(super) fn part(view: View<'_>) -> Markup {
    html! {
        @if view.run.table("hourly").is_none() {
            (block::gap("hourly", "the load-duration curve, which shows for how many hours of the year how \
                much heat is asked for", &format!("{} Peaks by month or by design stand here in its place.",
                block::with_hours(view.run))))
        } @else {
            @for (index, setting, name) in view.settings() {
                h3 { "How often how much heat" (name) }
                (duration(view, setting, index))
            }
        }
    }
}

fn duration(view: View<'_>, setting: &Setting, index: usize) -> Markup {
    let curves: Vec<(&Design, Vec<f64>)> = setting
        .designs
        .iter()
        .map(|design| (design, sorted_heat(view, design)))
        .filter(|(_, heat)| !heat.is_empty())
        .collect();
    let Some((first, heat)) = curves.first() else {
        return block::gap(
            "hourly",
            "the load-duration curve",
            "The table has no heat of these designs.",
        );
    };
    let is_half = |kw: &&f64| **kw > heat[0] / 2.0;
    let finding = format!(
        "{}: more than half of the peak of {} is asked for in {} of the {} hours.",
        capital(&first.label),
        Quantity::Power.pair(heat[0], view.system),
        figures::count(heat.iter().filter(is_half).count() as u64),
        figures::count(heat.len() as u64)
    );
    let unit = Quantity::Power.unit(view.system);
    let title = format!(
        "Load-duration curve: hours of the year in which at least this much heat is asked for, {unit}"
    );
    let told = |heat: &Vec<f64>| {
        let least = heat.first().copied().unwrap_or(0.0) * LEAST_HEAT;
        heat.iter().take_while(|&&kw| kw > least).count()
    };
    let longest = curves
        .iter()
        .map(|(_, heat)| told(heat))
        .max()
        .unwrap_or(0)
        .max(2);
    let scale = Scale::round([0.0, longest as f64], (0.0, 1.0), 5.0);
    let line = |(design, heat): &(&Design, Vec<f64>)| {
        let every = (longest / POINTS).max(1);
        let points = heat.iter().enumerate().take(longest).step_by(every);
        Line {
            name: design.label.clone(),
            points: points
                .map(|(hour, &kw)| ((hour + 1) as f64, Quantity::Power.value(kw, view.system)))
                .collect(),
        }
    };
    let heater_kw = year(view, first).and_then(|year| year.heater_kw);
    let drawing = Lines {
        label: Label {
            id: format!("duration-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        across: scale
            .ticks()
            .into_iter()
            .map(|hour| (hour, scale.print(hour)))
            .collect(),
        across_title: "hours of the year".to_owned(),
        up_title: unit.to_owned(),
        from_zero: true,
        lines: curves.iter().map(line).collect(),
        limits: heater_limit(view, heater_kw),
    };
    let mut head = vec!["Hours of the year".to_owned()];
    head.extend(
        curves
            .iter()
            .map(|(design, _)| format!("{}, {}", design.label, Quantity::Power.units(view.system))),
    );
    let mut table = DataTable::new(title.clone(), head);
    for hours in HOURS {
        let cells = curves
            .iter()
            .map(|(_, heat)| Quantity::Power.cell(heat.get(hours - 1).copied(), view.system));
        table.push(figures::count(hours as u64), cells.collect());
    }
    block::chart(&title, &finding, &drawing.draw(), &table)
}

/// Heat of every hour, the greatest first.
fn sorted_heat(view: View<'_>, design: &Design) -> Vec<f64> {
    let Some(table) = view.run.table("hourly") else {
        return Vec::new();
    };
    let rows = table.of_case(design.case_id);
    // What rounding leaves of a heater that is off is no heat.
    let above_nothing = |kw: f64| if kw < LEAST_KW { 0.0 } else { kw };
    let mut heat: Vec<f64> = rows
        .into_iter()
        .filter_map(|row| table.number("heat_kw", row).map(above_nothing))
        .collect();
    heat.sort_by(|a, b| b.total_cmp(a));
    heat
}

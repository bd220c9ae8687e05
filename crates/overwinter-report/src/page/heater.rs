//! How large a heater: how often how much heat is asked for, beside what the heaters can give.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use super::fuel::{ends, heated_months};
use crate::chart::Label;
use crate::chart::columns::Columns;
use crate::chart::lines::{Line, Lines};
use crate::chart::ranges::{Ranges, Row};
use crate::designs::{Design, Setting};
use crate::facts::{self, Fuel};
use crate::figures::{self, Quantity};

/// Hours of the year told of in the table of a load-duration curve.
const HOURS: [usize; 9] = [1, 10, 50, 100, 200, 500, 1000, 2000, 4000];
/// Points of a curve.
const POINTS: usize = 120;

/// The section.
pub(super) fn section(view: View<'_>) -> Markup {
    html! {
        section aria-labelledby="heater" {
            h2 #heater { "Heater size" }
            @if view.run.table("fuel_use").is_none() {
                (block::gap("fuel_use", "peak heat beside the size of the heater", "Every finished run writes \
                    this table."))
            } @else {
                @for (index, setting, name) in view.settings() {
                    h3 { "Peak heat" (name) }
                    (peaks(view, setting, index))
                }
                (block::caution("Heat is what the heater gives to the house (output), not what its nameplate \
                    says it takes in (input), and high places take some off. The peak is that of the weather \
                    year: size a heater for a design night with a margin. Gas and oil equipment, piping, tanks \
                    and vents are installed by a qualified person to the adopted codes. Vent every \
                    fuel-burning heater outside, give it combustion air, and have a carbon monoxide alarm for \
                    people. No unvented heater."))
            }
            @if view.run.table("hourly").is_none() {
                (block::gap("hourly", "the load-duration curve, which shows for how many hours of the year how \
                    much heat is asked for", "It needs every hour of the year: run the scenario with --hourly. \
                    Peaks by month or by design stand here in its place."))
            } @else {
                @for (index, setting, name) in view.settings() {
                    h3 { "How often how much heat" (name) }
                    (duration(view, setting, index))
                }
            }
        }
    }
}

fn peaks(view: View<'_>, setting: &Setting, index: usize) -> Markup {
    match setting.designs.as_slice() {
        [only] => peaks_of_one(view, setting, only, index),
        _ => peaks_of_many(view, setting, index),
    }
}

fn year(view: View<'_>, design: &Design) -> Option<Fuel> {
    facts::fuel(view.run, design.case_id, 0)
}

/// What the heater gives beside the peak, in words.
pub(super) fn sizing(view: View<'_>, year: &Fuel) -> String {
    let power = |kw| Quantity::Power.pair(kw, view.system);
    let (Some(peak_kw), Some(heater_kw)) = (year.peak_kw, year.heater_kw) else {
        return "The table has no peak or no heater size.".to_owned();
    };
    if heater_kw <= 0.0 {
        return "The house has no heater.".to_owned();
    }
    let mut words = format!(
        "The most heat in one hour is {}, on {}. The heaters can give {}.",
        power(peak_kw),
        figures::date(&year.peak_when),
        power(heater_kw)
    );
    let unmet_kwh = year.unmet_kwh.unwrap_or(0.0);
    if unmet_kwh >= facts::NO_HEAT_KWH {
        words += &format!(
            " That was too little at times: {} of heat was lacking in the year.",
            Quantity::Energy.pair(unmet_kwh, view.system)
        );
        if let Some(holding_kw) = year.holding_kw {
            words += &format!(
                " An output of {} would have held the set temperature.",
                power(holding_kw)
            );
        }
    } else {
        words += " That was enough in every hour of this year.";
    }
    words
}

fn heater_limit(view: View<'_>, heater_kw: Option<f64>) -> Vec<(f64, String)> {
    let limit = |kw| {
        let name = format!(
            "heaters can give {}",
            Quantity::Power.short(kw, view.system)
        );
        (Quantity::Power.value(kw, view.system), name)
    };
    heater_kw
        .filter(|&kw| kw > 0.0)
        .map(limit)
        .into_iter()
        .collect()
}

fn peaks_of_one(view: View<'_>, setting: &Setting, design: &Design, index: usize) -> Markup {
    let Some(year) = year(view, design) else {
        return block::gap(
            "fuel_use",
            "the peak heat of this house",
            "The table has no row for it.",
        );
    };
    let finding = sizing(view, &year);
    let months: Vec<Fuel> = heated_months(view, setting)
        .into_iter()
        .filter_map(|month| facts::fuel(view.run, design.case_id, month))
        .collect();
    if months.is_empty() {
        return html! { p { (finding) } };
    }
    let unit = Quantity::Power.unit(view.system);
    let title = format!("Peak heat by month beside the size of the heaters, {unit}");
    let bar = |row: &Fuel| {
        let kw = row.peak_kw?;
        let name = figures::month_name(row.month)?.to_owned();
        let value = Quantity::Power.value(kw, view.system);
        Some((name, value, Quantity::Power.number(kw, view.system)))
    };
    let drawing = Columns {
        label: Label {
            id: format!("peaks-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        up_title: unit.to_owned(),
        bars: months.iter().filter_map(bar).collect(),
        limits: heater_limit(view, year.heater_kw),
    };
    let head = vec![
        "Month".to_owned(),
        format!("peak heat, {}", Quantity::Power.units(view.system)),
        "in the hour from".to_owned(),
        "time at full output, h".to_owned(),
    ];
    let mut table = DataTable::new(title.clone(), head);
    for row in months.iter().chain([&year]) {
        let cells = vec![
            Quantity::Power.cell(row.peak_kw, view.system),
            figures::date(&row.peak_when),
            figures::cell(row.full_output_h),
        ];
        table.push(figures::month_name(row.month).unwrap_or("year"), cells);
    }
    block::chart(&title, &finding, &drawing.draw(), &table)
}

fn peaks_of_many(view: View<'_>, setting: &Setting, index: usize) -> Markup {
    let years: Vec<(&Design, Fuel)> = setting
        .designs
        .iter()
        .filter_map(|design| Some((design, year(view, design)?)))
        .collect();
    let peaks: Vec<f64> = years.iter().filter_map(|(_, year)| year.peak_kw).collect();
    let heaters: Vec<f64> = years
        .iter()
        .filter_map(|(_, year)| year.heater_kw)
        .collect();
    let ((least, most), (smallest, largest)) = (ends(&peaks), ends(&heaters));
    let is_one_size = (largest - smallest).abs() < 1e-6;
    let power = |kw| Quantity::Power.pair(kw, view.system);
    let mut finding = format!(
        "The most heat in one hour is {} to {}, by design.",
        power(least),
        power(most)
    );
    if is_one_size && largest > 0.0 {
        finding += &format!(" The heaters can give {}.", power(largest));
    }
    let unit = Quantity::Power.unit(view.system);
    let title = format!("Peak heat by design beside the size of the heaters, {unit}");
    let row = |(design, year): &(&Design, Fuel)| {
        let kw = year.peak_kw?;
        Some(Row {
            name: design.label.clone(),
            printed: Quantity::Power.pair(kw, view.system),
            range: None,
            marks: vec![(Quantity::Power.value(kw, view.system), 0)],
        })
    };
    let drawing = Ranges {
        label: Label {
            id: format!("peaks-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        title: unit.to_owned(),
        rows: years.iter().filter_map(row).collect(),
        limits: if is_one_size {
            heater_limit(view, heaters.first().copied())
        } else {
            Vec::new()
        },
    };
    let power = format!(", {}", Quantity::Power.units(view.system));
    let head = vec![
        "Design".to_owned(),
        format!("peak heat{power}"),
        "in the hour from".to_owned(),
        format!("heaters can give{power}"),
        format!("heat lacking, {}", Quantity::Energy.units(view.system)),
        format!("output that would have held{power}"),
    ];
    let mut table = DataTable::new(title.clone(), head);
    for (design, year) in &years {
        let cells = vec![
            Quantity::Power.cell(year.peak_kw, view.system),
            figures::date(&year.peak_when),
            Quantity::Power.cell(year.heater_kw, view.system),
            Quantity::Energy.cell(year.unmet_kwh, view.system),
            Quantity::Power.cell(year.holding_kw, view.system),
        ];
        table.push(design.label.clone(), cells);
    }
    block::chart(&title, &finding, &drawing.draw(), &table)
}

/// Heat of every hour, the greatest first.
fn sorted_heat(view: View<'_>, design: &Design) -> Vec<f64> {
    let Some(table) = view.run.table("hourly") else {
        return Vec::new();
    };
    let rows = table.of_case(design.case_id);
    let mut heat: Vec<f64> = rows
        .into_iter()
        .filter_map(|row| table.number("heat_kw", row))
        .collect();
    heat.sort_by(|a, b| b.total_cmp(a));
    heat
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
        super::fuel::capital(&first.label),
        Quantity::Power.pair(heat[0], view.system),
        figures::count(heat.iter().filter(is_half).count() as u64),
        figures::count(heat.len() as u64)
    );
    let unit = Quantity::Power.unit(view.system);
    let title = format!(
        "Load-duration curve: hours of the year in which at least this much heat is asked for, {unit}"
    );
    let heated = |heat: &[f64]| heat.iter().filter(|&&kw| kw > 0.0).count();
    let longest = curves
        .iter()
        .map(|(_, heat)| heated(heat))
        .max()
        .unwrap_or(0)
        .max(2);
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
    let tick = |share: usize| {
        let hour = (longest * share).div_ceil(5).max(1);
        (hour as f64, figures::count(hour as u64))
    };
    let heater_kw = year(view, first).and_then(|year| year.heater_kw);
    let drawing = Lines {
        label: Label {
            id: format!("duration-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        across: (0..=5).map(tick).collect(),
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

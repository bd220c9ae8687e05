//! How large a heater: how often how much heat is asked for, beside what the heaters can give.

use maud::{Markup, html};

use super::block::{self, DataTable};
use super::fuel::heated_months;
use super::{View, load_duration};
use crate::chart::Label;
use crate::chart::columns::Columns;
use crate::chart::ranges::{Ranges, Row};
use crate::designs::{Design, Setting};
use crate::facts::{self, Fuel};
use crate::figures::{self, Quantity, ends};

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
            (load_duration::part(view))
        }
    }
}

fn peaks(view: View<'_>, setting: &Setting, index: usize) -> Markup {
    match setting.designs.as_slice() {
        [only] => peaks_of_one(view, setting, only, index),
        _ => peaks_of_many(view, setting, index),
    }
}

/// The year of a design.
pub(super) fn year(view: View<'_>, design: &Design) -> Option<Fuel> {
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
            " At times that was not enough, or something had failed: {} of heat was lacking in the year.",
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

/// What the heaters can give, as a line through a chart.
pub(super) fn heater_limit(view: View<'_>, heater_kw: Option<f64>) -> Vec<(f64, String)> {
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

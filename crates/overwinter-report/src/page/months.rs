//! Fuel by month, of one design and of many.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use super::fuel::Measure;
use crate::chart::Label;
use crate::chart::columns::Columns;
use crate::chart::lines::{Line, Lines};
use crate::designs::{Design, Setting};
use crate::facts::{self, Fuel};
use crate::figures::{self, Quantity, ends, figures as print};
use crate::plain_text::capital;

pub(super) fn months_of_one(
    view: View<'_>,
    design: &Design,
    months: &[u64],
    measure: &Measure,
    index: usize,
) -> Markup {
    let rows: Vec<Fuel> = months
        .iter()
        .filter_map(|&month| facts::fuel(view.run, design.case_id, month))
        .collect();
    let year = facts::fuel(view.run, design.case_id, 0).unwrap_or_default();
    let unit = measure.unit(view);
    let finding = finding_of_one(view, &rows, &year, measure);
    let title = format!("{} by month, {unit}", capital(measure.fuel()));
    let bars = rows.iter().filter_map(|row| {
        let value = measure.value(view, row)?;
        Some((month(row.month).to_owned(), value, print(value)))
    });
    let drawing = Columns {
        label: Label {
            id: format!("months-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        up_title: unit.clone(),
        bars: bars.collect(),
        limits: Vec::new(),
    };
    let mut head = vec!["Month".to_owned()];
    if let Measure::Bought { unit, fuel } = measure {
        head.push(format!("{fuel}, {unit}"));
    }
    head.push(format!(
        "energy of the fuel, {}",
        Quantity::Energy.units(view.system)
    ));
    let has_costs = !view.run.is_sampled();
    if has_costs {
        head.push(format!("cost of the fuel, {}", year.currency));
    }
    head.push("electricity, kWh".to_owned());
    head.push(format!("peak heat, {}", Quantity::Power.units(view.system)));
    let mut table = DataTable::new(title.clone(), head);
    for row in rows.iter().chain([&year]) {
        let name = if row.month == 0 {
            "year"
        } else {
            month(row.month)
        };
        let mut cells = Vec::new();
        if let Measure::Bought { .. } = measure {
            cells.push(figures::cell(row.amount));
        }
        cells.push(Quantity::Energy.cell(row.energy_kwh, view.system));
        if has_costs {
            cells.push(figures::cell(row.cost));
        }
        cells.push(figures::cell(row.electricity_kwh));
        cells.push(Quantity::Power.cell(row.peak_kw, view.system));
        table.push(name, cells);
    }
    html! {
        (block::chart(&title, &finding, &drawing.draw(), &table))
        (several_fuels(view, design))
    }
}

pub(super) fn months_of_many(
    view: View<'_>,
    setting: &Setting,
    months: &[u64],
    measure: &Measure,
    index: usize,
) -> Markup {
    let value = |design: &Design, month: u64| {
        measure.value(view, &facts::fuel(view.run, design.case_id, month)?)
    };
    let unit = measure.unit(view);
    let title = format!("{} by month and design, {unit}", capital(measure.fuel()));
    let total = |month: &u64| {
        setting
            .designs
            .iter()
            .filter_map(|d| value(d, *month))
            .sum::<f64>()
    };
    let most = months
        .iter()
        .max_by(|a, b| total(a).total_cmp(&total(b)))
        .copied()
        .unwrap_or(1);
    let spread: Vec<f64> = setting
        .designs
        .iter()
        .filter_map(|d| value(d, most))
        .collect();
    let (least, greatest) = ends(&spread);
    let finding = format!(
        "{} takes the most fuel: {} to {} {unit}, by design.",
        full_month(most),
        print(least),
        print(greatest),
    );
    let line = |design: &Design| Line {
        name: design.label.clone(),
        points: months
            .iter()
            .enumerate()
            .map(|(place, &month)| (place as f64, value(design, month).unwrap_or(f64::NAN)))
            .collect(),
    };
    let drawing = Lines {
        label: Label {
            id: format!("months-{index}"),
            title: title.clone(),
            finding: finding.clone(),
        },
        across: months
            .iter()
            .enumerate()
            .map(|(place, &m)| (place as f64, month(m).to_owned()))
            .collect(),
        across_title: "month".to_owned(),
        up_title: unit,
        from_zero: true,
        lines: setting.designs.iter().map(line).collect(),
        limits: Vec::new(),
    };
    let mut head = vec!["Month".to_owned()];
    head.extend(setting.designs.iter().map(|design| design.label.clone()));
    let mut table = DataTable::new(title.clone(), head);
    for &m in months.iter().chain(&[0]) {
        let name = if m == 0 { "year" } else { month(m) };
        let cells = setting
            .designs
            .iter()
            .map(|design| figures::cell(value(design, m)));
        table.push(name, cells.collect());
    }
    block::chart(&title, &finding, &drawing.draw(), &table)
}

fn month(month: u64) -> &'static str {
    figures::month_name(month).unwrap_or("")
}

fn full_month(month: u64) -> &'static str {
    figures::full_month_name(month).unwrap_or("No month")
}

fn finding_of_one(view: View<'_>, rows: &[Fuel], year: &Fuel, measure: &Measure) -> String {
    let value = |row: &Fuel| measure.value(view, row).unwrap_or(0.0);
    let Some(most) = rows.iter().max_by(|a, b| value(a).total_cmp(&value(b))) else {
        return "No month with heat.".to_owned();
    };
    let unit = measure.unit(view);
    let share = value(most) / value(year).max(f64::MIN_POSITIVE) * 100.0;
    format!(
        "The house uses {} {unit} of {} in the year. {} takes the most: {} {unit}, {} % of the year.",
        print(value(year)),
        measure.fuel(),
        full_month(most.month),
        print(value(most)),
        figures::rough(share),
    )
}

fn several_fuels(view: View<'_>, design: &Design) -> Markup {
    let fuels = facts::each_fuel(view.run, design.case_id, 0);
    if fuels.len() < 2 {
        return html! {};
    }
    let head = ["Fuel", "used in the year", "cost in the year"]
        .map(str::to_owned)
        .to_vec();
    let mut table = DataTable::new("Fuel by fuel", head);
    for fuel in &fuels {
        let amount = fuel
            .amount
            .map(|amount| format!("{} {}", print(amount), fuel.unit));
        let cost = fuel
            .cost
            .map(|cost| format!("{} {}", print(cost), fuel.currency));
        let cell = |text: Option<String>| text.unwrap_or_else(|| figures::NOTHING.to_owned());
        table.push(fuel.fuel.clone(), vec![cell(amount), cell(cost)]);
    }
    table.draw()
}

//! Many cases on one screen: a line each, then what the columns mean and why cases failed.

use overwinter_study::summary::{CaseSummary, Numbers};
use overwinter_units::System;

use super::figures;
use super::layout::{Lean, columns, item};
use super::summary::{NO_HEAT_J, Summary, amount};

/// Most lines of the table of many cases.
const MOST_LINES: usize = 20;
/// Columns of numbers in the table of many cases.
const NUMBER_COLUMNS: usize = 6;
/// Most reasons of failed cases that are shown.
const MOST_REASONS: usize = 3;

impl Summary<'_> {
    /// One line a case. Units stand in the header, those of the fuel if all cases have the same.
    pub(super) fn many_cases(&self, cases: &[CaseSummary]) -> String {
        let fuel_unit = common_fuel_unit(cases);
        let mut rows = self.headers(cases, fuel_unit.as_deref());
        let shown = cases.iter().take(MOST_LINES);
        rows.extend(shown.map(|case| self.case_line(case, fuel_unit.as_deref())));
        let axes = self.axis_names.len();
        let mut lean = vec![Lean::Right; 1 + axes + NUMBER_COLUMNS];
        lean[1..=axes].fill(Lean::Left);
        let mut text = columns(&rows, &lean, 1..axes + 1);
        text += &self.key(cases);
        let failed = |case: &CaseSummary| {
            let reason = case.outcome.as_ref().err()?;
            Some(item(&format!("case {} failed: {reason}", case.case_id)))
        };
        text.extend(cases.iter().filter_map(failed).take(MOST_REASONS));
        if let Some(more) = cases.len().checked_sub(MOST_LINES).filter(|&more| more > 0) {
            let more = figures::count(more);
            text += &item(&format!(
                "{more} more cases: see the tables cases and fuel_use."
            ));
        }
        text
    }

    fn headers(&self, cases: &[CaseSummary], fuel_unit: Option<&str>) -> Vec<Vec<String>> {
        let [output, temperature] = match self.system {
            System::Si => ["kW", "degC"],
            System::Us => ["kBtu/h", "degF"],
        };
        let numbers = cases.iter().find_map(|case| case.outcome.as_ref().ok());
        let currency = numbers.map_or("", |numbers| &numbers.currency);
        let fuel_unit = fuel_unit.unwrap_or("");
        let words = ["fuel", "cost", "worst week", "peak heat", "lowest", "below"];
        let units = [fuel_unit, currency, fuel_unit, output, temperature, "h"];
        let names = std::iter::once("case").chain(self.axis_names.iter().map(String::as_str));
        let no_units = std::iter::repeat_n("", 1 + self.axis_names.len());
        let row = |cells: &mut dyn Iterator<Item = &str>| cells.map(str::to_owned).collect();
        vec![
            row(&mut names.chain(words)),
            row(&mut no_units.chain(units)),
        ]
    }

    fn case_line(&self, case: &CaseSummary, fuel_unit: Option<&str>) -> Vec<String> {
        let mut line = vec![case.case_id.to_string()];
        line.extend(case.axis_labels.iter().map(|label| short_label(label)));
        line.resize(1 + self.axis_names.len(), String::new());
        match &case.outcome {
            Ok(numbers) => line.extend(self.case_cells(numbers, fuel_unit)),
            Err(_) => line.push("failed".to_owned()),
        }
        line
    }

    fn case_cells(&self, numbers: &Numbers, unit: Option<&str>) -> [String; NUMBER_COLUMNS] {
        let none = || "-".to_owned();
        let year = &numbers.year;
        let fuel = |units: Option<f64>, energy_j: f64| match (unit, amount(units, year)) {
            _ if energy_j < NO_HEAT_J => none(),
            (Some(_), _) => units.map_or_else(none, figures::figures),
            (None, Some(amount)) => amount,
            (None, None) => figures::energy_short(energy_j, self.system),
        };
        let lowest = numbers.lowest_leaf.or(numbers.lowest_air);
        let below = numbers.limits.first();
        [
            fuel(year.fuel_units, year.fuel_j),
            year.fuel_cost.map_or_else(none, figures::figures),
            numbers
                .worst_week
                .map_or_else(none, |week| fuel(week.fuel_units, week.heat_j)),
            figures::output_number(numbers.house.peak_hour_w, self.system),
            lowest.map_or_else(none, |lowest| {
                figures::temperature_number(lowest.temp_k, self.system)
            }),
            below.map_or_else(none, |limit| {
                figures::count(limit.leaf.unwrap_or(limit.air).hours)
            }),
        ]
    }

    /// What the last columns of the table of many cases mean.
    fn key(&self, cases: &[CaseSummary]) -> String {
        let numbers = cases.iter().find_map(|case| case.outcome.as_ref().ok());
        let limit = numbers.and_then(|numbers| numbers.limits.first());
        let below = limit.map_or_else(String::new, |limit| {
            let limit_at = figures::temperature(limit.limit_k, self.system);
            format!("; below: hours below {limit_at}, {}", limit.name)
        });
        let text = format!("lowest: leaf, or air in a house without a crop{below}.");
        item(&text)
    }
}

/// The unit of fuel, if all cases that ran have the same.
fn common_fuel_unit(cases: &[CaseSummary]) -> Option<String> {
    let mut units = cases.iter().filter_map(|case| {
        let numbers = case.outcome.as_ref().ok()?;
        Some(numbers.year.fuel_unit.as_deref())
    });
    let first = units.next()??;
    units
        .all(|unit| unit == Some(first))
        .then(|| first.to_owned())
}

/// The name of a file without its folders; other labels as they are.
fn short_label(label: &str) -> String {
    match label.rsplit_once(['/', '\\']) {
        Some((_, file)) if file.contains('.') => file.to_owned(),
        _ => label.to_owned(),
    }
}

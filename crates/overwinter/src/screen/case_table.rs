//! Many cases on one screen: a line each, then what the columns mean and why cases failed.

use overwinter_study::ranking::Digest;
use overwinter_study::summary::{CaseSummary, Numbers};
use overwinter_units::System;

use super::failing;
use super::figures;
use super::layout::{Lean, columns, item};
use super::ranking;
use super::summary::{NO_HEAT_J, Summary, amount, money};

/// Most lines of the table of many cases.
const MOST_LINES: usize = 20;
/// Number of columns of numbers, the electricity among them.
const NUMBER_COLUMNS: usize = 7;
/// Most reasons of failed cases that are shown.
const MOST_REASONS: usize = 3;

impl Summary<'_> {
    /// One line a case. Units stand in the header, those of the fuel if all cases have the same.
    pub(super) fn many_cases(&self, cases: &[CaseSummary]) -> String {
        let common = Common::of(cases);
        let mut rows = self.headers(&common);
        let shown = cases.iter().take(MOST_LINES);
        rows.extend(shown.map(|case| self.case_line(case, &common)));
        let axes = self.axis_names.len();
        let mut lean = vec![Lean::Right; 1 + axes + common.kept(NUMBER_COLUMNS)];
        lean[1..=axes].fill(Lean::Left);
        let mut text = columns(&rows, &lean, 1..axes + 1);
        text += &self.key(cases, &common);
        text += &failing::coldest(cases, self.system);
        text += &self.reasons(cases);
        let all = cases.len() + self.untold;
        if let Some(more) = all.checked_sub(MOST_LINES).filter(|&more| more > 0) {
            let more = figures::count(more);
            text += &item(&format!(
                "{more} more cases: see the tables cases and fuel_use."
            ));
        }
        text
    }

    /// What the draws gave, design by design.
    pub(super) fn many_draws(&self, cases: &[CaseSummary], digest: &Digest) -> String {
        let mut text = ranking::block(digest, self.system);
        if self.untold == 0 {
            text += &failing::coldest(cases, self.system);
        }
        text += &self.reasons(cases);
        let all = figures::count(cases.len() + self.untold);
        let is_compared = digest.settings.iter().any(|of| of.baseline.is_some());
        let rest = if is_compared {
            "; ranking, compare and drivers hold all measures"
        } else {
            ""
        };
        text + &item(&format!(
            "{all} cases: each stands in the tables cases and fuel_use{rest}."
        ))
    }

    /// Why cases failed.
    fn reasons(&self, cases: &[CaseSummary]) -> String {
        let failed = |case: &CaseSummary| {
            let reason = case.outcome.as_ref().err()?;
            Some(item(&format!("case {} failed: {reason}", case.case_id)))
        };
        let untold = self.untold_failures.iter();
        let untold = untold.map(|(id, reason)| item(&format!("case {id} failed: {reason}")));
        let reasons = cases.iter().filter_map(failed).chain(untold);
        reasons.take(MOST_REASONS).collect()
    }

    fn headers(&self, common: &Common) -> Vec<Vec<String>> {
        let [output, temperature] = match self.system {
            System::Si => ["kW", "degC"],
            System::Us => ["kBtu/h", "degF"],
        };
        let currency = common.currency.as_deref().unwrap_or("cost");
        let fuel_unit = common.fuel_unit.as_deref().unwrap_or("");
        let words = ["fuel", "fuel", "power", "worst", "peak", "lowest", "below"];
        let more = ["", "", "", "week", "heat", "", ""];
        let units = [
            fuel_unit,
            currency,
            currency,
            fuel_unit,
            output,
            temperature,
            "h",
        ];
        let names = std::iter::once("case").chain(self.axis_names.iter().map(String::as_str));
        let no_units = std::iter::repeat_n("", 1 + self.axis_names.len());
        let row = |first: &mut dyn Iterator<Item = &str>, cells: [&str; NUMBER_COLUMNS]| {
            let first = first.map(str::to_owned);
            first.chain(common.keep(cells.map(str::to_owned))).collect()
        };
        vec![
            row(&mut names.into_iter(), words),
            row(&mut no_units.clone(), more),
            row(&mut no_units.clone(), units),
        ]
    }

    fn case_line(&self, case: &CaseSummary, common: &Common) -> Vec<String> {
        let mut line = vec![case.case_id.to_string()];
        line.extend(case.axis_labels.iter().map(|label| short_label(label)));
        line.resize(1 + self.axis_names.len(), String::new());
        match &case.outcome {
            Ok(numbers) => line.extend(common.keep(self.case_cells(numbers, common))),
            Err(_) => line.push("failed".to_owned()),
        }
        line
    }

    fn case_cells(&self, numbers: &Numbers, common: &Common) -> [String; NUMBER_COLUMNS] {
        let none = || "-".to_owned();
        let year = &numbers.year;
        let unit = common.fuel_unit.as_deref();
        let cost = |amount: Option<f64>| match (amount, &common.currency) {
            (None, _) => none(),
            (Some(amount), Some(_)) => figures::figures(amount),
            (Some(amount), None) => money(amount, &numbers.currency),
        };
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
            cost(year.fuel_cost.filter(|_| year.heat_j >= NO_HEAT_J)),
            cost(numbers.house.electricity_cost),
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

    /// What the columns of the table of many cases mean.
    fn key(&self, cases: &[CaseSummary], common: &Common) -> String {
        let numbers = cases.iter().find_map(|case| case.outcome.as_ref().ok());
        let limit = numbers.and_then(|numbers| numbers.limits.first());
        let below = limit.map_or_else(String::new, |limit| {
            let limit_at = figures::temperature(limit.limit_k, self.system);
            format!("; below: hours below {limit_at}, {}", limit.name)
        });
        let electricity = if common.has_electricity {
            "power: electricity of blowers, fans and the heaters' own fans, beside the fuel; "
        } else {
            ""
        };
        let text = format!("{electricity}lowest: leaf, or air in a house without a crop{below}.");
        item(&text)
    }
}

/// What all cases that ran have in common, so that it need not stand in every line.
struct Common {
    fuel_unit: Option<String>,
    currency: Option<String>,
    has_electricity: bool,
}

impl Common {
    fn of(cases: &[CaseSummary]) -> Self {
        let ran = || cases.iter().filter_map(|case| case.outcome.as_ref().ok());
        let heated = ran().filter(|numbers| numbers.year.heat_j >= NO_HEAT_J);
        Self {
            fuel_unit: same(heated.map(|numbers| numbers.year.fuel_unit.as_deref())),
            currency: same(ran().map(|numbers| Some(&*numbers.currency))),
            has_electricity: ran().any(|numbers| numbers.house.electricity_cost.is_some()),
        }
    }

    /// The cells without that of the electricity where none of the cases has a price of it.
    fn keep(&self, cells: [String; NUMBER_COLUMNS]) -> impl Iterator<Item = String> {
        let has_electricity = self.has_electricity;
        let kept = move |(column, cell)| (column != 2 || has_electricity).then_some(cell);
        cells.into_iter().enumerate().filter_map(kept)
    }

    fn kept(&self, columns: usize) -> usize {
        columns - usize::from(!self.has_electricity)
    }
}

/// The word, if it is the same everywhere.
fn same<'a>(mut words: impl Iterator<Item = Option<&'a str>>) -> Option<String> {
    let first = words.next()??;
    words
        .all(|word| word == Some(first))
        .then(|| first.to_owned())
}

/// The name of a file without its folders; other labels as they are.
fn short_label(label: &str) -> String {
    match label.rsplit_once(['/', '\\']) {
        Some((_, file)) if file.contains('.') => file.to_owned(),
        _ => label.to_owned(),
    }
}

//! What the tables of money say of a design against the one it is compared with.

use crate::designs::{Design, Setting};
use crate::folder::Run;
use crate::table::Table;

/// The carrier that stands for all of them.
const ALL: &str = "all carriers";

/// Rows of the table `savings`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Savings<'a> {
    pub(crate) table: &'a Table,
}

impl<'a> Savings<'a> {
    /// Those of a run, if it has any.
    pub(crate) fn of(run: &'a Run) -> Option<Self> {
        Some(Self {
            table: run.table("savings")?,
        })
    }

    /// The rows of a measure of a design, one a carrier.
    pub(crate) fn rows(self, design: &Design, measure: &str) -> Vec<usize> {
        self.table.select(|row| {
            self.table.id("first_case_id", row) == Some(design.first_case_id)
                && self.table.text("measure", row) == measure
        })
    }

    /// The row of a measure of a design; of all carriers, where it has several.
    pub(crate) fn row(self, design: &Design, measure: &str) -> Option<usize> {
        let rows = self.rows(design, measure);
        let is_all = |row: &&usize| ["", ALL].contains(&self.table.text("carrier", **row));
        rows.iter().find(is_all).or(rows.first()).copied()
    }

    /// The median of a measure of a design.
    pub(crate) fn median(self, design: &Design, measure: &str) -> Option<f64> {
        self.table.number("median", self.row(design, measure)?)
    }

    /// Designs of a setting that are compared with another.
    pub(crate) fn compared(self, setting: &'a Setting) -> Vec<&'a Design> {
        let designs = setting.designs.iter();
        let has_row = |design: &&Design| {
            let rows = self.table.rows();
            let ids = rows.map(|row| self.table.id("first_case_id", row));
            ids.into_iter().any(|id| id == Some(design.first_case_id))
        };
        designs.filter(has_row).collect()
    }

    /// What a design is compared with.
    pub(crate) fn against(self, design: &Design) -> &'a str {
        let mut rows = self.table.rows();
        let row =
            rows.find(|&row| self.table.id("first_case_id", row) == Some(design.first_case_id));
        row.map_or("", |row| self.table.text("against", row))
    }
}

/// Years of a study, its discount rate and its money, as far as they are those of all cases.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Terms {
    pub(crate) years: String,
    pub(crate) rate_percent: Option<f64>,
    pub(crate) money_is: String,
    pub(crate) inflation_percent: Option<f64>,
    pub(crate) currency: String,
}

/// The terms under which costs of the run are counted.
pub(crate) fn terms(run: &Run) -> Option<Terms> {
    let costs = run.table("costs")?;
    costs.rows().next()?;
    let text_of_all = |column: &str| {
        let mut rows = costs.rows();
        let first = costs.text(column, rows.next()?);
        rows.all(|row| costs.text(column, row) == first)
            .then_some(first)
    };
    let number_of_all = |column: &str| {
        let mut rows = costs.rows();
        let first = costs.number(column, rows.next()?)?;
        let is_that = |row| {
            costs
                .number(column, row)
                .is_some_and(|of| of.total_cmp(&first).is_eq())
        };
        rows.all(is_that).then_some(first)
    };
    let years = number_of_all("years").map(crate::figures::figures);
    Some(Terms {
        years: years.unwrap_or_else(|| "differing".to_owned()),
        rate_percent: number_of_all("discount_rate_percent"),
        money_is: text_of_all("money_is").unwrap_or_default().to_owned(),
        inflation_percent: number_of_all("inflation_percent"),
        currency: text_of_all("currency")
            .unwrap_or("currencies that differ")
            .to_owned(),
    })
}

/// Rows of `costs` of a design under a heading.
pub(crate) fn cost_rows(run: &Run, design: &Design, item_is: &str) -> Vec<usize> {
    let Some(costs) = run.table("costs") else {
        return Vec::new();
    };
    let mut rows = costs.of_case(design.case_id);
    rows.retain(|&row| costs.text("item_is", row) == item_is);
    rows
}

/// The sum of a column of `costs` over the rows of a design under a heading; `None` without any.
pub(crate) fn cost(run: &Run, design: &Design, item_is: &str, column: &str) -> Option<f64> {
    let costs = run.table("costs")?;
    let rows = cost_rows(run, design, item_is);
    let numbers = rows.into_iter().map(|row| costs.number(column, row));
    numbers.reduce(|sum, number| Some(sum? + number?)).flatten()
}

/// What draws electricity, in the table of fuel.
const ELECTRIC: [&str; 4] = [
    "heater_electricity_kwh",
    "blower_electricity_kwh",
    "circulation_electricity_kwh",
    "vent_fan_electricity_kwh",
];

/// Keys of the carriers of energy of the shown designs that no price was given for.
pub(crate) fn unpriced(run: &Run) -> Vec<String> {
    let Some(table) = run.table("fuel_use") else {
        return Vec::new();
    };
    let used = |row: usize, column: &str| table.number(column, row).is_some_and(|used| used > 0.0);
    let mut found: Vec<String> = Vec::new();
    for row in table.rows() {
        let is_fuel = table.text("fuel", row) != "several";
        let lacks = |cost: &str| table.number(cost, row).is_none();
        if is_fuel && used(row, "fuel_kwh") && lacks("fuel_cost_in_currency") {
            found.push(table.text("fuel", row).replace(' ', "_"));
        }
        if ELECTRIC.iter().any(|column| used(row, column)) && lacks("electricity_cost_in_currency")
        {
            found.push("electricity".to_owned());
        }
    }
    found.retain(|name| !name.is_empty());
    found.sort();
    found.dedup();
    found
}

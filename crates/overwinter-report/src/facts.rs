//! What the tables say of one case, by name.

use crate::folder::Run;

/// Heat below this in kWh is none: a heater's band ends gradually.
pub(crate) const NO_HEAT_KWH: f64 = 0.5;

/// A row of `fuel_use`.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Fuel {
    pub(crate) month: u64,
    pub(crate) fuel: String,
    pub(crate) unit: String,
    pub(crate) currency: String,
    pub(crate) amount: Option<f64>,
    pub(crate) energy_kwh: Option<f64>,
    pub(crate) cost: Option<f64>,
    pub(crate) co2e_kg: Option<f64>,
    pub(crate) heat_kwh: Option<f64>,
    pub(crate) peak_kw: Option<f64>,
    pub(crate) peak_when: String,
    pub(crate) heater_kw: Option<f64>,
    pub(crate) full_output_h: Option<f64>,
    pub(crate) unmet_kwh: Option<f64>,
    pub(crate) holding_kw: Option<f64>,
    pub(crate) electricity_kwh: Option<f64>,
    pub(crate) electricity_cost: Option<f64>,
    pub(crate) week_from: String,
    pub(crate) week_heat_kwh: Option<f64>,
    pub(crate) week_amount: Option<f64>,
}

impl Fuel {
    /// True if heat was used.
    pub(crate) fn is_heated(&self) -> bool {
        self.heat_kwh
            .is_some_and(|heat_kwh| heat_kwh >= NO_HEAT_KWH)
    }

    /// Cost of the fuel of the worst week, at the mean price of the year.
    pub(crate) fn week_cost(&self) -> Option<f64> {
        let amount = self.amount.filter(|&amount| amount > 0.0)?;
        Some(self.cost? / amount * self.week_amount?)
    }

    /// Cost of fuel and electricity together.
    pub(crate) fn all_cost(&self) -> Option<f64> {
        Some(self.cost? + self.electricity_cost?)
    }
}

/// Fuel of a case in a month, 0 for the year; of all heaters together.
pub(crate) fn fuel(run: &Run, case_id: u64, month: u64) -> Option<Fuel> {
    fuels(run, case_id, month, "house").into_iter().next()
}

/// The same fuel by fuel, of a house that has several.
pub(crate) fn each_fuel(run: &Run, case_id: u64, month: u64) -> Vec<Fuel> {
    fuels(run, case_id, month, "fuel")
}

fn fuels(run: &Run, case_id: u64, month: u64, row_is: &str) -> Vec<Fuel> {
    let Some(table) = run.table("fuel_use") else {
        return Vec::new();
    };
    let rows = table.select(|row| {
        table.id("case_id", row) == Some(case_id)
            && table.id("month", row) == Some(month)
            && table.text("row_is", row) == row_is
    });
    let number = |column: &str, row| table.number(column, row);
    let text = |column: &str, row| table.text(column, row).to_owned();
    let electricity = |row| {
        let parts = [
            "heater_electricity_kwh",
            "blower_electricity_kwh",
            "circulation_electricity_kwh",
            "vent_fan_electricity_kwh",
        ];
        parts
            .iter()
            .filter_map(|part| number(part, row))
            .reduce(|sum, part| sum + part)
    };
    let fuel = |row| Fuel {
        month,
        fuel: text("fuel", row),
        unit: text("fuel_unit", row),
        currency: text("currency", row),
        amount: number("fuel_used_in_fuel_unit", row),
        energy_kwh: number("fuel_kwh", row),
        cost: number("fuel_cost_in_currency", row),
        co2e_kg: number("co2e_kg", row),
        heat_kwh: number("heat_kwh", row),
        peak_kw: number("peak_heat_kw", row),
        peak_when: text("peak_heat_month_day_hour", row),
        heater_kw: number("heater_output_kw", row),
        full_output_h: number("full_output_h", row),
        unmet_kwh: number("unmet_heat_kwh", row),
        holding_kw: number("output_that_holds_kw", row),
        electricity_kwh: electricity(row),
        electricity_cost: number("electricity_cost_in_currency", row),
        week_from: text("worst_week_first_month_day", row),
        week_heat_kwh: number("worst_week_heat_kwh", row),
        week_amount: number("worst_week_fuel_in_fuel_unit", row),
    };
    rows.into_iter().map(fuel).collect()
}

/// The lows of a case's year, from any row of `frost_risk`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Lows {
    pub(crate) leaf_degc: Option<f64>,
    pub(crate) leaf_when: String,
    pub(crate) air_degc: Option<f64>,
    pub(crate) air_when: String,
}

/// A crop limit of a case.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Limit {
    pub(crate) name: String,
    pub(crate) limit_degc: Option<f64>,
    pub(crate) lag_h: Option<f64>,
    pub(crate) loses_crop: bool,
    pub(crate) leaf_h: Option<f64>,
    pub(crate) air_h: Option<f64>,
    pub(crate) nights: Option<f64>,
    pub(crate) longest_h: Option<f64>,
}

/// The lows of the year.
pub(crate) fn lows(run: &Run, case_id: u64) -> Option<Lows> {
    let table = run.table("frost_risk")?;
    let row = *table.of_case(case_id).first()?;
    Some(Lows {
        leaf_degc: table.number("lowest_leaf_degc", row),
        leaf_when: table.text("lowest_leaf_month_day_hour", row).to_owned(),
        air_degc: table.number("lowest_air_degc", row),
        air_when: table.text("lowest_air_month_day_hour", row).to_owned(),
    })
}

/// The limits of a case; judged by the leaf, or by the air where there is no crop.
pub(crate) fn limits(run: &Run, case_id: u64) -> Vec<Limit> {
    let Some(table) = run.table("frost_risk") else {
        return Vec::new();
    };
    let limit = |row| {
        let leaf_h = table.number("below_by_leaf_h", row);
        let by = if leaf_h.is_some() { "leaf" } else { "air" };
        Limit {
            name: table.text("limit", row).to_owned(),
            limit_degc: table.number("limit_degc", row),
            lag_h: table.number("lag_h", row),
            loses_crop: table.text("crop_lost", row) == "yes",
            leaf_h,
            air_h: table.number("below_by_air_h", row),
            nights: table.number(&format!("below_by_{by}_nights"), row),
            longest_h: table.number(&format!("longest_spell_by_{by}_h"), row),
        }
    };
    table.of_case(case_id).into_iter().map(limit).collect()
}

/// The row of `outages` for a failure.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Outage {
    pub(crate) failure: String,
    pub(crate) start: String,
    pub(crate) length_h: f64,
    row: usize,
}

impl Outage {
    /// A number of the row.
    pub(crate) fn number(&self, run: &Run, column: &str) -> Option<f64> {
        run.table("outages")?.number(column, self.row)
    }

    /// A count of the row.
    pub(crate) fn count(&self, run: &Run, column: &str) -> Option<u64> {
        run.table("outages")?.id(column, self.row)
    }

    /// A text of the row.
    pub(crate) fn text<'a>(&self, run: &'a Run, column: &str) -> &'a str {
        run.table("outages")
            .map_or("", |table| table.text(column, self.row))
    }
}

/// All failures of a case, in the order of the table.
pub(crate) fn outages(run: &Run, case_id: u64) -> Vec<Outage> {
    let Some(table) = run.table("outages") else {
        return Vec::new();
    };
    let outage = |row| {
        Some(Outage {
            failure: table.text("failure", row).to_owned(),
            start: table.text("start", row).to_owned(),
            length_h: table.number("length_h", row)?,
            row,
        })
    };
    table
        .of_case(case_id)
        .into_iter()
        .filter_map(outage)
        .collect()
}

/// Those that start when most of what is told here starts: at midnight, else at the first start.
pub(crate) fn told(outages: &[Outage]) -> Vec<&Outage> {
    let first = outages.first().map(|outage| outage.start.as_str());
    let has_midnight = outages.iter().any(|outage| outage.start == "midnight");
    let start = if has_midnight {
        Some("midnight")
    } else {
        first
    };
    outages
        .iter()
        .filter(|outage| Some(outage.start.as_str()) == start)
        .collect()
}

/// The failure told of first: the power, else the heaters, else the first.
pub(crate) fn main_failure(outages: &[Outage]) -> Option<&str> {
    let has = |failure: &&str| outages.iter().any(|outage| outage.failure == *failure);
    let first = outages.first().map(|outage| outage.failure.as_str());
    ["power", "heaters"].into_iter().find(has).or(first)
}

/// That failure in the length told of first: the one nearest to 8 h.
pub(crate) fn main_outage<'a>(outages: &'a [Outage], failure: &str) -> Option<&'a Outage> {
    let told = told(outages)
        .into_iter()
        .filter(|outage| outage.failure == failure);
    told.min_by(|a, b| {
        (a.length_h - 8.0)
            .abs()
            .total_cmp(&(b.length_h - 8.0).abs())
    })
}

/// A failure in words, as the end of "if ...".
pub(crate) fn failure_clause(failure: &str) -> String {
    match failure {
        "power" => "the power fails".to_owned(),
        "heaters" => "the heaters stop".to_owned(),
        "blower" => "the inflation blower stops".to_owned(),
        "power with generator" => "the power fails and the generator starts".to_owned(),
        other => format!("this fails: {other}"),
    }
}

/// A failure as the name of a line.
pub(crate) fn failure_name(failure: &str) -> String {
    match failure {
        "power" => "power cut".to_owned(),
        "heaters" => "heaters stop".to_owned(),
        "blower" => "blower stops".to_owned(),
        "power with generator" => "power cut, with generator".to_owned(),
        other => other.to_owned(),
    }
}

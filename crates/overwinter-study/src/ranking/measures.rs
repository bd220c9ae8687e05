//! The few numbers of a case that designs are compared by.

use serde::{Deserialize, Serialize};

use super::plan::RankingPlan;
use crate::outages::CaseOutages;
use crate::run::CaseRows;
use crate::summary;
use crate::tables::frost_risk::FrostRow;
use crate::tables::fuel_use::{Covers, FuelRow};

/// Lengths of a failure that differ by less are one.
const SAME_H: f64 = 1e-9;

/// The numbers of a case that ran, in SI.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Measures {
    /// Weather file, an index into those of the plan.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub climate: Option<usize>,
    /// Name of the fuel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fuel: Option<String>,
    /// The unit that it is bought in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fuel_unit: Option<String>,
    /// Currency of the costs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub currency: Option<String>,
    /// Energy of the fuel of the year, higher heating value.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fuel_j: Option<f64>,
    /// Fuel in its own unit, of a house with one fuel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fuel_units: Option<f64>,
    /// Cost of the fuel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fuel_cost: Option<f64>,
    /// Electricity of blowers, fans and the heaters' own fans.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub electricity_j: Option<f64>,
    /// Cost of that electricity.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub electricity_cost: Option<f64>,
    /// Heat delivered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heat_j: Option<f64>,
    /// Largest heat over one hour, a mean.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub peak_heat_w: Option<f64>,
    /// Heat that was missing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unmet_j: Option<f64>,
    /// Lowest leaf of the year, with a crop.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lowest_leaf_k: Option<f64>,
    /// Lowest air of the year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lowest_air_k: Option<f64>,
    /// Time below each limit, in the order of the scenario.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<TimeBelow>,
    /// What the failure does that the summary tells of, where failures are tried.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failing: Option<Failing>,
}

/// Time below a limit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct TimeBelow {
    /// What the limit stands for.
    pub name: String,
    /// The limit.
    pub limit_k: f64,
    /// True at the limit at which the crop is lost.
    pub is_loss: bool,
    /// Hours below, by the leaf or, without a crop, by the air.
    pub hours: f64,
}

/// What a failure does.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Failing {
    /// What fails.
    pub failure: String,
    /// For how long.
    pub length_h: f64,
    /// Lowest leaf of the clear design night, from the worst start.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clear_leaf_k: Option<f64>,
    /// Nights of the season in which the crop is lost, from the worst start.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub nights_lost: Option<f64>,
}

impl Measures {
    /// Those of a case; `None` if it did not run.
    pub fn of(rows: &CaseRows, plan: &RankingPlan) -> Option<Self> {
        let is_year = |row: &&FuelRow| row.covers == Covers::House && row.span.number() == 0;
        let year = rows.fuel_use.iter().find(is_year)?;
        let house = year.house?;
        let electricity_j =
            house.blower_j + house.circulation_j + house.vent_fan_j + year.heater_electric_j;
        // A house without heaters has no price of fuel, and needs none.
        let unheated = &*year.fuel == "none";
        let written = rows.case.weather_file.as_deref();
        Some(Self {
            climate: written.and_then(|written| plan.climate(written)),
            fuel: Some(year.fuel.to_string()),
            fuel_unit: year.fuel_unit.as_deref().map(str::to_owned),
            currency: Some(year.currency.to_string()),
            fuel_j: Some(year.fuel_j),
            fuel_units: year.fuel_units,
            fuel_cost: year.fuel_cost.or(unheated.then_some(0.0)),
            electricity_j: Some(electricity_j),
            electricity_cost: house.electricity_cost,
            heat_j: Some(year.heat_j),
            peak_heat_w: Some(house.peak_hour_w),
            unmet_j: Some(house.unmet_j),
            lowest_leaf_k: rows.lowest_leaf.map(|lowest| lowest.temp_k),
            lowest_air_k: rows.lowest_air.map(|lowest| lowest.temp_k),
            limits: rows.frost_risk.iter().map(time_below).collect(),
            failing: rows.outages.as_ref().and_then(failing),
        })
    }

    /// Cost of fuel and electricity together, where both are priced.
    pub fn cost(&self) -> Option<f64> {
        Some(self.fuel_cost? + self.electricity_cost?)
    }

    /// The lowest leaf or, without a crop, air.
    pub fn lowest_k(&self) -> Option<f64> {
        self.lowest_leaf_k.or(self.lowest_air_k)
    }
}

fn time_below(row: &FrostRow) -> TimeBelow {
    TimeBelow {
        name: row.limit_name.to_string(),
        limit_k: row.limit_k,
        is_loss: row.is_loss,
        hours: row.leaf.unwrap_or(row.air).hours as f64,
    }
}

fn failing(tried: &CaseOutages) -> Option<Failing> {
    let told = summary::failing(tried)?.row;
    // Of the hours at which it starts each measure has its own worst, whichever that is.
    let starts = || {
        let rows = tried.rows.iter();
        rows.filter(|row| {
            row.failure == told.failure && (row.length_h - told.length_h).abs() < SAME_H
        })
    };
    let leaves_k = starts().filter_map(|row| Some(row.clear.as_ref()?.leaf_k));
    let lost = starts().filter_map(|row| Some(row.all.as_ref()?.lost));
    Some(Failing {
        failure: told.failure.to_string(),
        length_h: told.length_h,
        clear_leaf_k: leaves_k.min_by(f64::total_cmp),
        nights_lost: lost.max().map(|nights| nights as f64),
    })
}

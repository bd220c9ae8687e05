//! The numbers of the one-screen summary, taken from the rows of the tables.

use std::sync::Arc;

use overwinter_weather::YearKind;
use serde::{Deserialize, Serialize};

use crate::case::Study;
use crate::outages::CaseOutages;
use crate::run::{CaseRows, Shortfall};
use crate::stress::stress_words;
use crate::tables::cases::Status;
use crate::tables::frost_risk::{Below, Lowest};
use crate::tables::fuel_use::{Covers, FuelRow, HouseUse, WorstWeek};
use crate::tables::outages::{OneNight, OutageRow};

/// What a grower acts on, for one case.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CaseSummary {
    /// Case.
    pub case_id: usize,
    /// The alternative on each axis.
    pub axis_labels: Vec<Arc<str>>,
    /// Weather station or place.
    pub climate: Arc<str>,
    /// What year its weather file holds.
    pub weather_year: YearKind,
    /// What was asked of that year beyond the file, in words.
    pub stress: Option<Arc<str>>,
    /// Latitude of the place, north positive: it says when the heating season begins.
    pub latitude_deg: f64,
    /// Floor area.
    pub floor_area_m2: f64,
    /// The numbers, or why there are none.
    pub outcome: Result<Numbers, Arc<str>>,
}

/// The numbers of a case that ran.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Numbers {
    /// Fuel and heat of the year.
    pub year: FuelTotals,
    /// Fuel and heat of each month from January.
    pub months: Vec<FuelTotals>,
    /// Fuel and heat by fuel over the year, for a house with several fuels.
    pub by_fuel: Vec<FuelTotals>,
    /// The week with most heat.
    pub worst_week: Option<WorstWeek>,
    /// Currency of the costs.
    pub currency: Arc<str>,
    /// Electricity, peak and unmet heat of the year.
    pub house: HouseUse,
    /// Outdoor air at the end of the hour with the largest heat.
    pub outdoor_at_peak_k: f64,
    /// Electricity of the heaters over the year.
    pub heater_electric_j: f64,
    /// Full output of all heaters.
    pub heater_output_w: f64,
    /// Hours with all heaters at full output.
    pub full_output_h: f64,
    /// Worst miss of the hold temperature.
    pub shortfall: Option<Shortfall>,
    /// Lowest air temperature.
    pub lowest_air: Option<Lowest>,
    /// Lowest leaf temperature, for a house with a crop.
    pub lowest_leaf: Option<Lowest>,
    /// Time below each crop limit.
    pub limits: Vec<LimitSummary>,
    /// What a failure does, where any is tried.
    pub failing: Option<FailingSummary>,
}

/// One failure of one length: of the power if it is tried, else the first of the plan; for the length
/// nearest to [`SUMMED_UP_H`]; from the start that makes the clear design night coldest.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FailingSummary {
    /// The row of the table.
    pub row: OutageRow,
    /// The clear design night when the blower alone fails, where it is tried and the heaters go on.
    pub blower: Option<OneNight>,
    /// The same with the generator, where one takes over.
    pub generator: Option<OutageRow>,
}

/// Name of a power failure that a generator ends.
const WITH_GENERATOR: &str = "power with generator";

/// Length of the failure in a summary, h.
pub const SUMMED_UP_H: f64 = 8.0;

/// Heat and fuel over some time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FuelTotals {
    /// Name of the fuel, "several" or "none".
    pub fuel: Arc<str>,
    /// Its unit.
    pub fuel_unit: Option<Arc<str>>,
    /// Fuel in that unit.
    pub fuel_units: Option<f64>,
    /// Energy of the fuel.
    pub fuel_j: f64,
    /// Heat delivered.
    pub heat_j: f64,
    /// Cost of the fuel, if priced.
    pub fuel_cost: Option<f64>,
}

/// Time below one limit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LimitSummary {
    /// What it stands for.
    pub name: Arc<str>,
    /// The limit.
    pub limit_k: f64,
    /// By air.
    pub air: Below,
    /// By leaf.
    pub leaf: Option<Below>,
}

/// True if the scenario left the output of a heater to its default.
pub fn output_by_default(study: &Study) -> bool {
    let is_output = |key: &str| key.starts_with("heater") && key.ends_with(".output");
    study.defaults.iter().any(|default| is_output(&default.key))
}

/// The summary of one case.
pub fn summary(study: &Study, rows: &CaseRows) -> CaseSummary {
    let case = study.cases.get(rows.case.case_id - 1).ok();
    let climate = case.map(|case| &study.climates[case.climate]);
    CaseSummary {
        case_id: rows.case.case_id,
        axis_labels: rows.case.axis_labels.clone(),
        climate: rows.case.climate.clone().unwrap_or_else(|| Arc::from("-")),
        weather_year: rows.case.weather_year.unwrap_or(YearKind::Unstated),
        stress: stress_words(&rows.case.stress).map(Arc::from),
        latitude_deg: climate.map_or(0.0, |climate| climate.year.place.latitude_deg),
        floor_area_m2: rows.case.floor_area_m2.unwrap_or(0.0),
        outcome: match &rows.case.status {
            Status::Failed(reason) => Err(reason.clone()),
            Status::Done(_) => numbers(rows).ok_or_else(|| Arc::from("the season has no totals")),
        },
    }
}

fn numbers(rows: &CaseRows) -> Option<Numbers> {
    let of = |covers: Covers| rows.fuel_use.iter().filter(move |row| row.covers == covers);
    let (year, months) = of(Covers::House).partition::<Vec<_>, _>(|row| row.span.number() == 0);
    let year = *year.first()?;
    let house = year.house?;
    let by_fuel = of(Covers::Fuel).filter(|row| row.span.number() == 0);
    Some(Numbers {
        year: totals(year),
        months: months.into_iter().map(totals).collect(),
        by_fuel: by_fuel.map(totals).collect(),
        worst_week: year.worst_week,
        currency: year.currency.clone(),
        house,
        outdoor_at_peak_k: rows.outdoor_at_peak_k?,
        heater_electric_j: year.heater_electric_j,
        heater_output_w: year.heater_output_w,
        full_output_h: year.full_output_h,
        shortfall: rows.shortfall,
        lowest_air: rows.lowest_air,
        lowest_leaf: rows.lowest_leaf,
        limits: limits(rows),
        failing: rows.outages.as_ref().and_then(failing),
    })
}

fn totals(row: &FuelRow) -> FuelTotals {
    FuelTotals {
        fuel: row.fuel.clone(),
        fuel_unit: row.fuel_unit.clone(),
        fuel_units: row.fuel_units,
        fuel_j: row.fuel_j,
        heat_j: row.heat_j,
        fuel_cost: row.fuel_cost,
    }
}

pub(crate) fn failing(tried: &CaseOutages) -> Option<FailingSummary> {
    let rank = |row: &&OutageRow| {
        let leaf_k = row
            .clear
            .as_ref()
            .map_or(f64::INFINITY, |night| night.leaf_k);
        ((row.length_h - SUMMED_UP_H).abs(), leaf_k)
    };
    let named = |name: &str| {
        let rows = tried.rows.iter().filter(move |row| &*row.failure == name);
        rows.min_by(|a, b| {
            let (a, b) = (rank(a), rank(b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        })
    };
    let first = tried.rows.first()?;
    let row = named("power").or_else(|| named(&first.failure))?;
    // How the cover dries is not for the screen, and would not come back from a part.
    let told = |row: &OutageRow| OutageRow {
        drying: None,
        ..row.clone()
    };
    let of_generator = |other: &&OutageRow| {
        &*other.failure == WITH_GENERATOR
            && other.start == row.start
            && (other.length_h - row.length_h).abs() < 1e-9
    };
    let generator = tried.rows.iter().find(of_generator).map(told);
    let blower = named("blower").and_then(|row| row.clear.clone());
    Some(FailingSummary {
        row: told(row),
        generator: generator.filter(|_| &*row.failure == "power"),
        blower: blower.filter(|night| night.heaters.is_some() && &*row.failure != "blower"),
    })
}

fn limits(rows: &CaseRows) -> Vec<LimitSummary> {
    let limit = rows.frost_risk.iter().map(|row| LimitSummary {
        name: row.limit_name.clone(),
        limit_k: row.limit_k,
        air: row.air,
        leaf: row.leaf,
    });
    limit.collect()
}

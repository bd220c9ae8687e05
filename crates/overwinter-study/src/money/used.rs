//! What a case uses in its year, with what its scenario states of money: a plan of costs.

use std::sync::Arc;

use overwinter_economics::{CashFlow, EconomicsError, EnergyUse, Plan, Terms};
use overwinter_engine::ledger::HeatTerm;
use overwinter_engine::record::SeasonRecord;
use serde::{Deserialize, Serialize};

use super::stated::{Carrier, ELECTRICITY, Money};
use crate::case::Case;
use crate::tables::fuel_use::{Covers, FuelRow};
use crate::tables::units::kwh;

/// The money of a case that ran.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CaseMoney {
    /// What the scenario states.
    pub stated: Arc<Money>,
    /// Energy of each of its carriers over the year, higher heating value.
    pub energy_j: Vec<f64>,
    /// Sunlight that stays inside over the year.
    pub sun_inside_j: f64,
    /// Heat over the year that a further, ample heater would have had to give.
    pub unmet_j: f64,
    /// Floor area.
    pub floor_area_m2: f64,
}

impl CaseMoney {
    /// That of a case, if its scenario counts money.
    pub(crate) fn of(case: &Case, record: &SeasonRecord, fuel_use: &[FuelRow]) -> Option<Self> {
        let stated = Arc::clone(case.money.as_ref()?);
        let of_carrier = |carrier: &Carrier| energy_j(&carrier.name, fuel_use);
        let months = record.months.iter();
        Some(Self {
            energy_j: stated.carriers.iter().map(of_carrier).collect(),
            sun_inside_j: months
                .map(|month| month.heat_j[HeatTerm::SunInside as usize])
                .sum(),
            unmet_j: record.months.iter().map(|month| month.unmet_j).sum(),
            floor_area_m2: case.house.floor_area_m2,
            stated,
        })
    }

    /// Units of a carrier over the year.
    pub(crate) fn amount(&self, at: usize) -> f64 {
        let energy_j = self.energy_j.get(at).copied().unwrap_or(0.0);
        let unit = self.stated.carriers.get(at);
        unit.map_or(0.0, |carrier| energy_j / carrier.energy_j_per_unit)
    }

    /// As the arithmetic takes it; the value of light is that against another case.
    pub(crate) fn plan(&self, name: &str, light_value_year: Option<f64>) -> Plan {
        let stated = &self.stated;
        let used = stated.carriers.iter().enumerate().map(|(at, carrier)| {
            let energy_j = self.energy_j.get(at).copied().unwrap_or(0.0);
            EnergyUse {
                carrier: carrier.name.clone(),
                unit: carrier.unit.clone(),
                amount_year: self.amount(at),
                price: carrier.price,
                escalation: carrier.rise,
                energy_kwh_year: kwh(energy_j),
                emissions_year: carrier.emission_factors.map(|of| of.emissions(energy_j)),
            }
        });
        Plan {
            name: name.to_owned(),
            parts: stated.parts.iter().map(|part| part.part()).collect(),
            grant: stated.grant,
            energy: used.collect(),
            upkeep_year: stated.upkeep_year,
            upkeep_escalation: stated.upkeep_rise,
            light_value_year,
            loan: stated.loan(),
        }
    }

    /// Study period and rates.
    pub(crate) fn terms(&self) -> Result<Terms, EconomicsError> {
        self.stated.terms.terms()
    }

    /// What a year of its light is worth more than that of another case, where the scenario states what
    /// light is worth.
    pub(crate) fn light_value_against(&self, other: &Self) -> Option<f64> {
        let of_percent = self.stated.light_value_percent_year?;
        let more = self.sun_inside_j / other.sun_inside_j - 1.0;
        more.is_finite().then_some(of_percent * more * 100.0)
    }

    /// Its costs year by year, without a value of light.
    pub(crate) fn cash_flow(&self) -> Result<CashFlow, EconomicsError> {
        CashFlow::new(&self.plan("", None), &self.terms()?)
    }
}

/// Energy of a carrier over the year: that of the heaters which burn it, and of electricity that of
/// blowers, fans and the heaters' own fans as well.
fn energy_j(carrier: &str, fuel_use: &[FuelRow]) -> f64 {
    let is_year = |row: &&FuelRow| row.span.number() == 0;
    let rows = || fuel_use.iter().filter(is_year);
    let burnt_j: f64 = rows()
        .filter(|row| &*row.fuel == carrier)
        .map(|row| row.fuel_j)
        .sum();
    if carrier != ELECTRICITY {
        return burnt_j;
    }
    let house = rows().find(|row| row.covers == Covers::House);
    let drawn_j = house.and_then(|row| {
        let of = row.house?;
        Some(of.blower_j + of.circulation_j + of.vent_fan_j + row.heater_electric_j)
    });
    burnt_j + drawn_j.unwrap_or(0.0)
}

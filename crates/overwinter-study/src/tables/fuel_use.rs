//! Heat delivered, fuel and electricity used, by month.
//!
//! One row is a case in a month (month 0: the year) with everything of the *house*. A house that
//! burns more than one fuel has a further row for each *fuel*; what belongs to the house alone is
//! empty there, so that a sum over rows of one kind never counts twice.

mod columns;

use std::ops::Range;
use std::sync::Arc;

use overwinter_economics::Emissions;
use overwinter_engine::control::Heater;
use overwinter_engine::ledger::Month;
use overwinter_engine::record::{HeaterMonth, SeasonRecord};
use overwinter_weather::Year;
use serde::{Deserialize, Serialize};

use super::calendar::Span;
use super::units::J_PER_KWH;
use crate::case::{Case, Fuel};
use crate::run::HELD_WITHIN_K;

pub use columns::table;

/// Length of the week in which most heat is used.
const WEEK_DAYS: usize = 7;

/// What a row is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Covers {
    /// All heaters, fans and blowers.
    House,
    /// The heaters of one fuel, in a house with several fuels.
    Fuel,
}

/// The seven days in a row with most heat.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct WorstWeek {
    /// Its first day, counted from 0 = 1 January.
    pub first_day: usize,
    /// Heat delivered.
    pub heat_j: f64,
    /// Fuel used in its own unit, where the house has one fuel.
    pub fuel_units: Option<f64>,
}

/// Electricity and shortfall, which belong to the house as a whole.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct HouseUse {
    /// Largest heat delivered over one hour, a mean.
    pub peak_hour_w: f64,
    /// The first hour of the year in which that was so, counted from 0.
    pub peak_at_hour: usize,
    /// Heat that a further, ample heater would have had to give.
    pub unmet_j: f64,
    /// How far and how long the hold temperature was missed, kelvin-hours.
    pub below_set_kh: f64,
    /// Over the year, the largest hourly output that would have held; `None` if the heaters did.
    pub holding_peak_w: Option<f64>,
    /// Inflation blowers.
    pub blower_j: f64,
    /// Circulation fans.
    pub circulation_j: f64,
    /// Vent fans.
    pub vent_fan_j: f64,
    /// Blowers, fans and heaters at the price of electricity, where that is given.
    pub electricity_cost: Option<f64>,
}

/// A row of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct FuelRow {
    /// Case.
    pub case_id: usize,
    /// Month or year.
    pub span: Span,
    /// House or fuel.
    pub covers: Covers,
    /// Name of the fuel, "several" for a house with more than one, "none" without heaters.
    pub fuel: Arc<str>,
    /// The unit the fuel is bought in.
    pub fuel_unit: Option<Arc<str>>,
    /// Heat delivered.
    pub heat_j: f64,
    /// Energy of the fuel used, by higher heating value.
    pub fuel_j: f64,
    /// Fuel used in its own unit.
    pub fuel_units: Option<f64>,
    /// Cost of the fuel, where every fuel in the row has a price.
    pub fuel_cost: Option<f64>,
    /// What the fuel gives off, where that is known of every fuel in the row.
    pub emissions: Option<Emissions>,
    /// Currency of the costs.
    pub currency: Arc<str>,
    /// Full output of the heaters.
    pub heater_output_w: f64,
    /// Sum of each heater's own largest output over an hour.
    pub heater_peak_w: f64,
    /// Hours in which all the heaters stood at full output.
    pub full_output_h: f64,
    /// Electricity of the heaters.
    pub heater_electric_j: f64,
    /// What belongs to the house alone; `None` in a fuel's row.
    pub house: Option<HouseUse>,
    /// The worst week that begins in the span; `None` without heat and in a fuel's row.
    pub worst_week: Option<WorstWeek>,
}

/// The rows of one case: the year, then the months.
pub fn rows(case: &Case, record: &SeasonRecord) -> Vec<FuelRow> {
    let source = Source::new(case, record);
    Span::all().flat_map(|span| source.rows_in(span)).collect()
}

/// Outdoor air, K, at the end of the hour with the most heat; `None` without the row of the house's year.
pub fn outdoor_at_peak_k(rows: &[FuelRow], year: &Year) -> Option<f64> {
    let is_year = |row: &&FuelRow| row.covers == Covers::House && row.span == Span::YEAR;
    let house = rows.iter().find(is_year)?.house?;
    year.air_temp_k.get(house.peak_at_hour + 1).copied()
}

/// One heater with what it did.
struct HeaterUse<'a> {
    heater: &'a Heater,
    months: &'a [HeaterMonth; 12],
}

impl HeaterUse<'_> {
    fn heat_j(&self, span: Span) -> f64 {
        self.months[span.months()].iter().map(|m| m.heat_j).sum()
    }

    fn fuel_j(&self, span: Span) -> f64 {
        self.heat_j(span) / self.heater.efficiency
    }

    fn electric_j(&self, span: Span) -> f64 {
        let months = &self.months[span.months()];
        months.iter().map(|m| m.electric_j).sum()
    }

    fn peak_w(&self, span: Span) -> f64 {
        let months = &self.months[span.months()];
        months.iter().map(|m| m.peak_w).fold(0.0, f64::max)
    }

    fn full_output_h(&self, span: Span) -> f64 {
        let months = &self.months[span.months()];
        months.iter().map(|m| m.full_output_h).sum()
    }
}

/// The heaters that burn the same fuel.
struct FuelGroup<'a> {
    name: &'a str,
    fuel: Option<&'a Fuel>,
    heaters: Vec<HeaterUse<'a>>,
}

impl FuelGroup<'_> {
    fn fuel_j(&self, span: Span) -> f64 {
        self.heaters.iter().map(|h| h.fuel_j(span)).sum()
    }

    fn fuel_units(&self, span: Span) -> Option<f64> {
        Some(self.fuel_j(span) / self.fuel?.energy_j_per_unit)
    }

    fn cost(&self, span: Span) -> Option<f64> {
        Some(self.fuel_units(span)? * self.fuel?.price_per_unit?)
    }

    fn emissions(&self, span: Span) -> Option<Emissions> {
        let factors = self.fuel?.emission_factors?;
        Some(factors.emissions(self.fuel_j(span)))
    }

    fn unit(&self) -> Option<Arc<str>> {
        self.fuel.map(|fuel| Arc::from(fuel.unit.as_str()))
    }
}

/// Everything the rows of one case are made from.
struct Source<'a> {
    case: &'a Case,
    months: &'a [Month],
    heat_w: &'a [f64],
    holding_peak_w: Option<f64>,
    daily_heat_j: Vec<f64>,
    groups: Vec<FuelGroup<'a>>,
}

impl<'a> Source<'a> {
    fn new(case: &'a Case, record: &'a SeasonRecord) -> Self {
        let heat_w = record.hours.heat_w.as_slice();
        let is_missed =
            (record.hours.below_set_k.iter()).any(|&missed_k| missed_k >= HELD_WITHIN_K);
        let day_j = |day: &[f64]| day.iter().map(|heat_w| heat_w * 3600.0).sum();
        Self {
            case,
            months: &record.months,
            heat_w,
            holding_peak_w: record.holding_peak_w.filter(|_| is_missed),
            daily_heat_j: heat_w.chunks(24).map(day_j).collect(),
            groups: groups(case, record),
        }
    }

    fn rows_in(&self, span: Span) -> Vec<FuelRow> {
        let mut rows = vec![self.house_row(span)];
        if self.groups.len() > 1 {
            rows.extend(self.groups.iter().map(|group| self.fuel_row(group, span)));
        }
        rows
    }

    fn house_row(&self, span: Span) -> FuelRow {
        let heaters = || self.groups.iter().flat_map(|group| &group.heaters);
        let mut row = self.row(heaters().collect(), span);
        row.house = Some(self.house_use(row.heater_electric_j, span));
        row.worst_week = self.worst_week(span);
        match self.groups.as_slice() {
            [] => row.fuel = Arc::from("none"),
            [only] => self.name_fuel(&mut row, only, span),
            several => {
                row.fuel = Arc::from("several");
                row.fuel_cost = several.iter().map(|group| group.cost(span)).sum();
                row.emissions = several.iter().map(|group| group.emissions(span)).sum();
            }
        }
        row
    }

    fn fuel_row(&self, group: &FuelGroup, span: Span) -> FuelRow {
        let mut row = self.row(group.heaters.iter().collect(), span);
        row.covers = Covers::Fuel;
        self.name_fuel(&mut row, group, span);
        row
    }

    fn name_fuel(&self, row: &mut FuelRow, group: &FuelGroup, span: Span) {
        row.fuel = Arc::from(group.name);
        row.fuel_unit = group.unit();
        row.fuel_units = group.fuel_units(span);
        row.fuel_cost = group.cost(span);
        row.emissions = group.emissions(span);
    }

    /// A row of the house with what all heaters given have in common.
    fn row(&self, heaters: Vec<&HeaterUse>, span: Span) -> FuelRow {
        let sum = |value: &dyn Fn(&HeaterUse) -> f64| heaters.iter().map(|h| value(h)).sum();
        // Stages come on one after the other, so all are full when the last one is.
        let full_output_h = heaters.iter().map(|h| h.full_output_h(span));
        FuelRow {
            case_id: self.case.id,
            span,
            covers: Covers::House,
            fuel: Arc::from(""),
            fuel_unit: None,
            heat_j: sum(&|h| h.heat_j(span)),
            fuel_j: sum(&|h| h.fuel_j(span)),
            fuel_units: None,
            fuel_cost: None,
            emissions: None,
            currency: Arc::from(self.case.currency.as_str()),
            heater_output_w: heaters.iter().map(|h| h.heater.output_w).sum(),
            heater_peak_w: sum(&|h| h.peak_w(span)),
            full_output_h: full_output_h.reduce(f64::min).unwrap_or(0.0),
            heater_electric_j: sum(&|h| h.electric_j(span)),
            house: None,
            worst_week: None,
        }
    }

    fn house_use(&self, heater_electric_j: f64, span: Span) -> HouseUse {
        let months = &self.months[span.months()];
        let sum = |value: fn(&Month) -> f64| months.iter().map(value).sum::<f64>();
        let blower_j = sum(|month| month.blower_j);
        let circulation_j = sum(|month| month.circulation_j);
        let vent_fan_j = sum(|month| month.vent_fan_j);
        let electric_j = heater_electric_j + blower_j + circulation_j + vent_fan_j;
        let price = self.case.electricity_price_per_kwh;
        let (peak_at_hour, peak_hour_w) = self.peak(span);
        HouseUse {
            peak_hour_w,
            peak_at_hour,
            unmet_j: sum(|month| month.unmet_j),
            below_set_kh: sum(|month| month.below_set_kh),
            holding_peak_w: self.holding_peak_w.filter(|_| span == Span::YEAR),
            blower_j,
            circulation_j,
            vent_fan_j,
            electricity_cost: price.map(|price| electric_j / J_PER_KWH * price),
        }
    }

    /// The first hour with the largest heat, and that heat.
    fn peak(&self, span: Span) -> (usize, f64) {
        let first = (span.hours().start, 0.0);
        let hours = span.hours().map(|hour| (hour, self.heat_w[hour]));
        hours.fold(
            first,
            |peak, hour| if hour.1 > peak.1 { hour } else { peak },
        )
    }

    /// Weeks run on whole days, from any first day in the span, and end within the year.
    fn worst_week(&self, span: Span) -> Option<WorstWeek> {
        let week = |first_day: usize| first_day..first_day + WEEK_DAYS;
        let heat_j = |first_day| self.daily_heat_j[week(first_day)].iter().sum::<f64>();
        let fits = |first_day: &usize| first_day + WEEK_DAYS <= self.daily_heat_j.len();
        let mut worst: Option<(usize, f64)> = None;
        for first_day in span.days().take_while(fits) {
            let heat_j = heat_j(first_day);
            if heat_j > worst.map_or(0.0, |(_, most_j)| most_j) {
                worst = Some((first_day, heat_j));
            }
        }
        worst.map(|(first_day, heat_j)| WorstWeek {
            first_day,
            heat_j,
            fuel_units: self.fuel_units_in(week(first_day)),
        })
    }

    /// Fuel of some days: heat of each day at the month's own ratio of fuel to heat, which is
    /// exact for one heater and a mean where heaters of unequal efficiency share the work.
    fn fuel_units_in(&self, days: Range<usize>) -> Option<f64> {
        let [group] = self.groups.as_slice() else {
            return None;
        };
        let energy_j_per_unit = group.fuel?.energy_j_per_unit;
        let fuel_j = |day: usize| {
            let month = Span::all().skip(1).find(|span| span.days().contains(&day));
            let month = month.unwrap_or(Span::YEAR);
            let heat_j: f64 = group.heaters.iter().map(|h| h.heat_j(month)).sum();
            let fuel_per_heat = if heat_j > 0.0 {
                group.fuel_j(month) / heat_j
            } else {
                0.0
            };
            self.daily_heat_j[day] * fuel_per_heat
        };
        Some(days.map(fuel_j).sum::<f64>() / energy_j_per_unit)
    }
}

/// Heaters by fuel, fuels in the order of the heaters.
fn groups<'a>(case: &'a Case, record: &'a SeasonRecord) -> Vec<FuelGroup<'a>> {
    let mut groups: Vec<FuelGroup> = Vec::new();
    for (heater, months) in case.house.heaters.iter().zip(&record.heaters) {
        let used = HeaterUse { heater, months };
        match groups.iter_mut().find(|group| group.name == heater.fuel) {
            Some(group) => group.heaters.push(used),
            None => groups.push(FuelGroup {
                name: &heater.fuel,
                fuel: case.fuels.iter().find(|fuel| fuel.name == heater.fuel),
                heaters: vec![used],
            }),
        }
    }
    groups
}

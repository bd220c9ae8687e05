//! What the blowers draw.

use overwinter_engine::inflated::Inflation;
use overwinter_weather::Year;

use crate::case::Case;
use crate::tables::units::J_PER_KWH;

/// Hours of a year.
const YEAR_H: usize = 8760;

/// Energy of the battery that is told of, J: 1 kWh that can be drawn.
pub const BATTERY_J: f64 = J_PER_KWH;

/// Electricity of all blowers that run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Electricity {
    /// Draw.
    pub draw_w: f64,
    /// Over a year without a stop.
    pub year_j: f64,
    /// Hours of the year in which the outdoor air is below the hold temperature, if there is a heater.
    pub heating_h: Option<usize>,
    /// Over those hours.
    pub heating_j: Option<f64>,
    /// Price, if it is known.
    pub price_per_kwh: Option<f64>,
    /// Time that [`BATTERY_J`] lasts; infinite without a draw.
    pub battery_s: f64,
}

impl Electricity {
    /// What an energy costs, if the price is known.
    pub fn cost(&self, energy_j: f64) -> Option<f64> {
        self.price_per_kwh.map(|price| price * energy_j / J_PER_KWH)
    }
}

pub(super) fn of(case: &Case, inflation: &Inflation, year: &Year) -> Electricity {
    let running = inflation.network.feeds.iter().filter(|feed| feed.running);
    let draw_w: f64 = running.map(|feed| feed.blower.draw.watts()).sum();
    let energy_j = |hours: usize| draw_w * 3600.0 * hours as f64;
    let house = &case.house;
    let heating_h = (!house.heaters.is_empty()).then(|| {
        let is_cold = |hour: &usize| year.air_temp_k[*hour] < house.heat_set_k.at(*hour, 0.0);
        (0..YEAR_H).filter(is_cold).count()
    });
    Electricity {
        draw_w,
        year_j: energy_j(YEAR_H),
        heating_h,
        heating_j: heating_h.map(energy_j),
        price_per_kwh: case.electricity_price_per_kwh,
        battery_s: if draw_w > 0.0 {
            BATTERY_J / draw_w
        } else {
            f64::INFINITY
        },
    }
}

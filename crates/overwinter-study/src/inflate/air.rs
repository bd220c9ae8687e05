//! The air that the blowers drive through the gaps, with its heat and its water.

use overwinter_engine::house::House;
use overwinter_engine::inflated::Inflation;
use overwinter_physics::error::PhysicsError;
use overwinter_physics::inflation::gap::{flow_condensation_kg_s, flow_conductance_w_m2k};
use overwinter_physics::inflation::network::Beyond;
use overwinter_physics::moist_air::{
    humidity_ratio, saturation_pressure_over_water_pa, saturation_pressure_pa,
};
use overwinter_units::constants::ZERO_CELSIUS_K;
use overwinter_weather::year::HOURS;
use overwinter_weather::{DesignSky, Year, design_night};

use super::wind::calm;

/// Relative humidity of the house air that a blower takes from inside, 0 to 1 (estimate: a planted house
/// at night, 80 to 95 %).
pub const HOUSE_HUMIDITY: f64 = 0.85;

/// How far the outer film is below the outdoor air under a clear sky, K (estimate: 1 to 3 K).
pub const FILM_BELOW_OUTDOORS_K: f64 = 2.0;

/// Seconds in a day.
const DAY_S: f64 = 86_400.0;

/// Where the temperature of the house air comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HouseAir {
    /// The hold temperature at midnight of the design night.
    Held,
    /// Freezing, or the outdoor air where that is warmer, since nothing heats the house.
    Unheated,
}

/// Air, heat and water through all gaps in a calm.
#[derive(Clone, Debug, PartialEq)]
pub struct AirThrough {
    /// What the blowers take in.
    pub flow_m3_s: f64,
    /// Share of it that they take from the house, 0 to 1.
    pub inside_share: f64,
    /// Air that enters each gap by all ways.
    pub gap_flow_m3_s: Vec<f64>,
    /// Volumes of all gaps an hour.
    pub changes_per_h: f64,
    /// Heat for each kelvin by which it is warmed.
    pub heat_w_k: f64,
    /// Outdoor air of the design night: the climate's 99.6 % temperature.
    pub outdoors_k: f64,
    /// House air then.
    pub house_k: f64,
    /// Where that comes from.
    pub house_air: HouseAir,
    /// Heat to warm the air from outdoors to the house.
    pub design_heat_w: f64,
    /// Water that falls out in the gaps then, all air being taken from the house.
    pub water_from_inside_kg_day: f64,
    /// The same, all air being taken from outdoors.
    pub water_from_outside_kg_day: f64,
}

pub(super) fn of(
    house: &House,
    inflation: &Inflation,
    year: &Year,
) -> Result<AirThrough, PhysicsError> {
    let network = &inflation.network;
    let state = network.solve(&calm(house))?;
    let from = |is_inside: bool| -> f64 {
        let feeds = network.feeds.iter().zip(&state.feed_flow_m3_s);
        let taken = feeds.filter(|(feed, _)| (feed.intake == Beyond::House) == is_inside);
        taken.map(|(_, flow)| flow.max(0.0)).sum()
    };
    let (inside_m3_s, flow_m3_s) = (from(true), from(true) + from(false));
    let volume_m3: f64 = network.sections.iter().map(|gap| gap.volume_m3).sum();
    let heat_w_k = flow_conductance_w_m2k(flow_m3_s, 1.0, network.density_kg_m3);
    let night = Night::of(house, year);
    let water = |source_kg_kg: f64| {
        let saturated = night.film_saturated_kg_kg();
        DAY_S * flow_condensation_kg_s(flow_m3_s, source_kg_kg, saturated, network.density_kg_m3)
    };
    Ok(AirThrough {
        flow_m3_s,
        inside_share: if flow_m3_s > 0.0 {
            inside_m3_s / flow_m3_s
        } else {
            0.0
        },
        gap_flow_m3_s: state.through_flow_m3_s,
        changes_per_h: 3600.0 * flow_m3_s / volume_m3,
        heat_w_k,
        outdoors_k: night.outdoors_k,
        house_k: night.house_k,
        house_air: night.house_air,
        design_heat_w: heat_w_k * (night.house_k - night.outdoors_k).max(0.0),
        water_from_inside_kg_day: water(night.inside_kg_kg()),
        water_from_outside_kg_day: water(night.outside_kg_kg()),
    })
}

/// The coldest hour of the design night.
struct Night {
    outdoors_k: f64,
    dew_point_k: f64,
    pressure_pa: f64,
    house_k: f64,
    house_air: HouseAir,
}

impl Night {
    fn of(house: &House, year: &Year) -> Self {
        let night = design_night(year, DesignSky::ClearCalm);
        let marks = (12..=36).map(|hour| (24 * night.night_day + hour) % HOURS);
        let temps_k = &night.year.air_temp_k;
        let coldest = marks.min_by(|&a, &b| temps_k[a].total_cmp(&temps_k[b]));
        let mark = coldest.unwrap_or(0);
        let outdoors_k = night.lowest_k;
        let midnight = (24 * (night.night_day + 1)) % HOURS;
        let (house_k, house_air) = if house.heaters.is_empty() {
            (ZERO_CELSIUS_K.max(outdoors_k), HouseAir::Unheated)
        } else {
            (house.heat_set_k.at(midnight, 0.0), HouseAir::Held)
        };
        Self {
            outdoors_k,
            dew_point_k: night.year.dew_point_k[mark],
            pressure_pa: night.year.pressure_pa[mark],
            house_k,
            house_air,
        }
    }

    fn inside_kg_kg(&self) -> f64 {
        let vapour_pa = HOUSE_HUMIDITY * saturation_pressure_over_water_pa(self.house_k);
        humidity_ratio(vapour_pa, self.pressure_pa)
    }

    fn outside_kg_kg(&self) -> f64 {
        let vapour_pa = saturation_pressure_over_water_pa(self.dew_point_k);
        humidity_ratio(vapour_pa, self.pressure_pa)
    }

    fn film_saturated_kg_kg(&self) -> f64 {
        let film_k = self.outdoors_k - FILM_BELOW_OUTDOORS_K;
        humidity_ratio(saturation_pressure_pa(film_k), self.pressure_pa)
    }
}

//! A house, a study and a season whose numbers were chosen by hand, for the tests of this crate.

mod film;
mod plan;

use std::path::PathBuf;
use std::sync::Arc;

use overwinter_engine::control::{Fans, Gains, Heater, Setting};
use overwinter_engine::house::{
    Below, Crop, Floor, FloorColumn, House, Leakage, OwnCoefficients, SoilOutside, SurfaceRule,
};
use overwinter_engine::ledger::{HeatTerm, Month};
use overwinter_engine::record::{
    Effort, HeaterMonth, HourSeries, MoistureMonth, PlaceMoisture, SeasonRecord, Side,
};
use overwinter_weather::{LongwaveSource, Note, Place, Stress, Year};

use crate::case::{
    Case, Climate, DefaultUsed, DoseCurve, EmissionFactors, FrostLimit, Fuel, Study,
};
use crate::ranking::RankingPlan;
use crate::run::Stepped;

pub(crate) use film::{film_house, golden};
pub(crate) use plan::{outage_plan, outages};

/// 0 C.
pub(crate) const FREEZING_K: f64 = 273.15;

/// A heater of 30 kW at efficiency 0.8.
pub(crate) fn heater(name: &str, fuel: &str) -> Heater {
    Heater {
        name: name.to_owned(),
        output_w: 30e3,
        efficiency: 0.8,
        fuel: fuel.to_owned(),
        electric_w: 300.0,
        needs_electricity: true,
        offset_k: 0.0,
        band_k: 1.0,
        convective_share: 1.0,
        water_kg_j: 0.0,
    }
}

/// A house of 100 m2 with a crop and one heater.
pub(crate) fn house() -> House {
    let column = |area_m2| FloorColumn {
        area_m2,
        solids: Vec::new(),
        sideways_w_m2k: Vec::new(),
        below: Below::Adiabatic,
    };
    House {
        volume_m3: 300.0,
        floor_area_m2: 100.0,
        height_m: 4.0,
        wind_at_cover_share: 1.0,
        sections: Vec::new(),
        walls: Vec::new(),
        floor: Floor {
            columns: [column(80.0), column(20.0)],
            solar_absorptance: 0.8,
            emissivity: 0.9,
            wet_share: 0.5,
            soil_outside: SoilOutside {
                mean_k: 283.0,
                swing_k: 10.0,
                coldest_day: 30.0,
                diffusivity_m2_s: 5e-7,
            },
        },
        crop: Some(crop()),
        mass: None,
        leakage: Leakage::AirChange {
            per_hour: Setting::Constant(1.0),
        },
        frame_shade: 0.1,
        ground_reflectance: 0.2,
        ground_reflectance_holds: false,
        inside_surface: SurfaceRule::Calculated,
        outside_surface: SurfaceRule::Calculated,
        own_coefficients: OwnCoefficients::default(),
        heat_set_k: Setting::Constant(FREEZING_K + 5.0),
        heaters: vec![heater("heater", "propane")],
        vents: None,
        cooler: None,
        fans: Fans::default(),
        gains: Gains::default(),
        inflation: None,
    }
}

fn crop() -> Crop {
    Crop {
        leaf_area_index: 2.0,
        floor_share: 0.8,
        heat_capacity_j_m2k: 3000.0,
        extinction: 0.7,
        solar_absorptance: 0.8,
        emissivity: 0.95,
        boundary_resistance_s_m: 200.0,
        least_resistance_s_m: 100.0,
        night_resistance_s_m: 3000.0,
    }
}

/// A year at 45 N whose air stands at -10 C.
pub(crate) fn year() -> Year {
    let hours = |value: f64| vec![value; 8760];
    let instants = |value: f64| vec![value; 8761];
    Year {
        place: Place {
            name: "Handmade Flats".to_owned(),
            region: "XX".to_owned(),
            latitude_deg: 45.0,
            longitude_deg: -90.0,
            time_zone_h: -6.0,
            elevation_m: 300.0,
            format: "by hand".to_owned(),
        },
        global_horizontal_w_m2: hours(0.0),
        direct_normal_w_m2: hours(0.0),
        diffuse_horizontal_w_m2: hours(0.0),
        radiation_instant_h: 0.5,
        air_temp_k: instants(FREEZING_K - 10.0),
        dew_point_k: instants(FREEZING_K - 12.0),
        pressure_pa: instants(98e3),
        wind_m_s: instants(2.0),
        wind_from_deg: instants(270.0),
        sky_longwave_w_m2: instants(220.0),
        longwave_source: LongwaveSource::File,
        cloud_cover: None,
        snow_depth_m: None,
        ground_albedo: None,
        source_years: None,
        notes: vec![Note {
            defect: "missing dew point".to_owned(),
            count: 2,
            first_line: 17,
            action: "interpolated".to_owned(),
        }],
    }
}

/// A case: propane of 100 MJ a gallon at 2 a gallon, which gives off 6 kg of carbon dioxide, 0.2 of
/// methane and 0.01 of nitrous oxide; electricity at 0.5 a kWh; limits at 0 C (with a dose curve) and at
/// 10 C.
pub(crate) fn case(id: usize, label: &str) -> Case {
    Case {
        id,
        axis_labels: vec![label.to_owned()],
        draw: None,
        climate: 0,
        stress: Stress::NONE,
        house: Arc::new(house()),
        fuels: vec![Fuel {
            name: "propane".to_owned(),
            unit: "gal".to_owned(),
            energy_j_per_unit: 100e6,
            price_per_unit: Some(2.0),
            emission_factors: Some(EmissionFactors {
                carbon_dioxide_kg_j: 60e-9,
                is_biogenic: false,
                methane_kg_j: Some(2e-9),
                nitrous_oxide_kg_j: Some(0.1e-9),
            }),
        }],
        electricity_price_per_kwh: Some(0.5),
        currency: "USD".to_owned(),
        money: None,
        frost_limits: vec![
            FrostLimit {
                name: "water freezes".to_owned(),
                limit_k: FREEZING_K,
                dose: Some(DoseCurve {
                    half_damage_k: FREEZING_K - 2.0,
                    slope_per_k: 0.5,
                }),
                lag_h: 0.0,
                is_loss: true,
            },
            FrostLimit {
                name: "chilling".to_owned(),
                limit_k: FREEZING_K + 10.0,
                dose: None,
                lag_h: 3.0,
                is_loss: false,
            },
        ],
        events: overwinter_engine::events::EventPlan::default(),
        outages: None,
    }
}

/// A study of `cases` cases on one axis.
pub(crate) fn study(cases: usize) -> Study {
    Study {
        title: "By hand".to_owned(),
        scenario_path: PathBuf::from("by-hand.toml"),
        scenario_sha256: "0f".repeat(32),
        seed: 7,
        climates: vec![Climate::new(
            PathBuf::from("found/flats.csv"),
            "flats.csv".to_owned(),
            "1e".repeat(32),
            year(),
        )],
        cases: (1..=cases)
            .map(|id| case(id, &format!("choice {id}")))
            .collect(),
        axis_names: vec!["choice".to_owned()],
        ranking: RankingPlan::default(),
        sampled: Vec::new(),
        draws: 1,
        stated: Vec::new(),
        defaults: vec![DefaultUsed {
            key: "leakage".to_owned(),
            value: "1 /h".to_owned(),
            source: "common practice, no source".to_owned(),
        }],
        wants_hourly: false,
    }
}

/// A season: heat in January and February only, a cold night on 10 January.
///
/// January: 1 kW all month but 10 kW from the 10th to the 16th, heater account 2,000 kWh;
/// February: 2 kW, heater account 1,000 kWh.
pub(crate) fn record() -> SeasonRecord {
    let mut heaters = [HeaterMonth::default(); 12];
    heaters[0] = HeaterMonth {
        heat_j: 7.2e9,
        electric_j: 3.6e7,
        peak_w: 12e3,
        full_output_h: 5.0,
        running_h: 744.0,
    };
    heaters[1] = HeaterMonth {
        heat_j: 3.6e9,
        electric_j: 1.8e7,
        peak_w: 3e3,
        full_output_h: 0.0,
        running_h: 672.0,
    };
    SeasonRecord {
        months: months(),
        hours: hours(),
        heaters: vec![heaters],
        moisture: vec![moisture()],
        effort: Effort {
            steps: 17_520,
            redos: 40,
            fallbacks: 3,
        },
        worst_energy_residual: 2e-9,
        worst_water_residual: 3e-10,
        start_mismatch_k: 0.04,
        holding_peak_w: None,
        highest_output_w: 0.0,
    }
}

/// A season in which no failure was tried.
pub(crate) fn stepped(record: SeasonRecord) -> Stepped {
    Stepped {
        record,
        outages: None,
    }
}

fn months() -> Vec<Month> {
    let mut months = vec![Month::default(); 12];
    for month in &mut months {
        month.hours = 730.0;
        month.blower_j = 3.6e6;
        month.circulation_j = 7.2e6;
    }
    months[0].heat_j[HeatTerm::Heater as usize] = 7.2e9;
    months[1].heat_j[HeatTerm::Heater as usize] = 3.6e9;
    months[0].unmet_j = 1.8e7;
    months[0].below_set_kh = 2.5;
    months[0].stored_j = -3.6e6;
    months[1].stored_j = 7.2e6;
    months[0].heat_residual_j = 36.0;
    months[6].vent_fan_j = 3.6e7;
    months
}

fn hours() -> HourSeries {
    let mut heat_w = vec![0.0; 8760];
    heat_w[..744].fill(1e3);
    heat_w[9 * 24..16 * 24].fill(10e3);
    heat_w[744..1416].fill(2e3);
    let mut air_lowest_k = vec![FREEZING_K + 12.0; 8760];
    let mut top_leaf_lowest_k = vec![FREEZING_K + 12.0; 8760];
    // The night of 9 to 10 January: four hours in a row from 23:00, then one alone at 05:00.
    let cold_leaf = [
        (8 * 24 + 23, -1.0),
        (9 * 24, -3.0),
        (9 * 24 + 1, -2.0),
        (9 * 24 + 2, -0.5),
    ];
    for (hour, degc) in cold_leaf {
        top_leaf_lowest_k[hour] = FREEZING_K + degc;
        air_lowest_k[hour] = FREEZING_K + degc + 1.0;
    }
    top_leaf_lowest_k[9 * 24 + 5] = FREEZING_K - 0.5;
    // The night of 31 December to 1 January: the last hour of the year and its second.
    top_leaf_lowest_k[8759] = FREEZING_K + 8.0;
    top_leaf_lowest_k[1] = FREEZING_K + 9.0;
    let mut below_set_k = vec![0.0; 8760];
    below_set_k[9 * 24] = 2.5;
    HourSeries {
        air_temp_k: air_lowest_k.clone(),
        air_mean_k: air_lowest_k.clone(),
        air_lowest_k,
        leaf_temp_k: top_leaf_lowest_k.clone(),
        top_leaf_lowest_k,
        relative_humidity: vec![0.9; 8760],
        floor_temp_k: vec![FREEZING_K + 7.0; 8760],
        inner_film_temp_k: vec![FREEZING_K + 1.0; 8760],
        heat_w,
        cool_w: vec![0.0; 8760],
        solar_w: vec![5e3; 8760],
        air_change_per_h: vec![1.0; 8760],
        vent_opening: vec![0.0; 8760],
        below_set_k,
        electric_w: vec![100.0; 8760],
    }
}

fn moisture() -> PlaceMoisture {
    let month = |number: usize| MoistureMonth {
        condensed_kg: 10.0,
        evaporated_kg: 4.0,
        drained_kg: 3.0,
        dripped_kg: 2.0,
        frozen_kg: 0.5,
        wet_h: 100.0,
        held_kg: number as f64,
        kept_in_gap_kg: number as f64 / 2.0,
        light_lost_j: 3.6e6,
    };
    PlaceMoisture {
        name: "roof: outer film (clear), in the gap".to_owned(),
        side: Side::Gap,
        area_m2: 150.0,
        months: std::array::from_fn(|index| month(index + 1)),
    }
}

//! A house reduced to its air over a half-space of soil, whose heater fails.
//!
//! Closed form (Carslaw and Jaeger 1959, "Conduction of heat in solids", chapter II, surface with a
//! heat transfer coefficient): from one temperature, with `U = 1/(1/h + 1/U_p)` from the soil through
//! the air to outdoors, the surface keeps `S = exp(x^2) erfc(x)`, `x = U sqrt(t)/b`, of its distance
//! from outdoors. The air, which stores little, keeps `S h/(h + U_p)` of it, and until it has lost its
//! own heat `(1 - h/(h + U_p)) exp(-t (h + U_p)/C)` besides.

use std::f64::consts::PI;

use overwinter_engine::control::Setting;
use overwinter_engine::failure::Failure;
use overwinter_engine::house::{Below, House, Leakage, OwnCoefficients, Solid};
use overwinter_engine::model::AIR;
use overwinter_engine::season::station_density_kg_m3;
use overwinter_units::constants::AIR_HEAT_CAPACITY_J_KGK;
use overwinter_weather::Year;

use crate::airy_room::airy_room;
use crate::nights::{Scene, air_k, failing};
use crate::{houses, years};

/// Between floor and air, W/m2 K.
const FLOOR_W_M2K: f64 = 6.0;
const INSIDE_K: f64 = 283.15;
const OUTDOOR_K: f64 = 263.15;
const FLOOR_M2: f64 = 100.0;
const HEIGHT_M: f64 = 3.0;
/// Moist soil, effusivity 1400 J/(m2 K s^0.5): conductivity and heat capacity.
const SOIL: [f64; 2] = [1.4, 1.4e6];
/// When the two are compared, h.
pub const AFTER_H: [f64; 4] = [0.5, 1.0, 4.0, 12.0];

/// The closed form itself: share that the air keeps of its distance from outdoors.
pub fn kept_share(cover_w_m2k: f64, air_j_m2k: f64, hours: f64) -> f64 {
    let time_s = hours * 3600.0;
    let effusivity = (SOIL[0] * SOIL[1]).sqrt();
    let through = 1.0 / (1.0 / FLOOR_W_M2K + 1.0 / cover_w_m2k);
    let x = through * time_s.sqrt() / effusivity;
    let surface = (x * x).exp() * erfc(x);
    let of_surface = FLOOR_W_M2K / (FLOOR_W_M2K + cover_w_m2k);
    let fast = (-time_s * (FLOOR_W_M2K + cover_w_m2k) / air_j_m2k).exp();
    surface * of_surface + (1.0 - of_surface) * fast
}

/// Complementary error function: `1 - 2/sqrt(pi) sum (-1)^n x^(2n+1)/(n! (2n+1))`, for x below 3.
pub fn erfc(x: f64) -> f64 {
    let mut power = x;
    let mut sum = x;
    for n in 1..80 {
        let n = f64::from(n);
        power *= -x * x / n;
        sum += power / (2.0 * n + 1.0);
    }
    1.0 - 2.0 / PI.sqrt() * sum
}

/// The house: `cover_w_m2k` from its air to outdoors as an exchange of air, which stores nothing.
fn house(cover_w_m2k: f64, year: &Year) -> House {
    let mut house = airy_room();
    house.volume_m3 = FLOOR_M2 * HEIGHT_M;
    house.floor_area_m2 = FLOOR_M2;
    house.floor = houses::idle_floor(FLOOR_M2);
    house.floor.emissivity = 0.0;
    let column = &mut house.floor.columns[0];
    column.solids = soil();
    column.sideways_w_m2k = vec![0.0; column.solids.len()];
    column.below = Below::DeepSoil {
        mean_k: INSIDE_K,
        swing_k: 0.0,
        coldest_day: 0.0,
        resistance_m2k_w: 0.0,
    };
    house.own_coefficients = OwnCoefficients {
        floor: Some(FLOOR_W_M2K),
        ..OwnCoefficients::default()
    };
    let exchanged_m3_s = FLOOR_M2 * cover_w_m2k / air_j_m3k(year);
    house.leakage = Leakage::AirChange {
        per_hour: Setting::Constant(exchanged_m3_s * 3600.0 / house.volume_m3),
    };
    house.heat_set_k = Setting::Constant(INSIDE_K);
    let mut heater = houses::heater(100e3);
    heater.band_k = 0.02;
    heater.electric_w = 0.0;
    house.heaters = vec![heater];
    house
}

fn air_j_m3k(year: &Year) -> f64 {
    station_density_kg_m3(year) * AIR_HEAT_CAPACITY_J_KGK
}

/// Soil from 4 mm at the surface, 12 m in all.
fn soil() -> Vec<Solid> {
    let [conductivity_w_mk, heat_capacity_j_m3k] = SOIL;
    let mut thick_m = 0.004;
    let mut depth_m = 0.0;
    let mut solids = Vec::new();
    while depth_m < 12.0 {
        solids.push(houses::solid(
            thick_m,
            conductivity_w_mk,
            heat_capacity_j_m3k,
        ));
        depth_m += thick_m;
        thick_m *= 1.2;
    }
    solids
}

/// Hours, share of the engine, share of the closed form.
pub fn beside_exact(cover_w_m2k: f64, steps: usize) -> Vec<(f64, f64, f64)> {
    let air_j_m2k = HEIGHT_M * air_j_m3k(&years::dark_year(|_| OUTDOOR_K, 250.0, 0.0, 300.0));
    let found = engine_shares(cover_w_m2k, steps);
    let with_exact = |(hours, found)| (hours, found, kept_share(cover_w_m2k, air_j_m2k, hours));
    AFTER_H.into_iter().zip(found).map(with_exact).collect()
}

/// Share that the engine's air keeps at [`AFTER_H`] after its heater failed.
fn engine_shares(cover_w_m2k: f64, steps_per_hour: usize) -> Vec<f64> {
    let year = years::dark_year(|_| OUTDOOR_K, 250.0, 0.0, 300.0);
    let house = house(cover_w_m2k, &year);
    let air_k = Scene::new(house, year).season(|mut season| {
        season.run_up(0, 48).expect("the heater holds");
        let held_k = season.stepper().state.now[AIR];
        assert!((held_k - INSIDE_K).abs() < 0.02, "{held_k} K");
        let saved = season.save(48);
        let events = failing(&saved, &[Failure::Heater(0)], 12.0);
        air_k(&mut season, &saved, 12, &events, steps_per_hour)
    });
    let at = |hours: f64| {
        let step = (hours * steps_per_hour as f64).round() as usize;
        (air_k[step - 1] - OUTDOOR_K) / (INSIDE_K - OUTDOOR_K)
    };
    AFTER_H.map(at).to_vec()
}

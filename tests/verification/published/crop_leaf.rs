//! The crop model's algebra: resistances by the published factors, and the engine's leaf beside the
//! combination equation.

use overwinter_engine::control::Setting;
use overwinter_engine::house::{Crop, House};
use overwinter_engine::model::{AIR, DENSITY_AIR_K, LEAF, VAPOUR};
use overwinter_engine::season::Season;
use overwinter_engine::sunlight::sunlight;
use overwinter_physics::canopy::{
    leaf_air_resistance_stanghellini1987, stomatal_resistance_stanghellini1987,
};
use overwinter_physics::moist_air::{
    air_density_kg_m3, dew_point_k, saturation_pressure_over_water_pa, saturation_vapour_density,
    vaporisation_heat_j_kg,
};
use overwinter_tests::airy_room::open_room;
use overwinter_tests::published::Check;
use overwinter_tests::years;
use overwinter_units::constants::{AIR_HEAT_CAPACITY_J_KGK, STANDARD_PRESSURE_PA, ZERO_CELSIUS_K};

const STANGHELLINI: &str =
    "Stanghellini 1987, Transpiration of greenhouse crops (form and constants from memory)";

pub(crate) fn checks() -> Vec<Check> {
    vec![
        Check::table(
            "Resistance of tomato stomata by light, warmth and dryness (20 to 250 W/m2 of leaf, 18 \
             to 30 C, 0.3 to 1.5 kPa)",
            STANGHELLINI,
            &stomata(),
            0.01,
        )
        .unit("s/m"),
        Check::table(
            "Resistance of the air at a leaf of 2 to 10 cm, still air to 1 m/s",
            STANGHELLINI,
            &leaf_air(),
            0.01,
        )
        .unit("s/m"),
        Check::table(
            "Transpiration of the engine's leaf, four conditions of sun and air, against the \
             combination equation with the slope between air and leaf",
            STANGHELLINI,
            &transpiration().map(|[ours, formula]| [100.0 * (ours / formula - 1.0), 0.0]),
            0.5,
        )
        .unit("%"),
    ]
}

/// W/m2 of leaf, C, kPa, s/m: 82 f(I) f(T) f(D), the last factor held at 3.8, evaluated apart from
/// this program. The program's own course into the dark is below a hundredth of a s/m there.
const STOMATA: [[f64; 4]; 12] = [
    [20.0, 18.0, 0.3, 265.31],
    [20.0, 18.0, 0.7, 594.31],
    [20.0, 24.5, 1.5, 368.64],
    [20.0, 30.0, 0.7, 511.12],
    [80.0, 18.0, 0.3, 234.72],
    [80.0, 18.0, 1.5, 643.08],
    [80.0, 24.5, 0.3, 119.04],
    [80.0, 30.0, 0.7, 452.20],
    [250.0, 18.0, 0.7, 509.89],
    [250.0, 24.5, 0.3, 115.44],
    [250.0, 24.5, 0.7, 258.60],
    [250.0, 30.0, 1.5, 536.33],
];

fn stomata() -> Vec<[f64; 2]> {
    STOMATA
        .iter()
        .map(|[light, celsius, deficit_kpa, published]| {
            let leaf_k = celsius + ZERO_CELSIUS_K;
            let deficit_pa = 1000.0 * deficit_kpa;
            let ours =
                stomatal_resistance_stanghellini1987(82.0, 1500.0, *light, leaf_k, deficit_pa);
            [ours, *published]
        })
        .collect()
}

/// Leaf length m, leaf minus air K, air speed m/s, s/m: evaluated apart from this program.
const LEAF_AIR: [[f64; 4]; 5] = [
    [0.05, 2.0, 0.1, 216.29],
    [0.05, 0.5, 0.0, 660.19],
    [0.10, 5.0, 0.3, 177.52],
    [0.02, 1.0, 1.0, 43.77],
    [0.05, 0.0, 0.2, 154.76],
];

fn leaf_air() -> Vec<[f64; 2]> {
    LEAF_AIR
        .iter()
        .map(|[length_m, difference_k, speed_m_s, published]| {
            let ours = leaf_air_resistance_stanghellini1987(*length_m, *difference_k, *speed_m_s);
            [ours, *published]
        })
        .collect()
}

const LEAF_AREA_INDEX: f64 = 2.5;
const AIR_RESISTANCE_S_M: f64 = 180.0;
const STOMATA_S_M: f64 = 300.0;
const FLOOR_M2: f64 = 100.0;
/// Share of the radiant gain that the canopy takes: `1 - exp(-k LAI)`, k chosen for nine tenths.
const INTERCEPTED: f64 = 0.9;

/// Air C, relative humidity, net radiation of the crop in W/m2 of floor.
const CONDITIONS: [[f64; 3]; 4] = [
    [20.0, 0.8, 100.0],
    [20.0, 0.6, 0.0],
    [28.0, 0.7, 150.0],
    [10.0, 0.8, 30.0],
];

/// A crop in outdoor air that takes a stated net radiation and exchanges no longwave.
fn crop_house(net_w_m2: f64) -> House {
    let mut house = open_room(FLOOR_M2, 8.0);
    house.crop = Some(Crop {
        leaf_area_index: LEAF_AREA_INDEX,
        floor_share: 1.0,
        heat_capacity_j_m2k: 3000.0,
        extinction: -(1.0_f64 - INTERCEPTED).ln() / LEAF_AREA_INDEX,
        solar_absorptance: 0.7,
        emissivity: 0.0,
        boundary_resistance_s_m: AIR_RESISTANCE_S_M,
        // One resistance by day and night: neither light nor warmth nor dryness moves it.
        least_resistance_s_m: STOMATA_S_M,
        night_resistance_s_m: STOMATA_S_M,
    });
    house.gains.radiant_w = Setting::Constant(net_w_m2 * FLOOR_M2 / INTERCEPTED);
    house
}

/// Transpiration of the engine's leaf at rest and by the combination equation, kg/m2 s of floor.
fn transpiration() -> [[f64; 2]; 4] {
    CONDITIONS.map(|[air_c, humidity, net_w_m2]| {
        let air_k = air_c + ZERO_CELSIUS_K;
        let [leaf_k, vapour, air_at_rest_k] = leaf_at_rest(air_k, humidity, net_w_m2);
        assert!((air_at_rest_k - air_k).abs() < 1e-3);
        let excess = saturation_vapour_density(leaf_k).0 - vapour;
        let engine = 2.0 * LEAF_AREA_INDEX * excess / (AIR_RESISTANCE_S_M + STOMATA_S_M);
        let formula = combination(air_k, vapour, net_w_m2);
        [engine, formula.transpiration_kg_m2s]
    })
}

/// Leaf, vapour density and air after ten days under the same sky.
fn leaf_at_rest(air_k: f64, humidity: f64, net_w_m2: f64) -> [f64; 3] {
    let house = crop_house(net_w_m2);
    let dew_k = dew_point_k(humidity * saturation_pressure_over_water_pa(air_k));
    let year = years::dark_year(|_| air_k, dew_k, 0.0, 300.0);
    let sun = sunlight(&house, &year);
    let (houses, suns, years) = ([&house], [&sun], [&year]);
    let mut season = Season::<f64>::new(&houses, &suns, &years, 2).expect("the house fits");
    season.run_up(0, 240).expect("the leaf comes to rest");
    let now = &season.stepper().state.now;
    [now[LEAF], now[VAPOUR], now[AIR]]
}

/// `lambda E = (s Rn / g + 2 LAI rho cp D / (g ra)) / (1 + s / g + ri / ra)`, in vapour densities,
/// with the engine's air density and heat of vaporisation (those of 10 C). The slope s is
/// that halfway between the air and the leaf of this equation; at the air's temperature a straight
/// line would be up to 4 % off where the leaf stands 4 K away.
fn combination(air_k: f64, vapour: f64, net_w_m2: f64) -> Combination {
    let saturated = saturation_vapour_density(air_k).0;
    let heat_of_vaporisation = vaporisation_heat_j_kg(DENSITY_AIR_K);
    let air_heat = air_density_kg_m3(STANDARD_PRESSURE_PA, DENSITY_AIR_K) * AIR_HEAT_CAPACITY_J_KGK;
    let sides = 2.0 * LEAF_AREA_INDEX;
    let drying = sides * heat_of_vaporisation * (saturated - vapour) / AIR_RESISTANCE_S_M;
    let mut found = Combination::default();
    for _ in 0..50 {
        let slope = saturation_vapour_density(air_k + 0.5 * found.leaf_above_air_k).1;
        let ratio = heat_of_vaporisation * slope / air_heat;
        let latent = (ratio * net_w_m2 + drying) / (1.0 + ratio + STOMATA_S_M / AIR_RESISTANCE_S_M);
        found = Combination {
            transpiration_kg_m2s: latent / heat_of_vaporisation,
            leaf_above_air_k: (net_w_m2 - latent) * AIR_RESISTANCE_S_M / (sides * air_heat),
        };
    }
    found
}

#[derive(Clone, Copy, Debug, Default)]
struct Combination {
    transpiration_kg_m2s: f64,
    leaf_above_air_k: f64,
}

#[test]
fn the_leaf_stands_off_the_air_as_the_combination_equation_says() {
    for [air_c, humidity, net_w_m2] in CONDITIONS {
        let air_k = air_c + ZERO_CELSIUS_K;
        let [leaf_k, vapour, _] = leaf_at_rest(air_k, humidity, net_w_m2);
        let above_k = combination(air_k, vapour, net_w_m2).leaf_above_air_k;
        assert!(
            (leaf_k - air_k - above_k).abs() < 0.002,
            "{air_c} C: {} {above_k}",
            leaf_k - air_k
        );
    }
}

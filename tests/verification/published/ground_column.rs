//! The engine's layered ground, driven by the season loop, beside closed forms of the half-space.

use std::f64::consts::TAU;

use overwinter_engine::control::Setting;
use overwinter_engine::house::{Below, FloorColumn, House, Solid};
use overwinter_engine::model::{AIR, CORE, FLOOR};
use overwinter_engine::season::Season;
use overwinter_engine::sunlight::sunlight;
use overwinter_physics::ground::undisturbed_soil_kusuda1965;
use overwinter_tests::airy_room::open_room;
use overwinter_tests::published::Check;
use overwinter_tests::{houses, years};
use overwinter_units::constants::ZERO_CELSIUS_K;
use overwinter_weather::Year;
use overwinter_weather::year::HOURS;

use crate::ground::{DAYS, DIFFUSIVITY_M2_S, KUSUDA, SOIL, per_cent_off};
use crate::ground_edge::{Wanted, scenario_floor};

const CARSLAW: &str = "Carslaw and Jaeger 1959, Conduction of heat in solids, chapter II (computed \
                       from the closed forms)";
const FLOOR_M2: f64 = 100.0;
/// A surface that follows the air: W/m2 K.
const HELD: f64 = 1e5;

pub(crate) fn checks() -> Vec<Check> {
    vec![
        step_check(
            "Soil whose surface jumps by 10 K: heat taken up, and warmth 10 cm down, after 1 h, 1 and \
             30 days",
            jumped_surface(),
        ),
        step_check(
            "Soil that takes up 50 W/m2: surface, and 10 cm down, after 1 h, 1 and 30 days",
            heated_surface(),
        ),
        step_check(
            "Soil under air 10 K warmer (8 W/m2K): surface after 1 h, 1 and 30 days",
            warmed_surface(),
        ),
        Check::table(
            "Soil through a year, 0 to 4 m deep on five days, fine layers, surface swing of 12 K (1 % \
             of the swing)",
            KUSUDA,
            &yearly(fine_layers(), 12.0),
            0.12,
        )
        .unit("K"),
        Check::table(
            "The same with the seven layers that every scenario has, 0 to 2.2 m deep (1 % of the \
             swing)",
            KUSUDA,
            &yearly_under_a_scenario(),
            0.12,
        )
        .unit("K"),
    ]
}

fn step_check(case: &str, pairs: Vec<[f64; 2]>) -> Check {
    Check::table(case, CARSLAW, &per_cent_off(pairs), 1.0).unit("%")
}

/// Layers of soil, 2 mm at the surface, a face at exactly 0.1 m, some 14 m in all.
fn step_layers() -> Vec<Solid> {
    let mut thicknesses_m = vec![0.002; 10];
    thicknesses_m.extend([0.005; 16]);
    let mut next_m = 0.006;
    while thicknesses_m.iter().sum::<f64>() < 14.0 {
        thicknesses_m.push(next_m);
        next_m *= 1.1;
    }
    let soil = |thickness_m: &f64| houses::solid(*thickness_m, 1.5, 1.8e6);
    thicknesses_m.iter().map(soil).collect()
}

fn column(solids: Vec<Solid>, below: Below) -> FloorColumn {
    FloorColumn {
        area_m2: FLOOR_M2,
        sideways_w_m2k: vec![0.0; solids.len()],
        solids,
        below,
    }
}

/// A house that is a floor of these solids under air.
fn ground_house(solids: Vec<Solid>, below: Below, coefficient_w_m2k: f64) -> House {
    let mut house = open_room(FLOOR_M2, coefficient_w_m2k);
    house.floor.columns[0] = column(solids, below);
    house
}

/// Surface and 0.1 m down, and air, in K above the start, after 1 h, 24 h and 30 days.
fn after_a_step(house: &House, air_above_k: f64) -> [[f64; 3]; 3] {
    let start_k = 280.0;
    let year = years::dark_year(|_| start_k + air_above_k, 260.0, 0.0, 300.0);
    let sun = sunlight(house, &year);
    let (houses, suns, years) = ([house], [&sun], [&year]);
    let mut season = Season::<f64>::new(&houses, &suns, &years, 120).expect("the house fits");
    let state = &mut season.stepper().state;
    state.now[CORE..].fill(start_k);
    state.now[FLOOR[0]] = start_k;
    state.now[AIR] = start_k + air_above_k;
    state.before = state.now.clone();
    [(0, 1), (1, 24), (24, 720)].map(|(from, to)| {
        season.run_up(from, to).expect("the soil warms");
        let stepper = season.stepper();
        // Ten layers of 2 mm and sixteen of 5 mm: the face below the 26th.
        let deep = stepper.model.columns[0].offset + 25;
        [FLOOR[0], deep, AIR].map(|place| stepper.state.now[place] - start_k)
    })
}

fn jumped_surface() -> Vec<[f64; 2]> {
    let house = ground_house(step_layers(), Below::Adiabatic, HELD);
    let published = [[154.510, 1.9671], [31.539, 7.9215], [5.758, 9.6163]];
    let found = after_a_step(&house, 10.0).into_iter().zip(published);
    found
        .flat_map(|([surface_k, deep_k, air_k], [flux_w_m2, published_k])| {
            [
                [HELD * (air_k - surface_k), flux_w_m2],
                [deep_k, published_k],
            ]
        })
        .collect()
}

fn heated_surface() -> Vec<[f64; 2]> {
    let mut house = ground_house(step_layers(), Below::Adiabatic, 1e-6);
    // The speck of wall takes up its part of the 50 W/m2 without warming.
    house.walls[0].solids = vec![houses::solid(0.1, 10.0, 1e12)];
    let shell_m2: f64 = house.walls.iter().map(|wall| wall.facet.area_m2).sum();
    house.gains.radiant_w = Setting::Constant(50.0 * (FLOOR_M2 + shell_m2));
    let published = [[2.0601, 0.2396], [10.0925, 7.1076], [55.279, 52.010]];
    let found = after_a_step(&house, 0.0).into_iter().zip(published);
    found
        .flat_map(|([surface_k, deep_k, _], published)| {
            [[surface_k, published[0]], [deep_k, published[1]]]
        })
        .collect()
}

fn warmed_surface() -> Vec<[f64; 2]> {
    let house = ground_house(step_layers(), Below::Adiabatic, 8.0);
    let found = after_a_step(&house, 10.0).into_iter();
    found
        .zip([2.5995, 6.6677, 9.2859])
        .map(|([surface_k, ..], published_k)| [surface_k, published_k])
        .collect()
}

/// Conductivity 1.5 W/mK; the heat capacity gives the diffusivity of the printed table.
fn yearly_soil(thickness_m: f64) -> Solid {
    houses::solid(thickness_m, 1.5, 1.5 / DIFFUSIVITY_M2_S)
}

/// Layers with faces at 0.5, 1, 2 and 4 m, 14 m in all.
fn fine_layers() -> Vec<Solid> {
    let runs: [(f64, usize); 7] = [
        (0.02, 5),
        (0.05, 4),
        (0.1, 2),
        (0.1, 5),
        (0.125, 8),
        (0.2, 10),
        (0.5, 20),
    ];
    let thicknesses = runs
        .into_iter()
        .flat_map(|(thickness_m, count)| vec![thickness_m; count]);
    thicknesses.map(yearly_soil).collect()
}

/// Air, mean 11 C, coldest on day 35.
fn swinging_year(swing_k: f64) -> Year {
    let air_k = |instant: usize| {
        let day = instant as f64 / 24.0;
        ZERO_CELSIUS_K + 11.0 - swing_k * (TAU * (day - 35.0) / 365.0).cos()
    };
    years::dark_year(air_k, 250.0, 0.0, 300.0)
}

/// Courses of the surface and of the face below each solid on [`DAYS`], C, in the third year after a
/// start on the closed form.
fn third_year_c(house: &House, swing_k: f64) -> Vec<Vec<f64>> {
    let year = swinging_year(swing_k);
    let sun = sunlight(house, &year);
    let (houses, suns, years) = ([house], [&sun], [&year]);
    let mut season = Season::<f64>::new(&houses, &suns, &years, 2).expect("the house fits");
    let solids = &house.floor.columns[0].solids;
    let offset = season.stepper().model.columns[0].offset;
    let mut depth_m = 0.0;
    for (node, solid) in solids.iter().enumerate() {
        depth_m += solid.thickness_m;
        season.stepper().state.now[offset + node] = ZERO_CELSIUS_K
            + undisturbed_soil_kusuda1965(depth_m, 0.0, 11.0, swing_k, 35.0, DIFFUSIVITY_M2_S);
    }
    season.stepper().state.before = season.stepper().state.now.clone();
    for _ in 0..2 {
        season.run_up(0, HOURS).expect("the ground settles");
    }
    let mut from = 0;
    DAYS.iter()
        .map(|day| {
            let to = (24.0 * day) as usize;
            season.run_up(from, to).expect("the ground settles");
            from = to;
            let now = &season.stepper().state.now;
            let nodes = &now[offset..offset + solids.len()];
            let all = std::iter::once(&now[FLOOR[0]]).chain(nodes);
            all.map(|temp_k| temp_k - ZERO_CELSIUS_K).collect()
        })
        .collect()
}

/// The printed table beside the nodes at its depths.
fn yearly(solids: Vec<Solid>, swing_k: f64) -> Vec<[f64; 2]> {
    let house = ground_house(solids.clone(), Below::Adiabatic, HELD);
    let courses = third_year_c(&house, swing_k);
    let mut depths_m = vec![0.0];
    for solid in &solids {
        depths_m.push(depths_m[depths_m.len() - 1] + solid.thickness_m);
    }
    let mut pairs = Vec::new();
    for [depth_m, printed @ ..] in SOIL {
        let node = depths_m.iter().position(|at| (at - depth_m).abs() < 1e-9);
        let node = node.expect("a face at each printed depth");
        pairs.extend(courses.iter().zip(printed).map(|(at, c)| [at[node], c]));
    }
    pairs
}

/// The layers and the lower end of a scenario's floor, in the soil and the year of the printed table;
/// the closed form at its own faces.
fn yearly_under_a_scenario() -> Vec<[f64; 2]> {
    let scenario = scenario_floor(Wanted::BARE_LOAM).columns[0].clone();
    let solids: Vec<Solid> = scenario
        .solids
        .iter()
        .map(|solid| yearly_soil(solid.thickness_m))
        .collect();
    let depth_m: f64 = solids.iter().map(|solid| solid.thickness_m).sum();
    // As a scenario sets it: the undisturbed soil at that depth.
    let damping_m = (365.0 * 86_400.0 * DIFFUSIVITY_M2_S / std::f64::consts::PI).sqrt();
    let below = Below::DeepSoil {
        mean_k: ZERO_CELSIUS_K + 11.0,
        swing_k: 12.0 * (-depth_m / damping_m).exp(),
        coldest_day: 35.0 + 365.0 / TAU * depth_m / damping_m,
        resistance_m2k_w: 0.0,
    };
    let house = ground_house(solids.clone(), below, HELD);
    let mut pairs = Vec::new();
    for (day, course) in DAYS.into_iter().zip(third_year_c(&house, 12.0)) {
        let mut depth_m = 0.0;
        for (node, temp_c) in course.iter().enumerate() {
            let closed =
                undisturbed_soil_kusuda1965(depth_m, day, 11.0, 12.0, 35.0, DIFFUSIVITY_M2_S);
            pairs.push([*temp_c, closed]);
            depth_m += solids.get(node).map_or(0.0, |solid| solid.thickness_m);
        }
    }
    pairs
}

#[test]
fn the_ground_follows_each_closed_form() {
    for (name, pairs) in [
        ("jump", jumped_surface()),
        ("heat", heated_surface()),
        ("air", warmed_surface()),
    ] {
        for (place, [ours, closed]) in pairs.into_iter().enumerate() {
            assert!(
                (ours / closed - 1.0).abs() < 0.01,
                "{name} {place}: {ours} {closed}"
            );
        }
    }
}

//! Soil whose surface changes at once: it warms, and it freezes.

use overwinter_engine::house::{House, Solid};
use overwinter_engine::model::{CORE, FLOOR, FreezingNode};
use overwinter_engine::season::Season;
use overwinter_engine::sunlight::sunlight;
use overwinter_tests::airy_room::open_room;
use overwinter_tests::{houses, years};

/// A half-space of soil whose surface meets air 10 K warmer at once: the floor of the engine's own
/// house, driven by the season loop. Closed form (Carslaw and Jaeger 1959, chapter II):
/// `Ts/dT = 1 - exp(h^2 a t/k^2) erfc(h sqrt(a t)/k)`; for k 1.5 W/m K, 1800 kg/m3, 1000 J/kg K and
/// 8 W/m2 K: 2.5995 K after 1 h, 6.6677 K after 24 h, 9.2859 K after 30 days.
#[test]
fn a_floor_warms_as_a_half_space_does() {
    let house = soil_house(8.0);
    let year = years::dark_year(|_| 283.15, 270.0, 0.0, 300.0);
    let sun = sunlight(&house, &year);
    let (hs, ss, ys) = ([&house], [&sun], [&year]);
    let mut season = Season::<f64>::new(&hs, &ss, &ys, 120).expect("the house fits");
    put_soil_to(&mut season, 273.15);
    for (from, to, expected_k) in [(0, 1, 2.5995), (1, 24, 6.6677), (24, 720, 9.2859)] {
        season.run_up(from, to).expect("the floor warms");
        let found_k = season.stepper().state.now[FLOOR[0]] - 273.15;
        println!("after {to} h: {found_k:.4} K, exact {expected_k} K");
        assert!((found_k - expected_k).abs() < 0.01 * expected_k);
    }
}

/// Moist soil at 5 C whose surface is put to -10 C: Neumann's solution with the same conductivity and
/// heat capacity frozen and thawed (Carslaw and Jaeger 1959, section 11.2). The front stands at
/// `2 n sqrt(a t)` with `exp(-n^2)/erf n - 0.5 exp(-n^2)/erfc n = n sqrt(pi) L/(10 c)`; the heat given
/// off is `2 t k 10/(erf n sqrt(pi a t))`. For k 1.5 W/m K, c 1.8 MJ/m3 K and L 80 MJ/m3, evaluated
/// apart from this program: n 0.286435, and the figures in the test.
#[test]
fn moist_soil_freezes_from_its_surface_as_neumann_found() {
    let mut house = soil_house(1000.0);
    for solid in &mut house.floor.columns[0].solids {
        solid.freezing_heat_j_m3 = 8e7;
    }
    let year = years::dark_year(|_| 263.15, 250.0, 0.0, 300.0);
    let sun = sunlight(&house, &year);
    let (hs, ss, ys) = ([&house], [&sun], [&year]);
    let mut season = Season::<f64>::new(&hs, &ss, &ys, 120).expect("the house fits");
    // A front, where the engine lets soil freeze over a kelvin.
    for node in &mut season.stepper().model.freezing {
        node.water.over_k = 0.05;
    }
    put_soil_to(&mut season, 278.15);
    let expected = [
        (
            0,
            240,
            54.785,
            [(0.1, -7.8888), (0.3, -3.7246), (1.0, 2.0481)],
        ),
        (
            240,
            1440,
            134.195,
            [(0.3, -7.4158), (0.8, -3.1812), (2.0, 1.3800)],
        ),
    ];
    for (from, to, expected_mj_m2, temps) in expected {
        season.run_up(from, to).expect("the soil freezes");
        let given_mj_m2 = heat_given_j(&mut season, 278.15) / SOIL_M2 / 1e6;
        println!("{to} h: {given_mj_m2:.3} MJ/m2, exact {expected_mj_m2}");
        assert!((given_mj_m2 / expected_mj_m2 - 1.0).abs() < 0.01);
        for (depth_m, expected_c) in temps {
            let found_c = soil_k(&mut season, &house, depth_m) - 273.15;
            println!("{to} h, {depth_m} m: {found_c:.3} C, exact {expected_c} C");
            assert!((found_c - expected_c).abs() < 0.15);
        }
    }
}

/// Heat that the ground has given off since it stood at `start_k`.
fn heat_given_j(season: &mut Season<'_, f64>, start_k: f64) -> f64 {
    let stepper = season.stepper();
    let (model, now) = (&stepper.model, &stepper.state.now);
    let column = &model.columns[0];
    let nodes = column.offset..column.offset + column.chain.conductance_w_k.len();
    let sensible: f64 = nodes
        .chain([FLOOR[0]])
        .map(|at| model.capacity[at] * (start_k - now[at]))
        .sum();
    let frozen = |node: &FreezingNode<f64>| {
        model.capacity[node.at] * node.water.latent_k * node.water.frozen_share(now[node.at])
    };
    sensible + model.freezing.iter().map(frozen).sum::<f64>()
}

/// Temperature of the ground at a depth, straight between its nodes.
fn soil_k(season: &mut Season<'_, f64>, house: &House, depth_m: f64) -> f64 {
    let stepper = season.stepper();
    let offset = stepper.model.columns[0].offset;
    let mut upper_k = stepper.state.now[FLOOR[0]];
    let mut upper_m = 0.0;
    for (node, solid) in house.floor.columns[0].solids.iter().enumerate() {
        let lower_k = stepper.state.now[offset + node];
        if upper_m + solid.thickness_m >= depth_m {
            return upper_k + (lower_k - upper_k) * (depth_m - upper_m) / solid.thickness_m;
        }
        upper_k = lower_k;
        upper_m += solid.thickness_m;
    }
    upper_k
}

/// Floor area of [`soil_house`].
const SOIL_M2: f64 = 100.0;

/// Outdoor air over a half-space of soil, which meets it with a fixed coefficient.
fn soil_house(coefficient_w_m2k: f64) -> House {
    let mut house = open_room(SOIL_M2, coefficient_w_m2k);
    house.floor.columns[0].solids = half_space();
    house.floor.columns[0].sideways_w_m2k = vec![0.0; house.floor.columns[0].solids.len()];
    house
}

fn put_soil_to(season: &mut Season<'_, f64>, temp_k: f64) {
    let state = &mut season.stepper().state;
    state.now[CORE..].fill(temp_k);
    state.now[FLOOR[0]] = temp_k;
    state.before = state.now.clone();
}

/// Layers that grow from 5 mm at the surface to metres below: 12 m of soil in all.
fn half_space() -> Vec<Solid> {
    let mut thick_m = 0.005;
    let mut solids = Vec::new();
    let mut depth_m = 0.0;
    while depth_m < 12.0 {
        solids.push(houses::solid(thick_m, 1.5, 1.8e6));
        depth_m += thick_m;
        thick_m *= 1.1;
    }
    solids
}

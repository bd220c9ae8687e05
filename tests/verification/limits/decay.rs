//! Transients with a closed form: a lumped room that cools, a wall whose outside jumps.

use overwinter_engine::account::Account;
use overwinter_engine::control::Setting;
use overwinter_engine::house::{House, Leakage};
use overwinter_engine::model::AIR;
use overwinter_engine::season::Season;
use overwinter_engine::solver::{ChainNode, eliminate_chain, substitute_chain};
use overwinter_engine::sunlight::sunlight;
use overwinter_tests::airy_room::airy_room;
use overwinter_tests::years;
use overwinter_weather::Year;

#[test]
fn a_lumped_room_cools_by_the_exponential() {
    // T - To = (Ti - To) exp(-UA t / C) with C / UA = 6.944 h and 20 K at the start: 17.3178 K after
    // 1 h, 8.4295 after 6 h, 0.6311 after 24 h (evaluated from the formula for C 5e6 J/K, 200 W/K).
    let per_hour = 200.0 / 5e6 * 3600.0;
    let mut house = airy_room();
    house.leakage = Leakage::AirChange {
        per_hour: Setting::Constant(per_hour),
    };
    house.heat_set_k = Setting::Constant(300.0);
    let year = years::Still::COLD_NIGHT.year();
    for (steps, allowed_k) in [(2, 0.02), (8, 0.0015)] {
        let worst = cooling_error_k(&house, &year, steps);
        println!("{steps} steps an hour: off by {worst:.5} K at most");
        assert!(worst < allowed_k, "{worst} K with {steps} steps an hour");
    }
}

/// Largest error of the air over a day of cooling from 20 K above outdoors, with a past that lies
/// on the exponential.
fn cooling_error_k(house: &House, year: &Year, steps: usize) -> f64 {
    let (outdoor_k, per_s) = (263.15, 200.0 / 5e6);
    let step_s = 3600.0 / steps as f64;
    let sun = sunlight(house, year);
    let (hs, ss, ys) = ([house], [&sun], [year]);
    let mut season = Season::<f64>::new(&hs, &ss, &ys, steps).expect("the house fits");
    let state = &mut season.stepper().state;
    state.now[AIR] = outdoor_k + 20.0;
    state.before[AIR] = outdoor_k + 20.0 * (per_s * step_s).exp();
    let mut account = Account::default();
    let mut worst = 0.0_f64;
    for hour in 0..24 {
        for step in 1..=steps {
            let share = step as f64 / steps as f64;
            let mut conditions = season.conditions_at(hour, share).clone();
            season
                .stepper()
                .advance(step_s, &mut conditions, &mut account, |_, _| {});
        }
        let found_k = season.stepper().state.now[AIR] - outdoor_k;
        for (at, expected_k) in [(0, 17.3178), (5, 8.4295), (23, 0.6311)] {
            if hour == at {
                worst = worst.max((found_k - expected_k).abs());
            }
        }
    }
    worst
}

/// Carslaw and Jaeger 1959, "Conduction of heat in solids", chapter III: plane wall, one face
/// insulated, convection at the other; the first 60 terms.
fn series(depth_share: f64, biot: f64, fourier: f64) -> f64 {
    (0..60)
        .map(|n| {
            let m = eigenvalue(n, biot);
            4.0 * m.sin() / (2.0 * m + (2.0 * m).sin())
                * (m * depth_share).cos()
                * (-m * m * fourier).exp()
        })
        .sum()
}

/// Root of `m tan m = biot` in the n-th branch.
fn eigenvalue(n: usize, biot: f64) -> f64 {
    let base = n as f64 * std::f64::consts::PI;
    let (mut low, mut high) = (base, base + std::f64::consts::FRAC_PI_2 - 1e-12);
    for _ in 0..200 {
        let m = 0.5 * (low + high);
        if m * m.tan() < biot {
            low = m;
        } else {
            high = m;
        }
    }
    0.5 * (low + high)
}

/// Wood, 10 cm, insulated inside; outside from 20 to 70 C at once with 10.22 W/m2 K; the set-up of
/// a wall test of ASHRAE research project 1052 ("TC1", from memory), wood properties assumed.
const THICK_M: f64 = 0.1;
const CONDUCTIVITY: f64 = 0.12;
const HEAT_CAPACITY: f64 = 510.0 * 1380.0;
const COEFFICIENT: f64 = 10.22;

/// The wall stepped by backward Euler in the engine's chain elimination.
fn stepped_wall(nodes: usize, step_s: f64, hours: f64) -> (f64, f64) {
    let cells = nodes - 1;
    let conductance = CONDUCTIVITY / (THICK_M / cells as f64);
    let capacity = |node: usize| {
        let whole = HEAT_CAPACITY * THICK_M / cells as f64;
        if node == 0 || node == cells {
            whole / 2.0
        } else {
            whole
        }
    };
    let mut temps = vec![20.0; nodes];
    let steps = (hours * 3600.0 / step_s).round() as usize;
    for _ in 0..steps {
        let mut chain: Vec<ChainNode<f64>> = (0..nodes)
            .map(|node| {
                let store = capacity(node) / step_s;
                let sides = usize::from(node > 0) + usize::from(node < cells);
                let outer = if node == cells { COEFFICIENT } else { 0.0 };
                ChainNode {
                    diagonal: store + conductance * sides as f64 + outer,
                    outward: if node < cells { conductance } else { 0.0 },
                    source: store * temps[node] + outer * 70.0,
                }
            })
            .collect();
        eliminate_chain(&mut chain);
        let first = chain[0].source / chain[0].diagonal;
        substitute_chain(&chain, first, &mut temps);
    }
    (temps[0], temps[cells])
}

#[test]
fn a_chain_follows_the_series_of_a_wall_whose_outside_jumps() {
    let biot = COEFFICIENT * THICK_M / CONDUCTIVITY;
    let diffusivity = CONDUCTIVITY / HEAT_CAPACITY;
    // Inner and outer face, C, evaluated from the series apart from this program.
    let published = [
        (1.0, 20.205, 57.793),
        (6.0, 39.674, 65.042),
        (24.0, 66.594, 69.445),
        (48.0, 69.816, 69.970),
    ];
    for (hours, inner_c, outer_c) in published {
        let fourier = diffusivity * hours * 3600.0 / (THICK_M * THICK_M);
        let exact = [0.0, 1.0].map(|x| 70.0 - 50.0 * series(x, biot, fourier));
        assert!((exact[0] - inner_c).abs() < 6e-4 && (exact[1] - outer_c).abs() < 6e-4);
        let (inner, outer) = stepped_wall(81, 20.0, hours);
        println!("{hours} h: inner {inner:.3} ({inner_c}), outer {outer:.3} ({outer_c})");
        assert!((inner - inner_c).abs() < 0.03);
        assert!((outer - outer_c).abs() < 0.03);
    }
}

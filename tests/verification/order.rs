//! Refining the step: the order in time, on smooth drives and on a real year.
#![allow(clippy::print_stdout, reason = "a test shows what it measured")]

#[path = "order/refining.rs"]
mod refining;

use overwinter_tests::{houses, years};
use refining::{STEPS, in_twos, orders, refine, smooth_house, smooth_year};

#[test]
fn heat_is_second_order_where_nothing_switches() {
    let errors = refine("smooth and dry", &smooth_house(), &smooth_year());
    let film = orders(&errors, |e| e.film_k);
    let air = orders(&errors, |e| e.air_k);
    println!("orders: film {film:.2?}, air {air:.2?}");
    // The drives are straight between hour marks, so an hourly step already sees their kinks.
    for order in in_twos(&film).chain(in_twos(&air)) {
        assert!(order > 1.9, "film {film:.2?}, air {air:.2?}");
    }
}

/// Water is first order in time by design, and its small debts do not shrink with the step: below
/// half an hour the error of the films stays at 5 mK instead of falling.
#[test]
fn water_costs_a_smooth_season_a_few_millikelvin_at_every_step() {
    let mut house = smooth_house();
    house.crop = houses::inflated_pair().crop;
    house.floor.wet_share = 0.2;
    let errors = refine("smooth and wet", &house, &smooth_year());
    println!("orders: film {:.2?}", orders(&errors, |e| e.film_k));
    for (errors, steps) in errors.iter().zip(STEPS).skip(1) {
        assert!(
            errors.film_k < 0.01,
            "{} K at {steps} steps an hour",
            errors.film_k
        );
        assert!(
            errors.heat_percent.abs() < 0.002,
            "{} %",
            errors.heat_percent
        );
    }
}

#[test]
fn a_real_year_comes_closer_with_every_halving() {
    let year = years::shipped(years::COLD).expect("a shipped year reads");
    let errors = refine("real year", &houses::inflated_pair(), &year);
    let air = orders(&errors, |e| e.air_k);
    println!("orders: air {air:.2?}");
    for pair in errors.windows(2) {
        assert!(pair[1].air_k < pair[0].air_k);
    }
}

//! Ladders of failures: the steps they are computed in, against finer ones.
#![allow(missing_docs, reason = "a test target")]
#![allow(clippy::print_stdout, reason = "a test shows what it measured")]

use std::ops::ControlFlow;

use overwinter_engine::branch::{BranchMoment, Saved};
use overwinter_engine::failure::Failure;
use overwinter_engine::house::House;
use overwinter_engine::outage::{FailingNow, Marks, Question, outage, saved_states};
use overwinter_engine::season::{STEPS_PER_HOUR, Season};
use overwinter_engine::sunlight::sunlight;
use overwinter_tests::{gaps, houses, years};
use overwinter_weather::Year;

const LENGTHS_H: [f64; 6] = [2.0, 4.0, 8.0, 24.0, 72.0, 144.0];
/// Dusk of every fourth evening from 2 November to 28 March.
const EVENINGS: [usize; 2] = [305, 452];
const APART: usize = 4;
const DUSK_H: usize = 17;
/// How far the lowest leaf may be from that of finer steps: a tenth of a kelvin over the nights, which no
/// thermometer of a grower tells apart, and three in the worst of them.
const ALLOWED_RMS_K: f64 = 0.1;
const ALLOWED_MOST_K: f64 = 0.3;

/// Lowest leaf by length, in steps of `steps` an hour all along.
fn lowest_leaf_k(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    failing: &FailingNow,
    steps: impl Fn(usize) -> usize,
) -> Vec<f64> {
    let mut lowest_k = start.top_leaf_k();
    let mut by_length = Vec::new();
    let events = failing.events(start.hour(), f64::INFINITY);
    let each = |moment: &BranchMoment<f64>| {
        lowest_k = lowest_k.min(moment.top_leaf_k);
        if LENGTHS_H
            .get(by_length.len())
            .is_some_and(|length_h| moment.after_h > length_h - 1e-6)
        {
            by_length.push(lowest_k);
        }
        ControlFlow::Continue(())
    };
    season
        .branch(start, 144, &events, steps, each)
        .expect("the branch");
    by_length
}

/// Lowest leaf of the ladder less that of steps of five minutes, by night and length.
fn apart_k(house: &House, year: &Year, failures: &[Failure]) -> Vec<[f64; 2]> {
    let sun = sunlight(house, year);
    let (houses, suns, years) = ([house], [&sun], [year]);
    let mut season =
        Season::<f64>::new(&houses, &suns, &years, STEPS_PER_HOUR).expect("the house fits");
    let mut hours: Vec<usize> = (EVENINGS[0]..EVENINGS[1])
        .step_by(APART)
        .map(|evening| (evening * 24 + DUSK_H) % overwinter_weather::year::HOURS)
        .collect();
    hours.sort_unstable();
    let saved = saved_states(&mut season, &hours).expect("the season");
    let question = Question {
        failing: FailingNow {
            failures: failures.to_vec(),
            generator: None,
        },
        lengths_h: LENGTHS_H.to_vec(),
        marks: Marks {
            alarm_k: 276.15,
            limit_k: 271.15,
            lag_h: 0.25,
            travel_h: 0.5,
        },
    };
    let mut apart_k = Vec::new();
    for start in &saved {
        let rungs = outage(&mut season, start, &question)
            .expect("the branch")
            .rungs;
        let halved = |hour: usize| if hour < 2 { 12 } else { 2 };
        let halves_k = lowest_leaf_k(&mut season, start, &question.failing, halved);
        let fine_k = lowest_leaf_k(&mut season, start, &question.failing, |_| 12);
        for ((rung, half_k), fine_k) in rungs.iter().zip(halves_k).zip(fine_k) {
            apart_k.push([rung.lowest_leaf_k - half_k, rung.lowest_leaf_k - fine_k]);
        }
    }
    apart_k
}

/// From the second day on a ladder goes in steps of an hour.
#[test]
fn steps_of_an_hour_find_the_coldest_leaf() {
    for (file, name, house, failures) in [
        (
            years::COLD,
            "pair, heater",
            houses::inflated_pair(),
            vec![Failure::Heater(0)],
        ),
        (
            years::COLD,
            "pair, power",
            houses::inflated_pair(),
            vec![Failure::Power],
        ),
        (
            years::COLD,
            "pair whose gaps empty, power",
            gaps::fed(houses::inflated_pair(), false, false).expect("sizes that exist"),
            vec![Failure::Power],
        ),
        (
            years::MILD,
            "pair whose gaps empty, blower",
            gaps::fed(houses::inflated_pair(), true, false).expect("sizes that exist"),
            vec![Failure::Blower],
        ),
        (
            years::SUNNY,
            "single film",
            houses::single_film(),
            vec![Failure::Heater(0)],
        ),
        (
            years::MILD,
            "tunnel",
            houses::unheated_tunnel(),
            vec![Failure::Blower],
        ),
    ] {
        let year = years::shipped(file).expect("a shipped year reads");
        let apart_k = apart_k(&house, &year, &failures);
        for (against, than) in ["half hours", "5 minutes"].iter().enumerate() {
            for (length, length_h) in LENGTHS_H.iter().enumerate() {
                let nights = apart_k.iter().skip(length).step_by(LENGTHS_H.len());
                let of_length: Vec<f64> = nights.map(|apart_k| apart_k[against]).collect();
                let squares: f64 = of_length.iter().map(|apart_k| apart_k * apart_k).sum();
                let rms_k = (squares / of_length.len() as f64).sqrt();
                let most_k = of_length
                    .iter()
                    .map(|apart_k| apart_k.abs())
                    .fold(0.0, f64::max);
                println!(
                    "{name}, {length_h} h, against {than}: most {most_k:.3} K, rms {rms_k:.3} K"
                );
                let detail = format!("{name}, {length_h} h, {than}");
                assert!(rms_k < ALLOWED_RMS_K, "{detail}: rms {rms_k} K");
                assert!(most_k < ALLOWED_MOST_K, "{detail}: {most_k} K");
                if *length_h <= 24.0 && against == 0 {
                    assert!(most_k.abs() < 1e-12, "{detail}: the same steps");
                }
            }
        }
    }
}

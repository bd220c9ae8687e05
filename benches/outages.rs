//! Failures on every night of a season: 180 nights, 3 starts, one failure, 6 lengths.
#![allow(missing_docs, reason = "criterion's macros write undocumented items")]

use std::hint::black_box;

use criterion::measurement::WallTime;
use criterion::{BenchmarkGroup, Criterion, Throughput, criterion_group, criterion_main};
use overwinter_engine::failure::{Door, Failure};
use overwinter_engine::house::House;
use overwinter_engine::outage::{FailingNow, Marks, Question, outage, saved_states};
use overwinter_engine::season::{STEPS_PER_HOUR, Season};
use overwinter_engine::sunlight::sunlight;
use overwinter_tests::{gaps, houses, years};
use overwinter_weather::Year;

/// Evenings from 3 October to 31 March.
const FIRST_EVENING: usize = 275;
const NIGHTS: usize = 180;
/// Dusk, midnight, before dawn, hours after the midnight before the evening.
const STARTS_H: [usize; 3] = [17, 24, 29];
const LENGTHS_H: [f64; 6] = [2.0, 4.0, 8.0, 24.0, 72.0, 144.0];

fn bench(criterion: &mut Criterion) {
    let year = years::shipped(years::COLD).expect("a shipped year reads");
    let mut group = criterion.benchmark_group("every night");
    group.sample_size(10);
    group.throughput(Throughput::Elements((NIGHTS * STARTS_H.len()) as u64));
    for (name, house, failure) in cases() {
        let sun = sunlight(&house, &year);
        let (houses, suns, years) = ([&house], [&sun], [&year]);
        let mut season =
            Season::<f64>::new(&houses, &suns, &years, STEPS_PER_HOUR).expect("the house fits");
        let saved = saved_states(&mut season, &hours()).expect("the season");
        let question = question(failure);
        group.bench_function(name, |b| {
            b.iter(|| {
                for state in &saved {
                    black_box(outage(&mut season, state, &question)).expect("the branch");
                }
            });
        });
        group.bench_function(format!("{name}, saving the states"), |b| {
            b.iter(|| black_box(saved_states(&mut season, &hours())).expect("the season"));
        });
    }
    four_failures(&mut group, &year);
    group.finish();
}

/// Heater, power, blower and an open door on every night, night by night as a study does it.
fn four_failures(group: &mut BenchmarkGroup<'_, WallTime>, year: &Year) {
    let house = fed_pair();
    let sun = sunlight(&house, year);
    let (houses, suns, years) = ([&house], [&sun], [year]);
    let mut season =
        Season::<f64>::new(&houses, &suns, &years, STEPS_PER_HOUR).expect("the house fits");
    let saved = saved_states(&mut season, &hours()).expect("the season");
    let door = Failure::Door(Door {
        width_m: 1.0,
        height_m: 2.0,
        mixing_share: 0.7,
    });
    let failures = [Failure::Heater(0), Failure::Power, Failure::Blower, door];
    let questions = failures.map(question);
    group.bench_function("four failures", |b| {
        b.iter(|| {
            for state in &saved {
                for question in &questions {
                    black_box(outage(&mut season, state, question)).expect("the branch");
                }
            }
        });
    });
}

fn cases() -> [(&'static str, House, Failure); 4] {
    [
        ("power, gaps empty", fed_pair(), Failure::Power),
        ("heater", houses::inflated_pair(), Failure::Heater(0)),
        ("power", houses::inflated_pair(), Failure::Power),
        (
            "single film, heater",
            houses::single_film(),
            Failure::Heater(0),
        ),
    ]
}

/// An inflated pair whose gaps empty through a blower without a flap.
fn fed_pair() -> House {
    gaps::fed(houses::inflated_pair(), false, false).expect("gaps that can be fed")
}

fn hours() -> Vec<usize> {
    let year_h = overwinter_weather::year::HOURS;
    let mut hours: Vec<usize> = (FIRST_EVENING..FIRST_EVENING + NIGHTS)
        .flat_map(|evening| STARTS_H.map(|start_h| (evening * 24 + start_h) % year_h))
        .collect();
    hours.sort_unstable();
    hours
}

fn question(failure: Failure) -> Question {
    Question {
        failing: FailingNow {
            failures: vec![failure],
            generator: None,
        },
        lengths_h: LENGTHS_H.to_vec(),
        marks: Marks {
            alarm_k: 276.15,
            limit_k: 272.15,
            lag_h: 0.5,
            travel_h: 0.5,
        },
    }
}

criterion_group!(benches, bench);
criterion_main!(benches);

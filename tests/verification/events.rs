//! What fails within the year: accounts that close, states that branches reach too, events of no length.
#![allow(missing_docs, reason = "a test target")]
#![allow(clippy::print_stdout, reason = "a test shows what it measured")]

use std::ops::ControlFlow;

use overwinter_engine::events::{Event, EventPlan, Generator};
use overwinter_engine::failure::{Carried, Door, Failure, Tear, TornFilm};
use overwinter_engine::record::SeasonRecord;
use overwinter_engine::season::{ALLOWED_RESIDUAL, STEPS_PER_HOUR, run_season_with};
use overwinter_tests::nights::Scene;
use overwinter_tests::{gaps, houses};

/// 22:00 of 25 January.
const START_H: f64 = 24.0 * 24.0 + 22.0;

fn fed_pair() -> Scene {
    let house = gaps::fed(houses::inflated_pair(), false, false);
    Scene::in_the_cold(house.expect("sizes that exist"))
}

fn run(scene: &Scene, events: &EventPlan) -> SeasonRecord {
    run_season_with(&scene.house, &scene.sun, &scene.year, events).expect("the year closes")
}

fn event(failure: Failure, start_h: f64, length_h: f64) -> Event {
    Event {
        failure,
        start_h,
        length_h,
    }
}

fn plan(events: Vec<Event>) -> EventPlan {
    EventPlan {
        events,
        generator: None,
    }
}

fn tear(film: TornFilm) -> Failure {
    Failure::Tear(Tear {
        film,
        area_m2: 0.1,
        gap: 0,
    })
}

const DOOR: Failure = Failure::Door(Door {
    width_m: 3.0,
    height_m: 2.4,
    mixing_share: 0.7,
});

fn bits(series: &[f64]) -> Vec<u64> {
    series.iter().map(|value| value.to_bits()).collect()
}

#[test]
fn events_of_no_length_change_nothing_to_the_bit() {
    let case = fed_pair();
    let failures = [
        Failure::Power,
        Failure::Blower,
        Failure::Heater(0),
        DOOR,
        tear(TornFilm::Both),
    ];
    let events = failures
        .map(|failure| event(failure, START_H + 0.25, 0.0))
        .to_vec();
    let with = run(&case, &plan(events));
    let without = run(&case, &EventPlan::default());
    assert!(
        bits(&with.hours.air_temp_k) == bits(&without.hours.air_temp_k),
        "not the same bits"
    );
    assert!(
        bits(&with.hours.heat_w) == bits(&without.hours.heat_w),
        "not the same bits"
    );
    assert_eq!(with.months, without.months);
}

/// Every kind of failure, alone and over each other, at whole hours and between them: the accounts of heat
/// and water close in every step, and the year is colder or costs more.
#[test]
fn accounts_close_across_every_event() {
    let case = fed_pair();
    let day = |days: f64| START_H + days * 24.0;
    let mut all = vec![
        event(Failure::Power, day(0.0), 8.0),
        event(Failure::Blower, day(2.0), 30.5),
        event(Failure::Heater(0), day(2.5) + 1.0 / 12.0, 5.0 / 12.0),
        event(DOOR, day(3.0), 0.25),
        event(Failure::Screens { closed: true }, day(3.5), 12.0),
        event(Failure::Power, day(5.0), 4.0),
        event(Failure::Power, day(5.0) + 2.0, 4.0),
    ];
    for (index, film) in [TornFilm::Outer, TornFilm::Inner, TornFilm::Both]
        .into_iter()
        .enumerate()
    {
        all.push(event(tear(film), day(7.0 + 2.0 * index as f64), 60.0));
    }
    all.push(event(Failure::Blower, day(12.0), 10.0));
    // The inner film is open while the house air is moist.
    all.push(event(tear(TornFilm::Inner), 3500.0, 100.0));
    let events = EventPlan {
        events: all,
        generator: Some(Generator {
            start_after_h: 0.75,
            carries: Carried {
                heaters: vec![],
                blowers: true,
                fans: false,
            },
        }),
    };
    let record = run(&case, &events);
    println!(
        "worst residual: heat {:e}, water {:e}; {:?}",
        record.worst_energy_residual, record.worst_water_residual, record.effort
    );
    assert!(record.worst_energy_residual < ALLOWED_RESIDUAL);
    assert!(record.worst_water_residual < ALLOWED_RESIDUAL);
    let undisturbed = run(&case, &EventPlan::default());
    let below =
        |record: &SeasonRecord| -> f64 { record.months.iter().map(|m| m.below_set_kh).sum() };
    assert!(below(&record) > below(&undisturbed) + 10.0);
    let blower_kwh = |record: &SeasonRecord| -> f64 {
        record.months.iter().map(|m| m.blower_j).sum::<f64>() / 3.6e6
    };
    // 0.75 h of each power failure, and 40.5 h of a dead blower; the two that overlap are one.
    let stood_h = 2.0 * 0.75 + 30.5 + 10.0;
    let missed_kwh = case.house.fans.blower_w * stood_h / 1000.0;
    let saved_kwh = blower_kwh(&undisturbed) - blower_kwh(&record);
    assert!(
        (saved_kwh - missed_kwh).abs() < 1e-6,
        "{saved_kwh} {missed_kwh}"
    );
}

/// The year with an event, and a branch from a state saved before it, are the same to the bit.
#[test]
fn a_branch_equals_the_straight_run_to_the_bit() {
    let case = fed_pair();
    let start_hour = 24 * 24 + 12;
    let events = plan(vec![
        event(Failure::Power, START_H, 8.0),
        event(Failure::Blower, START_H + 6.0, 20.0),
    ]);
    let straight = run(&case, &events);
    let mut at_hours = Vec::new();
    let each = |moment: &overwinter_engine::branch::BranchMoment<f64>| {
        if (moment.after_h - moment.after_h.round()).abs() < 1e-9 {
            at_hours.push(moment.air_k);
        }
        ControlFlow::Continue(())
    };
    let steps = |passed: usize| events.steps_in(start_hour + passed, STEPS_PER_HOUR);
    case.at_hour(start_hour, |season, saved| {
        season
            .branch(saved, 72, &events, steps, each)
            .expect("the branch");
    });
    let of_year = &straight.hours.air_temp_k[start_hour..start_hour + 72];
    assert!(bits(&at_hours) == bits(of_year), "not the same bits");
    let lowest_k = at_hours.iter().copied().fold(f64::INFINITY, f64::min);
    assert!(lowest_k < 272.0, "the event is in it: {lowest_k}");
}

/// What overlaps counts once: two failures of the grid on top of each other are one.
#[test]
fn overlapping_failures_of_one_thing_are_one() {
    let case = fed_pair();
    let two = plan(vec![
        event(Failure::Power, START_H, 6.0),
        event(Failure::Power, START_H + 4.0, 4.0),
    ]);
    let one = plan(vec![event(Failure::Power, START_H, 8.0)]);
    let (two, one) = (run(&case, &two), run(&case, &one));
    let pairs = two.hours.air_temp_k.iter().zip(&one.hours.air_temp_k);
    let apart_k = pairs.fold(0.0, |most: f64, (two, one)| most.max((two - one).abs()));
    println!("apart at most {apart_k:e} K");
    // Around the start of the second one steps are of 5 minutes.
    assert!(apart_k < 0.05, "{apart_k}");
    let heat = |record: &SeasonRecord| record.hours.heat_w.iter().sum::<f64>();
    assert!((heat(&two) / heat(&one) - 1.0).abs() < 1e-4);
}

/// A generator that runs goes on until all failures of the grid that overlap are over.
#[test]
fn a_generator_runs_on_through_failures_that_overlap() {
    let mut events = plan(vec![
        event(Failure::Power, START_H, 4.0),
        event(Failure::Power, START_H + 3.0, 5.0),
        event(Failure::Power, START_H + 20.0, 4.0),
    ]);
    events.generator = Some(Generator {
        start_after_h: 2.0,
        carries: Carried {
            blowers: true,
            ..Carried::default()
        },
    });
    let runs = |after_h: f64| events.works_at(START_H + after_h).blowers_run();
    assert!(runs(-0.5) && !runs(0.0) && !runs(1.75) && runs(2.0));
    assert!(runs(3.5) && runs(4.25) && runs(7.75) && runs(8.0));
    // The next one is another: it starts anew.
    assert!(!runs(20.0) && !runs(21.5) && runs(22.0) && runs(24.0));
}

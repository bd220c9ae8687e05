//! Houses side by side have the bits that they have alone, with the processor's own instructions and
//! with those of every processor.

use overwinter_engine::control::Setting;
use overwinter_engine::error::EngineError;
use overwinter_engine::events::{Event, EventPlan};
use overwinter_engine::failure::Failure;
use overwinter_engine::house::{House, Leakage};
use overwinter_engine::record::SeasonRecord;
use overwinter_engine::season::{SeasonTask, run_season_with, run_seasons, run_seasons_with};
use overwinter_engine::step::Instructions;
use overwinter_engine::sunlight::{Sunlight, sunlight};
use overwinter_tests::{gaps, houses, years};
use overwinter_weather::Year;

/// A case with everything a task borrows.
struct Case {
    name: &'static str,
    house: House,
    sun: Sunlight,
    year: Year,
    events: EventPlan,
}

impl Case {
    fn new(name: &'static str, house: House, file: &str) -> Self {
        let year = years::shipped(file).expect("a shipped year reads");
        Self {
            name,
            sun: sunlight(&house, &year),
            house,
            year,
            events: EventPlan::default(),
        }
    }

    fn failing(mut self, failure: Failure, start_h: f64, length_h: f64) -> Self {
        self.events.events.push(Event {
            failure,
            start_h,
            length_h,
        });
        self
    }

    fn task(&self) -> SeasonTask<'_> {
        SeasonTask {
            house: &self.house,
            sun: &self.sun,
            year: &self.year,
            events: &self.events,
        }
    }

    fn alone(&self) -> Result<SeasonRecord, EngineError> {
        run_season_with(&self.house, &self.sun, &self.year, &self.events)
    }
}

/// Every number of a record is printed such that it reads back as the same bits.
fn assert_same_bits(
    name: &str,
    way: &str,
    found: &Result<SeasonRecord, EngineError>,
    wanted: &Result<SeasonRecord, EngineError>,
) {
    let (found, wanted) = (format!("{found:?}"), format!("{wanted:?}"));
    let differs = found.bytes().zip(wanted.bytes()).position(|(a, b)| a != b);
    if let Some(at) = differs {
        let around = |text: &str| text[at.saturating_sub(60)..(at + 60).min(text.len())].to_owned();
        panic!(
            "{name}, {way}:\n{}\nalone:\n{}",
            around(&found),
            around(&wanted)
        );
    }
    assert_eq!(found.len(), wanted.len(), "{name}, {way}");
}

/// Pairs of films that differ in whatever may differ within a layout, each in another climate: dry
/// soil beside freezing soil, barrels, no vents, no crop, no heat, a weak heater.
fn four_pairs() -> [Case; 4] {
    let mut leaky = houses::film_house(2, 2.0, 30e3);
    leaky.leakage = Leakage::Area {
        area_cm2: 4000.0,
        stack: 1.45e-4,
        wind: 2.0e-4,
    };
    leaky.mass = Some(houses::barrels());
    let mut closed = houses::film_house(2, 12.0, 200e3);
    closed.vents = None;
    closed.crop = None;
    for column in &mut closed.floor.columns {
        for solid in &mut column.solids {
            solid.freezing_heat_j_m3 = 0.0;
        }
    }
    let mut warm = houses::film_house(2, 18.0, 250e3);
    warm.floor.wet_share = 0.7;
    warm.heaters[0].convective_share = 0.6;
    [
        Case::new("weak heater", leaky, years::COLDEST),
        Case::new("no vents", closed, years::COLD),
        Case::new("warm and wet", warm, years::SUNNY),
        Case::new("plain", houses::inflated_pair(), years::MILD),
    ]
}

#[test]
fn side_by_side_is_alone_to_the_bit_with_any_instructions() {
    let cases = four_pairs();
    for case in &cases[1..] {
        assert!(cases[0].task().shares_lanes(&case.task()), "{}", case.name);
    }
    let tasks = cases.each_ref().map(Case::task);
    let detected = run_seasons(&tasks);
    let baseline = run_seasons_with(&tasks, Instructions::baseline());
    for ((case, detected), baseline) in cases.iter().zip(&detected).zip(&baseline) {
        let alone = case.alone();
        assert!(alone.is_ok(), "{}: {alone:?}", case.name);
        assert_same_bits(case.name, "processor's instructions", detected, &alone);
        assert_same_bits(case.name, "every processor's", baseline, &alone);
    }
    // The weak heater of the coldest climate was stepped again with an ample one.
    let unmet = |at: usize| detected[at].as_ref().map(|record| record.holding_peak_w);
    assert!(unmet(0).is_ok_and(|peak_w| peak_w.is_some()));
}

#[test]
fn cases_of_any_kind_are_what_they_are_alone() {
    let fed = || gaps::fed(houses::inflated_pair(), false, false).expect("gaps that can be fed");
    let fed_warm = || {
        let mut house = fed();
        house.heat_set_k = Setting::Constant(285.0);
        house
    };
    let mut absurd = houses::film_house(2, 5.0, 1e9);
    absurd.heat_set_k = Setting::Constant(500.0);
    let mut crowded = houses::inflated_pair();
    crowded.heaters = vec![crowded.heaters[0].clone(); 8];
    let cut = |case: Case| case.failing(Failure::Power, 400.0, 7.5);
    let cases = [
        Case::new("pair", houses::inflated_pair(), years::COLD),
        Case::new("single film", houses::single_film(), years::MILD),
        Case::new("too hot", absurd, years::COLD),
        cut(Case::new("dead blower", fed(), years::COLD)),
        Case::new(
            "pair, warmer",
            houses::film_house(2, 9.0, 90e3),
            years::COLD,
        ),
        cut(Case::new("dead blower, warmer", fed_warm(), years::SUNNY)),
        Case::new("screen", houses::pair_with_screen(), years::COLD),
        Case::new("screen elsewhere", houses::pair_with_screen(), years::SUNNY),
        Case::new("too many heaters", crowded, years::COLD),
    ];
    let tasks = cases.each_ref().map(Case::task);
    let results = run_seasons(&tasks);
    for (case, result) in cases.iter().zip(&results) {
        assert_same_bits(case.name, "among others", result, &case.alone());
    }
    let failed = |result: &Result<SeasonRecord, EngineError>| result.is_err();
    let failures = results.iter().map(failed).collect::<Vec<_>>();
    let wanted = [2, 8].map(|at| failures[at]);
    assert_eq!(wanted, [true; 2]);
    assert_eq!(failures.iter().filter(|failed| **failed).count(), 2);
}

#[test]
fn the_order_of_the_cases_changes_nothing() {
    let [a, b, c, d] = four_pairs();
    let forwards = run_seasons(&[a.task(), b.task(), c.task()]);
    let backwards = run_seasons(&[d.task(), c.task(), b.task(), a.task()]);
    for (case, (first, second)) in [&a, &b, &c]
        .into_iter()
        .zip(forwards.iter().zip(backwards.iter().rev()))
    {
        assert_same_bits(case.name, "in another order", second, first);
    }
}

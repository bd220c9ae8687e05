//! A season asks for memory before its first step and not after: what it asks for is counted.

use allocation_counter::measure;
use overwinter_engine::house::House;
use overwinter_engine::season::{RUN_UP_H, STEPS_PER_HOUR, Season};
use overwinter_engine::sunlight::sunlight;
use overwinter_physics::number::{Lanes, Real};
use overwinter_tests::{houses, years};
use overwinter_weather::year::HOURS;

/// Hours from the end of the run-up on, with freezing ground, sun and fallbacks among them.
const COUNTED_H: usize = 72;
/// Requests of a whole year: records, months, names of places, once for each lane. There are 8,760
/// hours and 17,520 steps.
const REQUESTS_A_LANE: u64 = 150;

fn hours_ask_for_nothing<R: Real>(house: &House) {
    let year = years::shipped(years::COLD).expect("a shipped year reads");
    let sun = sunlight(house, &year);
    let lanes = R::lanes();
    let (houses, suns, years) = (vec![house; lanes], vec![&sun; lanes], vec![&year; lanes]);
    let mut season =
        Season::<R>::new(&houses, &suns, &years, STEPS_PER_HOUR).expect("the house fits");
    season
        .run_up(HOURS - RUN_UP_H, HOURS)
        .expect("the run-up is finished");
    let mut stepped = Ok(());
    let asked = measure(|| stepped = season.run_up(0, COUNTED_H));
    assert_eq!(stepped, Ok(()));
    assert_eq!(asked.count_total, 0, "{lanes} lanes");
}

#[test]
fn hours_of_one_house_ask_for_nothing() {
    hours_ask_for_nothing::<f64>(&houses::inflated_pair());
    hours_ask_for_nothing::<f64>(&houses::pair_with_screen());
}

#[test]
fn hours_of_four_houses_ask_for_nothing() {
    hours_ask_for_nothing::<Lanes<4>>(&houses::inflated_pair());
}

#[test]
fn a_year_asks_for_its_records_alone() {
    let house = houses::inflated_pair();
    let year = years::shipped(years::COLD).expect("a shipped year reads");
    let sun = sunlight(&house, &year);
    let (houses, suns, years) = ([&house; 4], [&sun; 4], [&year; 4]);
    let mut season =
        Season::<Lanes<4>>::new(&houses, &suns, &years, STEPS_PER_HOUR).expect("the houses fit");
    let mut records = None;
    let asked = measure(|| records = season.run().ok());
    assert_eq!(records.map(|records| records.len()), Some(4));
    assert!(
        asked.count_total < 4 * REQUESTS_A_LANE,
        "{} requests",
        asked.count_total
    );
}

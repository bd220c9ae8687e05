//! What the integrator did, as a change detector: a figure that moves is to be understood, not right
//! or wrong by itself.

use overwinter_engine::house::House;
use overwinter_engine::season::run_season;
use overwinter_engine::sunlight::sunlight;
use overwinter_tests::{houses, years};

fn effort(house: &House, file: &str) -> String {
    let year = years::shipped(file).expect("a shipped year reads");
    let record = run_season(house, &sunlight(house, &year), &year).expect("the season is finished");
    let effort = record.effort;
    format!(
        "steps {}, redos {}, fallbacks {}",
        effort.steps, effort.redos, effort.fallbacks
    )
}

#[test]
fn inflated_pair_in_a_cold_climate() {
    insta::assert_snapshot!(effort(&houses::inflated_pair(), years::COLD), @"steps 17520, redos 3085, fallbacks 68");
}

#[test]
fn single_film_in_a_mild_climate() {
    insta::assert_snapshot!(effort(&houses::single_film(), years::MILD), @"steps 17520, redos 2601, fallbacks 34");
}

#[test]
fn unheated_tunnel_in_the_coldest_climate() {
    insta::assert_snapshot!(effort(&houses::unheated_tunnel(), years::COLDEST), @"steps 17520, redos 2735, fallbacks 129");
}

#[test]
fn light_room_in_a_sunny_climate() {
    insta::assert_snapshot!(effort(&houses::light_room(), years::SUNNY), @"steps 17520, redos 306, fallbacks 0");
}

//! A house without a heater: what the second film gives, and what limits it.

use overwinter_tests::published::Check;
use overwinter_units::constants::STEFAN_BOLTZMANN_W_M2K4;
use overwinter_weather::Year;

use super::case::{Ran, UNHEATED};
use super::night::{Night, mean_of};

/// Emissivity of a sky under low cloud.
const OVERCAST: f64 = 0.98;

/// Mean over winter of the lowest air temperature of a night less that outdoors, K.
fn above_outdoors_k(ran: &Ran) -> f64 {
    mean_of(&Night::all_winter(&ran.year), |night| {
        let inside_k = night.lowest(|hour| ran.record.hours.air_lowest_k[hour]);
        inside_k - night.lowest(|hour| ran.year.air_temp_k[hour])
    })
}

/// The same year under low cloud all the time, with its sun.
fn overcast(year: &Year) -> Year {
    let mut year = year.clone();
    for (sky_w_m2, air_k) in year.sky_longwave_w_m2.iter_mut().zip(&year.air_temp_k) {
        *sky_w_m2 = OVERCAST * STEFAN_BOLTZMANN_W_M2K4 * air_k.powi(4);
    }
    year
}

/// How much warmer the air is under two films than under one, K, as the year is and overcast.
fn gained_k(change: &str) -> [f64; 2] {
    let [single, pair] = ["single film", "pair"].map(|cover| UNHEATED.case(&[change, cover]));
    let gained = |single: &Ran, pair: &Ran| above_outdoors_k(pair) - above_outdoors_k(single);
    let cloudy = |ran: &Ran| ran.through(overcast(&ran.year));
    [gained(single, pair), gained(&cloudy(single), &cloudy(pair))]
}

/// Rows of the README.
pub(crate) fn checks() -> Vec<Check> {
    let maker = "a maker's page: about 5 degF (2.8 K); tolerance: estimate";
    let row = |case: &str, ours: f64| {
        Check::value(case, maker, ours, 2.8, 1.0)
            .unit("K")
            .decimals(1)
    };
    vec![
        row(
            "second film without a heater, lowest air of winter nights, Chicago, spinach",
            gained_k("none")[0],
        )
        .falls_short(
            "under a clear sky the cover is colder than outdoor air, which warms a single film",
        ),
        row("the same, tight, under low cloud", gained_k("tight")[1]),
    ]
}

/// A cover that radiates to a clear sky is colder than outdoor air. Wind warms a single film, not the
/// inner one of a pair: what the second film keeps of the soil's heat it keeps out of the air's.
#[test]
fn a_clear_sky_takes_what_the_second_film_gives_an_unheated_house() {
    for change in ["none", "tight", "dry", "warm soil"] {
        let [as_it_is, cloudy] = gained_k(change);
        let [single, pair] =
            ["single film", "pair"].map(|cover| above_outdoors_k(UNHEATED.case(&[change, cover])));
        println!(
            "{change}: pair warmer by {as_it_is:.2} K, overcast {cloudy:.2} K; above outdoors \
             {single:.1} K under one film, {pair:.1} K under two"
        );
        assert!(cloudy > 1.0, "{change}: {cloudy} K");
        assert!(as_it_is < cloudy - 0.5, "{change}: {as_it_is} K");
    }
}

/// That it is the outdoor air that warms a single film: without wind on the cover it is the colder one.
#[test]
fn without_wind_on_the_cover_a_single_film_is_the_colder() {
    let above = |change: &str| {
        ["single film", "pair"].map(|cover| above_outdoors_k(UNHEATED.case(&[change, cover])))
    };
    let [[single, pair], [calm_single, calm_pair]] = ["none", "no wind on the cover"].map(above);
    println!(
        "with wind {single:.1} and {pair:.1} K, without {calm_single:.1} and {calm_pair:.1} K"
    );
    assert!(calm_single < calm_pair, "{calm_single} and {calm_pair} K");
    assert!(single - calm_single > pair - calm_pair + 0.5);
}

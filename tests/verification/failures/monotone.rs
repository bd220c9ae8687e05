//! What makes a failing night colder, or leaves it as it was, and never warmer.

use overwinter_engine::branch::Saved;
use overwinter_engine::failure::Failure;
use overwinter_engine::house::{House, Leakage};
use overwinter_engine::outage::saved_states;
use overwinter_engine::season::{STEPS_PER_HOUR, Season};
use overwinter_tests::nights::{self, Scene, failing, lowest_k};
use overwinter_tests::{houses, years};
use overwinter_weather::Year;

/// Dusk of nights over the winter, hours of the year.
const DUSKS: [usize; 7] = [
    5 * 24 + 17,
    15 * 24 + 17,
    25 * 24 + 17,
    40 * 24 + 17,
    65 * 24 + 17,
    330 * 24 + 17,
    350 * 24 + 17,
];
/// From dusk until the sun is up.
const NIGHT_H: usize = 13;
/// Steps start anew where something fails or returns, and end a little elsewhere than they would have.
const SAME_K: f64 = 1e-3;
const FAILURES: [Failure; 2] = [Failure::Heater(0), Failure::Power];

fn dusks(scene: &Scene) -> Vec<Saved<f64>> {
    scene.season(|mut season| saved_states(&mut season, &DUSKS).expect("the winter"))
}

/// House air after every half hour of a branch in which something fails for some hours.
fn air_k(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    hours: usize,
    what: Failure,
    length_h: usize,
) -> Vec<f64> {
    let events = failing(start, &[what], length_h as f64);
    nights::air_k(season, start, hours, &events, STEPS_PER_HOUR)
}

/// Lowest air of the night after each dusk with each failure all night.
fn lowest_of_nights_k(scene: &Scene, dusks: &[Saved<f64>]) -> Vec<f64> {
    scene.season(|mut season| {
        let mut lowest = Vec::new();
        for dusk in dusks {
            for what in FAILURES {
                lowest.push(lowest_k(&air_k(&mut season, dusk, NIGHT_H, what, NIGHT_H)));
            }
        }
        lowest
    })
}

fn climates() -> Vec<(&'static str, Year)> {
    [years::COLD, years::MILD]
        .map(|file| (file, years::shipped(file).expect("a shipped year reads")))
        .to_vec()
}

#[test]
fn a_longer_failure_never_gives_a_warmer_night() {
    for (file, year) in climates() {
        let case = Scene::new(houses::inflated_pair(), year);
        let dusks = dusks(&case);
        case.season(|mut season| {
            let mut colder = 0;
            for dusk in &dusks {
                for what in FAILURES {
                    let lowest = [1, 2, 4, 8, 12, 24]
                        .map(|hours| lowest_k(&air_k(&mut season, dusk, 36, what, hours)));
                    let falls = lowest.windows(2).all(|pair| pair[1] <= pair[0] + SAME_K);
                    assert!(falls, "{file}, hour {}, {what:?}: {lowest:?}", dusk.hour());
                    colder += usize::from(lowest[5] < lowest[0] - 1.0);
                }
            }
            assert!(
                colder >= DUSKS.len(),
                "{file}: only {colder} nights get colder at all"
            );
        });
    }
}

/// The year with air, dew point and sky 2 K colder in all hours.
fn colder(year: &Year, by_k: f64) -> Year {
    let mut colder = year.clone();
    for air_k in &mut colder.air_temp_k {
        *air_k -= by_k;
    }
    for dew_k in &mut colder.dew_point_k {
        *dew_k -= by_k;
    }
    // The sky as much colder as the air: emission goes with the fourth power.
    for (longwave, air_k) in colder.sky_longwave_w_m2.iter_mut().zip(&year.air_temp_k) {
        *longwave *= ((air_k - by_k) / air_k).powi(4);
    }
    colder
}

#[test]
fn a_colder_night_never_gives_a_warmer_house() {
    for (file, year) in climates() {
        let shifted = Scene::new(houses::inflated_pair(), colder(&year, 2.0));
        let case = Scene::new(houses::inflated_pair(), year);
        // The same evening, and then a colder night.
        let dusks = dusks(&case);
        let (plain, colder) = (
            lowest_of_nights_k(&case, &dusks),
            lowest_of_nights_k(&shifted, &dusks),
        );
        println!("{file}: {plain:.2?}, 2 K colder {colder:.2?}");
        for (plain_k, colder_k) in plain.iter().zip(&colder) {
            assert!(*colder_k < plain_k - 0.1, "{file}: {colder_k} {plain_k}");
            // The floor does not know yet: not by more than the night itself.
            assert!(
                *colder_k > plain_k - 2.0 - 0.1,
                "{file}: {colder_k} {plain_k}"
            );
        }
    }
}

/// The house with its leaks some times as large.
fn leakier(times: f64) -> House {
    let mut house = houses::inflated_pair();
    if let Leakage::Area { area_cm2, .. } = &mut house.leakage {
        *area_cm2 *= times;
    }
    house
}

/// Compared until the first hour in which it is warmer outdoors than in the tighter house, and where
/// that comes at once not at all.
#[test]
fn a_leakier_house_is_never_warmer_while_it_is_colder_outside() {
    for (file, year) in climates() {
        let tight = Scene::new(leakier(1.0), year.clone());
        let leaky = Scene::new(leakier(3.0), year);
        let dusks = dusks(&tight);
        let mut compared = 0;
        for dusk in &dusks {
            for what in FAILURES {
                let of = |scene: &Scene| {
                    scene.season(|mut season| air_k(&mut season, dusk, NIGHT_H, what, NIGHT_H))
                };
                let (tight_k, leaky_k) = (of(&tight), of(&leaky));
                let warmer_out = |step: usize| {
                    let hour = dusk.hour() + step / STEPS_PER_HOUR;
                    let out_k = tight.year.air_temp_k[hour].max(tight.year.air_temp_k[hour + 1]);
                    out_k > tight_k[step].min(leaky_k[step])
                };
                let last = (0..tight_k.len()).find(|step| warmer_out(*step));
                let steps = last.unwrap_or(tight_k.len());
                let (tight_k, leaky_k) = (lowest_k(&tight_k[..steps]), lowest_k(&leaky_k[..steps]));
                assert!(
                    leaky_k <= tight_k + SAME_K,
                    "{file}, hour {}, {what:?}: {leaky_k} {tight_k}",
                    dusk.hour()
                );
                compared += usize::from(steps > STEPS_PER_HOUR * 4);
            }
        }
        println!("{file}: {compared} nights compared");
        assert!(compared >= DUSKS.len(), "{file}: {compared}");
    }
}

//! A house stepped at shorter and shorter steps, against the shortest.

use overwinter_engine::control::Setting;
use overwinter_engine::house::{House, Leakage};
use overwinter_engine::season::Season;
use overwinter_engine::sunlight::sunlight;
use overwinter_tests::{houses, years};
use overwinter_weather::Year;

/// Steps an hour: 60, 30, 15, 7.5 and 3.75 min, and the finest that stands for the truth.
pub(crate) const STEPS: [usize; 5] = [1, 2, 4, 8, 16];
const FINEST: usize = 64;

struct Found {
    film_k: Vec<f64>,
    air_k: Vec<f64>,
    heat_j: f64,
}

/// Errors against the finest step: inner film RMS K, air RMS K, heat %.
pub(crate) struct Errors {
    pub(crate) film_k: f64,
    pub(crate) air_k: f64,
    pub(crate) heat_percent: f64,
}

fn found(house: &House, year: &Year, steps_per_hour: usize) -> Found {
    let sun = sunlight(house, year);
    let (houses, suns, years) = ([house], [&sun], [year]);
    let record = Season::<f64>::new(&houses, &suns, &years, steps_per_hour)
        .expect("the house fits")
        .run()
        .expect("the season is finished")
        .remove(0);
    Found {
        heat_j: record.months.iter().map(|m| m.heat_j[0]).sum(),
        film_k: record.hours.inner_film_temp_k,
        air_k: record.hours.air_temp_k,
    }
}

fn rms(a: &[f64], b: &[f64]) -> f64 {
    let squares: f64 = a.iter().zip(b).map(|(a, b)| (a - b) * (a - b)).sum();
    (squares / a.len() as f64).sqrt()
}

pub(crate) fn refine(name: &str, house: &House, year: &Year) -> Vec<Errors> {
    let truth = found(house, year, FINEST);
    STEPS
        .iter()
        .map(|steps| {
            let coarse = found(house, year, *steps);
            let errors = Errors {
                film_k: rms(&coarse.film_k, &truth.film_k),
                air_k: rms(&coarse.air_k, &truth.air_k),
                heat_percent: (coarse.heat_j / truth.heat_j - 1.0) * 100.0,
            };
            println!(
                "{name}, {:5.2} min: film {:.2e} K, air {:.2e} K, heat {:+.2e} %",
                60.0 / *steps as f64,
                errors.film_k,
                errors.air_k,
                errors.heat_percent
            );
            errors
        })
        .collect()
}

/// Orders observed from one step length to the next.
pub(crate) fn orders(errors: &[Errors], of: impl Fn(&Errors) -> f64) -> Vec<f64> {
    errors
        .windows(2)
        .map(|pair| (of(&pair[0]) / of(&pair[1])).log2())
        .collect()
}

/// Means of each two orders in a row: an error that passes through zero makes one halving look
/// better and the next worse than it is.
pub(crate) fn in_twos(orders: &[f64]) -> impl Iterator<Item = f64> {
    orders.windows(2).map(|pair| (pair[0] + pair[1]) / 2.0)
}

/// A dry house with a short memory, its heater always within its band, under a swinging sky of air:
/// nothing switches.
pub(crate) fn smooth_house() -> House {
    let mut house = houses::inflated_pair();
    house.crop = None;
    house.floor = houses::idle_floor(house.floor_area_m2);
    house.vents = None;
    house.leakage = Leakage::AirChange {
        per_hour: Setting::Constant(0.5),
    };
    house.heat_set_k = Setting::Constant(288.15);
    house.heaters[0].output_w = 400e3;
    house.heaters[0].band_k = 4.0;
    house
}

pub(crate) fn smooth_year() -> Year {
    let still = years::Still {
        dew_point_k: 250.0,
        sky_longwave_w_m2: 230.0,
        ..years::Still::COLD_NIGHT
    };
    years::swinging_year(270.0, 6.0, still)
}

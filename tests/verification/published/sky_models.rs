//! The longwave of the sky: formulas at printed points, and the sky of a standard's year.

use overwinter_physics::sky::{
    cloud_factor_walton1983, sky_emissivity_berdahl_martin1984, sky_longwave_w_m2, sky_temp_k,
};
use overwinter_tests::published::Check;
use overwinter_tests::years;
use overwinter_units::constants::{STEFAN_BOLTZMANN_W_M2K4, ZERO_CELSIUS_K};
use overwinter_weather::Year;

const STANDARD: &str = "ASHRAE Standard 140-2020, informative example results, table B8-16";

pub(crate) fn checks() -> Vec<Check> {
    let clark_allen = clark_allen_pairs();
    let mut checks = vec![
        Check::table(
            "Sky temperature, seven pairs of air and dew point, clear and clouded",
            "Clark and Allen 1978, Walton 1983 (computed from the formulas)",
            &clark_allen.iter().map(|row| row[1]).collect::<Vec<_>>(),
            0.01,
        )
        .unit("K"),
        Check::table(
            "Sky temperature, clear, four pairs of air and dew point",
            "Berdahl and Martin 1984, Solar Energy 32(5) (computed from the formula)",
            &berdahl_martin_pairs(),
            0.01,
        )
        .unit("K"),
    ];
    checks.extend(denver_sky());
    checks
}

/// Air C, dew point C, tenths of cloud; longwave W/m2 (with 5.6697e-8 W/m2K4), sky C.
const CLARK_ALLEN: [[f64; 5]; 7] = [
    [20.0, 10.0, 0.0, 341.21, 5.38],
    [20.0, 10.0, 5.0, 361.51, 9.43],
    [20.0, 10.0, 10.0, 393.75, 15.53],
    [-10.0, -15.0, 0.0, 202.35, -28.73],
    [-10.0, -15.0, 8.0, 222.29, -22.92],
    [0.0, -5.0, 0.0, 244.07, -17.00],
    [30.0, 15.0, 0.0, 396.61, 16.05],
];

fn clark_allen_pairs() -> Vec<[[f64; 2]; 2]> {
    CLARK_ALLEN
        .iter()
        .map(|[air_c, dew_c, tenths, longwave, sky_c]| {
            let ours = sky_longwave_w_m2(
                air_c + ZERO_CELSIUS_K,
                dew_c + ZERO_CELSIUS_K,
                tenths / 10.0,
            );
            [
                [ours, *longwave],
                [sky_temp_k(ours) - ZERO_CELSIUS_K, *sky_c],
            ]
        })
        .collect()
}

/// Air C, dew point C, sky C, at 18 h, where the daily swing is nothing.
const BERDAHL_MARTIN: [[f64; 3]; 4] = [
    [20.0, 10.0, 1.84],
    [-10.0, -15.0, -37.47],
    [0.0, -5.0, -24.67],
    [30.0, 15.0, 14.57],
];

fn berdahl_martin_pairs() -> Vec<[f64; 2]> {
    BERDAHL_MARTIN
        .iter()
        .map(|[air_c, dew_c, sky_c]| {
            let emissivity = sky_emissivity_berdahl_martin1984(dew_c + ZERO_CELSIUS_K, 18.0);
            let black = STEFAN_BOLTZMANN_W_M2K4 * (air_c + ZERO_CELSIUS_K).powi(4);
            [sky_temp_k(emissivity * black) - ZERO_CELSIUS_K, *sky_c]
        })
        .collect()
}

/// Mean, lowest and highest sky temperature of a year's hour marks, C.
fn sky_course_c(longwave_w_m2: &[f64]) -> [f64; 3] {
    let sky_c = || {
        longwave_w_m2
            .iter()
            .map(|value| sky_temp_k(*value) - ZERO_CELSIUS_K)
    };
    [
        sky_c().sum::<f64>() / longwave_w_m2.len() as f64,
        sky_c().fold(f64::INFINITY, f64::min),
        sky_c().fold(f64::NEG_INFINITY, f64::max),
    ]
}

fn modelled_w_m2(year: &Year) -> Vec<f64> {
    let cloud = year.cloud_cover.as_ref().expect("the file has cloud");
    let air = year.air_temp_k.iter().zip(&year.dew_point_k).zip(cloud);
    air.map(|((air_k, dew_k), cloud)| sky_longwave_w_m2(*air_k, *dew_k, *cloud))
        .collect()
}

fn denver_sky() -> Vec<Check> {
    let year = years::shipped(years::SUNNY).expect("the year reads");
    let bands = [
        ("Mean", [-5.9, -2.0]),
        ("Lowest", [-46.9, -38.0]),
        ("Highest", [24.6, 30.1]),
    ];
    let rows = |how: &str, course: [f64; 3]| -> Vec<Check> {
        let row = |((name, band), ours): ((&str, [f64; 2]), f64)| {
            let case = format!("{name} sky temperature of the standard's Denver year, {how}");
            Check::band(&case, STANDARD, ours, band)
                .unit("C")
                .decimals(2)
        };
        bands.into_iter().zip(course).map(row).collect()
    };
    let mut checks = rows(
        "longwave of the file, as a season uses it",
        sky_course_c(&year.sky_longwave_w_m2),
    );
    let modelled = rows(
        "from dew point and cloud, for files without longwave",
        sky_course_c(&modelled_w_m2(&year)),
    );
    let [mean, lowest, _] = <[Check; 3]>::try_from(modelled).expect("three rows");
    let warm = "the formulas of Clark, Allen and Walton lie at the warm end of the programs, here \
                0.05 K or less beyond it";
    checks.extend([mean.falls_short(warm), lowest.falls_short(warm)]);
    checks
}

#[test]
fn a_clear_sky_is_cooler_and_cloud_warms_it_by_the_printed_factor() {
    // Walton 1983: 1.0595 at five tenths, 1.0986 at eight, 1.1540 at ten (from the polynomial).
    for (share, factor) in [(0.0, 1.0), (0.5, 1.0595), (0.8, 1.0986), (1.0, 1.1540)] {
        assert!((cloud_factor_walton1983(share) - factor).abs() < 5.1e-5);
    }
}

#[test]
fn longwave_of_the_sky_is_that_of_the_printed_formulas() {
    // The printed constant of radiation is 1.2e-4 smaller than today's: 0.05 W/m2.
    for [[ours, printed], _] in clark_allen_pairs() {
        assert!((ours - printed).abs() < 0.06, "{ours} {printed}");
    }
}

//! Rooms of ANSI/ASHRAE Standard 140-2020, from scenario files to the columns of the tables.
//!
//! Example results are those that six programs gave for the standard, acceptance limits those of
//! its later addendum. Peaks and extremes are means over an hour, as the standard asks.

use std::path::PathBuf;

use overwinter_engine::ledger::HeatTerm;
use overwinter_engine::sunlight::sunlight;
use overwinter_study::case::Study;
use overwinter_study::run::run_study;
use overwinter_study::scenario::load;
use overwinter_study::tables::balance::BalanceRow;
use overwinter_tests::published::{Check, readme};

use super::standard_140_others;

const GROUP: &str = "Standard rooms";
const EXAMPLES: &str = "ASHRAE Standard 140-2020, example results, tables B8-1 to B8-5";
const LIMITS: &str = "ASHRAE Standard 140-2023 addendum b, acceptance limits, tables A3-1 and A3-2";
const SUN: &str = "ASHRAE Standard 140-2020, example results, tables B8";

/// 1 MWh.
const J_PER_MWH: f64 = 3.6e9;
const ZERO_C_K: f64 = 273.15;

pub(crate) fn study(file: &str) -> Study {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("validation")
        .join(file);
    load(&path).unwrap_or_else(|error| panic!("{error}"))
}

/// The year of a scenario's first case.
pub(crate) fn year(study: &Study) -> BalanceRow {
    let mut result = run_study(study, Some(1), &|_| {});
    assert_eq!(result.failed(), 0, "{:?}", result.cases[0].case);
    result.cases.remove(0).balance.remove(0)
}

pub(crate) fn heating_mwh(year: &BalanceRow) -> f64 {
    year.account.heat_j[HeatTerm::Heater as usize] / J_PER_MWH
}

pub(crate) fn cooling_mwh(year: &BalanceRow) -> f64 {
    -year.account.heat_j[HeatTerm::Cooling as usize] / J_PER_MWH
}

#[test]
fn rooms_of_the_standard_are_within_its_limits() {
    let mut checks = Vec::new();
    let light = year(&study("case-600.toml"));
    let heavy = year(&study("case-900.toml"));
    checks.extend(energy(&light, &heavy));
    checks.extend(peaks(&light, &heavy));
    checks.extend(free_floating());
    checks.extend(sun_let_in());
    checks.extend(standard_140_others::recalled());
    readme::assert_current(GROUP, &checks);
}

fn energy(light: &BalanceRow, heavy: &BalanceRow) -> Vec<Check> {
    let row = |case: &str, source: &str, ours: f64, band: [f64; 2]| {
        Check::band(case, source, ours, band)
            .unit("MWh")
            .decimals(2)
    };
    vec![
        row(
            "case 600, light room: heating of the year",
            LIMITS,
            heating_mwh(light),
            [3.75, 4.98],
        ),
        row(
            "case 600: cooling of the year",
            LIMITS,
            cooling_mwh(light),
            [5.00, 6.83],
        ),
        row(
            "case 900, heavy room: heating of the year",
            LIMITS,
            heating_mwh(heavy),
            [1.04, 2.28],
        ),
        row(
            "case 900: cooling of the year",
            LIMITS,
            cooling_mwh(heavy),
            [2.35, 2.60],
        ),
    ]
}

fn peaks(light: &BalanceRow, heavy: &BalanceRow) -> Vec<Check> {
    let row = |case: &str, watts: f64, band: [f64; 2]| {
        Check::band(case, EXAMPLES, watts / 1e3, band)
            .unit("kW")
            .decimals(2)
    };
    vec![
        row(
            "case 600: highest heating of an hour",
            light.room.peak_heat_w,
            [3.020, 3.359],
        ),
        row(
            "case 600: highest cooling of an hour",
            light.room.peak_cooling_w,
            [5.422, 6.481],
        ),
        row(
            "case 900: highest heating of an hour",
            heavy.room.peak_heat_w,
            [2.443, 2.778],
        ),
        row(
            "case 900: highest cooling of an hour",
            heavy.room.peak_cooling_w,
            [2.556, 3.376],
        ),
    ]
}

fn free_floating() -> Vec<Check> {
    let row = |case: String, temp_k: f64, band: [f64; 2]| {
        Check::band(&case, EXAMPLES, temp_k - ZERO_C_K, band)
            .unit("C")
            .decimals(1)
    };
    let mut checks = Vec::new();
    for (name, file, highest, lowest, mean) in [
        (
            "600FF",
            "case-600ff.toml",
            [62.4, 68.4],
            [-13.8, -9.9],
            [24.3, 26.1],
        ),
        (
            "900FF",
            "case-900ff.toml",
            [43.3, 46.0],
            [0.6, 2.2],
            [24.5, 25.7],
        ),
    ] {
        let room = year(&study(file)).room;
        let case = |what: &str| format!("case {name}, without heating and cooling: {what} air");
        checks.push(row(case("highest"), room.air_highest_k, highest));
        checks.push(row(case("lowest"), room.air_lowest_k, lowest));
        checks.push(row(case("mean"), room.air_mean_k, mean));
    }
    checks
}

fn sun_let_in() -> [Check; 2] {
    let study = study("case-600.toml");
    let house = &study.cases.held()[0].house;
    let sun = sunlight(house, &study.climates[0].year);
    let south = house
        .walls
        .iter()
        .position(|wall| wall.name == "wall, south wall");
    let south = south.expect("a south wall");
    let wall = &house.walls[south];
    let (mut let_in_kwh_m2, mut incident_kwh_m2) = (0.0, 0.0);
    for hour in 0..8760 {
        let light = sun.section(hour, 0, false);
        let on_walls_w: f64 = sun.walls_inside_w(hour, false).iter().sum();
        let let_in_w = light.beam_w + light.diffuse_w + on_walls_w;
        let_in_kwh_m2 += let_in_w / house.sections[0].area_m2() / 1e3;
        let absorbed_w = sun.walls_w(hour)[south];
        incident_kwh_m2 += absorbed_w / wall.solar_absorptance[1] / wall.facet.area_m2 / 1e3;
    }
    [
        Check::band(
            "case 600: sun through the south windows in the year",
            SUN,
            let_in_kwh_m2,
            [804.0, 826.0],
        )
        .unit("kWh/m2")
        .decimals(0),
        Check::band(
            "case 600: that as a share of the sun on them",
            SUN,
            let_in_kwh_m2 / incident_kwh_m2,
            [0.587, 0.627],
        ),
    ]
}

//! The house as a whole: night and sun in the season's heat, fuel, set-back, foundation.

use overwinter_engine::ledger::HeatTerm;
use overwinter_tests::published::Check;
use overwinter_weather::Year;

use super::case::{HOUSE, Ran};

/// Months counted from January.
const COLD_MONTHS: [usize; 5] = [10, 11, 0, 1, 2];
const WINTER_MONTHS: [usize; 3] = [11, 0, 1];
/// Seasonal efficiency of the heater in `house.toml`.
const EFFICIENCY: f64 = 0.8;
/// Degrees Fahrenheit of the set-back.
const SET_BACK_F: f64 = 5.0;

/// Share of the season's heat that is given in hours without sun, %.
fn night_percent(ran: &Ran) -> f64 {
    let heat_w = &ran.record.hours.heat_w;
    let dark = ran.year.global_horizontal_w_m2.iter().zip(heat_w);
    let night_w: f64 = dark.filter(|(sun, _)| **sun <= 0.0).map(|(_, w)| w).sum();
    night_w / heat_w.iter().sum::<f64>() * 100.0
}

/// What the sun takes off the heat of some months, %.
fn sun_percent(ran: &Ran, months: &[usize]) -> f64 {
    let dark = ran.through(without_sun(&ran.year));
    let heat = |ran: &Ran| ran.term_kwh_m2(HeatTerm::Heater, months.iter().copied());
    (1.0 - heat(ran) / heat(&dark)) * 100.0
}

fn without_sun(year: &Year) -> Year {
    let mut year = year.clone();
    year.global_horizontal_w_m2.fill(0.0);
    year.direct_normal_w_m2.fill(0.0);
    year.diffuse_horizontal_w_m2.fill(0.0);
    year
}

/// What foam saves of the heat lost at the edge of the floor in the cold months, %.
fn edge_saved_percent(foam: &Ran, bare: &Ran) -> f64 {
    let edge = |ran: &Ran| ran.term_kwh_m2(HeatTerm::GroundEdge, COLD_MONTHS);
    (1.0 - edge(foam) / edge(bare)) * 100.0
}

/// Leaks as a share of what heater, sun and gains give in the cold months, %.
fn leak_percent(ran: &Ran) -> f64 {
    let term = |term| ran.term_kwh_m2(term, COLD_MONTHS);
    let given = [
        HeatTerm::Heater,
        HeatTerm::SunInside,
        HeatTerm::SunShell,
        HeatTerm::Gains,
    ];
    let leaks = -term(HeatTerm::Leakage);
    println!(
        "leaks: {:.0} % of the heater's heat, November to March",
        leaks / term(HeatTerm::Heater) * 100.0
    );
    leaks / given.map(term).iter().sum::<f64>() * 100.0
}

/// Rows of the README.
pub(crate) fn checks() -> Vec<Check> {
    let pair = |change: &str| HOUSE.case(&["pair", change]);
    let base = pair("none");
    let set_back = pair("5 degF cooler at night").saves_percent(base) / SET_BACK_F;
    let percent = |check: Check| check.unit("%").decimals(0);
    vec![
        percent(Check::band(
            "leaks of one air change an hour, pair, greens, November to March: share of all that heater and sun give",
            "Bartok, extension articles: 10 to 20 % of the heat needs",
            leak_percent(base),
            [10.0, 20.0],
        )),
        percent(Check::band(
            "share of the year's heat that is given at night",
            "extension bulletins: 70 to 80 %",
            night_percent(base),
            [70.0, 80.0],
        )),
        percent(Check::band(
            "heat that the sun spares a tomato house at 65 degF, December to February, Chicago",
            "extension bulletin: up to 25 % of a day's heat; lower end: estimate",
            sun_percent(pair("tomato at 65 degF"), &WINTER_MONTHS),
            [10.0, 25.0],
        )),
        Check::band(
            "fuel in a year, pair, greens at 60 degF all winter, Chicago",
            "band for 60 to 65 degF under double film in the northern US, from memory",
            base.heat_kwh_m2() / EFFICIENCY,
            [250.0, 500.0],
        )
        .unit("kWh/m2")
        .decimals(0),
        Check::value(
            "saved for each degF that the nights are cooler (60 degF by day, 55 degF by night)",
            "extension bulletin: 3 %; tolerance: its rounding",
            set_back,
            3.0,
            0.5,
        )
        .unit("%")
        .decimals(1),
        percent(Check::value(
            "edge foam of R 10 to 2 ft: saved of the loss at the edge, November to March",
            "extension bulletins: half; tolerance: estimate",
            edge_saved_percent(pair("edge foam to 2 ft"), base),
            50.0,
            10.0,
        ))
        .falls_short("soil below the foam still loses sideways; deeper foam takes off half"),
    ]
}

#[test]
fn deeper_foam_saves_more_of_the_edge_loss() {
    let pair = |change: &str| HOUSE.case(&["pair", change]);
    let saved = |foam: &str| edge_saved_percent(pair(foam), pair("none"));
    println!(
        "edge foam: {:.0} % to 2 ft, {:.0} % to 6.5 ft",
        saved("edge foam to 2 ft"),
        saved("edge foam to 6.5 ft")
    );
    assert!(saved("edge foam to 6.5 ft") > saved("edge foam to 2 ft"));
    assert!(saved("edge foam to 2 ft") > 0.0);
}

/// What the leaks take is a greater share of the heat than of the losses, since the sun pays for part
/// of the losses.
#[test]
fn fuel_saved_by_closing_the_leaks_grows_with_them() {
    let heat = ["no leaks", "half the leaks", "none", "half more leaks"]
        .map(|change| HOUSE.case(&["pair", change]).heat_kwh_m2());
    println!("heat at 0, 0.5, 1 and 1.5 air changes an hour: {heat:.0?} kWh/m2");
    for pair in heat.windows(2) {
        assert!(pair[1] > pair[0], "{heat:?}");
    }
}

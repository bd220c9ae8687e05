//! The night something fails, over the season of a shipped scenario.
#![allow(missing_docs, reason = "a test target")]

use std::path::Path;

use overwinter_engine::failure::Failure;
use overwinter_study::case::{NightStart, OutagePlan, Study, TriedFailure};
use overwinter_study::run::run_study;
use overwinter_study::scenario;
use overwinter_study::tables::outages::{OneNight, OutageRow};

fn tried(name: &str, failures: Vec<Failure>) -> TriedFailure {
    TriedFailure {
        name: name.to_owned(),
        failures,
        generator: None,
    }
}

/// The first case of a shipped scenario with failures that begin at dusk.
fn with_plan(name: &str) -> Study {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../scenarios")
        .join(name);
    let mut study = scenario::check(&path).expect("a shipped scenario").study;
    study.cases.held_mut().truncate(1);
    for case in study.cases.held_mut() {
        let heaters = (0..case.house.heaters.len()).map(Failure::Heater).collect();
        case.outages = Some(OutagePlan {
            failures: vec![
                tried("power", vec![Failure::Power]),
                tried("heaters", heaters),
                tried("blower", vec![Failure::Blower]),
            ],
            lengths_h: vec![2.0, 8.0],
            starts: vec![NightStart::Dusk],
            alarm_k: 276.15,
            travel_h: 0.5,
            limit: 0,
            emergency_hold_k: 275.15,
            loads: Vec::new(),
            generator_w: None,
        });
    }
    study
}

fn row<'a>(rows: &'a [OutageRow], failure: &str, length_h: f64) -> &'a OutageRow {
    let mut rows = rows.iter();
    let wanted = |row: &&OutageRow| &*row.failure == failure && row.length_h >= length_h;
    rows.find(wanted).expect("a row")
}

fn nights(row: &OutageRow) -> [&OneNight; 3] {
    [&row.worst, &row.clear, &row.windy].map(|night| night.as_ref().expect("a night"))
}

/// An inflated pair held at a cool temperature by a fan heater in a cold climate.
#[test]
fn a_heated_pair_is_taken_down_by_the_power_and_not_by_the_blower() {
    let result = run_study(&with_plan("first-winter.toml"), Some(1), &|_| ());
    assert_eq!(result.cases[0].case.reason(), None);
    let rows = &result.cases[0].outages.as_ref().expect("a plan").rows;
    assert_eq!(rows.len(), 6);
    let [power, heaters, blower] =
        ["power", "heaters", "blower"].map(|failure| nights(row(rows, failure, 8.0)));
    for at in 0..3 {
        let (power, heaters, blower) = (power[at], heaters[at], blower[at]);
        // Films that sink together cost what an inflated pair would have kept.
        assert!(power.leaf_k < heaters.leaf_k, "{power:?} {heaters:?}");
        assert!(
            blower.leaf_k > heaters.leaf_k + 5.0,
            "{blower:?} {heaters:?}"
        );
        for night in [power, blower] {
            let [low_k, high_k] = night.leaf_range_k.expect("a gap loses its air");
            assert!(low_k <= night.leaf_k && night.leaf_k <= high_k && low_k < high_k);
        }
        assert_eq!(heaters.leaf_range_k, None);
        // What holds without power is more than what holds with the gap blown up.
        let standby_w = [power, heaters].map(|night| night.standby_w.expect("no heat"));
        assert!(
            standby_w[0] > standby_w[1] && standby_w[1] > 0.0,
            "{standby_w:?}"
        );
        let go_on = blower.heaters.expect("the heaters go on");
        assert!(go_on.extra_w > 0.0 && go_on.missed_k >= 0.0, "{go_on:?}");
        assert!(blower.standby_w.is_none() && power.heaters.is_none());
        let in_order = [power.alarm_h, power.freezing_h].map(|time_h| time_h.expect("cold"));
        assert!(in_order[0] < in_order[1], "{in_order:?}");
    }
    // Calm under a clear sky, and under cloud in the wind, at the same temperature outdoors: both far
    // below freezing, and the leaf below the air.
    for night in &power[1..] {
        assert!(
            night.air_k < 270.0 && night.leaf_k < night.air_k,
            "{night:?}"
        );
    }
}

#[test]
fn an_unheated_tunnel_has_its_nights_by_the_weather() {
    let result = run_study(&with_plan("unheated-tunnel.toml"), Some(1), &|_| ());
    assert_eq!(result.cases[0].case.reason(), None);
    let rows = &result.cases[0].outages.as_ref().expect("a plan").rows;
    let blower = row(rows, "blower", 8.0);
    assert!((50..365).contains(&blower.nights), "{}", blower.nights);
    for (blower, nothing) in nights(blower)
        .into_iter()
        .zip(nights(row(rows, "heaters", 8.0)))
    {
        // It has no heater to fail.
        assert!(blower.leaf_k < nothing.leaf_k, "{blower:?} {nothing:?}");
        assert!(nothing.standby_w.is_some_and(|watts| watts > 0.0));
    }
}

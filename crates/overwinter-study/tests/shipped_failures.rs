//! What the shipped scenarios of failures are meant to show.
#![allow(missing_docs, reason = "a test target")]

use std::path::Path;

use overwinter_study::case::Study;
use overwinter_study::inflate::inflate;
use overwinter_study::run::{CaseRows, run_study};
use overwinter_study::scenario::load;
use overwinter_study::tables::calendar::Span;

/// A shipped scenario without the nights of its season, and with some of its cases.
fn study(name: &str, cases: &[usize]) -> Study {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios");
    let mut study = load(&folder.join(name)).unwrap_or_else(|error| panic!("{error}"));
    study
        .cases
        .held_mut()
        .retain(|case| cases.contains(&case.id));
    for case in study.cases.held_mut() {
        case.outages = None;
    }
    study
}

fn run(study: &Study) -> Vec<CaseRows> {
    let result = run_study(study, None, &|_| {});
    assert_eq!(result.failed(), 0);
    result.cases
}

fn fuel(rows: &CaseRows) -> f64 {
    rows.fuel_use.iter().map(|row| row.heat_j).sum()
}

fn lowest_leaf_k(rows: &CaseRows) -> f64 {
    rows.lowest_leaf.expect("a crop").temp_k
}

#[test]
fn a_dead_blower_costs_heat_in_the_year_and_no_crop() {
    let with = study("blower-dies.toml", &[4, 5, 6]);
    let mut without = study("blower-dies.toml", &[4, 5, 6]);
    for case in without.cases.held_mut() {
        assert_eq!(case.events.events.len(), 1);
        case.events.events.clear();
    }
    for (with, without) in run(&with).iter().zip(&run(&without)) {
        let more = fuel(with) / fuel(without) - 1.0;
        assert!((1e-4..5e-3).contains(&more), "one night of a year: {more}");
        assert!(lowest_leaf_k(with) > 273.15, "the heater is sized for it");
    }
}

#[test]
fn a_generator_saves_what_it_carries() {
    let [none, blower, all] = &run(&study("power-cut.toml", &[1, 2, 3]))[..] else {
        panic!("three cases");
    };
    let lowest_k = [none, blower, all].map(lowest_leaf_k);
    assert!(
        lowest_k[0] < lowest_k[1] && lowest_k[1] < lowest_k[2],
        "{lowest_k:?}"
    );
    // A quarter of an hour without heat is felt too.
    assert!(
        lowest_k[2] < 272.0 && lowest_k[2] > lowest_k[0] + 5.0,
        "{lowest_k:?}"
    );
}

#[test]
fn house_air_between_the_films_leaves_water_there() {
    let cases = run(&study("inside-intake.toml", &[1, 2, 3]));
    let in_gap = |rows: &CaseRows, value: fn(&overwinter_engine::record::MoistureMonth) -> f64| {
        let rows = rows.moisture.iter();
        let year = rows.filter(|row| row.span == Span::YEAR && row.face == "gap");
        year.map(|row| value(&row.water)).sum::<f64>()
    };
    let settled = |rows: &CaseRows| in_gap(rows, |water| water.condensed_kg);
    let kept = |rows: &CaseRows| in_gap(rows, |water| water.kept_in_gap_kg);
    assert!(settled(&cases[1]) > 20.0 * settled(&cases[0]));
    assert!(kept(&cases[0]) + kept(&cases[1]) < 1.0);
    // Without holes what ran down stands in the gap.
    assert!(kept(&cases[2]) > 500.0, "{}", kept(&cases[2]));
}

#[test]
fn a_narrow_hose_starves_the_far_half() {
    let study = study("fold-and-ends.toml", &[1]);
    let case = &study.cases.held()[0];
    let inflated = inflate(case, &study.climates[case.climate].year).expect("pressures");
    let held: Vec<(&str, bool)> = inflated
        .gaps
        .iter()
        .map(|gap| (gap.name.as_str(), gap.is_held))
        .collect();
    let expected = [
        ("near half", true),
        ("far half", false),
        ("door end", true),
        ("fan end", false),
    ];
    assert_eq!(held, expected);
}

//! Tables from plans and measures chosen by hand.

use std::sync::Arc;

use super::measure::Scale;
use super::plan::{PlannedAxis, PlannedClimate, PlannedInput};
use super::*;
use crate::tables::Values;

mod digest;

/// An axis with the labels `a`, `b`, ... and the number of them.
fn axis(name: &str, labels: &[&str], is_design: bool) -> PlannedAxis {
    PlannedAxis {
        name: name.to_owned(),
        labels: labels.iter().map(|label| (*label).to_owned()).collect(),
        is_design,
        is_weather_file: false,
    }
}

fn plan(axes: Vec<PlannedAxis>, draws: usize) -> RankingPlan {
    RankingPlan {
        baseline: vec![0; axes.len()],
        axes,
        draws,
        ..RankingPlan::default()
    }
}

fn input(name: &str, values: &[f64]) -> PlannedInput {
    PlannedInput {
        name: name.to_owned(),
        unit: "/h".to_owned(),
        values: values.to_vec(),
    }
}

/// A case that used so much propane, and nothing else.
fn gallons(fuel_units: f64) -> Option<Measures> {
    Some(Measures {
        fuel: Some("propane".to_owned()),
        fuel_unit: Some("gal".to_owned()),
        fuel_units: Some(fuel_units),
        ..Measures::default()
    })
}

fn found(plan: &RankingPlan, cases: &[Option<Measures>]) -> Vec<Table> {
    let cases: Vec<Option<&Measures>> = cases.iter().map(Option::as_ref).collect();
    tables(plan, &cases)
}

fn table(name: &str, plan: &RankingPlan, cases: &[Option<Measures>]) -> Table {
    let mut tables = found(plan, cases).into_iter();
    tables.find(|table| table.name == name).expect("a table")
}

fn numbers(table: &Table, column: &str) -> Vec<Option<f64>> {
    match &table.column(column).expect(column).values {
        Values::Number(values) => values.clone(),
        Values::Whole(values) => values
            .iter()
            .map(|value| value.map(|value| value as f64))
            .collect(),
        Values::Text(_) => panic!("{column} is text"),
    }
}

fn words(table: &Table, column: &str) -> Vec<String> {
    match &table.column(column).expect(column).values {
        Values::Text(values) => {
            let word = |word: &Option<Arc<str>>| word.as_deref().unwrap_or("-").to_owned();
            values.iter().map(word).collect()
        }
        _ => panic!("{column} is not text"),
    }
}

/// Two designs under twenty-one draws: the first uses 1000, 1100, .. 3000 gal as the draw has it, the
/// second 50, 51, .. 70 gal less.
fn paired() -> (RankingPlan, Vec<Option<Measures>>) {
    let draw = |k: u32| 1000.0 + 100.0 * f64::from(k);
    let first = (0..21).map(|k| gallons(draw(k)));
    let second = (0..21).map(|k| gallons(draw(k) - 50.0 - f64::from(k)));
    let cases = first.chain(second).collect();
    (
        plan(vec![axis("cover", &["single", "pair"], true)], 21),
        cases,
    )
}

/// By hand. Alone the designs overlap: 1100 to 2900 gal and 1049 to 2831 gal, medians 2000 and 1940.
/// In pairs the second uses 50 to 70 gal less, the median 60, in all draws.
#[test]
fn pairs_tell_apart_what_overlapping_ranges_do_not() {
    let (plan, cases) = paired();
    let ranking = table("ranking", &plan, &cases);
    assert_eq!(numbers(&ranking, "p05"), [Some(1100.0), Some(1049.0)]);
    assert_eq!(numbers(&ranking, "p95"), [Some(2900.0), Some(2831.0)]);
    assert_eq!(numbers(&ranking, "median"), [Some(2000.0), Some(1940.0)]);
    assert_eq!(numbers(&ranking, "best_share"), [Some(0.0), Some(1.0)]);
    assert_eq!(numbers(&ranking, "place_by_median"), [Some(2.0), Some(1.0)]);

    let compare = table("compare", &plan, &cases);
    assert_eq!(words(&compare, "design_a"), ["pair"]);
    assert_eq!(words(&compare, "design_b"), ["single"]);
    assert_eq!(numbers(&compare, "a_first_case_id"), [Some(22.0)]);
    assert_eq!(words(&compare, "measure"), ["fuel"]);
    assert_eq!(words(&compare, "unit"), ["gal"]);
    assert_eq!(words(&compare, "detail"), ["propane"]);
    for (column, value) in [
        ("draws", 21.0),
        ("a_median", 1940.0),
        ("b_median", 2000.0),
        ("a_less_b_median", -60.0),
        ("a_less_b_mean", -60.0),
        ("a_less_b_p05", -69.0),
        ("a_less_b_p95", -51.0),
        ("a_better_share", 1.0),
    ] {
        assert_eq!(numbers(&compare, column), [Some(value)], "{column}");
    }
}

#[test]
fn a_case_that_failed_takes_its_pair_with_it_and_no_other() {
    let labels = ["single", "pair", "glass"];
    let plan = plan(vec![axis("cover", &labels, true)], 3);
    let mut cases: Vec<_> = [10.0, 20.0, 30.0, 9.0, 18.0, 27.0, 8.0, 16.0, 31.0]
        .map(gallons)
        .to_vec();
    cases[4] = None;
    let compare = table("compare", &plan, &cases);
    assert_eq!(words(&compare, "design_a"), ["pair", "glass", "glass"]);
    assert_eq!(words(&compare, "design_b"), ["single", "single", "pair"]);
    assert_eq!(
        numbers(&compare, "draws"),
        [Some(2.0), Some(3.0), Some(2.0)]
    );
    let differences = [Some(-2.0), Some(-2.0), Some(1.5)];
    assert_eq!(numbers(&compare, "a_less_b_median"), differences);
    assert_eq!(
        numbers(&compare, "a_better_share"),
        [Some(1.0), Some(2.0 / 3.0), Some(0.5)]
            .map(|share| share.map(crate::tables::column::rounded))
    );
    // The draw that one design lacks ranks none.
    let ranking = table("ranking", &plan, &cases);
    assert_eq!(numbers(&ranking, "draws"), [Some(2.0); 3]);
    assert_eq!(
        numbers(&ranking, "best_share"),
        [Some(0.0), Some(0.5), Some(0.5)]
    );
}

#[test]
fn without_draws_there_are_differences_and_no_ranges() {
    let plan = plan(vec![axis("cover", &["single", "pair"], true)], 1);
    let compare = table("compare", &plan, &[gallons(900.0), gallons(600.0)]);
    assert_eq!(numbers(&compare, "a_less_b_median"), [Some(-300.0)]);
    for column in ["a_less_b_p05", "a_less_b_p95", "a_better_share"] {
        assert_eq!(numbers(&compare, column), [None], "{column}");
    }
    assert!(
        found(&plan, &[None, None])
            .iter()
            .all(|table| table.row_count() == 0)
    );
}

#[test]
fn equal_designs_share_draws_and_places() {
    let plan = plan(vec![axis("cover", &["a", "b", "c"], true)], 2);
    let cases = [5.0, 6.0, 5.0, 9.0, 7.0, 8.0].map(gallons);
    let ranking = table("ranking", &plan, &cases);
    assert_eq!(
        numbers(&ranking, "best_share"),
        [Some(0.75), Some(0.25), Some(0.0)]
    );
    let same = [5.0, 5.0, 5.0, 5.0, 7.0, 7.0].map(gallons);
    let ranking = table("ranking", &plan, &same);
    assert_eq!(
        numbers(&ranking, "place_by_median"),
        [Some(1.0), Some(1.0), Some(3.0)]
    );
    let compare = table("compare", &plan, &same);
    assert_eq!(
        numbers(&compare, "a_better_share"),
        [Some(0.5), Some(0.0), Some(0.0)]
    );
}

#[test]
fn a_warmer_leaf_is_better_and_has_its_twin() {
    let leaf = |degc: f64| {
        Some(Measures {
            lowest_leaf_k: Some(273.15 + degc),
            ..Measures::default()
        })
    };
    let plan = plan(vec![axis("hold", &["low", "high"], true)], 2);
    let compare = table(
        "compare",
        &plan,
        &[leaf(-1.0), leaf(0.0), leaf(4.0), leaf(5.0)],
    );
    assert_eq!(words(&compare, "unit"), ["degC"]);
    assert_eq!(words(&compare, "us_unit"), ["degF"]);
    assert_eq!(numbers(&compare, "a_better_share"), [Some(1.0)]);
    assert_eq!(numbers(&compare, "a_less_b_median"), [Some(5.0)]);
    assert_eq!(numbers(&compare, "a_less_b_median_us"), [Some(9.0)]);
    assert_eq!(numbers(&compare, "a_median_us"), [Some(40.1)]);
}

#[test]
fn fuels_are_not_taken_off_one_another() {
    let therms = |amount: f64| {
        gallons(amount).map(|of| Measures {
            fuel: Some("natural gas".to_owned()),
            fuel_unit: Some("therm".to_owned()),
            fuel_j: Some(amount * 1e8),
            ..of
        })
    };
    let plan = plan(vec![axis("fuel", &["propane", "gas"], true)], 1);
    let propane = gallons(1000.0).map(|of| Measures {
        fuel_j: Some(9.65e10),
        ..of
    });
    let cases = [propane, therms(800.0)];
    assert_eq!(
        words(&table("compare", &plan, &cases), "measure"),
        ["fuel energy"]
    );
    let ranking = table("ranking", &plan, &cases);
    assert_eq!(
        numbers(&ranking, "designs_ranked"),
        [2.0, 2.0, 1.0, 1.0].map(Some)
    );
}

#[test]
fn designs_are_compared_within_their_setting_and_rules_are_kept() {
    let axes = vec![
        axis("climate", &["north", "south"], false),
        axis("cover", &["single", "pair", "glass"], true),
    ];
    let rules = RankingPlan {
        kept: Some(vec![0, 2, 4, 5]),
        baseline: vec![0, 2],
        ..plan(axes, 1)
    };
    let cases = [100.0, 70.0, 40.0, 30.0].map(gallons);
    let compare = table("compare", &rules, &cases);
    assert_eq!(words(&compare, "axis_climate"), ["north", "south"]);
    assert_eq!(words(&compare, "design_a"), ["single", "pair"]);
    assert_eq!(words(&compare, "design_b"), ["glass", "glass"]);
    assert_eq!(
        numbers(&compare, "a_less_b_median"),
        [Some(30.0), Some(10.0)]
    );
    assert_eq!(numbers(&compare, "b_first_case_id"), [Some(2.0), Some(4.0)]);
}

#[test]
fn beyond_forty_designs_only_the_baseline_is_compared_with() {
    let labels: Vec<String> = (0..=pairs::MOST_PAIRED)
        .map(|at| format!("d{at}"))
        .collect();
    let labels: Vec<&str> = labels.iter().map(String::as_str).collect();
    let cases: Vec<_> = (0..41).map(|at| gallons(f64::from(at))).collect();
    let many = plan(vec![axis("cover", &labels, true)], 1);
    assert_eq!(table("compare", &many, &cases).row_count(), 40);
    let forty = plan(vec![axis("cover", &labels[..40], true)], 1);
    assert_eq!(
        table("compare", &forty, &cases[..40]).row_count(),
        40 * 39 / 2
    );
}

/// By hand: fuel is ten times the leakage, less one for each step of the other input, whose draws run
/// 0, 5, 10, 3, 8, 1, 6, 11, 4, 9, 2, 7.
#[test]
fn drivers_are_in_order_and_chance_is_told() {
    let leakage: Vec<f64> = (0..12).map(f64::from).collect();
    let other: Vec<f64> = (0..12).map(|k| f64::from(k * 5 % 12)).collect();
    let fuel = leakage
        .iter()
        .zip(&other)
        .map(|(x, y)| gallons(10.0 * x - y));
    // The second design leaks nothing: its difference to the first has the signs turned round.
    let tight = other.iter().map(|y| gallons(-y));
    let cases: Vec<_> = fuel.chain(tight).collect();
    let sampled = RankingPlan {
        inputs: vec![input("other", &other), input("leakage", &leakage)],
        ..plan(vec![axis("cover", &["leaky", "tight"], true)], 12)
    };
    let drivers = table("drivers", &sampled, &cases);
    let of = ["leaky", "leaky", "tight", "tight", "tight", "tight"];
    assert_eq!(words(&drivers, "design"), of);
    assert_eq!(
        words(&drivers, "less_design"),
        ["-", "-", "-", "-", "leaky", "leaky"]
    );
    let inputs = ["leakage", "other", "other", "leakage", "leakage", "other"];
    assert_eq!(words(&drivers, "input"), inputs);
    assert_eq!(
        numbers(&drivers, "place"),
        [1.0, 2.0, 1.0, 2.0, 1.0, 2.0].map(Some)
    );
    let correlation = numbers(&drivers, "rank_correlation");
    assert_eq!([correlation[2], correlation[4]], [Some(-1.0), Some(-1.0)]);
    // Leakage 8 to 11 with 40, 50, .. less 4, 9, 2, 7; 0 to 3 less 0, 5, 10, 3.
    let highest = [76.0, 81.0, 98.0, 103.0];
    let lowest = [0.0, 5.0, 10.0, 27.0];
    let swing = (highest[1] + highest[2] - lowest[1] - lowest[2]) / 2.0;
    let swings = numbers(&drivers, "swing");
    assert_eq!([swings[0], swings[4]], [Some(swing), Some(-80.0)]);
    assert_eq!(words(&drivers, "above_chance")[..3], ["yes", "no", "yes"]);
}

#[test]
fn nine_draws_have_no_drivers_and_what_does_not_vary_has_none() {
    let values: Vec<f64> = (0..12).map(f64::from).collect();
    let sampled = |draws| RankingPlan {
        inputs: vec![input("x", &values), input("fixed", &[4.0; 12])],
        ..plan(vec![axis("cover", &["a"], true)], draws)
    };
    let cases: Vec<_> = values.iter().map(|value| gallons(*value)).collect();
    assert!(found(&sampled(9), &cases[..9]).is_empty());
    let drivers = table("drivers", &sampled(12), &cases);
    assert_eq!(words(&drivers, "input"), ["x"]);
    let level: Vec<_> = values.iter().map(|_| gallons(7.0)).collect();
    assert_eq!(table("drivers", &sampled(12), &level).row_count(), 0);
}

/// A study of three files of one place (two calendar years and a typical one) and one of another.
fn years() -> RankingPlan {
    let climate = |written: &str, same_place, year| PlannedClimate {
        written: written.to_owned(),
        place: format!("place {same_place}"),
        same_place,
        year,
    };
    let files = ["1994.csv", "typical.csv", "1998.csv", "elsewhere.csv"];
    let weather = PlannedAxis {
        is_weather_file: true,
        ..axis("weather", &files, false)
    };
    RankingPlan {
        climates: vec![
            climate("1994.csv", 0, Some(1994)),
            climate("typical.csv", 0, None),
            climate("1998.csv", 0, Some(1998)),
            climate("elsewhere.csv", 3, Some(1998)),
        ],
        ..plan(vec![weather, axis("cover", &["single", "pair"], true)], 1)
    }
}

#[test]
fn the_worst_of_several_years_is_named() {
    let cold = |climate, low_c: f64, hours| {
        let limit = |name: &str, degc: f64, hours| TimeBelow {
            name: name.to_owned(),
            limit_k: 273.15 + degc,
            is_loss: false,
            hours,
        };
        Some(Measures {
            climate: Some(climate),
            lowest_leaf_k: Some(273.15 + low_c),
            lowest_air_k: Some(280.0),
            limits: vec![limit("chilling", 5.0, hours), limit("freezing", 0.0, 0.0)],
            ..Measures::default()
        })
    };
    let cases = [
        cold(0, 2.0, 30.0),
        cold(0, 3.0, 12.0),
        cold(1, -9.0, 500.0),
        cold(1, -9.0, 500.0),
        cold(2, 1.0, 40.0),
        None,
        cold(3, -9.0, 500.0),
        cold(3, -9.0, 500.0),
    ];
    let table = table("worst_years", &years(), &cases);
    assert_eq!(words(&table, "axis_cover"), ["single", "single"]);
    assert_eq!(words(&table, "place"), ["place 0", "place 0"]);
    assert_eq!(words(&table, "limit"), ["chilling", "freezing"]);
    assert!(table.column("axis_weather").is_none());
    for (column, values) in [
        ("years", [2.0, 2.0]),
        ("years_below", [2.0, 0.0]),
        ("worst_year", [1998.0, 1998.0]),
        ("worst_first_case_id", [5.0, 5.0]),
        ("worst_below_h", [40.0, 0.0]),
        ("worst_lowest_degc", [1.0, 1.0]),
        ("median_below_h", [35.0, 0.0]),
        ("median_lowest_degc", [1.5, 1.5]),
    ] {
        assert_eq!(numbers(&table, column), values.map(Some), "{column}");
    }
}

#[test]
fn no_table_holds_what_is_not_finite() {
    let (plan, mut cases) = paired();
    let plan = RankingPlan {
        inputs: vec![input("x", &[f64::NAN; 21]), input("y", &[1.0; 3])],
        ..plan
    };
    let spoiled = cases[3].as_mut().expect("it ran");
    spoiled.fuel_units = Some(f64::NAN);
    spoiled.fuel_j = Some(f64::INFINITY);
    let compare = table("compare", &plan, &cases);
    assert_eq!(numbers(&compare, "draws"), [Some(20.0)]);
    for table in found(&plan, &cases) {
        for column in &table.columns {
            if let Values::Number(values) = &column.values {
                let is_finite = |value: &Option<f64>| value.is_none_or(f64::is_finite);
                assert!(
                    values.iter().all(is_finite),
                    "{} {}",
                    table.name,
                    column.name
                );
            }
        }
    }
}

#[test]
fn a_plan_and_measures_come_back_from_a_part_as_they_were() {
    let (mut plan, cases) = paired();
    plan.inputs = vec![input("x", &[0.1, 2.0 / 3.0])];
    plan.climates = years().climates;
    let text = serde_json::to_string(&plan).expect("written");
    assert_eq!(
        serde_json::from_str::<RankingPlan>(&text).expect("read"),
        plan
    );
    let text = serde_json::to_string(&cases[..3]).expect("written");
    assert_eq!(
        serde_json::from_str::<Vec<Option<Measures>>>(&text).expect("read"),
        cases[..3]
    );
    assert_eq!(found(&plan, &cases), found(&plan, &cases));
}

#[test]
fn a_measure_without_another_unit_is_its_own_twin() {
    for measure in Measure::ALL {
        let scale = measure.scale();
        let same = (scale.si(300.0) - scale.us(300.0)).abs() < 1e-12;
        assert_eq!(same, scale.us_unit().is_none(), "{}", measure.name());
    }
    assert!((Scale::Energy.us(3.6e9) - 3.412_14).abs() < 1e-5);
}

/// Hours below 10 degC and below 0 degC are not of one kind, whichever limit comes first.
#[test]
fn hours_below_different_limits_are_not_compared() {
    let below = |name: &str, limit_k: f64, hours: f64| {
        Some(Measures {
            limits: vec![TimeBelow {
                name: name.to_owned(),
                limit_k,
                is_loss: false,
                hours,
            }],
            ..Measures::default()
        })
    };
    let plan = plan(vec![axis("crop", &["tomato", "greens", "beans"], true)], 1);
    let cases = [
        below("chilling", 283.15, 3000.0),
        below("water freezes", 273.15, 20.0),
        below("chilling", 283.15, 2900.0),
    ];
    let compare = table("compare", &plan, &cases);
    assert_eq!(words(&compare, "design_a"), ["beans"]);
    assert_eq!(words(&compare, "design_b"), ["tomato"]);
    assert_eq!(words(&compare, "detail"), ["chilling, 10.0 degC"]);
}

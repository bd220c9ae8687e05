//! Scenarios that ask for many designs, climates and draws of what is not known for sure.

#![allow(missing_docs, reason = "a test target")]

mod support;

use overwinter_engine::control::Setting;
use overwinter_engine::house::Leakage;
use overwinter_study::error::StudyError;
use overwinter_study::run::{Stepped, run_study_with};
use overwinter_study::tables::Values;
use support::{checked, read};

const HOUSE: &str = r#"
weather.file = "WEATHER"
cover.roof = "inflated pair"
house = { width = "10 m", length = "20 m" }
hold.temp = "5 degC"
heater = [{ fuel = "propane", efficiency = "80 %" }]
prices.propane = "2.00 USD/gal"
outages.run = false
"#;

const AXES: &str = r#"
[[axis]]
name = "cover"
key = "cover.roof"
values = ["inflated pair", "single film"]
[[axis]]
name = "hold"
key = "hold.temp"
range = { from = "2 degC", to = "8 degC", step = "3 degC" }
"#;

const SAMPLING: &str = r#"
[sampling]
draws = 40
[[sampling.input]]
name = "leaks"
key = "leakage.air_change"
triangular = { low = "0.5 /h", likely = "1 /h", high = "2 /h" }
[[sampling.input]]
name = "thermostat"
key = "hold.error"
normal = { mean = "0 K", deviation = "0.5 K", low = "-1 K", high = "1 K" }
[[sampling.input]]
name = "price"
key = "prices.propane"
change = "times"
uniform = { low = "80 %", high = "120 %" }
"#;

fn problems(text: &str) -> Vec<String> {
    match read(text) {
        Err(StudyError::Scenario { problems, .. }) => problems
            .iter()
            .map(|problem| format!("{}: {problem}", problem.line))
            .collect(),
        Err(other) => panic!("{other}"),
        Ok(_) => panic!("accepted:\n{text}"),
    }
}

fn told(text: &str, wanted: &str) {
    let problems = problems(text);
    let found = problems.iter().any(|problem| problem.contains(wanted));
    assert!(found, "{wanted}: {problems:#?}");
}

#[test]
fn every_design_is_built_with_the_same_draws() {
    let study = checked(&format!("{HOUSE}{AXES}{SAMPLING}")).study;
    assert_eq!(
        (study.combinations(), study.draws, study.cases.len()),
        (6, 40, 240)
    );
    assert_eq!(
        [0, 39, 40, 239].map(|case| study.combination_of(case)),
        [0, 0, 1, 5]
    );
    let names: Vec<_> = study
        .sampled
        .iter()
        .map(|input| input.name.as_str())
        .collect();
    assert_eq!(names, ["leaks", "thermostat", "price"]);
    for index in [0, 7, 39, 40, 47, 239] {
        let case = study.cases.get(index).expect("it can be built");
        assert_eq!(case.id, index + 1);
        let draw = case.draw.clone().expect("sampled");
        assert_eq!(Some(&draw), study.cases.draw(index % 40).as_ref());
        let [leaks, error_k, price] = draw.values[..] else {
            panic!("three inputs")
        };
        let Leakage::AirChange {
            per_hour: Setting::Constant(per_hour),
        } = case.house.leakage
        else {
            panic!("a constant air change")
        };
        assert!((per_hour - leaks).abs() < 1e-9);
        let set_c = [2.0, 5.0, 8.0][study.combination_of(index) % 3];
        let Setting::Constant(held_k) = case.house.heat_set_k else {
            panic!("a constant set point")
        };
        assert!((held_k - 273.15 - set_c - error_k).abs() < 1e-9);
        let paid = case.fuels[0].price_per_unit.expect("priced");
        assert!((paid - 2.0 * price / 100.0).abs() < 1e-8);
    }
}

#[test]
fn few_cases_are_those_of_many() {
    let few = |draws: usize| {
        let sampling = SAMPLING.replace("draws = 40", &format!("draws = {draws}"));
        checked(&format!("{HOUSE}{sampling}")).study
    };
    // 100 cases are held, 101 are built one by one.
    for draws in [100, 101] {
        let study = few(draws);
        assert_eq!(study.cases.held().is_empty(), draws == 101);
        let case = study.cases.get(41).expect("it can be built");
        assert_eq!(case.draw.as_ref().expect("sampled").number, 42);
        assert_eq!(case.draw, study.cases.draw(41));
    }
}

#[test]
fn other_seeds_have_other_draws() {
    let of = |seed: u32| {
        let study = checked(&format!("seed = {seed}\n{HOUSE}{SAMPLING}")).study;
        study.cases.draw(3).expect("sampled").values
    };
    assert_eq!(of(5), of(5));
    assert_ne!(of(5), of(6));
}

/// A thermostat that is off changes what is held, not the size of the heater or when vents open.
#[test]
fn the_error_of_a_thermostat_moves_what_is_held_alone() {
    let of = |rest: &str| {
        let study = checked(&format!("{HOUSE}{rest}")).study;
        (*study.cases.held()[0].house).clone()
    };
    let (right, warm) = (of(""), of("hold.error = \"2 K\"\n"));
    assert_eq!(warm.heat_set_k, Setting::Constant(273.15 + 5.0 + 2.0));
    assert_eq!((right.heaters, right.vents), (warm.heaters, warm.vents));
}

#[test]
fn films_let_as_much_longwave_through_as_is_said() {
    let of = |rest: &str| {
        let study = checked(&format!("{HOUSE}{rest}")).study;
        let layers = study.cases.held()[0].house.sections[0].layers.clone();
        layers
            .iter()
            .map(|layer| layer.longwave_transmittance)
            .collect::<Vec<_>>()
    };
    let usual = of("");
    for (more, usual) in of("cover.longwave_times = 1.1\n").iter().zip(&usual) {
        assert!((more / usual - 1.1).abs() < 1e-12);
    }
    told(
        &format!("{HOUSE}cover.longwave_times = 1.9\n"),
        "would let through and reflect more than there is; at most",
    );
    told(
        &format!("{HOUSE}cover.longwave_times = 3\n"),
        "outside the range of longwave radiation let through",
    );
    told(
        &format!("{HOUSE}hold.error = \"20 K\"\n"),
        "outside the range of error of the thermostat",
    );
    told(
        &format!("{HOUSE}hold.error = \"1 m\"\n"),
        "is a length, but a temperature difference is wanted",
    );
}

#[test]
fn an_axis_of_files_has_every_climate_once() {
    let axis = "[[axis]]\nname = \"climate\"\nfiles = [\"WEATHER\", \"WEATHER\"]\n";
    let study = checked(&format!("{HOUSE}{axis}")).study;
    assert_eq!((study.cases.len(), study.climates.len()), (1, 1));
    assert_eq!(study.cases.labels(0), ["725300-chicago-ohare-il-tmy3"]);
    let nothing = axis.replace("[\"WEATHER\", \"WEATHER\"]", "\"nowhere/*.epw\"");
    told(&format!("{HOUSE}{nothing}"), "matches no weather file");
    let two = format!("{axis}values = [\"a\"]\n");
    told(
        &format!("{HOUSE}{two}"),
        "an axis has one of `values`, `range` and `files`",
    );
    let other = axis.replace("files", "key = \"cover.roof\"\nfiles");
    told(
        &format!("{HOUSE}{other}"),
        "`files` are alternatives of `weather.file`",
    );
}

/// Every mistake is told when the file is read, with the line and key of the sampled input.
/// A third of the draws lies below zero: one line says so, not a line for each of them.
#[test]
fn draws_of_one_input_are_told_once() {
    let text = format!(
        "{HOUSE}[sampling]\ndraws = 50\n[[sampling.input]]\nkey = \"leakage.air_change\"\n\
         normal = {{ mean = \"0.1 /h\", deviation = \"1 /h\" }}\n"
    );
    let found = problems(&text);
    assert_eq!(found.len(), 1, "{found:#?}");
    assert!(found[0].contains("sampled input \"leakage.air_change\", draw"));
}

#[test]
fn draws_that_no_key_takes_are_told_before_a_run() {
    let input =
        |rest: &str| format!("{HOUSE}{AXES}[sampling]\ndraws = 50\n[[sampling.input]]\n{rest}\n");
    for (rest, wanted) in [
        (
            "key = \"leakage.air_change\"\nuniform = { low = \"1 /h\", high = \"900 /h\" }",
            "outside the range of air change rate",
        ),
        (
            "key = \"leakage.air_change\"\nuniform = { low = \"1 /h\", high = \"900 /h\" }",
            "; `low` and `high` of its distribution bound what is drawn",
        ),
        (
            "key = \"leakage.air_change\"\nuniform = { low = \"1 /h\", high = \"1e300 /h\" }",
            "a number between -1e12 and 1e12 is wanted",
        ),
        (
            "key = \"\"\nuniform = { low = \"1 /h\", high = \"2 /h\" }",
            "not an empty one",
        ),
        (
            "key = \"leakage.air_change\"\nuniform = { low = \"1 m\", high = \"2 m\" }",
            "is a length, but an air change rate is wanted",
        ),
        (
            "key = \"leakage.air_chnge\"\nuniform = { low = \"1 /h\", high = \"2 /h\" }",
            "did you mean `air_change`?",
        ),
        (
            "key = \"hold.temp\"\nuniform = { low = \"1 degC\", high = \"2 degC\" }",
            "an axis sets this key and the drawn value would undo it",
        ),
        (
            "key = \"leakage.air_change\"\nchange = \"times\"\nuniform = { low = 1, high = 2 }",
            "the scenario has no value here",
        ),
        (
            "key = \"heater.2.efficiency\"\nuniform = { low = \"80 %\", high = \"90 %\" }",
            "items are 1 to 1",
        ),
        (
            "key = \"heater.1.efficiency\"\nuniform = { low = \"80 %\", high = \"120 %\" }",
            "at most 100 % of its heat content",
        ),
    ] {
        told(&input(rest), wanted);
    }
    let text =
        input("key = \"leakage.air_change\"\nuniform = { low = \"1 /h\", high = \"900 /h\" }");
    let line = text
        .lines()
        .position(|line| line.starts_with("uniform"))
        .expect("there")
        + 1;
    let problems = problems(&text);
    assert!(
        problems[0].starts_with(&format!("{line}: `leakage.air_change`")),
        "{problems:?}"
    );
    assert!(
        problems[0].contains("(sampled input \"leakage.air_change\", draw "),
        "{problems:?}"
    );
}

#[test]
fn what_is_drawn_is_not_listed_as_given() {
    let checked = checked(&format!("{HOUSE}{AXES}{SAMPLING}"));
    let of = |key: &str| {
        checked
            .given
            .iter()
            .filter(|given| given.key == key)
            .count()
    };
    assert_eq!(of("leakage.air_change"), 0);
    assert_eq!(of("hold.error"), 0);
    assert_eq!(of("sampling.input.1.triangular.low"), 1);
}

#[test]
fn the_table_of_cases_has_every_draw() {
    let study = checked(&format!("{HOUSE}{SAMPLING}").replace("draws = 40", "draws = 3")).study;
    let result = run_study_with(&study, Some(1), &|_, _| Err::<Stepped, _>("not run"));
    let tables = result.tables();
    let cases = &tables[0];
    let column = |name: &str| {
        &cases
            .column(name)
            .unwrap_or_else(|| panic!("{name}"))
            .values
    };
    assert_eq!(
        column("draw"),
        &Values::Whole(vec![Some(1), Some(2), Some(3)])
    );
    for (index, name) in [
        "sampled_leaks_per_h",
        "sampled_thermostat_k",
        "sampled_price_percent",
    ]
    .into_iter()
    .enumerate()
    {
        let draw = |case: usize| Some(study.cases.draw(case).expect("sampled").values[index]);
        assert_eq!(column(name), &Values::Number((0..3).map(draw).collect()));
    }
    let plain = checked(HOUSE).study;
    let result = run_study_with(&plain, Some(1), &|_, _| Err::<Stepped, _>("not run"));
    assert!(result.tables()[0].column("draw").is_none());
}

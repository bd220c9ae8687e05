//! Cases that are built when they are asked for are those of a file that asks for one alone.

#![allow(missing_docs, reason = "a test target")]
#![allow(clippy::unwrap_used, reason = "a failed reading fails the test")]

mod support;

use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;
use std::time::Duration;

use overwinter_study::cases::MOST_HELD;
use overwinter_study::error::StudyError;
use overwinter_study::scenario::Checked;
use overwinter_study::sweep::{How, Shard, Sweep, estimate};
use support::{checked, read};

/// A house with a list of hold temperatures, and more of a scenario.
fn text(temps: &[String], rest: &str) -> String {
    let values = temps.join(", ");
    format!(
        r#"
weather.file = "WEATHER"
cover.roof = "inflated pair"
house = {{ width = "10 m", length = "20 m" }}
heater = [{{ name = "main", fuel = "propane" }}]
{rest}
[[axis]]
name = "cover"
key = "cover.roof"
values = ["inflated pair", "single film"]
[[axis]]
name = "hold"
key = "hold.temp"
values = [
{values}
]
"#
    )
}

fn temps(count: usize) -> Vec<String> {
    let temp = |index: usize| format!("\"{:.2} degC\"", 4.0 + 0.01 * index as f64);
    (0..count).map(temp).collect()
}

fn alone(cover: &str, temp: &str) -> Checked {
    checked(&format!(
        r#"
weather.file = "WEATHER"
cover.roof = "{cover}"
house = {{ width = "10 m", length = "20 m" }}
heater = [{{ name = "main", fuel = "propane" }}]
hold.temp = {temp}
outages.run = false
"#
    ))
}

#[test]
fn a_case_of_many_is_that_of_a_file_with_it_alone() {
    let temps = temps(400);
    let cases = checked(&text(&temps, "")).study.cases;
    assert_eq!(cases.len(), 800);
    assert!(
        cases.held().is_empty(),
        "more than {MOST_HELD} are built when asked for"
    );
    for (index, cover) in [
        (0, "inflated pair"),
        (399, "inflated pair"),
        (555, "single film"),
    ] {
        let case = cases.get(index).unwrap();
        let only = alone(cover, &temps[index % 400]);
        let only = &only.study.cases.held()[0];
        assert_eq!(case.id, index + 1);
        assert_eq!(case.axis_labels, cases.labels(index));
        assert_eq!(case.axis_labels[0], cover);
        assert_eq!(case.house, only.house);
        assert_eq!(case.fuels, only.fuels);
    }
    assert!(
        cases.get(800).unwrap_err().is_empty(),
        "there is no such case"
    );
    assert!(cases.features().covers_differ);
}

#[test]
fn a_mistake_in_a_late_case_is_found_before_any_runs() {
    let mut temps = temps(700);
    temps[650] = "\"400 degC\"".to_owned();
    let Err(StudyError::Scenario { problems, .. }) = read(&text(&temps, "")) else {
        panic!("no house is held at 400 degC");
    };
    let line = 1 + text(&temps, "")
        .lines()
        .take_while(|line| !line.contains("400 degC"))
        .count();
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert_eq!(
        (problems[0].line, problems[0].key.as_str()),
        (line, "hold.temp")
    );
    let alternative = problems[0].alternative.as_deref().unwrap();
    assert!(alternative.contains("alternative 651"), "{alternative}");
}

#[test]
fn what_is_said_of_few_cases_is_said_of_many() {
    let few = checked(&text(&temps(2), ""));
    let many = checked(&text(&temps(500), ""));
    let keys = |checked: &Checked| -> Vec<(String, String)> {
        let defaults = checked.study.defaults.iter();
        let all = defaults.map(|used| (used.key.clone(), used.source.clone()));
        all.filter(|(key, _)| !key.starts_with("heater.") && !key.starts_with("outages"))
            .collect()
    };
    let of_few = keys(&few);
    assert!(keys(&many).iter().all(|used| of_few.contains(used)));
    assert_eq!(few.study.axis_names, many.study.axis_names);
    assert_eq!(few.study.climates.len(), many.study.climates.len());
    assert_eq!(few.covers, many.covers);
}

/// What a run would take, against what it took: the room of the tables within a tenth. (Times are not judged: a
/// machine may be busy.)
#[test]
fn the_room_that_is_told_before_a_run_is_what_it_needs() {
    let with_money = "outages.run = false\n\
        prices = { propane = \"2 USD/gal\", electricity = \"0.15 USD/kWh\" }\n\
        money = { years = 10, parts.film = { cost = \"900 USD\", life = 4 } }\n\
        compare = { against = \"inflated pair\" }";
    for rest in ["outages.run = false", with_money] {
        assert_room_is_told(rest);
    }
}

fn assert_room_is_told(rest: &str) {
    let study = checked(&text(&temps(12), rest)).study;
    let told = estimate(&study).unwrap();
    assert_eq!(told.tried, 16);
    assert!(told.a_case > Duration::ZERO && told.failures.is_empty());
    let folder = tempfile::tempdir().unwrap();
    let sweep = Sweep::open(&study, folder.path(), false).unwrap();
    let how = How {
        threads: Some(2),
        shard: Shard::ALL,
        stop: &AtomicBool::new(false),
    };
    sweep.run(&how, &|_| {}).unwrap();
    let bytes = |folder: &Path, kinds: &[&str]| -> f64 {
        let entries = std::fs::read_dir(folder).unwrap();
        let size = |path: PathBuf| match path.extension().and_then(|kind| kind.to_str()) {
            Some(kind) if kinds.contains(&kind) => path.metadata().unwrap().len() as f64,
            _ => 0.0,
        };
        entries.map(|entry| size(entry.unwrap().path())).sum()
    };
    let parts = std::fs::read_dir(folder.path().join("parts")).unwrap();
    let parts = parts.map(|part| part.unwrap().path());
    let parts_bytes: f64 = parts
        .filter(|part| part.is_dir())
        .map(|part| bytes(&part, &["parquet", "json"]))
        .sum();
    let share = told.parts_bytes as f64 / parts_bytes;
    assert!((0.4..1.0).contains(&share), "parts: {share}");
    sweep.finish(None).unwrap();
    let share = told.tables_bytes as f64 / bytes(folder.path(), &["csv", "parquet"]);
    assert!((0.9..1.1).contains(&share), "tables: {share}");
}

//! Weather under stress, from the words of a scenario to the tables.

#![allow(missing_docs, reason = "a test target")]

mod support;

use std::path::Path;

use overwinter_study::case::Study;
use overwinter_study::error::{Problem, StudyError};
use overwinter_study::manifest::Manifest;
use overwinter_study::run::{StudyResult, run_study};
use overwinter_study::scenario::check;
use overwinter_study::tables::{Table, Values};
use overwinter_weather::{Stress, Year, YearKind};
use support::checked;

/// A heated house with leaves in a weather table that has lines of its own, and what else is added.
fn house(weather: &str, more: &str) -> String {
    format!(
        r#"
house = {{ width = "30 ft", length = "96 ft" }}
cover.roof = "inflated pair"
hold.temp = "45 degF"
heater = {{ fuel = "propane", output = "100 kW" }}
crop.kind = "salad greens"
[weather]
file = "WEATHER"
{weather}
{more}
"#
    )
}

fn lowest_k(year: &Year) -> f64 {
    year.air_temp_k
        .iter()
        .copied()
        .fold(f64::INFINITY, f64::min)
}

fn year_of(study: &Study, case: usize) -> std::sync::Arc<Year> {
    study.cases.held()[case]
        .year(study)
        .expect("checked on reading")
}

fn problems(text: &str) -> Vec<Problem> {
    let weather = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../weather/725300-chicago-ohare-il-tmy3.epw");
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("house.toml");
    let text = text.replace("WEATHER", &weather.display().to_string());
    std::fs::write(&path, &text).expect("written");
    match check(&path) {
        Err(StudyError::Scenario { problems, .. }) => problems,
        Err(other) => panic!("{other}"),
        Ok(_) => panic!("accepted:\n{text}"),
    }
}

/// The only problem of a house with such a weather table; its line is that of the key.
fn problem(weather: &str, key: &str) -> Problem {
    let text = house(weather, "");
    let name = key.rsplit('.').next().expect("a key");
    let line = text
        .lines()
        .position(|line| line.starts_with(&format!("{name} =")))
        .map(|line| line + 1);
    let mut problems = problems(&text);
    assert_eq!(problems.len(), 1, "{problems:?}");
    let problem = problems.remove(0);
    assert_eq!((problem.key.as_str(), Some(problem.line)), (key, line));
    problem
}

fn table(result: &StudyResult, name: &str) -> Table {
    let mut tables = result.tables();
    let at = tables.iter().position(|table| table.name == name);
    tables.swap_remove(at.expect("it is written"))
}

fn numbers(table: &Table, name: &str) -> Vec<f64> {
    let column = table.columns.iter().find(|column| column.name == name);
    match &column.unwrap_or_else(|| panic!("no column {name}")).values {
        Values::Number(values) => values
            .iter()
            .map(|value| value.expect("a number"))
            .collect(),
        other => panic!("{name}: {other:?}"),
    }
}

fn texts(table: &Table, name: &str) -> Vec<String> {
    let column = table.columns.iter().find(|column| column.name == name);
    match &column.unwrap_or_else(|| panic!("no column {name}")).values {
        Values::Text(values) => values
            .iter()
            .map(|value| value.as_deref().unwrap_or("").to_owned())
            .collect(),
        other => panic!("{name}: {other:?}"),
    }
}

#[test]
fn words_of_a_scenario_reach_the_year() {
    let text = house(
        "warmer = \"-3.6 degF\"\ncoldest = \"-30 degF\"\ncloudier_nights = \"-50 %\"",
        "",
    );
    let study = checked(&text).study;
    let stress = study.cases.held()[0].stress;
    assert!((stress.warmer_k + 2.0).abs() < 1e-9);
    // -30 degF = (-30 - 32) / 1.8 degC.
    let coldest_k = 273.15 - 62.0 / 1.8;
    assert!((stress.coldest_k.expect("stated") - coldest_k).abs() < 1e-9);
    assert!((stress.cloudier_nights + 0.5).abs() < 1e-12);
    let year = year_of(&study, 0);
    assert_eq!(
        *year,
        stress.apply(&study.climates[0].year).expect("in range")
    );
    assert!((lowest_k(&year) - coldest_k).abs() < 1e-9);
}

#[test]
fn axes_of_stress_share_one_file() {
    let more = "[[axis]]\nname = \"coldest hour\"\nkey = \"weather.coldest\"\n\
                values = [\"-20 degF\", \"-30 degF\", \"-40 degF\"]\n\
                [[axis]]\nname = \"shift\"\nkey = \"weather.warmer\"\n\
                values = [\"0 K\", \"-2 K\"]\n";
    let study = checked(&house("", more)).study;
    assert_eq!((study.climates.len(), study.cases.len()), (1, 6));
    for (case, coldest_f) in [-20.0, -20.0, -30.0, -30.0, -40.0, -40.0]
        .into_iter()
        .enumerate()
    {
        let coldest_k = 273.15 + (coldest_f - 32.0) / 1.8;
        assert!((lowest_k(&year_of(&study, case)) - coldest_k).abs() < 1e-9);
    }
    let manifest = Manifest::new(&study);
    let uses: Vec<_> = manifest.weather[0]
        .stress
        .iter()
        .map(|used| (&*used.key, &*used.least, &*used.greatest))
        .collect();
    assert_eq!(uses.len(), 2, "{uses:?}");
    assert_eq!((uses[0].0, uses[1].0), ("warmer", "coldest"));
    assert!(uses[1].1 != uses[1].2, "{uses:?}");
    assert_eq!(manifest.weather[0].year, "typical");
}

/// What is worked out from the climate before a run follows the year under stress: the usual heater
/// is sized for its coldest hour.
#[test]
fn facts_of_the_climate_are_those_of_the_stressed_year() {
    let usual = |weather: &str| {
        let text = house(weather, "").replace(", output = \"100 kW\"", "");
        let house = checked(&text).study.cases.held()[0].house.clone();
        house
            .heaters
            .iter()
            .map(|heater| heater.output_w)
            .sum::<f64>()
    };
    assert!(usual("coldest = \"-40 degF\"") > 1.1 * usual(""));
}

#[test]
fn a_colder_spell_needs_more_fuel_and_freezes_a_cold_house() {
    let axis = "[[axis]]\nname = \"coldest\"\n\
                [[axis.alternative]]\nlabel = \"as the file\"\nset = {}\n\
                [[axis.alternative]]\nlabel = \"-30 degF\"\nset = { \"weather.coldest\" = \"-30 degF\" }\n\
                [[axis.alternative]]\nlabel = \"clear nights\"\n\
                set = { \"weather.cloudier_nights\" = \"-100 %\" }\n";
    let heated = checked(&house("", axis)).study;
    let result = run_study(&heated, Some(2));
    assert_eq!(result.failed(), 0);
    let cases = table(&result, "cases");
    let outdoor_f = numbers(&cases, "lowest_outdoor_degf");
    assert!((outdoor_f[1] + 30.0).abs() < 1e-9, "{outdoor_f:?}");
    // Chicago's typical year goes down to -22.8 degC (the file's own column).
    assert!((numbers(&cases, "lowest_outdoor_degc")[0] + 22.8).abs() < 1e-9);
    let words = texts(&cases, "weather_stress");
    assert_eq!(words[0], "");
    assert_eq!(words[1], "coldest hour -34.4 degC (-30 degF)");
    assert_eq!(words[2], "nights 100 % of the way to a clear sky");
    assert_eq!(texts(&cases, "weather_year"), ["typical"; 3]);
    let fuel_j = |case: usize| result.cases[case].fuel_use[0].fuel_j;
    let leaf_k = |case: usize| result.cases[case].lowest_leaf.expect("a crop").temp_k;
    assert!(fuel_j(1) > fuel_j(0) && fuel_j(2) > fuel_j(0));
    assert!(leaf_k(1) < leaf_k(0) && leaf_k(2) <= leaf_k(0));
    let peak_w = |case: usize| {
        result.cases[case].fuel_use[0]
            .house
            .expect("it is")
            .peak_hour_w
    };
    assert!(peak_w(1) > peak_w(0));
}

#[test]
fn what_cannot_be_asked_is_refused_at_its_line() {
    let warm = problem("coldest = \"-5 degF\"", "weather.coldest").to_string();
    // The file's -22.8 degC, and what was asked for, in both systems.
    for word in ["-22.8 degC", "-9.04 degF", "-20.6 degC", "-5 degF", "lower"] {
        assert!(warm.contains(word), "{word}: {warm}");
    }
    let with_shift = problem(
        "coldest = \"-24 degC\"\nwarmer = \"-2 K\"",
        "weather.coldest",
    );
    assert!(with_shift.message.contains("-24.8 degC"), "{with_shift}");
    let bare = problem("warmer = 2", "weather.warmer").to_string();
    assert!(bare.contains('K') && bare.contains("degF"), "{bare}");
    let far = problem("warmer = \"20 K\"", "weather.warmer").to_string();
    assert!(far.contains("-15 K to 15 K"), "{far}");
    let share = problem("cloudier_nights = \"150 %\"", "weather.cloudier_nights");
    assert!(share.message.contains("100 %"), "{share}");
    let spelt = problems(&house("colder = \"2 K\"", ""))
        .remove(0)
        .to_string();
    assert!(
        spelt.contains("weather.colder") && spelt.contains("unknown key"),
        "{spelt}"
    );
}

/// A refused alternative of an axis is named with its label and does not stop the check of others.
#[test]
fn a_refused_alternative_is_named() {
    let more = "[[axis]]\nname = \"coldest hour\"\nkey = \"weather.coldest\"\n\
                values = [\"-30 degF\", \"10 degF\"]\n";
    let problems = problems(&house("", more));
    assert_eq!(problems.len(), 1, "{problems:?}");
    let message = problems[0].to_string();
    assert!(
        message.contains("10 degF") && message.contains("coldest hour"),
        "{message}"
    );
}

/// A typical and a real year of one place side by side: the shipped file, and the same with one year
/// before every row.
#[test]
fn typical_and_real_years_stand_side_by_side() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let shipped = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../weather/725300-chicago-ohare-il-tmy3.epw");
    let text = std::fs::read_to_string(&shipped).expect("a shipped file");
    let dated: Vec<String> = text
        .lines()
        .enumerate()
        .map(|(line, row)| match row.split_once(',') {
            Some((_, rest)) if line >= 8 => format!("1998,{rest}"),
            _ => row.to_owned(),
        })
        .collect();
    let real = folder.path().join("real.epw");
    std::fs::write(&real, dated.join("\n")).expect("written");
    let more = format!(
        "[[axis]]\nname = \"year\"\nkey = \"weather.file\"\nvalues = [\"WEATHER\", \"{}\"]\n\
         labels = [\"typical\", \"1998\"]\n",
        real.display()
    );
    let study = checked(&house("", &more)).study;
    let kinds: Vec<_> = study
        .climates
        .iter()
        .map(|climate| climate.year.kind())
        .collect();
    assert_eq!(kinds, [YearKind::Typical, YearKind::Real(1998)]);
    let result = run_study(&study, Some(2));
    assert_eq!(
        texts(&table(&result, "cases"), "weather_year"),
        ["typical", "1998"]
    );
    let risk = table(&result, "frost_risk");
    let (typical, real) = texts(&risk, "weather_year")
        .into_iter()
        .partition::<Vec<_>, _>(|year| year == "typical");
    assert_eq!(typical.len(), real.len());
    assert!(real.iter().all(|year| year == "1998"));
    assert_eq!(study.cases.held()[1].stress, Stress::NONE);
}

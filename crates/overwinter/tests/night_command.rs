//! `night`: what is shown of a failing night, and what is refused.

mod support;

use std::fs;

use overwinter::Exit;
use support::{Ended, overwinter, scenario};

fn night(arguments: &[&str]) -> Ended {
    let file = scenario("first-winter.toml");
    let mut all = vec!["night", &file];
    all.extend(arguments);
    overwinter(&all)
}

fn shown(arguments: &[&str]) -> String {
    let ended = night(arguments);
    assert_eq!((ended.exit, &*ended.err), (Exit::Done, ""), "{arguments:?}");
    let lines: Vec<&str> = ended.out.lines().collect();
    let too_wide = lines.iter().find(|line| line.chars().count() > 100);
    assert_eq!(too_wide, None, "{arguments:?}");
    assert!(lines.len() <= 64, "{} lines\n{}", lines.len(), ended.out);
    assert!(!ended.out.contains("NaN") && !ended.out.contains("inf "));
    ended.out
}

fn refused(arguments: &[&str], wanted: &str) {
    let ended = night(arguments);
    assert_eq!(ended.exit, Exit::BadInput, "{arguments:?}\n{}", ended.out);
    assert_eq!(ended.out, "", "{arguments:?}");
    assert!(ended.err.contains(wanted), "{arguments:?}: {}", ended.err);
}

/// The first number of the line with a label.
fn number(text: &str, label: &str) -> f64 {
    let mut lines = text.lines().filter_map(|line| line.strip_prefix(label));
    let line = lines
        .next()
        .unwrap_or_else(|| panic!("no {label} in\n{text}"));
    let mut words = line.split_whitespace().map(|word| word.trim_matches(','));
    let number = words.find_map(|word| word.parse().ok());
    number.unwrap_or_else(|| panic!("no number after {label}"))
}

#[test]
fn the_worst_failure_of_the_clear_design_night_is_the_power() {
    let us = shown(&[]);
    for part in [
        "Fails: power - at 17:00 for 8 h, design night, clear and calm",
        "alarm",
        "freezing 32.0",
        "A house air   L leaf that sees the cover",
        "7       8 h",
        "(degF)",
        "Standby heater",
        "Blower alone",
        "What to do",
        "1 See to your own safety first",
        "transfer switch",
        "no promise",
        "A published mean interruption in Illinois lasted 4 h 9 min",
    ] {
        assert!(us.contains(part), "no {part:?} in\n{us}");
    }
    // The same numbers in the other units: C = (F - 32) / 1.8.
    let si = shown(&["--units", "si"]);
    let [us_f, si_c] = [&us, &si].map(|text| number(text, "Lowest leaf"));
    assert!(((us_f - 32.0) / 1.8 - si_c).abs() < 0.06, "{us_f} {si_c}");
    assert!(us_f < 20.0, "a night near 0 degF without heat: {us_f}");
}

/// The curve is drawn where its numbers say: the first column has the start, the letters fall.
#[test]
fn the_curve_falls_from_left_to_right() {
    let text = shown(&["--failure", "heaters"]);
    let rows: Vec<&str> = text
        .lines()
        .filter(|line| line.chars().nth(7) == Some('|'))
        .collect();
    assert!((8..=16).contains(&rows.len()), "{text}");
    let first_row = |letter: char, columns: std::ops::Range<usize>| {
        let has = |row: &&str| {
            row.chars()
                .skip(8)
                .enumerate()
                .any(|(at, c)| columns.contains(&at) && c == letter)
        };
        rows.iter().position(has)
    };
    for letter in ['A', 'L'] {
        let (left, right) = (first_row(letter, 0..4), first_row(letter, 40..66));
        assert!(
            left.is_some() && left < right,
            "{letter}: {left:?} {right:?}\n{text}"
        );
    }
    assert!(first_row('.', 0..66) > first_row('A', 0..66), "{text}");
}

#[test]
fn nights_starts_and_lengths_can_be_chosen() {
    let worst = number(&shown(&["--night", "worst"]), "Lowest leaf");
    let median = number(&shown(&["--night", "median"]), "Lowest leaf");
    assert!(worst < median, "{worst} {median}");
    let short = number(&shown(&["--hours", "2"]), "Lowest leaf");
    let long = number(&shown(&["--hours", "144"]), "Lowest leaf");
    assert!(long <= short, "{long} {short}");
    let july = shown(&["--night", "07-15", "--start", "3:00", "--hours", "1"]);
    assert!(
        july.contains(" - at 03:00 for 1 h, night of that date, 16 Jul"),
        "{july}"
    );
    assert!(
        july.contains("not decided by this night: the leaf stays above"),
        "{july}"
    );
    let last = shown(&["--night", "12-31", "--start", "midnight"]);
    assert!(last.contains(" - at 00:00"), "{last}");
    let blower = shown(&[
        "--failure",
        "blower",
        "--night",
        "windy",
        "--start",
        "before-dawn",
    ]);
    assert!(blower.contains("hold the house"), "{blower}");
    assert!(!blower.contains("published mean"), "{blower}");
}

#[test]
fn the_points_can_be_kept() {
    let temp = tempfile::tempdir().expect("a folder");
    let path = temp.path().join("night.csv");
    let path_text = path.display().to_string();
    shown(&["--csv", &path_text, "--hours", "4"]);
    let text = fs::read_to_string(&path).expect("written");
    let rows: Vec<Vec<&str>> = text.lines().map(|line| line.split(',').collect()).collect();
    // No name in this scenario holds a comma but that of the night, which is quoted.
    assert_eq!(rows.len(), 1 + (4 + 12) * 12);
    let at = |name: &str| {
        let found = rows[0].iter().position(|column| *column == name);
        found.unwrap_or_else(|| panic!("no {name} in {:?}", rows[0]))
    };
    let (minutes, air_c, air_f) = (at("after_min"), at("air_degc"), at("air_degf"));
    for (index, row) in rows.iter().enumerate().skip(1) {
        let quoted = row.len() - rows[0].len();
        assert_eq!(quoted, 1, "{row:?}");
        let value = |column: usize| row[column + quoted].parse::<f64>().expect("a number");
        assert!((value(minutes) - 5.0 * index as f64).abs() < 1e-6);
        assert!((value(air_c) * 1.8 + 32.0 - value(air_f)).abs() < 1e-6);
    }
    refused(&["--csv", &path_text], "is there already");
    shown(&["--csv", &path_text, "--force"]);
    let again = fs::read_to_string(&path).expect("written");
    assert_eq!(again.lines().count(), 1 + 20 * 12);
    let nowhere = temp.path().join("gone/night.csv").display().to_string();
    refused(&["--csv", &nowhere], "cannot be written");
    let left = fs::read_dir(temp.path()).expect("a folder").count();
    assert_eq!(left, 1, "no part is left behind");
}

#[test]
fn what_cannot_be_shown_is_refused_with_what_there_is() {
    refused(&["--failure", "hail"], "there are blower; heaters; power");
    refused(
        &["--night", "coldest"],
        "expected worst, median, clear, windy",
    );
    refused(&["--night", "02-29"], "without 29 February");
    refused(&["--night", "13-01"], "such as 01-26");
    refused(&["--start", "noon"], "expected dusk, midnight, before-dawn");
    refused(&["--start", "22:30"], "full hour");
    refused(&["--hours", "0"], "0 is not in 1..=144");
    refused(&["--hours", "145"], "145 is not in 1..=144");
    refused(&["--case", "2"], "there is no case 2");
    refused(&["--force"], "--csv");
}

#[test]
fn a_scenario_without_failures_says_how_to_ask_for_them() {
    let temp = tempfile::tempdir().expect("a folder");
    let file = temp.path().join("calm.toml");
    let text = fs::read_to_string(scenario("first-winter.toml")).expect("a shipped file");
    let text = text.replace("../weather/", &support::weather(""));
    fs::write(&file, text + "\n[outages]\nrun = false\n").expect("written");
    let ended = overwinter(&["night", &file.display().to_string()]);
    assert_eq!(ended.exit, Exit::BadInput, "{}", ended.out);
    assert!(ended.err.contains("[outages]"), "{}", ended.err);
}

/// A house without heat is as cold as its alarm on any such night.
#[test]
fn an_alarm_that_would_ring_anyway_is_none() {
    let ended = overwinter(&[
        "night",
        &scenario("unheated-tunnel.toml"),
        "--night",
        "windy",
    ]);
    assert_eq!((ended.exit, &*ended.err), (Exit::Done, ""));
    let words = ended.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("even if nothing fails"), "{}", ended.out);
    assert!(words.contains("case 1: two layers"), "{}", ended.out);
}

#[test]
fn a_case_of_several_is_named() {
    let file = scenario("four-covers.toml");
    let ended = overwinter(&["night", &file, "--case", "3"]);
    assert_eq!((ended.exit, &*ended.err), (Exit::Done, ""));
    assert!(ended.out.contains("case 3: "), "{}", ended.out);
}

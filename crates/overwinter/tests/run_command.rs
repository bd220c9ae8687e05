//! `run` and `check` on whole scenarios: what is written, what is refused, what is left alone.

mod support;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use overwinter::Exit;
use overwinter_study::scenario::starter_text;
use support::{Ended, overwinter, weather};
use tempfile::TempDir;

/// A folder with the starter scenario in it.
struct Workshop {
    folder: TempDir,
}

impl Workshop {
    fn new() -> Self {
        let workshop = Self {
            folder: tempfile::tempdir().expect("a folder"),
        };
        workshop.scenario("house.toml", &[]);
        workshop
    }

    /// Writes the starter with some of its text replaced.
    fn scenario(&self, name: &str, replaced: &[(&str, &str)]) -> String {
        let mut text = starter_text("By hand").replace("../weather/", &weather(""));
        for (from, to) in replaced {
            assert!(text.contains(from), "the starter has no {from}");
            text = text.replace(from, to);
        }
        let path = self.path(name);
        fs::write(&path, text).expect("written");
        path.display().to_string()
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn text(&self, name: &str) -> String {
        self.path(name).display().to_string()
    }

    fn run(&self, options: &[&str]) -> Ended {
        let [file, out] = ["house.toml", "out"].map(|name| self.text(name));
        let mut arguments = vec!["run", &file, "--out", &out];
        arguments.extend(options);
        overwinter(&arguments)
    }
}

/// Every file of a folder with its bytes.
fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).expect("a folder");
    let file = |entry: fs::DirEntry| {
        let name = entry.file_name().to_string_lossy().into_owned();
        (name, fs::read(entry.path()).expect("read"))
    };
    entries
        .map(|entry| file(entry.expect("an entry")))
        .collect()
}

#[test]
fn a_run_writes_its_tables_and_a_summary() {
    let workshop = Workshop::new();
    let ended = workshop.run(&[]);
    assert_eq!((ended.exit, ended.err.as_str()), (Exit::Done, ""));
    for words in [
        "propane, year",
        " gal, ",
        "Worst week",
        "Lowest air",
        "Written to ",
        "Cautions",
    ] {
        assert!(ended.out.contains(words), "no {words} in\n{}", ended.out);
    }
    let files = contents(&workshop.path("out"));
    let mut expected = vec!["manifest.json".to_owned()];
    for table in [
        "cases",
        "fuel_use",
        "frost_risk",
        "moisture",
        "balance",
        "outages",
        "night",
    ] {
        expected.extend(["csv", "parquet"].map(|kind| format!("{table}.{kind}")));
    }
    expected.sort();
    assert_eq!(files.keys().cloned().collect::<Vec<_>>(), expected);
    assert!(files.values().all(|bytes| !bytes.is_empty()));
}

#[test]
fn units_change_what_stands_first_and_nothing_in_the_tables() {
    let workshop = Workshop::new();
    let us = workshop.run(&[]);
    let us_files = contents(&workshop.path("out"));
    let si = workshop.run(&["--units", "si", "--force"]);
    assert_eq!(si.exit, Exit::Done, "{}", si.err);
    assert!(us.out.contains("MMBtu (") && si.out.contains("kWh ("));
    assert_eq!(contents(&workshop.path("out")), us_files);
}

#[test]
fn the_way_to_the_scenario_changes_no_byte() {
    let workshop = Workshop::new();
    let station = "725300-chicago-ohare-il-tmy3.epw";
    fs::copy(weather(station), workshop.path(station)).expect("copied");
    workshop.scenario("house.toml", &[(&weather(""), "")]);
    fs::create_dir(workshop.path("deep")).expect("a folder");
    let [straight, round] = ["house.toml", "deep/../house.toml"].map(|file| {
        let [file, out] = [file, "out"].map(|name| workshop.text(name));
        let ended = overwinter(&["run", &file, "--out", &out, "--force", "--quiet"]);
        assert_eq!(ended.exit, Exit::Done, "{}", ended.err);
        contents(&workshop.path("out"))
    });
    assert_eq!(straight, round);
    let manifest = String::from_utf8_lossy(&straight["manifest.json"]).into_owned();
    let found = workshop.folder.path().display().to_string();
    assert!(
        manifest.contains(station) && !manifest.contains(&found),
        "{manifest}"
    );
}

#[test]
fn results_are_not_written_over_without_force() {
    let workshop = Workshop::new();
    assert_eq!(workshop.run(&["--quiet"]).exit, Exit::Done);
    let before = contents(&workshop.path("out"));
    workshop.scenario("house.toml", &[("40 degF", "50 degF")]);
    let refused = workshop.run(&[]);
    assert_eq!((refused.exit, refused.out.as_str()), (Exit::BadInput, ""));
    for words in [
        workshop.text("out").as_str(),
        "already holds results",
        "--force",
    ] {
        assert!(refused.err.contains(words), "no {words} in {}", refused.err);
    }
    assert_eq!(contents(&workshop.path("out")), before);
    fs::write(workshop.path("out/notes.txt"), "mine").expect("written");
    assert_eq!(workshop.run(&["--force", "--quiet"]).exit, Exit::Done);
    let after = contents(&workshop.path("out"));
    assert_ne!(after["fuel_use.csv"], before["fuel_use.csv"]);
    assert_eq!(after["notes.txt"], b"mine");
}

#[test]
fn quiet_says_nothing() {
    let ended = Workshop::new().run(&["--quiet"]);
    assert_eq!((ended.out.as_str(), ended.err.as_str()), ("", ""));
}

#[test]
fn hourly_is_written_when_asked_for() {
    let workshop = Workshop::new();
    assert_eq!(workshop.run(&["--hourly", "--quiet"]).exit, Exit::Done);
    let hourly = &contents(&workshop.path("out"))["hourly.csv"];
    let lines = hourly.iter().filter(|&&byte| byte == b'\n').count();
    assert_eq!(lines, 8761);
}

#[test]
fn a_folder_below_a_file_is_refused_before_anything_runs() {
    let workshop = Workshop::new();
    let [file, out] = ["house.toml", "house.toml/out"].map(|name| workshop.text(name));
    let before = fs::read(&file).expect("read");
    let ended = overwinter(&["run", &file, "--out", &out]);
    assert_eq!((ended.exit, ended.out.as_str()), (Exit::BadInput, ""));
    assert!(
        ended.err.contains(&out) && ended.err.contains("cannot be created"),
        "{}",
        ended.err
    );
    assert!(ended.err.contains("where you may write"), "{}", ended.err);
    let ended = overwinter(&["run", &file, "--out", &file]);
    assert!(
        ended.err.contains("is a file, not a folder"),
        "{}",
        ended.err
    );
    assert_eq!(fs::read(&file).expect("read"), before);
}

#[test]
fn a_bad_value_names_file_line_key_and_remedy_and_leaves_no_folder() {
    let workshop = Workshop::new();
    for (from, to, words) in [
        ("\"30 ft\"", "\"30\"", ["house.width", "30", "unit"]),
        (
            "\"30 ft\"",
            "\"30 gal\"",
            ["house.width", "30 gal", "length"],
        ),
        ("\"30 ft\"", "\"3000 ft\"", ["house.width", "3000 ft", "ft"]),
        ("width =", "widht =", ["widht", "width", ""]),
    ] {
        let file = workshop.scenario("house.toml", &[(from, to)]);
        let ended = workshop.run(&[]);
        assert_eq!(ended.exit, Exit::BadInput, "{to}");
        let line = fs::read_to_string(&file).expect("read");
        let line = 1 + line
            .lines()
            .position(|line| line.contains(to))
            .expect("replaced");
        assert!(
            ended.err.contains(&format!("{file}:{line}: ")),
            "{}",
            ended.err
        );
        for word in words {
            assert!(ended.err.contains(word), "no {word} in {}", ended.err);
        }
        assert!(!workshop.path("out").exists());
    }
}

#[test]
fn a_weather_file_that_is_not_there_or_cut_off_is_named() {
    let workshop = Workshop::new();
    let [shipped, ours] = ["725300-chicago-ohare-il-tmy3.epw", "cut.epw"];
    let cut = fs::read(weather(shipped)).expect("a shipped file");
    fs::write(workshop.path(ours), &cut[..cut.len() / 2]).expect("written");
    for (name, words) in [("gone.epw", "gone.epw"), (ours, "cut.epw")] {
        let (from, to) = (weather(shipped), workshop.text(name));
        workshop.scenario("house.toml", &[(&from, &to)]);
        let ended = workshop.run(&[]);
        assert_eq!(ended.exit, Exit::BadInput);
        assert!(ended.err.contains(words), "{}", ended.err);
        assert!(!workshop.path("out").exists());
    }
}

#[test]
fn everything_wrong_with_several_files_is_told_at_once() {
    let workshop = Workshop::new();
    let [a, b] =
        ["a.toml", "b.toml"].map(|name| workshop.scenario(name, &[("\"30 ft\"", "\"30\"")]));
    let ended = overwinter(&["run", &a, &b, "--out", &workshop.text("out")]);
    assert!(
        ended.err.contains(&a) && ended.err.contains(&b),
        "{}",
        ended.err
    );
}

/// A name from the file could otherwise move the cursor or hide what stands before it.
#[test]
fn control_characters_of_the_file_are_shown_and_not_obeyed() {
    let workshop = Workshop::new();
    let axis =
        "[[axis]]\nname = \"a\\u001b[2J\"\nkey = \"hold.temp\"\nvalues = [\"40 degF\", \"5\"]\n";
    let file = workshop.scenario("house.toml", &[("title = \"By", "title = \"\\u001b[31mBy")]);
    let sound = fs::read_to_string(&file).expect("read");
    let checked = overwinter(&["check", &file]);
    assert_eq!(checked.exit, Exit::Done, "{}", checked.err);
    assert!(
        checked.out.starts_with("\\u{1b}[31mBy hand\n"),
        "{}",
        checked.out
    );
    fs::write(&file, format!("{sound}{axis}")).expect("written");
    let refused = overwinter(&["check", &file]);
    assert_eq!(refused.exit, Exit::BadInput);
    assert!(refused.err.contains("a\\u{1b}[2J"), "{}", refused.err);
    assert!(!refused.err.contains('\u{1b}') && !checked.out.contains('\u{1b}'));
}

#[test]
fn several_files_have_a_folder_each_or_none() {
    let workshop = Workshop::new();
    let [a, b] = ["a.toml", "b.toml"].map(|name| workshop.scenario(name, &[]));
    let out = workshop.text("out");
    // The folder of the second is taken by a file: nothing is left of the first either.
    fs::create_dir(&out).expect("a folder");
    fs::write(workshop.path("out/b"), "mine").expect("written");
    let refused = overwinter(&["run", &a, &b, "--out", &out]);
    assert_eq!(refused.exit, Exit::BadInput);
    assert_eq!(
        contents(&workshop.path("out"))
            .into_keys()
            .collect::<Vec<_>>(),
        ["b"]
    );
    fs::remove_file(workshop.path("out/b")).expect("removed");
    let ended = overwinter(&["run", &a, &b, "--out", &out, "--quiet"]);
    assert_eq!(ended.exit, Exit::Done, "{}", ended.err);
    for name in ["out/a", "out/b"] {
        assert_eq!(contents(&workshop.path(name)).len(), 15);
    }
}

const AXIS: &str = "\n[[axis]]\nname = \"cover\"\nkey = \"cover.roof\"\n\
                    values = [\"single film\", \"inflated pair\", \"single glass\"]\n";

#[test]
fn files_are_the_same_to_the_byte_for_any_number_of_threads() {
    let workshop = Workshop::new();
    workshop.scenario(
        "house.toml",
        &[("roof = \"inflated pair\"", "roof = \"single film\"")],
    );
    let mut text = fs::read_to_string(workshop.path("house.toml")).expect("read");
    text += AXIS;
    fs::write(workshop.path("house.toml"), text).expect("written");
    let files = |threads| {
        let ended = workshop.run(&["--threads", threads, "--force", "--hourly"]);
        assert_eq!(ended.exit, Exit::Done, "{}", ended.err);
        assert!(ended.out.contains("inflated pair"), "{}", ended.out);
        contents(&workshop.path("out"))
    };
    let one = files("1");
    // Eight tables, and compare and ranking of the two covers, each twice, and the manifest.
    assert_eq!(one.len(), 21);
    for threads in ["2", "8"] {
        for (name, bytes) in files(threads) {
            assert!(one[&name] == bytes, "{name} differs with {threads} threads");
        }
    }
}

#[test]
fn a_failed_case_is_a_row_with_its_reason_and_status_one() {
    let workshop = Workshop::new();
    let mut text = fs::read_to_string(workshop.path("house.toml")).expect("read");
    // 90 MW in a house of 268 m2 takes the air out of the range of every formula.
    text += "\n[[axis]]\nname = \"gains\"\nkey = \"gains.convective\"\n\
             values = [\"0 W\", \"90 MW\"]\n";
    fs::write(workshop.path("house.toml"), text).expect("written");
    let ended = workshop.run(&[]);
    assert_eq!((ended.exit, ended.exit.code()), (Exit::SomeFailed, 1));
    assert!(ended.err.contains("1 of 2 cases failed"), "{}", ended.err);
    assert!(ended.out.contains("case 2 failed: "), "{}", ended.out);
    let cases = fs::read_to_string(workshop.path("out/cases.csv")).expect("read");
    let statuses: Vec<_> = cases.lines().map(|line| line.split(',').nth(2)).collect();
    assert_eq!(statuses, [Some("status"), Some("done"), Some("failed")]);
    let fuel = fs::read_to_string(workshop.path("out/fuel_use.csv")).expect("read");
    assert_eq!(
        fuel.lines().filter(|line| line.starts_with("2,")).count(),
        0
    );
}

#[test]
fn check_shows_what_is_given_and_what_is_assumed() {
    let workshop = Workshop::new();
    let ended = overwinter(&["check", &workshop.text("house.toml")]);
    assert_eq!((ended.exit, ended.err.as_str()), (Exit::Done, ""));
    for words in [
        "Cases                     1",
        "house.width",
        "30 ft",
        "Left to a default",
        "Time of a run",
        "CHICAGO",
    ] {
        let found = ended.out.to_uppercase().contains(&words.to_uppercase());
        assert!(found, "no {words} in\n{}", ended.out);
    }
    let too_wide = |line: &&str| line.chars().count() > 100 && !line.contains('/');
    assert_eq!(ended.out.lines().find(too_wide), None);
}

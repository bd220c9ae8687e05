//! Folders that are refused, files that are replaced, columns that are explained.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

use overwinter_weather::Year;

use super::{OutputError, OutputFolder};
use crate::case::{Case, Study};
use crate::handmade;
use crate::run::{Stepped, StudyResult, run_study_with};
use crate::sweep::{GatherError, How, Shard, Sweep};
use crate::tables::{Table, Values};

fn study(cases: usize, hourly: bool) -> Study {
    let mut study = handmade::study(cases);
    study.wants_hourly = hourly;
    for case in study.cases.held_mut() {
        case.outages = Some(handmade::outage_plan());
    }
    study
}

fn season(_: &Case, _: &Year) -> Result<Stepped, String> {
    let mut stepped = handmade::stepped(handmade::record());
    stepped.outages = Some(handmade::outages());
    Ok(stepped)
}

fn result(cases: usize, hourly: bool) -> StudyResult {
    run_study_with(&study(cases, hourly), Some(1), &season)
}

/// Runs a study into a folder.
fn run_into(path: &Path, study: &Study, replace: bool) -> Result<(), GatherError> {
    let sweep = Sweep::open(study, path, replace)?;
    let how = How {
        threads: Some(2),
        shard: Shard::ALL,
        stop: &AtomicBool::new(false),
    };
    sweep.run_with(&how, &|_| (), &season)?;
    sweep.finish(Some(2)).map(drop)
}

fn write(path: &Path, hourly: bool) -> Vec<Table> {
    run_into(path, &study(2, hourly), true).expect("written");
    result(2, hourly).tables()
}

fn names(folder: &Path) -> BTreeSet<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let name = |entry: fs::DirEntry| entry.file_name().to_string_lossy().into_owned();
    entries
        .map(|entry| name(entry.expect("an entry")))
        .collect()
}

#[test]
fn a_run_leaves_its_files_and_nothing_else() {
    let temp = tempfile::tempdir().expect("a folder");
    let path = temp.path().join("deep/out");
    OutputFolder::prepare(&path, false).expect("made");
    assert!(names(&path).is_empty(), "the probe is gone");
    let tables = write(&path, false);
    let mut expected: BTreeSet<String> = ["manifest.json".to_owned()].into();
    for table in &tables {
        expected.insert(format!("{}.csv", table.name));
        expected.insert(format!("{}.parquet", table.name));
    }
    assert_eq!(names(&path), expected);
    assert_eq!(expected.len(), 15);
}

#[test]
fn numbers_in_files_carry_no_noise() {
    let temp = tempfile::tempdir().expect("a folder");
    for table in write(temp.path(), true) {
        let file = temp.path().join(format!("{}.csv", table.name));
        let text = fs::read_to_string(file).expect("text");
        let cells = text.lines().skip(1).flat_map(|line| line.split(','));
        let is_noisy = |cell: &&str| {
            let digits = cell.split(['e', 'E']).next().unwrap_or("");
            let digits = digits.trim_start_matches(['-', '0', '.']).replace('.', "");
            let is_number = cell.parse::<f64>().is_ok();
            is_number && (*cell == "-0.0" || digits.trim_end_matches('0').len() > 10)
        };
        assert_eq!(cells.clone().find(is_noisy), None, "{}", table.name);
    }
}

#[test]
fn csv_has_a_header_and_a_line_for_each_row() {
    let temp = tempfile::tempdir().expect("a folder");
    for table in write(temp.path(), true) {
        let file = temp.path().join(format!("{}.csv", table.name));
        let text = fs::read_to_string(file).expect("text");
        let mut lines = text.lines();
        let header: Vec<&str> = lines.next().expect("a header").split(',').collect();
        let columns: Vec<&str> = table.columns.iter().map(|c| c.name.as_str()).collect();
        assert_eq!(header, columns);
        assert_eq!(lines.count(), table.row_count());
    }
}

#[test]
fn parquet_reads_back_as_the_same_table() {
    use polars::prelude::{ParquetReader, SerReader};
    let temp = tempfile::tempdir().expect("a folder");
    for table in write(temp.path(), false) {
        let path = temp.path().join(format!("{}.parquet", table.name));
        let file = fs::File::open(path).expect("a file");
        let frame = ParquetReader::new(file).finish().expect("parquet");
        assert_eq!(frame.shape(), (table.row_count(), table.columns.len()));
        for column in &table.columns {
            let Values::Number(values) = &column.values else {
                continue;
            };
            let read = frame.column(&column.name).expect("the column");
            let read: Vec<Option<f64>> = read.f64().expect("numbers").iter().collect();
            assert_eq!(&read, values, "{} {}", table.name, column.name);
        }
    }
}

#[test]
fn a_filled_folder_is_refused_and_left_alone() {
    let temp = tempfile::tempdir().expect("a folder");
    write(temp.path(), false);
    let before = fs::read(temp.path().join("cases.csv")).expect("read");
    let error = OutputFolder::prepare(temp.path(), false).expect_err("refused");
    assert!(
        matches!(error, OutputError::AlreadyFilled { .. }),
        "{error}"
    );
    assert_eq!(
        fs::read(temp.path().join("cases.csv")).expect("read"),
        before
    );
}

#[test]
fn a_table_file_without_a_manifest_is_not_overwritten_either() {
    let temp = tempfile::tempdir().expect("a folder");
    fs::write(temp.path().join("fuel_use.csv"), "mine").expect("written");
    let error = OutputFolder::prepare(temp.path(), false).expect_err("refused");
    assert!(error.to_string().contains("fuel_use.csv"), "{error}");
}

#[test]
fn replacing_takes_away_our_files_alone() {
    let temp = tempfile::tempdir().expect("a folder");
    write(temp.path(), true);
    fs::write(temp.path().join("notes.txt"), "mine").expect("written");
    assert!(names(temp.path()).contains("hourly.csv"));
    write(temp.path(), false);
    let left = names(temp.path());
    assert!(
        !left.contains("hourly.csv") && !left.contains("hourly.parquet"),
        "{left:?}"
    );
    assert_eq!(
        fs::read(temp.path().join("notes.txt")).expect("read"),
        b"mine"
    );
    assert_eq!(left.len(), 16);
}

#[test]
fn a_path_below_a_file_cannot_be_made() {
    let temp = tempfile::tempdir().expect("a folder");
    let file = temp.path().join("file");
    fs::write(&file, "mine").expect("written");
    let error = OutputFolder::prepare(&file, false).expect_err("refused");
    assert!(matches!(error, OutputError::NotAFolder { .. }), "{error}");
    let error = OutputFolder::prepare(&file.join("out"), false).expect_err("refused");
    assert!(matches!(error, OutputError::NotCreated { .. }), "{error}");
    assert_eq!(fs::read(&file).expect("read"), b"mine");
}

#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_takes_no_files_is_refused() {
    // The process folder exists and is a folder, and takes no files even from root.
    let error = OutputFolder::prepare(Path::new("/proc/self"), false).expect_err("refused");
    assert!(matches!(error, OutputError::NotWritable { .. }), "{error}");
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_shows_before_anything_is_renamed() {
    let temp = tempfile::tempdir().expect("a folder");
    // The temporary name of the last table leads to a device that is always full.
    let part = temp.path().join(".balance.parquet.part");
    std::os::unix::fs::symlink("/dev/full", part).expect("a link");
    let error = run_into(temp.path(), &study(1, false), true).expect_err("no space");
    assert!(
        matches!(error, GatherError::Output(OutputError::File { .. })),
        "{error:?}"
    );
    assert_eq!(names(temp.path()), ["parts".to_owned()].into());
    assert!(fs::metadata("/dev/full").is_ok(), "the device stays");
}

#[test]
fn a_rename_that_fails_leaves_no_manifest_and_no_parts() {
    let temp = tempfile::tempdir().expect("a folder");
    // A folder under the name of a table cannot be replaced by a file.
    fs::create_dir(temp.path().join("moisture.csv")).expect("a folder");
    assert!(run_into(temp.path(), &study(1, false), true).is_err());
    let left = names(temp.path());
    assert!(!left.contains("manifest.json"), "{left:?}");
    assert!(left.iter().all(|name| !name.ends_with(".part")), "{left:?}");
}

#[test]
fn the_manifest_explains_every_column_of_every_file() {
    let temp = tempfile::tempdir().expect("a folder");
    let tables = write(temp.path(), true);
    assert_eq!(tables.len(), 8);
    let text = fs::read_to_string(temp.path().join("manifest.json")).expect("text");
    let manifest: serde_json::Value = serde_json::from_str(&text).expect("json");
    for (table, entry) in tables
        .iter()
        .zip(manifest["tables"].as_array().expect("a list"))
    {
        assert_eq!(entry["name"], table.name);
        assert_eq!(entry["rows"], table.row_count());
        let columns = entry["columns"].as_array().expect("a list");
        assert_eq!(columns.len(), table.columns.len());
        for (column, entry) in table.columns.iter().zip(columns) {
            assert_eq!(entry["name"], column.name.as_str());
            assert!(!entry["unit"].as_str().expect("text").is_empty());
            assert!(!entry["meaning"].as_str().expect("text").is_empty());
        }
    }
    assert_eq!(manifest["scenario"]["sha256"], "0f".repeat(32));
    assert_eq!(manifest["weather"][0]["defects"][0]["first_line"], 17);
    assert_eq!(manifest["defaults_used"][0]["key"], "leakage");
    assert_eq!(manifest["seed"], 7);
}

#[test]
fn the_name_of_a_quantity_ends_with_its_unit() {
    let endings = |unit: &str| match unit {
        "share, 0 to 1" => "_0_to_1".to_owned(),
        "see column fuel_unit" => "_in_fuel_unit".to_owned(),
        "see column currency" => "_in_currency".to_owned(),
        "1/h" => "_per_h".to_owned(),
        "US gal" => "_gal".to_owned(),
        unit => format!("_{}", unit.to_lowercase().replace([' ', '/'], "_")),
    };
    for table in result(1, true).tables() {
        for column in &table.columns {
            if matches!(column.values, Values::Number(_)) {
                let ending = endings(&column.unit);
                let name = &column.name;
                assert!(name.ends_with(&ending), "{}: {name} ({ending})", table.name);
            }
        }
    }
}

#[test]
fn the_same_inputs_give_the_same_bytes() {
    let temp = tempfile::tempdir().expect("a folder");
    let folders: Vec<PathBuf> = ["a", "b"].map(|name| temp.path().join(name)).into();
    for path in &folders {
        write(path, true);
    }
    for name in names(&folders[0]) {
        let [first, second] = [0, 1].map(|i| fs::read(folders[i].join(&name)).expect("read"));
        assert!(first == second, "{name} differs");
    }
}

//! Folders that are not as they should be: hostile texts, gaps, broken files.

mod support;

use std::fs;
use std::path::Path;

use overwinter_report::{ReportError, page, read};
use overwinter_units::System;
use proptest::prelude::*;
use serde_json::json;
use support::covers::covers_with_costs;
use support::folder::Folder;
use support::house::{house, house_with_hours};
use support::{options, page_of};

const HOSTILE: &str =
    "</title><script>alert(\"1\")</script> & 'x' \u{0}\u{1b}[31m \u{202e}evil</svg>";

#[test]
fn hostile_texts_stay_texts() {
    let mut folder = covers_with_costs();
    folder.manifest["title"] = json!(HOSTILE);
    folder.manifest["weather"][0]["credit"] = json!(HOSTILE);
    folder.manifest["weather"][0]["place"] = json!(HOSTILE);
    folder.manifest["defaults_used"][0]["source"] = json!(HOSTILE);
    folder.manifest["cautions"][0] = json!(HOSTILE);
    for table in ["cases", "frost_risk", "drivers", "costs"] {
        let table = folder.table(table);
        let texts: Vec<usize> = (0..table.columns.len())
            .filter(|&index| table.columns[index].1 == "text")
            .collect();
        for row in &mut table.rows {
            for &index in &texts {
                let is_key = ["status", "weather_file", "measure"]
                    .contains(&table.columns[index].0.as_str());
                if !is_key {
                    row[index] = format!("{HOSTILE}{}", row[index]);
                }
            }
        }
    }
    let written = folder.write();
    let run = read(written.path()).expect("readable");
    let mut options = options(System::Us);
    options.date = HOSTILE.to_owned();
    let html = page(&run, &options);
    let parsed = support::browser::Document::parse(&html);
    assert_eq!(parsed.mistakes, Vec::<String>::new());
    assert!(parsed.all("script").is_empty());
    let heading = parsed.all("h1")[0].text();
    let seen =
        "</title><script>alert(\"1\")</script> & 'x' \u{fffd}\u{fffd}[31m \u{fffd}evil</svg>";
    assert_eq!(heading, seen);
    assert!(parsed.text().matches("alert(\"1\")").count() > 10);
    assert!(!html.chars().any(|c| c.is_control() && c != '\n'));
}

/// Tables with what stands in the page if each is missing.
const TABLES: [&str; 13] = [
    "cases",
    "fuel_use",
    "frost_risk",
    "balance",
    "outages",
    "night",
    "hourly",
    "ranking",
    "compare",
    "drivers",
    "costs",
    "savings",
    "cash_flow",
];

#[test]
fn every_missing_table_is_said_to_be_missing() {
    let gaps = |folder: &Folder, name: &str| {
        let page = page_of(folder);
        let named = |gap: &support::browser::Element| {
            gap.text().contains("Not in this report")
                && gap.all("code").iter().any(|code| code.text() == name)
        };
        page.gaps().iter().filter(|gap| named(gap)).count()
    };
    for name in TABLES {
        let whole = [house_with_hours(), covers_with_costs()];
        let Some(whole) = whole
            .into_iter()
            .find(|folder| folder.tables.iter().any(|t| t.name == name))
        else {
            panic!("{name} is in no folder of the tests");
        };
        assert_eq!(gaps(&whole, name), 0, "{name} is there");
        assert!(
            gaps(&whole.clone().without(name), name) >= 1,
            "{name} is missing"
        );
        let mut empty = whole;
        empty.table(name).rows.clear();
        assert!(gaps(&empty, name) >= 1, "{name} is empty");
    }
}

#[test]
fn a_manifest_alone_makes_a_page() {
    let mut folder = house();
    folder.tables.clear();
    let page = page_of(&folder);
    assert_eq!(page.mistakes, Vec::<String>::new());
    assert!(page.gaps().len() >= 8);
    assert!(page.text().contains("An invented caution."));
    assert!(page.text().contains("Weather made up for a test"));
}

#[test]
fn empty_columns_are_no_error() {
    for folder in [house_with_hours(), covers_with_costs()] {
        for table in 0..folder.tables.len() {
            for column in 0..folder.tables[table].columns.len() {
                let mut changed = folder.clone();
                for row in &mut changed.tables[table].rows {
                    row[column].clear();
                }
                assert_eq!(page_of(&changed).mistakes, Vec::<String>::new());
            }
        }
    }
}

#[test]
fn failed_cases_are_told_with_their_reason() {
    let mut folder = covers_with_costs();
    folder.table("cases").rows[4][5] = "failed".to_owned();
    folder.table("cases").rows[4][6] = "the invented reason".to_owned();
    let text = page_of(&folder).text();
    assert!(
        text.contains("1 case of 12 could not be computed"),
        "{text}"
    );
    assert!(text.contains("case 5, the invented reason"), "{text}");
}

fn error_of(folder: &Path) -> ReportError {
    read(folder).expect_err("no report")
}

#[test]
fn a_folder_without_a_manifest_is_no_finished_run() {
    let folder = tempfile::tempdir().expect("a folder");
    let error = error_of(folder.path());
    assert!(
        matches!(error, ReportError::NoFinishedRun { .. }),
        "{error}"
    );
    assert!(error.to_string().contains("manifest.json is missing"));
}

#[test]
fn tables_of_another_version_are_refused() {
    for (key, value) in [
        ("version", "99.1.0"),
        ("program", "another"),
        ("version", ""),
    ] {
        let mut folder = house();
        folder.manifest[key] = json!(value);
        let error = error_of(folder.write().path());
        assert!(matches!(error, ReportError::OtherVersion { .. }), "{error}");
        assert!(
            error.to_string().contains("run the scenario again"),
            "{error}"
        );
    }
}

#[test]
fn a_later_fix_of_the_same_version_is_read() {
    let mut folder = house();
    let (series, _) = env!("CARGO_PKG_VERSION")
        .rsplit_once('.')
        .expect("three numbers");
    folder.manifest["version"] = json!(format!("{series}.999"));
    assert!(read(folder.write().path()).is_ok());
}

#[test]
fn a_broken_manifest_is_told_with_its_line() {
    let folder = house().write();
    fs::write(
        folder.path().join("manifest.json"),
        "{\n  \"program\": 3\n}",
    )
    .expect("written");
    let error = error_of(folder.path()).to_string();
    assert!(error.contains("manifest.json: line 2"), "{error}");
}

#[test]
fn a_cell_that_is_no_number_is_told_with_line_and_column() {
    let mut folder = house();
    folder.table("fuel_use").rows[1][6] = "much".to_owned();
    let error = error_of(folder.write().path()).to_string();
    assert!(
        error.contains("fuel_use.csv: line 3, column heat_kwh: \"much\" is no number"),
        "{error}"
    );
    assert!(error.contains("a number in kWh"), "{error}");
}

#[test]
fn a_row_that_is_too_short_is_told_with_its_line() {
    let folder = house().write();
    let path = folder.path().join("frost_risk.csv");
    let text = fs::read_to_string(&path).expect("there");
    fs::write(&path, format!("{text}1,short\n")).expect("written");
    let error = error_of(folder.path()).to_string();
    assert!(
        error.contains("frost_risk.csv: line 4: 2 cells, where the header has"),
        "{error}"
    );
}

#[test]
fn bytes_that_are_no_text_are_told_with_their_line() {
    let folder = house().write();
    let path = folder.path().join("night.csv");
    fs::write(&path, b"case_id,failure\n1,\xff\xfe\n").expect("written");
    let error = error_of(folder.path()).to_string();
    assert!(error.contains("night.csv: line 2: not in UTF-8"), "{error}");
}

/// A cell that nobody expects.
fn odd_cell() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        Just("0".to_owned()),
        Just("-1".to_owned()),
        Just("1".to_owned()),
        Just("NaN".to_owned()),
        Just("inf".to_owned()),
        Just("1e308".to_owned()),
        Just("-1e308".to_owned()),
        Just("1e-320".to_owned()),
        Just("13".to_owned()),
        Just("done".to_owned()),
        any::<f64>().prop_map(|value| value.to_string()),
        ".{0,12}",
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn no_text_in_a_file_makes_the_reader_panic(
        table in 0..TABLES.len(),
        text in "(.|\n|,|\"){0,200}",
        manifest in any::<bool>(),
    ) {
        let folder = house_with_hours().write();
        let name = if manifest { "manifest.json".to_owned() } else { format!("{}.csv", TABLES[table]) };
        fs::write(folder.path().join(name), text).expect("written");
        if let Ok(run) = read(folder.path()) {
            page(&run, &options(System::Us));
        }
    }

    #[test]
    fn no_cells_make_the_page_panic_or_break(
        is_house in any::<bool>(),
        changes in prop::collection::vec((any::<usize>(), any::<usize>(), any::<usize>(), odd_cell()), 1..60),
        system in prop::sample::select(vec![System::Us, System::Si]),
    ) {
        let mut folder = if is_house { house_with_hours() } else { covers_with_costs() };
        for (table, row, column, cell) in changes {
            let tables = folder.tables.len();
            let table = &mut folder.tables[table % tables];
            let (rows, columns) = (table.rows.len(), table.columns.len());
            table.rows[row % rows][column % columns] = cell;
        }
        let written = folder.write();
        if let Ok(run) = read(written.path()) {
            let html = page(&run, &options(system));
            let parsed = support::browser::Document::parse(&html);
            prop_assert_eq!(&parsed.mistakes, &Vec::<String>::new());
            prop_assert!(!html.contains("=\"NaN"));
        }
    }
}

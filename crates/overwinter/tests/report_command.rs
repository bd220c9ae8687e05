//! `report` on what `run` wrote: the page stands beside the tables, and says what they say.

mod support;

use std::fs;
use std::path::PathBuf;

use overwinter::Exit;
use support::{Ended, overwinter, weather};
use tempfile::TempDir;

/// An unheated and a heated house, under a title that a page must not obey.
fn finished() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let text = format!(
        r#"
title = "<b onload='x'>Two \"houses\" & a tunnel"
weather.file = "{}"
house = {{ width = "30 ft", length = "96 ft" }}
cover.roof = "inflated pair"
crop.kind = "salad greens"
prices.propane = "2.10 USD/gal"
outages.run = false
heater = {{ fuel = "propane", output = "300 kBtu/h" }}
[[axis]]
name = "hold"
key = "hold.temp"
values = ["40 degF", "50 degF"]
"#,
        weather("725300-chicago-ohare-il-tmy3.epw")
    );
    fs::write(folder.path().join("houses.toml"), text).expect("written");
    let [file, out] = ["houses.toml", "out"].map(|name| path(&folder, name).display().to_string());
    let ran = overwinter(&["run", &file, "--out", &out, "--quiet"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    folder
}

fn path(folder: &TempDir, name: &str) -> PathBuf {
    folder.path().join(name)
}

fn report(folder: &TempDir, more: &[&str]) -> Ended {
    let out = path(folder, "out").display().to_string();
    let mut arguments = vec!["report", &out];
    arguments.extend(more);
    overwinter(&arguments)
}

#[test]
fn a_finished_run_becomes_a_page_beside_its_tables() {
    let folder = finished();
    let written = report(&folder, &[]);
    assert_eq!(written.exit, Exit::Done, "{}", written.err);
    assert!(written.out.contains("report.html"), "{}", written.out);
    let page = fs::read_to_string(path(&folder, "out/report.html")).expect("a page");
    assert!(page.starts_with("<!DOCTYPE html>"), "{}", &page[..200]);
    assert!(
        page.contains("Two &quot;houses&quot; &amp; a tunnel"),
        "escaped"
    );
    assert!(!page.contains("<b onload"), "the title is obeyed");
    // The fuel of a case as the table has it, to three figures.
    let table = fs::read(path(&folder, "out/fuel_use.csv")).expect("a table");
    let mut rows = csv::Reader::from_reader(table.as_slice());
    let names = rows.headers().expect("names").clone();
    let at = names
        .iter()
        .position(|name| name == "fuel_used_in_fuel_unit")
        .expect("a column");
    let first = rows.records().next().expect("a row").expect("cells");
    let gallons: f64 = first[at].parse().expect("gallons");
    let three = (gallons / 10.0).round() * 10.0;
    assert!((1000.0..9999.0).contains(&three), "{three}");
    let shown = format!("{},{:03}", three as u32 / 1000, three as u32 % 1000);
    assert!(
        page.contains(&shown),
        "{shown} of {gallons} is not on the page"
    );
    let si = path(&folder, "si.html").display().to_string();
    assert_eq!(
        report(&folder, &["--units", "si", "--out", &si]).exit,
        Exit::Done
    );
    assert_ne!(fs::read_to_string(si).expect("a page"), page);
}

#[test]
fn one_command_runs_a_scenario_and_writes_its_page_with_every_hour() {
    let folder = finished();
    let page = path(&folder, "out/report.html");
    assert!(!page.exists());
    let [file, out] = ["houses.toml", "out"].map(|name| path(&folder, name).display().to_string());
    let without = overwinter(&["report", &out]);
    assert_eq!(without.exit, Exit::Done, "{}", without.err);
    let command = "overwinter run houses.toml --report --force --out";
    let told = fs::read_to_string(&page).expect("a page");
    assert_eq!(told.matches(command).count(), 2, "curve and coldest night");
    let ran = overwinter(&["run", &file, "--report", "--force", "--out", &out]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    assert!(ran.out.contains("report.html. Open it"), "{}", ran.out);
    let told = fs::read_to_string(&page).expect("a page");
    assert!(!told.contains(command));
    for title in ["Load-duration curve:", "The day around the coldest hour"] {
        assert!(told.contains(title), "{title}");
    }
    let refused = overwinter(&["run", &file, "--report", "--shard", "1/2", "--out", &out]);
    assert_eq!(refused.exit, Exit::BadInput);
}

#[test]
fn a_page_is_not_written_over_and_goes_with_the_results_it_was_made_from() {
    let folder = finished();
    assert_eq!(report(&folder, &[]).exit, Exit::Done);
    let before = fs::read(path(&folder, "out/report.html")).expect("a page");
    let refused = report(&folder, &["--units", "si"]);
    assert_eq!(refused.exit, Exit::BadInput);
    assert!(
        refused.err.contains("report.html is there already"),
        "{}",
        refused.err
    );
    assert_eq!(
        fs::read(path(&folder, "out/report.html")).expect("a page"),
        before
    );
    assert_eq!(
        report(&folder, &["--units", "si", "--force"]).exit,
        Exit::Done
    );
    assert_ne!(
        fs::read(path(&folder, "out/report.html")).expect("a page"),
        before
    );
    // Other results take the page of the old ones away.
    let [file, out] = ["houses.toml", "out"].map(|name| path(&folder, name).display().to_string());
    let again = overwinter(&["run", &file, "--out", &out, "--quiet", "--force"]);
    assert_eq!(again.exit, Exit::Done, "{}", again.err);
    assert!(!path(&folder, "out/report.html").exists());
}

#[test]
fn a_folder_without_a_finished_run_is_named_with_the_remedy() {
    let folder = tempfile::tempdir().expect("a folder");
    let refused = report(&folder, &[]);
    assert_eq!(refused.exit, Exit::BadInput);
    for wanted in ["no finished run here", "manifest.json is missing", "--out"] {
        assert!(refused.err.contains(wanted), "{wanted}: {}", refused.err);
    }
    assert!(!path(&folder, "out").exists());
    // A page in a folder that is not there leaves nothing behind.
    let folder = finished();
    let nowhere = path(&folder, "none/page.html").display().to_string();
    let refused = report(&folder, &["--out", &nowhere]);
    assert_eq!(refused.exit, Exit::BadInput);
    assert!(refused.err.contains("cannot be written"), "{}", refused.err);
}

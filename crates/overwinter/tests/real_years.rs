//! Several calendar years of one place on an axis, from files to the table of the worst of them.

mod support;

use std::fs;
use std::path::Path;

use overwinter::Exit;
use support::{overwinter, weather};

/// Rows before the hours in a shipped file.
const HEADER_ROWS: usize = 8;
/// Columns of the dry bulb and the dew point.
const TEMPERATURES: [usize; 2] = [6, 7];

/// The shipped Chicago file as one calendar year, with temperatures moved by some kelvins.
fn year(folder: &Path, year: i32, moved_k: f64) -> String {
    let shipped = fs::read_to_string(weather("725300-chicago-ohare-il-tmy3.epw")).expect("shipped");
    let hour = |row: &str| {
        let mut cells: Vec<String> = row.split(',').map(str::to_owned).collect();
        cells[0] = year.to_string();
        for at in TEMPERATURES {
            let degc: f64 = cells[at].parse().expect("a temperature");
            cells[at] = format!("{:.1}", degc + moved_k);
        }
        cells.join(",")
    };
    let rows = shipped.lines().enumerate().map(|(at, row)| match at {
        header if header < HEADER_ROWS => row.to_owned(),
        _ => hour(row),
    });
    let path = folder.join(format!("{year}.epw"));
    fs::write(&path, rows.collect::<Vec<_>>().join("\n")).expect("written");
    path.display().to_string()
}

/// A column of a CSV table by the name in its first line.
fn column(text: &str, name: &str) -> Vec<String> {
    let mut table = csv::Reader::from_reader(text.as_bytes());
    let names = table.headers().expect("names").clone();
    let at = names.iter().position(|found| found == name).expect(name);
    let cell = |row: csv::Result<csv::StringRecord>| row.expect("a row")[at].to_owned();
    table.records().map(cell).collect()
}

#[test]
fn the_worst_of_many_years_is_named_and_the_typical_one_left_out() {
    let folder = tempfile::tempdir().expect("a folder");
    let typical = weather("725300-chicago-ohare-il-tmy3.epw");
    let mut files = vec![typical.clone()];
    for (of, moved_k) in [(1997, 2.0), (1998, -5.0), (1999, 0.0)] {
        files.push(year(folder.path(), of, moved_k));
    }
    let text = format!(
        r#"
weather.file = "{typical}"
house = {{ width = "30 ft", length = "96 ft" }}
cover.roof = "inflated pair"
crop.kind = "salad greens"
outages.run = false
[[axis]]
name = "year"
key = "weather.file"
values = {files:?}
[[axis]]
name = "cover"
key = "cover.roof"
values = ["single film", "inflated pair"]
"#
    );
    let file = folder.path().join("years.toml");
    fs::write(&file, text).expect("written");
    let out = folder.path().join("out");
    let [file, folder] = [&file, &out].map(|path| path.display().to_string());
    let ran = overwinter(&["run", &file, "--out", &folder]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let read = |name: &str| fs::read_to_string(out.join(name)).expect(name);
    let shown = ran.out.split("Worst of several years").nth(1);
    let shown = shown.unwrap_or_else(|| panic!("{}", ran.out));
    let line = shown.lines().find(|line| line.contains("single film"));
    let line = line.unwrap_or_else(|| panic!("{shown}"));
    let words: Vec<&str> = line.split_whitespace().collect();
    assert!(
        words.windows(3).any(|three| three == ["3", "3", "1998"]),
        "{line}"
    );

    let worst = read("worst_years.csv");
    let covers = column(&worst, "axis_cover");
    let rows = covers.len();
    assert!(rows >= 2, "{worst}");
    assert_eq!(covers[0], "single film");
    assert_eq!(column(&worst, "years"), vec!["3"; rows]);
    assert_eq!(column(&worst, "worst_year"), vec!["1998"; rows], "{worst}");
    // Cases run cover within year: the second file after the typical one is cases 5 and 6.
    let first_case = |cover: &String| if cover == "single film" { "5" } else { "6" };
    let wanted: Vec<&str> = covers.iter().map(first_case).collect();
    assert_eq!(column(&worst, "worst_first_case_id"), wanted);
    // What it says of the worst year is what the table of that case says.
    let risk = read("frost_risk.csv");
    let years = column(&risk, "weather_year");
    assert_eq!(
        years.iter().filter(|year| *year == "typical").count() * 4,
        years.len()
    );
    let cases = column(&risk, "case_id");
    let lows = column(&risk, "lowest_leaf_degc");
    for (at, case) in wanted.iter().enumerate() {
        let of_case = cases.iter().position(|found| found == case).expect("a row");
        assert_eq!(column(&worst, "worst_lowest_degc")[at], lows[of_case]);
    }
    // Unheated, a year that is 5 K colder all through freezes for longer than the middle one.
    let hours = |name: &str| -> Vec<f64> {
        let cells = column(&worst, name).into_iter();
        cells.map(|cell| cell.parse().expect("hours")).collect()
    };
    // A house without heaters costs no fuel, and is not left out for want of a price.
    let compare = read("compare.csv");
    let measures = column(&compare, "measure");
    let at = measures.iter().position(|measure| measure == "fuel cost");
    let at = at.expect("compared by the cost of fuel");
    assert_eq!(column(&compare, "a_median")[at], "0.0");
    let (worst_h, median_h) = (hours("worst_below_h"), hours("median_below_h"));
    assert!(worst_h.iter().zip(&median_h).all(|(a, b)| a > b), "{worst}");
}

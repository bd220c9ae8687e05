//! What designs cost and save over the years, from a scenario file to the tables and the page.

mod support;

use std::fs;
use std::path::Path;

use overwinter::Exit;
use support::{Ended, Row, number, overwinter, table, weather};

const HOUSE: &str = r#"
title = "Film or sheet"
weather.file = "WEATHER"
house = { width = "30 ft", length = "96 ft" }
cover.roof = "inflated pair"
hold.temp = "45 degF"
outages.run = false
[[heater]]
fuel = "propane"
output = "300 kBtu/h"
[prices]
propane = "2.00 USD/gal"
electricity = "0.15 USD/kWh"
[money]
years = 10
rate = "0 %"
[money.parts.cover]
cost = "900 USD"
life = 4
"#;

const SHEET: &str = r#"
[[axis]]
name = "cover"
[[axis.alternative]]
label = "film"
set = {}
[[axis.alternative]]
label = "sheet"
set = { "cover.roof" = "twin-wall sheet 8 mm", "money.parts.cover" = { cost = "5900 USD", life = 20 } }
"#;

/// A scenario run into a folder.
fn ran(folder: &Path, text: &str, more: &[&str]) -> Ended {
    let text = text.replace("WEATHER", &weather("725300-chicago-ohare-il-tmy3.epw"));
    let file = folder.join("house.toml");
    fs::write(&file, text).expect("written");
    let out = folder.join("out");
    let [file, out] = [&file, &out].map(|path| path.display().to_string());
    overwinter(&[&["run", &file, "--out", &out], more].concat())
}

/// At a rate of 0 % every sum follows from fuel and prices by hand: films at 900 in years 0, 4 and 8, half of
/// the last one left after ten years, and half of the sheet.
#[test]
fn savings_follow_from_the_fuel_and_the_prices() {
    let folder = tempfile::tempdir().expect("a folder");
    let done = ran(folder.path(), &format!("{HOUSE}{SHEET}"), &["--report"]);
    assert_eq!(done.exit, Exit::Done, "{}", done.err);
    let year = |case: &str, column: &str| -> f64 {
        let rows = table(folder.path(), "fuel_use");
        let is_year = |row: &&Row| row["case_id"] == case && row["month"] == "0";
        let row = rows.iter().find(is_year).expect("a year");
        number(row, column)
    };
    let cost = |case: &str| {
        year(case, "fuel_cost_in_currency") + year(case, "electricity_cost_in_currency")
    };
    let saved = cost("1") - cost("2");
    assert!(saved > 100.0, "{saved}");

    let savings = table(folder.path(), "savings");
    let of = |measure: &str, carrier: &str| {
        let is = |row: &&Row| row["measure"] == measure && row["carrier"] == carrier;
        savings
            .iter()
            .find(is)
            .unwrap_or_else(|| panic!("{measure}"))
    };
    let near = |measure: &str, carrier: &str, expected: f64| {
        let found = number(of(measure, carrier), "median");
        let off = (found - expected).abs();
        assert!(
            off <= 1e-6 * expected.abs().max(1.0),
            "{measure}: {found} for {expected}"
        );
    };
    near("energy cost", "all carriers", saved);
    near("saved in year 1", "", saved);
    near("extra first cost", "", 5000.0);
    let net = 10.0 * saved + 2.0 * 900.0 - 450.0 + 2950.0 - 5000.0;
    near("net saving", "", net);
    let gallons = year("1", "fuel_used_in_fuel_unit") - year("2", "fuel_used_in_fuel_unit");
    near("amount", "propane", gallons);

    // The table of costs adds up to the same, case by case.
    let costs = table(folder.path(), "costs");
    let life_cycle = |case: &str| {
        let is = |row: &&Row| row["case_id"] == case && row["item_is"] == "life-cycle cost";
        number(
            costs.iter().find(is).expect("a sum"),
            "present_value_in_currency",
        )
    };
    assert!((life_cycle("1") - life_cycle("2") - net).abs() < 1e-6 * net.abs().max(1.0));
    // And the years end at what is saved without what is left of the covers.
    let flow = table(folder.path(), "cash_flow");
    let last = flow
        .iter()
        .rfind(|row| row["design"] == "sheet")
        .expect("a last year");
    let so_far = number(last, "saved_so_far_in_currency");
    assert!((so_far - (10.0 * saved + 1800.0 - 5000.0)).abs() < 1e-6 * so_far.abs().max(1.0));

    assert!(done.out.contains("Money"), "{}", done.out);
    assert!(done.out.contains("no saving is promised"), "{}", done.out);
    let page = fs::read_to_string(folder.path().join("out/report.html")).expect("a page");
    assert!(page.contains("payback") && page.contains("</html>"));
}

#[test]
fn a_house_alone_has_costs_and_nothing_to_save_against() {
    let folder = tempfile::tempdir().expect("a folder");
    let done = ran(folder.path(), HOUSE, &[]);
    assert_eq!(done.exit, Exit::Done, "{}", done.err);
    assert!(!folder.path().join("out/savings.csv").exists());
    assert_eq!(table(folder.path(), "cash_flow").len(), 11);
    assert!(done.out.contains("USD over 10 years"), "{}", done.out);
}

#[test]
fn without_money_no_table_of_it_is_written() {
    let folder = tempfile::tempdir().expect("a folder");
    let (house, _) = HOUSE.split_once("[money]").expect("it counts money");
    let done = ran(folder.path(), house, &[]);
    assert_eq!(done.exit, Exit::Done, "{}", done.err);
    for name in ["costs", "savings", "cash_flow"] {
        assert!(
            !folder.path().join(format!("out/{name}.csv")).exists(),
            "{name}"
        );
    }
}

#[test]
fn money_that_cannot_be_counted_is_refused_with_its_line() {
    for (old, new, wanted) in [
        ("propane = \"2.00 USD/gal\"\n", "", "prices.propane"),
        ("life = 4", "life = 0", "money.parts.cover.life"),
        ("years = 10", "years = 0", "money.years"),
        ("900 USD", "900 EUR", "money.parts.cover.cost"),
    ] {
        let folder = tempfile::tempdir().expect("a folder");
        let done = ran(folder.path(), &HOUSE.replace(old, new), &[]);
        assert_eq!(done.exit, Exit::BadInput, "{new}: {}", done.out);
        assert!(
            done.err.contains(&format!("`{wanted}`")),
            "{new}: {}",
            done.err
        );
        assert!(!folder.path().join("out").exists(), "{new}");
    }
}

fn screen(more: &str) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let done = ran(folder.path(), &format!("{HOUSE}{more}"), &[]);
    assert_eq!(done.exit, Exit::Done, "{}", done.err);
    done.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A heater of a tenth burns less because the house gets colder: that is no saving.
#[test]
fn a_heater_that_is_too_small_is_told_beside_what_it_saves() {
    let screen = screen(
        r#"
[[axis]]
name = "heater"
key = "heater.1.output"
values = ["300 kBtu/h", "20 kBtu/h"]
"#,
    );
    assert!(
        screen.contains("20 kBtu/h: the heater is too small for it"),
        "{screen}"
    );
}

#[test]
fn terms_that_differ_are_not_told_as_those_of_the_first_case() {
    let screen = screen(&format!(
        "{SHEET}{}",
        r#"
[[axis]]
name = "horizon"
key = "money.years"
values = [10, 25]
[compare]
designs = ["cover"]
"#
    ));
    assert!(
        screen.contains("years and at rates that differ from case to case"),
        "{screen}"
    );
}

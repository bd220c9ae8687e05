//! Runs that differ from the usual: no heater, two fuels, the other half of the earth, many designs.

mod support;

use serde_json::json;
use support::covers::covers;
use support::house::house;
use support::page_of;

#[test]
fn a_house_without_heat_has_no_fuel_to_tell_of() {
    let mut folder = house();
    for row in &mut folder.table("fuel_use").rows {
        for column in [6, 7, 8, 9, 11, 13, 18, 22, 23] {
            row[column] = "0".to_owned();
        }
    }
    for row in &mut folder.table("balance").rows {
        row[2] = "0".to_owned();
    }
    let page = page_of(&folder);
    let text = page.text();
    assert!(
        text.contains("No heater gave heat, so no fuel was used."),
        "{text}"
    );
    assert!(text.contains("No heater gave heat in the year"), "{text}");
    assert!(text.contains("The house has no heater."), "{text}");
    // Without a heater the paths of heat are those of the whole year: 90,000 + 10,000 kWh of sun.
    let paths = page.table("Heat by path in the whole year");
    assert!(
        paths.iter().any(|row| row[1] == "341 (100,000)"),
        "{paths:?}"
    );
}

#[test]
fn a_house_with_two_fuels_is_counted_in_energy() {
    let mut folder = house();
    let rows = &mut folder.table("fuel_use").rows;
    for row in rows.iter_mut() {
        row[3] = "several".to_owned();
        row[7] = String::new();
        row[23] = String::new();
    }
    for (fuel, unit, amount, cost) in [
        ("propane", "gal", "500.4", "1000.6"),
        ("oil", "gal", "70.5", "211.4"),
    ] {
        let mut row = rows[0].clone();
        row[2] = "fuel".to_owned();
        row[3] = fuel.to_owned();
        row[4] = unit.to_owned();
        row[7] = amount.to_owned();
        row[9] = cost.to_owned();
        rows.push(row);
    }
    let page = page_of(&folder);
    assert_eq!(page.table("Fuel by month, MMBtu").len(), 6);
    assert_eq!(
        page.table("Fuel by fuel")[1..],
        [
            ["propane", "500 gal", "1,000 USD"],
            ["oil", "70.5 gal", "211 USD"]
        ]
    );
    assert!(page.table("The heating season")[1][0].starts_with("All fuels"));
}

#[test]
fn south_of_the_equator_the_season_begins_in_january() {
    let months = |latitude: f64| {
        let mut folder = house();
        folder.manifest["weather"][0]["latitude_deg"] = json!(latitude);
        let table = page_of(&folder).table("Propane by month");
        table
            .iter()
            .skip(1)
            .map(|row| row[0].clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(months(42.0), ["Nov", "Dec", "Jan", "Feb", "year"]);
    assert_eq!(months(-42.0), ["Jan", "Feb", "Nov", "Dec", "year"]);
}

#[test]
fn of_many_designs_the_best_and_the_baseline_are_shown() {
    // Ten covers with one case each; cover 1 is the baseline and the last in the ranking.
    let mut folder = covers().without("drivers");
    folder.manifest["draws"] = json!(1);
    for table in &mut folder.tables {
        table.rows.truncate(1);
        let first = table.rows[0].clone();
        for number in 2..=10 {
            table.rows.push(first.clone());
            let row = &mut table.rows[number - 1];
            match table.name.as_str() {
                "cases" => (row[0], row[1]) = (number.to_string(), format!("cover {number}")),
                "fuel_use" | "frost_risk" => row[0] = number.to_string(),
                "ranking" => {
                    row[1] = format!("cover {number}");
                    row[2] = number.to_string();
                    row[15] = (11 - number).to_string();
                }
                _ => {
                    row[1] = format!("cover {number}");
                    row[2] = number.to_string();
                }
            }
        }
        if table.name == "ranking" {
            table.rows[0][15] = "10".to_owned();
        }
    }
    let page = page_of(&folder);
    let ranked: Vec<String> = page
        .table("Fuel and electricity cost of the year")
        .iter()
        .skip(1)
        .map(|row| row[0].clone())
        .collect();
    assert_eq!(
        ranked,
        [
            "single film",
            "cover 6",
            "cover 7",
            "cover 8",
            "cover 9",
            "cover 10"
        ]
    );
    let text = page.text();
    assert!(text.contains("4 more stand in the table ranking"), "{text}");
}

#[test]
fn of_many_climates_the_first_are_shown() {
    let mut folder = covers();
    for row in &mut folder.table("cases").rows {
        row[2] = format!("climate {}", row[0]);
    }
    let text = page_of(&folder).text();
    assert!(
        text.contains("8 more climates or settings of the run are not shown"),
        "{text}"
    );
}

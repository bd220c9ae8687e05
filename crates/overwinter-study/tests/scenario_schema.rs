//! The JSON Schema of the scenario file: as the reader has it, well formed, and true to scenarios.

#![allow(missing_docs, reason = "a test target")]

mod json_schema;

use std::fs;
use std::path::{Path, PathBuf};

use json_schema::{complaints, defects};
use overwinter_study::scenario::starter_text;
use overwinter_study::schema::scenario_schema;
use serde_json::Value;

/// Set to write the schema anew instead of comparing it.
const RENEW: &str = "OVERWINTER_RENEW_SCHEMA";

fn scenarios() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../scenarios")
}

fn schema() -> Value {
    serde_json::from_str(&scenario_schema()).expect("JSON")
}

fn complaints_about(text: &str) -> Vec<String> {
    let scenario: Value = toml::from_str(text).expect("TOML");
    complaints(&schema(), &scenario)
}

#[test]
fn the_committed_schema_is_the_readers() {
    let path = scenarios().join("scenario.schema.json");
    let fresh = scenario_schema();
    if std::env::var_os(RENEW).is_some() {
        fs::write(&path, &fresh).expect("written");
    }
    let committed = fs::read_to_string(&path).expect("the committed schema");
    assert!(
        committed.replace("\r\n", "\n") == fresh,
        "the reader has changed; renew the schema with\n  \
         {RENEW}=1 cargo test -p overwinter-study --test scenario_schema"
    );
}

#[test]
fn the_schema_is_well_formed() {
    assert_eq!(defects(&schema()), Vec::<String>::new());
}

#[test]
fn shipped_scenarios_the_starter_and_every_key_fit() {
    let mut texts = vec![
        ("the starter".to_owned(), starter_text("Starter")),
        (
            "every key".to_owned(),
            include_str!("every_key.toml").to_owned(),
        ),
    ];
    for entry in fs::read_dir(scenarios()).expect("the folder of scenarios") {
        let path = entry.expect("an entry").path();
        if path.extension().is_some_and(|ext| ext == "toml") {
            let text = fs::read_to_string(&path).expect("a scenario");
            texts.push((path.display().to_string(), text));
        }
    }
    assert!(texts.len() > 5, "{}", texts.len());
    for (name, text) in texts {
        assert_eq!(complaints_about(&text), Vec::<String>::new(), "{name}");
    }
}

#[test]
fn other_ways_to_write_a_value_fit() {
    let texts = [
        "house.width = \"30 ft 6 in\"",
        "house.width = \" −0.5e1 m\"",
        "house.frame_shade = \"7 %\"",
        "house.frame_shade = 0.07",
        "floor.edge_insulation = \"R-10\"",
        "floor.edge_insulation = \"1.8 m2K/W\"",
        "floor.layer = { solid = \"gravel\", thickness = \"5 cm\" }",
        "floor.underside = \"outdoor air\"",
        "leakage.leak_area = \"500 cm2\"",
        "leakage.air_change = { day = \"0.5 1/h\" }",
        "prices.natural_gas = \"$1.20/therm\"",
        "cover.roof = \"a cover of this file\"",
        "surfaces.inside = \"calculated\"",
    ];
    for text in texts {
        assert_eq!(complaints_about(text), Vec::<String>::new(), "{text}");
    }
}

#[test]
fn slips_are_seen() {
    let slips = [
        ("hose.width = \"30 ft\"", "hose"),
        ("house.widht = \"30 ft\"", "widht"),
        ("house.width = 30", "house.width"),
        ("house.width = \"30\"", "house.width"),
        ("house.shape = \"dome\"", "house.shape"),
        ("house.frame_shade = 7", "house.frame_shade"),
        ("vents.present = \"yes\"", "vents.present"),
        ("crop.kind = \"seaweed\"", "crop.kind"),
        ("hold.temp = { days = \"5 degC\" }", "hold.temp"),
        ("hold.temp = { day = [\"06:30 5 degC\"] }", "hold.temp"),
        ("hold.temp = { day = [] }", "hold.temp"),
        ("prices.propane = \"2.10\"", "prices.propane"),
        ("[[heater]]\nfule = \"propane\"", "heater"),
        (
            "[[own_cover]]\n[[own_cover.layer]]\nspace.gap = 5",
            "own_cover",
        ),
        ("title = \" \"", "title"),
    ];
    for (text, wanted) in slips {
        let found = complaints_about(text);
        assert!(
            found.iter().any(|complaint| complaint.contains(wanted)),
            "{text}: {found:?}"
        );
    }
}

//! Whole seasons of the engine through [`run_study`].

use std::path::Path;

use overwinter_engine::house::{Facet, Layer, Outside, Section, SolarOptics, Solid, Wall, Wetting};

use super::*;
use crate::case::Climate;
use crate::handmade;

/// A single-film house of 100 m2 with a cool hold temperature, in a real year.
fn study(cases: usize) -> Study {
    let mut study = handmade::study(cases);
    study.climates = vec![golden()];
    study.wants_hourly = true;
    for case in &mut study.cases {
        let mut house = film_house();
        house.volume_m3 += 10.0 * case.id as f64;
        case.house = Arc::new(house);
    }
    study
}

fn golden() -> Climate {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../weather/724666-golden-co-tmy3.csv");
    Climate {
        year: Arc::new(overwinter_weather::read_file(&path).expect("a shipped file")),
        path,
        written: "golden.csv".to_owned(),
        sha256: String::new(),
    }
}

fn film_house() -> House {
    let mut house = handmade::house();
    house.sections = vec![roof()];
    house.walls = vec![end_wall()];
    for column in &mut house.floor.columns {
        column.solids = vec![soil(0.05), soil(0.2), soil(0.5)];
        column.sideways_w_m2k = vec![0.0; 3];
    }
    house
}

fn roof() -> Section {
    let side = |azimuth_deg| Facet {
        area_m2: 65.0,
        tilt_deg: 40.0,
        azimuth_deg,
    };
    Section {
        name: "roof".to_owned(),
        facets: vec![side(90.0), side(270.0)],
        layers: vec![Layer {
            name: "film".to_owned(),
            heat_capacity_j_m2k: 350.0,
            longwave_transmittance: 0.5,
            longwave_reflectance: 0.05,
            upper_longwave_reflectance: None,
            solar: SolarOptics::Measured {
                transmittance: 0.88,
                reflectance: 0.08,
            },
            haze: 0.2,
            wetting: Wetting {
                full_cover_kg_m2: 0.05,
                capacity_kg_m2: 0.2,
                drip_share: 0.3,
                light_loss: 0.05,
            },
        }],
        spaces: Vec::new(),
        light_kept_share: 0.95,
        cavity_height_m: 1.0,
        screen: None,
        shading: None,
    }
}

fn end_wall() -> Wall {
    Wall {
        name: "north end".to_owned(),
        facet: Facet {
            area_m2: 20.0,
            tilt_deg: 90.0,
            azimuth_deg: 0.0,
        },
        solids: vec![Solid {
            thickness_m: 0.05,
            conductivity_w_mk: 0.04,
            heat_capacity_j_m3k: 50e3,
            freezing_heat_j_m3: 0.0,
        }],
        outside: Outside::Open,
        solar_absorptance: [0.6, 0.6],
        emissivity: [0.9, 0.9],
    }
}

fn soil(thickness_m: f64) -> Solid {
    Solid {
        thickness_m,
        conductivity_w_mk: 1.2,
        heat_capacity_j_m3k: 2e6,
        freezing_heat_j_m3: 0.0,
    }
}

#[test]
fn seasons_are_the_same_to_the_bit_for_any_number_of_threads() {
    let study = study(6);
    let tables = |threads| run_study(&study, Some(threads), &|_| ()).tables();
    let one = tables(1);
    assert_eq!(one.len(), 6);
    for threads in [2, 8] {
        // Compared without printing: six tables with every hour of six cases.
        assert!(
            tables(threads) == one,
            "{threads} threads give other tables"
        );
    }
}

#[test]
fn the_tables_agree_with_each_other() {
    let result = run_study(&study(1), Some(1), &|_| ());
    let rows = &result.cases[0];
    assert_eq!(rows.case.reason(), None);
    let heat_j = rows.fuel_use[0].heat_j;
    assert!(heat_j > 0.0, "a film house in Colorado needs heat");
    let ledger_j = rows.balance[0].account.heat_j[0];
    assert!(
        (heat_j / ledger_j - 1.0).abs() < 1e-9,
        "{heat_j} J by heaters, {ledger_j} J by ledger"
    );
    let peak_w = rows.fuel_use[0]
        .house
        .map_or(0.0, |house| house.peak_hour_w);
    // One film of 130 m2 at about 6.5 W/m2K and a wall over some 30 K, plus leaks: tens of kW,
    // and never more than the heater can give.
    assert!(peak_w > 10e3 && peak_w <= 30e3, "{peak_w} W");
    let lowest_air = rows.lowest_air.map(|lowest| lowest.temp_k);
    assert!(
        lowest_air.is_some_and(|air_k| air_k > 263.0),
        "{lowest_air:?}"
    );
}

//! A house of one film in a real year.

use std::path::Path;

use overwinter_engine::house::{
    Facet, House, Layer, Outside, Section, SolarOptics, Solid, Wall, Wetting,
};

use super::house;
use crate::case::Climate;

/// A real year: Golden, Colorado.
pub(crate) fn golden() -> Climate {
    let path =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../weather/724666-golden-co-tmy3.csv");
    let year = overwinter_weather::read_file(&path).expect("a shipped file");
    Climate::new(path, "golden.csv".to_owned(), String::new(), year)
}

/// A house of one film that can be stepped.
pub(crate) fn film_house() -> House {
    let mut house = house();
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
            resistance_m2k_w: 0.0,
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

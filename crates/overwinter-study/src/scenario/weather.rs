//! The `[weather]` table: the file, and what is asked of its year beyond it.

use std::sync::Arc;

use overwinter_units::range;
use overwinter_weather::{Stress, WeatherError};

use crate::climate::{AirFacts, Shelf};
use crate::document::Part;
use crate::stress::refusal;

/// The climate of a case.
pub(super) struct Weather {
    /// Index of the weather file.
    pub(super) climate: usize,
    /// What is asked of its year.
    pub(super) stress: Stress,
    /// Facts of the year under that stress.
    pub(super) facts: Arc<AirFacts>,
}

/// Reads `[weather]`; problems come back as findings.
pub(super) fn read(root: &Part<'_>, shelf: &mut Shelf) -> Option<Weather> {
    let part = root.part("weather");
    if !part.has("file") {
        part.missing("file", "the path of a weather file, relative to this file");
    }
    let found = part.text("file").map(|written| shelf.climate(written));
    if let Some(Err(message)) = &found {
        part.problem("file", message);
    }
    let stress = stress(&part);
    part.finish();
    let climate = found?.ok()?;
    match shelf.facts(climate, &stress) {
        Ok(facts) => Some(Weather {
            climate,
            stress,
            facts,
        }),
        Err(error) => {
            part.problem(key_of(&error), &refusal(&error, &stress));
            None
        }
    }
}

fn stress(part: &Part<'_>) -> Stress {
    let warmer_k = part.quantity("warmer", &range::WARMER);
    let coldest_k = part.quantity("coldest", &range::COLDEST_HOUR);
    let cloudier_nights = part.quantity("cloudier_nights", &range::CLOUDIER_NIGHTS);
    Stress {
        warmer_k: warmer_k.unwrap_or(Stress::NONE.warmer_k),
        coldest_k,
        cloudier_nights: cloudier_nights.unwrap_or(Stress::NONE.cloudier_nights),
    }
}

/// The key to change where a year cannot be put under a stress whose values are in range.
fn key_of(error: &WeatherError) -> &'static str {
    match error {
        WeatherError::NotColder { .. } => "coldest",
        _ => "warmer",
    }
}

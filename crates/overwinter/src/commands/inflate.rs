//! `inflate`: what an inflated cover stands at, what mends it, and how it empties.

use std::path::Path;

use overwinter_study::case::{Case, DefaultUsed};
use overwinter_study::covers;
use overwinter_study::inflate::{self, InflateError};
use overwinter_study::scenario::Checked;

use crate::arguments::InflateArguments;
use crate::exit::{Exit, Stop};
use crate::program::Screen;
use crate::screen::inflate::{Shown, text};

pub(crate) fn inflate(arguments: &InflateArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    let file = &arguments.file;
    for checked in super::read_all(std::slice::from_ref(file), screen)? {
        let case = &*super::case_of(&checked.study, file, arguments.case)?;
        let Some(climate) = checked.study.climates.get(case.climate) else {
            continue;
        };
        let inflated = inflate::inflate(case, &climate.year)
            .map_err(|error| refused(&error, file, &checked, case))?;
        let is_of_inflation = |used: &&DefaultUsed| used.key.starts_with("inflation");
        let defaults = checked.study.defaults.iter().filter(is_of_inflation);
        let shown = Shown {
            study: &checked.study,
            case,
            place: &climate.year.place.name,
            defaults: defaults.cloned().collect(),
            system: arguments.units.into(),
        };
        write!(screen.out, "{}", text(&inflated, &shown))?;
    }
    Ok(Exit::Done)
}

fn refused(error: &InflateError, file: &Path, checked: &Checked, case: &Case) -> Stop {
    let remedy = match error {
        InflateError::NotInflated { .. } => other_covers(checked, case),
        InflateError::Physics { .. } => "Change [inflation] in the scenario file.".to_owned(),
    };
    Stop::Told(format!("{}: {error}\n  {remedy}", file.display()))
}

/// The covers that the house has, and cases that are inflated.
fn other_covers(checked: &Checked, case: &Case) -> String {
    let mut alone = checked.clone();
    alone
        .study
        .cases
        .held_mut()
        .retain(|other| other.id == case.id);
    let covers = covers::of_scenario(&alone);
    let covers: Vec<String> = covers
        .iter()
        .map(|cover| format!("\"{}\" ({})", cover.name, cover.places.join(", ")))
        .collect();
    let has = if covers.is_empty() {
        "It has opaque walls alone".to_owned()
    } else {
        format!("It has {}", covers.join("; "))
    };
    let cases = checked.study.cases.iter();
    let mut inflated = cases.filter(|case| case.house.inflation.is_some());
    match inflated.next() {
        Some(other) => format!(
            "{has}. Case {} is inflated: give --case {}.",
            other.id, other.id
        ),
        None => format!("{has}; an inflated one is \"inflated pair\"."),
    }
}

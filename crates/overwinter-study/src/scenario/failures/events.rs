//! What fails or stands open in the year: `[[event]]`.

use overwinter_engine::events::Event;
use overwinter_engine::failure::{Failure, Tear, TornFilm};
use overwinter_engine::house::Section;
use overwinter_units::{Kind, System, print, range};
use overwinter_weather::year::HOURS;

use super::{Fitted, door, moments, warn};
use crate::document::{Form, Part, not_among};
use crate::scenario::context::Context;

/// What an event can be.
#[derive(Clone, Copy, PartialEq)]
enum What {
    Blower,
    Heater,
    Power,
    Door,
    Tear,
    Screen,
}

const WHATS: [(&str, What); 6] = [
    ("blower stops", What::Blower),
    ("heater stops", What::Heater),
    ("power fails", What::Power),
    ("door open", What::Door),
    ("film torn", What::Tear),
    ("screen stuck", What::Screen),
];

/// Reads `[[event]]`.
pub(super) fn read(context: &Context<'_>, root: &Part<'_>, fitted: Fitted<'_>) -> Vec<Event> {
    let mut events = Vec::new();
    for part in root.parts("event") {
        if !part.has("what") {
            let whats: Vec<_> = WHATS.iter().map(|(word, _)| *word).collect();
            part.missing("what", &format!("what happens: {}", whats.join(", ")));
        }
        let Some(what) = part.word("what", &WHATS) else {
            // What belongs to an unknown event cannot be told.
            part.know_all();
            continue;
        };
        let failures = failures(&part, what, fitted);
        let length_h = moments::length_h(&part);
        let starts_h = starts(context, &part, length_h);
        part.finish();
        let Some(length_h) = length_h else { continue };
        for start_h in starts_h {
            let event = |failure: &Failure| Event {
                failure: *failure,
                start_h,
                length_h,
            };
            events.extend(failures.iter().map(event));
        }
    }
    events
}

/// What fails, with the keys that belong to it.
fn failures(part: &Part<'_>, what: What, fitted: Fitted<'_>) -> Vec<Failure> {
    match what {
        What::Blower => {
            if !fitted.is_inflated() {
                warn(
                    part,
                    "a blower stops, but no cover of this house is inflated".to_owned(),
                );
            }
            vec![Failure::Blower]
        }
        What::Heater => heaters(part, fitted),
        What::Power => vec![Failure::Power],
        What::Door => vec![Failure::Door(door(part))],
        What::Tear => tear(part, fitted).map(Failure::Tear).into_iter().collect(),
        What::Screen => {
            let sections = &fitted.house.sections;
            if sections.iter().all(|section| section.screen.is_none()) {
                warn(
                    part,
                    "a screen is stuck, but this house has none".to_owned(),
                );
            }
            if !part.has("stuck") {
                part.missing("stuck", "\"open\" or \"closed\"");
            }
            let closed = part.word("stuck", &[("open", false), ("closed", true)]);
            let stuck = closed.map(|closed| Failure::Screens { closed });
            stuck.into_iter().collect()
        }
    }
}

/// The heater that is named, else all.
fn heaters(part: &Part<'_>, fitted: Fitted<'_>) -> Vec<Failure> {
    let heaters = &fitted.house.heaters;
    if heaters.is_empty() {
        warn(part, "a heater stops, but this house has none".to_owned());
    }
    part.may_be("heater", || Form::Names(vec!["unit heater".to_owned()]));
    part.note_usual("heater", "all heaters");
    let Some(name) = part.text("heater") else {
        return (0..heaters.len()).map(Failure::Heater).collect();
    };
    let found = heaters.iter().position(|heater| heater.name == name);
    if found.is_none() && !heaters.is_empty() {
        let known = heaters.iter().map(|heater| heater.name.as_str());
        let message = format!("there is no such heater; {}", not_among(name, known));
        part.problem("heater", &message);
    }
    found.map(Failure::Heater).into_iter().collect()
}

fn tear(part: &Part<'_>, fitted: Fitted<'_>) -> Option<Tear> {
    let films = [
        ("outer", TornFilm::Outer),
        ("inner", TornFilm::Inner),
        ("both", TornFilm::Both),
    ];
    let film = part.word_or(
        "film",
        &films,
        TornFilm::Outer,
        "estimate: the weather's side",
    );
    let area_m2 = part.required("area", &range::TEAR_AREA);
    let names = fitted
        .house
        .inflation
        .as_ref()
        .map_or(&[][..], |inflation| inflation.names.as_slice());
    if names.is_empty() && film != TornFilm::Both {
        let warning = "a film of a gap is torn, but no cover of this house is inflated: nothing \
            comes of it; `film = \"both\"` opens the house itself";
        warn(part, warning.to_owned());
    }
    let gap = section(part, names)?;
    let gap_m2 = match &fitted.house.inflation {
        Some(inflation) => inflation.network.sections[gap].area_m2,
        None => fitted.house.sections.iter().map(Section::area_m2).sum(),
    };
    if let Some(area_m2) = area_m2.filter(|area_m2| *area_m2 > gap_m2) {
        let areas = [area_m2, gap_m2].map(|m2| print(m2, Kind::Area, System::Us));
        let [torn, whole] = areas;
        part.problem(
            "area",
            &format!("{torn} are torn of a section of {whole}: give at most that"),
        );
        return None;
    }
    Some(Tear {
        film,
        area_m2: area_m2?,
        gap,
    })
}

/// The section of the inflated cover that is torn, else the first.
fn section(part: &Part<'_>, names: &[String]) -> Option<usize> {
    part.may_be("section", || {
        let names = ["roof and sides", "roof", "sides", "ends"];
        Form::Names(names.map(str::to_owned).into())
    });
    if !part.has("section") {
        if let Some(first) = names.first() {
            part.note_derived(
                "section",
                first.clone(),
                "the first section",
                "the first section",
            );
        }
        return Some(0);
    }
    let name = part.text("section")?;
    let found = names.iter().position(|one| one == name);
    if found.is_none() && !names.is_empty() {
        let known = names.iter().map(String::as_str);
        let message = format!("there is no such section; {}", not_among(name, known));
        part.problem("section", &message);
    }
    found.or_else(|| names.is_empty().then_some(0))
}

/// When it begins: a date and hour, the coldest night, or every night as cold as stated.
fn starts(context: &Context<'_>, part: &Part<'_>, length_h: Option<f64>) -> Vec<f64> {
    let ways = ["at", "night", "nights_below"].map(|key| part.has(key));
    match ways.iter().filter(|given| **given).count() {
        0 => part.missing(
            "at",
            "when it begins: `at` such as \"26 Jan 22:00\", `night = \"coldest\"`, or `nights_below`",
        ),
        1 => {}
        _ => part.problem("", "give only one of `at`, `night` and `nights_below`"),
    }
    if ways[0] {
        if part.has("from") {
            part.problem(
                "from",
                "belongs to `night` and `nights_below`; `at` has its own time",
            );
        }
        let start_h = moments::date_and_time(part, "at");
        return within_the_year(part, start_h, length_h)
            .into_iter()
            .collect();
    }
    if ways == [false; 3] {
        part.know(&["from"]);
        return Vec::new();
    }
    let night = ways[1].then(|| part.word("night", &[("coldest", ())]));
    let below_k = part.quantity("nights_below", &range::OUTDOOR_AIR);
    let source = "estimate: when the house is closed up for the night";
    let from_h = moments::time(part, "from", "22:00", source);
    let (Some(from_h), Some(nights)) = (from_h, context.nights) else {
        return Vec::new();
    };
    if night.flatten().is_some() {
        let start_h = moments::coldest(nights).map(|night| moments::in_night(night, from_h));
        return within_the_year(part, start_h, length_h)
            .into_iter()
            .collect();
    }
    let cold = nights.0.iter().enumerate();
    let cold = cold.filter(|(_, low_k)| below_k.is_some_and(|below_k| **low_k < below_k));
    let starts_h = cold.map(|(night, _)| moments::in_night(night, from_h));
    every_night(part, starts_h.collect(), (below_k, length_h))
}

fn within_the_year(part: &Part<'_>, start_h: Option<f64>, length_h: Option<f64>) -> Option<f64> {
    let (start_h, length_h) = (start_h?, length_h?);
    match moments::after_the_year(start_h, length_h) {
        Some(message) => {
            part.problem("length", &message);
            None
        }
        None => Some(start_h),
    }
}

/// The events of a rule; those that would run past the end of the year are left out.
fn every_night(
    part: &Part<'_>,
    starts_h: Vec<f64>,
    (below_k, length_h): (Option<f64>, Option<f64>),
) -> Vec<f64> {
    if let (true, Some(below_k)) = (starts_h.is_empty(), below_k) {
        let [si, us] = [System::Si, System::Us].map(|s| print(below_k, Kind::Temperature, s));
        warn(
            part,
            format!("no night of this climate is colder than {si} ({us}): an event never comes"),
        );
    }
    let last_h = HOURS as f64 - length_h.unwrap_or(0.0);
    let count = starts_h.len();
    let kept: Vec<f64> = starts_h
        .into_iter()
        .filter(|start_h| *start_h <= last_h + 1e-6)
        .collect();
    if kept.len() < count {
        let left_out = count - kept.len();
        warn(
            part,
            format!(
                "{left_out} events by `nights_below` are left out: they would run past the year"
            ),
        );
    }
    kept
}

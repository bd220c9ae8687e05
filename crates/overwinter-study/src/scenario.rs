//! Scenario files: one TOML text that says which houses, climates and prices to compute.
//!
//! Reading collects every problem with its line instead of stopping at the first, and records every
//! input that was left out with the value assumed for it. Serde's derived readers stop at the first
//! mistake and lose the line of a value once axes have changed it, so the tree is read by hand.

mod air;
mod asked;
mod building;
mod context;
pub(crate) mod cover;
mod crop;
mod failures;
mod floor;
mod free_area;
mod ground;
mod heating;
mod inflation;
mod money;
mod outline;
mod own_cover;
mod schedule;
mod screen;
mod shell;
mod solids;
mod starter;
mod surfaces;
mod walls;
mod windows;

use std::cell::RefCell;
use std::path::Path;
use std::sync::Arc;

use overwinter_engine::events::EventPlan;
use sha2::{Digest, Sha256};

use crate::axes::{self, Axis, MOST_CASES};
use crate::case::{Case, Study};
use crate::catalogue::catalogue;
use crate::climate::{Shelf, UNKNOWN_CLIMATE, hex};
use crate::covers::NamedStack;
use crate::document::{Findings, Node, Part, parse};
use crate::error::{Problem, StudyError};

pub(crate) use asked::asked;
use context::Context;
use inflation::Dampers;
use schedule::Schedules;

pub use crate::document::Given;
pub use starter::{STARTER_WEATHER, starter_text, starter_text_with};

/// Problems after which reading further cases adds nothing a user would want.
const ENOUGH_PROBLEMS: usize = 25;

/// A scenario that was read, with what a user should see before running it.
#[derive(Clone, Debug)]
pub struct Checked {
    /// The study.
    pub study: Study,
    /// Every input that the file gives.
    pub given: Vec<Given>,
    /// What works but deserves a second look.
    pub warnings: Vec<String>,
    /// The covers that the file uses, by name.
    pub covers: Vec<NamedStack>,
}

/// Reads a scenario file and the weather files it names.
///
/// # Errors
/// [`StudyError`] with every problem found, each with its line, key, value and what would be right.
pub fn load(path: &Path) -> Result<Study, StudyError> {
    Ok(check(path)?.study)
}

/// As [`load`], with the inputs given and warnings.
///
/// # Errors
/// As [`load`].
pub fn check(path: &Path) -> Result<Checked, StudyError> {
    let bytes = std::fs::read(path).map_err(|source| StudyError::Unreadable {
        path: path.to_owned(),
        source,
    })?;
    check_bytes(path, &bytes, &mut Shelf::beside(path))
}

/// Reads the bytes of a scenario; `path` stands in messages.
pub(crate) fn check_bytes(
    path: &Path,
    bytes: &[u8],
    shelf: &mut Shelf,
) -> Result<Checked, StudyError> {
    let text = std::str::from_utf8(bytes).map_err(|error| StudyError::NotText {
        path: path.to_owned(),
        line: bytes[..error.valid_up_to()]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count()
            + 1,
    })?;
    let failed = |problems: Vec<Problem>| StudyError::Scenario {
        path: path.to_owned(),
        problems,
    };
    let document = parse(text).map_err(failed)?;
    let findings = RefCell::new(Findings::default());
    let header = Header::read(&document, &findings);
    let cases = cases(&document, &header.axes, shelf, &findings);
    let mut findings = findings.into_inner();
    if !findings.problems.is_empty() {
        findings.problems.sort();
        return Err(failed(findings.problems));
    }
    let study = Study {
        title: header.title,
        scenario_path: path.to_owned(),
        scenario_sha256: hex(&Sha256::digest(bytes)),
        seed: header.seed,
        climates: shelf.climates(),
        cases,
        axis_names: header.axes.into_iter().map(|axis| axis.name).collect(),
        defaults: findings.defaults,
        wants_hourly: header.wants_hourly,
    };
    Ok(Checked {
        study,
        given: findings.given,
        warnings: findings.warnings,
        covers: findings.covers,
    })
}

/// What belongs to the whole file.
struct Header {
    title: String,
    seed: u64,
    wants_hourly: bool,
    axes: Vec<Axis>,
}

/// Keys of the whole file, which a case does not read.
const HEADER_KEYS: [&str; 4] = ["title", "seed", "tables", "axis"];

impl Header {
    fn read(document: &Node, findings: &RefCell<Findings>) -> Self {
        let root = Part::root(document, findings);
        let title = root.text("title").unwrap_or("Untitled").to_owned();
        let seed = seed(&root);
        let tables = root.part("tables");
        let wants_hourly = tables.flag_or("hourly", false, "the hourly table is large");
        tables.finish();
        let axes = axes::read(&root, Path::new(""));
        findings.borrow_mut().alternatives = axes
            .iter()
            .map(|axis| {
                let labels = axis.alternatives.iter().map(|one| one.label.clone());
                (axis.name.clone(), labels.collect())
            })
            .collect();
        Self {
            title,
            seed,
            wants_hourly,
            axes,
        }
    }
}

fn seed(root: &Part<'_>) -> u64 {
    let number = root
        .quantity("seed", &overwinter_units::range::SEED)
        .unwrap_or(1.0);
    if number.fract() != 0.0 {
        root.problem("seed", "a whole number is wanted");
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the range of a seed is 0 to 2^53"
    )]
    let seed = number as u64;
    seed
}

/// What cases share so that each of it is worked out once.
#[derive(Default)]
struct Known {
    /// Cases of the file.
    cases: usize,
    schedules: RefCell<Schedules>,
    dampers: RefCell<Dampers>,
}

/// All cases of the product of the axes.
fn cases(
    document: &Node,
    axes: &[Axis],
    shelf: &mut Shelf,
    findings: &RefCell<Findings>,
) -> Vec<Case> {
    let root = Part::root(document, findings);
    let Some(count) = axes::case_count(axes) else {
        root.problem(
            "axis",
            &format!("the axes ask for more than {MOST_CASES} cases; shorten or drop one"),
        );
        return Vec::new();
    };
    let known = Known {
        cases: count,
        ..Known::default()
    };
    let mut cases = Vec::new();
    for index in 0..count {
        if findings.borrow().problems.len() >= ENOUGH_PROBLEMS {
            break;
        }
        let choice = axes::choice(axes, index);
        match axes::chosen(document, axes, &choice) {
            Ok(chosen) => {
                let root = Part::root(&chosen, findings);
                let labels = axes
                    .iter()
                    .zip(&choice)
                    .map(|(axis, at)| axis.alternatives[*at].label.clone());
                cases.extend(case(&root, index + 1, labels.collect(), shelf, &known));
            }
            Err(problems) => {
                for (place, key, message) in problems {
                    findings.borrow_mut().problem(place, &key, None, message);
                }
            }
        }
    }
    cases
}

fn case(
    root: &Part<'_>,
    id: usize,
    axis_labels: Vec<String>,
    shelf: &mut Shelf,
    known: &Known,
) -> Option<Case> {
    let climate = weather(root, shelf);
    let context = Context {
        catalogue: catalogue(),
        climate: climate.map_or(UNKNOWN_CLIMATE, |climate| shelf.facts(climate)),
        nights: climate.and_then(|climate| shelf.nights(climate)),
        cases: known.cases,
        schedules: &known.schedules,
        dampers: &known.dampers,
    };
    let crop = crop::read(&context, root);
    let built = building::house(&context, root, crop.crop);
    let house = built.as_ref().map(|built| &built.house);
    let heaters = house.map_or(&[][..], |house| house.heaters.as_slice());
    let money = money::read(&context, root, heaters);
    let (events, outages) = built.as_ref().map_or_else(
        || {
            root.know(&failures::FAILURE_KEYS);
            (EventPlan::default(), None)
        },
        |built| failures::read(&context, root, built.fitted(&crop.limits)),
    );
    root.know(&HEADER_KEYS);
    root.finish();
    Some(Case {
        id,
        axis_labels,
        climate: climate?,
        house: Arc::new(built?.house),
        fuels: money.fuels,
        electricity_price_per_kwh: money.electricity_price_per_kwh,
        currency: money.currency,
        frost_limits: crop.limits,
        events,
        outages,
    })
}

/// Reads `[weather]`.
fn weather(root: &Part<'_>, shelf: &mut Shelf) -> Option<usize> {
    let part = root.part("weather");
    if !part.has("file") {
        part.missing("file", "the path of a weather file, relative to this file");
    }
    let found = part
        .text("file")
        .and_then(|written| match shelf.climate(written) {
            Ok(climate) => Some(climate),
            Err(message) => {
                part.problem("file", &message);
                None
            }
        });
    part.finish();
    found
}

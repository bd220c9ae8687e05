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
mod prices;
mod reader;
mod schedule;
mod screen;
mod shell;
mod solids;
mod starter;
mod surfaces;
mod walls;
mod weather;
mod windows;

use std::cell::RefCell;
use std::path::Path;

use sha2::{Digest, Sha256};

use crate::case::Study;
use crate::case_list::CaseList;
use crate::cases::Cases;
use crate::climate::{Shelf, hex};
use crate::covers::NamedStack;
use crate::document::{Findings, Node, Part, parse, stated};
use crate::error::{Problem, StudyError};
use crate::ranking::RankingPlan;

pub(crate) use asked::asked;
pub(crate) use reader::CaseReader;

pub use crate::document::Given;
pub use starter::{STARTER_WEATHER, starter_text, starter_text_with};

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
    check_bytes(path, &bytes, Shelf::beside(path))
}

/// Reads the bytes of a scenario; `path` stands in messages.
pub(crate) fn check_bytes(path: &Path, bytes: &[u8], shelf: Shelf) -> Result<Checked, StudyError> {
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
    let header = Header::read(&document, folder_of(path), &findings);
    let stated = stated(&document);
    let mut reader = CaseReader::new(document, header.cases, shelf);
    let mut findings = findings.into_inner();
    let held = reader.check(&mut findings);
    if !findings.problems.is_empty() {
        findings.problems.sort();
        return Err(failed(findings.problems));
    }
    let study = Study {
        title: header.title,
        scenario_path: path.to_owned(),
        scenario_sha256: hex(&Sha256::digest(bytes)),
        seed: header.seed,
        climates: reader.climates(),
        axis_names: reader.list().axis_names(),
        ranking: header.ranking.with_climates(&reader.climates()),
        sampled: reader.list().sampled(),
        draws: reader.list().draws(),
        cases: match held {
            Some(cases) => Cases::from(cases),
            None => Cases::read_by(reader),
        },
        stated,
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
    cases: CaseList,
    ranking: RankingPlan,
}

/// Keys of the whole file, which a case does not read.
const HEADER_KEYS: [&str; 8] = [
    "title", "seed", "tables", "axis", "include", "exclude", "compare", "sampling",
];

impl Header {
    fn read(document: &Node, folder: &Path, findings: &RefCell<Findings>) -> Self {
        let root = Part::root(document, findings);
        let title = root.text("title").unwrap_or("Untitled").to_owned();
        let seed = seed(&root);
        let tables = root.part("tables");
        let wants_hourly = tables.flag_or("hourly", false, "the hourly table is large");
        tables.finish();
        let cases = CaseList::read(&root, folder, seed);
        let ranking = cases.ranking(&root);
        money::check_axes(&root, cases.axes(), &ranking);
        findings.borrow_mut().bringers = cases.bringers();
        Self {
            title,
            seed,
            wants_hourly,
            cases,
            ranking,
        }
    }
}

/// The folder that paths of a scenario file start from.
fn folder_of(scenario: &Path) -> &Path {
    scenario.parent().unwrap_or(Path::new(""))
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

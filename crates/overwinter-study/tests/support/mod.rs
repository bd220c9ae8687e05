//! Scenario texts read beside the shipped weather.
#![allow(dead_code, reason = "each test target uses a part")]

use std::path::Path;

use overwinter_study::error::{Problem, StudyError};
use overwinter_study::scenario::{Checked, check};

/// The shipped file for which `WEATHER` stands in a text.
const WEATHER: &str = "725300-chicago-ohare-il-tmy3.epw";

/// A text as a scenario that is read without a problem.
pub(crate) fn checked(text: &str) -> Checked {
    read(text).unwrap_or_else(|error| panic!("{error}"))
}

/// The problems of a text that is refused for what stands in it.
pub(crate) fn problems(text: &str) -> Vec<Problem> {
    match read(text) {
        Err(StudyError::Scenario { problems, .. }) => problems,
        Err(other) => panic!("{other}"),
        Ok(_) => panic!("accepted:\n{text}"),
    }
}

/// What reading a text as a scenario gives.
pub(crate) fn read(text: &str) -> Result<Checked, StudyError> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../weather");
    let text = text.replace("WEATHER", &folder.join(WEATHER).display().to_string());
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("house.toml");
    std::fs::write(&path, text).expect("written");
    check(&path)
}

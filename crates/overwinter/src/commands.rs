//! The commands.

use std::borrow::Cow;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use overwinter_study::case::{Case, Study};
use overwinter_study::scenario::{self, Checked};
use overwinter_weather::Year;

use crate::exit::Stop;
use crate::messages;
use crate::program::Screen;
use crate::screen::layout::shown;

pub(crate) mod check;
pub(crate) mod climate;
pub(crate) mod cover;
pub(crate) mod gather;
pub(crate) mod inflate;
pub(crate) mod new;
pub(crate) mod night;
pub(crate) mod report;
pub(crate) mod run;

/// The weather of a case.
fn year_of(study: &Study, case: &Case) -> Result<Arc<Year>, Stop> {
    case.year(study)
        .map_err(|error| Stop::Told(messages::chain(&error)))
}

/// What all scenario files say, or everything that is wrong with any of them.
fn read_all(files: &[PathBuf], screen: &mut Screen) -> Result<Vec<Checked>, Stop> {
    let mut read = Vec::new();
    let mut wrong = Vec::new();
    for file in files {
        match scenario::check(file) {
            Ok(checked) => read.push(checked),
            Err(error) => wrong.push(messages::chain(&error)),
        }
    }
    if !wrong.is_empty() {
        return Err(Stop::Told(wrong.join("\n")));
    }
    for warning in read.iter().flat_map(|checked| &checked.warnings) {
        writeln!(screen.err, "overwinter: note: {}", shown(warning))?;
    }
    Ok(read)
}

/// The case of that number, counted from 1.
fn case_of<'a>(study: &'a Study, file: &Path, number: usize) -> Result<Cow<'a, Case>, Stop> {
    let found = number.checked_sub(1).map(|index| study.cases.get(index));
    let reasons = match found {
        Some(Ok(case)) => return Ok(case),
        Some(Err(problems)) => problems,
        None => Vec::new(),
    };
    let (file, last) = (file.display(), study.cases.len());
    let text = match reasons.as_slice() {
        [] => {
            format!("{file}: there is no case {number}\n  Give --case a number from 1 to {last}.")
        }
        reasons => {
            let lines = reasons
                .iter()
                .map(|reason| format!("{file}:{}: {reason}", reason.line));
            lines.collect::<Vec<_>>().join("\n")
        }
    };
    Err(Stop::Told(text))
}

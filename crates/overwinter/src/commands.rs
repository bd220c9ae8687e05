//! The commands.

use std::path::PathBuf;
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
pub(crate) mod inflate;
pub(crate) mod new;
pub(crate) mod night;
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

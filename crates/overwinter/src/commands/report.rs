//! `report`: a finished run as one page to read, print and hand on.

use std::path::{Path, PathBuf};

use overwinter_report::{Options, ReportError, Run, page, read};
use overwinter_study::output::REPORT_FILE;

use crate::arguments::{ReportArguments, UnitChoice};
use crate::exit::{Exit, Stop};
use crate::messages;
use crate::program::Screen;
use crate::whole_file;

pub(crate) fn report(arguments: &ReportArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    let run = read(&arguments.folder).map_err(|error| refused(&error))?;
    let path = path(arguments);
    whole_file::refuse_existing(&path, "--out", arguments.force)?;
    write_page(&run, &path, arguments.units)?;
    writeln!(screen.out, "{}", written(&path))?;
    Ok(Exit::Done)
}

/// The page of a run that has just ended, beside its tables. Returns what is to be said of it.
pub(crate) fn beside(folder: &Path, units: UnitChoice) -> Result<String, Stop> {
    let run = read(folder).map_err(|error| refused(&error))?;
    let path = folder.join(REPORT_FILE);
    write_page(&run, &path, units)?;
    Ok(written(&path))
}

fn write_page(run: &Run, path: &Path, units: UnitChoice) -> Result<(), Stop> {
    let options = Options {
        system: units.into(),
        date: today(),
    };
    whole_file::write(path, "--out", &page(run, &options))
}

fn path(arguments: &ReportArguments) -> PathBuf {
    match &arguments.out {
        Some(path) => path.clone(),
        None => arguments.folder.join(REPORT_FILE),
    }
}

fn written(path: &Path) -> String {
    format!(
        "Wrote {}. Open it in a browser; print it from there, on Letter or A4.\n\
         It prepares a justification and signs nothing: a qualified assessor reviews and signs it.",
        path.display()
    )
}

/// The date that the page carries.
fn today() -> String {
    jiff::ZonedDateTime::now().strftime("%-d %B %Y").to_string()
}

/// What is wrong with the folder; the errors name the remedy where there is more than one.
fn refused(error: &ReportError) -> Stop {
    Stop::Told(messages::chain(error))
}

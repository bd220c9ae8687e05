//! Errors as prose: what is wrong, where, and what would be right.

use std::error::Error;
use std::path::Path;

use overwinter_study::output::OutputError;
use overwinter_study::sweep::GatherError;

use crate::exit::Stop;

/// An error with all its causes in one line, each said once.
pub(crate) fn chain(error: &dyn Error) -> String {
    let mut text = error.to_string();
    let mut cause = error.source();
    while let Some(source) = cause {
        let reason = source.to_string();
        if !text.contains(&reason) {
            text += &format!(": {reason}");
        }
        cause = source.source();
    }
    text
}

/// An output error with its remedy.
pub(crate) fn output(error: &OutputError) -> Stop {
    let remedy = match error {
        OutputError::NotAFolder { .. } => "Give --out a folder, or a name that is not in use.",
        OutputError::NotCreated { .. } => "Give --out a folder in a place where you may write.",
        OutputError::NotWritable { .. } => "Give --out a folder where you may write.",
        OutputError::AlreadyFilled { .. } => {
            "Give --out another folder, or add --force to replace those results."
        }
        OutputError::File { .. } => {
            "Check that the disk has room and the folder may be written to; the same command then goes \
             on with the cases that are kept."
        }
        OutputError::AnotherRun { .. } => {
            "Parts belong to one state of the scenario file, its weather, the options and the program: if \
             one of these has changed, or it was another scenario, give --out another folder or add \
             --force to discard those parts."
        }
        OutputError::InUse { .. } => {
            "Wait until it has ended, or give --out another folder. Shares of one run may work in one \
             folder at the same time."
        }
        OutputError::Part { .. } => "Run the scenario again: what is missing is computed anew.",
        OutputError::Encoding { .. } | OutputError::Manifest { .. } => {
            "This is a fault of the program."
        }
    };
    Stop::Told(format!("{}\n  {remedy}", chain(error)))
}

/// Parts that cannot be joined, with the remedy.
pub(crate) fn gather(error: &GatherError) -> Stop {
    let remedy = match error {
        GatherError::Output(error) => return output(error),
        GatherError::NoFolder { .. } => {
            "Name the folders that were given to run --out with --shard."
        }
        GatherError::NoPlan { .. } => {
            "It was damaged, or written by another version of the program: run its shares again."
        }
        GatherError::NoParts { .. } => {
            "Name the folders that were given to run --out with --shard; a finished run has no parts."
        }
        GatherError::Different { .. } => {
            "Join shares of one run: the same scenario, weather, options and version of the program."
        }
        GatherError::Missing { .. } => {
            "Run the shares that are missing, or name their folders as well."
        }
    };
    Stop::Told(format!("{error}\n  {remedy}"))
}

/// Two scenario files whose results would go to the same folder.
pub(crate) fn same_folder(first: &Path, second: &Path) -> Stop {
    Stop::Told(format!(
        "{} and {} would both write to the same folder\n  \
         Run them one by one, each with its own --out, or rename one of them.",
        first.display(),
        second.display()
    ))
}

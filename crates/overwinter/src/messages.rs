//! Errors as prose: what is wrong, where, and what would be right.

use std::error::Error;
use std::path::Path;

use overwinter_study::output::OutputError;

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
            "Check that the disk has room and the folder may be written to; \
             nothing of this run was kept."
        }
        OutputError::Encoding { .. } | OutputError::Manifest { .. } => {
            "This is a fault of the program; nothing of this run was kept."
        }
    };
    Stop::Told(format!("{}\n  {remedy}", chain(error)))
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

//! What can go wrong between a scenario file and its tables.

use std::fmt;
use std::path::PathBuf;

use thiserror::Error;

/// Why a study cannot be made.
#[derive(Debug, Error)]
pub enum StudyError {
    /// The scenario file cannot be read from disk.
    #[error("{}: the scenario file cannot be read: {source}", path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The scenario file is not text.
    #[error("{}:{line}: the scenario file is not UTF-8 text", path.display())]
    NotText {
        /// The file.
        path: PathBuf,
        /// Line of the first wrong byte, counted from 1.
        line: usize,
    },
    /// The scenario file says something that cannot be used; every problem found is listed.
    #[error("{}", listed(path, problems))]
    Scenario {
        /// The file.
        path: PathBuf,
        /// The problems, in file order, at least one.
        problems: Vec<Problem>,
    },
}

/// One thing that is wrong in a scenario file.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Problem {
    /// Line, counted from 1.
    pub line: usize,
    /// Key path, empty where none applies.
    pub key: String,
    /// The value as written, where there is one.
    pub value: Option<String>,
    /// What is wrong and what would be right.
    pub message: String,
    /// The axis and alternative that set the value, where one did.
    pub alternative: Option<String>,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.key.is_empty(), &self.value) {
            (true, _) => {}
            (false, None) => write!(f, "`{}`: ", self.key)?,
            // Messages about quantities begin with the value themselves.
            (false, Some(value)) if self.message.starts_with(value) => {
                write!(f, "`{}`: ", self.key)?;
            }
            (false, Some(value)) => write!(f, "`{}` = {value}: ", self.key)?,
        }
        f.write_str(&self.message)?;
        match &self.alternative {
            Some(alternative) => write!(f, " ({alternative})"),
            None => Ok(()),
        }
    }
}

fn listed(path: &std::path::Path, problems: &[Problem]) -> String {
    let lines: Vec<_> = problems
        .iter()
        .map(|problem| format!("{}:{}: {problem}", path.display(), problem.line))
        .collect();
    lines.join("\n")
}

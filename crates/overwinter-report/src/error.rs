//! Why a folder cannot be made into a report.

use std::path::PathBuf;

use thiserror::Error;

/// What is wrong with an output folder.
#[derive(Debug, Error)]
pub enum ReportError {
    /// The folder holds no manifest, which a run writes last.
    #[error(
        "{}: no finished run here: manifest.json is missing. Give the folder that a run wrote with \
         --out; a run that was stopped has to be gone on with first",
        folder.display()
    )]
    NoFinishedRun {
        /// The folder that was given.
        folder: PathBuf,
    },

    /// The tables were written by a program whose tables may differ.
    #[error(
        "{}: written by {found}, but this report reads the tables of {wanted}: run the scenario again \
         with this version",
        manifest.display()
    )]
    OtherVersion {
        /// The manifest.
        manifest: PathBuf,
        /// Program and version it names.
        found: String,
        /// Program and version whose tables are read.
        wanted: String,
    },

    /// The manifest is not what a run writes.
    #[error("{}: line {line}, column {column}: {message}", manifest.display())]
    Manifest {
        /// The manifest.
        manifest: PathBuf,
        /// Line, from 1.
        line: usize,
        /// Character in the line, from 1.
        column: usize,
        /// What is wrong.
        message: String,
    },

    /// A table has a row that is no row of it.
    #[error("{}: line {line}: {message}", table.display())]
    Row {
        /// The table.
        table: PathBuf,
        /// Line, from 1.
        line: u64,
        /// What is wrong.
        message: String,
    },

    /// A cell holds something else than its column does.
    #[error(
        "{}: line {line}, column {column}: \"{value}\" is no number; a number in {unit}, or nothing, \
         belongs there",
        table.display()
    )]
    Cell {
        /// The table.
        table: PathBuf,
        /// Line, from 1.
        line: u64,
        /// Name of the column.
        column: String,
        /// What stands there.
        value: String,
        /// Unit of the column.
        unit: String,
    },

    /// A file is there but could not be read.
    #[error("{}: {source}", file.display())]
    Unreadable {
        /// The file.
        file: PathBuf,
        /// What the system says.
        source: std::io::Error,
    },
}

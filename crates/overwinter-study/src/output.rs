//! The output folder: checked before a run, filled after it.
//!
//! Every file is written under a temporary name in the folder itself and renamed when all are
//! complete, the manifest last: a folder with a manifest holds a finished run. Files that are not
//! ours are never touched.

mod frame;
mod table_files;
mod temporary;

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use polars::prelude::PolarsError;

use crate::manifest::Manifest;
use crate::tables::Table;

pub(crate) use frame::{csv_bytes, parquet_bytes};
pub(crate) use table_files::TableFiles;
use temporary::{TemporaryFile, part_of};

/// Name of the manifest file.
pub const MANIFEST_FILE: &str = "manifest.json";
/// Name of the page made from the files of a run, unless another is asked for.
pub const REPORT_FILE: &str = "report.html";
/// Stems of the table files.
pub const TABLE_NAMES: [&str; 15] = [
    "cases",
    "fuel_use",
    "frost_risk",
    "moisture",
    "balance",
    "outages",
    "night",
    "hourly",
    "compare",
    "ranking",
    "drivers",
    "worst_years",
    "costs",
    "savings",
    "cash_flow",
];
const EXTENSIONS: [&str; 2] = ["csv", "parquet"];

/// Why results cannot be written.
#[derive(Debug, thiserror::Error)]
pub enum OutputError {
    /// The path is there but is no folder.
    #[error("{} is a file, not a folder", path.display())]
    NotAFolder {
        /// The path.
        path: PathBuf,
    },
    /// The folder cannot be made.
    #[error("the folder {} cannot be created", path.display())]
    NotCreated {
        /// The folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The folder takes no files.
    #[error("the folder {} cannot be written to", path.display())]
    NotWritable {
        /// The folder.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// Files of a run are in the folder.
    #[error("the folder {} already holds results ({file})", path.display())]
    AlreadyFilled {
        /// The folder.
        path: PathBuf,
        /// The first file that would be replaced.
        file: String,
    },
    /// Parts of another run are in the folder.
    #[error("the folder {} holds parts of another run, which did not end", path.display())]
    AnotherRun {
        /// The folder.
        path: PathBuf,
    },
    /// Another process runs cases into the folder.
    #[error("another run is at work in {}", path.display())]
    InUse {
        /// The folder of its parts.
        path: PathBuf,
    },
    /// A part could not be read back.
    #[error("{} cannot be read", path.display())]
    Part {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A file could not be written, renamed or removed.
    #[error("{} cannot be written", path.display())]
    File {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A table could not be laid out or encoded.
    #[error("the table {table} cannot be encoded for {}", path.display())]
    Encoding {
        /// The table.
        table: String,
        /// The file.
        path: PathBuf,
        /// What the encoder said.
        source: PolarsError,
    },
    /// The manifest could not be encoded.
    #[error("the manifest cannot be encoded")]
    Manifest {
        /// What the encoder said.
        source: serde_json::Error,
    },
}

/// A folder that can take the results of a run.
#[derive(Debug)]
pub struct OutputFolder {
    path: PathBuf,
    is_new: bool,
}

impl OutputFolder {
    /// Makes sure that results can be written to `path`: creates the folder if it is absent,
    /// refuses it if it takes no files, or if it holds files that would be replaced and
    /// `replace` is false.
    pub fn prepare(path: &Path, replace: bool) -> Result<Self, OutputError> {
        if path.exists() && !path.is_dir() {
            return Err(OutputError::NotAFolder { path: path.into() });
        }
        let is_new = !path.exists();
        fs::create_dir_all(path).map_err(|source| OutputError::NotCreated {
            path: path.into(),
            source,
        })?;
        if let Some(file) = own_files().find(|file| path.join(file).exists() && !replace) {
            return Err(OutputError::AlreadyFilled {
                path: path.into(),
                file,
            });
        }
        probe(path).map_err(|source| OutputError::NotWritable {
            path: path.into(),
            source,
        })?;
        Ok(Self {
            path: path.into(),
            is_new,
        })
    }

    /// The folder.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Takes the folder away again if it was made for a run that came to nothing.
    pub fn discard_empty(&self) {
        if self.is_new {
            // Refused by the system unless the folder is empty, which is what is wanted.
            let _ = fs::remove_dir(&self.path);
        }
    }

    /// Begins the files of a table, under temporary names.
    pub(crate) fn begin(&self, table: &Table) -> Result<TableFiles, OutputError> {
        TableFiles::begin(&self.path, table)
    }

    /// Gives the files of a run their names, the manifest last. On an error nothing of this run is left
    /// behind and, as long as no file could be renamed, an earlier run is still whole.
    pub(crate) fn complete(
        &self,
        tables: Vec<TableFiles>,
        manifest: &Manifest,
    ) -> Result<(), OutputError> {
        let manifest_file = TemporaryFile::at(self.path.join(MANIFEST_FILE));
        write_manifest(manifest, &manifest_file)?;
        let mut files: Vec<TemporaryFile> = tables
            .into_iter()
            .flat_map(TableFiles::into_files)
            .collect();
        files.push(manifest_file);
        self.remove_earlier(&files)?;
        files.into_iter().try_for_each(TemporaryFile::rename)
    }

    /// Takes away the earlier manifest, so that a folder half replaced does not pass for a
    /// finished run, and tables that this run does not have.
    fn remove_earlier(&self, files: &[TemporaryFile]) -> Result<(), OutputError> {
        let kept = |path: &PathBuf| {
            files.iter().any(|file| file.target() == path) && !path.ends_with(MANIFEST_FILE)
        };
        let own_paths = own_files().map(|file| self.path.join(file));
        for path in own_paths.filter(|path| path.exists() && !kept(path)) {
            fs::remove_file(&path).map_err(|source| OutputError::File { path, source })?;
        }
        Ok(())
    }
}

/// All files a run may write, and the page made from them, which goes with them.
fn own_files() -> impl Iterator<Item = String> {
    let tables = TABLE_NAMES
        .iter()
        .flat_map(|name| EXTENSIONS.map(|extension| format!("{name}.{extension}")));
    let others = [MANIFEST_FILE, REPORT_FILE].map(str::to_owned);
    others.into_iter().chain(tables)
}

/// Writes and removes a file.
fn probe(folder: &Path) -> io::Result<()> {
    // Shares that begin at the same time in one folder each try it.
    let path = part_of(&folder.join(format!("probe-{}", std::process::id())));
    File::create(&path)?.write_all(b"overwinter")?;
    fs::remove_file(&path)
}

fn write_manifest(manifest: &Manifest, file: &TemporaryFile) -> Result<(), OutputError> {
    let mut text = serde_json::to_string_pretty(manifest)
        .map_err(|source| OutputError::Manifest { source })?;
    text.push('\n');
    let told = |source| file_error(file.path(), source);
    let mut out = File::create(file.path()).map_err(told)?;
    out.write_all(text.as_bytes()).map_err(told)?;
    // Handed to the disk, so that a full disk shows here and not after the rename.
    out.sync_all().map_err(told)
}

fn file_error(path: &Path, source: io::Error) -> OutputError {
    OutputError::File {
        path: path.into(),
        source,
    }
}

#[cfg(test)]
mod tests;

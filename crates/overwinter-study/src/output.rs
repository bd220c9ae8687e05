//! The output folder: checked before a run, filled after it.
//!
//! Every file is written under a temporary name in the folder itself and renamed when all are
//! complete, the manifest last: a folder with a manifest holds a finished run. Files that are not
//! ours are never touched.

use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::{Path, PathBuf};

use polars::prelude::{
    Column as FrameColumn, CsvWriter, DataFrame, NamedFrom, ParquetWriter, PolarsError, SerWriter,
    Series,
};

use crate::manifest::Manifest;
use crate::tables::{Column, Table, Values};

/// Name of the manifest file.
pub const MANIFEST_FILE: &str = "manifest.json";
/// Stems of the table files.
pub const TABLE_NAMES: [&str; 8] = [
    "cases",
    "fuel_use",
    "frost_risk",
    "moisture",
    "balance",
    "outages",
    "night",
    "hourly",
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
        table: &'static str,
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

    /// Writes the tables and the manifest. On an error nothing of this run is left behind and, as
    /// long as no file could be renamed, an earlier run is still whole.
    pub fn write(&self, tables: &[Table], manifest: &Manifest) -> Result<(), OutputError> {
        let mut parts = Parts::default();
        for table in tables {
            let mut frame = frame(table).map_err(|source| OutputError::Encoding {
                table: table.name,
                path: self.path.clone(),
                source,
            })?;
            for extension in EXTENSIONS {
                let target = self.path.join(format!("{}.{extension}", table.name));
                let part = parts.add(target);
                write_table(table.name, &mut frame, &part, extension)?;
            }
        }
        let part = parts.add(self.path.join(MANIFEST_FILE));
        write_manifest(manifest, &part)?;
        self.remove_earlier(&parts)?;
        parts.rename()
    }

    /// Takes away the earlier manifest, so that a folder half replaced does not pass for a
    /// finished run, and tables that this run does not have.
    fn remove_earlier(&self, parts: &Parts) -> Result<(), OutputError> {
        let kept = |path: &PathBuf| {
            parts.files.iter().any(|(_, target)| target == path) && !path.ends_with(MANIFEST_FILE)
        };
        let own_paths = own_files().map(|file| self.path.join(file));
        for path in own_paths.filter(|path| path.exists() && !kept(path)) {
            fs::remove_file(&path).map_err(|source| OutputError::File { path, source })?;
        }
        Ok(())
    }
}

/// All files a run may write.
fn own_files() -> impl Iterator<Item = String> {
    let tables = TABLE_NAMES
        .iter()
        .flat_map(|name| EXTENSIONS.map(|extension| format!("{name}.{extension}")));
    std::iter::once(MANIFEST_FILE.to_owned()).chain(tables)
}

/// Writes and removes a file.
fn probe(folder: &Path) -> io::Result<()> {
    let path = part_of(&folder.join("probe"));
    File::create(&path)?.write_all(b"overwinter")?;
    fs::remove_file(&path)
}

/// The temporary name of a file, in the same folder.
fn part_of(target: &Path) -> PathBuf {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    target.with_file_name(format!(".{name}.part"))
}

/// Files under their temporary names. Those not renamed are removed in the end.
#[derive(Default)]
struct Parts {
    files: Vec<(PathBuf, PathBuf)>,
}

impl Parts {
    fn add(&mut self, target: PathBuf) -> PathBuf {
        let part = part_of(&target);
        self.files.push((part.clone(), target));
        part
    }

    fn rename(self) -> Result<(), OutputError> {
        for (part, target) in &self.files {
            fs::rename(part, target).map_err(|source| OutputError::File {
                path: target.clone(),
                source,
            })?;
        }
        Ok(())
    }
}

impl Drop for Parts {
    fn drop(&mut self) {
        for (part, _) in &self.files {
            // A part that was renamed or never created is not there; nothing more can be done
            // about one that cannot be removed.
            let _ = fs::remove_file(part);
        }
    }
}

fn write_table(
    table: &'static str,
    frame: &mut DataFrame,
    part: &Path,
    extension: &str,
) -> Result<(), OutputError> {
    let mut out = Watched {
        file: create(part)?,
        failure: None,
    };
    let encoded = match extension {
        "csv" => CsvWriter::new(&mut out).finish(frame),
        _ => ParquetWriter::new(&mut out).finish(frame).map(drop),
    };
    match (out.failure, encoded) {
        (Some(failure), _) => Err(file_error(part, failure)),
        (None, Err(source)) => Err(OutputError::Encoding {
            table,
            path: part.into(),
            source,
        }),
        (None, Ok(())) => close(out.file, part),
    }
}

/// A file that remembers what the system said when it took no more, which the encoders lose.
struct Watched {
    file: BufWriter<File>,
    failure: Option<io::Error>,
}

impl Watched {
    fn note<T>(&mut self, outcome: io::Result<T>) -> io::Result<T> {
        outcome.map_err(|error| {
            let told = io::Error::new(error.kind(), error.to_string());
            self.failure.get_or_insert(error);
            told
        })
    }
}

impl Write for Watched {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let outcome = self.file.write(bytes);
        self.note(outcome)
    }

    fn flush(&mut self) -> io::Result<()> {
        let outcome = self.file.flush();
        self.note(outcome)
    }
}

fn write_manifest(manifest: &Manifest, part: &Path) -> Result<(), OutputError> {
    let mut text = serde_json::to_string_pretty(manifest)
        .map_err(|source| OutputError::Manifest { source })?;
    text.push('\n');
    let mut out = create(part)?;
    out.write_all(text.as_bytes())
        .map_err(|source| file_error(part, source))?;
    close(out, part)
}

fn create(path: &Path) -> Result<BufWriter<File>, OutputError> {
    let file = File::create(path).map_err(|source| file_error(path, source))?;
    Ok(BufWriter::new(file))
}

/// Writes what is left in the buffer and hands it to the disk, so that a full disk shows here
/// and not after the rename.
fn close(out: BufWriter<File>, path: &Path) -> Result<(), OutputError> {
    let file = out
        .into_inner()
        .map_err(|error| file_error(path, error.into_error()))?;
    file.sync_all().map_err(|source| file_error(path, source))
}

fn file_error(path: &Path, source: io::Error) -> OutputError {
    OutputError::File {
        path: path.into(),
        source,
    }
}

fn frame(table: &Table) -> Result<DataFrame, PolarsError> {
    let columns = table.columns.iter().map(series).collect();
    DataFrame::new(table.row_count(), columns)
}

fn series(column: &Column) -> FrameColumn {
    let name = column.name.as_str().into();
    match &column.values {
        Values::Text(values) => {
            let words: Vec<Option<&str>> = values.iter().map(Option::as_deref).collect();
            Series::new(name, words).into()
        }
        Values::Whole(values) => Series::new(name, values).into(),
        Values::Number(values) => Series::new(name, values).into(),
    }
}

#[cfg(test)]
mod tests;

//! The folder of parts: each part a folder that gets its name only when it is complete.

use std::fs::{self, File, TryLockError};
use std::io::{self, Write};
use std::ops::Range;
use std::path::{Path, PathBuf};

use serde::Serialize;
use sha2::{Digest, Sha256};

use super::part::{Part, TableFile};
use super::plan::Plan;
use crate::climate::hex;
use crate::output::{OutputError, parquet_bytes};
use crate::tables::Table;

/// Name of the folder of parts inside the output folder.
pub(super) const PARTS: &str = "parts";
const PLAN_FILE: &str = "plan.json";
const PART_FILE: &str = "part.json";
const LOCK_FILE: &str = "lock";

/// The parts of a run.
#[derive(Clone, Debug)]
pub(super) struct PartsFolder {
    path: PathBuf,
}

impl PartsFolder {
    /// That of an output folder, there or not.
    pub(super) fn in_folder(folder: &Path) -> Self {
        Self {
            path: folder.join(PARTS),
        }
    }

    /// True if it was begun by some run; a folder without a plan has no parts.
    pub(super) fn is_begun(&self) -> bool {
        self.path.join(PLAN_FILE).exists()
    }

    /// The plan of the run that it belongs to, if that can be read.
    pub(super) fn plan(&self) -> Option<Plan> {
        let bytes = fs::read(self.path.join(PLAN_FILE)).ok()?;
        serde_json::from_slice(&bytes).ok()
    }

    /// True if it holds parts of this run.
    pub(super) fn holds(&self, plan: &Plan) -> bool {
        self.plan().as_ref() == Some(plan)
    }

    /// Makes the folder, with the plan, unless it is there.
    pub(super) fn begin(&self, plan: &Plan) -> Result<(), OutputError> {
        fs::create_dir_all(&self.path).map_err(|source| OutputError::NotCreated {
            path: self.path.clone(),
            source,
        })?;
        if self.holds(plan) {
            return Ok(());
        }
        // Shares begin at the same time in one folder: each writes the same bytes under a name of its
        // own, and the last rename wins.
        let own = self
            .path
            .join(format!(".{PLAN_FILE}.{}.part", std::process::id()));
        let written =
            write_json(&own, plan).and_then(|()| rename(&own, &self.path.join(PLAN_FILE)));
        if written.is_err() {
            // Nothing was there before that could be lost; what cannot be removed does no harm.
            let _ = fs::remove_file(&own);
            let _ = fs::remove_dir(&self.path);
        }
        written
    }

    /// Keeps other processes away until it is dropped: all of them or, for a share, those that run the
    /// whole. Where the file system knows no locks nothing is kept away.
    pub(super) fn lock(&self, as_share: bool) -> Result<Option<File>, OutputError> {
        let path = self.path.join(LOCK_FILE);
        let opened = File::options().create(true).append(true).open(&path);
        let file = opened.map_err(|source| file_error(&path, source))?;
        let locked = match as_share {
            true => file.try_lock_shared(),
            false => file.try_lock(),
        };
        match locked {
            Ok(()) => Ok(Some(file)),
            Err(TryLockError::WouldBlock) => Err(OutputError::InUse {
                path: self.path.clone(),
            }),
            Err(TryLockError::Error(_)) => Ok(None),
        }
    }

    /// Takes the folder and all parts away, unless a run is at work in it.
    pub(super) fn remove(&self) -> Result<(), OutputError> {
        if self.path.is_dir() {
            self.lock(false)?;
        }
        remove_folder(&self.path)
    }

    /// The part of a block, if it is there, whole and of this run.
    pub(super) fn read(
        &self,
        plan: &Plan,
        plan_sha256: &str,
        block: &Range<usize>,
    ) -> Result<Option<Part>, OutputError> {
        let folder = self.path.join(name(block));
        let Ok(bytes) = fs::read(folder.join(PART_FILE)) else {
            return Ok(None);
        };
        let Ok(part) = serde_json::from_slice::<Part>(&bytes) else {
            return Ok(None);
        };
        let mut named = part.files.iter().map(|file| file.table.as_str());
        let is_whole = part.block() == *block
            && part.plan_sha256 == plan_sha256
            && plan
                .wanted()
                .names()
                .all(|name| named.any(|named| named == name))
            && part.files.iter().all(|file| is_as_noted(&folder, file));
        Ok(is_whole.then_some(part))
    }

    /// The bytes of one table of a part.
    pub(super) fn table(&self, block: &Range<usize>, table: &str) -> Result<Vec<u8>, OutputError> {
        let path = self.path.join(name(block)).join(file_name(table));
        fs::read(&path).map_err(|source| OutputError::Part { path, source })
    }

    /// Writes a part: all its files into a folder under a temporary name, which is then renamed.
    pub(super) fn write(
        &self,
        plan: &Plan,
        part: &Part,
        tables: &[Table],
    ) -> Result<(), OutputError> {
        let block = part.block();
        let whole = self.path.join(name(&block));
        // A name of its own: a share may be started again while it still runs elsewhere.
        let begun = format!(".{}.{}.part", name(&block), std::process::id());
        let begun = self.path.join(begun);
        for left in [&begun, &whole] {
            remove_folder(left)?;
        }
        let written = fill(&begun, part, tables).and_then(|()| rename(&begun, &whole));
        if written.is_err() {
            // What cannot be removed goes with the folder when the run has ended.
            let _ = fs::remove_dir_all(&begun);
            // The same part may have been put there meanwhile.
            if matches!(self.read(plan, &part.plan_sha256, &block), Ok(Some(_))) {
                return Ok(());
            }
        }
        written
    }
}

fn fill(folder: &Path, part: &Part, tables: &[Table]) -> Result<(), OutputError> {
    fs::create_dir(folder).map_err(|source| file_error(folder, source))?;
    let mut part = part.clone();
    for table in tables {
        let path = folder.join(file_name(table.name));
        let bytes = parquet_bytes(table, &path)?;
        fs::write(&path, &bytes).map_err(|source| file_error(&path, source))?;
        part.files.push(TableFile {
            table: table.name.to_owned(),
            rows: table.row_count(),
            sha256: hex(&Sha256::digest(&bytes)),
        });
    }
    write_json(&folder.join(PART_FILE), &part)
}

fn is_as_noted(folder: &Path, file: &TableFile) -> bool {
    let bytes = fs::read(folder.join(file_name(&file.table)));
    bytes.is_ok_and(|bytes| hex(&Sha256::digest(&bytes)) == file.sha256)
}

/// Name of a part, by its cases counted from 1.
fn name(block: &Range<usize>) -> String {
    format!("cases-{:06}-{:06}", block.start + 1, block.end)
}

fn file_name(table: &str) -> String {
    format!("{table}.parquet")
}

fn write_json(path: &Path, what: &impl Serialize) -> Result<(), OutputError> {
    let text = serde_json::to_string(what).map_err(|source| OutputError::Manifest { source })?;
    let told = |source| file_error(path, source);
    let mut file = File::create(path).map_err(told)?;
    file.write_all(text.as_bytes()).map_err(told)?;
    // Handed to the disk before it gets its name, so that a power cut leaves no empty file of it.
    file.sync_all().map_err(told)
}

fn rename(from: &Path, to: &Path) -> Result<(), OutputError> {
    fs::rename(from, to).map_err(|source| file_error(to, source))
}

fn remove_folder(path: &Path) -> Result<(), OutputError> {
    match fs::remove_dir_all(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(file_error(path, error)),
        _ => Ok(()),
    }
}

fn file_error(path: &Path, source: io::Error) -> OutputError {
    OutputError::File {
        path: path.into(),
        source,
    }
}

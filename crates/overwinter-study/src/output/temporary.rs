//! Files under a temporary name until they are complete.

use std::fs;
use std::path::{Path, PathBuf};

use super::{OutputError, file_error};

/// A file that gets its name when it is complete, and is removed if that never happens.
#[derive(Debug)]
pub(super) struct TemporaryFile {
    path: PathBuf,
    target: PathBuf,
}

impl TemporaryFile {
    /// One that is to become `target`; not created here.
    pub(super) fn at(target: PathBuf) -> Self {
        Self {
            path: part_of(&target),
            target,
        }
    }

    /// Its temporary name.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// What it is to become.
    pub(super) fn target(&self) -> &Path {
        &self.target
    }

    /// Gives it its name.
    pub(super) fn rename(self) -> Result<(), OutputError> {
        fs::rename(&self.path, &self.target).map_err(|source| file_error(&self.target, source))
    }
}

impl Drop for TemporaryFile {
    fn drop(&mut self) {
        // One that was renamed or never created is not there; nothing more can be done about one that
        // cannot be removed.
        let _ = fs::remove_file(&self.path);
    }
}

/// The temporary name of a file, in the same folder. Always the same one, so that what a killed process
/// left is written over.
pub(super) fn part_of(target: &Path) -> PathBuf {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    target.with_file_name(format!(".{name}.part"))
}

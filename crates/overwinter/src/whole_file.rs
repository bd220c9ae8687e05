//! Files that are written whole or not at all.

use std::fs;
use std::io;
use std::path::Path;

use crate::exit::Stop;

/// Refuses to replace a file unless that is asked for. `option` is the one that names the file.
pub(crate) fn refuse_existing(path: &Path, option: &str, force: bool) -> Result<(), Stop> {
    if !force && path.exists() {
        let path = path.display();
        return Err(Stop::Told(format!(
            "{path} is there already\n  Give {option} another name, or add --force to replace it."
        )));
    }
    Ok(())
}

/// Writes a file under a temporary name in the same folder and renames it.
pub(crate) fn write(path: &Path, option: &str, text: &str) -> Result<(), Stop> {
    let failed = |error: io::Error| {
        let path = path.display();
        Stop::Told(format!(
            "{path} cannot be written: {error}\n  Give {option} a file in a folder where you may write."
        ))
    };
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let part = path.with_file_name(format!(".{name}.part"));
    let written = fs::write(&part, text).and_then(|()| fs::rename(&part, path));
    if written.is_err() {
        // What could not be renamed is of no use; nothing more can be done if it stays.
        let _ = fs::remove_file(&part);
    }
    written.map_err(failed)
}

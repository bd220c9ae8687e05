//! What results depend on besides their input: a digest of the sources that compute them.

use std::fs;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

/// The crates between a scenario and its tables, and the versions of what they stand on.
const SOURCES: [&str; 8] = [
    "../overwinter-units/src",
    "../overwinter-physics/src",
    "../overwinter-weather/src",
    "../overwinter-engine/src",
    "../overwinter-economics/src",
    "src",
    "catalogue",
    "../../Cargo.lock",
];

fn main() {
    let mut files = Vec::new();
    for source in SOURCES {
        println!("cargo::rerun-if-changed={source}");
        add(Path::new(source), &mut files);
    }
    files.sort();
    let mut digest = Sha256::new();
    for file in files {
        // A file that cannot be read stops the compiler as well, with a better word for it.
        let bytes = fs::read(&file).unwrap_or_default();
        digest.update(file.to_string_lossy().as_bytes());
        digest.update((bytes.len() as u64).to_le_bytes());
        digest.update(&bytes);
    }
    let hex: String = digest
        .finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect();
    println!("cargo::rustc-env=SOURCES_SHA256={hex}");
}

fn add(path: &Path, files: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(path) else {
        files.push(path.to_owned());
        return;
    };
    for entry in entries.flatten() {
        add(&entry.path(), files);
    }
}

//! The shares of a run under an outside scheduler, where that is installed.

mod support;

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use overwinter_study::scenario::starter_text;
use support::weather;

/// A Python that has Dask: that of `OVERWINTER_PYTHON`, else the usual one.
fn python_with_dask() -> Option<String> {
    let python = std::env::var("OVERWINTER_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let found = Command::new(&python)
        .args(["-c", "import dask.distributed"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    found.is_ok_and(|status| status.success()).then_some(python)
}

#[test]
fn dask_runs_the_shares_and_the_joined_tables_are_those_of_one_run() {
    let Some(python) = python_with_dask() else {
        // Nothing to test with: `.ci/run` installs it, others may.
        eprintln!("Dask is not installed; set OVERWINTER_PYTHON to a Python that has it");
        return;
    };
    let folder = tempfile::tempdir().expect("a folder");
    let text = starter_text("Shares").replace("../weather/", &weather(""));
    let axis = "[outages]\nrun = false\n[[axis]]\nname = \"hold\"\nkey = \"hold.temp\"\n\
                values = [\"38 degF\", \"40 degF\", \"42 degF\", \"44 degF\", \"46 degF\", \"48 degF\", \"50 degF\", \"52 degF\", \"54 degF\"]\n";
    fs::write(folder.path().join("many.toml"), format!("{text}\n{axis}")).expect("written");
    let program = env!("CARGO_BIN_EXE_overwinter");
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/dask_shares.py");
    let ran = Command::new(python)
        .arg(example)
        .args([
            "many.toml",
            "--out",
            "shared",
            "--shares",
            "3",
            "--program",
            program,
        ])
        .current_dir(folder.path())
        .output()
        .expect("Python starts");
    let err = String::from_utf8_lossy(&ran.stderr);
    assert!(ran.status.success(), "{err}");
    let alone = Command::new(program)
        .args(["run", "many.toml", "--out", "alone", "--quiet"])
        .current_dir(folder.path())
        .status();
    assert!(alone.expect("the program starts").success());
    let files: Vec<_> = fs::read_dir(folder.path().join("alone"))
        .expect("a folder")
        .map(|entry| entry.expect("an entry").file_name())
        .collect();
    assert_eq!(
        files.len(),
        15,
        "seven tables twice and the manifest: {files:?}"
    );
    for name in files {
        let [shared, alone] = ["shared", "alone"]
            .map(|out| fs::read(folder.path().join(out).join(&name)).expect("a file"));
        assert!(shared == alone, "{name:?} differs");
    }
}

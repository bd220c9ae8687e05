//! Real processes that are killed, interrupted or run out of room, and go on with the same command.

#![cfg(unix)]

mod support;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use overwinter_study::scenario::starter_text;
use support::weather;
use tempfile::TempDir;

/// Cases of the study: with two threads it takes a few seconds.
const CASES: usize = 48;

/// The starter with an axis, in a folder of its own.
fn study() -> TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let temps: Vec<String> = (0..CASES)
        .map(|case| format!("\"{:.2} degF\"", 36.0 + 0.25 * case as f64))
        .collect();
    let text = starter_text("Many winters").replace("../weather/", &weather(""));
    let text = format!(
        "{text}\n[outages]\nrun = false\n[[axis]]\nname = \"hold\"\nkey = \"hold.temp\"\nvalues = [{}]\n",
        temps.join(", ")
    );
    fs::write(folder.path().join("many.toml"), text).expect("written");
    folder
}

/// The command that runs the study into a folder of that name.
fn run(folder: &TempDir, out: &str) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_overwinter"));
    command
        .current_dir(folder.path())
        .args(["run", "many.toml", "--threads", "2", "--out", out])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

fn start(mut command: Command) -> Child {
    command.spawn().expect("the program starts")
}

fn ended(child: Child) -> (Option<i32>, String, String) {
    let output = child.wait_with_output().expect("it ends");
    let text = |bytes| String::from_utf8(bytes).expect("text");
    (
        output.status.code(),
        text(output.stdout),
        text(output.stderr),
    )
}

/// Every file of a finished folder with its bytes.
fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = fs::read_dir(folder).expect("a folder");
    let file = |path: PathBuf| {
        let name = path.file_name().expect("a name").to_string_lossy();
        (name.into_owned(), fs::read(&path).expect("a file"))
    };
    entries
        .map(|entry| file(entry.expect("an entry").path()))
        .collect()
}

/// The parts in an output folder that have their name.
fn parts(out: &Path) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir(out.join("parts")) else {
        return Vec::new();
    };
    let named = entries.map(|entry| entry.expect("an entry").path());
    let is_part = |path: &PathBuf| {
        let name = path.file_name().expect("a name").to_string_lossy();
        name.starts_with("cases-")
    };
    named.filter(is_part).collect()
}

/// Every part that has its name is whole: its description and all its tables are there.
fn assert_whole(part: &Path) {
    let text = fs::read_to_string(part.join("part.json")).expect("a description");
    let told: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let files = told["files"].as_array().expect("files");
    assert!(files.len() >= 5, "{text}");
    for file in files {
        let name = format!("{}.parquet", file["table"].as_str().expect("a name"));
        let bytes = fs::read(part.join(&name)).expect("a table");
        // A Parquet file begins and ends with these four bytes, and the end is written last.
        assert!(
            bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"),
            "{name}"
        );
    }
}

/// Waits until a child ends or `until` says so; true if it ended.
fn wait(child: &mut Child, until: impl Fn() -> bool) -> bool {
    loop {
        if child.try_wait().expect("a state").is_some() {
            return true;
        }
        if until() {
            return false;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
}

#[test]
fn a_run_killed_again_and_again_ends_with_the_tables_of_one_that_was_not() {
    let folder = study();
    let began = Instant::now();
    let (code, screen, err) = ended(start(run(&folder, "undisturbed")));
    let took = began.elapsed();
    assert_eq!((code, err.as_str()), (Some(0), ""));
    let expected = contents(&folder.path().join("undisturbed"));

    let out = folder.path().join("killed");
    let mut kills = 0;
    let mut last = Vec::new();
    // Times that have nothing to do with what the program is at; the golden ratio spreads them evenly.
    for round in 1_u32.. {
        let share = (f64::from(round) * 0.618_033_988_749_895).fract() * 0.5;
        let moment = took.mul_f64(share);
        let mut child = start(run(&folder, "killed"));
        let began = Instant::now();
        if wait(&mut child, || began.elapsed() >= moment) {
            let (code, again, err) = ended(child);
            assert_eq!((code, err.as_str()), (Some(0), ""));
            assert_eq!(
                again.replace("killed", "undisturbed"),
                screen,
                "the same is told in the end"
            );
            break;
        }
        child.kill().expect("killed");
        child.wait().expect("gone");
        kills += 1;
        let now = parts(&out);
        now.iter().for_each(|part| assert_whole(part));
        assert!(
            last.iter().all(|part| now.contains(part)) || now.is_empty(),
            "finished work is kept"
        );
        last = now;
        assert!(round < 500, "it must come to an end");
    }
    assert!(kills >= 2, "killed {kills} times");
    let found = contents(&out);
    assert_eq!(
        found.keys().collect::<Vec<_>>(),
        expected.keys().collect::<Vec<_>>()
    );
    for (name, bytes) in &expected {
        assert!(found[name] == *bytes, "{name} differs");
    }
}

#[test]
fn an_interrupt_ends_a_run_and_says_how_to_go_on() {
    let folder = study();
    let out = folder.path().join("out");
    let mut child = start(run(&folder, "out"));
    assert!(
        !wait(&mut child, || parts(&out).len() >= 2),
        "ended too soon"
    );
    let sent = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status();
    assert!(sent.expect("sent").success());
    let (code, screen, err) = ended(child);
    assert_eq!((code, screen.as_str()), (Some(130), ""));
    assert!(
        err.contains("stopped; ") && err.contains("of 48 cases are kept in out"),
        "{err}"
    );
    assert!(
        err.contains("The same command goes on from there."),
        "{err}"
    );
    assert!(!out.join("manifest.json").exists());

    let mut again = run(&folder, "out");
    again.args(["--progress", "lines"]);
    let (code, screen, err) = ended(start(again));
    assert_eq!(code, Some(0), "{err}");
    assert!(screen.contains("Written to out"), "{screen}");
    let first = err.lines().next().expect("a line");
    let first: serde_json::Value = serde_json::from_str(first).expect("JSON");
    let kept = first["kept"].as_u64().expect("a number");
    assert!(
        kept >= 2 && first["done"] == kept && first["total"] == 48,
        "{first}"
    );
    let last = err.lines().last().expect("a line");
    let last: serde_json::Value = serde_json::from_str(last).expect("JSON");
    assert_eq!((&last["done"], &last["failed"]), (&48.into(), &0.into()));
    assert!(!out.join("parts").exists(), "the parts have become tables");
}

/// Files that may not grow stand for a disk without room: first for the tables, then not even for what is
/// noted before any case runs.
#[test]
fn a_disk_without_room_is_told_and_loses_nothing() {
    let folder = study();
    let out = folder.path().join("out");
    for blocks_of_512_bytes in [60, 2] {
        let (code, screen, err) = ended(start(limited(&folder, blocks_of_512_bytes)));
        assert_eq!((code, screen.as_str()), (Some(2), ""), "{err}");
        assert!(
            err.contains("cannot be written") && err.contains("the disk has room"),
            "{err}"
        );
        parts(&out).iter().for_each(|part| assert_whole(part));
        assert!(!out.join("manifest.json").exists());
    }
    let (code, _, err) = ended(start(run(&folder, "out")));
    assert_eq!((code, err.as_str()), (Some(0), ""));
    assert!(out.join("manifest.json").exists());
    assert!(!out.join("parts").exists());
}

/// The command that runs the study, into files of at most that many blocks.
fn limited(folder: &TempDir, blocks_of_512_bytes: u32) -> Command {
    let program = env!("CARGO_BIN_EXE_overwinter");
    // Without the trap the system would end the program before it can tell.
    let limited = format!(
        "trap '' XFSZ; ulimit -f {blocks_of_512_bytes}; \
         exec {program} run many.toml --threads 2 --out out"
    );
    let mut command = Command::new("sh");
    command
        .current_dir(folder.path())
        .args(["-c", &limited])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

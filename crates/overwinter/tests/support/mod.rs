//! The program called as a function.
#![allow(dead_code, reason = "each test target uses a part")]

pub(crate) mod browser;

use std::collections::HashMap;
use std::path::Path;

use overwinter::{Exit, Screen};

/// How a call ended.
#[derive(Debug)]
pub(crate) struct Ended {
    pub(crate) exit: Exit,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs the program with these arguments.
pub(crate) fn overwinter(arguments: &[&str]) -> Ended {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut screen = Screen {
        out: &mut out,
        err: &mut err,
        err_is_terminal: false,
    };
    let arguments = std::iter::once("overwinter").chain(arguments.iter().copied());
    let exit = overwinter::run(arguments.map(Into::into), &mut screen);
    let text = |bytes| String::from_utf8(bytes).expect("the program writes text");
    Ended {
        exit,
        out: text(out),
        err: text(err),
    }
}

/// A row of a table by the names of its columns.
pub(crate) type Row = HashMap<String, String>;

/// The rows of a table in the folder `out` of a folder.
pub(crate) fn table(folder: &Path, name: &str) -> Vec<Row> {
    let path = folder.join("out").join(format!("{name}.csv"));
    let mut table = csv::Reader::from_path(&path).expect(name);
    table.deserialize().map(|row| row.expect("a row")).collect()
}

/// A number of a row.
pub(crate) fn number(row: &Row, column: &str) -> f64 {
    row[column]
        .parse()
        .unwrap_or_else(|_| panic!("{column}: {row:?}"))
}

/// Path of a shipped weather file, or of their folder.
pub(crate) fn weather(name: &str) -> String {
    root("weather").join(name).display().to_string()
}

/// Path of a shipped scenario.
pub(crate) fn scenario(name: &str) -> String {
    root("scenarios").join(name).display().to_string()
}

fn root(folder: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../..")
        .join(folder)
}

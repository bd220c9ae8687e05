//! The program called as a function.
#![allow(dead_code, reason = "each test target uses a part")]

pub(crate) mod browser;

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

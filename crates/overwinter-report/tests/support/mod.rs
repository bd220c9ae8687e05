//! An output folder made of invented values, and a page as a browser reads it.
#![allow(dead_code, reason = "each test target uses a part of it")]

pub(crate) mod browser;
pub(crate) mod covers;
pub(crate) mod folder;
pub(crate) mod house;
pub(crate) mod money;

use overwinter_report::{Options, page, read};
use overwinter_units::System;

use browser::Document;
use folder::Folder;

/// The page of a folder, US units first.
pub(crate) fn page_of(folder: &Folder) -> Document {
    page_in(folder, System::Us)
}

/// The page of a folder.
pub(crate) fn page_in(folder: &Folder, system: System) -> Document {
    Document::parse(&html_in(folder, system))
}

/// The page as text.
pub(crate) fn html_in(folder: &Folder, system: System) -> String {
    let written = folder.write();
    let run = read(written.path()).expect("a folder that can be read");
    page(&run, &options(system))
}

/// Options of the tests.
pub(crate) fn options(system: System) -> Options {
    Options {
        system,
        date: "1 December 2026".to_owned(),
    }
}

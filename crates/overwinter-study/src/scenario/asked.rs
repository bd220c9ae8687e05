//! What the reader asks a scenario for.

use std::cell::RefCell;
use std::path::Path;

use super::{CaseReader, Header};
use crate::climate::Shelf;
use crate::document::{Findings, Record, parse};
use crate::error::Problem;

/// Reads a scenario only to add what the reader asks for to a record; problems with the scenario
/// come back beside it.
pub(crate) fn asked(text: &str, record: Record) -> (Record, Vec<Problem>) {
    let document = match parse(text) {
        Ok(document) => document,
        Err(problems) => return (record, problems),
    };
    let findings = RefCell::new(Findings::recording(record));
    let header = Header::read(&document, Path::new(""), &findings);
    let mut findings = findings.into_inner();
    let shelf = Shelf::beside(Path::new(""));
    CaseReader::new(document, header.cases, shelf).check(&mut findings);
    (findings.record.unwrap_or_default(), findings.problems)
}

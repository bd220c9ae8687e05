//! Scenario files, the catalogue, cases, parallel running, tables.
//!
//! Absent here: argument parsing, HTML.

pub mod case;
pub mod manifest;
pub mod output;
pub mod run;
pub mod summary;
pub mod tables;

#[cfg(test)]
mod handmade;

//! Scenario files, the catalogue, cases, parallel running, tables.
//!
//! Absent here: argument parsing, HTML.

pub mod case;

//! Scenario files, the catalogue, cases, parallel running, tables.
//!
//! Absent here: argument parsing, HTML.

mod axes;
pub mod case;
mod case_list;
pub mod cases;
pub mod catalogue;
mod climate;
pub mod covers;
mod document;
pub mod error;
pub mod features;
pub mod inflate;
pub mod interruption;
pub mod manifest;
pub mod money;
pub mod outages;
pub mod output;
pub mod ranking;
mod recent;
pub mod run;
pub mod sampling;
pub mod scenario;
pub mod schema;
pub mod stress;
pub mod summary;
pub mod suns;
pub mod sweep;
pub mod tables;

#[cfg(test)]
mod handmade;

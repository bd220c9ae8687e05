//! A finished run as one page of HTML: charts, tables and text to read, print and hand on.
//!
//! The page needs no network, no script and no file beside it. It is made from the tables and the
//! manifest of an output folder alone: [`read`] reads them, [`page()`] writes the page.
//!
//! Absent here: the engine, the study's internals, data frames, the clock.

mod chart;
mod designs;
mod error;
mod facts;
mod figures;
mod folder;
mod manifest;
mod page;
mod plain_text;
mod savings;
mod style;
mod table;

pub use error::ReportError;
pub use folder::{Run, read};
pub use page::{Options, page};

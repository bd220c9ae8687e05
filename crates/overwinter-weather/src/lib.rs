//! A typical or real year of hourly weather: the [`Year`] type, readers of the public file formats,
//! checks, and climate statistics.
//!
//! Absent here: houses, data frames.

pub mod year;

pub use year::{LongwaveSource, Note, Place, Year};

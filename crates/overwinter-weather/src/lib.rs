//! A typical or real year of hourly weather: the [`Year`] type, readers of the public file formats,
//! checks, and climate statistics.
//!
//! Absent here: houses, data frames.

mod assemble;
mod axes;
mod calendar;
mod checks;
pub mod climate;
pub mod clock;
mod containers;
mod error;
mod field;
mod gaps;
mod heading;
mod humidity;
mod read;
mod readers;
mod rows;
mod sky;
mod sun_angle;
mod sunshine;
mod table;
mod tally;
mod text;
mod titles;
pub mod year;

pub use climate::{ClimateSummary, summarise, summarise_to_base};
pub use clock::{clock_correction_h, clock_offset_h, with_clock_corrected};
pub use error::WeatherError;
pub use read::{GivenPlace, ReadOptions, read_bytes, read_bytes_with, read_file, read_file_with};
pub use readers::plain::plain_table;
pub use year::{LongwaveSource, Note, Place, Year};

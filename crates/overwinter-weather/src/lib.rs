//! A typical or real year of hourly weather: the [`Year`] type, readers of the public file formats,
//! checks, and climate statistics.
//!
//! A file goes one way: bytes -> text -> the reader of its format, found from the content -> a table
//! of rows in SI units with missing values marked -> 8,760 rows in order, gaps bridged -> the two
//! time axes of a [`Year`] -> checks. What was mended or looks wrong is in [`Year::notes`]; what
//! cannot be mended is a [`WeatherError`] that names file, line, value and remedy.
//!
//! Absent here: houses, data frames.
//!
//! ```
//! // A plain table: the heading, the titles, and 8,760 rows.
//! let mut text = [
//!     "# weather: plain hourly table",
//!     "# place: Hill Farm",
//!     "# latitude_deg: 45",
//!     "# longitude_deg: 15",
//!     "# time_zone_h: 1",
//!     "# elevation_m: 250",
//!     "month,day,hour,air_temp_c,dew_point_c,wind_m_s,global_horizontal_w_m2\n",
//! ]
//! .join("\n");
//! for (month, days) in (1..).zip([31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]) {
//!     for day in 1..=days {
//!         for hour in 0..24 {
//!             text += &format!("{month},{day},{hour},-3.5,-5.0,2.0,0\n");
//!         }
//!     }
//! }
//! let year = overwinter_weather::read_bytes(text.as_bytes(), "hill-farm.csv")?;
//! assert!((year.air_temp_k[0] - 269.65).abs() < 1e-9);
//! // 365 days, each 18.3 + 3.5 K below the base.
//! let climate = overwinter_weather::summarise(&year);
//! assert!((climate.degree_days.sum_k_day - 365.0 * 21.8).abs() < 1e-6);
//! # Ok::<(), overwinter_weather::WeatherError>(())
//! ```

mod assemble;
mod axes;
mod calendar;
mod checks;
pub mod climate;
pub mod clock;
mod containers;
pub mod design_night;
mod error;
mod field;
mod gaps;
mod heading;
mod humidity;
mod longwave_moment;
pub mod nights;
mod read;
mod readers;
mod rows;
mod same_place;
mod sky;
pub mod stress;
mod sun_angle;
mod sunshine;
mod table;
mod tally;
mod text;
mod titles;
pub mod year;
mod year_kind;

pub use climate::{ClimateSummary, summarise, summarise_to_base};
pub use clock::{clock_correction_h, clock_offset_h, with_clock_corrected};
pub use design_night::{DesignNight, DesignSky, design_night};
pub use error::WeatherError;
pub use nights::{NightHours, night_hours, nights_lowest_k};
pub use read::{GivenPlace, ReadOptions, read_bytes, read_bytes_with, read_file, read_file_with};
pub use readers::plain::plain_table;
pub use same_place::is_same_place;
pub use stress::{ColdSpell, Stress, Unstressed, cold_spell};
pub use year::{LongwaveSource, Note, Place, Year};
pub use year_kind::YearKind;

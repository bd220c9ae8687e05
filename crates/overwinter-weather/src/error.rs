//! Why a weather file was not read, or a year could not be put under a stress.

use crate::climate::ZERO_CELSIUS_K;
use std::path::PathBuf;

/// Why a weather file was not read, or a year not put under a stress: which file, which line, what
/// was found, what would be right.
///
/// Lines count from 1. Values from the file are cut to a printable length.
#[derive(Debug, thiserror::Error)]
pub enum WeatherError {
    /// The file could not be opened or read at all.
    #[error("{path}: cannot be read ({source}); give the path of a readable weather file", path = path.display())]
    Unreadable {
        /// The path that was tried.
        path: PathBuf,
        /// What the operating system said.
        source: std::io::Error,
    },
    /// The content is of none of the known formats.
    #[error(
        "{file}: line {line}: no known weather format begins with `{found}`; expected TMY3 CSV, TMY2, \
         EPW, PVGIS CSV or JSON, NSRDB CSV, or the plain CSV beginning `# weather: plain hourly table`"
    )]
    UnknownFormat {
        /// File name.
        file: String,
        /// The line that was looked at.
        line: usize,
        /// The start of that line.
        found: String,
    },
    /// The format is known and refused.
    #[error("{file}: line {line}: {format} is not read: {remedy}")]
    RefusedFormat {
        /// File name.
        file: String,
        /// The line that identifies the format.
        line: usize,
        /// The format, in words.
        format: &'static str,
        /// Why, and what to use instead.
        remedy: &'static str,
    },
    /// A heading item is missing or cannot be understood.
    #[error("{file}: line {line}: {item} is `{value}`; expected {wanted}")]
    BadHeading {
        /// File name.
        file: String,
        /// Line number.
        line: usize,
        /// The heading item.
        item: &'static str,
        /// What stands there.
        value: String,
        /// What would be right.
        wanted: &'static str,
    },
    /// A column the reader cannot do without is absent.
    #[error("{file}: line {line}: no column `{column}`; expected {wanted}")]
    MissingColumn {
        /// File name.
        file: String,
        /// Line number of the column titles.
        line: usize,
        /// The quantity that is missing.
        column: &'static str,
        /// Titles that would be understood.
        wanted: &'static str,
    },
    /// A row ends before the columns that are needed.
    #[error(
        "{file}: line {line}: the row ends after {found} {unit}; expected `{column}` at number {wanted}, \
         so the file may be cut off here"
    )]
    ShortRow {
        /// File name.
        file: String,
        /// Line number.
        line: usize,
        /// The first needed column that is absent.
        column: &'static str,
        /// Number of values or characters in the row.
        found: usize,
        /// What is counted.
        unit: &'static str,
        /// Position of the needed value, counted from 1.
        wanted: usize,
    },
    /// The text is not valid JSON.
    #[error(
        "{file}: line {line}, character {column}: not valid JSON ({reason}); the file may be cut off"
    )]
    BadJson {
        /// File name.
        file: String,
        /// Line number.
        line: usize,
        /// Character within the line, counted from 1.
        column: usize,
        /// What the parser said.
        reason: String,
    },
    /// A cell is not a number.
    #[error("{file}: line {line}: {column} is `{value}`; expected {wanted}")]
    BadNumber {
        /// File name.
        file: String,
        /// Line number.
        line: usize,
        /// The column.
        column: String,
        /// What stands there.
        value: String,
        /// What would be right.
        wanted: &'static str,
    },
    /// A row is not the next hour of the year.
    #[error(
        "{file}: line {line}: the row is stamped {found}; expected {wanted}, the next hour of the year"
    )]
    RowOutOfOrder {
        /// File name.
        file: String,
        /// Line number.
        line: usize,
        /// Month, day and hour found.
        found: String,
        /// Month, day and hour expected.
        wanted: String,
    },
    /// The file ends before the year does.
    #[error(
        "{file}: line {line}: the file ends with {last} after {rows} hourly rows; expected 8760 rows \
         to the end of 31 December"
    )]
    Truncated {
        /// File name.
        file: String,
        /// Line number of the last row.
        line: usize,
        /// Stamp of the last row, or that there is none.
        last: String,
        /// Rows of the year found.
        rows: usize,
    },
    /// There are more rows than hours in a year.
    #[error(
        "{file}: line {line}: row {rows} stands after the end of the year; expected 8760 hourly rows"
    )]
    TooManyRows {
        /// File name.
        file: String,
        /// Line number of the first row too many.
        line: usize,
        /// Number of that row.
        rows: usize,
    },
    /// The rows are those of several years.
    #[error(
        "{file}: line {line}: the years {first} to {last} stand in one file; expected 8760 hourly rows \
         of one year, so save each year as a file of its own"
    )]
    SeveralYears {
        /// File name.
        file: String,
        /// Line number of the first row of the second year.
        line: usize,
        /// Year of the first row.
        first: i32,
        /// Year of the last row.
        last: i32,
    },
    /// The rows are closer than an hour.
    #[error(
        "{file}: line {line}: {per_hour} rows an hour; only hourly files are read, so download or \
         average it to hourly values"
    )]
    SubHourly {
        /// File name.
        file: String,
        /// Line number that shows it.
        line: usize,
        /// Rows an hour.
        per_hour: usize,
    },
    /// A run of missing values is too long to bridge.
    #[error(
        "{file}: line {line}: {column} is missing for {hours} hours; at most {limit_h} hours are \
         filled, so use a file without this gap"
    )]
    Gap {
        /// File name.
        file: String,
        /// Line number where the gap begins.
        line: usize,
        /// The quantity.
        column: &'static str,
        /// Length of the gap.
        hours: usize,
        /// Longest gap that is filled.
        limit_h: usize,
    },
    /// The file does not say where its place is.
    #[error(
        "{file}: line {line}: the file does not say where it is; put back the two heading lines with \
         Latitude, Longitude, Time Zone and Elevation, or give the place beside the file"
    )]
    NoPlace {
        /// File name.
        file: String,
        /// The line where the place should stand.
        line: usize,
    },
    /// A stated coldest hour is warmer than the year's own.
    #[error(
        "a coldest hour of {:.2} degC is asked of a year that goes down to {:.2} degC by itself; \
         give a lower one",
        coldest_k - ZERO_CELSIUS_K,
        lowest_k - ZERO_CELSIUS_K
    )]
    NotColder {
        /// The coldest hour asked for, K.
        coldest_k: f64,
        /// Lowest air temperature of the year, moved as asked, K.
        lowest_k: f64,
    },
    /// Something asked of a year is outside what can be.
    #[error("{what} is {value}; expected {least} to {most}")]
    BadStress {
        /// The quantity.
        what: &'static str,
        /// Its value.
        value: f64,
        /// Least value.
        least: f64,
        /// Greatest value.
        most: f64,
    },
}

/// The start of a text from a file, fit for a message.
pub(crate) fn shortened(text: &str) -> String {
    const LONGEST: usize = 60;
    let mut out: String = text
        .chars()
        .take(LONGEST)
        .map(|c| if c.is_control() { '.' } else { c })
        .collect();
    if text.chars().nth(LONGEST).is_some() {
        out.push_str("...");
    }
    out
}

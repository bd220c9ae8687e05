//! Reading a file of any known format; the format is found from the content.

use crate::assemble::assemble;
use crate::containers::{refuse_container, refuse_layout};
use crate::error::{WeatherError, shortened};
use crate::heading::HeadingLine;
use crate::readers::{epw, nsrdb, plain, pvgis_csv, pvgis_json, tmy2, tmy3, try_dwd};
use crate::table::Table;
use crate::text::{Line, Text};
use crate::year::Year;
use std::path::Path;

/// What the reader is told beside the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReadOptions {
    /// Local standard time minus UTC for formats that keep UTC; by default the longitude over 15,
    /// rounded.
    pub time_zone_h: Option<f64>,
    /// The place, for tables that lost their heading.
    pub place: Option<GivenPlace>,
}

/// A place told beside a file.
#[derive(Clone, Debug, PartialEq)]
pub struct GivenPlace {
    /// What to call it.
    pub name: String,
    /// Latitude, north positive.
    pub latitude_deg: f64,
    /// Longitude, east positive.
    pub longitude_deg: f64,
    /// Height above sea level.
    pub elevation_m: f64,
}

impl ReadOptions {
    /// What is told beside the file lies in the same ranges as what a file may say.
    fn check(&self, file: &str) -> Result<(), WeatherError> {
        let line = HeadingLine { file, line: 0 };
        if let Some(zone_h) = self.time_zone_h {
            line.time_zone_h(&zone_h.to_string())?;
        }
        if let Some(place) = &self.place {
            line.latitude_deg(&place.latitude_deg.to_string())?;
            line.longitude_deg(&place.longitude_deg.to_string())?;
            line.elevation_m(&place.elevation_m.to_string())?;
        }
        Ok(())
    }
}

/// Reads a weather file.
///
/// # Errors
/// Every defect that cannot be mended, with file name, line, what was found and what would be right.
pub fn read_file(path: &Path) -> Result<Year, WeatherError> {
    read_file_with(path, &ReadOptions::default())
}

/// As [`read_file`], with something told beside the file.
///
/// # Errors
/// As [`read_file`].
pub fn read_file_with(path: &Path, options: &ReadOptions) -> Result<Year, WeatherError> {
    let bytes = std::fs::read(path).map_err(|source| WeatherError::Unreadable {
        path: path.to_owned(),
        source,
    })?;
    read_bytes_with(&bytes, &path.display().to_string(), options)
}

/// Reads a weather file from its bytes; `name` stands in messages.
///
/// # Errors
/// As [`read_file`].
pub fn read_bytes(bytes: &[u8], name: &str) -> Result<Year, WeatherError> {
    read_bytes_with(bytes, name, &ReadOptions::default())
}

/// As [`read_bytes`], with something told beside the file.
///
/// # Errors
/// As [`read_file`].
pub fn read_bytes_with(
    bytes: &[u8],
    name: &str,
    options: &ReadOptions,
) -> Result<Year, WeatherError> {
    options.check(name)?;
    refuse_container(name, bytes)?;
    let text = Text::decode(bytes);
    let lines = text.lines();
    let first = lines
        .iter()
        .position(|line| !line.text.trim().is_empty())
        .unwrap_or(0);
    let mut table = read_table(name, &text.content, &lines[first..], options)?;
    if text.had_byte_order_mark {
        table
            .tally
            .count("byte order mark before the text", 1, "dropped");
    }
    if text.was_latin_1 {
        table.tally.count("text is not UTF-8", 0, "read as Latin-1");
    }
    assemble(table)
}

fn read_table(
    name: &str,
    text: &str,
    lines: &[Line<'_>],
    options: &ReadOptions,
) -> Result<Table, WeatherError> {
    refuse_layout(name, lines)?;
    let first_line = lines.first().map_or("", |line| line.text);
    if epw::is_this(lines) {
        epw::read(name, lines, options.time_zone_h)
    } else if pvgis_json::is_this(first_line) {
        pvgis_json::read(name, text, options.time_zone_h)
    } else if pvgis_csv::is_this(lines) {
        pvgis_csv::read(name, lines, options.time_zone_h)
    } else if plain::is_this(lines) {
        plain::read(name, lines)
    } else if tmy3::is_this(lines) {
        tmy3::read(name, lines)
    } else if nsrdb::is_this(lines) {
        nsrdb::read(name, lines, options)
    } else if tmy2::is_this(lines) {
        tmy2::read(name, lines)
    } else if try_dwd::is_this(lines) {
        try_dwd::read(name, lines)
    } else {
        Err(WeatherError::UnknownFormat {
            file: name.to_owned(),
            line: lines.first().map_or(1, |line| line.number),
            found: shortened(first_line),
        })
    }
}

//! Test reference years of the German weather service: recognised and refused.
//!
//! Their radiation is in true solar time at stations that measured it and on the stamp in Central
//! European Time where it was computed, and the file alone does not always tell which; reading them
//! on either clock would move the sun by up to half an hour.

use crate::error::WeatherError;
use crate::text::Line;

/// Lines among which the heading must end.
const HEADING_LINES: usize = 80;

/// True where a line of three asterisks follows a title line with month, day, hour.
pub(crate) fn is_this(lines: &[Line<'_>]) -> bool {
    heading_end(lines).is_some()
}

fn heading_end<'a>(lines: &'a [Line<'a>]) -> Option<&'a Line<'a>> {
    let end = lines
        .iter()
        .take(HEADING_LINES)
        .position(|line| line.text.starts_with("***"))?;
    let titles: Vec<&str> = lines[end.checked_sub(1)?].text.split_whitespace().collect();
    ["MM", "DD", "HH"]
        .iter()
        .all(|title| titles.contains(title))
        .then(|| &lines[end])
}

pub(crate) fn refused(file: &str, lines: &[Line<'_>]) -> WeatherError {
    WeatherError::RefusedFormat {
        file: file.to_owned(),
        line: heading_end(lines).map_or(1, |line| line.number),
        format: "the German test reference year layout (TRY)",
        remedy: "its radiation is in true solar time at some stations and in Central European Time at \
                 others; use a PVGIS typical year of the place instead",
    }
}

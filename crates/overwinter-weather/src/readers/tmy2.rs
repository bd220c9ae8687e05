//! TMY2 files: fixed width, one heading line.
//!
//! Positions after W. Marion and K. Urban (1995), "User's Manual for TMY2s", National Renewable
//! Energy Laboratory, tables 3-1 and 3-2 (from memory; checked on a real file). Radiation covers the
//! hour before the stamp, all else is observed at it; local standard time.

use crate::error::{WeatherError, shortened};
use crate::field::Field;
use crate::heading::HeadingLine;
use crate::table::{ColumnRule, RowClock, Stamp, Table};
use crate::text::Line;
use crate::year::Place;
use std::ops::RangeInclusive;

/// A quantity between two character positions, counted from 1.
struct FixedColumn {
    field: Field,
    span: RangeInclusive<usize>,
    scale: f64,
    missing_from: f64,
    title: &'static str,
}

const fn fixed(
    field: Field,
    span: RangeInclusive<usize>,
    scale: f64,
    missing_from: f64,
    title: &'static str,
) -> FixedColumn {
    FixedColumn {
        field,
        span,
        scale,
        missing_from,
        title,
    }
}

const COLUMNS: [FixedColumn; 12] = [
    fixed(
        Field::Extraterrestrial,
        10..=13,
        1.0,
        9999.0,
        "extraterrestrial radiation",
    ),
    fixed(
        Field::GlobalHorizontal,
        18..=21,
        1.0,
        9999.0,
        "global horizontal radiation",
    ),
    fixed(
        Field::DirectNormal,
        24..=27,
        1.0,
        9999.0,
        "direct normal radiation",
    ),
    fixed(
        Field::DiffuseHorizontal,
        30..=33,
        1.0,
        9999.0,
        "diffuse horizontal radiation",
    ),
    fixed(
        Field::OpaqueCover,
        64..=65,
        0.1,
        99.0,
        "opaque sky cover (tenths)",
    ),
    fixed(
        Field::AirTemp,
        68..=71,
        0.1,
        999.0,
        "dry bulb (tenths of a degree)",
    ),
    fixed(
        Field::DewPoint,
        74..=77,
        0.1,
        999.0,
        "dew point (tenths of a degree)",
    ),
    fixed(Field::Humidity, 80..=82, 0.01, 999.0, "relative humidity"),
    fixed(Field::Pressure, 85..=88, 100.0, 9999.0, "pressure (mbar)"),
    fixed(Field::WindFrom, 91..=93, 1.0, 999.0, "wind direction"),
    fixed(
        Field::Wind,
        96..=98,
        0.1,
        999.0,
        "wind speed (tenths of m/s)",
    ),
    fixed(Field::SnowDepth, 134..=136, 0.01, 999.0, "snow depth (cm)"),
];

/// True for a heading with hemisphere letters in their places above a row of digits.
pub(crate) fn is_this(lines: &[Line<'_>]) -> bool {
    let (Some(heading), Some(row)) = (lines.first(), lines.get(1)) else {
        return false;
    };
    let at = |from: usize, to: usize| characters(heading.text, &(from..=to)).unwrap_or("");
    matches!(at(38, 38), "N" | "S")
        && matches!(at(46, 46), "E" | "W")
        && characters(row.text, &(2..=13))
            .is_some_and(|text| text.bytes().all(|b| b.is_ascii_digit()))
}

pub(crate) fn read(file: &str, lines: &[Line<'_>]) -> Result<Table, WeatherError> {
    let mut table = Table::new(file, place(file, &lines[0])?, RowClock::HOUR_ENDING);
    let rules = COLUMNS.map(|column| {
        let is_celsius = matches!(column.field, Field::AirTemp | Field::DewPoint);
        let rule = ColumnRule {
            field: column.field,
            index: column.span.end() - 1,
            title: column.title.to_owned(),
            scale: column.scale,
            offset: if is_celsius { 273.15 } else { 0.0 },
            missing_from: column.missing_from,
        };
        (rule, column.span)
    });
    for line in lines[1..].iter().filter(|line| !line.is_blank()) {
        table.begin_row(line.number, stamp(file, line)?);
        for (rule, span) in &rules {
            let text = characters(line.text, span);
            let number =
                table.cell_number(text, rule, line.number, line.text.len(), "characters")?;
            table.push_number(rule, number, line.number);
        }
    }
    Ok(table)
}

/// Characters by their positions from 1; none where the line is shorter.
fn characters<'a>(text: &'a str, span: &RangeInclusive<usize>) -> Option<&'a str> {
    text.get(span.start() - 1..*span.end())
}

fn place(file: &str, line: &Line<'_>) -> Result<Place, WeatherError> {
    let heading = HeadingLine {
        file,
        line: line.number,
    };
    let at = |from: usize, to: usize| characters(line.text, &(from..=to)).unwrap_or("").trim();
    let degrees = |letter: &str, whole: &str, minutes: &str| {
        let value = whole.parse::<f64>().ok()? + minutes.parse::<f64>().ok()? / 60.0;
        Some(if matches!(letter, "S" | "W") {
            -value
        } else {
            value
        })
    };
    let written =
        |value: Option<f64>| value.map_or("unreadable".to_owned(), |value| value.to_string());
    Ok(Place {
        name: at(8, 29).to_owned(),
        region: at(31, 32).to_owned(),
        time_zone_h: heading.time_zone_h(at(34, 36))?,
        latitude_deg: heading.latitude_deg(&written(degrees(
            at(38, 38),
            at(40, 41),
            at(43, 44),
        )))?,
        longitude_deg: heading.longitude_deg(&written(degrees(
            at(46, 46),
            at(48, 50),
            at(52, 53),
        )))?,
        elevation_m: heading.elevation_m(at(56, 59))?,
        format: "TMY2".to_owned(),
    })
}

/// Two-digit year of the twentieth century, month, day, hour 1 to 24.
fn stamp(file: &str, line: &Line<'_>) -> Result<Stamp, WeatherError> {
    let part = |from: usize| {
        characters(line.text, &(from..=from + 1)).and_then(|text| text.trim().parse::<u32>().ok())
    };
    let (Some(month), Some(day), Some(hour)) = (part(4), part(6), part(8)) else {
        return Err(WeatherError::BadNumber {
            file: file.to_owned(),
            line: line.number,
            column: "year, month, day, hour".to_owned(),
            value: shortened(characters(line.text, &(2..=9)).unwrap_or(line.text)),
            wanted: "eight digits YYMMDDHH",
        });
    };
    let year = part(2)
        .filter(|&year| year > 0)
        .and_then(|year| i32::try_from(1900 + year).ok());
    Ok(Stamp {
        year,
        month,
        day,
        hour,
        minute: 0,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The published Miami example: 25 deg 48 min north, 80 deg 16 min west, 2 m, UTC-5.
    #[test]
    fn heading_has_degrees_and_minutes() {
        let text = " 12839 MIAMI                  FL  -5 N 25 48 W  80 16     2";
        let place = place("miami", &Line { number: 1, text }).expect("a good heading");
        assert_eq!(
            (place.name.as_str(), place.region.as_str()),
            ("MIAMI", "FL")
        );
        assert!((place.latitude_deg - 25.8).abs() < 1e-9);
        assert!((place.longitude_deg + 80.0 + 16.0 / 60.0).abs() < 1e-9);
        assert!((place.time_zone_h + 5.0).abs() < 1e-9 && (place.elevation_m - 2.0).abs() < 1e-9);
    }
}

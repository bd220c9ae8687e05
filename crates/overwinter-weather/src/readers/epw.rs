//! The EPW interchange layout: eight heading lines, then one row of 29 to 35 values an hour.
//!
//! Radiation and longwave cover the hour that ends at the label, all else is observed at the label.
//! Files that the European PVGIS service writes in this layout are different inside: their rows are
//! UTC whatever the heading says and their radiation is an instant; they are told by their comment
//! and read with that clock.

use crate::error::{WeatherError, shortened};
use crate::field::Field;
use crate::heading::{HeadingLine, name_of_position, zone_of_longitude_h};
use crate::table::{ColumnRule, RowClock, Stamp, Table};
use crate::text::Line;
use crate::year::Place;

/// Field, position, scale, offset, first missing code, title.
const COLUMNS: [(Field, usize, f64, f64, f64, &str); 14] = [
    (Field::AirTemp, 6, 1.0, 273.15, 99.0, "dry bulb"),
    (Field::DewPoint, 7, 1.0, 273.15, 99.0, "dew point"),
    (Field::Humidity, 8, 0.01, 0.0, 900.0, "relative humidity"),
    (Field::Pressure, 9, 1.0, 0.0, 999_000.0, "station pressure"),
    (
        Field::Extraterrestrial,
        10,
        1.0,
        0.0,
        9999.0,
        "extraterrestrial horizontal radiation",
    ),
    (
        Field::Longwave,
        12,
        1.0,
        0.0,
        9999.0,
        "horizontal infrared radiation",
    ),
    (
        Field::GlobalHorizontal,
        13,
        1.0,
        0.0,
        9999.0,
        "global horizontal radiation",
    ),
    (
        Field::DirectNormal,
        14,
        1.0,
        0.0,
        9999.0,
        "direct normal radiation",
    ),
    (
        Field::DiffuseHorizontal,
        15,
        1.0,
        0.0,
        9999.0,
        "diffuse horizontal radiation",
    ),
    (Field::WindFrom, 20, 1.0, 0.0, 999.0, "wind direction"),
    (Field::Wind, 21, 1.0, 0.0, 999.0, "wind speed"),
    (Field::OpaqueCover, 23, 0.1, 0.0, 99.0, "opaque sky cover"),
    (Field::SnowDepth, 30, 0.01, 0.0, 999.0, "snow depth"),
    (Field::Albedo, 32, 1.0, 0.0, 99.0, "albedo"),
];

/// Lines among which the heading must end.
const HEADING_LINES: usize = 20;

pub(crate) fn is_this(lines: &[Line<'_>]) -> bool {
    lines
        .first()
        .is_some_and(|line| keyword(line.text) == "LOCATION")
}

pub(crate) fn read(
    file: &str,
    lines: &[Line<'_>],
    zone_given_h: Option<f64>,
) -> Result<Table, WeatherError> {
    let heading_end = heading_end(file, lines)?;
    let heading = &lines[..heading_end];
    let pvgis_offset_h = pvgis_radiation_offset_h(heading);
    let mut place = place(file, &lines[0])?;
    let mut clock = RowClock::HOUR_ENDING;
    if let Some(offset_h) = pvgis_offset_h {
        place.format = "EPW layout written by PVGIS (rows in UTC)".to_owned();
        place.time_zone_h = zone_given_h.unwrap_or(zone_of_longitude_h(place.longitude_deg));
        clock = RowClock {
            // Written one hour less than the service's own tables.
            radiation_h: offset_h + 1.0,
            air_h: 0.0,
            longwave_h: 0.0,
            local_minus_stamp_h: place.time_zone_h,
        };
    }
    let mut table = Table::new(file, place, clock);
    if pvgis_offset_h.is_some() {
        let line = lines[0].number;
        let action = "read as UTC and rotated to local standard time; the radiation as instants";
        table
            .tally
            .count("rows in UTC under a local time zone", line, action);
    }
    let rules = column_rules();
    let mut cells: Vec<&str> = Vec::new();
    for line in lines[heading_end..].iter().filter(|line| !line.is_blank()) {
        cells.clear();
        cells.extend(line.cells());
        table.begin_row(line.number, stamp(file, line, &cells)?);
        table.push_cells(&cells, &rules, line.number)?;
    }
    Ok(table)
}

fn keyword(text: &str) -> String {
    text.split(',').next().unwrap_or("").trim().to_uppercase()
}

/// Index of the first row after `DATA PERIODS`, refusing files of several rows an hour.
fn heading_end(file: &str, lines: &[Line<'_>]) -> Result<usize, WeatherError> {
    let heading = &lines[..lines.len().min(HEADING_LINES)];
    let found = heading
        .iter()
        .position(|line| keyword(line.text) == "DATA PERIODS");
    let Some(index) = found else {
        let last = heading.last().map_or(1, |line| line.number);
        return Err(HeadingLine { file, line: last }.bad(
            "DATA PERIODS",
            "absent",
            "the heading line `DATA PERIODS,1,1,...` before the first row",
        ));
    };
    let line = &lines[index];
    let records = line.text.split(',').nth(2).unwrap_or("").trim();
    match records.parse::<usize>() {
        Ok(1) => Ok(index + 1),
        Ok(per_hour) if per_hour > 1 => Err(WeatherError::SubHourly {
            file: file.to_owned(),
            line: line.number,
            per_hour,
        }),
        _ => Err(HeadingLine {
            file,
            line: line.number,
        }
        .bad("records per hour", records, "1")),
    }
}

/// The offset of the radiation that the PVGIS service states in a comment.
fn pvgis_radiation_offset_h(heading: &[Line<'_>]) -> Option<f64> {
    heading.iter().find_map(|line| {
        let (_, value) = line.text.split_once("Irradiance Time Offset (h):")?;
        let offset_h: f64 = value.trim().trim_end_matches(',').parse().ok()?;
        (-2.0..=2.0).contains(&offset_h).then_some(offset_h)
    })
}

fn place(file: &str, line: &Line<'_>) -> Result<Place, WeatherError> {
    let cells = line.quoted_cells();
    let heading = HeadingLine {
        file,
        line: line.number,
    };
    let cell = |index: usize| cells.get(index).map_or("", String::as_str);
    let (latitude_deg, longitude_deg) = (
        heading.latitude_deg(cell(6))?,
        heading.longitude_deg(cell(7))?,
    );
    let is_named = !matches!(cell(1), "" | "-" | "unknown");
    Ok(Place {
        name: if is_named {
            cell(1).to_owned()
        } else {
            name_of_position(latitude_deg, longitude_deg)
        },
        region: [cell(2), cell(3)]
            .into_iter()
            .filter(|part| !matches!(*part, "" | "-" | "unknown"))
            .collect::<Vec<_>>()
            .join(", "),
        latitude_deg,
        longitude_deg,
        time_zone_h: heading.time_zone_h(cell(8))?,
        elevation_m: heading.elevation_m(cell(9))?,
        format: match cell(4) {
            "" => "EPW layout".to_owned(),
            source => format!("EPW layout from {}", shortened(source)),
        },
    })
}

fn column_rules() -> Vec<ColumnRule> {
    COLUMNS
        .into_iter()
        .map(
            |(field, index, scale, offset, missing_from, title)| ColumnRule {
                field,
                index,
                title: title.to_owned(),
                scale,
                offset,
                missing_from,
            },
        )
        .collect()
}

/// Year, month, day, hour; the minute of hourly files is 0 or 60 and means the same.
fn stamp(file: &str, line: &Line<'_>, cells: &[&str]) -> Result<Stamp, WeatherError> {
    let part = |index: usize| {
        cells
            .get(index)
            .and_then(|text| text.trim().parse::<u32>().ok())
    };
    let (Some(month), Some(day), Some(hour)) = (part(1), part(2), part(3)) else {
        return Err(WeatherError::BadNumber {
            file: file.to_owned(),
            line: line.number,
            column: "year, month, day, hour".to_owned(),
            value: shortened(&cells.iter().take(4).copied().collect::<Vec<_>>().join(",")),
            wanted: "whole numbers such as 1991,1,1,1",
        });
    };
    let year = cells[0].trim().parse().ok().filter(|&year: &i32| year > 0);
    Ok(Stamp {
        year,
        month,
        day,
        hour,
        minute: 0,
    })
}

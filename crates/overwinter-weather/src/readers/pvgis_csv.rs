//! Typical years of the European PVGIS service as comma-separated text.
//!
//! Rows are UTC from 00:00; air and longwave are instants at the stamp, radiation is an instant at
//! the stamp plus the offset that the heading states.

use crate::clock::offset_of_hours_h;
use crate::error::{WeatherError, shortened};
use crate::field::Field;
use crate::heading::{HeadingLine, place_at};
use crate::table::{RowClock, Stamp, Table};
use crate::text::Line;
use crate::titles::{TitledColumn, position, rules_by_title};
use crate::year::Place;

const fn plain(field: Field, titles: &'static [&'static str]) -> TitledColumn {
    TitledColumn {
        field,
        titles,
        scale: 1.0,
        offset: 0.0,
        missing_from: f64::INFINITY,
    }
}

/// The columns of the service's tables, also of its JSON.
pub(crate) const COLUMNS: [TitledColumn; 9] = [
    TitledColumn {
        offset: 273.15,
        missing_from: 99.0,
        ..plain(Field::AirTemp, &["t2m"])
    },
    TitledColumn {
        scale: 0.01,
        missing_from: 900.0,
        ..plain(Field::Humidity, &["rh"])
    },
    plain(Field::GlobalHorizontal, &["g(h)"]),
    plain(Field::DirectNormal, &["gb(n)"]),
    plain(Field::DiffuseHorizontal, &["gd(h)"]),
    plain(Field::Longwave, &["ir(h)"]),
    plain(Field::Wind, &["ws10m"]),
    plain(Field::WindFrom, &["wd10m"]),
    plain(Field::Pressure, &["sp"]),
];

pub(crate) fn is_this(lines: &[Line<'_>]) -> bool {
    lines
        .first()
        .is_some_and(|line| line.text.to_lowercase().starts_with("latitude (decimal"))
}

pub(crate) fn read(
    file: &str,
    lines: &[Line<'_>],
    zone_given_h: Option<f64>,
) -> Result<Table, WeatherError> {
    let titles_at = lines
        .iter()
        .position(|line| line.text.to_lowercase().starts_with("time(utc)"))
        .ok_or_else(|| WeatherError::MissingColumn {
            file: file.to_owned(),
            line: lines.last().map_or(1, |line| line.number),
            column: "time",
            wanted: "a title line beginning `time(UTC),`",
        })?;
    let titles = lines[titles_at].quoted_cells();
    let heading = HeadingLines {
        file,
        lines: &lines[..titles_at],
    }
    .read()?;
    let mut table = begin_table(file, &heading, zone_given_h, "PVGIS CSV");
    push_rows(&mut table, &lines[titles_at..], &titles)?;
    settle_missing_offset(&mut table, &heading);
    Ok(table)
}

/// Reads the rows below the title line up to the legend.
fn push_rows(table: &mut Table, lines: &[Line<'_>], titles: &[String]) -> Result<(), WeatherError> {
    let rules = rules_by_title(titles, &COLUMNS);
    for field in [Field::AirTemp, Field::GlobalHorizontal] {
        if !rules.iter().any(|rule| rule.field == field) {
            return Err(WeatherError::MissingColumn {
                file: table.file.clone(),
                line: lines[0].number,
                column: field.rule().name,
                wanted: "the titles `T2m` and `G(h)`",
            });
        }
    }
    let time = position(titles, &["time(utc)"]).unwrap_or(0);
    let mut cells: Vec<&str> = Vec::new();
    for line in &lines[1..] {
        cells.clear();
        cells.extend(line.cells());
        let Some(stamp) = cells.get(time).and_then(|text| stamp(text)) else {
            break;
        };
        table.begin_row(line.number, stamp);
        table.push_cells(&cells, &rules, line.number)?;
    }
    Ok(())
}

/// What the service says about the place and its radiation.
pub(crate) struct Heading {
    pub(crate) latitude_deg: f64,
    pub(crate) longitude_deg: f64,
    pub(crate) elevation_m: f64,
    /// Hours from the stamp to the moment of the radiation; absent in files of 2024 and before.
    pub(crate) radiation_offset_h: Option<f64>,
}

/// An empty table on the service's clock.
pub(crate) fn begin_table(
    file: &str,
    heading: &Heading,
    zone_given_h: Option<f64>,
    format: &str,
) -> Table {
    let mut place = place_at(
        heading.latitude_deg,
        heading.longitude_deg,
        heading.elevation_m,
        format,
    );
    place.time_zone_h = zone_given_h.unwrap_or(place.time_zone_h);
    let clock = RowClock {
        radiation_h: heading.radiation_offset_h.unwrap_or(0.0),
        air_h: 0.0,
        longwave_h: 0.0,
        local_minus_stamp_h: place.time_zone_h,
    };
    Table::new(file, place, clock)
}

/// Measures the offset of the radiation on the clear days of a table that does not state it.
pub(crate) fn settle_missing_offset(table: &mut Table, heading: &Heading) {
    if heading.radiation_offset_h.is_some() {
        return;
    }
    let in_utc = Place {
        time_zone_h: 0.0,
        ..table.place.clone()
    };
    let early_h = offset_of_hours_h(table.column(Field::GlobalHorizontal), &in_utc, 0.0);
    let months: Vec<f64> = early_h
        .into_iter()
        .flatten()
        .map(|offset_h| -offset_h)
        .collect();
    let mean_h = months.iter().sum::<f64>() / months.len().max(1) as f64;
    // The service's offsets lie between the stamp and the end of the hour.
    let offset_h = (100.0 * mean_h.clamp(0.0, 0.99)).round() / 100.0;
    table.clock.radiation_h = offset_h;
    let action = format!("measured on the clear days: {offset_h:.2} h");
    table
        .tally
        .count("no irradiance time offset in the heading", 0, &action);
}

/// `YYYYMMDD:HHMM`.
pub(crate) fn stamp(text: &str) -> Option<Stamp> {
    let text = text.trim();
    let is_shaped = text.len() == 13
        && text.bytes().enumerate().all(|(index, byte)| match index {
            8 => byte == b':',
            _ => byte.is_ascii_digit(),
        });
    if !is_shaped {
        return None;
    }
    Some(Stamp {
        year: text[0..4].parse().ok(),
        month: text[4..6].parse().ok()?,
        day: text[6..8].parse().ok()?,
        hour: text[9..11].parse().ok()?,
        minute: text[11..13].parse().ok()?,
    })
}

/// The `name: value` lines above the table.
struct HeadingLines<'a> {
    file: &'a str,
    lines: &'a [Line<'a>],
}

impl<'a> HeadingLines<'a> {
    fn read(&self) -> Result<Heading, WeatherError> {
        let (line, text) = self.required("latitude", "`Latitude (decimal degrees): ...`")?;
        let latitude_deg = line.latitude_deg(text)?;
        let (line, text) = self.required("longitude", "`Longitude (decimal degrees): ...`")?;
        let longitude_deg = line.longitude_deg(text)?;
        let (line, text) = self.required("elevation", "`Elevation (m): ...`")?;
        Ok(Heading {
            latitude_deg,
            longitude_deg,
            elevation_m: line.elevation_m(text)?,
            radiation_offset_h: self.radiation_offset_h()?,
        })
    }

    fn value(&self, name: &str) -> Option<(HeadingLine<'a>, &'a str)> {
        self.lines.iter().find_map(|line| {
            let (key, value) = line.text.split_once(':')?;
            key.trim().to_lowercase().starts_with(name).then(|| {
                let place = HeadingLine {
                    file: self.file,
                    line: line.number,
                };
                (place, value.trim().trim_end_matches(','))
            })
        })
    }

    fn required(
        &self,
        name: &'static str,
        wanted: &'static str,
    ) -> Result<(HeadingLine<'a>, &'a str), WeatherError> {
        let absent = HeadingLine {
            file: self.file,
            line: 1,
        };
        self.value(name)
            .ok_or_else(|| absent.bad(name, "absent", wanted))
    }

    fn radiation_offset_h(&self) -> Result<Option<f64>, WeatherError> {
        let Some((line, text)) = self.value("irradiance time offset") else {
            return Ok(None);
        };
        let offset_h = text
            .parse::<f64>()
            .ok()
            .filter(|offset_h| offset_h.abs() <= 1.0);
        offset_h.map(Some).ok_or_else(|| {
            line.bad(
                "irradiance time offset",
                &shortened(text),
                "hours from -1 to 1",
            )
        })
    }
}

//! Test reference years of the German weather service, edition of 2010: a German heading, then rows
//! separated by blanks.
//!
//! Air values stand at the stamp, hours 1 to 24 of Central European Time. The radiation keeps one of
//! two other clocks, measured on real files: where it was observed (column IK mostly 1) it covers
//! the hour before the stamp in true solar time, where it was computed it stands at the stamp.
//! Both are brought to hours of Central European Time. The edition of 2015 keeps no such column and
//! states its place in map metres: it is refused.

use crate::error::{WeatherError, shortened};
use crate::field::Field;
use crate::heading::HeadingLine;
use crate::sun_angle::{solar_noon_h, sun_year};
use crate::table::{ColumnRule, RowClock, Stamp, Table};
use crate::text::Line;
use crate::titles::{TitledColumn, position, rules_by_title};
use crate::year::Place;

const CENTRAL_EUROPEAN_TIME_H: f64 = 1.0;

/// Lines among which the heading must end.
const HEADING_LINES: usize = 80;

/// Code of observed radiation in the column IK.
const OBSERVED: u32 = 1;

const fn column(field: Field, titles: &'static [&'static str], scale: f64) -> TitledColumn {
    TitledColumn {
        field,
        titles,
        scale,
        offset: 0.0,
        missing_from: f64::INFINITY,
    }
}

/// Direct radiation is that on the horizontal here; it goes into the global radiation.
const COLUMNS: [TitledColumn; 8] = [
    TitledColumn {
        offset: 273.15,
        missing_from: 99.0,
        ..column(Field::AirTemp, &["t"], 1.0)
    },
    TitledColumn {
        missing_from: 900.0,
        ..column(Field::Humidity, &["rf"], 0.01)
    },
    TitledColumn {
        missing_from: 9000.0,
        ..column(Field::Pressure, &["p"], 100.0)
    },
    TitledColumn {
        missing_from: 900.0,
        ..column(Field::Wind, &["wg"], 1.0)
    },
    TitledColumn {
        missing_from: 900.0,
        ..column(Field::WindFrom, &["wr"], 1.0)
    },
    column(Field::GlobalHorizontal, &["b"], 1.0),
    column(Field::DiffuseHorizontal, &["d"], 1.0),
    column(Field::Longwave, &["a"], 1.0),
];

/// True where a line of three asterisks follows a title line with month, day, hour.
pub(crate) fn is_this(lines: &[Line<'_>]) -> bool {
    heading_end(lines).is_some()
}

/// Index of the line of asterisks.
fn heading_end(lines: &[Line<'_>]) -> Option<usize> {
    let end = lines
        .iter()
        .take(HEADING_LINES)
        .position(|line| line.text.starts_with("***"))?;
    let titles = titles(&lines[end.checked_sub(1)?]);
    ["MM", "DD", "HH"]
        .iter()
        .all(|title| titles.iter().any(|t| t == title))
        .then_some(end)
}

fn titles(line: &Line<'_>) -> Vec<String> {
    line.text.split_whitespace().map(str::to_owned).collect()
}

pub(crate) fn read(file: &str, lines: &[Line<'_>]) -> Result<Table, WeatherError> {
    let end = heading_end(lines).unwrap_or(1).max(1);
    let titles = titles(&lines[end - 1]);
    let Some(origin) = position(&titles, &["ik"]) else {
        return Err(WeatherError::RefusedFormat {
            file: file.to_owned(),
            line: lines[end].number,
            format: "the 2015 edition of the German test reference year (TRY)",
            remedy: "it does not say which clock its radiation keeps; use the 2010 edition or a PVGIS \
                     typical year of the place instead",
        });
    };
    let mut table = Table::new(file, place(file, &lines[..end])?, RowClock::HOUR_ENDING);
    let observed = push_rows(&mut table, &lines[end + 1..], &titles, origin)?;
    settle_clock(&mut table, &observed);
    Ok(table)
}

/// Reads the rows; tells of each whether its radiation was observed.
fn push_rows(
    table: &mut Table,
    lines: &[Line<'_>],
    titles: &[String],
    origin: usize,
) -> Result<Vec<bool>, WeatherError> {
    let rules = rules_by_title(titles, &COLUMNS);
    let whole = |cells: &[&str], title: &str| {
        let index = position(titles, &[title])?;
        cells.get(index)?.parse::<u32>().ok()
    };
    let mut observed = Vec::new();
    let mut cells: Vec<&str> = Vec::new();
    for line in lines.iter().filter(|line| !line.is_blank()) {
        cells.clear();
        cells.extend(line.text.split_whitespace());
        let parts = ["mm", "dd", "hh"].map(|title| whole(&cells, title));
        let [Some(month), Some(day), Some(hour)] = parts else {
            return Err(WeatherError::BadNumber {
                file: table.file.clone(),
                line: line.number,
                column: "MM, DD, HH".to_owned(),
                value: shortened(line.text.trim()),
                wanted: "whole numbers in the columns MM, DD, HH",
            });
        };
        table.begin_row(
            line.number,
            Stamp {
                year: None,
                month,
                day,
                hour,
                minute: 0,
            },
        );
        table.push_cells(&cells, &rules, line.number)?;
        push_cover(table, whole(&cells, "n"), line.number);
        let code = cells.get(origin).and_then(|text| text.parse().ok());
        observed.push(code == Some(OBSERVED));
    }
    add_direct_to_diffuse(table);
    Ok(observed)
}

/// Cover in eighths; 9 says that fog hides the sky.
fn push_cover(table: &mut Table, eighths: Option<u32>, line: usize) {
    let rule = ColumnRule {
        field: Field::OpaqueCover,
        index: 0,
        title: "N".to_owned(),
        scale: 0.125,
        offset: 0.0,
        missing_from: f64::INFINITY,
    };
    table.push_number(
        &rule,
        eighths.map(|eighths| f64::from(if eighths == 9 { 8 } else { eighths })),
        line,
    );
}

/// Global radiation is direct plus diffuse on the horizontal.
fn add_direct_to_diffuse(table: &mut Table) {
    let diffuse = table.column(Field::DiffuseHorizontal).to_vec();
    for (global, diffuse) in table
        .column_mut(Field::GlobalHorizontal)
        .iter_mut()
        .zip(diffuse)
    {
        *global += diffuse;
    }
}

/// Brings the radiation from its own clock to the hours of the table.
fn settle_clock(table: &mut Table, observed: &[bool]) {
    let observed_rows = observed.iter().filter(|&&observed| observed).count();
    let computed_rows = observed.len() - observed_rows;
    if observed_rows == 0 {
        table.clock.radiation_h = 1.0;
        let action = "read as instants at the stamp";
        let defect = "radiation computed for the stamp, not the hour";
        table.tally.count_many(defect, computed_rows, 0, action);
        return;
    }
    for field in [Field::GlobalHorizontal, Field::DiffuseHorizontal] {
        let shared_out = on_standard_hours(table.column(field), observed, &table.place);
        *table.column_mut(field) = shared_out;
    }
    let action = "shared out to the hours of Central European Time";
    table.tally.count_many(
        "radiation in hours of true solar time",
        observed_rows,
        0,
        action,
    );
    if computed_rows > 0 {
        let defect = "radiation computed for the stamp, not the hour";
        table.tally.count_many(defect, computed_rows, 0, action);
    }
}

/// Radiation shared out to hours of the place's standard time: from hours of true solar time where
/// it was observed, from the hour around the stamp where it was computed.
fn on_standard_hours(rows: &[f64], observed: &[bool], place: &Place) -> Vec<f64> {
    const STAMP_BEFORE_HOUR_END_H: f64 = -0.5;
    let sun = sun_year(place);
    let mut solar_minus_standard_h = 0.0;
    let at = |row: f64| rows[(row as i64).rem_euclid(rows.len() as i64) as usize];
    observed
        .iter()
        .enumerate()
        .map(|(row, &is_observed)| {
            if row % 24 == 0 {
                solar_minus_standard_h = 12.0 - solar_noon_h(&sun, place, row / 24 % 365);
            }
            let later_h = if is_observed {
                solar_minus_standard_h
            } else {
                STAMP_BEFORE_HOUR_END_H
            };
            let begin = row as f64 + later_h;
            let share = begin - begin.floor();
            (1.0 - share) * at(begin.floor()) + share * at(begin.floor() + 1.0)
        })
        .collect()
}

fn place(file: &str, heading: &[Line<'_>]) -> Result<Place, WeatherError> {
    let value = |key: &str| {
        heading
            .iter()
            .find_map(|line| Some((line.number, line.text.trim().strip_prefix(key)?.trim())))
    };
    let wanted = "a line such as `Lage: 51\u{b0}24'N <- B. 6\u{b0}58'O <- L. 152 Meter`";
    let Some((number, text)) = value("Lage:") else {
        return Err(HeadingLine { file, line: 1 }.bad("position (Lage)", "absent", wanted));
    };
    let line = HeadingLine { file, line: number };
    let numbers: Vec<f64> = text
        .split(|c: char| !c.is_ascii_digit())
        .filter_map(|digits| digits.parse().ok())
        .collect();
    let [north, north_minutes, east, east_minutes, elevation_m] = numbers[..] else {
        return Err(line.bad("position (Lage)", text, wanted));
    };
    let name = value("Station:").map_or("", |(_, text)| text);
    Ok(Place {
        name: name.split("  ").next().unwrap_or("").to_owned(),
        region: "Germany".to_owned(),
        latitude_deg: line.latitude_deg(&(north + north_minutes / 60.0).to_string())?,
        longitude_deg: line.longitude_deg(&(east + east_minutes / 60.0).to_string())?,
        time_zone_h: CENTRAL_EUROPEAN_TIME_H,
        elevation_m: line.elevation_m(&elevation_m.to_string())?,
        format: "German test reference year, 2010 edition".to_owned(),
    })
}

//! Comma-separated files of the National Solar Radiation Data Base, and the hour-beginning tables
//! that share their heading.
//!
//! A line of heading names, a line of heading values, a line of titles, then rows stamped with the
//! hour from 0. With a minute column the values stand in the middle of the hour; without one the
//! rows come from hour-ending data, air at the end of the hour. Bare tables without the two heading
//! lines are read where the place is given beside the file.

use crate::error::{WeatherError, shortened};
use crate::field::Field;
use crate::heading::{HeadingLine, name_of_position, zone_of_longitude_h};
use crate::read::ReadOptions;
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

const COLUMNS: [TitledColumn; 11] = [
    plain(Field::GlobalHorizontal, &["ghi"]),
    plain(Field::DirectNormal, &["dni"]),
    plain(Field::DiffuseHorizontal, &["dhi"]),
    TitledColumn {
        offset: 273.15,
        missing_from: 99.0,
        ..plain(
            Field::AirTemp,
            &["temperature", "temp_air", "tdry", "dry bulb", "dry-bulb"],
        )
    },
    TitledColumn {
        offset: 273.15,
        missing_from: 99.0,
        ..plain(
            Field::DewPoint,
            &["dew point", "dew_point", "tdew", "dew-point"],
        )
    },
    TitledColumn {
        scale: 0.01,
        missing_from: 900.0,
        ..plain(
            Field::Humidity,
            &["relative humidity", "relative_humidity", "rh"],
        )
    },
    TitledColumn {
        scale: 100.0,
        missing_from: 9000.0,
        ..plain(Field::Pressure, &["pressure", "pres", "surface pressure"])
    },
    TitledColumn {
        missing_from: 900.0,
        ..plain(Field::Wind, &["wind speed", "wind_speed", "wspd"])
    },
    TitledColumn {
        missing_from: 900.0,
        ..plain(
            Field::WindFrom,
            &["wind direction", "wind_direction", "wdir"],
        )
    },
    TitledColumn {
        scale: 0.01,
        missing_from: 999.0,
        ..plain(Field::SnowDepth, &["snow depth", "snow_depth"])
    },
    plain(
        Field::Albedo,
        &["surface albedo", "surface_albedo", "albedo"],
    ),
];

/// Index of the title line: 2 below the heading, 0 for a bare table.
fn titles_at(lines: &[Line<'_>]) -> Option<usize> {
    [2, 0].into_iter().find(|&index| {
        let cells = lines.get(index).map_or(Vec::new(), Line::quoted_cells);
        ["year", "month", "day", "hour"]
            .iter()
            .all(|title| position(&cells, &[title]).is_some())
    })
}

pub(crate) fn is_this(lines: &[Line<'_>]) -> bool {
    titles_at(lines).is_some()
}

pub(crate) fn read(
    file: &str,
    lines: &[Line<'_>],
    options: &ReadOptions,
) -> Result<Table, WeatherError> {
    let titles_at = titles_at(lines).unwrap_or(0);
    let titles = lines[titles_at].quoted_cells();
    let heading = heading(file, &lines[..titles_at], lines.get(titles_at + 1), options)?;
    let has_minutes = position(&titles, &["minute"]).is_some();
    let (radiation_h, air_h) = if has_minutes { (0.5, 0.5) } else { (0.5, 1.0) };
    let local_minus_stamp_h = heading.place.time_zone_h - heading.stamp_zone_h;
    let clock = RowClock {
        radiation_h,
        air_h,
        longwave_h: air_h,
        local_minus_stamp_h,
    };
    let mut table = Table::new(file, heading.place, clock);
    if local_minus_stamp_h.abs() > 1e-9 {
        let action = "rotated to local standard time";
        table.tally.count(
            "stamps are not in local standard time",
            lines[0].number,
            action,
        );
    }
    if has_minutes {
        let action = "brought to the hour marks by straight lines";
        table
            .tally
            .count_many("air values at half hours", crate::year::HOURS, 0, action);
    }
    push_rows(&mut table, &lines[titles_at..], &titles)?;
    Ok(table)
}

fn push_rows(table: &mut Table, lines: &[Line<'_>], titles: &[String]) -> Result<(), WeatherError> {
    let rules = rules_by_title(titles, &COLUMNS);
    for (field, wanted) in [
        (Field::GlobalHorizontal, "a column titled `GHI`"),
        (
            Field::AirTemp,
            "a column titled `Temperature`; request the file again with it",
        ),
    ] {
        if !rules.iter().any(|rule| rule.field == field) {
            return Err(WeatherError::MissingColumn {
                file: table.file.clone(),
                line: lines[0].number,
                column: field.rule().name,
                wanted,
            });
        }
    }
    let stamp_columns = ["year", "month", "day", "hour", "minute"]
        .map(|title| position(titles, &[title]).unwrap_or(usize::MAX));
    let mut cells: Vec<&str> = Vec::new();
    for line in lines[1..].iter().filter(|line| !line.is_blank()) {
        cells.clear();
        cells.extend(line.cells());
        let stamp = stamp(&table.file, line, &cells, stamp_columns)?;
        table.begin_row(line.number, stamp);
        table.push_cells(&cells, &rules, line.number)?;
    }
    Ok(())
}

struct Heading {
    place: Place,
    /// Zone of the stamps minus UTC.
    stamp_zone_h: f64,
}

fn heading(
    file: &str,
    heading: &[Line<'_>],
    first_row: Option<&Line<'_>>,
    options: &ReadOptions,
) -> Result<Heading, WeatherError> {
    if let [names, values] = heading {
        return read_heading(file, &names.quoted_cells(), values, options);
    }
    let Some(given) = &options.place else {
        return Err(WeatherError::NoPlace {
            file: file.to_owned(),
            line: 1,
        });
    };
    let zone_h = options
        .time_zone_h
        .or_else(|| first_row.and_then(|row| zone_of_stamp_h(row.text)))
        .unwrap_or(zone_of_longitude_h(given.longitude_deg));
    let place = Place {
        name: given.name.clone(),
        region: String::new(),
        latitude_deg: given.latitude_deg,
        longitude_deg: given.longitude_deg,
        time_zone_h: zone_h,
        elevation_m: given.elevation_m,
        format: "NSRDB CSV without its heading".to_owned(),
    };
    Ok(Heading {
        place,
        stamp_zone_h: zone_h,
    })
}

fn read_heading(
    file: &str,
    names: &[String],
    values: &Line<'_>,
    options: &ReadOptions,
) -> Result<Heading, WeatherError> {
    let cells = values.quoted_cells();
    let line = HeadingLine {
        file,
        line: values.number,
    };
    let value = |name: &str| {
        let index = position(names, &[name])?;
        cells
            .get(index)
            .map(String::as_str)
            .filter(|text| !matches!(*text, "" | "-"))
    };
    let required = |name: &'static str, wanted: &'static str| {
        value(name).ok_or_else(|| line.bad(name, "absent", wanted))
    };
    let latitude_deg = line.latitude_deg(required("latitude", "a heading value `Latitude`")?)?;
    let longitude_deg =
        line.longitude_deg(required("longitude", "a heading value `Longitude`")?)?;
    let stamp_zone_h = line.time_zone_h(required("time zone", "a heading value `Time Zone`")?)?;
    let local_zone_h = value("local time zone")
        .map(|text| line.time_zone_h(text))
        .transpose()?;
    let name = value("city").or(value("location id")).map(str::to_owned);
    let place = Place {
        name: name.unwrap_or_else(|| name_of_position(latitude_deg, longitude_deg)),
        region: value("state").unwrap_or("").to_owned(),
        latitude_deg,
        longitude_deg,
        time_zone_h: options.time_zone_h.or(local_zone_h).unwrap_or(stamp_zone_h),
        elevation_m: line.elevation_m(required("elevation", "a heading value `Elevation`")?)?,
        format: "NSRDB CSV".to_owned(),
    };
    Ok(Heading {
        place,
        stamp_zone_h,
    })
}

/// The zone at the end of a first cell such as `2011-01-01 00:30:00-07:00`.
fn zone_of_stamp_h(row: &str) -> Option<f64> {
    let cell = row.split(',').next()?;
    let zone = cell.get(19..)?;
    let (hours, minutes) = zone.get(1..)?.split_once(':')?;
    let zone_h = hours.parse::<f64>().ok()? + minutes.parse::<f64>().ok()? / 60.0;
    let zone_h = if zone.starts_with('-') {
        -zone_h
    } else {
        zone_h
    };
    (-12.0..=14.0).contains(&zone_h).then_some(zone_h)
}

fn stamp(
    file: &str,
    line: &Line<'_>,
    cells: &[&str],
    [year, month, day, hour, minute]: [usize; 5],
) -> Result<Stamp, WeatherError> {
    let part = |index: usize| {
        cells
            .get(index)
            .and_then(|text| text.trim().parse::<u32>().ok())
    };
    let (Some(month), Some(day), Some(hour)) = (part(month), part(day), part(hour)) else {
        return Err(WeatherError::BadNumber {
            file: file.to_owned(),
            line: line.number,
            column: "Year, Month, Day, Hour".to_owned(),
            value: shortened(line.text),
            wanted: "whole numbers in the columns Year, Month, Day, Hour",
        });
    };
    Ok(Stamp {
        year: part(year).and_then(|year| i32::try_from(year).ok()),
        month,
        day,
        hour,
        minute: part(minute).unwrap_or(0),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn zone_stands_at_the_end_of_a_stamp() {
        assert_eq!(
            zone_of_stamp_h("2011-01-01 00:30:00-07:00,2011,1"),
            Some(-7.0)
        );
        assert_eq!(
            zone_of_stamp_h("2011-01-01 00:30:00+05:30,2011,1"),
            Some(5.5)
        );
        assert_eq!(zone_of_stamp_h("0,2020,1,1"), None);
    }
}

//! TMY3 comma-separated files: the 2008 and 2015 layouts, and copies re-saved by a spreadsheet.
//!
//! Layout after S. Wilcox and W. Marion (2008), "Users Manual for TMY3 Data Sets",
//! NREL/TP-581-43156, tables 1-1 to 1-3 (read from real files; the manual from memory). Radiation
//! covers the 60 minutes before the stamp, all else is observed at the stamp; local standard time.

use crate::error::{WeatherError, shortened};
use crate::field::Field;
use crate::heading::HeadingLine;
use crate::table::{RowClock, Stamp, Table};
use crate::text::Line;
use crate::titles::{TitledColumn, position, rules_by_title};
use crate::year::Place;

const NO_CODE: f64 = f64::INFINITY;

const fn plain(field: Field, titles: &'static [&'static str]) -> TitledColumn {
    TitledColumn {
        field,
        titles,
        scale: 1.0,
        offset: 0.0,
        missing_from: NO_CODE,
    }
}

const COLUMNS: [TitledColumn; 12] = [
    plain(Field::GlobalHorizontal, &["ghi (w/m^2)"]),
    plain(Field::DirectNormal, &["dni (w/m^2)"]),
    plain(Field::DiffuseHorizontal, &["dhi (w/m^2)"]),
    plain(Field::Extraterrestrial, &["etr (w/m^2)"]),
    TitledColumn {
        offset: 273.15,
        missing_from: 99.0,
        ..plain(Field::AirTemp, &["dry-bulb (c)"])
    },
    TitledColumn {
        offset: 273.15,
        missing_from: 99.0,
        ..plain(Field::DewPoint, &["dew-point (c)"])
    },
    TitledColumn {
        scale: 0.01,
        missing_from: 900.0,
        ..plain(Field::Humidity, &["rhum (%)"])
    },
    TitledColumn {
        scale: 100.0,
        missing_from: 9000.0,
        ..plain(Field::Pressure, &["pressure (mbar)"])
    },
    TitledColumn {
        missing_from: 900.0,
        ..plain(Field::Wind, &["wspd (m/s)"])
    },
    TitledColumn {
        missing_from: 900.0,
        ..plain(Field::WindFrom, &["wdir (degrees)", "wdir (deg)"])
    },
    TitledColumn {
        scale: 0.1,
        missing_from: 99.0,
        ..plain(Field::OpaqueCover, &["opqcld (tenths)"])
    },
    plain(Field::Albedo, &["alb (unitless)"]),
];

/// True for the two heading lines of a TMY3 file.
pub(crate) fn is_this(lines: &[Line<'_>]) -> bool {
    lines
        .get(1)
        .is_some_and(|line| line.text.to_lowercase().contains("date (mm/dd/yyyy)"))
}

pub(crate) fn read(file: &str, lines: &[Line<'_>]) -> Result<Table, WeatherError> {
    let titles = lines[1].quoted_cells();
    let mut table = Table::new(
        file,
        place(file, &lines[0], &titles)?,
        RowClock::HOUR_ENDING,
    );
    let rules = rules_by_title(&titles, &COLUMNS);
    let missing = |column, wanted| WeatherError::MissingColumn {
        file: file.to_owned(),
        line: lines[1].number,
        column,
        wanted,
    };
    for (field, wanted) in [
        (Field::GlobalHorizontal, "a column titled `GHI (W/m^2)`"),
        (Field::AirTemp, "a column titled `Dry-bulb (C)`"),
    ] {
        if !rules.iter().any(|rule| rule.field == field) {
            return Err(missing(field.rule().name, wanted));
        }
    }
    let date = position(&titles, &["date (mm/dd/yyyy)"])
        .ok_or_else(|| missing("date", "a column titled `Date (MM/DD/YYYY)`"))?;
    let time = position(&titles, &["time (hh:mm)"])
        .ok_or_else(|| missing("time", "a column titled `Time (HH:MM)`"))?;
    let mut cells: Vec<&str> = Vec::new();
    for line in lines[2..].iter().filter(|line| !line.is_blank()) {
        cells.clear();
        cells.extend(line.cells());
        let text = |index: usize| cells.get(index).copied().unwrap_or("");
        let stamp = stamp(file, line, text(date), text(time))?;
        table.begin_row(line.number, stamp);
        table.push_cells(&cells, &rules, line.number)?;
    }
    Ok(table)
}

fn place(file: &str, line: &Line<'_>, titles: &[String]) -> Result<Place, WeatherError> {
    let cells = line.quoted_cells();
    let heading = HeadingLine {
        file,
        line: line.number,
    };
    let cell = |index: usize| cells.get(index).map_or("", String::as_str);
    let layout = if titles
        .iter()
        .any(|title| title.to_lowercase().starts_with("preswth"))
    {
        "2015 layout"
    } else {
        "2008 layout"
    };
    let resaved = if cells.len() > 7 {
        ", re-saved by a spreadsheet"
    } else {
        ""
    };
    Ok(Place {
        name: cell(1).to_owned(),
        region: cell(2).to_owned(),
        time_zone_h: heading.time_zone_h(cell(3))?,
        latitude_deg: heading.latitude_deg(cell(4))?,
        longitude_deg: heading.longitude_deg(cell(5))?,
        elevation_m: heading.elevation_m(cell(6))?,
        format: format!("TMY3 CSV, {layout}{resaved}"),
    })
}

/// `MM/DD/YYYY` and `HH:MM`, also `M/D/YYYY` and `H:MM:SS`.
fn stamp(file: &str, line: &Line<'_>, date: &str, time: &str) -> Result<Stamp, WeatherError> {
    parse_stamp(date, time).ok_or_else(|| WeatherError::BadNumber {
        file: file.to_owned(),
        line: line.number,
        column: "date and time".to_owned(),
        value: shortened(&format!("{date} {time}")),
        wanted: "MM/DD/YYYY and HH:MM",
    })
}

fn parse_stamp(date: &str, time: &str) -> Option<Stamp> {
    let mut date = date.trim().split('/');
    let mut time = time.trim().split(':');
    Some(Stamp {
        month: date.next()?.parse().ok()?,
        day: date.next()?.parse().ok()?,
        year: date.next().and_then(|year| year.parse().ok()),
        hour: time.next()?.parse().ok()?,
        minute: time.next().unwrap_or("0").parse().ok()?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stamps_of_original_and_re_saved_files() {
        let original = parse_stamp("01/31/1997", "24:00");
        let re_saved = parse_stamp("1/31/1997", "24:00:00");
        assert_eq!(original, re_saved);
        assert_eq!(
            original.map(|stamp| (stamp.month, stamp.day, stamp.hour)),
            Some((1, 31, 24))
        );
        assert_eq!(parse_stamp("1997-01-31", "1:00"), None);
    }
}

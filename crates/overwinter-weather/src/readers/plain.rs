//! Our own plain table: units in the column names, the place in lines that begin with `#`.
//!
//! ```text
//! # weather: plain hourly table
//! # place: Hill Farm
//! # latitude_deg: 45.0
//! # longitude_deg: 8.0
//! # time_zone_h: 1
//! # elevation_m: 250
//! month,day,hour,air_temp_c,dew_point_c,wind_m_s,global_horizontal_w_m2,...
//! 1,1,0,-3.2,-5.0,1.5,0,...
//! ```
//!
//! 8,760 rows in local standard time, hours from 0. Air values stand at the hour, radiation is the
//! mean over the hour that begins there. Needed are `month`, `day`, `hour`, `air_temp_c`, `wind_m_s`,
//! `global_horizontal_w_m2` and one of `dew_point_c` and `relative_humidity_percent`; the rest of
//! [`COLUMNS`] is optional and an empty cell is a missing value. Another title is refused, so that
//! no column is lost to a spelling mistake. `# radiation_instant_h: 0.18` says that the radiation is
//! an instant that far into the hour. Further `#` lines are remarks.

use crate::error::{WeatherError, shortened};
use crate::field::Field;
use crate::heading::HeadingLine;
use crate::table::{RowClock, Stamp, Table};
use crate::text::Line;
use crate::titles::{TitledColumn, position, rules_by_title};
use crate::year::{HOURS, Place, Year};
use std::fmt::Write;

/// The first line of the format.
pub(crate) const FIRST_LINE: &str = "# weather: plain hourly table";

const fn column(
    field: Field,
    titles: &'static [&'static str],
    scale: f64,
    offset: f64,
) -> TitledColumn {
    TitledColumn {
        field,
        titles,
        scale,
        offset,
        missing_from: f64::INFINITY,
    }
}

/// The quantities and their titles.
pub(crate) const COLUMNS: [TitledColumn; 13] = [
    column(Field::AirTemp, &["air_temp_c"], 1.0, 273.15),
    column(Field::DewPoint, &["dew_point_c"], 1.0, 273.15),
    column(Field::Humidity, &["relative_humidity_percent"], 0.01, 0.0),
    column(Field::Pressure, &["pressure_hpa"], 100.0, 0.0),
    column(Field::Wind, &["wind_m_s"], 1.0, 0.0),
    column(Field::WindFrom, &["wind_from_deg"], 1.0, 0.0),
    column(
        Field::GlobalHorizontal,
        &["global_horizontal_w_m2"],
        1.0,
        0.0,
    ),
    column(Field::DirectNormal, &["direct_normal_w_m2"], 1.0, 0.0),
    column(
        Field::DiffuseHorizontal,
        &["diffuse_horizontal_w_m2"],
        1.0,
        0.0,
    ),
    column(Field::Longwave, &["sky_longwave_w_m2"], 1.0, 0.0),
    column(Field::OpaqueCover, &["cloud_cover_share"], 1.0, 0.0),
    column(Field::SnowDepth, &["snow_depth_cm"], 0.01, 0.0),
    column(Field::Albedo, &["ground_reflectance_share"], 1.0, 0.0),
];

const STAMP_TITLES: [&str; 3] = ["month", "day", "hour"];

pub(crate) fn is_this(lines: &[Line<'_>]) -> bool {
    lines
        .first()
        .is_some_and(|line| line.text.trim_end_matches([',', ' ']) == FIRST_LINE)
}

pub(crate) fn read(file: &str, lines: &[Line<'_>]) -> Result<Table, WeatherError> {
    let titles_at = lines
        .iter()
        .position(|line| !line.text.starts_with('#') && !line.is_blank());
    let titles_at = titles_at.ok_or_else(|| WeatherError::MissingColumn {
        file: file.to_owned(),
        line: lines.last().map_or(1, |line| line.number),
        column: "column titles",
        wanted: "a title line such as `month,day,hour,air_temp_c,...` below the `#` lines",
    })?;
    let heading = Remarks {
        file,
        lines: &lines[..titles_at],
    };
    let titles = lines[titles_at].quoted_cells();
    refuse_unknown_titles(file, &lines[titles_at], &titles)?;
    let radiation_h = heading.radiation_instant_h()?;
    let clock = RowClock {
        radiation_h,
        air_h: 0.0,
        longwave_h: 0.0,
        local_minus_stamp_h: 0.0,
    };
    let mut table = Table::new(file, heading.place()?, clock);
    push_rows(&mut table, &lines[titles_at..], &titles)?;
    Ok(table)
}

fn refuse_unknown_titles(
    file: &str,
    line: &Line<'_>,
    titles: &[String],
) -> Result<(), WeatherError> {
    let is_known = |title: &String| {
        let title = title.to_lowercase();
        title.is_empty()
            || STAMP_TITLES.contains(&title.as_str())
            || COLUMNS
                .iter()
                .any(|column| column.titles.contains(&title.as_str()))
    };
    match titles.iter().find(|title| !is_known(title)) {
        Some(title) => Err(HeadingLine {
            file,
            line: line.number,
        }
        .bad(
            "column title",
            title,
            "month, day, hour, air_temp_c, dew_point_c, relative_humidity_percent, pressure_hpa, \
             wind_m_s, wind_from_deg, global_horizontal_w_m2, direct_normal_w_m2, \
             diffuse_horizontal_w_m2, sky_longwave_w_m2, cloud_cover_share, snow_depth_cm or \
             ground_reflectance_share",
        )),
        None => Ok(()),
    }
}

fn push_rows(table: &mut Table, lines: &[Line<'_>], titles: &[String]) -> Result<(), WeatherError> {
    let rules = rules_by_title(titles, &COLUMNS);
    let missing = |column, wanted| WeatherError::MissingColumn {
        file: table.file.clone(),
        line: lines[0].number,
        column,
        wanted,
    };
    for (field, wanted) in [
        (Field::AirTemp, "a column `air_temp_c`"),
        (Field::Wind, "a column `wind_m_s`"),
        (Field::GlobalHorizontal, "a column `global_horizontal_w_m2`"),
    ] {
        if !rules.iter().any(|rule| rule.field == field) {
            return Err(missing(field.rule().name, wanted));
        }
    }
    let mut stamp_columns = [0; 3];
    for (index, title) in stamp_columns.iter_mut().zip(STAMP_TITLES) {
        *index = position(titles, &[title])
            .ok_or_else(|| missing(title, "columns `month`, `day` and `hour`"))?;
    }
    let mut cells: Vec<&str> = Vec::new();
    for line in lines[1..]
        .iter()
        .filter(|line| !line.is_blank() && !line.text.starts_with('#'))
    {
        cells.clear();
        cells.extend(line.cells());
        let stamp = stamp(&table.file, line, &cells, stamp_columns)?;
        table.begin_row(line.number, stamp);
        table.push_cells(&cells, &rules, line.number)?;
    }
    Ok(())
}

fn stamp(
    file: &str,
    line: &Line<'_>,
    cells: &[&str],
    columns: [usize; 3],
) -> Result<Stamp, WeatherError> {
    let [month, day, hour] = columns.map(|index| {
        cells
            .get(index)
            .and_then(|text| text.trim().parse::<u32>().ok())
    });
    let (Some(month), Some(day), Some(hour)) = (month, day, hour) else {
        return Err(WeatherError::BadNumber {
            file: file.to_owned(),
            line: line.number,
            column: "month, day, hour".to_owned(),
            value: shortened(line.text),
            wanted: "whole numbers",
        });
    };
    Ok(Stamp {
        year: None,
        month,
        day,
        hour,
        minute: 0,
    })
}

/// The `# key: value` lines.
struct Remarks<'a> {
    file: &'a str,
    lines: &'a [Line<'a>],
}

impl<'a> Remarks<'a> {
    fn value(&self, wanted_key: &str) -> Option<(HeadingLine<'a>, &'a str)> {
        self.lines.iter().find_map(|line| {
            let (key, value) = line.text.trim_start_matches('#').split_once(':')?;
            (key.trim() == wanted_key).then(|| {
                let place = HeadingLine {
                    file: self.file,
                    line: line.number,
                };
                (place, value.trim().trim_end_matches(','))
            })
        })
    }

    fn required(&self, key: &'static str) -> Result<(HeadingLine<'a>, &'a str), WeatherError> {
        let line = self.lines.last().map_or(1, |line| line.number);
        let absent = HeadingLine {
            file: self.file,
            line,
        };
        self.value(key)
            .ok_or_else(|| absent.bad(key, "absent", "a line such as `# latitude_deg: 45.0`"))
    }

    fn place(&self) -> Result<Place, WeatherError> {
        let (line, text) = self.required("latitude_deg")?;
        let latitude_deg = line.latitude_deg(text)?;
        let (line, text) = self.required("longitude_deg")?;
        let longitude_deg = line.longitude_deg(text)?;
        let (line, text) = self.required("time_zone_h")?;
        let time_zone_h = line.time_zone_h(text)?;
        let (line, text) = self.required("elevation_m")?;
        Ok(Place {
            name: self.required("place")?.1.to_owned(),
            region: self.value("region").map_or("", |(_, text)| text).to_owned(),
            latitude_deg,
            longitude_deg,
            time_zone_h,
            elevation_m: line.elevation_m(text)?,
            format: "plain hourly table".to_owned(),
        })
    }

    fn radiation_instant_h(&self) -> Result<f64, WeatherError> {
        let Some((line, text)) = self.value("radiation_instant_h") else {
            return Ok(0.5);
        };
        let instant_h = text
            .parse::<f64>()
            .ok()
            .filter(|instant_h| (0.0..1.0).contains(instant_h));
        instant_h.ok_or_else(|| line.bad("radiation_instant_h", text, "hours from 0 to below 1"))
    }
}

/// A year as the text of a plain hourly table, which reads back to the same year to the digits
/// written (0.01 K, 0.1 W/m2). The mark at the end of the year is not written: on reading it is the
/// first one again.
pub fn plain_table(year: &Year) -> String {
    let mut text = String::with_capacity(100 * HOURS);
    let place = &year.place;
    // Writing to a String cannot fail.
    let _ = write!(
        text,
        "{FIRST_LINE}\n# place: {}\n# region: {}\n# latitude_deg: {}\n# longitude_deg: {}\n\
         # time_zone_h: {}\n# elevation_m: {}\n# radiation_instant_h: {:.4}\n",
        place.name,
        place.region,
        place.latitude_deg,
        place.longitude_deg,
        place.time_zone_h,
        place.elevation_m,
        year.radiation_instant_h
    );
    text.push_str(
        "month,day,hour,air_temp_c,dew_point_c,pressure_hpa,wind_m_s,wind_from_deg,\
         global_horizontal_w_m2,direct_normal_w_m2,diffuse_horizontal_w_m2,sky_longwave_w_m2",
    );
    let side_columns = [
        ("cloud_cover_share", &year.cloud_cover, 1.0),
        ("snow_depth_cm", &year.snow_depth_m, 100.0),
        ("ground_reflectance_share", &year.ground_albedo, 1.0),
    ];
    let side_columns: Vec<SideColumn<'_>> = side_columns
        .into_iter()
        .filter_map(|(title, values, scale)| {
            let values = values.as_deref()?;
            text.push(',');
            text.push_str(title);
            Some(SideColumn { values, scale })
        })
        .collect();
    text.push('\n');
    for hour in 0..HOURS {
        write_row(&mut text, year, hour, &side_columns);
    }
    text
}

/// A quantity that not every year has, and the factor to its written unit.
struct SideColumn<'a> {
    values: &'a [f64],
    scale: f64,
}

fn write_row(text: &mut String, year: &Year, hour: usize, side_columns: &[SideColumn<'_>]) {
    let (month, day, hour_of_day) = crate::calendar::date_of_hour(hour);
    let _ = write!(
        text,
        "{month},{day},{hour_of_day},{:.2},{:.2},{:.2},{:.2},{:.1},{:.1},{:.1},{:.1},{:.1}",
        year.air_temp_k[hour] - 273.15,
        year.dew_point_k[hour] - 273.15,
        year.pressure_pa[hour] / 100.0,
        year.wind_m_s[hour],
        year.wind_from_deg[hour],
        year.global_horizontal_w_m2[hour],
        year.direct_normal_w_m2[hour],
        year.diffuse_horizontal_w_m2[hour],
        year.sky_longwave_w_m2[hour],
    );
    for column in side_columns {
        let _ = write!(text, ",{:.3}", column.scale * column.values[hour]);
    }
    text.push('\n');
}

//! Typical years of the European PVGIS service as JSON; same clock as its comma-separated text.

use crate::error::{WeatherError, shortened};
use crate::heading::HeadingLine;
use crate::readers::pvgis_csv::{COLUMNS, Heading, begin_table, settle_missing_offset, stamp};
use crate::table::{ColumnRule, Table};
use crate::titles::TitledColumn;
use serde_json::Value;

/// True for any JSON object; [`read`] says what is missing from another one.
pub(crate) fn is_this(first_line: &str) -> bool {
    first_line.trim_start().starts_with('{')
}

pub(crate) fn read(
    file: &str,
    text: &str,
    zone_given_h: Option<f64>,
) -> Result<Table, WeatherError> {
    let document: Value = serde_json::from_str(text).map_err(|error| WeatherError::BadJson {
        file: file.to_owned(),
        line: error.line(),
        column: error.column(),
        reason: error.to_string(),
    })?;
    let location = &document["inputs"]["location"];
    let line = HeadingLine { file, line: 1 };
    let heading = Heading {
        latitude_deg: line.latitude_deg(&text_of(&location["latitude"]))?,
        longitude_deg: line.longitude_deg(&text_of(&location["longitude"]))?,
        elevation_m: line.elevation_m(&text_of(&location["elevation"]))?,
        radiation_offset_h: location["irradiance_time_offset"]
            .as_f64()
            .filter(|offset_h| offset_h.abs() <= 1.0),
    };
    let mut table = begin_table(file, &heading, zone_given_h, "PVGIS JSON");
    let Some(rows) = document["outputs"]["tmy_hourly"].as_array() else {
        return Err(line.bad(
            "outputs.tmy_hourly",
            "absent",
            "the list of hourly rows of a typical year",
        ));
    };
    for (index, row) in rows.iter().enumerate() {
        push_row(&mut table, row, index)?;
    }
    settle_missing_offset(&mut table, &heading);
    Ok(table)
}

fn text_of(value: &Value) -> String {
    match value {
        Value::Null => "absent".to_owned(),
        value => value.to_string(),
    }
}

fn push_row(table: &mut Table, row: &Value, index: usize) -> Result<(), WeatherError> {
    // The whole document may stand in one line, so notes have no line and errors name the row.
    const NO_LINE: usize = 0;
    let time = row["time(UTC)"].as_str().unwrap_or("");
    let stamp = stamp(time).ok_or_else(|| {
        bad_value(
            table,
            index,
            "time(UTC)",
            time,
            "a stamp such as 20180101:0000",
        )
    })?;
    table.begin_row(NO_LINE, stamp);
    for column in &COLUMNS {
        let (key, value) = value_of(row, column);
        let number =
            match value {
                Value::Null => None,
                value => Some(value.as_f64().ok_or_else(|| {
                    bad_value(table, index, &key, &value.to_string(), "a number")
                })?),
            };
        table.push_number(&rule(column, key), number, NO_LINE);
    }
    Ok(())
}

/// The value of a column by its title, whatever the case.
fn value_of<'a>(row: &'a Value, column: &TitledColumn) -> (String, &'a Value) {
    let members = row.as_object().into_iter().flatten();
    members
        .filter(|(key, _)| column.titles.contains(&key.trim().to_lowercase().as_str()))
        .map(|(key, value)| (key.clone(), value))
        .next()
        .unwrap_or((column.titles[0].to_owned(), &Value::Null))
}

fn rule(column: &TitledColumn, title: String) -> ColumnRule {
    ColumnRule {
        field: column.field,
        index: 0,
        title,
        scale: column.scale,
        offset: column.offset,
        missing_from: column.missing_from,
    }
}

fn bad_value(
    table: &Table,
    index: usize,
    key: &str,
    value: &str,
    wanted: &'static str,
) -> WeatherError {
    WeatherError::BadNumber {
        file: table.file.clone(),
        line: 1,
        column: format!("tmy_hourly[{index}].{key}"),
        value: shortened(value),
        wanted,
    }
}

//! From the rows of a file to a [`Year`].

use crate::axes::Axes;
use crate::error::WeatherError;
use crate::field::Field;
use crate::gaps::{Bridge, fill_gaps};
use crate::longwave_moment::settle_longwave_moment;
use crate::rows::settle_rows;
use crate::sky::{AirAtInstants, Sky, longwave_and_cloud};
use crate::sun_angle::sun_of_hours;
use crate::sunshine::{Sunshine, complete_sunshine};
use crate::table::Table;
use crate::year::{HOURS, INSTANTS, Year};
use crate::{calendar, checks, humidity};

/// Longest run of missing air values that is bridged by a straight line.
pub(crate) const AIR_GAP_LIMIT_H: usize = 6;
/// The same for the air pressure, which changes slowly.
pub(crate) const PRESSURE_GAP_LIMIT_H: usize = 24;

/// Settles the rows, fills gaps, lays the values on the two axes, and checks the result.
pub(crate) fn assemble(mut table: Table) -> Result<Year, WeatherError> {
    settle_rows(&mut table)?;
    settle_air(&mut table)?;
    settle_longwave_moment(&mut table);
    let axes = Axes::new(&table.clock);
    let is_at_an_instant = (axes.radiation_instant_h - 0.5).abs() > 1e-9;
    let place = table.place.clone();
    let sun = sun_of_hours(&place, is_at_an_instant.then_some(axes.radiation_instant_h));
    let Sunshine {
        global,
        direct,
        diffuse,
    } = complete_sunshine(&mut table, &axes, &sun)?;
    let air_temp_k = axes.air_at_instants(table.column(Field::AirTemp));
    let dew_point_k = axes.air_at_instants(table.column(Field::DewPoint));
    let air = AirAtInstants {
        air_temp_k: &air_temp_k,
        dew_point_k: &dew_point_k,
    };
    let Sky {
        longwave_w_m2,
        source,
        cloud_cover,
    } = longwave_and_cloud(&mut table, &axes, &sun, &global, &air);
    let mut year = Year {
        source_years: source_years(&table),
        radiation_instant_h: axes.radiation_instant_h,
        pressure_pa: axes.air_at_instants(table.column(Field::Pressure)),
        wind_m_s: axes.air_at_instants(table.column(Field::Wind)),
        wind_from_deg: axes.direction_at_instants(table.column(Field::WindFrom)),
        snow_depth_m: snow_depth(&mut table, &axes),
        ground_albedo: mostly_known_over_hours(&mut table, &axes, Field::Albedo),
        global_horizontal_w_m2: global,
        direct_normal_w_m2: direct,
        diffuse_horizontal_w_m2: diffuse,
        air_temp_k,
        dew_point_k,
        sky_longwave_w_m2: longwave_w_m2,
        longwave_source: source,
        cloud_cover,
        place,
        notes: Vec::new(),
    };
    checks::check(&year, &mut table, &axes, &sun);
    year.notes = std::mem::take(&mut table.tally).into_notes();
    debug_assert_eq!(year.air_temp_k.len(), INSTANTS);
    Ok(year)
}

/// Fills temperature, dew point, pressure and wind, row by row of the file.
fn settle_air(table: &mut Table) -> Result<(), WeatherError> {
    fill(table, Field::AirTemp, AIR_GAP_LIMIT_H, Bridge::Line)?;
    settle_humidity(table);
    fill(table, Field::DewPoint, AIR_GAP_LIMIT_H, Bridge::Line)?;
    hold_dew_point_below_air(table);
    if table.has(Field::Pressure) {
        fill(table, Field::Pressure, PRESSURE_GAP_LIMIT_H, Bridge::Line)?;
    } else {
        let pressure_pa =
            overwinter_physics::moist_air::standard_pressure_pa(table.place.elevation_m);
        *table.column_mut(Field::Pressure) = vec![pressure_pa; HOURS];
        table.tally.count_many(
            "no air pressure in the file",
            HOURS,
            0,
            "computed from the elevation",
        );
    }
    fill(table, Field::Wind, AIR_GAP_LIMIT_H, Bridge::Line)?;
    settle_wind_direction(table);
    Ok(())
}

/// Computes missing dew points from the relative humidity.
fn settle_humidity(table: &mut Table) {
    if !table.has(Field::Humidity) {
        return;
    }
    let above = table
        .column(Field::Humidity)
        .iter()
        .filter(|&&share| share > 1.0)
        .count();
    if above > 0 {
        let first = table
            .column(Field::Humidity)
            .iter()
            .position(|&share| share > 1.0);
        let line = first.map_or(0, |row| table.lines[row]);
        table.tally.count_many(
            "relative humidity above 100 %",
            above,
            line,
            "taken as 100 %",
        );
    }
    let mut dew_k = std::mem::take(table.column_mut(Field::DewPoint));
    dew_k.resize(HOURS, f64::NAN);
    for (row, dew_k) in dew_k.iter_mut().enumerate() {
        let (air_k, share) = (
            table.column(Field::AirTemp)[row],
            table.column(Field::Humidity)[row],
        );
        if dew_k.is_nan() && !share.is_nan() {
            *dew_k = humidity::dew_point_k(air_k, share.min(1.0));
            let line = table.lines[row];
            table
                .tally
                .count("no dew point", line, "computed from the relative humidity");
        }
    }
    *table.column_mut(Field::DewPoint) = dew_k;
}

fn hold_dew_point_below_air(table: &mut Table) {
    // Half of the last digit that files print: rounding alone is no defect.
    const PRINTED_K: f64 = 0.051;
    for row in 0..HOURS {
        let (air_k, dew_k) = (
            table.column(Field::AirTemp)[row],
            table.column(Field::DewPoint)[row],
        );
        if dew_k > air_k {
            table.column_mut(Field::DewPoint)[row] = air_k;
            if dew_k > air_k + PRINTED_K {
                let line = table.lines[row];
                table.tally.count(
                    "dew point above air temperature",
                    line,
                    "lowered to the air temperature",
                );
            }
        }
    }
}

fn settle_wind_direction(table: &mut Table) {
    if !table.has(Field::WindFrom) {
        *table.column_mut(Field::WindFrom) = vec![0.0; HOURS];
        table
            .tally
            .count_many("no wind direction in the file", HOURS, 0, "taken as north");
    } else if let Ok(filled) = fill_gaps(table.column_mut(Field::WindFrom), HOURS, Bridge::Hold)
        && filled.count > 0
    {
        let line = table.lines[filled.first];
        table.tally.count_many(
            "wind direction filled",
            filled.count,
            line,
            "held from the hour before",
        );
    }
}

/// Fills the gaps of one field or names the gap that is too long.
fn fill(
    table: &mut Table,
    field: Field,
    limit_h: usize,
    bridge: Bridge,
) -> Result<(), WeatherError> {
    let name = field.rule().name;
    table.column_mut(field).resize(HOURS, f64::NAN);
    match fill_gaps(table.column_mut(field), limit_h, bridge) {
        Ok(filled) if filled.count == 0 => Ok(()),
        Ok(filled) => {
            let line = table.lines[filled.first];
            let action = format!("filled by a straight line (gaps up to {limit_h} h)");
            table
                .tally
                .count_many(&format!("{name} filled"), filled.count, line, &action);
            Ok(())
        }
        Err(gap) => Err(WeatherError::Gap {
            file: table.file.clone(),
            line: table.lines[gap.first],
            column: name,
            hours: gap.hours,
            limit_h,
        }),
    }
}

/// Snow over the hours; a depth of 0 all year is the files' way to say there is no data.
fn snow_depth(table: &mut Table, axes: &Axes) -> Option<Vec<f64>> {
    let depth_m = table.column(Field::SnowDepth);
    let known = depth_m.iter().filter(|depth| !depth.is_nan()).count();
    if known > 0
        && depth_m
            .iter()
            .all(|depth| depth.is_nan() || depth.abs() < 1e-9)
    {
        let line = table.lines[0];
        table.tally.count_many(
            "snow depth is 0 all year",
            known,
            line,
            "taken as no snow data",
        );
        return None;
    }
    mostly_known_over_hours(table, axes, Field::SnowDepth)
}

/// A side quantity over the hours if at least half its values are known, the gaps held.
fn mostly_known_over_hours(table: &mut Table, axes: &Axes, field: Field) -> Option<Vec<f64>> {
    let known = table
        .column(field)
        .iter()
        .filter(|value| !value.is_nan())
        .count();
    if known * 2 < HOURS {
        return None;
    }
    let filled = fill_gaps(table.column_mut(field), HOURS, Bridge::Hold).ok()?;
    if filled.count > 0 {
        let line = table.lines[filled.first];
        let defect = format!("{} filled", field.rule().name);
        table
            .tally
            .count_many(&defect, filled.count, line, "held from the hour before");
    }
    Some(axes.over_hours(table.column(field)))
}

/// The year in which each month was observed, from the middle of the month.
fn source_years(table: &Table) -> Option<[i32; 12]> {
    let mut years = [0; 12];
    for (month, year) in years.iter_mut().enumerate() {
        *year = table
            .stamps
            .get(calendar::MONTH_BEGINS_H[month] + 14 * 24)?
            .year?;
    }
    Some(years)
}

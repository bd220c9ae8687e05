//! Physical checks on a finished year. They count and report; they change nothing.

use crate::axes::Axes;
use crate::calendar::MONTH_BEGINS_H;
use crate::clock::{CLOCK_TOLERANCE_H, clock_offset_h};
use crate::field::Field;
use crate::sun_angle::SunHour;
use crate::table::Table;
use crate::year::{HOURS, Year};
use overwinter_physics::moist_air::standard_pressure_pa;

const KEPT: &str = "kept";

/// Adds a note to the table's tally for each kind of implausible row.
pub(crate) fn check(year: &Year, table: &mut Table, axes: &Axes, sun: &[SunHour]) {
    check_sun(year, table, axes, sun);
    check_air_steps(year, table, axes);
    check_month_joins(table);
    check_constant_air(year, table, axes);
    check_pressure(year, table);
    check_time_zone(year, table);
    check_clock(year, table);
}

fn check_sun(year: &Year, table: &mut Table, axes: &Axes, sun: &[SunHour]) {
    let outside = outside_the_atmosphere(table, axes, sun);
    for hour in 0..HOURS {
        let line = table.lines[axes.row_of_hour(hour)];
        let global = year.global_horizontal_w_m2[hour];
        let diffuse = year.diffuse_horizontal_w_m2[hour];
        let closed = diffuse + year.direct_normal_w_m2[hour] * sun[hour].cos_zenith;
        let mut count = |is_wrong: bool, defect: &str| {
            if is_wrong {
                table.tally.count(defect, line, KEPT);
            }
        };
        let is_night = outside[hour] <= 0.0 && sun[hour].is_dark;
        count(global > 0.0 && is_night, "sun at night");
        count(
            global > outside[hour] + SLACK_W_M2 && !is_night,
            "more sun than outside the atmosphere",
        );
        count(
            diffuse > global + SLACK_W_M2,
            "diffuse above global radiation",
        );
        count(
            (global - closed).abs() > CLOSURE_W_M2.max(CLOSURE_SHARE * global),
            "global differs from diffuse plus direct",
        );
    }
}

/// Rounding of the printed values.
const SLACK_W_M2: f64 = 1.0;
/// A closure error below this is within the scatter of hours with a low sun (estimate).
const CLOSURE_W_M2: f64 = 50.0;
const CLOSURE_SHARE: f64 = 0.15;

/// The file's own extraterrestrial radiation where it has it, else the computed one with two per
/// cent and ten W/m2 to spare.
fn outside_the_atmosphere(table: &Table, axes: &Axes, sun: &[SunHour]) -> Vec<f64> {
    let of_file = (table.column(Field::Extraterrestrial).len() == HOURS)
        .then(|| axes.over_hours(table.column(Field::Extraterrestrial)));
    (0..HOURS)
        .map(|hour| match of_file.as_ref().map(|values| values[hour]) {
            Some(value) if !value.is_nan() => value,
            _ if sun[hour].is_dark => 0.0,
            _ => 1.02 * sun[hour].extraterrestrial_w_m2 + 10.0,
        })
        .collect()
}

fn check_air_steps(year: &Year, table: &mut Table, axes: &Axes) {
    const LARGEST_STEP_K: f64 = 15.0;
    const LARGEST_JOIN_K: f64 = 5.0;
    for instant in 1..=HOURS {
        let step_k = year.air_temp_k[instant] - year.air_temp_k[instant - 1];
        let row = axes.row_of_instant(instant);
        let line = table.lines[row];
        if row == 0 && step_k.abs() > LARGEST_JOIN_K {
            let defect =
                format!("air temperature steps by {step_k:.1} K from the last row to the first");
            table.tally.count(&defect, line, KEPT);
        } else if row != 0 && step_k.abs() > LARGEST_STEP_K {
            table.tally.count(
                "air temperature steps by more than 15 K in an hour",
                line,
                KEPT,
            );
        }
    }
}

/// Some typical years bridge the joins of their months by a straight line through the night, which
/// wipes out the coldest hours there.
fn check_month_joins(table: &mut Table) {
    const DEFECT: &str = "month joins bridged by a straight line through the night";
    const ACTION: &str = "kept; 12 h on each side of a month join give no design values";
    const BRIDGED_H: usize = 6;
    // Twice the last printed digit of the services that do this.
    const STRAIGHT_K: f64 = 0.025;
    for join in &MONTH_BEGINS_H[1..12] {
        let around = &table.column(Field::AirTemp)[join - BRIDGED_H - 1..join + BRIDGED_H];
        let is_straight = around
            .windows(3)
            .all(|t| (t[0] - 2.0 * t[1] + t[2]).abs() < STRAIGHT_K);
        let is_level = around.iter().all(|t| (t - around[0]).abs() < STRAIGHT_K);
        if is_straight && !is_level {
            let line = table.lines[*join];
            table.tally.count(DEFECT, line, ACTION);
        }
    }
}

fn check_constant_air(year: &Year, table: &mut Table, axes: &Axes) {
    const LONGEST_H: usize = 24;
    let mut begin = 0;
    for instant in 1..=HOURS {
        let holds =
            instant < HOURS && (year.air_temp_k[instant] - year.air_temp_k[begin]).abs() < 1e-6;
        if holds {
            continue;
        }
        if instant - begin >= LONGEST_H {
            let line = table.lines[axes.row_of_instant(begin)];
            let defect = "hours in spells of 24 h or more without any change of air temperature";
            table.tally.count_many(defect, instant - begin, line, KEPT);
        }
        begin = instant;
    }
}

fn check_pressure(year: &Year, table: &mut Table) {
    // Three per cent is about 250 m of elevation, or a deep low all year (estimate).
    const LARGEST_SHARE: f64 = 0.03;
    let mean_pa = year.pressure_pa.iter().sum::<f64>() / year.pressure_pa.len() as f64;
    let expected_pa = standard_pressure_pa(year.place.elevation_m);
    if (mean_pa / expected_pa - 1.0).abs() > LARGEST_SHARE {
        let defect = format!(
            "mean air pressure {:.0} hPa where the elevation asks for {:.0} hPa",
            mean_pa / 100.0,
            expected_pa / 100.0
        );
        table.tally.count_many(&defect, HOURS, 0, KEPT);
    }
}

fn check_time_zone(year: &Year, table: &mut Table) {
    let place = &year.place;
    let difference_h = place.longitude_deg / 15.0 - place.time_zone_h;
    if difference_h.abs() > 2.0 {
        let defect = format!(
            "time zone is {:.1} h from the sun's time at the longitude",
            difference_h.abs()
        );
        table.tally.count(&defect, 1, KEPT);
    }
}

fn check_clock(year: &Year, table: &mut Table) {
    const MONTHS: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    for (month, offset_h) in clock_offset_h(year).into_iter().enumerate() {
        let Some(offset_h) = offset_h.filter(|offset_h| offset_h.abs() > CLOCK_TOLERANCE_H) else {
            continue;
        };
        let side = if offset_h > 0.0 { "late" } else { "early" };
        let defect = format!(
            "sun of {} is {:.1} h {side} by the clock",
            MONTHS[month],
            offset_h.abs()
        );
        let count = MONTH_BEGINS_H[month + 1] - MONTH_BEGINS_H[month];
        table.tally.count_many(
            &defect,
            count,
            0,
            "kept; a whole-hour correction is offered",
        );
    }
}

//! Bringing the rows of a file to the 8,760 hours of a year, by position.
//!
//! Rows are never sorted: the months of a typical year come from different years. Month, day and
//! hour only verify that each row is the next hour.

use crate::calendar::date_of_hour;
use crate::error::WeatherError;
use crate::table::{RowClock, Stamp, Table};
use crate::year::HOURS;

/// Drops repeated and leap-day rows, then verifies that the rows are the hours of one year.
pub(crate) fn settle_rows(table: &mut Table) -> Result<(), WeatherError> {
    refuse_sub_hourly(table)?;
    drop_leading_midnight(table);
    drop_leap_day(table);
    verify_order(table)
}

/// Several rows with the second hour label are sub-hourly data; the first hour may be cut short by
/// labels such as 0:30, 1:00.
fn refuse_sub_hourly(table: &Table) -> Result<(), WeatherError> {
    let labels = || {
        table
            .stamps
            .iter()
            .map(|stamp| (stamp.month, stamp.day, stamp.hour))
    };
    let Some(first) = labels().next() else {
        return Ok(());
    };
    let Some(begin) = labels().position(|label| label != first) else {
        return Ok(());
    };
    let second = table.stamps[begin].hour;
    let per_hour = table.stamps[begin..]
        .iter()
        .take_while(|stamp| stamp.hour == second)
        .count();
    if per_hour > 1 {
        let line = table.lines[begin];
        return Err(WeatherError::SubHourly {
            file: table.file.clone(),
            line,
            per_hour,
        });
    }
    Ok(())
}

/// Some copies repeat `12 31 24` in front of the first row.
fn drop_leading_midnight(table: &mut Table) {
    let Some(first) = table.stamps.first() else {
        return;
    };
    if table.stamps.len() % HOURS % 24 != 1 || (first.month, first.day) != (12, 31) {
        return;
    }
    let line = table.lines[0];
    table.tally.count(
        "row of 31 December repeated before 1 January",
        line,
        "dropped",
    );
    let keep: Vec<bool> = (0..table.stamps.len()).map(|row| row != 0).collect();
    table.retain_rows(&keep);
}

fn drop_leap_day(table: &mut Table) {
    if table.stamps.len() <= HOURS {
        // A file of 8,760 rows with 29 February lacks another day: left for the order check, which
        // names the row. Rolled midnight labels (29 February 00:00) are settled there too.
        return;
    }
    let keep: Vec<bool> = (0..table.stamps.len())
        .map(|row| !is_leap_day_row(table, row))
        .collect();
    let dropped = keep.iter().filter(|&&keep| !keep).count();
    if let Some(first) = keep.iter().position(|&keep| !keep) {
        let line = table.lines[first];
        table
            .tally
            .count_many("rows of 29 February", dropped, line, "dropped");
        table.retain_rows(&keep);
    }
}

/// True for the 24 rows of 29 February, whether midnight is written 24:00 or 00:00 of the next day.
fn is_leap_day_row(table: &Table, row: usize) -> bool {
    let stamp = table.stamps[row];
    let midnight_is_zero = table.stamps[0].hour == 1 && stamp.hour == 0;
    match (stamp.month, stamp.day) {
        (2, 29) if midnight_is_zero => row > 0 && table.stamps[row - 1].day == 29,
        (2, 29) => true,
        (3, 1) if midnight_is_zero => row > 0 && table.stamps[row - 1].day == 29,
        _ => false,
    }
}

fn verify_order(table: &mut Table) -> Result<(), WeatherError> {
    let first_label = table.stamps.first().map_or(0, |stamp| stamp.hour.min(1));
    for (row, stamp) in table.stamps.iter().enumerate() {
        let line = table.lines[row];
        if row == HOURS {
            return Err(too_many(table));
        }
        if !is_hour(stamp, row, first_label) {
            let (month, day, hour) = date_of_hour(row);
            return Err(WeatherError::RowOutOfOrder {
                file: table.file.clone(),
                line,
                found: stamp.shown(),
                wanted: format!("month {month} day {day} hour {}", hour + first_label),
            });
        }
    }
    if first_label == 0 && table.clock == RowClock::HOUR_ENDING && !table.stamps.is_empty() {
        let (line, rows) = (table.lines[0], table.stamps.len());
        let defect = "hours labelled 0 to 23 where the format has 1 to 24";
        let action = "read by position: the first row is 00:00 to 01:00";
        table.tally.count_many(defect, rows, line, action);
    }
    let midnights = count_zero_midnights(table, first_label);
    if let Some((count, line)) = midnights {
        table
            .tally
            .count_many("midnight written as hour 0", count, line, "read as hour 24");
    }
    complete(table)
}

/// The first row after the end of the year, or several years where the rows are dated in them.
fn too_many(table: &Table) -> WeatherError {
    let file = table.file.clone();
    let line = table.lines.get(HOURS).copied().unwrap_or(0);
    let year = |stamp: Option<&Stamp>| stamp.and_then(|stamp| stamp.year);
    let ends = year(table.stamps.first()).zip(year(table.stamps.last()));
    match ends.filter(|(first, last)| first < last && table.stamps.len() >= 2 * HOURS) {
        Some((first, last)) => WeatherError::SeveralYears {
            file,
            line,
            first,
            last,
        },
        None => WeatherError::TooManyRows {
            file,
            line,
            rows: HOURS + 1,
        },
    }
}

fn complete(table: &Table) -> Result<(), WeatherError> {
    if table.stamps.len() == HOURS {
        return Ok(());
    }
    Err(WeatherError::Truncated {
        file: table.file.clone(),
        line: table.lines.last().copied().unwrap_or(0),
        last: table
            .stamps
            .last()
            .map_or("no row at all".to_owned(), Stamp::shown),
        rows: table.stamps.len(),
    })
}

/// True if the stamp is hour `row` of the year, with labels counted from `first_label`.
fn is_hour(stamp: &Stamp, row: usize, first_label: u32) -> bool {
    let (month, day, hour) = date_of_hour(row);
    let same_day = (stamp.month, stamp.day) == (month, day);
    if same_day && stamp.hour == hour + first_label {
        return true;
    }
    let at_midnight = hour + first_label == 24 && stamp.hour == 0;
    at_midnight && (same_day || is_day_after(stamp, row))
}

fn is_day_after(stamp: &Stamp, row: usize) -> bool {
    let (month, day, _) = date_of_hour(row + 1);
    let rolled_into_leap_day = (stamp.month, stamp.day) == (2, 29) && (month, day) == (3, 1);
    (stamp.month, stamp.day) == (month, day) || rolled_into_leap_day
}

fn count_zero_midnights(table: &Table, first_label: u32) -> Option<(usize, usize)> {
    if first_label == 0 {
        return None;
    }
    let mut rows = table
        .stamps
        .iter()
        .zip(&table.lines)
        .filter(|(stamp, _)| stamp.hour == 0);
    let (_, &line) = rows.next()?;
    Some((rows.count() + 1, line))
}

//! Laying the rows of a file on the two time axes of a year.

use crate::table::RowClock;
use crate::year::{HOURS, INSTANTS};

/// Where hours and hour marks of local standard time stand among the rows.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Axes {
    /// Hour of the year of row 0's radiation.
    first_hour: i64,
    /// Moment of the radiation within its hour.
    pub(crate) radiation_instant_h: f64,
    /// Position of row 0's air values among the hour marks.
    air_h: f64,
    /// Position of row 0's longwave among the hour marks.
    longwave_h: f64,
}

impl Axes {
    pub(crate) fn new(clock: &RowClock) -> Self {
        // A tenth of a second is nothing; it keeps 0.1 + 0.9 from falling just below 1.
        const SLACK_H: f64 = 1e-5;
        let radiation_h = clock.radiation_h + clock.local_minus_stamp_h;
        let first_hour = (radiation_h + SLACK_H).floor();
        Self {
            first_hour: first_hour as i64,
            radiation_instant_h: rounded(radiation_h - first_hour).clamp(0.0, 0.9999),
            air_h: clock.air_h + clock.local_minus_stamp_h,
            longwave_h: clock.longwave_h + clock.local_minus_stamp_h,
        }
    }

    /// Row whose radiation belongs to an hour of the year.
    pub(crate) fn row_of_hour(&self, hour: usize) -> usize {
        wrapped_row(hour as i64 - self.first_hour)
    }

    /// Row whose air values stand at or just before an hour mark.
    pub(crate) fn row_of_instant(&self, instant: usize) -> usize {
        neighbours(instant, self.air_h).0
    }

    /// Values of rows laid on the hours.
    pub(crate) fn over_hours(&self, rows: &[f64]) -> Vec<f64> {
        (0..HOURS)
            .map(|hour| rows[self.row_of_hour(hour)])
            .collect()
    }

    /// Air values of rows laid on the hour marks, by a straight line where they stand between.
    pub(crate) fn air_at_instants(&self, rows: &[f64]) -> Vec<f64> {
        at_instants(rows, self.air_h, along_a_line)
    }

    /// As [`Axes::air_at_instants`], the short way round the compass.
    pub(crate) fn direction_at_instants(&self, rows: &[f64]) -> Vec<f64> {
        at_instants(rows, self.air_h, along_the_compass)
    }

    /// Longwave of rows laid on the hour marks: the mean of the neighbours for hourly means.
    pub(crate) fn longwave_at_instants(&self, rows: &[f64]) -> Vec<f64> {
        at_instants(rows, self.longwave_h, along_a_line)
    }
}

/// To a ten-thousandth of an hour, the digits that files state.
fn rounded(hours: f64) -> f64 {
    (hours * 1e4).round() / 1e4
}

fn at_instants(rows: &[f64], first_h: f64, between: fn(f64, f64, f64) -> f64) -> Vec<f64> {
    (0..INSTANTS)
        .map(|instant| {
            let (before, after, share) = neighbours(instant, first_h);
            if share < 1e-6 {
                rows[before]
            } else {
                between(rows[before], rows[after], share)
            }
        })
        .collect()
}

/// Rows before and after an hour mark, and how far the mark stands between them.
fn neighbours(instant: usize, first_h: f64) -> (usize, usize, f64) {
    let position = instant as f64 - first_h;
    let before = (position + 1e-6).floor();
    let row = before as i64;
    (
        wrapped_row(row),
        wrapped_row(row + 1),
        (position - before).max(0.0),
    )
}

fn wrapped_row(row: i64) -> usize {
    row.rem_euclid(HOURS as i64) as usize
}

fn along_a_line(from: f64, to: f64, share: f64) -> f64 {
    from + share * (to - from)
}

fn along_the_compass(from_deg: f64, to_deg: f64, share: f64) -> f64 {
    let turn_deg = (to_deg - from_deg + 540.0).rem_euclid(360.0) - 180.0;
    (from_deg + share * turn_deg).rem_euclid(360.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn numbered() -> Vec<f64> {
        (0..HOURS).map(|row| row as f64).collect()
    }

    #[test]
    fn hour_ending_rows_wrap_the_last_row_to_the_first_mark() {
        let axes = Axes::new(&RowClock::HOUR_ENDING);
        let air = axes.air_at_instants(&numbered());
        assert!((air[0] - 8759.0).abs() < 1e-9 && air[1].abs() < 1e-9);
        assert!((air[8760] - 8759.0).abs() < 1e-9);
        assert!(axes.over_hours(&numbered())[0].abs() < 1e-9);
        let longwave = axes.longwave_at_instants(&numbered());
        assert!((longwave[1] - 0.5).abs() < 1e-9, "the mean of rows 0 and 1");
    }

    #[test]
    fn utc_rows_rotate_to_local_time() {
        let clock = RowClock {
            radiation_h: 0.18,
            air_h: 0.0,
            longwave_h: 0.0,
            local_minus_stamp_h: 1.0,
        };
        let axes = Axes::new(&clock);
        assert!((axes.over_hours(&numbered())[1]).abs() < 1e-9);
        assert!((axes.over_hours(&numbered())[0] - 8759.0).abs() < 1e-9);
        assert!((axes.radiation_instant_h - 0.18).abs() < 1e-9);
        let west = Axes::new(&RowClock {
            local_minus_stamp_h: -7.0,
            ..clock
        });
        assert_eq!(west.row_of_hour(0), 7);
        assert_eq!(west.row_of_hour(8759), 6);
    }

    #[test]
    fn half_hour_zones_interpolate_the_air() {
        let clock = RowClock {
            radiation_h: 0.5,
            air_h: 0.0,
            longwave_h: 0.0,
            local_minus_stamp_h: 5.5,
        };
        let axes = Axes::new(&clock);
        assert!((axes.air_at_instants(&numbered())[10] - 4.5).abs() < 1e-9);
        assert_eq!(axes.row_of_hour(6), 0);
        assert!(axes.radiation_instant_h.abs() < 1e-9);
    }

    #[test]
    fn compass_takes_the_short_way() {
        assert!((along_the_compass(350.0, 10.0, 0.5)).abs() < 1e-9);
        assert!((along_the_compass(90.0, 180.0, 0.5) - 135.0).abs() < 1e-9);
    }
}

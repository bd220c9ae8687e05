//! The calendar of a year without 29 February, in local standard time.

use std::ops::Range;

/// Hours of such a year.
pub const HOURS: usize = 8760;
/// Days of such a year.
pub const DAYS: usize = 365;

const MONTH_DAYS: [usize; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];

/// A month, or the whole year.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span(u8);

impl Span {
    /// The whole year, written as month 0.
    pub const YEAR: Self = Self(0);

    /// The year and then its months, in table order.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..=12).map(Self)
    }

    /// 0 for the year, 1 to 12 for a month.
    pub fn number(self) -> i64 {
        i64::from(self.0)
    }

    /// Indices of the months covered, counted from 0.
    pub fn months(self) -> Range<usize> {
        match self.0 {
            0 => 0..12,
            month => usize::from(month) - 1..usize::from(month),
        }
    }

    /// Days covered, counted from 0.
    pub fn days(self) -> Range<usize> {
        let months = self.months();
        first_day(months.start)..first_day(months.end)
    }

    /// Hours covered, counted from 0.
    pub fn hours(self) -> Range<usize> {
        let days = self.days();
        days.start * 24..days.end * 24
    }
}

/// First day of a month, both counted from 0; the day after the year for month 12.
fn first_day(month: usize) -> usize {
    MONTH_DAYS.iter().take(month).sum()
}

/// A place in the year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    /// 1 to 12.
    pub month: usize,
    /// 1 to 31.
    pub day: usize,
    /// 0 to 23: the hour that begins then.
    pub hour: usize,
}

impl Moment {
    /// The start of an hour of the year, counted from 0; hours beyond the year start over.
    pub fn of_hour(hour: usize) -> Self {
        let hour = hour % HOURS;
        let mut day = hour / 24;
        let mut month = 0;
        while day >= MONTH_DAYS[month] {
            day -= MONTH_DAYS[month];
            month += 1;
        }
        Self {
            month: month + 1,
            day: day + 1,
            hour: hour % 24,
        }
    }

    /// `MM-DD`.
    pub fn date(self) -> String {
        format!("{:02}-{:02}", self.month, self.day)
    }

    /// `MM-DD HH:00`.
    pub fn date_and_hour(self) -> String {
        format!("{} {:02}:00", self.date(), self.hour)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_and_year_cover_all_hours_once() {
        assert_eq!(Span::YEAR.hours(), 0..HOURS);
        let months: Vec<_> = Span::all().skip(1).collect();
        assert_eq!(months.len(), 12);
        for pair in months.windows(2) {
            assert_eq!(pair[0].hours().end, pair[1].hours().start);
        }
        assert_eq!(months[11].hours().end, HOURS);
        // 31 + 28 days before March.
        assert_eq!(months[2].days(), 59..90);
    }

    #[test]
    fn hours_become_dates() {
        assert_eq!(Moment::of_hour(0).date_and_hour(), "01-01 00:00");
        // 31 January 23:00 is hour 30 * 24 + 23.
        assert_eq!(Moment::of_hour(743).date_and_hour(), "01-31 23:00");
        assert_eq!(Moment::of_hour(744).date_and_hour(), "02-01 00:00");
        assert_eq!(Moment::of_hour(59 * 24).date(), "03-01");
        assert_eq!(Moment::of_hour(HOURS - 1).date_and_hour(), "12-31 23:00");
        assert_eq!(Moment::of_hour(HOURS).date(), "01-01");
    }
}

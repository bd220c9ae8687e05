//! Days and hours of a year without 29 February.

/// Hour of the year at which each month begins, and the end of the year.
pub(crate) const MONTH_BEGINS_H: [usize; 13] = [
    0, 744, 1416, 2160, 2880, 3624, 4344, 5088, 5832, 6552, 7296, 8016, 8760,
];

/// Month (1 to 12), day of the month (from 1) and hour of the day (from 0) of an hour of the year;
/// hours beyond the year wrap.
pub(crate) fn date_of_hour(hour_of_year: usize) -> (u32, u32, u32) {
    let hour_of_year = hour_of_year % crate::year::HOURS;
    let month = month_of_hour(hour_of_year);
    let within = hour_of_year - MONTH_BEGINS_H[month];
    (
        month as u32 + 1,
        (within / 24) as u32 + 1,
        (within % 24) as u32,
    )
}

/// Month, from 0, of an hour of the year; hours beyond the year wrap.
pub(crate) fn month_of_hour(hour_of_year: usize) -> usize {
    let hour_of_year = hour_of_year % crate::year::HOURS;
    MONTH_BEGINS_H.partition_point(|&begin| begin <= hour_of_year) - 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_add_up() {
        let mut hour = 0;
        for (month, days) in [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
            .into_iter()
            .enumerate()
        {
            assert_eq!(MONTH_BEGINS_H[month], hour);
            hour += 24 * days;
        }
        assert_eq!(hour, crate::year::HOURS);
    }

    #[test]
    fn dates_at_the_edges() {
        assert_eq!(date_of_hour(0), (1, 1, 0));
        assert_eq!(date_of_hour(1415), (2, 28, 23));
        assert_eq!(date_of_hour(1416), (3, 1, 0));
        assert_eq!(date_of_hour(8759), (12, 31, 23));
        assert_eq!(date_of_hour(8760), (1, 1, 0));
    }
}

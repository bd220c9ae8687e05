//! The nights of a year, from one noon to the next, and the hours at which each begins and ends.
//!
//! Night `d` runs from noon of day `d` to noon of day `d + 1`, days counted from 0. The year closes
//! on itself: the last night ends on the morning of 1 January of the same file. A mark at noon
//! belongs to the night it begins.

use crate::sun_angle::{solar_noon_h, sun_year};
use crate::year::{HOURS, Place, Year};

/// Nights of a year.
pub const NIGHTS: usize = HOURS / 24;

const NOON_H: usize = 12;

/// When a night begins and ends, as starts of hours of the year.
///
/// They count on beyond the year in its last night: 8,760 is the midnight at the end of 31 December,
/// which is hour 0 of the same file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NightHours {
    /// The first hour after solar noon in which the sun is never up.
    pub dusk: usize,
    /// 24:00 local standard time.
    pub midnight: usize,
    /// Two hours before the first hour with sun, but not before dusk.
    pub before_dawn: usize,
}

/// Lowest air temperature, K, of each of the 365 nights.
pub fn nights_lowest_k(year: &Year) -> Vec<f64> {
    (0..NIGHTS)
        .map(|night| year.air_temp_k[coldest_mark(year, night)])
        .collect()
}

/// Dusk, midnight and before dawn of each of the 365 nights, by the sun's place in the sky and not
/// by the radiation of the file.
///
/// Where the sun does not set, or does not rise, between one solar noon and the next, dusk counts as
/// 15:00; where no sun follows dusk, the hour before dawn counts as 06:00 (estimates, so that every
/// night has its three hours).
pub fn night_hours(place: &Place) -> Vec<NightHours> {
    let sun = sun_year(place);
    let has_sun: Vec<bool> = (0..HOURS)
        .map(|hour| sun.mean_of_hour(hour).sunlit_share > 0.0)
        .collect();
    (0..NIGHTS)
        .map(|night| {
            let noon = |day: usize| day * 24 + solar_noon_h(&sun, place, day % NIGHTS) as usize;
            hours_of_night(&has_sun, night, noon(night), noon(night + 1))
        })
        .collect()
}

/// The first of the coldest hour marks of a night; marks of the next year wrap.
pub(crate) fn coldest_mark(year: &Year, night: usize) -> usize {
    let noon = 24 * night + NOON_H;
    (noon..noon + 24)
        .map(|mark| mark % HOURS)
        .min_by(|&a, &b| year.air_temp_k[a].total_cmp(&year.air_temp_k[b]))
        .unwrap_or(noon)
}

fn hours_of_night(has_sun: &[bool], night: usize, noon: usize, next_noon: usize) -> NightHours {
    const WITHOUT_DUSK_H: usize = 15;
    const WITHOUT_DAWN_H: usize = 24 + 6;
    const BEFORE_SUN_H: usize = 2;
    let is_sunny = |hour: &usize| has_sun[hour % HOURS];
    let dusk = (noon..next_noon).find(|hour| !is_sunny(hour));
    let dusk = dusk.filter(|&dusk| dusk > noon);
    let dawn = dusk.and_then(|dusk| (dusk..=next_noon).find(is_sunny));
    let dusk = dusk.unwrap_or(24 * night + WITHOUT_DUSK_H);
    let before_dawn = dawn.map_or(24 * night + WITHOUT_DAWN_H, |dawn| dawn - BEFORE_SUN_H);
    NightHours {
        dusk,
        midnight: 24 * night + 24,
        before_dawn: before_dawn.max(dusk),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heading::place_at;

    /// Day of 21 December, counted from 0.
    const DECEMBER_21: usize = 354;

    fn hours_of(latitude_deg: f64, night: usize) -> NightHours {
        night_hours(&place_at(latitude_deg, 0.0, 0.0, ""))[night]
    }

    /// At 45 degrees north on 21 December the sun rises at 7:37 and sets at 16:20 true solar time
    /// without refraction (cos of the hour angle = -tan 45 tan(-23.44)); the equation of time is
    /// then +2 min (from memory, any almanac).
    #[test]
    fn dusk_and_dawn_at_the_solstice() {
        let night = hours_of(45.0, DECEMBER_21);
        assert_eq!(night.dusk, 24 * DECEMBER_21 + 17);
        assert_eq!(night.midnight, 24 * DECEMBER_21 + 24);
        assert_eq!(night.before_dawn, 24 * DECEMBER_21 + 24 + 5);
    }

    /// The clock of a place far west in its zone runs early: the sun sets later by it.
    #[test]
    fn dusk_follows_the_sun_and_not_the_clock() {
        let west = Place {
            time_zone_h: 0.0,
            ..place_at(45.0, -45.0, 0.0, "")
        };
        let west = night_hours(&west)[DECEMBER_21];
        assert_eq!(west.dusk, 24 * DECEMBER_21 + 20);
        assert_eq!(west.before_dawn, 24 * DECEMBER_21 + 24 + 8);
    }

    #[test]
    fn polar_night_and_polar_day_have_their_stated_hours() {
        for night in [DECEMBER_21, 171] {
            let hours = hours_of(75.0, night);
            assert_eq!(hours.dusk, 24 * night + 15);
            assert_eq!(hours.before_dawn, 24 * night + 30);
        }
    }

    #[test]
    fn hours_are_in_order_at_every_latitude() {
        for latitude_deg in [-80.0, -66.5, -30.0, 0.0, 40.0, 62.97, 66.5, 68.0, 89.0] {
            let nights = night_hours(&place_at(latitude_deg, 7.0, 0.0, ""));
            assert_eq!(nights.len(), NIGHTS);
            for (night, hours) in nights.iter().enumerate() {
                let noon = 24 * night + NOON_H;
                assert!(hours.dusk >= noon && hours.dusk <= hours.before_dawn);
                assert!(hours.before_dawn < noon + 24 && hours.midnight == noon + NOON_H);
            }
        }
    }
}

//! The nights of a season and when in them a failure begins.

use overwinter_engine::house::House;
use overwinter_engine::record::HourSeries;
use overwinter_physics::sun::SunYear;
use overwinter_weather::{Place, Year};

use crate::case::NightStart;
use crate::tables::calendar::{DAYS, HOURS};

/// Hours of a day.
const DAY_H: usize = 24;
/// Hour of a day with which its night begins.
const NOON_H: usize = 12;
/// A mean output over an hour that counts as heat: the band of a thermostat ends gradually.
const HEAT_W: f64 = 1.0;
/// Outdoor air below which a night of an unheated house counts, 5 C: tender crops are harmed not far
/// below it (estimate).
const COLD_NIGHT_K: f64 = 278.15;
/// How long before the first light "before dawn" is, h.
const BEFORE_LIGHT_H: usize = 2;

/// The evenings, as days of the year counted from 0, whose nights belong to the season: the heaters
/// gave heat in them or, without heaters, the outdoor air fell below 5 C. A night goes from noon to
/// noon; the one of 31 December ends on 1 January of the same year.
pub(super) fn evenings(house: &House, year: &Year, normal: &HourSeries) -> Vec<usize> {
    let has_heaters = house.heaters.iter().any(|heater| heater.output_w > 0.0);
    let counts = |hour: usize| {
        if has_heaters {
            normal.heat_w.get(hour).is_some_and(|heat| *heat > HEAT_W)
        } else {
            year.air_temp_k[hour] < COLD_NIGHT_K
        }
    };
    (0..DAYS)
        .filter(|&evening| hours(evening).any(counts))
        .collect()
}

/// The hours of the year of a night.
pub(super) fn hours(evening: usize) -> impl Iterator<Item = usize> {
    let noon = evening * DAY_H + NOON_H;
    (noon..noon + DAY_H).map(|hour| hour % HOURS)
}

/// The darkness at a place.
pub(super) struct Darkness {
    sun: SunYear,
}

impl Darkness {
    pub(super) fn new(place: &Place) -> Self {
        Self {
            sun: SunYear::new(place.latitude_deg, place.longitude_deg, place.time_zone_h),
        }
    }

    /// The hour of the year at whose start a failure begins in the night of an evening.
    ///
    /// Without darkness before midnight, dusk is midnight; without light before noon, light comes at
    /// noon.
    pub(super) fn start_hour(&self, evening: usize, start: NightStart) -> usize {
        let noon = evening * DAY_H + NOON_H;
        let midnight = noon + DAY_H / 2;
        let hour = match start {
            NightStart::Dusk => (noon..midnight)
                .find(|hour| !self.is_light(*hour))
                .unwrap_or(midnight),
            NightStart::Midnight => midnight,
            NightStart::BeforeDawn => {
                let light = (midnight..noon + DAY_H)
                    .find(|hour| self.is_light(*hour))
                    .unwrap_or(noon + DAY_H);
                light.saturating_sub(BEFORE_LIGHT_H).max(midnight)
            }
        };
        hour % HOURS
    }

    fn is_light(&self, hour: usize) -> bool {
        self.sun.mean_of_hour(hour % HOURS).sunlit_share > 0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn darkness(latitude_deg: f64) -> Darkness {
        Darkness::new(&Place {
            name: String::new(),
            region: String::new(),
            latitude_deg,
            longitude_deg: 0.0,
            time_zone_h: 0.0,
            elevation_m: 0.0,
            format: String::new(),
        })
    }

    /// At 40 N the sun of 21 December sets about 16:38 and rises about 7:18 solar time (day length
    /// 9 h 20 min: any almanac, from memory).
    #[test]
    fn starts_follow_the_sun() {
        let evening = 354;
        let at = |start| darkness(40.0).start_hour(evening, start) - evening * 24;
        assert_eq!(at(NightStart::Dusk), 17);
        assert_eq!(at(NightStart::Midnight), 24);
        assert_eq!(at(NightStart::BeforeDawn), 24 + 5);
    }

    #[test]
    fn the_last_night_ends_in_january() {
        let at = |start| darkness(40.0).start_hour(364, start);
        assert_eq!(at(NightStart::Dusk), 364 * 24 + 17);
        assert_eq!(at(NightStart::Midnight), 0);
        assert_eq!(at(NightStart::BeforeDawn), 5);
        let hours: Vec<usize> = hours(364).collect();
        assert_eq!(
            (hours[0], hours[11], hours[12], hours[23]),
            (8748, 8759, 0, 11)
        );
    }

    #[test]
    fn polar_day_and_night_have_starts() {
        // Day 171 is midsummer, day 354 midwinter.
        for (evening, dusk_h, dawn_h) in [(171, 24, 24), (354, 12, 34)] {
            let at = |start| darkness(80.0).start_hour(evening, start) - evening * 24;
            assert_eq!(at(NightStart::Dusk), dusk_h);
            assert_eq!(at(NightStart::BeforeDawn), dawn_h);
        }
    }
}

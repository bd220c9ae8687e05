//! The nights of a season and when in them a failure begins.

use overwinter_engine::house::House;
use overwinter_engine::record::HourSeries;
use overwinter_weather::{NightHours, Place, Year, night_hours};

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

/// When the nights of a place begin and end.
pub(super) struct Darkness(Vec<NightHours>);

impl Darkness {
    pub(super) fn new(place: &Place) -> Self {
        Self(night_hours(place))
    }

    /// The hour of the year at whose start a failure begins in the night of an evening.
    pub(super) fn start_hour(&self, evening: usize, start: NightStart) -> usize {
        let night = &self.0[evening % DAYS];
        let hour = match start {
            NightStart::Dusk => night.dusk,
            NightStart::Midnight => night.midnight,
            NightStart::BeforeDawn => night.before_dawn,
        };
        hour % HOURS
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Day lengths at 40 N on 31 December: sunset about 16:45, sunrise about 7:22 (any almanac, from
    /// memory).
    #[test]
    fn the_last_night_ends_in_january() {
        let darkness = Darkness::new(&Place {
            name: String::new(),
            region: String::new(),
            latitude_deg: 40.0,
            longitude_deg: 0.0,
            time_zone_h: 0.0,
            elevation_m: 0.0,
            format: String::new(),
        });
        let at = |start| darkness.start_hour(364, start);
        assert_eq!(at(NightStart::Dusk), 364 * 24 + 17);
        assert_eq!(at(NightStart::Midnight), 0);
        assert_eq!(at(NightStart::BeforeDawn), 5);
        let hours: Vec<usize> = hours(364).collect();
        assert_eq!(
            (hours[0], hours[11], hours[12], hours[23]),
            (8748, 8759, 0, 11)
        );
    }
}

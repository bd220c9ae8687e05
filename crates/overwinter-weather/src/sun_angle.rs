//! Where the sun stands in each hour of a file's year, for closure, plausibility and clock checks.

use crate::year::{HOURS, Place};
use overwinter_physics::sun::SunYear;

/// The sun of one hour.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SunHour {
    /// Cosine of the zenith angle, mean over the hour (0 while the sun is down), or at the instant.
    pub(crate) cos_zenith: f64,
    /// Extraterrestrial irradiance on the horizontal, over the hour or at the instant.
    pub(crate) extraterrestrial_w_m2: f64,
    /// True if the sun stays more than a degree below the horizon all hour.
    pub(crate) is_dark: bool,
}

/// The sun of every hour of the year; `instant_h` gives the moment within the hour for
/// instantaneous radiation, `None` the mean over the hour.
pub(crate) fn sun_of_hours(place: &Place, instant_h: Option<f64>) -> Vec<SunHour> {
    const DARK_ZENITH_DEG: f64 = 91.0;
    let sun = sun_year(place);
    let is_low: Vec<bool> = (0..=HOURS)
        .map(|mark| sun.position(mark as f64).zenith_deg > DARK_ZENITH_DEG)
        .collect();
    (0..HOURS)
        .map(|hour| {
            let of_hour = match instant_h {
                Some(instant_h) => sun.at_instant(hour, instant_h),
                None => sun.mean_of_hour(hour),
            };
            let cos_zenith = (of_hour.sunlit_share * of_hour.mean_direction[2]).max(0.0);
            SunHour {
                cos_zenith,
                extraterrestrial_w_m2: of_hour.extraterrestrial_normal_w_m2 * cos_zenith,
                is_dark: cos_zenith <= 0.0 && is_low[hour] && is_low[hour + 1],
            }
        })
        .collect()
}

/// The sun over the year at a place.
pub(crate) fn sun_year(place: &Place) -> SunYear {
    SunYear::new(place.latitude_deg, place.longitude_deg, place.time_zone_h)
}

/// Local standard time of true solar noon, h, on a day counted from 0.
pub(crate) fn solar_noon_h(sun: &SunYear, place: &Place, day: usize) -> f64 {
    // The sun is due east or west of the pole by the sine of the hour angle times cos declination.
    let eastward = |hour_of_day: f64| {
        let position = sun.position(24.0 * day as f64 + hour_of_day);
        position.zenith_deg.to_radians().sin() * position.azimuth_deg.to_radians().sin()
    };
    let mut noon_h = 12.0 - (place.longitude_deg / 15.0 - place.time_zone_h);
    for _ in 0..4 {
        let (before, after) = (eastward(noon_h - 0.25), eastward(noon_h + 0.25));
        noon_h += 0.25 * (before + after) / (before - after);
    }
    noon_h
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::heading::place_at;

    /// The equation of time is +16.4 min about 3 November and -14.2 min about 11 February (from
    /// memory, any almanac).
    #[test]
    fn noon_follows_the_equation_of_time() {
        let place = place_at(45.0, 8.0, 250.0, "");
        let mean_noon_h = 12.0 - (8.0 / 15.0 - 1.0);
        let early_min = |day| 60.0 * (mean_noon_h - solar_noon_h(&sun_year(&place), &place, day));
        assert!((early_min(306) - 16.4).abs() < 0.2);
        assert!((early_min(41) + 14.2).abs() < 0.2);
    }

    /// Polar night and polar day at 75 degrees north.
    #[test]
    fn darkness_follows_the_season() {
        let hours = sun_of_hours(&place_at(75.0, 0.0, 0.0, ""), None);
        assert!(hours[..24].iter().all(|hour| hour.is_dark));
        assert!(
            hours[24 * 171..24 * 172]
                .iter()
                .all(|hour| hour.cos_zenith > 0.0)
        );
    }
}

//! Nights under a clearer or cloudier sky.

use crate::sun_angle::sun_year;
use crate::year::{INSTANTS, Place, Year};
use overwinter_physics::sky::sky_longwave_w_m2;

/// The sun at this zenith angle or higher makes the day, which stays as it is.
const HORIZON_ZENITH_DEG: f64 = 90.0;
/// From here on the whole share applies: the end of civil twilight.
const DARK_ZENITH_DEG: f64 = 96.0;

/// Moves the longwave of the nights a share of the way to that of an overcast sky (0 to 1) or of a
/// clear one (0 to -1), by the sky model for the air of each hour mark; cloud cover goes with it.
///
/// The share is reached from nothing between the sun on the horizon and six degrees below it. A sky
/// already beyond its bound, clearer than the model's clear sky or more than overcast, stays. The air
/// stays too: clear nights are colder, which the file's own clear nights show.
pub(super) fn cloud_nights(year: &mut Year, cloudier: f64, darkness: &[f64]) {
    let bound_cover = if cloudier > 0.0 { 1.0 } else { 0.0 };
    for (mark, darkness) in darkness.iter().enumerate() {
        let share = cloudier.abs() * darkness;
        if share <= 0.0 {
            continue;
        }
        let bound_w_m2 =
            sky_longwave_w_m2(year.air_temp_k[mark], year.dew_point_k[mark], bound_cover);
        let longwave_w_m2 = &mut year.sky_longwave_w_m2[mark];
        let is_short_of_it = (bound_w_m2 - *longwave_w_m2) * cloudier > 0.0;
        if is_short_of_it {
            *longwave_w_m2 = towards(*longwave_w_m2, bound_w_m2, share);
        }
        if let Some(cover) = &mut year.cloud_cover {
            cover[mark] = towards(cover[mark], bound_cover, share);
        }
    }
}

/// How dark each hour mark of a year is: 0 by day to 1 from the end of civil twilight on.
pub(super) fn darkness(place: &Place) -> Vec<f64> {
    let sun = sun_year(place);
    let of_mark = |mark: usize| {
        let below_deg = sun.position(mark as f64).zenith_deg - HORIZON_ZENITH_DEG;
        (below_deg / (DARK_ZENITH_DEG - HORIZON_ZENITH_DEG)).clamp(0.0, 1.0)
    };
    (0..INSTANTS).map(of_mark).collect()
}

/// A weighted mean, which stays between its two values.
fn towards(from: f64, to: f64, share: f64) -> f64 {
    ((1.0 - share) * from + share * to).clamp(from.min(to), from.max(to))
}

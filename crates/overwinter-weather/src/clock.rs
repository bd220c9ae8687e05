//! Is the sun in the file where the clock says it is? Measured month by month.
//!
//! For each hour of the day the brightest value of a month stands for its clear days. The centroid
//! of that curve falls on true solar noon if the hours are labelled as the format says.

use crate::calendar::{MONTH_BEGINS_H, month_of_hour};
use crate::sun_angle::{solar_noon_h, sun_year};
use crate::year::{HOURS, Note, Place, Year};

/// A month whose sun is further than this from the clock is reported.
pub const CLOCK_TOLERANCE_H: f64 = 0.3;

/// How late the sun of each month is in the file, in hours, against true solar noon at the place
/// (negative: early); `None` for months with too little sun to tell.
///
/// ```text
/// offset = centroid over the hours of the day of (brightest global radiation of the month)
///          - (12 - (longitude / 15 - time zone) - equation of time)
/// ```
pub fn clock_offset_h(year: &Year) -> [Option<f64>; 12] {
    let global_w_m2 = &year.global_horizontal_w_m2;
    offset_of_hours_h(global_w_m2, &year.place, year.radiation_instant_h)
}

/// As [`clock_offset_h`] for 8,760 values by the clock of a place, `within_h` hours into each hour.
pub(crate) fn offset_of_hours_h(
    global_w_m2: &[f64],
    place: &Place,
    within_h: f64,
) -> [Option<f64>; 12] {
    let sun = sun_year(place);
    std::array::from_fn(|month| {
        let hours = MONTH_BEGINS_H[month]..MONTH_BEGINS_H[month + 1];
        let noon_h = solar_noon_h(&sun, place, (hours.start + hours.end) / 48);
        let envelope = brightest_by_hour(global_w_m2.get(hours)?);
        centroid_offset_h(&envelope, within_h, noon_h)
    })
}

fn brightest_by_hour(month_w_m2: &[f64]) -> [f64; 24] {
    let mut envelope = [0.0_f64; 24];
    for (index, &value) in month_w_m2.iter().enumerate() {
        envelope[index % 24] = envelope[index % 24].max(value);
    }
    envelope
}

/// Centroid of the envelope minus noon, with each hour taken on the side of noon it is nearest to.
fn centroid_offset_h(envelope: &[f64; 24], within_h: f64, noon_h: f64) -> Option<f64> {
    const LEAST_SUM_W_M2: f64 = 100.0;
    let sum: f64 = envelope.iter().sum();
    let moment: f64 = envelope
        .iter()
        .enumerate()
        .map(|(hour, value)| {
            let from_noon = hour as f64 + within_h - noon_h;
            value * (from_noon - 24.0 * (from_noon / 24.0).round())
        })
        .sum();
    let offset_h = moment / sum;
    (sum > LEAST_SUM_W_M2 && offset_h.is_finite()).then_some(offset_h)
}

/// Whole hours by which each month would have to be moved later for its sun to agree with the
/// clock; 0 where it agrees or cannot be told.
pub fn clock_correction_h(year: &Year) -> [i32; 12] {
    clock_offset_h(year).map(|offset| offset.map_or(0, |offset| -offset.round() as i32))
}

/// The same year with every observed quantity of each month moved later by whole hours.
///
/// Typical years hold months whose observations are an hour or two off the clock, the temperature
/// as well as the sun, so all columns move together. At the ends of a month the first or last value
/// is held for the hours that have no source.
pub fn with_clock_corrected(year: &Year, later_h: &[i32; 12]) -> Year {
    let mut moved = year.clone();
    for column in [
        &mut moved.global_horizontal_w_m2,
        &mut moved.direct_normal_w_m2,
        &mut moved.diffuse_horizontal_w_m2,
        &mut moved.air_temp_k,
        &mut moved.dew_point_k,
        &mut moved.pressure_pa,
        &mut moved.wind_m_s,
        &mut moved.wind_from_deg,
        &mut moved.sky_longwave_w_m2,
    ] {
        move_months(column, later_h);
    }
    let optional = [
        &mut moved.cloud_cover,
        &mut moved.snow_depth_m,
        &mut moved.ground_albedo,
    ];
    for column in optional.into_iter().flatten() {
        move_months(column, later_h);
    }
    moved.notes.extend(note_of_move(later_h));
    moved
}

fn note_of_move(later_h: &[i32; 12]) -> Option<Note> {
    let moved = later_h.iter().filter(|&&hours| hours != 0).count();
    (moved > 0).then(|| Note {
        defect: "months off the clock".to_owned(),
        count: moved,
        first_line: 0,
        action: "all observed values moved by whole hours, as asked".to_owned(),
    })
}

fn move_months(column: &mut [f64], later_h: &[i32; 12]) {
    let source = column.to_vec();
    for (index, value) in column.iter_mut().enumerate() {
        // The mark at the end of the year belongs to December.
        let month = month_of_hour(index.min(HOURS - 1));
        let first = MONTH_BEGINS_H[month] as i64;
        let last = (MONTH_BEGINS_H[month + 1] - 1).max(index) as i64;
        let from = (index as i64 - i64::from(later_h[month])).clamp(first, last);
        *value = source[from as usize];
    }
}

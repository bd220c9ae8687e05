//! Longwave from the sky at the hour marks: the file's own, or a published model.
//!
//! Without cloud observations the cloud is estimated from the radiation. Against the observed cloud
//! of seven North American typical years, latitudes 36 to 65 and up to 1,829 m, the longwave then
//! moves by -7 to +2 W/m2 in the mean, by -4 to +3 W/m2 in hours below -5 C, and by 10 to 15 W/m2 rms.

use crate::axes::Axes;
use crate::field::Field;
use crate::gaps::{Bridge, fill_gaps};
use crate::sun_angle::SunHour;
use crate::table::Table;
use crate::year::{HOURS, INSTANTS, LongwaveSource};
use overwinter_physics::sky::sky_longwave_w_m2;

/// Longwave and cloud at the hour marks.
pub(crate) struct Sky {
    pub(crate) longwave_w_m2: Vec<f64>,
    pub(crate) source: LongwaveSource,
    /// As the file gives it; estimated cloud stays inside the longwave.
    pub(crate) cloud_cover: Option<Vec<f64>>,
}

/// What the sky model works from, at the hour marks.
pub(crate) struct AirAtInstants<'a> {
    pub(crate) air_temp_k: &'a [f64],
    pub(crate) dew_point_k: &'a [f64],
}

/// Takes the file's longwave where at least half of it is there, and models the rest.
pub(crate) fn longwave_and_cloud(
    table: &mut Table,
    axes: &Axes,
    sun: &[SunHour],
    global_w_m2: &[f64],
    air: &AirAtInstants<'_>,
) -> Sky {
    let cloud_cover = cloud_from_file(table, axes);
    let from_file = longwave_from_file(table, axes);
    let source = match (&from_file, &cloud_cover) {
        (Some(_), _) => LongwaveSource::File,
        (None, Some(_)) => LongwaveSource::ModelledWithCloud,
        (None, None) => LongwaveSource::ModelledWithoutCloud,
    };
    let mut longwave_w_m2 = from_file.unwrap_or_else(|| vec![f64::NAN; INSTANTS]);
    if longwave_w_m2.iter().any(|value| value.is_nan()) {
        let cloud = match &cloud_cover {
            Some(cover) => cover.clone(),
            None => estimated_cloud(table, sun, global_w_m2),
        };
        model_gaps(table, &mut longwave_w_m2, air, &cloud);
    }
    Sky {
        longwave_w_m2,
        source,
        cloud_cover,
    }
}

/// Models the longwave of every mark that has none.
fn model_gaps(
    table: &mut Table,
    longwave_w_m2: &mut [f64],
    air: &AirAtInstants<'_>,
    cloud: &[f64],
) {
    let mut modelled = 0;
    for (instant, value) in longwave_w_m2.iter_mut().enumerate() {
        if value.is_nan() {
            let (air_k, dew_k) = (air.air_temp_k[instant], air.dew_point_k[instant]);
            *value = sky_longwave_w_m2(air_k, dew_k, cloud[instant]);
            modelled += 1;
        }
    }
    let action = "modelled: Clark and Allen (1978) with the cloud factor of Walton (1983)";
    table
        .tally
        .count_many("no longwave from the sky", modelled.min(HOURS), 0, action);
}

/// The file's longwave at the hour marks if it is there for at least half the year.
fn longwave_from_file(table: &Table, axes: &Axes) -> Option<Vec<f64>> {
    is_mostly_known(table.column(Field::Longwave))
        .then(|| axes.longwave_at_instants(table.column(Field::Longwave)))
}

/// The file's cloud at the hour marks if it is there for at least half the year, the rest bridged.
fn cloud_from_file(table: &mut Table, axes: &Axes) -> Option<Vec<f64>> {
    if !is_mostly_known(table.column(Field::OpaqueCover)) {
        return None;
    }
    let filled = fill_gaps(table.column_mut(Field::OpaqueCover), HOURS, Bridge::Line).ok()?;
    if filled.count > 0 {
        let line = table.lines[filled.first];
        let action = "filled by a straight line";
        table
            .tally
            .count_many("opaque cloud cover filled", filled.count, line, action);
    }
    Some(axes.air_at_instants(table.column(Field::OpaqueCover)))
}

fn is_mostly_known(values: &[f64]) -> bool {
    2 * values.iter().filter(|value| !value.is_nan()).count() >= HOURS
}

/// Cloud at the hour marks estimated from the global radiation by day and carried over the night
/// by a straight line.
fn estimated_cloud(table: &mut Table, sun: &[SunHour], global_w_m2: &[f64]) -> Vec<f64> {
    let mut hours: Vec<f64> = sun
        .iter()
        .zip(global_w_m2)
        .map(|(sun, &global)| cloud_kasten_czeplak1980(global, sun.cos_zenith).unwrap_or(f64::NAN))
        .collect();
    let action = "estimated by day from the radiation, Kasten and Czeplak (1980), \
                  and carried over the night by a straight line";
    table
        .tally
        .count_many("no cloud cover in the file", HOURS, 0, action);
    if fill_gaps(&mut hours, HOURS, Bridge::Line).is_err() {
        hours.fill(0.0);
    }
    (0..INSTANTS)
        .map(|instant| 0.5 * (hours[(instant + HOURS - 1) % HOURS] + hours[instant % HOURS]))
        .collect()
}

/// Cloud cover, 0 to 1, from global radiation; none with the sun below ten degrees.
///
/// ```text
/// clear = 910 sin(height) - 30;  global / clear = 1 - 0.75 cover^3.4
/// ```
///
/// # References
/// F. Kasten and G. Czeplak (1980), "Solar and terrestrial radiation dependent on the amount and
/// type of cloud", Solar Energy 24(2), 177-189 (from memory; Hamburg).
fn cloud_kasten_czeplak1980(global_w_m2: f64, sine_of_height: f64) -> Option<f64> {
    const LOWEST_SINE: f64 = 0.174;
    if sine_of_height < LOWEST_SINE {
        return None;
    }
    let clear_w_m2 = 910.0 * sine_of_height - 30.0;
    let lost = (1.0 - global_w_m2 / clear_w_m2).max(0.0);
    Some((lost / 0.75).powf(1.0 / 3.4).min(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn overcast_passes_a_quarter_and_clear_has_no_cloud() {
        // Kasten and Czeplak (1980): a fully covered sky passes 1 - 0.75 of the clear-sky value.
        let clear = 910.0 * 0.5 - 30.0;
        let cover = |global| cloud_kasten_czeplak1980(global, 0.5);
        assert!(cover(0.25 * clear).is_some_and(|cover| (cover - 1.0).abs() < 1e-9));
        assert!(cover(1.1 * clear).is_some_and(|cover| cover.abs() < 1e-9));
        assert!(cloud_kasten_czeplak1980(20.0, 0.1).is_none());
    }
}

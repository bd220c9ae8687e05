//! Longwave from the sky at the hour marks: the file's own, or a published model.

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

/// Takes the file's longwave where at least half of it is there, and models the rest.
pub(crate) fn longwave_and_cloud(
    table: &mut Table,
    axes: &Axes,
    sun: &[SunHour],
    global_w_m2: &[f64],
    air_temp_k: &[f64],
    dew_point_k: &[f64],
) -> Sky {
    let cloud_cover = cloud_from_file(table, axes);
    let from_file = longwave_from_file(table, axes);
    if let Some(longwave) = from_file
        .as_ref()
        .filter(|values| !values.iter().any(|v| v.is_nan()))
    {
        return Sky {
            longwave_w_m2: longwave.clone(),
            source: LongwaveSource::File,
            cloud_cover,
        };
    }
    let modelled_with = match cloud_cover {
        Some(_) => LongwaveSource::ModelledWithCloud,
        None => LongwaveSource::ModelledWithoutCloud,
    };
    let cloud = match &cloud_cover {
        Some(cover) => cover.clone(),
        None => estimated_cloud(table, sun, global_w_m2, air_temp_k.len()),
    };
    let mut modelled_count = 0;
    let longwave_w_m2 = (0..INSTANTS)
        .map(
            |instant| match from_file.as_ref().map(|values| values[instant]) {
                Some(value) if !value.is_nan() => value,
                _ => {
                    modelled_count += 1;
                    sky_longwave_w_m2(air_temp_k[instant], dew_point_k[instant], cloud[instant])
                }
            },
        )
        .collect();
    let action = "modelled: Clark and Allen (1978) with the cloud factor of Walton (1983)";
    table.tally.count_many(
        "no longwave from the sky",
        modelled_count.min(HOURS),
        0,
        action,
    );
    let source = if from_file.is_some() {
        LongwaveSource::File
    } else {
        modelled_with
    };
    Sky {
        longwave_w_m2,
        source,
        cloud_cover,
    }
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
fn estimated_cloud(
    table: &mut Table,
    sun: &[SunHour],
    global_w_m2: &[f64],
    instants: usize,
) -> Vec<f64> {
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
    (0..instants)
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

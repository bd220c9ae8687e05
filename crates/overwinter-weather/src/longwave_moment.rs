//! Does the file's longwave stand over the hour, as its format says, or at the stamp with the air?
//!
//! Most files hold longwave that was computed from the row's own air values, so it changes in step
//! with them. The changes from row to row tell: longwave over the hour goes half a step before the
//! air and is as much like the air's change before as like the one after; longwave at the stamp is
//! most like the change of the same step and equally little like both neighbours.

use crate::field::Field;
use crate::table::Table;

/// Moves the longwave to the stamp where its changes go in step with those of the air.
pub(crate) fn settle_longwave_moment(table: &mut Table) {
    if (table.clock.longwave_h - table.clock.air_h).abs() < 1e-9 {
        return;
    }
    let longwave = changes(table.column(Field::Longwave));
    let air = changes(table.column(Field::AirTemp));
    if is_in_step(&longwave, &air) {
        table.clock.longwave_h = table.clock.air_h;
        let (rows, line) = (table.lines.len(), table.lines.first().copied().unwrap_or(0));
        let defect = "longwave goes with the air at the stamp, not with the hour";
        table
            .tally
            .count_many(defect, rows, line, "read at the stamp");
    }
}

fn changes(values: &[f64]) -> Vec<f64> {
    values.windows(2).map(|pair| pair[1] - pair[0]).collect()
}

/// True if `longwave` is most like `air` of the same step; false where it cannot be told.
fn is_in_step(longwave: &[f64], air: &[f64]) -> bool {
    if longwave.len() < 3 || longwave.len() != air.len() {
        return false;
    }
    let end = longwave.len() - 1;
    let same = correlation(longwave, air);
    let step_before = correlation(&longwave[1..], &air[..end]);
    let step_after = correlation(&longwave[..end], &air[1..]);
    same - step_before > (step_before - step_after).abs()
}

/// Correlation of the pairs that are both known; NaN where nothing varies.
fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let known = || a.iter().zip(b).filter(|(a, b)| !a.is_nan() && !b.is_nan());
    let count = known().count() as f64;
    let (sum_a, sum_b) = known().fold((0.0, 0.0), |(x, y), (a, b)| (x + a, y + b));
    let (mean_a, mean_b) = (sum_a / count, sum_b / count);
    let (mut ab, mut aa, mut bb) = (0.0, 0.0, 0.0);
    for (a, b) in known() {
        ab += (a - mean_a) * (b - mean_b);
        aa += (a - mean_a).powi(2);
        bb += (b - mean_b).powi(2);
    }
    ab / (aa * bb).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A daily wave, sampled `early_h` before each whole hour.
    fn wave(early_h: f64) -> Vec<f64> {
        (0..240)
            .map(|hour| ((f64::from(hour) - early_h) * std::f64::consts::PI / 12.0).cos())
            .collect()
    }

    #[test]
    fn half_an_hour_is_told_from_none() {
        let air = changes(&wave(0.0));
        assert!(is_in_step(&changes(&wave(0.0)), &air));
        assert!(!is_in_step(&changes(&wave(0.5)), &air));
        assert!(!is_in_step(&changes(&[280.0; 240]), &air));
        assert!(!is_in_step(&[], &[]));
    }
}

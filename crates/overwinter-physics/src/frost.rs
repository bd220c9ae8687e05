//! Cold that harms a crop: doses below a threshold and the share damaged.

mod dose;

pub use dose::{Dose, RUNNING_MEAN_H, TESTED_H, half_damage_for_duration_k};

/// Share of plants damaged by a night whose lowest leaf temperature is given, 0 to 1.
///
/// `1 / (1 + exp(-s (T_50 - T)))`: a half at `half_damage_k`, with steepness `slope_per_k` s above 0
/// (estimate 1.5 to 3 per K where no dose curve is published).
///
/// # References
/// Logistic dose curve, common practice, no source.
pub fn damage_share(half_damage_k: f64, slope_per_k: f64, lowest_leaf_k: f64) -> f64 {
    1.0 / (1.0 + (-slope_per_k * (half_damage_k - lowest_leaf_k)).exp())
}

/// Half-damage temperature, K, and slope, per K, of [`damage_share`] from the temperatures at which
/// a tenth and nine tenths are damaged.
///
/// `T_50` is their mean and the slope `ln 81 / (T_10 - T_90)`. None unless T_10 lies above T_90.
pub fn damage_curve(tenth_damaged_k: f64, nine_tenths_damaged_k: f64) -> Option<(f64, f64)> {
    let span_k = tenth_damaged_k - nine_tenths_damaged_k;
    (span_k > 0.0).then(|| {
        (
            0.5 * (tenth_damaged_k + nine_tenths_damaged_k),
            81.0_f64.ln() / span_k,
        )
    })
}

/// Degree-hours below a threshold, K h: the sum of `(threshold - T)+` over values that each stand
/// for `hours_each` hours. An empty slice gives 0.
pub fn degree_hours_below(temps_k: &[f64], threshold_k: f64, hours_each: f64) -> f64 {
    temps_k
        .iter()
        .map(|temp_k| (threshold_k - temp_k).max(0.0))
        .sum::<f64>()
        * hours_each
}

/// Hours strictly below a threshold, of values that each stand for `hours_each` hours.
pub fn hours_below(temps_k: &[f64], threshold_k: f64, hours_each: f64) -> f64 {
    temps_k
        .iter()
        .filter(|temp_k| **temp_k < threshold_k)
        .count() as f64
        * hours_each
}

/// Longest unbroken time strictly below a threshold, hours.
pub fn longest_spell_below(temps_k: &[f64], threshold_k: f64, hours_each: f64) -> f64 {
    let spells = temps_k
        .split(|temp_k| *temp_k >= threshold_k)
        .map(<[f64]>::len);
    spells.max().unwrap_or(0) as f64 * hours_each
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn curve_passes_its_three_points() {
        let (half_k, slope) = damage_curve(271.0, 269.0).expect("tenth above nine tenths");
        assert!((damage_share(half_k, slope, 271.0) - 0.1).abs() < 1e-12);
        assert!((damage_share(half_k, slope, 270.0) - 0.5).abs() < 1e-12);
        assert!((damage_share(half_k, slope, 269.0) - 0.9).abs() < 1e-12);
        assert_eq!(damage_curve(269.0, 269.0), None);
    }

    #[test]
    fn doses_of_a_short_night() {
        let temps_k = [275.0, 272.0, 271.0, 274.0, 272.5, 273.15];
        assert!((degree_hours_below(&temps_k, 273.15, 0.5) - 1.975).abs() < 1e-12);
        assert!((hours_below(&temps_k, 273.15, 0.5) - 1.5).abs() < 1e-12);
        assert!((longest_spell_below(&temps_k, 273.15, 0.5) - 1.0).abs() < 1e-12);
        assert!(degree_hours_below(&[], 273.15, 1.0).abs() < f64::EPSILON);
        assert!(longest_spell_below(&[], 273.15, 1.0).abs() < f64::EPSILON);
    }

    proptest! {
        #[test]
        fn colder_leaf_is_never_safer(
            half in 260.0..280.0_f64,
            slope in 0.1..6.0_f64,
            leaf in 230.0..300.0_f64,
        ) {
            let share = damage_share(half, slope, leaf);
            prop_assert!((0.0..=1.0).contains(&share));
            prop_assert!(damage_share(half, slope, leaf - 0.5) >= share);
        }
    }
}

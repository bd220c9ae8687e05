//! The dose of cold a leaf takes in below one limit, summed up along time.

use std::collections::VecDeque;

/// Length of the running mean on which a dose curve is judged, h (estimate: ice needs minutes to
/// form and to spread through a leaf).
pub const RUNNING_MEAN_H: f64 = 0.25;

/// Time below a limit that counts as that of a dose curve from tests, h: tests hold plants at their
/// temperature for about half an hour (from memory).
pub const TESTED_H: f64 = 0.5;

/// Steps that add up to a lag may miss it by rounding; a hundredth of a second does not.
const SLACK_H: f64 = 3e-6;

/// Cold taken in below one limit, fed step by step with the mean leaf temperature of the step.
///
/// ```text
/// hours below         = sum dt                 where T < limit
/// kelvin hours below  = sum (limit - T) dt     where T < limit
/// longest spell       = longest unbroken time with T < limit
/// lowest running mean = least of the means over any 15 min, or over all time if shorter
/// ```
///
/// The leaf is lost once it has been below without a break for the lag. The temperature of a step
/// stands for the whole of it, so in steps longer than a quarter of an hour the running mean is that
/// of one step. A step whose length is not above 0, or whose temperature is no number, counts as no
/// time.
///
/// # References
/// Leaves that were given ice at -4.6 degC came to equilibrium after 27.7 min if not hardened and
/// after 79.6 min if hardened, with half damage at -3 and -19 degC: L. V. Gusta et al. (2004),
/// "The effect of water, sugars, and proteins on the pattern of ice nucleation and propagation in
/// acclimated and nonacclimated canola leaves", Plant Physiology 135, 1642-1653, Table I (title and
/// authors from memory; doi:10.1104/pp.103.028308).
/// Killing frost: 2 to 5 degF below freezing for 5 to 10 min, or 31.5 to 32 degF for 3 to 5 h
/// (common practice, no source).
///
/// ```
/// use overwinter_physics::frost::Dose;
///
/// // 3 degF below freezing kills within 10 min; just below freezing it takes hours.
/// let mut sharp = Dose::new(273.15, 10.0 / 60.0);
/// let mut slight = Dose::new(273.15, 3.0);
/// for _ in 0..24 {
///     sharp.add(273.15 - 3.0 / 1.8, 5.0 / 60.0);
///     slight.add(273.15 - 0.25 / 1.8, 5.0 / 60.0);
/// }
/// assert!((sharp.lost_after_h().expect("below for 2 h") - 10.0 / 60.0).abs() < 1e-9);
/// assert_eq!(slight.lost_after_h(), None);
///
/// // An hour at -4.6 degC freezes a leaf that is not hardened, and not yet a hardened one.
/// for (minutes_to_freeze, is_lost) in [(27.7, true), (79.6, false)] {
///     let mut leaf = Dose::new(273.15, minutes_to_freeze / 60.0);
///     leaf.add(273.15 - 4.6, 1.0);
///     assert_eq!(leaf.lost_after_h().is_some(), is_lost);
/// }
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Dose {
    limit_k: f64,
    lag_h: f64,
    elapsed_h: f64,
    kelvin_hours: f64,
    hours_below: f64,
    kelvin_hours_below: f64,
    spell_h: f64,
    longest_spell_h: f64,
    lost_after_h: Option<f64>,
    lowest_full_mean_k: Option<f64>,
    recent: VecDeque<Step>,
}

/// A step of the last quarter of an hour.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Step {
    leaf_k: f64,
    length_h: f64,
}

impl Dose {
    /// Nothing taken in yet below `limit_k`, with harm after `lag_h` without a break below it; a lag
    /// of 0 or less is none.
    pub fn new(limit_k: f64, lag_h: f64) -> Self {
        Self {
            limit_k,
            lag_h: lag_h.max(0.0),
            elapsed_h: 0.0,
            kelvin_hours: 0.0,
            hours_below: 0.0,
            kelvin_hours_below: 0.0,
            spell_h: 0.0,
            longest_spell_h: 0.0,
            lost_after_h: None,
            lowest_full_mean_k: None,
            recent: VecDeque::new(),
        }
    }

    /// Takes in a step of `length_h` hours with a mean leaf temperature.
    pub fn add(&mut self, leaf_k: f64, length_h: f64) {
        if !leaf_k.is_finite() || !length_h.is_finite() || length_h <= 0.0 {
            return;
        }
        self.count_below(leaf_k, length_h);
        self.elapsed_h += length_h;
        self.kelvin_hours += leaf_k * length_h;
        self.average(Step { leaf_k, length_h });
    }

    /// Hours strictly below the limit.
    pub fn hours_below(&self) -> f64 {
        self.hours_below
    }

    /// Distance below the limit summed over time, K h.
    pub fn kelvin_hours_below(&self) -> f64 {
        self.kelvin_hours_below
    }

    /// Longest unbroken time strictly below the limit, h.
    pub fn longest_spell_h(&self) -> f64 {
        self.longest_spell_h
    }

    /// Lowest 15 min running mean, K; none before the first step.
    pub fn lowest_mean_k(&self) -> Option<f64> {
        let of_all_k = (self.elapsed_h > 0.0).then(|| self.kelvin_hours / self.elapsed_h);
        self.lowest_full_mean_k.or(of_all_k)
    }

    /// Time from the first step after which the leaf had been below for the lag, h.
    pub fn lost_after_h(&self) -> Option<f64> {
        self.lost_after_h
    }

    /// Share damaged by the lowest running mean, with half damage moved by the longest spell as
    /// [`half_damage_for_duration_k`] says; none before the first step.
    pub fn damage_share(&self, half_damage_k: f64, slope_per_k: f64) -> Option<f64> {
        let half_k = half_damage_for_duration_k(half_damage_k, self.limit_k, self.longest_spell_h);
        self.lowest_mean_k()
            .map(|lowest_k| super::damage_share(half_k, slope_per_k, lowest_k))
    }

    fn count_below(&mut self, leaf_k: f64, length_h: f64) {
        if leaf_k >= self.limit_k {
            self.spell_h = 0.0;
            return;
        }
        let spell_began_h = self.elapsed_h - self.spell_h;
        self.spell_h += length_h;
        self.longest_spell_h = self.longest_spell_h.max(self.spell_h);
        self.hours_below += length_h;
        self.kelvin_hours_below += (self.limit_k - leaf_k) * length_h;
        if self.lost_after_h.is_none() && self.spell_h + SLACK_H >= self.lag_h {
            self.lost_after_h = Some(spell_began_h + self.lag_h);
        }
    }

    fn average(&mut self, step: Step) {
        self.recent.push_back(step);
        let held_h: f64 = self.recent.iter().map(|step| step.length_h).sum();
        if held_h + SLACK_H < RUNNING_MEAN_H {
            return;
        }
        let mean_k = self.lowest_mean_up_to_now_k(held_h);
        let lowest_k = self.lowest_full_mean_k.unwrap_or(mean_k);
        self.lowest_full_mean_k = Some(lowest_k.min(mean_k));
        self.forget(held_h);
    }

    /// Lowest mean of the windows that end within the last step. A mean over a window of constant
    /// length runs straight until the window begins or ends between two steps, so that it is least
    /// there: at the end of the last step, or a window's length after the start of a step held.
    fn lowest_mean_up_to_now_k(&self, held_h: f64) -> f64 {
        let last_h = self.recent.back().map_or(0.0, |step| step.length_h);
        let mut lowest_k = self.mean_k(0.0);
        let mut began_before_now_h = held_h;
        for step in &self.recent {
            let ended_before_now_h = began_before_now_h - RUNNING_MEAN_H;
            if ended_before_now_h > 0.0 && ended_before_now_h <= last_h {
                lowest_k = lowest_k.min(self.mean_k(ended_before_now_h));
            }
            began_before_now_h -= step.length_h;
        }
        lowest_k
    }

    /// Mean over the window that ended `after_h` ago.
    fn mean_k(&self, after_h: f64) -> f64 {
        let (from_h, to_h) = (after_h + RUNNING_MEAN_H, after_h);
        let (mut ended_h, mut kelvin_hours, mut covered_h) = (0.0_f64, 0.0, 0.0);
        for step in self.recent.iter().rev() {
            let began_h = ended_h + step.length_h;
            let inside_h = (began_h.min(from_h) - ended_h.max(to_h)).max(0.0);
            kelvin_hours += step.leaf_k * inside_h;
            covered_h += inside_h;
            ended_h = began_h;
        }
        kelvin_hours / covered_h
    }

    /// Drops the steps that no later window reaches.
    fn forget(&mut self, held_h: f64) {
        let mut rest_h = held_h;
        while let Some(first) = self.recent.front() {
            rest_h -= first.length_h;
            if rest_h < RUNNING_MEAN_H {
                break;
            }
            self.recent.pop_front();
        }
    }
}

/// Half-damage temperature, K, after an unbroken time below a limit: cold that lasts harms at a
/// higher temperature.
///
/// ```text
/// T_50(t) = T_50 + 0.5 K log2(t / 30 min),  t > 30 min;   T_50 up to 30 min
/// ```
///
/// It never rises above the limit, unless `half_damage_k` lies above it already.
///
/// # References
/// Half a kelvin for each doubling is an estimate.
///
/// ```
/// use overwinter_physics::frost::half_damage_for_duration_k;
/// assert!((half_damage_for_duration_k(268.15, 271.15, 0.5) - 268.15).abs() < 1e-12);
/// assert!((half_damage_for_duration_k(268.15, 271.15, 4.0) - 269.65).abs() < 1e-12);
/// assert!((half_damage_for_duration_k(268.15, 271.15, 1e6) - 271.15).abs() < 1e-12);
/// ```
pub fn half_damage_for_duration_k(half_damage_k: f64, limit_k: f64, hours_below: f64) -> f64 {
    const RISE_PER_DOUBLING_K: f64 = 0.5;
    let doublings = (hours_below / TESTED_H).max(1.0).log2();
    (half_damage_k + RISE_PER_DOUBLING_K * doublings).min(limit_k.max(half_damage_k))
}

#[cfg(test)]
mod tests;

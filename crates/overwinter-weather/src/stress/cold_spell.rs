//! The coldest spell of a year, and lowering it.

use crate::year::HOURS;
use std::f64::consts::FRAC_PI_2;

/// The spell around the lowest hour mark of a year.
///
/// The air is smoothed by its mean over 24 hours and compared with its mean over the 30 days around
/// the lowest hour. The spell is the run around that hour in which the smoothed air stays below this
/// mean: at least 12 hours and at most 15 days on either side. The year closes on itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ColdSpell {
    /// Hour mark of the lowest air temperature, the first of several.
    pub lowest_mark: usize,
    /// From the beginning of the spell to its lowest hour mark, h.
    pub before_h: usize,
    /// From the lowest hour mark to the end of the spell, h.
    pub after_h: usize,
}

/// Least length of the spell on either side of its lowest hour: it holds one night at least.
const LEAST_H: usize = 12;
/// Most length on either side, and half the time whose mean it is measured by.
const MOST_H: usize = 15 * 24;
/// Half the time over which the air is smoothed.
const SMOOTHED_H: usize = 12;

/// The coldest spell of hourly air temperatures, K, at the hour marks of a year.
pub fn cold_spell(air_temp_k: &[f64]) -> ColdSpell {
    let lowest_mark = lowest_mark(air_temp_k);
    let at = |mark: usize| air_temp_k[mark % HOURS];
    // Counted from a year later, so that marks before 1 January have numbers.
    let lowest = lowest_mark % HOURS + HOURS;
    let around = lowest - MOST_H..=lowest + MOST_H;
    let season_k = around.map(at).sum::<f64>() / (2 * MOST_H + 1) as f64;
    let is_mild = |mark: usize| smoothed_k(air_temp_k, mark) >= season_k;
    let run = |is_end: &dyn Fn(usize) -> bool| {
        let length_h = (0..=MOST_H).find(|&hours| is_end(hours));
        length_h.unwrap_or(MOST_H).max(LEAST_H)
    };
    ColdSpell {
        lowest_mark,
        before_h: run(&|hours| is_mild(lowest - hours)),
        after_h: run(&|hours| is_mild(lowest + hours)),
    }
}

impl ColdSpell {
    /// Lowers the spell so that its lowest hour is `coldest_k`, in the same air moved by any constant.
    ///
    /// ```text
    /// lowering = (lowest - coldest) cos2(90 deg x time from the lowest hour / time to the edge)
    /// ```
    ///
    /// It joins the rest of the year without a step or a kink; no hour comes out below `coldest_k`.
    pub(super) fn lower_to(&self, air_temp_k: &mut [f64], coldest_k: f64) {
        let depth_k = air_temp_k[self.lowest_mark] - coldest_k;
        if depth_k <= 0.0 {
            return;
        }
        let before =
            (1..self.before_h).map(|hours| (self.mark_before(hours), hours, self.before_h));
        let after = (1..self.after_h).map(|hours| (self.mark_after(hours), hours, self.after_h));
        for (mark, hours, length_h) in before.chain(after) {
            let weight = (FRAC_PI_2 * hours as f64 / length_h as f64).cos().powi(2);
            lower(air_temp_k, mark, |k| (k - depth_k * weight).max(coldest_k));
        }
        lower(air_temp_k, self.lowest_mark % HOURS, |_| coldest_k);
    }

    fn mark_before(&self, hours: usize) -> usize {
        (self.lowest_mark + HOURS - hours) % HOURS
    }

    fn mark_after(&self, hours: usize) -> usize {
        (self.lowest_mark + hours) % HOURS
    }
}

/// Changes a mark; the mark at the end of the year goes with the one at its start.
fn lower(air_temp_k: &mut [f64], mark: usize, lowered_k: impl Fn(f64) -> f64) {
    air_temp_k[mark] = lowered_k(air_temp_k[mark]);
    if mark == 0 {
        air_temp_k[HOURS] = lowered_k(air_temp_k[HOURS]);
    }
}

fn lowest_mark(air_temp_k: &[f64]) -> usize {
    let marks = air_temp_k.iter().enumerate();
    marks
        .min_by(|a, b| a.1.total_cmp(b.1))
        .map_or(0, |(mark, _)| mark)
}

/// Mean over 24 hours around a mark, the two marks at the ends by half.
fn smoothed_k(air_temp_k: &[f64], mark: usize) -> f64 {
    let at = |mark: usize| air_temp_k[mark % HOURS];
    let (first, last) = (mark - SMOOTHED_H, mark + SMOOTHED_H);
    let sum: f64 = (first..=last).map(at).sum();
    (sum - 0.5 * (at(first) + at(last))) / (2 * SMOOTHED_H) as f64
}

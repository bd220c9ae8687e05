//! Follows a branch and notes when it passes its marks.

use std::ops::ControlFlow;

use super::{Outage, PLATEAU_H, Question, Rung};
use crate::branch::{BranchMoment, Saved};

/// Water freezes, K.
const FREEZING_K: f64 = 273.15;

/// Follows a branch.
pub(super) struct Watch<'a> {
    question: &'a Question,
    lowest_k: [f64; 2],
    /// Time, air and leaf at the end of every step until the leaf is at the limit.
    past: Vec<(f64, f64, f64)>,
    below_since_h: Option<f64>,
    found: Outage,
}

impl<'a> Watch<'a> {
    pub(super) fn new(start: &Saved<f64>, question: &'a Question) -> Self {
        let temps_k = [start.air_k(), start.top_leaf_k()];
        Self {
            question,
            lowest_k: temps_k,
            past: vec![(0.0, temps_k[0], temps_k[1])],
            below_since_h: None,
            found: Outage {
                start_hour: start.hour(),
                rungs: Vec::with_capacity(question.lengths_h.len()),
                alarm_h: None,
                freezing_h: None,
                limit_h: None,
                lost_h: None,
                plateau_k: None,
                warning_k: None,
            },
        }
    }

    pub(super) fn see(&mut self, moment: &BranchMoment<f64>) -> ControlFlow<()> {
        let marks = &self.question.marks;
        let now = (moment.after_h, moment.air_k, moment.top_leaf_k);
        let before = self.past.last().copied().unwrap_or(now);
        self.lowest_k = [
            self.lowest_k[0].min(moment.air_k),
            self.lowest_k[1].min(moment.top_leaf_k),
        ];
        let air = ((before.0, before.1), (now.0, now.1));
        let leaf = ((before.0, before.2), (now.0, now.2));
        let found = &mut self.found;
        found.alarm_h = found.alarm_h.or_else(|| passed_h(air, marks.alarm_k));
        found.freezing_h = found.freezing_h.or_else(|| passed_h(air, FREEZING_K));
        let had_limit = found.limit_h.is_some();
        found.limit_h = found.limit_h.or_else(|| passed_h(leaf, marks.limit_k));
        if now.0 <= PLATEAU_H + 1e-6 {
            found.plateau_k = (now.0 > PLATEAU_H - 1e-6).then_some(now.1);
        }
        let since_h = self.below_since_h.or_else(|| passed_h(leaf, marks.limit_k));
        // A spell that ends within the step counts to where the leaf rises over the limit.
        let until_h = if now.2 < marks.limit_k {
            now.0
        } else {
            risen_h(leaf, marks.limit_k)
        };
        let lost_h = since_h.map(|since_h| since_h + marks.lag_h);
        found.lost_h = found
            .lost_h
            .or(lost_h.filter(|lost_h| *lost_h <= until_h + 1e-9));
        self.below_since_h = since_h.filter(|_| now.2 < marks.limit_k);
        self.past.push(now);
        if let (false, Some(limit_h)) = (had_limit, self.found.limit_h) {
            self.found.warning_k = self.air_k_at(limit_h - marks.travel_h);
        }
        if self.found.limit_h.is_some() {
            // What was before is no longer asked for.
            self.past.drain(..self.past.len() - 1);
        }
        self.end_rungs(moment.after_h);
        ControlFlow::Continue(())
    }

    fn end_rungs(&mut self, after_h: f64) {
        while let Some(length_h) = self.question.lengths_h.get(self.found.rungs.len()) {
            if after_h < *length_h - 1e-6 {
                return;
            }
            self.found.rungs.push(Rung {
                length_h: *length_h,
                lowest_air_k: self.lowest_k[0],
                lowest_leaf_k: self.lowest_k[1],
                is_lost: self
                    .found
                    .lost_h
                    .is_some_and(|lost_h| lost_h <= *length_h + 1e-9),
            });
        }
    }

    /// Air at an earlier time, straight between steps; `None` before the start.
    fn air_k_at(&self, time_h: f64) -> Option<f64> {
        if time_h < 0.0 {
            return None;
        }
        let at = self.past.windows(2).find(|pair| pair[1].0 >= time_h)?;
        let share = (time_h - at[0].0) / (at[1].0 - at[0].0);
        Some(at[0].1 + share * (at[1].1 - at[0].1))
    }

    pub(super) fn finish(self) -> Outage {
        self.found
    }
}

/// When a mark is passed, straight between two times with their temperatures: the first of them if it
/// is colder already then, `None` if it is not passed.
fn passed_h((from, to): ((f64, f64), (f64, f64)), mark_k: f64) -> Option<f64> {
    if from.1 <= mark_k {
        return Some(from.0);
    }
    if to.1 >= mark_k {
        return None;
    }
    Some(from.0 + (from.1 - mark_k) / (from.1 - to.1) * (to.0 - from.0))
}

/// When a rising line passes a mark, straight between two times; the first of them if it is over it then.
fn risen_h((from, to): ((f64, f64), (f64, f64)), mark_k: f64) -> f64 {
    if from.1 >= mark_k || to.1 <= from.1 {
        return from.0;
    }
    from.0 + (mark_k - from.1) / (to.1 - from.1) * (to.0 - from.0)
}

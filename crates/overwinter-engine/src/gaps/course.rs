//! The last course of gaps that began to move, kept to be gone through again.
//!
//! Gaps know nothing of temperatures: under the same wind a dead blower empties them alike, whatever else
//! fails with it. On every night several failures stop the blower from the same hour on, and the network is
//! solved for the first of them alone.

use overwinter_physics::inflation::deflate::GapAir;

use super::GapsNow;
use crate::failure::Tear;
use crate::inflated::Severity;

/// What decides a course from its first hour on.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Beginning {
    pub(super) hour: usize,
    pub(super) blowers_run: bool,
    pub(super) tears: Vec<Tear>,
    pub(super) severity: Severity,
}

/// The end of a step.
#[derive(Clone, Debug)]
struct Taken {
    hour: usize,
    step_s: f64,
    air: GapAir,
    now: GapsNow,
}

/// A course and how far it has been gone through again.
#[derive(Debug, Default)]
pub(super) struct Course {
    beginning: Option<Beginning>,
    taken: Vec<Taken>,
    /// Steps gone; `None` once the gaps have left the course.
    at: Option<usize>,
}

impl Course {
    /// Begins a course, or the same one again.
    pub(super) fn begin(&mut self, beginning: Beginning) {
        if self.beginning.as_ref() != Some(&beginning) {
            self.beginning = Some(beginning);
            self.taken.clear();
        }
        self.at = Some(0);
    }

    /// Leaves the course: what follows is neither kept nor known.
    pub(super) fn leave(&mut self) {
        self.at = None;
    }

    /// The gaps at the end of the next step, if it was taken before; a step of another length leaves
    /// the course.
    pub(super) fn next(&mut self, hour: usize, step_s: f64) -> Option<(&GapAir, &GapsNow)> {
        let at = self.at?;
        let known = self.taken.get(at)?;
        if known.hour != hour || known.step_s.to_bits() != step_s.to_bits() {
            self.at = None;
            return None;
        }
        self.at = Some(at + 1);
        Some((&known.air, &known.now))
    }

    /// Keeps a step that was not known.
    pub(super) fn keep(&mut self, hour: usize, step_s: f64, air: &GapAir, now: &GapsNow) {
        if self.at == Some(self.taken.len()) {
            self.at = Some(self.taken.len() + 1);
            self.taken.push(Taken {
                hour,
                step_s,
                air: air.clone(),
                now: now.clone(),
            });
        }
    }
}

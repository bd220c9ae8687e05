//! What fails or stands open when, and what a generator carries meanwhile.

use crate::failure::{Carried, Failure, Works};
use crate::season::FINE_STEPS_PER_HOUR;

/// Shortest time that events know, h: 5 minutes.
pub const FINEST_H: f64 = 1.0 / 12.0;

/// Something that fails or stands open for a time.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// What.
    pub failure: Failure,
    /// When it begins, hours after 1 January 00:00 local standard time; a multiple of [`FINEST_H`].
    pub start_h: f64,
    /// How long it lasts; a multiple of [`FINEST_H`], 0 for an event that does not happen.
    pub length_h: f64,
}

/// A generator that takes over after the grid has failed.
#[derive(Clone, Debug, PartialEq)]
pub struct Generator {
    /// Time from the failure until it carries its load; a multiple of [`FINEST_H`].
    pub start_after_h: f64,
    /// What it carries.
    pub carries: Carried,
}

/// All events of a case.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EventPlan {
    /// The events; they may overlap.
    pub events: Vec<Event>,
    /// The generator, if there is one.
    pub generator: Option<Generator>,
}

impl EventPlan {
    /// What works at a time, hours after the start of the year.
    ///
    /// A generator that has started carries its load until all failures of the grid that overlap are
    /// over.
    pub fn works_at(&self, hour: f64) -> Works {
        let now = |event: &&Event| {
            // Half the finest time keeps rounding from shifting an end.
            let at = hour + FINEST_H / 2.0;
            (event.start_h..event.start_h + event.length_h).contains(&at)
        };
        let active: Vec<&Event> = self.events.iter().filter(now).collect();
        let mut failed: Vec<Failure> = Vec::with_capacity(active.len());
        for event in &active {
            // What overlaps counts once, so that a second failure on top of the first changes nothing.
            if !failed.contains(&event.failure) {
                failed.push(event.failure);
            }
        }
        let first_h = self.grid_failed_since_h(hour);
        let carried = self
            .generator
            .as_ref()
            .filter(|generator| hour + FINEST_H / 2.0 >= first_h + generator.start_after_h)
            .map(|generator| generator.carries.clone());
        Works::with(failed, carried.unwrap_or_default())
    }

    /// When the failures of the grid that overlap or follow on each other up to a time began; infinite if
    /// the grid is there.
    fn grid_failed_since_h(&self, hour: f64) -> f64 {
        let at_h = hour + FINEST_H / 2.0;
        let grid = || {
            let failures = self.events.iter();
            failures.filter(|event| event.failure == Failure::Power && event.length_h > 0.0)
        };
        let ends_h = |event: &Event| event.start_h + event.length_h;
        let earliest_h = |before_h: f64, reaching_h: f64| {
            let reaches = |event: &&Event| event.start_h < before_h && ends_h(event) > reaching_h;
            let starts_h = grid().filter(reaches).map(|event| event.start_h);
            starts_h.fold(f64::INFINITY, f64::min)
        };
        let mut since_h = earliest_h(at_h, at_h);
        loop {
            let earlier_h = earliest_h(since_h, since_h - FINEST_H / 2.0);
            // Nothing that begins before it lasts until it begins.
            if since_h.is_infinite() || earlier_h.is_infinite() {
                return since_h;
            }
            since_h = earlier_h;
        }
    }

    /// True if what works changes within the hour that begins at `hour`, after its start.
    pub fn changes_within(&self, hour: usize) -> bool {
        let hour = hour as f64;
        self.changes_between(hour + FINEST_H / 2.0, hour + 1.0 - FINEST_H / 2.0)
    }

    /// Steps in the hour that begins at `hour`: those of 5 minutes where something changes in it or has
    /// changed in the hour before, since the air then moves fastest, else `usual`.
    pub fn steps_in(&self, hour: usize, usual: usize) -> usize {
        let hour = hour as f64;
        if self.changes_between(hour - 1.0 + FINEST_H / 2.0, hour + 1.0 - FINEST_H / 2.0) {
            usual.max(FINE_STEPS_PER_HOUR)
        } else {
            usual
        }
    }

    /// True if an event begins, ends or is taken over by the generator between two times.
    fn changes_between(&self, from_h: f64, to_h: f64) -> bool {
        let inside = |time_h: f64| time_h > from_h && time_h < to_h;
        let starts_after_h = self.generator.as_ref().map_or(0.0, |g| g.start_after_h);
        self.events
            .iter()
            .filter(|event| event.length_h > 0.0)
            .any(|event| {
                let ends_h = event.start_h + event.length_h;
                let carried_h = event.start_h + starts_after_h;
                let carried = event.failure == Failure::Power && self.generator.is_some();
                inside(event.start_h) || inside(ends_h) || (carried && inside(carried_h))
            })
    }
}

//! What the heaters give while something fails, and what one more that never fails would give.

use std::ops::ControlFlow;

use super::{FailingNow, fine_at_first, whole_hours};
use crate::ample::{ample_heater, full_below_k};
use crate::branch::{BranchMoment, Saved};
use crate::control::Setting;
use crate::error::EngineError;
use crate::house::House;
use crate::season::Season;

/// Time in which a house that is colder than what is to be held is warmed up, h: what that takes is
/// no measure of what holds it.
const WARMED_UP_H: f64 = 1.0;

/// The heaters from the start of a failure to its end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heating {
    /// How long it lasts, h.
    pub length_h: f64,
    /// Mean output of all heaters.
    pub mean_w: f64,
    /// How far the house air was below the set point at most, K.
    pub most_below_set_k: f64,
    /// Highest output of the last heater of the house.
    pub last_heater_highest_w: f64,
}

/// The house with one more heater: ample, in need of no electricity, and on only where the others
/// cannot hold `hold_k`.
///
/// What the others hold is lowered to the same, so that those that still work go first. A season of
/// this house goes on from saved states of the other one: heaters are no part of a state.
pub fn standby_house(house: &House, hold_k: f64) -> House {
    let mut standby = house.clone();
    standby.heat_set_k = Setting::Constant(hold_k - full_below_k(house));
    standby.heaters.push(ample_heater(house, "standby"));
    standby
}

/// Highest output of the standby heater of [`standby_house`], by length of a failure, W: with that
/// much the house would have been held.
///
/// `season` is one of that house, `start` a saved state of the house as it is. Where the house is colder
/// than `hold_k` when it fails, the first hour does not count.
///
/// # Errors
/// As [`crate::season::run_season_with`].
pub fn standby_w(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    failing: &FailingNow,
    lengths_h: &[f64],
    hold_k: f64,
) -> Result<Vec<f64>, EngineError> {
    let counts_from_h = if start.air_k() < hold_k {
        WARMED_UP_H
    } else {
        0.0
    };
    let heating = followed(season, start, failing, lengths_h, counts_from_h)?;
    Ok(heating
        .iter()
        .map(|heating| heating.last_heater_highest_w)
        .collect())
}

/// What the heaters do in a failure, by its length; lengths from the shortest to the longest.
///
/// # Errors
/// As [`crate::season::run_season_with`].
pub fn heating(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    failing: &FailingNow,
    lengths_h: &[f64],
) -> Result<Vec<Heating>, EngineError> {
    followed(season, start, failing, lengths_h, 0.0)
}

fn followed(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    failing: &FailingNow,
    lengths_h: &[f64],
    counts_from_h: f64,
) -> Result<Vec<Heating>, EngineError> {
    let longest_h = lengths_h.last().copied().unwrap_or(0.0);
    let events = failing.events(start.hour(), f64::INFINITY);
    let steps = fine_at_first(start.hour(), &events);
    let mut sum = Sum {
        counts_from_h,
        ..Sum::default()
    };
    let mut found = Vec::with_capacity(lengths_h.len());
    season.branch(start, whole_hours(longest_h), &events, steps, |moment| {
        sum.add(moment);
        while let Some(&length_h) = lengths_h.get(found.len()) {
            if moment.after_h < length_h - 1e-6 {
                break;
            }
            found.push(sum.over(length_h));
        }
        ControlFlow::Continue(())
    })?;
    Ok(found)
}

#[derive(Default)]
struct Sum {
    counts_from_h: f64,
    until_h: f64,
    heat_wh: f64,
    most_below_set_k: f64,
    last_heater_highest_w: f64,
}

impl Sum {
    fn add(&mut self, moment: &BranchMoment<f64>) {
        self.heat_wh += moment.heat_w * (moment.after_h - self.until_h);
        self.until_h = moment.after_h;
        self.most_below_set_k = self.most_below_set_k.max(moment.heat_set_k - moment.air_k);
        if moment.after_h > self.counts_from_h {
            self.last_heater_highest_w = self.last_heater_highest_w.max(moment.last_heater_w);
        }
    }

    fn over(&self, length_h: f64) -> Heating {
        Heating {
            length_h,
            mean_w: self.heat_wh / self.until_h,
            most_below_set_k: self.most_below_set_k,
            last_heater_highest_w: self.last_heater_highest_w,
        }
    }
}

//! A house in its year, brought to the hour in which something fails.

use std::ops::ControlFlow;

use overwinter_engine::branch::{BranchMoment, Saved};
use overwinter_engine::events::EventPlan;
use overwinter_engine::failure::Failure;
use overwinter_engine::house::House;
use overwinter_engine::outage::FailingNow;
use overwinter_engine::season::{RUN_UP_H, STEPS_PER_HOUR, Season};
use overwinter_engine::sunlight::{Sunlight, sunlight};
use overwinter_weather::Year;
use overwinter_weather::year::HOURS;

use crate::years;

/// Dusk of the coldest night of Chicago's year, 26 January.
pub const DUSK: usize = 25 * 24 + 17;

/// A house in a year with the sun on it.
#[derive(Clone, Debug)]
pub struct Scene {
    /// The house.
    pub house: House,
    /// The year.
    pub year: Year,
    /// The sun.
    pub sun: Sunlight,
}

impl Scene {
    /// A house in a year.
    pub fn new(house: House, year: Year) -> Self {
        let sun = sunlight(&house, &year);
        Self { house, year, sun }
    }

    /// A house in the cold year of a northern plain.
    pub fn in_the_cold(house: House) -> Self {
        let year = years::shipped(years::COLD).expect("a shipped year reads");
        Self::new(house, year)
    }

    /// The same with one wind all year.
    #[must_use]
    pub fn in_wind_of(mut self, wind_m_s: f64) -> Self {
        self.year
            .wind_m_s
            .iter_mut()
            .for_each(|wind| *wind = wind_m_s);
        self
    }

    /// Does something with a season that has not begun.
    pub fn season<T>(&self, then: impl FnOnce(Season<'_, f64>) -> T) -> T {
        let (houses, suns, years) = ([&self.house], [&self.sun], [&self.year]);
        let season = Season::new(&houses, &suns, &years, STEPS_PER_HOUR);
        then(season.expect("the house fits"))
    }

    /// Does something with a season that has come to an hour of the year, and the state it has then.
    pub fn at_hour<T>(
        &self,
        hour: usize,
        then: impl FnOnce(&mut Season<'_, f64>, &Saved<f64>) -> T,
    ) -> T {
        self.season(|mut season| {
            season.run_up(HOURS - RUN_UP_H, HOURS).expect("the run-up");
            season.run_up(0, hour).expect("the winter");
            let saved = season.save(hour);
            then(&mut season, &saved)
        })
    }
}

/// What fails together from the hour of a state on, for some hours.
pub fn failing(start: &Saved<f64>, failures: &[Failure], length_h: f64) -> EventPlan {
    let failing = FailingNow {
        failures: failures.to_vec(),
        generator: None,
    };
    failing.events(start.hour(), length_h)
}

/// House air at the end of every step of a branch of some hours.
pub fn air_k(
    season: &mut Season<'_, f64>,
    start: &Saved<f64>,
    hours: usize,
    events: &EventPlan,
    steps_per_hour: usize,
) -> Vec<f64> {
    let mut air_k = Vec::new();
    let each = |moment: &BranchMoment<f64>| {
        air_k.push(moment.air_k);
        ControlFlow::Continue(())
    };
    season
        .branch(start, hours, events, |_| steps_per_hour, each)
        .expect("the branch is finished");
    air_k
}

/// The lowest of some temperatures.
pub fn lowest_k(temps_k: &[f64]) -> f64 {
    temps_k.iter().copied().fold(f64::INFINITY, f64::min)
}

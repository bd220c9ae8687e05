//! Steps a house by hand, for what the season's own loop does not do: start where the test says, look
//! in after every hour.

use overwinter_engine::account::Account;
use overwinter_engine::house::House;
use overwinter_engine::ledger::{HEAT_TERMS, HeatTerm};
use overwinter_engine::model::{MASS, VAPOUR};
use overwinter_engine::season::Season;
use overwinter_engine::sunlight::sunlight;
use overwinter_weather::Year;

/// A house after an hour.
#[derive(Clone, Debug)]
pub struct Hour {
    /// Its unknowns at the end.
    pub now: Vec<f64>,
    /// Heat terms of the hour, W, positive into the house.
    pub heat_w: [f64; HEAT_TERMS],
}

impl Hour {
    /// One heat term, W.
    pub fn term_w(&self, term: HeatTerm) -> f64 {
        self.heat_w[term as usize]
    }
}

/// How a run is stepped.
#[derive(Clone, Copy, Debug)]
pub struct Run {
    /// Steps in an hour.
    pub steps_per_hour: usize,
    /// Hours from 1 January.
    pub hours: usize,
    /// Every temperature at the start; the season's own start if there is none.
    pub start_k: Option<f64>,
}

impl Run {
    /// Half-hour steps, as the program takes them.
    pub fn of_hours(hours: usize) -> Self {
        Self {
            steps_per_hour: 2,
            hours,
            start_k: None,
        }
    }

    /// The house after every hour of the run.
    ///
    /// # Panics
    /// If the engine refuses the house.
    pub fn of(self, house: &House, year: &Year) -> Vec<Hour> {
        let sun = sunlight(house, year);
        let (houses, suns, years) = ([house], [&sun], [year]);
        let season = Season::<f64>::new(&houses, &suns, &years, self.steps_per_hour);
        let mut season = season.expect("the house fits");
        let state = &mut season.stepper().state;
        if let Some(start_k) = self.start_k {
            for (index, value) in state.now.iter_mut().enumerate() {
                if index >= MASS && index != VAPOUR {
                    *value = start_k;
                }
            }
            state.before = state.now.clone();
        }
        let mut account = Account::default();
        let step_s = 3600.0 / self.steps_per_hour as f64;
        let mut hours = Vec::new();
        // Not by the season's own loop: its check of the accounts knows no house in which nothing
        // moves.
        for hour in 0..self.hours {
            for step in 1..=self.steps_per_hour {
                let share = step as f64 / self.steps_per_hour as f64;
                let mut conditions = season.conditions_at(hour, share).clone();
                season
                    .stepper()
                    .advance(step_s, &mut conditions, &mut account, |_, _| {});
            }
            hours.push(Hour {
                now: season.stepper().state.now.clone(),
                heat_w: account.sum.heat_j.map(|heat_j| heat_j / 3600.0),
            });
            account.clear();
        }
        hours
    }
}

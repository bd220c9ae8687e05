//! A house with its sun and year, from which any number of seasons can be started.

use overwinter_engine::branch::Saved;
use overwinter_engine::error::EngineError;
use overwinter_engine::house::House;
use overwinter_engine::outage::saved_states;
use overwinter_engine::season::{STEPS_PER_HOUR, Season};
use overwinter_engine::sunlight::Sunlight;
use overwinter_weather::Year;

/// One house in one year.
pub(super) struct Stage<'a> {
    houses: [&'a House; 1],
    suns: [&'a Sunlight; 1],
    years: [&'a Year; 1],
}

impl<'a> Stage<'a> {
    pub(super) fn new(house: &'a House, sun: &'a Sunlight, year: &'a Year) -> Self {
        Self {
            houses: [house],
            suns: [sun],
            years: [year],
        }
    }

    /// The same year and sun around another house of the same parts.
    pub(super) fn with_house<'b>(&self, house: &'b House) -> Stage<'b>
    where
        'a: 'b,
    {
        Stage {
            houses: [house],
            suns: self.suns,
            years: self.years,
        }
    }

    pub(super) fn house(&self) -> &'a House {
        self.houses[0]
    }

    pub(super) fn season(&self) -> Result<Season<'_, f64>, EngineError> {
        Season::new(&self.houses, &self.suns, &self.years, STEPS_PER_HOUR)
    }

    /// The states at the starts of some hours of the year, in the order asked for.
    pub(super) fn saved(&self, hours: &[usize]) -> Result<Vec<Saved<f64>>, EngineError> {
        let mut ascending = hours.to_vec();
        ascending.sort_unstable();
        ascending.dedup();
        let saved = saved_states(&mut self.season()?, &ascending)?;
        let of = |hour: &usize| {
            let at = ascending.partition_point(|before| before < hour);
            saved[at].clone()
        };
        Ok(hours.iter().map(of).collect())
    }
}

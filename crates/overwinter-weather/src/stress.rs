//! Colder, warmer, clearer or cloudier than the file: a year under stress.
//!
//! A typical year is made of ordinary months, so it hides extremes. Three transforms, each from a
//! [`Year`] to a [`Year`], bring them back in a stated way; what is asked of them is a [`Stress`]:
//! - *warmer*: every air temperature is moved by one difference, below zero for a colder year;
//! - *coldest*: the coldest spell of the year is lowered until its lowest hour is a stated one;
//! - *cloudier nights*: at night the longwave from the sky is moved a share of the way to that of an
//!   overcast sky, or below zero to that of a clear one.
//!
//! They are done in this order, so that the stated coldest hour is the lowest of the finished year
//! and the bounds of the longwave are those of its air. Left as the file has them: the sun, wind,
//! pressure, snow and albedo. Air has its density from temperature and pressure and follows.
//!
//! # References
//! The shift is the operation of that name in S. E. Belcher, J. N. Hacker and D. S. Powell (2005),
//! "Constructing design weather data for future climates", Building Services Engineering Research
//! and Technology 26(1), 49-61 (from memory). The other two: common practice, no source.

mod cold_spell;
mod moved_air;
mod night_sky;

pub use cold_spell::{ColdSpell, cold_spell};

use crate::error::WeatherError;
use crate::field::Field;
use crate::year::Year;
use std::sync::{Arc, OnceLock};

/// Largest shift of the air, K, either way: estimate, beyond any change of climate.
pub const LARGEST_SHIFT_K: f64 = 15.0;

/// A stated coldest hour counts as the year's own within this, K: what units lose by rounding.
const SAME_K: f64 = 1e-6;

/// What is asked of a year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stress {
    /// Difference added to every air temperature, K; -15 to 15.
    pub warmer_k: f64,
    /// Lowest air temperature of the finished year, K; `None` leaves the coldest spell alone.
    pub coldest_k: Option<f64>,
    /// Share of the way to an overcast sky at night, 0 to 1, or to a clear one, 0 to -1.
    pub cloudier_nights: f64,
}

impl Stress {
    /// The year as it is.
    pub const NONE: Self = Self {
        warmer_k: 0.0,
        coldest_k: None,
        cloudier_nights: 0.0,
    };

    /// True if nothing is asked.
    pub fn is_none(&self) -> bool {
        is_zero(self.warmer_k) && self.coldest_k.is_none() && is_zero(self.cloudier_nights)
    }

    /// Refuses what cannot be asked of a year whose lowest air temperature is `lowest_k`.
    ///
    /// # Errors
    /// [`WeatherError::NotColder`] if the stated coldest hour is above the year's own, moved as
    /// asked; [`WeatherError::BadStress`] outside the ranges of the fields and of possible air.
    pub fn check(&self, lowest_k: f64) -> Result<(), WeatherError> {
        within("warmer_k", self.warmer_k, -LARGEST_SHIFT_K, LARGEST_SHIFT_K)?;
        within("cloudier_nights", self.cloudier_nights, -1.0, 1.0)?;
        let (least_k, most_k) = Field::AirTemp.rule().possible;
        let moved_k = lowest_k + self.warmer_k;
        within("lowest air", moved_k, least_k, most_k)?;
        let Some(coldest_k) = self.coldest_k else {
            return Ok(());
        };
        within("coldest_k", coldest_k, least_k, most_k)?;
        if coldest_k > moved_k + SAME_K {
            return Err(WeatherError::NotColder {
                coldest_k,
                lowest_k: moved_k,
            });
        }
        Ok(())
    }

    /// Air temperatures of the year under stress, K, at its hour marks.
    ///
    /// # Errors
    /// As [`Stress::check`].
    pub fn air_temp_k(&self, year: &Year) -> Result<Vec<f64>, WeatherError> {
        let spell = cold_spell(&year.air_temp_k);
        self.check(year.air_temp_k[spell.lowest_mark])?;
        let mut air_temp_k = year.air_temp_k.clone();
        if !is_zero(self.warmer_k) {
            let shifted = air_temp_k.iter_mut();
            shifted.for_each(|temp_k| *temp_k += self.warmer_k);
        }
        if let Some(coldest_k) = self.coldest_k {
            spell.lower_to(&mut air_temp_k, coldest_k);
        }
        Ok(air_temp_k)
    }

    /// The year under stress; the same to the bit if nothing is asked.
    ///
    /// # Errors
    /// As [`Stress::check`].
    pub fn apply(&self, year: &Year) -> Result<Year, WeatherError> {
        self.apply_with(year, &OnceLock::new())
    }

    fn apply_with(&self, year: &Year, darkness: &OnceLock<Vec<f64>>) -> Result<Year, WeatherError> {
        let mut stressed = year.clone();
        moved_air::move_air(&mut stressed, self.air_temp_k(year)?);
        if !is_zero(self.cloudier_nights) {
            let darkness = darkness.get_or_init(|| night_sky::darkness(&year.place));
            night_sky::cloud_nights(&mut stressed, self.cloudier_nights, darkness);
        }
        Ok(stressed)
    }
}

/// A year that is put under one stress after the other: what they share is worked out once.
#[derive(Clone, Debug)]
pub struct Unstressed {
    year: Arc<Year>,
    darkness: OnceLock<Vec<f64>>,
}

impl Unstressed {
    /// The year as its file has it.
    pub fn new(year: Arc<Year>) -> Self {
        Self {
            year,
            darkness: OnceLock::new(),
        }
    }

    /// The year as its file has it.
    pub fn year(&self) -> &Arc<Year> {
        &self.year
    }

    /// As [`Stress::apply`]; the year itself if nothing is asked.
    ///
    /// # Errors
    /// As [`Stress::check`].
    pub fn under(&self, stress: &Stress) -> Result<Arc<Year>, WeatherError> {
        if stress.is_none() {
            return Ok(Arc::clone(&self.year));
        }
        stress.apply_with(&self.year, &self.darkness).map(Arc::new)
    }
}

fn is_zero(number: f64) -> bool {
    number.abs() < f64::MIN_POSITIVE
}

/// Refuses NaN and what lies outside the bounds.
fn within(what: &'static str, value: f64, least: f64, most: f64) -> Result<(), WeatherError> {
    if (least..=most).contains(&value) {
        return Ok(());
    }
    Err(WeatherError::BadStress {
        what,
        value,
        least,
        most,
    })
}

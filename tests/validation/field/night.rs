//! The nights of a year.

use std::ops::Range;

use overwinter_units::constants::STEFAN_BOLTZMANN_W_M2K4;
use overwinter_weather::Year;
use overwinter_weather::year::HOURS;

/// Hours without sun that count as a night of winter.
const SHORTEST_H: usize = 8;
/// First hours of March and of December.
const MARCH_H: usize = 59 * 24;
const DECEMBER_H: usize = 334 * 24;
/// The sky of a clear night is at least so much colder than the air.
const CLEAR_K: f64 = 15.0;

/// Hours without sun that follow each other.
#[derive(Clone, Debug)]
pub(crate) struct Night {
    hours: Range<usize>,
}

impl Night {
    /// Nights of December, January and February that lie within the year as a whole.
    pub(crate) fn all_winter(year: &Year) -> Vec<Self> {
        let is_dark = |hour: &usize| year.global_horizontal_w_m2[*hour] <= 0.0;
        let mut nights = Vec::new();
        let mut hour = (0..HOURS).find(|hour| !is_dark(hour)).unwrap_or(HOURS);
        while hour < HOURS {
            let dawn = (hour..HOURS).find(|hour| !is_dark(hour)).unwrap_or(HOURS);
            let is_winter = dawn <= MARCH_H || hour >= DECEMBER_H;
            if dawn < HOURS && dawn - hour >= SHORTEST_H && is_winter {
                nights.push(Self { hours: hour..dawn });
            }
            hour = (dawn..HOURS).find(is_dark).unwrap_or(HOURS);
        }
        nights
    }

    /// Nights of winter whose sky is clear from dusk to dawn.
    pub(crate) fn all_clear(year: &Year) -> Vec<Self> {
        let mut nights = Self::all_winter(year);
        nights.retain(|night| night.sky_below_air_k(year) >= CLEAR_K);
        nights
    }

    /// The coldest of the clear nights.
    pub(crate) fn coldest_clear(year: &Year) -> Self {
        let outdoors_k = |night: &Self| night.mean(|hour| year.air_temp_k[hour]);
        Self::all_clear(year)
            .into_iter()
            .min_by(|a, b| outdoors_k(a).total_cmp(&outdoors_k(b)))
            .expect("a winter has clear nights")
    }

    /// Mean of what the hours of the night give.
    pub(crate) fn mean(&self, of_hour: impl Fn(usize) -> f64) -> f64 {
        self.hours.clone().map(of_hour).sum::<f64>() / self.hours.len() as f64
    }

    /// The lowest that an hour of the night gives.
    pub(crate) fn lowest(&self, of_hour: impl Fn(usize) -> f64) -> f64 {
        self.hours.clone().map(of_hour).fold(f64::MAX, f64::min)
    }

    /// Mean of how far the sky, as a black body, is colder than the air.
    fn sky_below_air_k(&self, year: &Year) -> f64 {
        let sky_k = |hour: usize| {
            (year.sky_longwave_w_m2[hour] / STEFAN_BOLTZMANN_W_M2K4)
                .sqrt()
                .sqrt()
        };
        self.mean(|hour| year.air_temp_k[hour] - sky_k(hour))
    }
}

/// Mean over nights.
pub(crate) fn mean_of(nights: &[Night], of_night: impl Fn(&Night) -> f64) -> f64 {
    nights.iter().map(of_night).sum::<f64>() / nights.len() as f64
}

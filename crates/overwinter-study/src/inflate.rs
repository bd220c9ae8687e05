//! Inflated gaps on their own: their pressures, the hoses that mend them, the air, heat and water that
//! pass through, electricity, and the hours after the blower stops.
//!
//! Left out: what the films lose in heat (that is a season's work), snow, the strength of films and
//! frame. The house stands at the pressure of still outdoor air.

mod air;
mod electricity;
mod mending;
mod pressures;
mod stopped;
mod wind;

use overwinter_engine::inflated::Inflation;
use overwinter_physics::error::PhysicsError;
use overwinter_weather::Year;

use crate::case::Case;

pub use air::{AirThrough, FILM_BELOW_OUTDOORS_K, HOUSE_HUMIDITY, HouseAir};
pub use electricity::{BATTERY_J, Electricity};
pub use mending::{BOUGHT_HOSES_M, Hose, Mend, Mending, Remedy};
pub use pressures::{GapPressures, WindyGap};
pub use stopped::{GapTimes, LONGEST_FOLLOWED_S, Refill, Span, Stopped};
pub use wind::{DIRECTIONS, WINDS_M_S};

/// Share of the pressure asked for from which a section counts as held: a gauge is read and a damper is
/// set no finer (estimate).
pub const HELD_SHARE: f64 = 0.9;

/// Why nothing can be said about inflated gaps.
#[derive(Debug, PartialEq, thiserror::Error)]
pub enum InflateError {
    /// The house has no inflated cover.
    #[error("case {case} has no inflated cover")]
    NotInflated {
        /// Number of the case.
        case: usize,
    },
    /// A network that has no steady state, or a value that no network has.
    #[error("case {case}: inflated gaps: {source}")]
    Physics {
        /// Number of the case.
        case: usize,
        /// What is wrong.
        source: PhysicsError,
    },
}

/// Everything about the inflated gaps of one house in one climate.
#[derive(Clone, Debug, PartialEq)]
pub struct Inflated {
    /// Pressure asked for.
    pub asked_pa: f64,
    /// Each gap with its pressures.
    pub gaps: Vec<GapPressures>,
    /// What mends those that are under the pressure asked for.
    pub mending: Mending,
    /// Air, heat and water through all gaps.
    pub air: AirThrough,
    /// Electricity of all blowers.
    pub electricity: Electricity,
    /// The hours after the blowers stop.
    pub stopped: Stopped,
}

/// Works out everything about the inflated gaps of a case.
///
/// # Errors
/// [`InflateError`].
pub fn inflate(case: &Case, year: &Year) -> Result<Inflated, InflateError> {
    let Some(inflation) = &case.house.inflation else {
        return Err(InflateError::NotInflated { case: case.id });
    };
    of_gaps(case, inflation, year).map_err(|source| InflateError::Physics {
        case: case.id,
        source,
    })
}

fn of_gaps(case: &Case, inflation: &Inflation, year: &Year) -> Result<Inflated, PhysicsError> {
    let house = &case.house;
    Ok(Inflated {
        asked_pa: inflation.asked_pa,
        gaps: pressures::of(house, inflation)?,
        mending: mending::of(house, inflation)?,
        air: air::of(house, inflation, year)?,
        electricity: electricity::of(case, inflation, year),
        stopped: stopped::of(house, inflation)?,
    })
}

#[cfg(test)]
mod tests;

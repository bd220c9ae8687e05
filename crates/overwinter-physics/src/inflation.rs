//! Air between two films: what blows it in, where it leaks, how wide the gap is, how it empties.
//!
//! Steady pressures of all sections come from [`network`], the width and conductance of a gap from
//! [`gap`], the hours after a blower stops from [`deflate`]. Pressures are above still outdoor air
//! unless a name says otherwise. Left out: stretch of the films with age, flapping, air that swells
//! with warmth.

pub mod blower;
pub mod deflate;
pub mod flow;
pub mod gap;
pub mod jumper;
pub mod network;

pub use blower::{Blower, ElectricDraw};
pub use flow::{Opening, wind_pressure_pa};
pub use jumper::Jumper;

use crate::error::PhysicsError;

/// Density at which the worked figures of this module stand, kg/m3: air at 9 C and sea level.
pub const COOL_AIR_DENSITY_KG_M3: f64 = 1.25;

/// `value` if it lies between two bounds, else the refusal that names it.
fn within(what: &'static str, value: f64, low: f64, high: f64) -> Result<f64, PhysicsError> {
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(PhysicsError::Condition {
            what,
            value,
            low,
            high,
        })
    }
}

//! What can go wrong while a season is stepped.

use overwinter_physics::error::PhysicsError;
use thiserror::Error;

/// A case that could not be finished.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum EngineError {
    /// The energy or water account of a step did not close.
    #[error(
        "the {account} account does not close in hour {hour}: {residual_share:e} of the \
         throughput, allowed {allowed_share:e}"
    )]
    AccountOpen {
        /// "heat" or "water".
        account: &'static str,
        /// Hour of the year, 0 to 8759.
        hour: usize,
        /// Residual of the worst step, share of its throughput.
        residual_share: f64,
        /// The limit.
        allowed_share: f64,
    },
    /// The pressures in the inflated gaps were not found.
    #[error("the gaps of the cover in hour {hour}: {source}")]
    Gaps {
        /// Hour of the year.
        hour: usize,
        /// What the network says.
        source: PhysicsError,
    },
    /// A state is no longer a finite number.
    #[error("the state of the house is not finite in hour {hour} (unknown {unknown})")]
    NotFinite {
        /// Hour of the year.
        hour: usize,
        /// Index of the unknown.
        unknown: usize,
    },
    /// A temperature left the range in which the formulas hold.
    #[error("a temperature of {temp_k:.1} K in hour {hour} is outside {low_k} to {high_k} K")]
    OutOfRange {
        /// Hour of the year.
        hour: usize,
        /// The temperature.
        temp_k: f64,
        /// Lower bound.
        low_k: f64,
        /// Upper bound.
        high_k: f64,
    },
    /// The house has more of something than the engine can hold, or none where one is needed.
    #[error("{what}: {count}, allowed {least} to {most}")]
    Count {
        /// What is counted.
        what: &'static str,
        /// How many there are.
        count: usize,
        /// Fewest.
        least: usize,
        /// Most.
        most: usize,
    },
}

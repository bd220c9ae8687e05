//! What the arithmetic of this crate refuses.

/// Input that no sum can be made of, with its name and the range that would do.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EconomicsError {
    /// A length in years outside its range.
    #[error("{what}: {years} years, it must be 1 to {most}")]
    Years {
        /// What lasts that long.
        what: String,
        /// Years given.
        years: u32,
        /// Most years allowed.
        most: u32,
    },
    /// A rate that is not a number or outside its range; rates at or below -100 % a year would leave
    /// nothing or less than nothing.
    #[error("{what}: {} % a year, it must be {} % to {} %", 100.0 * .rate, 100.0 * .low, 100.0 * .high)]
    Rate {
        /// What the rate is of.
        what: String,
        /// Rate given, a year, 0.03 for 3 %.
        rate: f64,
        /// Lowest allowed.
        low: f64,
        /// Highest allowed.
        high: f64,
    },
    /// A sum of money, an amount or a share that is not a number or outside its range.
    #[error("{what}: {value}, it must be {low} to {high}")]
    Amount {
        /// The quantity.
        what: String,
        /// Value given.
        value: f64,
        /// Lowest allowed.
        low: f64,
        /// Highest allowed.
        high: f64,
    },
    /// A part that is in place already and past its life.
    #[error(
        "{part}: {age_years} years old with a life of {life_years}; what is due now is bought now, \
         with a first cost and an age of 0"
    )]
    PastItsLife {
        /// Name of the part.
        part: String,
        /// Its age.
        age_years: u32,
        /// Its life.
        life_years: u32,
    },
    /// A grant of more than what may be paid from it.
    #[error(
        "a grant of {grant} for eligible costs of {eligible_cost}; it cannot be more than these"
    )]
    GrantAboveCost {
        /// Grant given.
        grant: f64,
        /// Costs it may pay for.
        eligible_cost: f64,
    },
    /// A share was asked for of no draws.
    #[error("no draws are given, so that no share of them can be told")]
    NoDraws,
}

//! The ranges in which every sum stays a finite number.
//!
//! Amounts to 1e15, rates of -50 to 100 % a year and 100 years: prices that double twice over every
//! year (escalation and inflation) against a rate that halves give 1e15 x 8^100, which is 1e105.

use crate::error::EconomicsError;

/// Longest period, life or loan, years.
pub(crate) const MOST_YEARS: u32 = 100;
/// Lowest rate, a year.
pub(crate) const LOWEST_RATE: f64 = -0.5;
/// Highest rate, a year.
pub(crate) const HIGHEST_RATE: f64 = 1.0;
/// Largest sum or amount.
pub(crate) const MOST_AMOUNT: f64 = 1e15;

/// Passes 1 to 100 years.
pub(crate) fn years(what: &str, years: u32) -> Result<u32, EconomicsError> {
    if (1..=MOST_YEARS).contains(&years) {
        return Ok(years);
    }
    Err(EconomicsError::Years {
        what: what.to_owned(),
        years,
        most: MOST_YEARS,
    })
}

/// Passes a rate of -50 to 100 % a year.
pub(crate) fn rate(what: &str, rate: f64) -> Result<f64, EconomicsError> {
    if (LOWEST_RATE..=HIGHEST_RATE).contains(&rate) {
        return Ok(rate);
    }
    Err(EconomicsError::Rate {
        what: what.to_owned(),
        rate,
        low: LOWEST_RATE,
        high: HIGHEST_RATE,
    })
}

/// Passes a sum or amount that cannot be negative.
pub(crate) fn amount(what: &str, value: f64) -> Result<f64, EconomicsError> {
    between(what, value, 0.0, MOST_AMOUNT)
}

/// Passes a sum that may be a gain or a loss.
pub(crate) fn gain_or_loss(what: &str, value: f64) -> Result<f64, EconomicsError> {
    between(what, value, -MOST_AMOUNT, MOST_AMOUNT)
}

/// Passes a value of `low` to `high`.
pub(crate) fn between(what: &str, value: f64, low: f64, high: f64) -> Result<f64, EconomicsError> {
    if (low..=high).contains(&value) {
        return Ok(value);
    }
    Err(EconomicsError::Amount {
        what: what.to_owned(),
        value,
        low,
        high,
    })
}

//! Discount and compounding factors: what one payment, or one a year, is worth at another time.
//!
//! `rate` is the rate of discount a year (0.03 for 3 %), real for payments in constant money and
//! nominal for payments in current money. Payments of a series fall due at the ends of years 1 to
//! `years`. Rates of -50 to 100 % and 1 to 100 years are taken, others refused.
//!
//! # References
//! - ASTM E917, Standard Practice for Measuring Life-Cycle Costs of Buildings and Building Systems,
//!   and its adjunct of discount factor tables (names of the factors seen; formulas from memory).
//! - National Institute of Standards and Technology (NIST), Handbook 135, Life-Cycle Costing Manual
//!   for the Federal Energy Management Program (formulas from memory).

use crate::check;
use crate::error::EconomicsError;

#[cfg(test)]
mod tests;

/// Single present value (SPV): what 1 due at the end of year `years` is worth now.
///
/// ```text
/// SPV = (1 + d)^-N
/// ```
///
/// 1 at d = 0, above 1 at negative rates.
///
/// # References
/// See the [module](self). The value of the example is printed with 3 % tables (seen).
///
/// ```
/// use overwinter_economics::factor::single_present_value;
/// assert!((single_present_value(0.03, 1).unwrap() - 0.9709).abs() < 5e-5);
/// ```
///
/// # Errors
/// Rate or years outside their ranges.
pub fn single_present_value(rate: f64, years: u32) -> Result<f64, EconomicsError> {
    single_compound_amount(rate, years).map(f64::recip)
}

/// Single present value with escalation (SPV*): what a payment that would be 1 at today's price and
/// rises by `escalation` a year is worth now when it is due at the end of year `years`.
///
/// ```text
/// SPV* = ((1 + e) / (1 + d))^N
/// ```
///
/// 1 at e = d. Both rates are real, or both nominal.
///
/// # References
/// See the [module](self).
///
/// ```
/// use overwinter_economics::factor::escalating_single_present_value;
/// // By hand: 1.05^2 / 1.25^2 = 0.84^2.
/// assert!((escalating_single_present_value(0.25, 0.05, 2).unwrap() - 0.7056).abs() < 1e-12);
/// ```
///
/// # Errors
/// A rate or years outside their ranges.
pub fn escalating_single_present_value(
    rate: f64,
    escalation: f64,
    years: u32,
) -> Result<f64, EconomicsError> {
    let risen = single_compound_amount(escalation, years)?;
    Ok(risen * single_present_value(rate, years)?)
}

/// Uniform present value (UPV): what 1 at the end of every year is worth now.
///
/// ```text
/// UPV = (1 - (1 + d)^-N) / d
/// ```
///
/// N at d = 0, and without loss of digits near it.
///
/// # References
/// See the [module](self). The value of the example is evaluated from the formula apart from this
/// code; a supplement of NIST prints 14.88 (from memory).
///
/// ```
/// use overwinter_economics::factor::uniform_present_value;
/// assert!((uniform_present_value(0.03, 20).unwrap() - 14.8775).abs() < 5e-5);
/// ```
///
/// # Errors
/// Rate or years outside their ranges.
pub fn uniform_present_value(rate: f64, years: u32) -> Result<f64, EconomicsError> {
    escalating_uniform_present_value(rate, 0.0, years)
}

/// Uniform present value with escalation (UPV*): what a payment every year is worth now that would be
/// 1 at today's price and rises by `escalation` a year, the first time within year 1.
///
/// ```text
/// UPV* = (1 + e) / (d - e) (1 - ((1 + e) / (1 + d))^N)
/// ```
///
/// N at e = d, and without loss of digits near it; ((1 + e)^N - 1) (1 + e) / e at d = 0. Both rates are
/// real, or both nominal.
///
/// # References
/// See the [module](self). The value of the example is evaluated from the formula apart from this
/// code.
///
/// ```
/// use overwinter_economics::factor::escalating_uniform_present_value;
/// let factor = escalating_uniform_present_value(0.03, 0.01, 20).unwrap();
/// assert!((factor - 16.3827).abs() < 5e-5);
/// ```
///
/// # Errors
/// A rate or years outside their ranges.
pub fn escalating_uniform_present_value(
    rate: f64,
    escalation: f64,
    years: u32,
) -> Result<f64, EconomicsError> {
    let rate = check::rate("rate of discount", rate)?;
    let escalation = check::rate("escalation", escalation)?;
    let count = f64::from(check::years("payments", years)?);
    let growth = (escalation - rate) / (1.0 + rate);
    if growth == 0.0 {
        return Ok(count);
    }
    Ok((1.0 + growth) * (count * growth.ln_1p()).exp_m1() / growth)
}

/// Uniform capital recovery (UCR): what has to be paid at the end of every year to pay off 1 with
/// interest.
///
/// ```text
/// UCR = d / (1 - (1 + d)^-N) = 1 / UPV
/// ```
///
/// 1/N at d = 0.
///
/// # References
/// See the [module](self).
///
/// ```
/// use overwinter_economics::factor::uniform_capital_recovery;
/// // By hand: 1 borrowed for 2 years at 25 %: 1.5625 / (1.25 + 1).
/// assert!((uniform_capital_recovery(0.25, 2).unwrap() - 1.5625 / 2.25).abs() < 1e-12);
/// ```
///
/// # Errors
/// Rate or years outside their ranges.
pub fn uniform_capital_recovery(rate: f64, years: u32) -> Result<f64, EconomicsError> {
    uniform_present_value(rate, years).map(f64::recip)
}

/// Uniform sinking fund (USF): what has to be put aside at the end of every year to have 1 at the end
/// of the last.
///
/// ```text
/// USF = d / ((1 + d)^N - 1) = 1 / UCA
/// ```
///
/// 1/N at d = 0.
///
/// # References
/// See the [module](self).
///
/// ```
/// use overwinter_economics::factor::uniform_sinking_fund;
/// // By hand: what is put aside at the end of year 1 bears 25 % once: 1 / (1.25 + 1).
/// assert!((uniform_sinking_fund(0.25, 2).unwrap() - 1.0 / 2.25).abs() < 1e-12);
/// ```
///
/// # Errors
/// Rate or years outside their ranges.
pub fn uniform_sinking_fund(rate: f64, years: u32) -> Result<f64, EconomicsError> {
    uniform_compound_amount(rate, years).map(f64::recip)
}

/// Single compound amount (SCA): what 1 now has grown to at the end of year `years`.
///
/// ```text
/// SCA = (1 + d)^N
/// ```
///
/// 1 at d = 0.
///
/// # References
/// See the [module](self).
///
/// ```
/// use overwinter_economics::factor::single_compound_amount;
/// assert!((single_compound_amount(0.25, 2).unwrap() - 1.5625).abs() < 1e-12);
/// ```
///
/// # Errors
/// Rate or years outside their ranges.
pub fn single_compound_amount(rate: f64, years: u32) -> Result<f64, EconomicsError> {
    let rate = check::rate("rate", rate)?;
    let years = check::years("period", years)?;
    Ok((1.0 + rate).powf(f64::from(years)))
}

/// Uniform compound amount (UCA): what 1 put aside at the end of every year has grown to at the end of
/// the last.
///
/// ```text
/// UCA = ((1 + d)^N - 1) / d
/// ```
///
/// N at d = 0.
///
/// # References
/// See the [module](self).
///
/// ```
/// use overwinter_economics::factor::uniform_compound_amount;
/// // By hand: 1.25^2 + 1.25 + 1.
/// assert!((uniform_compound_amount(0.25, 3).unwrap() - 3.8125).abs() < 1e-12);
/// ```
///
/// # Errors
/// Rate or years outside their ranges.
pub fn uniform_compound_amount(rate: f64, years: u32) -> Result<f64, EconomicsError> {
    Ok(uniform_present_value(rate, years)? * single_compound_amount(rate, years)?)
}

//! For how long, in what money and at what rate a plan is judged.

use crate::check;
use crate::error::EconomicsError;

/// The money of the year rows and of the rates that come out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Money {
    /// With the purchasing power of year 0; rates are real.
    #[default]
    Constant,
    /// Of each year, as it stands on bills; rates are nominal.
    Current,
}

/// Study period, rate of discount and inflation.
///
/// Prices and costs of a plan are those of year 0 and their escalations are real (above inflation) in
/// either money, so that both give the same present values; the money says in what the rows and the
/// rates of return are told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Terms {
    years: u32,
    discount_rate: f64,
    inflation: f64,
    money: Money,
}

impl Terms {
    /// Terms in constant money: a real rate of discount. `inflation` acts only on loans, whose payments
    /// are fixed in current money.
    ///
    /// # Errors
    /// Years beyond 1 to 100, rates beyond -50 to 100 % a year.
    pub fn constant(
        years: u32,
        real_discount_rate: f64,
        inflation: f64,
    ) -> Result<Self, EconomicsError> {
        Self::checked(years, real_discount_rate, inflation, Money::Constant)
    }

    /// Terms in current money: a nominal rate of discount, and the inflation it holds.
    ///
    /// # Errors
    /// As [`Terms::constant`].
    pub fn current(
        years: u32,
        nominal_discount_rate: f64,
        inflation: f64,
    ) -> Result<Self, EconomicsError> {
        Self::checked(years, nominal_discount_rate, inflation, Money::Current)
    }

    fn checked(
        years: u32,
        discount_rate: f64,
        inflation: f64,
        money: Money,
    ) -> Result<Self, EconomicsError> {
        Ok(Self {
            years: check::years("study period", years)?,
            discount_rate: check::rate("rate of discount", discount_rate)?,
            inflation: check::rate("inflation", inflation)?,
            money,
        })
    }

    /// Study period, years.
    pub fn years(&self) -> u32 {
        self.years
    }

    /// Rate of discount a year, in the money of these terms.
    pub fn discount_rate(&self) -> f64 {
        self.discount_rate
    }

    /// Inflation a year.
    pub fn inflation(&self) -> f64 {
        self.inflation
    }

    /// The money of rows and rates.
    pub fn money(&self) -> Money {
        self.money
    }

    /// What 1 at the end of `year` is worth in year 0; 1 in year 0.
    pub fn discount_factor(&self, year: u32) -> f64 {
        grown(self.discount_rate, year).recip()
    }

    /// What a cost of 1 at the prices of year 0, with a real `escalation` a year, comes to in `year`.
    pub(crate) fn price_in(&self, year: u32, escalation: f64) -> f64 {
        let real = grown(escalation, year);
        match self.money {
            Money::Constant => real,
            Money::Current => real * grown(self.inflation, year),
        }
    }

    /// What 1 fixed in current money, as a loan's payment is, comes to in `year`.
    pub(crate) fn fixed_in(&self, year: u32) -> f64 {
        match self.money {
            Money::Constant => grown(self.inflation, year).recip(),
            Money::Current => 1.0,
        }
    }
}

/// The real rate behind a nominal one.
///
/// ```text
/// real = (1 + nominal) / (1 + inflation) - 1
/// ```
///
/// Serves discount rates and escalations alike.
///
/// # References
/// NIST Handbook 135 (from memory).
///
/// ```
/// use overwinter_economics::terms::{nominal_rate, real_rate};
/// // By hand: 1.05 / 1.25 = 0.84.
/// assert!((real_rate(0.05, 0.25).unwrap() + 0.16).abs() < 1e-12);
/// assert!((nominal_rate(-0.16, 0.25).unwrap() - 0.05).abs() < 1e-12);
/// ```
///
/// # Errors
/// A rate outside -50 to 100 % a year.
pub fn real_rate(nominal: f64, inflation: f64) -> Result<f64, EconomicsError> {
    let nominal = check::rate("nominal rate", nominal)?;
    let inflation = check::rate("inflation", inflation)?;
    Ok((nominal - inflation) / (1.0 + inflation))
}

/// The nominal rate that a real one comes to: (1 + real) (1 + inflation) - 1; see [`real_rate`].
///
/// # Errors
/// A rate outside -50 to 100 % a year.
pub fn nominal_rate(real: f64, inflation: f64) -> Result<f64, EconomicsError> {
    let real = check::rate("real rate", real)?;
    let inflation = check::rate("inflation", inflation)?;
    Ok(real + inflation + real * inflation)
}

/// (1 + rate)^year, 1 in year 0.
pub(crate) fn grown(rate: f64, year: u32) -> f64 {
    (1.0 + rate).powf(f64::from(year))
}

//! A loan paid off in equal yearly payments.

use crate::check;
use crate::error::EconomicsError;
use crate::factor;

/// What is borrowed in year 0, in current money.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loan {
    /// Sum borrowed.
    pub principal: f64,
    /// Interest a year, nominal as lenders state it.
    pub rate: f64,
    /// Payments, one at the end of each year.
    pub years: u32,
}

impl Loan {
    /// The payment at the end of each year: principal x uniform capital recovery, in current money.
    ///
    /// ```
    /// use overwinter_economics::Loan;
    /// // By hand: 2.25 for 2 years at 25 %: 2.25 x 1.5625 / 2.25.
    /// let loan = Loan { principal: 2.25, rate: 0.25, years: 2 };
    /// assert!((loan.payment_year().unwrap() - 1.5625).abs() < 1e-12);
    /// ```
    ///
    /// # Errors
    /// A negative principal, a rate or years outside their ranges.
    pub fn payment_year(&self) -> Result<f64, EconomicsError> {
        let principal = check::amount("loan", self.principal)?;
        check::rate("interest of the loan", self.rate)?;
        check::years("loan", self.years)?;
        Ok(principal * factor::uniform_capital_recovery(self.rate, self.years)?)
    }
}

//! How long it takes until savings have paid for what they cost.

use crate::terms::grown;

/// When the money spent in year 0 has come back.
///
/// Savings count in equal flow over each year, so that a payback has a fraction of a year; discounted
/// ones are then the closed form -ln(1 - d I / A) / ln(1 + d) for equal savings A. Parts bought again
/// count in the year they are bought; residual values do not count.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Payback {
    /// The alternative costs no more to begin with.
    AtOnce {
        /// Whether it stays ahead to the end of the study period.
        holds: bool,
    },
    /// The money has come back.
    After {
        /// Years from buying, for the first time.
        years: f64,
        /// Whether it stays ahead to the end of the study period; `false` where parts that are bought
        /// again, or falling savings, take it below what was spent once more.
        holds: bool,
    },
    /// There are savings, but too small ones for the study period.
    NotWithinPeriod {
        /// What is missing at its end, in the money of the terms, discounted if the payback is.
        missing: f64,
    },
    /// The alternative costs more to begin with and saves nothing over the years.
    NoSaving,
}

impl Payback {
    /// Years until the money has come back, 0 if at once; `None` if it does not.
    pub fn years(&self) -> Option<f64> {
        match *self {
            Self::AtOnce { .. } => Some(0.0),
            Self::After { years, .. } => Some(years),
            Self::NotWithinPeriod { .. } | Self::NoSaving => None,
        }
    }

    /// Whether it takes longer than `life_years`; of money that does not come back within
    /// `period_years` this is known only of lives that end by then.
    pub(crate) fn outlasts(&self, life_years: u32, period_years: u32) -> bool {
        match *self {
            Self::AtOnce { .. } => false,
            Self::After { years, .. } => years > f64::from(life_years),
            Self::NotWithinPeriod { .. } => life_years <= period_years,
            Self::NoSaving => true,
        }
    }
}

/// The payback of `extra_cost` by the savings of years 1, 2, ..., discounted at `rate`.
///
/// # References
/// NIST Handbook 135 (definitions, from memory): the first year in which cumulative savings reach the
/// extra first cost; simple at a rate of 0, else discounted. Departs from it in that the residual values
/// of the last year, which nobody is paid while the house stands, do not count as savings.
pub(crate) fn payback(extra_cost: f64, savings: &[f64], rate: f64) -> Payback {
    let rounding = 1e-12 * (extra_cost.abs() + savings.iter().map(|x| x.abs()).sum::<f64>());
    let mut balance = -extra_cost;
    let mut years = (balance >= 0.0).then_some(0.0);
    let mut holds = true;
    for (year, saving) in (1..).zip(savings) {
        let worth = saving / grown(rate, year);
        if years.is_some() {
            holds &= balance + worth >= -rounding;
        } else if worth > 0.0 && balance + worth >= -rounding {
            years = Some(f64::from(year) - 1.0 + share_of_year(-balance, worth, rate));
        }
        balance += worth;
    }
    match years {
        Some(_) if extra_cost <= 0.0 => Payback::AtOnce { holds },
        Some(years) => Payback::After { years, holds },
        None if savings.iter().sum::<f64>() > 0.0 => Payback::NotWithinPeriod { missing: -balance },
        None => Payback::NoSaving,
    }
}

/// The share of a year after which `missing` has come in, of a year's saving that is `worth` so much
/// in year 0 when it falls due at the year's end.
///
/// ```text
/// missing = worth (1 + d) (1 - (1 + d)^-x) / d
/// ```
fn share_of_year(missing: f64, worth: f64, rate: f64) -> f64 {
    let share = (missing / worth).min(1.0);
    if rate == 0.0 {
        return share;
    }
    -(-share * rate / (1.0 + rate)).ln_1p() / rate.ln_1p()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(got: Payback, expected: f64, expected_to_hold: bool) {
        let Payback::After { years, holds } = got else {
            panic!("{got:?}, not {expected} years");
        };
        assert!((years - expected).abs() < 1e-9, "{years}, not {expected}");
        assert_eq!(holds, expected_to_hold);
    }

    #[test]
    fn equal_savings_by_hand() {
        check(payback(5000.0, &[1000.0; 10], 0.0), 5.0, true);
        check(payback(2500.0, &[1000.0; 10], 0.0), 2.5, true);
        check(payback(800.0, &[1000.0; 10], 0.0), 0.8, true);
        // At 25 % a year 1 a year is worth 0.8 + 0.64 at the end of year 2.
        check(payback(1.44, &[1.0; 5], 0.25), 2.0, true);
        // (1 - 1.25^-x) / 0.25 = 1.44 + y with x = 2.5: 4 (1 - 1.25^-2.5).
        let halfway = 4.0 * (1.0 - 1.25_f64.powf(-2.5));
        check(payback(halfway, &[1.0; 5], 0.25), 2.5, true);
    }

    #[test]
    fn a_part_bought_again_can_undo_it() {
        check(
            payback(900.0, &[500.0, 500.0, -600.0, 500.0], 0.0),
            1.8,
            false,
        );
        check(
            payback(900.0, &[500.0, 500.0, 400.0, -500.0], 0.0),
            1.8,
            true,
        );
        check(payback(900.0, &[500.0, 500.0, -600.0], 0.0), 1.8, false);
    }

    #[test]
    fn what_does_not_come_back() {
        let got = payback(900.0, &[100.0; 5], 0.0);
        assert_eq!(got, Payback::NotWithinPeriod { missing: 400.0 });
        assert_eq!(payback(900.0, &[0.0; 5], 0.0), Payback::NoSaving);
        assert_eq!(payback(900.0, &[-10.0; 5], 0.03), Payback::NoSaving);
        assert_eq!(
            payback(0.0, &[10.0; 5], 0.0),
            Payback::AtOnce { holds: true }
        );
        assert_eq!(
            payback(-20.0, &[-10.0; 5], 0.0),
            Payback::AtOnce { holds: false }
        );
    }

    #[test]
    fn lives_shorter_than_the_payback() {
        let after = Payback::After {
            years: 4.5,
            holds: true,
        };
        assert!(after.outlasts(4, 20) && !after.outlasts(5, 20));
        let never = Payback::NotWithinPeriod { missing: 1.0 };
        assert!(never.outlasts(20, 20) && !never.outlasts(21, 20));
        assert!(Payback::NoSaving.outlasts(30, 20));
        assert!(!Payback::AtOnce { holds: false }.outlasts(1, 20));
    }
}

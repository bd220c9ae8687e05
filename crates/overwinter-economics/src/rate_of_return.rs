//! The rate at which what comes back is worth just what was spent.

/// Internal rate of return (IRR) of an extra investment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RateOfReturn {
    /// The one rate at which the present value of all payments is 0, a year: 0.14 for 14 %. Negative
    /// where less comes back than was spent.
    Rate(f64),
    /// Nothing more is spent in year 0 than for the baseline.
    NoInvestment,
    /// Nothing comes back, or so little that more than 99 % a year are lost, or with parts that are
    /// bought again never as much as was spent by then.
    NoReturn,
    /// Spending and income alternate so that more than one rate could fit, and none is told.
    Ambiguous,
}

const LOWEST: f64 = -0.99;
const HIGHEST: f64 = 1e6;

/// The rate of return of payments at the ends of years 0, 1, ...; what is spent is negative.
///
/// ```text
/// sum of payment_t (1 + r)^-t = 0
/// ```
///
/// A rate is given only where it is known to be the one: payments that change sign once (Descartes' rule
/// of signs), or whose running sum does and ends above 0, which leaves one positive rate. It is
/// halved down to the last bit between -99 % and 1e8 % a year.
///
/// # References
/// C. J. Norstrom (1972), "A sufficient condition for a unique nonnegative internal rate of return",
/// Journal of Financial and Quantitative Analysis 7(3), 1835-1839 (from memory).
pub(crate) fn rate_of_return(payments: &[f64]) -> RateOfReturn {
    if payments.first().is_none_or(|first| *first >= 0.0) {
        return RateOfReturn::NoInvestment;
    }
    let sums = running_sums(payments);
    let lowest = match (sign_changes(payments), sign_changes(&sums)) {
        (0, _) | (2.., 0) => return RateOfReturn::NoReturn,
        (1, _) => LOWEST,
        (_, 1) if sums.last().is_some_and(|sum| *sum > 0.0) => 0.0,
        _ => return RateOfReturn::Ambiguous,
    };
    match bisected(payments, lowest) {
        Some(rate) => RateOfReturn::Rate(rate),
        None => RateOfReturn::NoReturn,
    }
}

fn running_sums(payments: &[f64]) -> Vec<f64> {
    let mut sum = 0.0;
    let sums = payments.iter().map(|payment| {
        sum += payment;
        sum
    });
    sums.collect()
}

fn sign_changes(values: &[f64]) -> usize {
    let signs: Vec<bool> = values
        .iter()
        .filter(|value| **value != 0.0)
        .map(|value| *value > 0.0)
        .collect();
    signs.windows(2).filter(|pair| pair[0] != pair[1]).count()
}

/// The rate between `lowest` and the highest at which the value falls from above 0 to below.
fn bisected(payments: &[f64], lowest: f64) -> Option<f64> {
    let (mut low, mut high) = (lowest.ln_1p(), HIGHEST.ln_1p());
    if value(payments, low) < 0.0 || value(payments, high) > 0.0 {
        return None;
    }
    loop {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            return Some(middle.exp_m1());
        }
        if value(payments, middle) >= 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
}

/// Present value at the rate whose 1 + r is exp(`log_growth`).
fn value(payments: &[f64], log_growth: f64) -> f64 {
    let discount = (-log_growth).exp();
    payments
        .iter()
        .rev()
        .fold(0.0, |value, payment| value * discount + payment)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(payments: &[f64], expected: f64) {
        let got = rate_of_return(payments);
        let RateOfReturn::Rate(rate) = got else {
            panic!("{got:?}, not {expected}");
        };
        assert!((rate - expected).abs() < 1e-12, "{rate}, not {expected}");
    }

    #[test]
    fn rates_by_hand() {
        check(&[-100.0, 110.0], 0.1);
        check(&[-100.0, 0.0, 144.0], 0.2);
        check(&[-100.0, 50.0], -0.5);
        check(&[-100.0, 50.0, 50.0], 0.0);
        check(&[-1.44, 1.0, 1.0], 0.25);
        check(&[-1.0, 40.0], 39.0);
    }

    #[test]
    fn a_part_bought_again_leaves_one_positive_rate() {
        // Running sums -100, 20, -10, 40 change sign three times; -100, -40, -60, 40 once.
        assert_eq!(
            rate_of_return(&[-100.0, 120.0, -30.0, 50.0]),
            RateOfReturn::Ambiguous
        );
        let payments = [-100.0, 60.0, -20.0, 100.0];
        let RateOfReturn::Rate(rate) = rate_of_return(&payments) else {
            panic!("no rate");
        };
        let x = 1.0 / (1.0 + rate);
        let value = -100.0 + 60.0 * x - 20.0 * x * x + 100.0 * x * x * x;
        assert!(rate > 0.0 && value.abs() < 1e-9);
    }

    #[test]
    fn what_has_no_rate() {
        assert_eq!(rate_of_return(&[0.0, 10.0]), RateOfReturn::NoInvestment);
        assert_eq!(rate_of_return(&[5.0, -10.0]), RateOfReturn::NoInvestment);
        assert_eq!(rate_of_return(&[]), RateOfReturn::NoInvestment);
        assert_eq!(rate_of_return(&[-5.0, 0.0]), RateOfReturn::NoReturn);
        assert_eq!(rate_of_return(&[-5.0, 0.0001]), RateOfReturn::NoReturn);
        let bought_again = [-100.0, 20.0, -90.0, 20.0];
        assert_eq!(rate_of_return(&bought_again), RateOfReturn::NoReturn);
    }
}

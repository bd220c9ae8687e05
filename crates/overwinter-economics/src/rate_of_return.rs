//! The rate at which what comes back is worth just what was spent.

/// Internal rate of return (IRR) of an extra investment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RateOfReturn {
    /// The one rate at which the present value of all payments is 0, a year: 0.14 for 14 %. Negative
    /// where less comes back than was spent.
    Rate(f64),
    /// Nothing more, or next to nothing, is spent in year 0 than for the baseline.
    NoInvestment,
    /// Nothing comes back, or so little that more than 99 % a year are lost.
    NoReturn,
    /// Spending and income alternate so that more than one rate fits, or could, and none is told.
    Ambiguous,
}

const LOWEST: f64 = -0.99;
const HIGHEST: f64 = 1e6;
/// Share of the largest payment below which a balance counts as none.
const ROUNDING: f64 = 1e-9;
/// Steps in which a rate is looked for that bisecting cannot find.
const STEPS: u32 = 4_000;

/// The rate of return of payments at the ends of years 0, 1, ...; what is spent is negative.
///
/// ```text
/// sum of payment_t (1 + r)^-t = 0
/// ```
///
/// A rate is given only where it is known to be the one: if with interest at that rate the balance never
/// rises above 0 before the end (Soper), so that money is only ever lent to the project; or if the
/// running sum of the payments changes sign once and ends above 0, which leaves one rate from 0 on
/// (Norstrom). It is halved down to the last bit between -99 % and 1e8 % a year.
///
/// # References
/// - C. S. Soper (1959), "The marginal efficiency of capital: a further note", The Economic Journal
///   69(273), 174-177 (from memory).
/// - C. J. Norstrom (1972), "A sufficient condition for a unique nonnegative internal rate of return",
///   Journal of Financial and Quantitative Analysis 7(3), 1835-1839 (from memory).
pub(crate) fn rate_of_return(payments: &[f64]) -> RateOfReturn {
    if payments.first().is_none_or(|first| *first >= 0.0) {
        return RateOfReturn::NoInvestment;
    }
    if payments.iter().all(|payment| *payment <= 0.0) {
        return RateOfReturn::NoReturn;
    }
    if value(payments, HIGHEST.ln_1p()) > 0.0 {
        return RateOfReturn::NoInvestment;
    }
    let is_above = |rate: &f64| value(payments, rate.ln_1p()) >= 0.0;
    match [LOWEST, 0.0].into_iter().find(is_above) {
        Some(lowest) => {
            let rate = bisected(payments, lowest);
            match is_only_lent_to(payments, rate) || has_one_rate_from_0(payments) {
                true => RateOfReturn::Rate(rate),
                false => RateOfReturn::Ambiguous,
            }
        }
        None if is_ever_above(payments) => RateOfReturn::Ambiguous,
        None => RateOfReturn::NoReturn,
    }
}

/// True if the balance at that rate never rises above 0 before the end.
fn is_only_lent_to(payments: &[f64], rate: f64) -> bool {
    let largest = payments
        .iter()
        .map(|payment| payment.abs())
        .fold(0.0, f64::max);
    let mut balance = 0.0;
    let until_the_end = &payments[..payments.len().saturating_sub(1)];
    until_the_end.iter().all(|payment| {
        balance = balance * (1.0 + rate) + payment;
        balance <= ROUNDING * largest
    })
}

fn has_one_rate_from_0(payments: &[f64]) -> bool {
    let mut sum = 0.0;
    let sums = payments.iter().map(|payment| {
        sum += payment;
        sum
    });
    let signs: Vec<bool> = sums
        .filter(|sum| *sum != 0.0)
        .map(|sum| sum > 0.0)
        .collect();
    let changes = signs.windows(2).filter(|pair| pair[0] != pair[1]).count();
    changes == 1 && signs.last() == Some(&true)
}

/// True if the value is above 0 at some rate between the lowest and the highest.
fn is_ever_above(payments: &[f64]) -> bool {
    let (low, high) = (LOWEST.ln_1p(), HIGHEST.ln_1p());
    let step = (high - low) / f64::from(STEPS);
    (0..=STEPS).any(|at| value(payments, low + f64::from(at) * step) > 0.0)
}

/// A rate between `lowest`, at which the value is above 0, and the highest, at which it is below.
fn bisected(payments: &[f64], lowest: f64) -> f64 {
    let (mut low, mut high) = (lowest.ln_1p(), HIGHEST.ln_1p());
    loop {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            return middle.exp_m1();
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

    /// Roots of the cubics in x = 1 / (1 + r) are those where the value is 0; each has one.
    #[test]
    fn a_part_bought_again_leaves_one_rate() {
        for payments in [
            [-100.0, 60.0, -20.0, 100.0],
            // Running sums -100, 20, -10, 40 change sign three times.
            [-100.0, 120.0, -30.0, 50.0],
            // Never paid back.
            [-100.0, 20.0, -90.0, 20.0],
        ] {
            let RateOfReturn::Rate(rate) = rate_of_return(&payments) else {
                panic!("no rate of {payments:?}");
            };
            let x = 1.0 / (1.0 + rate);
            let [p0, p1, p2, p3] = payments;
            let value = p0 + p1 * x + p2 * x * x + p3 * x * x * x;
            assert!(value.abs() < 1e-9 * x * x * x, "{payments:?}: {rate}");
            let is_paid_back = payments.iter().sum::<f64>() > 0.0;
            assert_eq!(rate > 0.0, is_paid_back, "{payments:?}: {rate}");
        }
    }

    /// -100 + 230 x - 132 x^2 is 0 at 10 and at 20 %; with more at the end at 10, 20 and 30 %.
    #[test]
    fn of_several_rates_none_is_told() {
        assert_eq!(
            rate_of_return(&[-100.0, 230.0, -132.0]),
            RateOfReturn::Ambiguous
        );
        // (x - 1.1)(x - 1.2)(x - 1.3) = x^3 - 3.6 x^2 + 4.31 x - 1.716
        assert_eq!(
            rate_of_return(&[-1000.0, 3600.0, -4310.0, 1716.0]),
            RateOfReturn::Ambiguous
        );
    }

    #[test]
    fn what_has_no_rate() {
        assert_eq!(rate_of_return(&[0.0, 10.0]), RateOfReturn::NoInvestment);
        assert_eq!(rate_of_return(&[5.0, -10.0]), RateOfReturn::NoInvestment);
        assert_eq!(rate_of_return(&[]), RateOfReturn::NoInvestment);
        assert_eq!(rate_of_return(&[-5.0, 0.0]), RateOfReturn::NoReturn);
        assert_eq!(rate_of_return(&[-5.0, 0.0001]), RateOfReturn::NoReturn);
        let paid_at_last = [-100.0, 20.0, -10.0];
        assert_eq!(rate_of_return(&paid_at_last), RateOfReturn::NoReturn);
    }
}

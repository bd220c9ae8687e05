//! Sums of money, all in one currency.

use std::cell::RefCell;

use overwinter_units::{QuantityError, Sum, parse_sum, parse_sum_a_year};

use crate::document::{Form, Part};

/// Largest sum: far more than a house costs in any currency, and far inside what can be counted.
const MOST: f64 = 1e12;

/// Reads sums and remembers the first currency.
pub(super) struct Sums(RefCell<Option<String>>);

impl Sums {
    /// With the currency of the prices, if there are any.
    pub(super) fn in_currency(first: Option<String>) -> Self {
        Self(RefCell::new(first))
    }

    /// The currency of all sums and prices.
    pub(super) fn currency(&self) -> Option<String> {
        self.0.borrow().clone()
    }

    /// A sum of 0 or more, if the file has it.
    pub(super) fn sum(&self, part: &Part<'_>, key: &str) -> Option<f64> {
        part.may_be(key, || Form::Money);
        self.checked(part, key, parse_sum(part.text(key)?), 0.0)
    }

    /// A sum that the file must have; `what` says which.
    pub(super) fn required(&self, part: &Part<'_>, key: &str, what: &str) -> Option<f64> {
        part.may_be(key, || Form::Money);
        if !part.has(key) {
            part.missing(key, what);
        }
        self.sum(part, key)
    }

    /// A sum that may be a loss, if the file has it.
    pub(super) fn gain_or_loss(&self, part: &Part<'_>, key: &str) -> Option<f64> {
        part.may_be(key, || Form::Money);
        self.checked(part, key, parse_sum(part.text(key)?), -MOST)
    }

    /// A sum of 0 or more that falls due every year, if the file has it.
    pub(super) fn a_year(&self, part: &Part<'_>, key: &str) -> Option<f64> {
        part.may_be(key, || Form::MoneyAYear);
        self.checked(part, key, parse_sum_a_year(part.text(key)?), 0.0)
    }

    fn checked(
        &self,
        part: &Part<'_>,
        key: &str,
        read: Result<Sum, QuantityError>,
        least: f64,
    ) -> Option<f64> {
        let sum = match read {
            Ok(sum) => sum,
            Err(error) => {
                part.problem(key, &error.to_string());
                return None;
            }
        };
        if !(least..=MOST).contains(&sum.amount) {
            part.problem(key, &format!("a sum of {least} to {MOST} is wanted"));
            return None;
        }
        let mut first = self.0.borrow_mut();
        let first = first.get_or_insert_with(|| sum.currency.clone());
        if *first != sum.currency {
            let message =
                format!("all prices and sums are in one currency; the first one is in {first}");
            part.problem(key, &message);
            return None;
        }
        Some(sum.amount)
    }
}

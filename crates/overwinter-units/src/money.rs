//! Reading prices and sums of money written as text, such as `"2.10 USD/gal"` or `"$3400"`.

use crate::error::QuantityError;
use crate::kind::Kind;
use crate::quantity::leading_number;
use crate::unit::{self, Unit};

/// What a sum that falls due every year stands over.
const YEAR: [&str; 5] = ["yr", "year", "y", "a", "annum"];

/// The unit in which a price is quoted, and the price.
#[derive(Clone, Debug, PartialEq)]
pub struct Price {
    /// Amount of currency for one unit.
    pub amount: f64,
    /// Currency word as written.
    pub currency: String,
    /// The unit it buys.
    pub unit: &'static Unit,
}

/// A sum of money.
#[derive(Clone, Debug, PartialEq)]
pub struct Sum {
    /// Amount of currency; below 0 for what has to be paid to be rid of something.
    pub amount: f64,
    /// Currency word as written.
    pub currency: String,
}

/// Reads a price such as `"2.10 USD/gal"` or `"$0.14/kWh"`.
///
/// The unit must be one of volume, mass or energy.
///
/// # Errors
/// A text that is no price, or one below 0.
pub fn parse_price(text: &str) -> Result<Price, QuantityError> {
    let wrong = || QuantityError::Price {
        text: text.to_owned(),
    };
    let (money, unit_text) = text.split_once('/').ok_or_else(wrong)?;
    let sellable = [Kind::Volume, Kind::Mass, Kind::Energy];
    let unit = sellable
        .iter()
        .find_map(|kind| unit::find(unit_text.trim(), *kind))
        .ok_or_else(wrong)?;
    let Sum { amount, currency } = sum(money).ok_or_else(wrong)?;
    if amount < 0.0 {
        return Err(wrong());
    }
    Ok(Price {
        amount,
        currency,
        unit,
    })
}

/// Reads a sum of money such as `"3400 USD"` or `"$3400"`.
///
/// ```
/// use overwinter_units::parse_sum;
/// assert_eq!(parse_sum("3400 USD").unwrap().currency, "USD");
/// assert!(parse_sum("3400").is_err());
/// ```
///
/// # Errors
/// A text without an amount or without a currency, or with a unit.
pub fn parse_sum(text: &str) -> Result<Sum, QuantityError> {
    let wrong = || QuantityError::Money {
        text: text.to_owned(),
    };
    if text.contains('/') {
        return Err(wrong());
    }
    sum(text).ok_or_else(wrong)
}

/// Reads a sum that falls due every year, such as `"150 USD/yr"`.
///
/// # Errors
/// As [`parse_sum`], or another unit than the year.
pub fn parse_sum_a_year(text: &str) -> Result<Sum, QuantityError> {
    let wrong = || QuantityError::MoneyAYear {
        text: text.to_owned(),
    };
    let (money, unit) = text.split_once('/').ok_or_else(wrong)?;
    if !YEAR.contains(&unit.trim()) {
        return Err(wrong());
    }
    sum(money).ok_or_else(wrong)
}

/// An amount with its currency behind or in front of it.
fn sum(text: &str) -> Option<Sum> {
    let text = text.trim().replace('\u{2212}', "-");
    let (sign, money) = split_currency_sign(&text);
    let (amount, rest) = leading_number(money)?;
    let currency = format!("{sign}{}", rest.trim());
    let is_word = !currency.is_empty() && !currency.contains(|c: char| c.is_ascii_digit());
    (is_word && amount.is_finite()).then_some(Sum { amount, currency })
}

fn split_currency_sign(money: &str) -> (&str, &str) {
    let end = money
        .find(|c: char| c.is_ascii_digit() || ".+-".contains(c))
        .unwrap_or(0);
    let (sign, rest) = money.split_at(end);
    (sign.trim(), rest)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prices_are_read_with_their_unit() {
        for text in ["2.10 USD/gal", "$2.10/gal", "USD 2.10 / gal"] {
            let price = parse_price(text).expect(text);
            assert!((price.amount - 2.1).abs() < 1e-12);
            assert_eq!(price.unit.symbol, "gal");
        }
        assert_eq!(parse_price("0.14 USD/kWh").expect("valid").currency, "USD");
        for text in [
            "2.10",
            "2.10 USD/ft",
            "USD/gal",
            "-1 USD/gal",
            "2.10/gal",
            "",
        ] {
            assert!(parse_price(text).is_err(), "{text}");
        }
    }

    #[test]
    fn sums_are_read_with_their_currency() {
        for (text, amount, currency) in [
            ("3400 USD", 3400.0, "USD"),
            ("$3400", 3400.0, "$"),
            ("EUR 12.5", 12.5, "EUR"),
            ("-50 USD", -50.0, "USD"),
            ("\u{2212}50 USD", -50.0, "USD"),
            (" 0 USD ", 0.0, "USD"),
        ] {
            let sum = parse_sum(text).expect(text);
            assert!((sum.amount - amount).abs() < 1e-12, "{text}");
            assert_eq!(sum.currency, currency, "{text}");
        }
        for text in ["3400", "USD", "3,400 USD", "3400 USD/yr", "1e999 USD", ""] {
            let message = parse_sum(text).expect_err(text).to_string();
            assert!(message.contains("3400 USD"), "{message}");
        }
    }

    #[test]
    fn yearly_sums_name_the_year() {
        for text in ["150 USD/yr", "$150/year", "150 USD / a"] {
            let sum = parse_sum_a_year(text).expect(text);
            assert!((sum.amount - 150.0).abs() < 1e-12, "{text}");
        }
        for text in ["150 USD", "150 USD/month", "150/yr", "/yr", ""] {
            assert!(parse_sum_a_year(text).is_err(), "{text}");
        }
    }
}

//! Numbers with whatever unit a user writes beside them, where the key they are meant for reads the
//! unit later.

use overwinter_units::quantity::leading_number;
use overwinter_units::significant;

use super::{Form, Node, Part, Value};

/// Significant digits of a number that is written for the reader to read again.
const DIGITS: usize = 9;
/// Largest size of a number: far beyond what any key takes, and still short when it is written out.
const LARGEST: f64 = 1e12;

/// A number and the text around it, such as `"0.5 /h"`, `"R 5"` or `"$2.10/gal"`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Amount {
    /// The number.
    pub(crate) number: f64,
    /// What stands before it.
    before: String,
    /// What stands after it.
    after: String,
}

impl Amount {
    /// Reads a text with exactly one number in it; its unit is only looked at by the key it is for.
    pub(crate) fn read(text: &str) -> Option<Self> {
        let text = text.trim().replace('−', "-");
        let digit = text.find(|c: char| c.is_ascii_digit())?;
        let before_digit = &text[..digit];
        let point = before_digit.strip_suffix('.').unwrap_or(before_digit);
        // The hyphen of "R-5" is no sign.
        let is_sign = point.ends_with(['-', '+'])
            && !point[..point.len() - 1].ends_with(char::is_alphanumeric);
        let start = point.len() - usize::from(is_sign);
        let (number, after) = leading_number(&text[start..])?;
        let is_whole = number.is_finite() && !has_number(after);
        is_whole.then(|| Self {
            number,
            before: text[..start].to_owned(),
            after: after.to_owned(),
        })
    }

    /// A value of a scenario as an amount.
    pub(crate) fn of(value: &Value) -> Option<Self> {
        match value {
            Value::Text(text) => Self::read(text),
            Value::Number(number) if number.is_finite() => Some(Self {
                number: *number,
                before: String::new(),
                after: String::new(),
            }),
            _ => None,
        }
    }

    /// Another number with the same unit.
    pub(crate) fn with(&self, number: f64) -> Self {
        Self {
            number,
            ..self.clone()
        }
    }

    /// Another number with the same unit, written to nine significant digits.
    pub(crate) fn written(&self, number: f64) -> String {
        let digits = significant(number, DIGITS);
        format!("{}{digits}{}", self.before, self.after)
    }

    /// A number as [`Self::written`] writes it.
    pub(crate) fn rounded(number: f64) -> f64 {
        significant(number, DIGITS).parse().unwrap_or(number)
    }

    /// The unit without spaces: `/h`, `degF`, `USD/gal`, `R`, or nothing.
    pub(crate) fn unit(&self) -> String {
        let both = format!("{}{}", self.before, self.after);
        both.split_whitespace().collect()
    }

    /// True if another amount is written in the same unit.
    pub(crate) fn has_unit_of(&self, other: &Self) -> bool {
        self.unit() == other.unit()
    }
}

/// A further number with a space before it, as in `ft 6 in`; that of ` 1/h` belongs to the unit.
fn has_number(after: &str) -> bool {
    let unit = after.trim_start();
    let unit = unit.strip_prefix("1/").unwrap_or(unit);
    unit.split_whitespace()
        .any(|word| word.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c)))
}

impl<'a> Part<'a> {
    /// An amount, if the file has it.
    pub(crate) fn amount(&self, key: &str) -> Option<Amount> {
        self.may_be(key, || Form::Amount);
        let node = self.node(key)?;
        let amount = Amount::of(&node.value);
        let Some(found) = &amount else {
            let message = "one number with its unit is wanted, such as \"0.5 /h\"";
            return self.wrong(key, node, message);
        };
        if found.number.abs() > LARGEST {
            let message = format!("a number between {:e} and {LARGEST:e} is wanted", -LARGEST);
            return self.wrong(key, node, &message);
        }
        self.note_given(key, node);
        amount
    }

    /// An amount the file must have; `what` says which.
    pub(crate) fn required_amount(&self, key: &str, what: &str) -> Option<Amount> {
        if !self.has(key) {
            self.may_be(key, || Form::Amount);
            self.missing(key, &format!("{what} with its unit"));
            return None;
        }
        self.amount(key)
    }

    /// Tells of the first amount that is not written in the unit of the first one there is; the unit
    /// of all, if there is one.
    pub(crate) fn one_unit(&self, amounts: &[(&str, Option<&Amount>)]) -> Option<Amount> {
        let mut given = amounts
            .iter()
            .filter_map(|(key, amount)| Some((*key, (*amount)?)));
        let (first_key, first) = given.next()?;
        if let Some((key, other)) = given.find(|(_, other)| !first.has_unit_of(other)) {
            let message = format!(
                "write `{first_key}` and `{key}` in one unit, here {} and {}",
                named(first),
                named(other)
            );
            self.problem(key, &message);
            return None;
        }
        Some(first.clone())
    }

    /// The node of a key that the file is known to have, for its place.
    pub(crate) fn place_of(&self, key: &str) -> super::Place {
        self.node(key)
            .map_or(self.place(), |node: &Node| node.place)
    }
}

fn named(amount: &Amount) -> String {
    match amount.unit().as_str() {
        "" => "no unit".to_owned(),
        unit => format!("\"{unit}\""),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_amount_is_written_again_as_its_user_writes() {
        for (text, number, unit, half) in [
            ("0.5 /h", 0.5, "/h", "0.25 /h"),
            ("0.5 1/h", 0.5, "1/h", "0.25 1/h"),
            ("40 degF", 40.0, "degF", "20 degF"),
            ("-4 degC", -4.0, "degC", "-2 degC"),
            ("−4 °C", -4.0, "°C", "-2 °C"),
            ("R 5", 5.0, "R", "R 2.5"),
            ("R-5", 5.0, "R-", "R-2.5"),
            ("$2.10/gal", 2.1, "$/gal", "$1.05/gal"),
            ("USD 2.10 / gal", 2.1, "USD/gal", "USD 1.05 / gal"),
            ("80%", 80.0, "%", "40%"),
            (".5", 0.5, "", "0.25"),
            ("1e3 W/m2K", 1000.0, "W/m2K", "500 W/m2K"),
        ] {
            let amount = Amount::read(text).expect(text);
            assert_eq!(amount.number.to_bits(), f64::to_bits(number), "{text}");
            assert_eq!(amount.unit(), unit, "{text}");
            assert_eq!(amount.written(number / 2.0), half, "{text}");
        }
    }

    #[test]
    fn what_has_no_number_or_several_is_no_amount() {
        for text in [
            "",
            "wide",
            "30 ft 6 in",
            "06:00 55 degF",
            "1 W 2 W",
            "1e999 m",
        ] {
            assert_eq!(Amount::read(text), None, "{text}");
        }
        assert_eq!(Amount::of(&Value::Flag(true)), None);
        assert_eq!(Amount::of(&Value::Number(f64::NAN)), None);
    }

    #[test]
    fn nine_digits_are_kept() {
        let amount = Amount::read("1 /h").expect("an amount");
        assert_eq!(amount.written(2.0 / 3.0), "0.666666667 /h");
        assert_eq!(
            Amount::rounded(2.0 / 3.0).to_bits(),
            0.666_666_667_f64.to_bits()
        );
    }
}

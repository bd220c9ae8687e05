//! Reading quantities written as text, such as `"30 ft 6 in"` or `"R 5"`.

use crate::error::QuantityError;
use crate::kind::Kind;
use crate::unit::{self, Unit};

/// Reads `text` as a quantity of `kind` and returns it in the base unit of the kind.
///
/// The number stands before the unit, with or without a space; `R` and `RSI` may stand in front.
/// Lengths and times may be sums (`"30 ft 6 in"`). A share may be a percentage or a bare number.
///
/// ```
/// use overwinter_units::{Kind, parse};
/// // 1 ft = 0.3048 m exactly.
/// assert!((parse("96 ft", Kind::Length).unwrap() - 29.2608).abs() < 1e-12);
/// assert!((parse("40 degF", Kind::Temperature).unwrap() - 277.5944).abs() < 1e-4);
/// assert!(parse("96", Kind::Length).is_err());
/// ```
pub fn parse(text: &str, kind: Kind) -> Result<f64, QuantityError> {
    let mut terms = terms(text, kind)?.into_iter();
    let Some((number, unit)) = terms.next() else {
        return Err(QuantityError::Empty { wanted: kind });
    };
    let mut value = unit.to_base(number);
    for (part, unit) in terms {
        let may_add = matches!(kind, Kind::Length | Kind::Time) && part >= 0.0 && number >= 0.0;
        if !may_add {
            return Err(QuantityError::Sum {
                text: text.to_owned(),
                wanted: kind,
            });
        }
        value += unit.to_base(part);
    }
    finite(text, value, kind)
}

/// Splits `text` into numbers with their units.
fn terms(text: &str, kind: Kind) -> Result<Vec<(f64, &'static Unit)>, QuantityError> {
    let folded = text.replace('−', "-");
    let mut rest = folded.trim();
    if let Some(resistance) = prefixed_resistance(rest, kind) {
        return Ok(vec![resistance]);
    }
    let mut terms = Vec::new();
    while !rest.is_empty() {
        let Some((number, after)) = leading_number(rest) else {
            return Err(QuantityError::NoNumber {
                text: text.to_owned(),
                wanted: kind,
            });
        };
        let end = next_number(after).unwrap_or(after.len());
        let (unit_text, next) = after.split_at(end);
        terms.push((number, known_unit(text, unit_text.trim(), kind)?));
        rest = next.trim_start();
    }
    Ok(terms)
}

/// `R 5` and `RSI 0.9`, as insulation is labelled.
fn prefixed_resistance(text: &str, kind: Kind) -> Option<(f64, &'static Unit)> {
    let prefixes = ["RSI", "R"];
    let (prefix, rest) = prefixes
        .iter()
        .find_map(|prefix| Some((*prefix, text.strip_prefix(prefix)?)))?;
    // "R-5" is R 5; the hyphen of "R -5" is a sign.
    let rest = rest.strip_prefix('-').unwrap_or(rest);
    let rest = rest.trim_start_matches([' ', '=']);
    let (number, after) = leading_number(rest)?;
    if kind != Kind::Resistance || !after.trim().is_empty() {
        return None;
    }
    Some((number, unit::find(prefix, kind)?))
}

fn known_unit(text: &str, unit_text: &str, kind: Kind) -> Result<&'static Unit, QuantityError> {
    if let Some(unit) = unit::find(unit_text, kind) {
        return Ok(unit);
    }
    let text = text.to_owned();
    if unit_text.is_empty() {
        return Err(QuantityError::NoUnit { text, wanted: kind });
    }
    let unit = unit_text.to_owned();
    Err(match unit::find_any(unit_text) {
        Some(other) => QuantityError::WrongKind {
            text,
            unit,
            found: other.kind,
            wanted: kind,
        },
        None => QuantityError::UnknownUnit {
            text,
            unit,
            wanted: kind,
        },
    })
}

/// The number at the start of `text` and what follows it.
///
/// ```
/// use overwinter_units::quantity::leading_number;
/// assert_eq!(leading_number("-4.5 degC"), Some((-4.5, " degC")));
/// assert_eq!(leading_number("cold"), None);
/// ```
pub fn leading_number(text: &str) -> Option<(f64, &str)> {
    let bytes = text.as_bytes();
    let digits = |from: usize| {
        bytes[from..]
            .iter()
            .take_while(|b| b.is_ascii_digit())
            .count()
    };
    let mut end = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    end += digits(end);
    if bytes.get(end) == Some(&b'.') {
        end += 1 + digits(end + 1);
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let count = digits((end + 1 + sign).min(bytes.len()));
        if count > 0 {
            end += 1 + sign + count;
        }
    }
    let number = text[..end].parse().ok()?;
    Some((number, &text[end..]))
}

/// Where the next number of a sum starts: a digit or sign after white space.
fn next_number(text: &str) -> Option<usize> {
    let starts = |c: char| c.is_ascii_digit() || c == '+' || c == '-';
    text.char_indices()
        .zip(text.chars().skip(1))
        .find(|((_, before), c)| before.is_whitespace() && starts(*c))
        .map(|((index, before), _)| index + before.len_utf8())
        .filter(|index| text[..*index].contains(|c: char| !c.is_whitespace()))
}

fn finite(text: &str, value: f64, wanted: Kind) -> Result<f64, QuantityError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(QuantityError::NotFinite {
            text: text.to_owned(),
            wanted,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 5 h ft2 F/Btu = 5 * 3600 s * 0.092 903 04 m2 * 5/9 K / 1055.055 852 62 J.
    const R_5: f64 = 5.0 * 185.806_08 / 1_055.055_852_62;

    fn check(text: &str, kind: Kind, expected: f64) {
        let value = parse(text, kind).unwrap_or_else(|error| panic!("{text}: {error}"));
        let tolerance = 1e-9 * expected.abs().max(1.0);
        assert!(
            (value - expected).abs() <= tolerance,
            "{text}: {value} against {expected}"
        );
    }

    /// Expected values follow by hand from the definitions of the units.
    #[test]
    fn quantities_of_the_trade_are_read() {
        check("96 ft", Kind::Length, 29.260_8);
        check("30 ft 6 in", Kind::Length, 9.296_4);
        check("30' 6\"", Kind::Length, 9.296_4);
        check("30ft 6in", Kind::Length, 9.296_4);
        check("6 mil", Kind::Length, 1.524e-4);
        check("40 degF", Kind::Temperature, 277.594_444_444_444_4);
        check("-4.4 °C", Kind::Temperature, 268.75);
        check("−4.4 degC", Kind::Temperature, 268.75);
        check("9 degF", Kind::TemperatureDifference, 5.0);
        check("1 inH2O", Kind::Pressure, 249.088_91);
        check("R 5", Kind::Resistance, R_5);
        check("R-5", Kind::Resistance, R_5);
        check("R -5", Kind::Resistance, -R_5);
        check("RSI 0.9", Kind::Resistance, 0.9);
        check("80 %", Kind::Share, 0.8);
        check("0.8", Kind::Share, 0.8);
        check("1.526", Kind::Number, 1.526);
        check("100 kBtu/h", Kind::Power, 29_307.107_017_222_22);
        check("0.5 /h", Kind::AirChange, 0.5);
        check("1 gal", Kind::Volume, 3.785_411_784e-3);
        check("1 h 30 min", Kind::Time, 5400.0);
        check("1.5e2 W/m2", Kind::PowerPerArea, 150.0);
        check("8.3 W/(m2 K)", Kind::Conductance, 8.3);
    }

    #[test]
    fn mistakes_are_named() {
        let cases = [
            ("96", Kind::Length, "has no unit"),
            ("96 degF", Kind::Length, "is a temperature"),
            ("96 furlongs", Kind::Length, "\"furlongs\" is no unit"),
            ("wide", Kind::Length, "no number"),
            ("", Kind::Length, "nothing is written"),
            ("1 W 2 W", Kind::Power, "one number"),
            ("1e999 m", Kind::Length, "too large"),
            ("1,000 ft", Kind::Length, "\",000 ft\" is no unit"),
        ];
        for (text, kind, wanted) in cases {
            let message = parse(text, kind).expect_err(text).to_string();
            assert!(message.contains(wanted), "{text}: {message}");
        }
    }
}

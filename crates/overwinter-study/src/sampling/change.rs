//! What a drawn number does with the value that a case has.

use overwinter_units::{Kind, Unit, unit};

use crate::document::{Amount, Value};

/// How a drawn number is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Change {
    /// It is the value.
    Set,
    /// It multiplies the value that is there.
    Times,
    /// It is added to the value that is there.
    Plus,
}

impl Change {
    /// The value there after a drawn amount has changed it, or why it cannot.
    pub(super) fn of(self, there: &Value, drawn: &Amount) -> Result<String, String> {
        let number = drawn.number;
        if self == Self::Set {
            return Ok(drawn.written(number));
        }
        let value = Amount::of(there).ok_or_else(|| {
            format!(
                "{} is no single number that a drawn one can change; sample a key that holds one",
                there.written()
            )
        })?;
        if self == Self::Times && is_on_a_scale(&value) {
            return Err(format!(
                "{} has no natural zero, so that times it depends on its unit; add a difference with \
                 change = \"plus\"",
                there.written()
            ));
        }
        let changed = match self {
            Self::Times if drawn.unit() == "%" => value.number * number / 100.0,
            Self::Times => value.number * number,
            _ => value.number + in_unit_of(&value, drawn)?,
        };
        Ok(value.written(changed))
    }
}

/// True of a temperature, whose zero is where its scale puts it.
fn is_on_a_scale(value: &Amount) -> bool {
    let unit = unit::find(&value.unit(), Kind::Temperature);
    unit.is_some_and(|unit| unit.offset.abs() > 0.0)
}

/// A drawn difference in the unit of the value that it is added to.
fn in_unit_of(value: &Amount, drawn: &Amount) -> Result<f64, String> {
    if value.has_unit_of(drawn) {
        return Ok(drawn.number);
    }
    let factor = Kind::ALL.iter().find_map(|kind| {
        let unit = unit::find(&value.unit(), *kind)?;
        // What is added to a temperature is a difference of temperatures.
        let added = match kind {
            Kind::Temperature => Kind::TemperatureDifference,
            other => *other,
        };
        let from: &Unit = unit::find(&drawn.unit(), added)?;
        Some(from.factor / unit.factor)
    });
    factor.map(|factor| drawn.number * factor).ok_or_else(|| {
        format!(
            "\"{}\" cannot be added to \"{}\": the units do not fit",
            drawn.written(drawn.number),
            value.written(value.number)
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn changed(change: Change, there: &str, drawn: &str) -> Result<String, String> {
        let drawn = Amount::read(drawn).expect("an amount");
        change.of(&Value::Text(there.to_owned()), &drawn)
    }

    /// 1 K is 1.8 degF; 1 ft is 12 in.
    #[test]
    fn values_are_set_multiplied_and_added_to() {
        for (change, there, drawn, wanted) in [
            (Change::Set, "40 degF", "5 degC", "5 degC"),
            (Change::Times, "2.00 USD/gal", "1.1", "2.2 USD/gal"),
            (Change::Times, "2.00 USD/gal", "90 %", "1.8 USD/gal"),
            (Change::Plus, "40 degF", "1 K", "41.8 degF"),
            (Change::Plus, "40 degF", "-1.5 degF", "38.5 degF"),
            (Change::Plus, "5 degC", "1.8 degF", "6 degC"),
            (Change::Plus, "96 ft", "12 in", "97 ft"),
            (Change::Plus, "2 USD/gal", "0.5 USD/gal", "2.5 USD/gal"),
            (Change::Plus, "0.8", "10 %", "0.9"),
        ] {
            assert_eq!(changed(change, there, drawn), Ok(wanted.to_owned()));
        }
        let drawn = Amount::read("1.5").expect("an amount");
        assert_eq!(
            Change::Times.of(&Value::Number(0.5), &drawn),
            Ok("0.75".to_owned())
        );
    }

    #[test]
    fn what_cannot_be_changed_is_told() {
        for (there, drawn, wanted) in [
            ("ordinary", "1 K", "no single number"),
            ("40 degF", "1 m", "\"1 m\" cannot be added to \"40 degF\""),
            ("2 USD/gal", "1 EUR/gal", "the units do not fit"),
        ] {
            let message = changed(Change::Plus, there, drawn).expect_err(there);
            assert!(message.contains(wanted), "{message}");
        }
        // 40 degF is 4.44 degC: times 1.1 these would be two temperatures.
        for there in ["40 degF", "4.44 degC"] {
            let message = changed(Change::Times, there, "1.1").expect_err(there);
            assert!(message.contains("no natural zero"), "{message}");
        }
        assert!(changed(Change::Times, "2 K", "1.1").is_ok());
        let drawn = Amount::read("1 K").expect("an amount");
        let table = Change::Plus.of(&Value::Table(Vec::new()), &drawn);
        assert!(
            table
                .expect_err("a schedule")
                .contains("{...} is no single number")
        );
    }
}

//! What a key means, in words: kind, range, units, default and its source.

use overwinter_units::{Range, unit::UNITS};

use crate::document::{Asked, Form, Usual};

/// Most values of a default that are listed.
const MOST_VALUES: usize = 4;

/// The description of a key.
pub(super) fn description(asked: &Asked) -> String {
    let mut sentences: Vec<String> = asked.forms.iter().filter_map(form).collect();
    sentences.extend(usual(&asked.usual));
    let is_quantity = |form: &Form| matches!(form, Form::Quantity(_));
    sentences.extend(asked.wanted.as_ref().map(|what| {
        if !asked.usual.is_empty() {
            "Wanted where that is not known.".to_owned()
        } else if asked.forms.iter().any(is_quantity) {
            "No default.".to_owned()
        } else {
            format!("No default: give {what}.")
        }
    }));
    sentences.join(" ")
}

fn form(form: &Form) -> Option<String> {
    match form {
        Form::Quantity(range) => Some(quantity(range)),
        Form::Changes(_) => Some(
            "Or changes over the day, each \"HH:00\" and a value (then, for one that takes its time, \
             \"over 2 h\"), in the order of time."
                .to_owned(),
        ),
        Form::ChangesOrOff(_) => Some(
            "Or changes over the day, each \"HH:00\" and a value or \"off\" (then, for one that \
             takes its time, \"over 2 h\"), in the order of time."
                .to_owned(),
        ),
        Form::Names(_) => {
            Some("One of these names, or another that this file makes known.".to_owned())
        }
        Form::Listed(item) => Some(match self::form(item) {
            Some(words) => format!("A list. {words}"),
            None => "A list.".to_owned(),
        }),
        Form::Amount => Some("One number with its unit, such as \"0.5 /h\".".to_owned()),
        Form::Price => Some("A price per unit, such as \"2.10 USD/gal\".".to_owned()),
        Form::Money => Some("A sum of money, such as \"3400 USD\".".to_owned()),
        Form::MoneyAYear => Some("A sum of money a year, such as \"150 USD/yr\".".to_owned()),
        Form::Named => Some("A table for each name.".to_owned()),
        Form::Text | Form::Words(_) | Form::Flag | Form::Table | Form::Tables | Form::List => None,
    }
}

fn quantity(range: &Range) -> String {
    let units: Vec<_> = UNITS
        .iter()
        .filter(|unit| unit.kind == range.kind && !unit.symbol.is_empty())
        .map(|unit| unit.symbol)
        .collect();
    let mut sentence = format!(
        "{}: {}, {}.",
        capitalised(range.wording),
        range.kind,
        range.describe()
    );
    if !units.is_empty() {
        let or_none = if range.kind.allows_bare_number() {
            " or none"
        } else {
            ""
        };
        sentence += &format!(" Units: {}{or_none}.", units.join(", "));
    }
    sentence
}

fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// One sentence for each source.
fn usual(usual: &[Usual]) -> Vec<String> {
    let mut by_source: Vec<(&str, Vec<&str>)> = Vec::new();
    for one in usual {
        let (value, source) = match one {
            Usual::Value(value, source) => (Some(value.as_str()), source.as_str()),
            Usual::Depends(on_what) => (None, on_what.as_str()),
        };
        match by_source.iter_mut().find(|(known, _)| *known == source) {
            Some((_, values)) => values.extend(value),
            None => by_source.push((source, value.into_iter().collect())),
        }
    }
    let sentence = |(source, values): (&str, Vec<&str>)| match values.len() {
        0 => format!("Default: {source}."),
        1..=MOST_VALUES => format!("Default: {} ({source}).", values.join(" or ")),
        _ => format!("Default: {} ... ({source}).", values[..3].join(", ")),
    };
    by_source.into_iter().map(sentence).collect()
}

#[cfg(test)]
mod tests {
    use overwinter_units::range;

    use super::*;

    #[test]
    fn a_description_says_kind_range_units_and_default() {
        let asked = Asked {
            forms: vec![Form::Quantity(range::RAMP)],
            usual: vec![Usual::Value("1 h".to_owned(), "a source".to_owned())],
            wanted: None,
        };
        let words = description(&asked);
        for part in ["a time", "Units: ", "min", "Default: 1 h (a source)."] {
            assert!(words.contains(part), "{words}");
        }
    }

    #[test]
    fn defaults_of_one_source_stand_together() {
        let value = |value: &str| Usual::Value(value.to_owned(), "source".to_owned());
        let depends = Usual::Depends("as the roof".to_owned());
        let sentences = usual(&[value("4 ft"), depends, value("8 ft")]);
        assert_eq!(
            sentences,
            ["Default: 4 ft or 8 ft (source).", "Default: as the roof."]
        );
    }
}

//! The forms of a value as schemas.

use overwinter_units::{Kind, Range};
use serde_json::{Value, json};

use crate::document::{Form, KeyPath};

/// The fields of a schema.
pub(super) type Fields = Vec<(&'static str, Value)>;

/// Start of a quantity: a number, where the sign may be a typographic minus.
const NUMBER: &str = r"[-+−]?\.?[0-9]";
/// Rest of a quantity up to a letter that no number has, so that a bare number does not pass.
const UNIT: &str = r".*[^-+−0-9.eE\s]";

/// What a value may be, each as a schema of its own.
pub(super) fn choices(path: &KeyPath, forms: &[Form]) -> Vec<Fields> {
    // A word, name or price is read as a text first.
    let is_narrower = |form: &Form| {
        use Form::{Money, MoneyAYear, Names, Price, Words};
        matches!(form, Words(_) | Names(_) | Price | Money | MoneyAYear)
    };
    let any_text = !forms.iter().any(is_narrower);
    forms
        .iter()
        .filter(|form| any_text || **form != Form::Text)
        .flat_map(|form| choice(path, form))
        .collect()
}

fn choice(path: &KeyPath, form: &Form) -> Vec<Fields> {
    let reference = || vec![("$ref", json!(format!("#/$defs/{}", path.join("."))))];
    match form {
        Form::Text => vec![text(r"\S")],
        Form::Words(words) => vec![vec![("enum", json!(words))]],
        Form::Names(names) => vec![vec![("enum", json!(names))], text(r"\S")],
        Form::Flag => vec![vec![("type", json!("boolean"))]],
        Form::Quantity(range) => quantity(range),
        Form::Changes(range) => vec![changes(&written(range.kind))],
        Form::ChangesOrOff(range) => vec![changes(&format!("({}|off)", written(range.kind)))],
        Form::Amount => vec![text("[0-9]"), vec![("type", json!("number"))]],
        Form::Price => vec![text(r"^[^/]*[0-9][^/]*/.*\S")],
        Form::Money => vec![text(r"^[^/]*[0-9][^/]*$")],
        Form::MoneyAYear => vec![text(r"^[^/]*[0-9][^/]*/.*\S")],
        Form::Table => vec![reference()],
        Form::Named => {
            let one = format!("#/$defs/{}.NAME", path.join("."));
            let one = super::object([("$ref", json!(one))]);
            vec![vec![
                ("additionalProperties", one),
                ("type", json!("object")),
            ]]
        }
        Form::Tables => {
            let items: Value = super::object(reference());
            let list = vec![("items", items), ("type", json!("array"))];
            vec![list, reference()]
        }
        Form::List => vec![vec![("type", json!("array"))]],
        Form::Listed(item) => vec![listed(choice(path, item))],
    }
}

fn listed(mut items: Vec<Fields>) -> Fields {
    let item = match items.len() {
        1 => super::object(items.remove(0)),
        _ => {
            let choices: Value = items.into_iter().map(super::object).collect();
            super::object([("anyOf", choices)])
        }
    };
    vec![("items", item), ("type", json!("array"))]
}

fn quantity(range: &Range) -> Vec<Fields> {
    let mut choices = vec![text(&format!(r"^\s*{}", written(range.kind)))];
    if range.kind.allows_bare_number() {
        choices.push(vec![
            ("maximum", json!(range.max)),
            ("minimum", json!(range.min)),
            ("type", json!("number")),
        ]);
    }
    choices
}

fn changes(value: &str) -> Fields {
    let change = format!(r"^\s*\+?[0-9]+:00 \s*{value}");
    vec![
        ("items", super::object(text(&change))),
        ("minItems", json!(1)),
        ("type", json!("array")),
    ]
}

/// A quantity of a kind as a pattern.
fn written(kind: Kind) -> String {
    match kind {
        Kind::Resistance => format!("(({NUMBER}{UNIT})|((RSI|R)[ =-]*{NUMBER}))"),
        _ if kind.allows_bare_number() => NUMBER.to_owned(),
        _ => format!("{NUMBER}{UNIT}"),
    }
}

fn text(pattern: &str) -> Fields {
    vec![("pattern", json!(pattern)), ("type", json!("string"))]
}

#[cfg(test)]
mod tests {
    use overwinter_units::unit::UNITS;

    /// What [`super::UNIT`] takes for granted.
    #[test]
    fn every_unit_has_a_letter_that_no_number_has() {
        for unit in UNITS.iter().filter(|unit| !unit.kind.allows_bare_number()) {
            for name in unit.aliases.iter().chain([&unit.symbol]) {
                let has_letter = name.contains(|c: char| !"-+0123456789.eE".contains(c));
                assert!(has_letter, "{name}");
            }
        }
    }
}

//! Checked reading of quantities.

use overwinter_units::{Kind, Range, System, print};

use super::{Form, Node, Part, Value};

impl Part<'_> {
    /// A quantity, if the file has it.
    pub(crate) fn quantity(&self, key: &str, range: &Range) -> Option<f64> {
        self.may_be(key, || Form::Quantity(*range));
        let node = self.node(key)?;
        let value = self.quantity_of(key, node, range)?;
        self.note_given(key, node);
        Some(value)
    }

    /// A quantity the file must have.
    pub(crate) fn required(&self, key: &str, range: &Range) -> Option<f64> {
        let what = || format!("the {}, {}", range.wording, range.describe());
        self.note(key, |asked| {
            asked.wanted.get_or_insert_with(what);
        });
        if !self.has(key) {
            self.missing(key, &what());
        }
        self.quantity(key, range)
    }

    /// A quantity with a default as a user would write it.
    pub(crate) fn quantity_or(&self, key: &str, range: &Range, default: &str, source: &str) -> f64 {
        self.may_be(key, || Form::Quantity(*range));
        let fallback = || range.parse(default).unwrap_or(range.min);
        if self.has(key) {
            return self.quantity(key, range).unwrap_or_else(fallback);
        }
        self.note_default(key, default.to_owned(), source);
        fallback()
    }

    /// A quantity with a computed default in the base unit.
    pub(crate) fn value_or(&self, key: &str, range: &Range, default: f64, source: &str) -> f64 {
        self.value_or_by(key, range, default, (source, source))
    }

    /// As [`Self::value_or`], where the source is that of this default and `on_what` says on what
    /// defaults of the key depend.
    pub(crate) fn value_or_by(
        &self,
        key: &str,
        range: &Range,
        default: f64,
        (source, on_what): (&str, &str),
    ) -> f64 {
        self.may_be(key, || Form::Quantity(*range));
        if self.has(key) {
            return self.quantity(key, range).unwrap_or(default);
        }
        let written = || {
            let [si, us] =
                [System::Si, System::Us].map(|system| print(default, range.kind, system));
            if si == us { si } else { format!("{si} ({us})") }
        };
        self.note_computed(key, &[default], written, (source, on_what));
        default
    }

    /// A node as a quantity; the key is for messages.
    pub(crate) fn quantity_of(&self, key: &str, node: &Node, range: &Range) -> Option<f64> {
        let read = match &node.value {
            Value::Text(text) => range.parse(text),
            Value::Number(number) if range.kind.allows_bare_number() => {
                let checked = range.check(*number);
                if let Err(error) = &checked
                    && range.kind == Kind::Share
                    && range.contains(number / 100.0)
                {
                    let message =
                        format!("{error}; a bare number is a share of 1: write \"{number} %\"");
                    return self.wrong(key, node, &message);
                }
                checked
            }
            Value::Number(number) => {
                // The parser words the missing unit.
                range.parse(&number.to_string())
            }
            other => {
                let message = format!(
                    "{} is wanted as a text with its unit, not {}",
                    range.kind,
                    other.type_wording()
                );
                return self.wrong(key, node, &message);
            }
        };
        match read {
            Ok(value) => Some(value),
            Err(error) => self.wrong(key, node, &error.to_string()),
        }
    }
}

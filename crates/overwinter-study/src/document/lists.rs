//! Checked reading of lists and of whole numbers.

use overwinter_units::Range;

use super::part::EMPTY;
use super::{Form, Node, Part, Value};

impl<'a> Part<'a> {
    /// The texts of a list, each with its node; one text alone counts as a list of one.
    pub(crate) fn texts(&self, key: &str) -> Option<Vec<(&'a Node, &'a str)>> {
        let nodes = self.items(key)?;
        let text = |node: &'a Node| match &node.value {
            Value::Text(text) if !text.trim().is_empty() => Some((node, text.as_str())),
            Value::Text(_) => self.wrong(key, node, EMPTY),
            other => {
                let message = format!("a text in quotes is wanted, not {}", other.type_wording());
                self.wrong(key, node, &message)
            }
        };
        let texts: Vec<_> = nodes.into_iter().map(text).collect();
        texts.into_iter().collect()
    }

    /// The quantities of a list; one alone counts as a list of one.
    pub(crate) fn quantities(&self, key: &str, range: &Range) -> Option<Vec<(&'a Node, f64)>> {
        self.may_be(key, || Form::Listed(Box::new(Form::Quantity(*range))));
        self.may_be(key, || Form::Quantity(*range));
        let nodes = self.items(key)?;
        let read = |node: &'a Node| Some((node, self.quantity_of(key, node, range)?));
        let values: Vec<_> = nodes.into_iter().map(read).collect();
        values.into_iter().collect()
    }

    /// Records a problem with one item of a list.
    pub(crate) fn refuse(&self, key: &str, item: &Node, message: &str) {
        self.wrong::<()>(key, item, message);
    }

    /// A whole number with a default.
    pub(crate) fn count_or(&self, key: &str, range: &Range, default: &str, source: &str) -> u32 {
        let number = self.quantity_or(key, range, default, source);
        if number.fract().abs() > 1e-9 {
            self.problem(key, "a whole number is wanted");
        }
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "counts have ranges far inside those of u32"
        )]
        let count = number.round() as u32;
        count
    }

    fn items(&self, key: &str) -> Option<Vec<&'a Node>> {
        let node = self.node(key)?;
        let nodes: Vec<_> = match &node.value {
            Value::List(items) => items.iter().collect(),
            _ => vec![node],
        };
        if nodes.is_empty() {
            return self.wrong(key, node, "at least one entry is wanted");
        }
        if node.place.draw.is_none() {
            let written: Vec<_> = nodes.iter().map(|node| node.value.written()).collect();
            self.findings().borrow_mut().given(
                self.path_of(key),
                written.join(", "),
                node.place.line,
            );
        }
        Some(nodes)
    }
}

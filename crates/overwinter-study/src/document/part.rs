//! Checked reading from one table of a scenario.

use std::cell::RefCell;

use overwinter_units::{Range, System, print};

use super::{Entry, Findings, Node, Place, Value, nearest};

/// A table being read. Every key that is asked for is remembered; [`Part::finish`] reports the
/// others as unknown.
pub(crate) struct Part<'a> {
    path: String,
    place: Place,
    entries: &'a [Entry],
    asked: RefCell<Vec<String>>,
    findings: &'a RefCell<Findings>,
}

impl<'a> Part<'a> {
    /// The whole document.
    pub(crate) fn root(document: &'a Node, findings: &'a RefCell<Findings>) -> Self {
        Self::new(String::new(), document, findings)
    }

    /// A node as a table; anything else is a problem and reads as an empty table.
    pub(crate) fn new(path: String, node: &'a Node, findings: &'a RefCell<Findings>) -> Self {
        let entries: &[Entry] = match &node.value {
            Value::Table(entries) => entries,
            other => {
                let message = format!("a table of keys is wanted, not {}", other.type_wording());
                findings
                    .borrow_mut()
                    .problem(node.place, &path, Some(other.written()), message);
                &[]
            }
        };
        Self {
            path,
            place: node.place,
            entries,
            asked: RefCell::new(Vec::new()),
            findings,
        }
    }

    /// Key path of a key of this table.
    pub(crate) fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }

    /// Where this table stands.
    pub(crate) fn place(&self) -> Place {
        self.place
    }

    /// Where the findings go.
    pub(crate) fn findings(&self) -> &'a RefCell<Findings> {
        self.findings
    }

    /// The node of a key, if the file has it.
    pub(crate) fn node(&self, key: &str) -> Option<&'a Node> {
        self.asked.borrow_mut().push(key.to_owned());
        self.entries
            .iter()
            .find(|entry| entry.key == key)
            .map(|entry| &entry.node)
    }

    /// True if the file has the key.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.node(key).is_some()
    }

    /// Counts keys as known without reading them.
    pub(crate) fn know(&self, keys: &[&str]) {
        self.asked
            .borrow_mut()
            .extend(keys.iter().map(|key| (*key).to_owned()));
    }

    /// Counts every key as known, where a mistake in one keeps the others from being read.
    pub(crate) fn know_all(&self) {
        self.asked
            .borrow_mut()
            .extend(self.entries.iter().map(|entry| entry.key.clone()));
    }

    /// A sub-table, empty if the file has none.
    pub(crate) fn part(&self, key: &str) -> Part<'a> {
        match self.node(key) {
            Some(node) => Self::new(self.path_of(key), node, self.findings),
            None => Self {
                path: self.path_of(key),
                place: self.place,
                entries: &[],
                asked: RefCell::new(Vec::new()),
                findings: self.findings,
            },
        }
    }

    /// The tables of a list of tables; one table alone counts as a list of one.
    pub(crate) fn parts(&self, key: &str) -> Vec<Part<'a>> {
        let Some(node) = self.node(key) else {
            return Vec::new();
        };
        match &node.value {
            Value::List(items) => items
                .iter()
                .enumerate()
                .map(|(index, item)| {
                    let path = format!("{}.{}", self.path_of(key), index + 1);
                    Self::new(path, item, self.findings)
                })
                .collect(),
            _ => vec![Self::new(self.path_of(key), node, self.findings)],
        }
    }

    /// A text.
    pub(crate) fn text(&self, key: &str) -> Option<&'a str> {
        let node = self.node(key)?;
        match &node.value {
            Value::Text(text) if !text.trim().is_empty() => {
                self.note_given(key, node);
                Some(text)
            }
            Value::Text(_) => self.wrong(key, node, "a text is wanted, not an empty one"),
            other => {
                let message = format!("a text in quotes is wanted, not {}", other.type_wording());
                self.wrong(key, node, &message)
            }
        }
    }

    /// True or false, with a default.
    pub(crate) fn flag_or(&self, key: &str, default: bool, source: &str) -> bool {
        let Some(node) = self.node(key) else {
            self.note_default(key, default.to_string(), source);
            return default;
        };
        if let Value::Flag(flag) = node.value {
            self.note_given(key, node);
            return flag;
        }
        self.wrong::<()>(key, node, "true or false is wanted, without quotes");
        default
    }

    /// One of a set of words.
    pub(crate) fn word<T: Copy>(&self, key: &str, words: &[(&str, T)]) -> Option<T> {
        let text = self.text(key)?;
        if let Some((_, value)) = words.iter().find(|(word, _)| *word == text) {
            return Some(*value);
        }
        let known = words.iter().map(|(word, _)| *word);
        let node = self.node(key)?;
        self.wrong(key, node, &not_among(text, known))
    }

    /// One of a set of words, the first of which is the default.
    pub(crate) fn word_or<T: Copy + PartialEq>(
        &self,
        key: &str,
        words: &[(&str, T)],
        default: T,
        source: &str,
    ) -> T {
        if self.has(key) {
            return self.word(key, words).unwrap_or(default);
        }
        let word = words.iter().find(|(_, value)| *value == default);
        self.note_default(
            key,
            word.map_or_else(String::new, |(word, _)| (*word).to_owned()),
            source,
        );
        default
    }

    /// A quantity, if the file has it.
    pub(crate) fn quantity(&self, key: &str, range: &Range) -> Option<f64> {
        let node = self.node(key)?;
        let value = self.quantity_of(key, node, range)?;
        self.note_given(key, node);
        Some(value)
    }

    /// A quantity the file must have.
    pub(crate) fn required(&self, key: &str, range: &Range) -> Option<f64> {
        if !self.has(key) {
            self.missing(key, &format!("the {}, {}", range.wording, range.describe()));
        }
        self.quantity(key, range)
    }

    /// A quantity with a default as a user would write it.
    pub(crate) fn quantity_or(&self, key: &str, range: &Range, default: &str, source: &str) -> f64 {
        let fallback = || range.parse(default).unwrap_or(range.min);
        if self.has(key) {
            return self.quantity(key, range).unwrap_or_else(fallback);
        }
        self.note_default(key, default.to_owned(), source);
        fallback()
    }

    /// A quantity with a computed default in the base unit.
    pub(crate) fn value_or(&self, key: &str, range: &Range, default: f64, source: &str) -> f64 {
        if self.has(key) {
            return self.quantity(key, range).unwrap_or(default);
        }
        let [si, us] = [System::Si, System::Us].map(|system| print(default, range.kind, system));
        let both = if si == us { si } else { format!("{si} ({us})") };
        self.note_default(key, both, source);
        default
    }

    /// A node as a quantity; the key is for messages.
    pub(crate) fn quantity_of(&self, key: &str, node: &Node, range: &Range) -> Option<f64> {
        let read = match &node.value {
            Value::Text(text) => range.parse(text),
            Value::Number(number) if range.kind.allows_bare_number() => range.check(*number),
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

    /// Records that a key the file must have is missing.
    pub(crate) fn missing(&self, key: &str, what: &str) {
        let message = format!("missing: give {what}");
        self.findings
            .borrow_mut()
            .problem(self.place, &self.path_of(key), None, message);
    }

    /// Records a problem with a key's value (or with the table if the key is absent).
    pub(crate) fn problem(&self, key: &str, message: &str) {
        match self.node(key) {
            Some(node) => {
                self.wrong::<()>(key, node, message);
            }
            None => {
                let path = if key.is_empty() {
                    self.path.clone()
                } else {
                    self.path_of(key)
                };
                self.findings
                    .borrow_mut()
                    .problem(self.place, &path, None, message.to_owned());
            }
        }
    }

    /// Records a problem of this table that stands in a line of its own.
    pub(crate) fn problem_at(&self, place: Place, message: &str) {
        self.findings
            .borrow_mut()
            .problem(place, &self.path, None, message.to_owned());
    }

    /// Records a default that was used.
    pub(crate) fn note_default(&self, key: &str, value: String, source: &str) {
        self.findings
            .borrow_mut()
            .assumed(self.path_of(key), value, source.to_owned());
    }

    /// Records a value that was given.
    pub(crate) fn note_given(&self, key: &str, node: &Node) {
        let written = node.value.written();
        self.findings
            .borrow_mut()
            .given(self.path_of(key), written, node.place.line);
    }

    /// Ends reading: every key that was never asked for is reported as unknown.
    pub(crate) fn finish(&self) {
        let asked = self.asked.borrow();
        for entry in self.entries {
            if asked.contains(&entry.key) {
                continue;
            }
            let known = asked.iter().map(String::as_str);
            let message = match nearest(&entry.key, known.clone()) {
                Some(near) => format!("unknown key; did you mean `{near}`?"),
                None => format!("unknown key; known here are {}", in_order(known)),
            };
            let place = Place {
                line: entry.line,
                ..entry.node.place
            };
            let value = Some(entry.node.value.written());
            self.findings
                .borrow_mut()
                .problem(place, &self.path_of(&entry.key), value, message);
        }
    }

    fn wrong<T>(&self, key: &str, node: &Node, message: &str) -> Option<T> {
        let value = Some(node.value.written());
        let path = self.path_of(key);
        self.findings
            .borrow_mut()
            .problem(node.place, &path, value, message.to_owned());
        None
    }
}

/// Says that a word is not among the known ones.
pub(crate) fn not_among<'w>(word: &str, known: impl Iterator<Item = &'w str> + Clone) -> String {
    match nearest(word, known.clone()) {
        Some(near) => format!("not known here; did you mean \"{near}\"?"),
        None => format!("not known here; known are {}", in_order(known)),
    }
}

fn in_order<'w>(words: impl Iterator<Item = &'w str>) -> String {
    let mut words: Vec<_> = words.collect();
    words.sort_unstable();
    words.dedup();
    words.join(", ")
}

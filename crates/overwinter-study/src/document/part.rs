//! Checked reading from one table of a scenario.

use std::cell::RefCell;

use super::{Entry, Findings, Form, Node, Place, Value, nearest};

/// What an empty text is answered with.
pub(super) const EMPTY: &str = "a text is wanted, not an empty one";

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
            [&self.path, ".", key].concat()
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
        self.note(key, |_| {});
        self.entries
            .iter()
            .find(|entry| entry.key == key)
            .map(|entry| &entry.node)
    }

    /// True if the file has the key.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.node(key).is_some()
    }

    /// The keys that the file has, all of them known.
    pub(crate) fn keys(&self) -> impl Iterator<Item = &'a str> {
        self.entries.iter().map(|entry| entry.key.as_str())
    }

    /// Counts keys as known without reading them.
    pub(crate) fn know(&self, keys: &[&str]) {
        keys.iter().for_each(|key| self.note(key, |_| {}));
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
        self.may_be(key, || Form::Table);
        self.part_of_names(key)
    }

    /// A sub-table whose keys are names that the file gives, empty if it has none.
    pub(crate) fn part_of_names(&self, key: &str) -> Part<'a> {
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
        self.may_be(key, || Form::Tables);
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
        self.may_be(key, || Form::Text);
        let node = self.node(key)?;
        match &node.value {
            Value::Text(text) if !text.trim().is_empty() => {
                self.note_given(key, node);
                Some(text)
            }
            Value::Text(_) => self.wrong(key, node, EMPTY),
            other => {
                let message = format!("a text in quotes is wanted, not {}", other.type_wording());
                self.wrong(key, node, &message)
            }
        }
    }

    /// True or false, with a default.
    pub(crate) fn flag_or(&self, key: &str, default: bool, source: &str) -> bool {
        self.may_be(key, || Form::Flag);
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
        self.may_be(key, || one_of(words));
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
        self.may_be(key, || one_of(words));
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

    /// Records that a key the file must have is missing.
    pub(crate) fn missing(&self, key: &str, what: &str) {
        self.note(key, |asked| {
            asked.wanted.get_or_insert_with(|| what.to_owned());
        });
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

    /// Ends reading: every key that was never asked for is reported as unknown.
    pub(crate) fn finish(&self) {
        self.with_record(|record| record.close(&self.path));
        let asked = self.asked.borrow();
        for entry in self.entries {
            if asked.contains(&entry.key) {
                continue;
            }
            let known = asked
                .iter()
                .map(String::as_str)
                .filter(|key| !key.is_empty());
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

    pub(super) fn wrong<T>(&self, key: &str, node: &Node, message: &str) -> Option<T> {
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
    if words.iter().any(|word| word.contains(',')) {
        return format!("\"{}\"", words.join("\", \""));
    }
    words.join(", ")
}

fn one_of<T>(words: &[(&str, T)]) -> Form {
    Form::Words(words.iter().map(|(word, _)| (*word).to_owned()).collect())
}

//! What is noted of a key while it is read: values given, defaults, and what the reader asks for.

use super::{Asked, Form, Node, Part, Record, Usual};

impl Part<'_> {
    /// Records a default that was used.
    pub(crate) fn note_default(&self, key: &str, value: String, source: &str) {
        self.note(key, |asked| {
            asked.usual(Usual::Value(value.clone(), source.to_owned()));
        });
        self.findings()
            .borrow_mut()
            .assumed(self.path_of(key), value, source);
    }

    /// Says on what the default of a key depends, where its value is only known later.
    pub(crate) fn note_usual(&self, key: &str, on_what: &str) {
        self.note(key, |asked| {
            asked.usual(Usual::Depends(on_what.to_owned()));
        });
    }

    /// As [`Self::note_default`] for a default that depends on the rest of the scenario, as
    /// `on_what` says.
    pub(crate) fn note_derived(&self, key: &str, value: String, source: &str, on_what: &str) {
        self.note_usual(key, on_what);
        self.findings()
            .borrow_mut()
            .assumed(self.path_of(key), value, source);
    }

    /// As [`Self::note_derived`] for a default that follows from numbers, put into words only once for
    /// each of them.
    pub(crate) fn note_computed(
        &self,
        key: &str,
        numbers: &[f64],
        value: impl FnOnce() -> String,
        (source, on_what): (&str, &str),
    ) {
        self.note_usual(key, on_what);
        let path = self.path_of(key);
        let mut findings = self.findings().borrow_mut();
        if findings.are_new(&path, numbers) {
            findings.assumed(path, value(), source);
        }
    }

    /// Tells whoever wants to know what the reader asks for that a key may have a form.
    pub(crate) fn may_be(&self, key: &str, form: impl FnOnce() -> Form) {
        self.note(key, |asked| asked.form(form()));
    }

    /// Records a value that was given.
    ///
    /// A drawn value is none: the scenario gives its distribution.
    pub(crate) fn note_given(&self, key: &str, node: &Node) {
        if node.place.draw.is_some() {
            return;
        }
        let written = node.value.written();
        self.findings()
            .borrow_mut()
            .given(self.path_of(key), written, node.place.line);
    }

    /// Notes something about a key, where someone wants to know what the reader asks for.
    pub(super) fn note(&self, key: &str, note: impl FnOnce(&mut Asked)) {
        self.with_record(|record| note(record.key(&self.path_of(key))));
    }

    /// Shows the record to `note`, where there is one.
    pub(super) fn with_record(&self, note: impl FnOnce(&mut Record)) {
        if let Some(record) = &mut self.findings().borrow_mut().record {
            note(record);
        }
    }
}

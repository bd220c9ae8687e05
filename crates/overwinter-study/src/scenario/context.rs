//! What reading one case needs beside its table: the catalogue, the climate, schedules in use.

use std::sync::{Mutex, MutexGuard, PoisonError};

use overwinter_units::Range;

use super::inflation::Dampers;
use super::schedule::Schedules;
use crate::catalogue::{Catalogue, Entry, Figure};
use crate::climate::{ClimateFacts, NightLows};
use crate::document::{Form, Part, not_among};

/// Shared by all parts of a case.
pub(crate) struct Context<'a> {
    /// The catalogue.
    pub(crate) catalogue: &'static Catalogue,
    /// Facts of the climate.
    pub(crate) climate: ClimateFacts,
    /// Nights of the climate, where it could be read.
    pub(crate) nights: Option<&'a NightLows>,
    /// Cases of the file.
    pub(crate) cases: usize,
    /// Schedules already built, shared between cases.
    pub(crate) schedules: &'a Mutex<Schedules>,
    /// Dampers already set, shared between cases.
    pub(crate) dampers: &'a Mutex<Dampers>,
}

impl Context<'_> {
    /// The schedules built so far.
    pub(crate) fn schedules(&self) -> MutexGuard<'_, Schedules> {
        // What stands in it is whole even if a thread panicked with it in hand.
        self.schedules
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
    }

    /// The dampers set so far.
    pub(crate) fn dampers(&self) -> MutexGuard<'_, Dampers> {
        self.dampers.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The catalogue entry that a key names.
    pub(crate) fn entry(&self, part: &Part<'_>, key: &str, list: &str) -> Option<&'static Entry> {
        part.may_be(key, || Form::Words(self.catalogue.names(list)));
        let name = part.text(key)?;
        let entry = self.catalogue.entry(list, name);
        if entry.is_none() {
            let known = self
                .catalogue
                .list(list)
                .iter()
                .map(|entry| entry.name.as_str());
            part.problem(key, &not_among(name, known));
        }
        entry
    }

    /// As [`Self::entry`] with a default when the key is absent.
    pub(crate) fn entry_or(
        &self,
        part: &Part<'_>,
        key: &str,
        list: &str,
        default: &str,
        source: &str,
    ) -> Option<&'static Entry> {
        part.may_be(key, || Form::Words(self.catalogue.names(list)));
        if part.has(key) {
            return self.entry(part, key, list);
        }
        part.note_default(key, default.to_owned(), source);
        self.catalogue.entry(list, default)
    }
}

/// A quantity from the scenario, else from a catalogue entry, else required.
pub(crate) fn figure(
    part: &Part<'_>,
    key: &str,
    range: &Range,
    entry: Option<&Entry>,
) -> Option<f64> {
    part.may_be(key, || Form::Quantity(*range));
    if part.has(key) {
        return part.quantity(key, range);
    }
    let Some((entry, figure)) = entry.and_then(|entry| Some((entry, entry.figure(key)?))) else {
        return part.required(key, range);
    };
    let on_what = "that of the catalogue entry";
    part.note_usual(key, on_what);
    let (path, written) = (part.path_of(key), figure.written.clone());
    let source = SourceOfFigure { entry, figure };
    part.findings().borrow_mut().assumed(path, written, source);
    Some(figure.value)
}

/// Where a figure of an entry comes from; put into words only where that is wanted.
struct SourceOfFigure<'a> {
    entry: &'a Entry,
    figure: &'a Figure,
}

impl From<SourceOfFigure<'_>> for String {
    fn from(source: SourceOfFigure<'_>) -> Self {
        format!("catalogue, {}: {}", source.entry.name, source.figure.source)
    }
}

//! Counting defects while reading.

use crate::year::Note;

/// Defects met so far, in the order of their first appearance.
#[derive(Clone, Debug, Default)]
pub(crate) struct Tally {
    notes: Vec<Note>,
}

impl Tally {
    /// Counts one more row with a defect.
    pub(crate) fn count(&mut self, defect: &str, line: usize, action: &str) {
        self.count_many(defect, 1, line, action);
    }

    /// Counts several more rows with a defect.
    pub(crate) fn count_many(&mut self, defect: &str, count: usize, line: usize, action: &str) {
        match self
            .notes
            .iter_mut()
            .rev()
            .find(|note| note.defect == defect)
        {
            Some(note) => {
                note.count += count;
                note.first_line = note.first_line.min(line);
            }
            None => self.notes.push(Note {
                defect: defect.to_owned(),
                count,
                first_line: line,
                action: action.to_owned(),
            }),
        }
    }

    pub(crate) fn into_notes(self) -> Vec<Note> {
        self.notes
    }
}

//! The cases of a study: few are held, many are built from the scenario when they are asked for, so
//! that memory does not grow with their number.

use std::borrow::Cow;
use std::sync::Arc;

use crate::case::Case;
use crate::error::Problem;
use crate::features::Features;
use crate::sampling::Draw;
use crate::scenario::CaseReader;

/// Studies of up to this many cases hold them; larger ones build each when it is asked for.
pub const MOST_HELD: usize = 100;

/// The cases of a study, numbered from 0 here and from 1 in [`Case::id`].
#[derive(Clone, Debug)]
pub struct Cases(Source);

#[derive(Clone, Debug)]
enum Source {
    Held(Vec<Case>),
    Read(Arc<CaseReader>),
}

impl Cases {
    pub(crate) fn read_by(reader: CaseReader) -> Self {
        Self(Source::Read(Arc::new(reader)))
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        match &self.0 {
            Source::Held(cases) => cases.len(),
            Source::Read(reader) => reader.len(),
        }
    }

    /// True if there is none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Case `index`, counted from 0.
    ///
    /// # Errors
    /// Why it cannot be built: an input drawn at random can leave the range of its key. A list
    /// without a problem means that there is no such case.
    pub fn get(&self, index: usize) -> Result<Cow<'_, Case>, Vec<Problem>> {
        match &self.0 {
            Source::Held(cases) => cases.get(index).map(Cow::Borrowed).ok_or_else(Vec::new),
            Source::Read(reader) if index < reader.len() => reader.case(index).map(Cow::Owned),
            Source::Read(_) => Err(Vec::new()),
        }
    }

    /// Label of the alternative of case `index` on each axis, whether or not it can be built; empty if
    /// there is no such case.
    pub fn labels(&self, index: usize) -> Vec<String> {
        match &self.0 {
            Source::Held(cases) => cases
                .get(index)
                .map_or_else(Vec::new, |case| case.axis_labels.clone()),
            Source::Read(reader) if index < reader.len() => reader.list().labels(index),
            Source::Read(_) => Vec::new(),
        }
    }

    /// The draw of case `index`, whether or not it can be built, where inputs are sampled.
    pub fn draw(&self, index: usize) -> Option<Draw> {
        match &self.0 {
            Source::Held(cases) => cases.get(index)?.draw.clone(),
            Source::Read(reader) if index < reader.len() => reader.list().draw(index),
            Source::Read(_) => None,
        }
    }

    /// The cases one after the other, those that cannot be built left out.
    pub fn iter(&self) -> impl Iterator<Item = Cow<'_, Case>> {
        (0..self.len()).filter_map(|index| self.get(index).ok())
    }

    /// What the cases have among them.
    pub fn features(&self) -> Features {
        match &self.0 {
            Source::Held(cases) => {
                let mut features = Features::default();
                cases.iter().for_each(|case| features.add(case));
                features
            }
            Source::Read(reader) => reader.features().clone(),
        }
    }

    /// The cases, where they are held: always up to [`MOST_HELD`] of them. Empty otherwise.
    pub fn held(&self) -> &[Case] {
        match &self.0 {
            Source::Held(cases) => cases,
            Source::Read(_) => &[],
        }
    }

    /// The cases to change; those that are not held are built first.
    pub fn held_mut(&mut self) -> &mut Vec<Case> {
        if let Source::Read(_) = &self.0 {
            let all = self.iter().map(Cow::into_owned).collect();
            self.0 = Source::Held(all);
        }
        match &mut self.0 {
            Source::Held(cases) => cases,
            Source::Read(_) => unreachable!("just held"),
        }
    }
}

impl From<Vec<Case>> for Cases {
    fn from(cases: Vec<Case>) -> Self {
        Self(Source::Held(cases))
    }
}

impl FromIterator<Case> for Cases {
    fn from_iter<I: IntoIterator<Item = Case>>(cases: I) -> Self {
        Self(Source::Held(cases.into_iter().collect()))
    }
}

//! What is found while a scenario is read.

use std::borrow::Borrow;
use std::collections::{HashMap, HashSet};
use std::hash::Hash;
use std::sync::Arc;

use crate::case::DefaultUsed;
use crate::catalogue::Entry;
use crate::covers::NamedStack;
use crate::document::{Place, Record};
use crate::error::Problem;

/// What stands between the name of an input and the number of a draw.
const DRAW: &str = ", draw ";

/// An input that the file gives.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Given {
    /// Key path in the scenario file.
    pub key: String,
    /// Value as written.
    pub value: String,
    /// Line, counted from 1.
    pub line: usize,
}

/// What may bring a value into the tree of a case: names, so that messages can say which one did.
#[derive(Debug, Default)]
pub(crate) struct Bringers {
    /// Each axis with the labels of its alternatives.
    pub(crate) alternatives: Vec<(String, Vec<String>)>,
    /// The sampled inputs.
    pub(crate) sampled: Vec<String>,
}

/// Problems, defaults, given values and warnings, each once.
#[derive(Debug, Default)]
pub(crate) struct Findings {
    /// What is wrong.
    pub(crate) problems: Vec<Problem>,
    /// What was assumed.
    pub(crate) defaults: Vec<DefaultUsed>,
    /// What was given.
    pub(crate) given: Vec<Given>,
    /// What works but deserves a second look.
    pub(crate) warnings: Vec<String>,
    /// The covers that are used by name.
    pub(crate) covers: Vec<NamedStack>,
    /// What a value may come from.
    pub(crate) bringers: Arc<Bringers>,
    /// What the reader asks for, where someone wants to know.
    pub(crate) record: Option<Record>,
    /// True where only problems are wanted, as for a case that has been checked before.
    only_problems: bool,
    /// Defaults so far.
    seen_defaults: Seen<String>,
    /// Given values so far.
    seen_given: Seen<String>,
    /// Defaults so far that were worked out from numbers, by the bits of these.
    seen_numbers: Seen<Vec<u64>>,
    /// Entries of the catalogue whose figures were all noted, by the list they were noted in.
    seen_entries: Seen<usize>,
}

/// What was seen of each key: a study may have thousands of cases that say the same, and is not to
/// put it into words for each of them.
#[derive(Debug)]
struct Seen<T>(HashMap<String, HashSet<T>>);

impl<T> Default for Seen<T> {
    fn default() -> Self {
        Self(HashMap::new())
    }
}

impl<T: Eq + Hash> Seen<T> {
    /// True the first time a key is seen with a value.
    fn is_new<B>(&mut self, key: &str, value: &B) -> bool
    where
        T: Borrow<B>,
        B: Eq + Hash + ToOwned<Owned = T> + ?Sized,
    {
        match self.0.get_mut(key) {
            Some(values) if values.contains(value) => false,
            Some(values) => values.insert(value.to_owned()),
            None => {
                let values = HashSet::from([value.to_owned()]);
                self.0.insert(key.to_owned(), values);
                true
            }
        }
    }
}

impl Findings {
    /// None yet, of a scenario in which values may come from these.
    pub(crate) fn beside(bringers: &Arc<Bringers>) -> Self {
        Self {
            bringers: Arc::clone(bringers),
            ..Self::default()
        }
    }

    /// As [`Self::beside`], of which nobody will ask for anything but problems.
    pub(crate) fn only_problems(bringers: &Arc<Bringers>) -> Self {
        Self {
            only_problems: true,
            ..Self::beside(bringers)
        }
    }

    /// None yet, with a record of what the reader asks for.
    pub(crate) fn recording(record: Record) -> Self {
        Self {
            record: Some(record),
            ..Self::default()
        }
    }

    /// Records a problem.
    pub(crate) fn problem(
        &mut self,
        place: Place,
        key: &str,
        value: Option<String>,
        message: String,
    ) {
        let problem = Problem {
            line: place.line,
            key: key.to_owned(),
            value,
            message,
            alternative: self.bringers.wording(place),
        };
        self.add_problem(problem);
    }

    /// Records a problem once; of the draws of one input the first one is enough.
    fn add_problem(&mut self, problem: Problem) {
        let is_alike = |other: &Problem| {
            let inputs = [other, &problem].map(|problem| {
                let from = problem.alternative.as_deref()?;
                Some(from.split_once(DRAW)?.0)
            });
            let place = |problem: &Problem| (problem.line, problem.key.clone());
            inputs[0].is_some() && inputs[0] == inputs[1] && place(other) == place(&problem)
        };
        if !self.problems.iter().any(is_alike) {
            push_once(&mut self.problems, problem);
        }
    }

    /// Adds what was found in later cases.
    pub(crate) fn add(&mut self, later: Self) {
        for problem in later.problems {
            self.add_problem(problem);
        }
        for DefaultUsed { key, value, source } in later.defaults {
            self.assumed(key, value, source);
        }
        for Given { key, value, line } in later.given {
            self.given(key, value, line);
        }
        for warning in later.warnings {
            self.warning(warning);
        }
        for cover in later.covers {
            self.cover(cover);
        }
    }

    /// Records a default.
    pub(crate) fn assumed(&mut self, key: String, value: String, source: impl Into<String>) {
        if !self.only_problems && self.seen_defaults.is_new(&key, value.as_str()) {
            let source = source.into();
            self.defaults.push(DefaultUsed { key, value, source });
        }
    }

    /// True the first time that a key has a default which follows from these numbers and from the key
    /// alone.
    pub(crate) fn are_new(&mut self, key: &str, numbers: &[f64]) -> bool {
        if self.only_problems {
            return false;
        }
        let bits: Vec<u64> = numbers.iter().map(|number| number.to_bits()).collect();
        self.seen_numbers.is_new(key, &bits)
    }

    /// True the first time that an entry of the catalogue is used in a list.
    pub(crate) fn is_new_entry(&mut self, list: &str, entry: &'static Entry) -> bool {
        !self.only_problems
            && self
                .seen_entries
                .is_new(list, &std::ptr::from_ref(entry).addr())
    }

    /// Records a given value.
    pub(crate) fn given(&mut self, key: String, value: String, line: usize) {
        if !self.only_problems && self.seen_given.is_new(&key, value.as_str()) {
            self.given.push(Given { key, value, line });
        }
    }

    /// Records a cover that is used.
    pub(crate) fn cover(&mut self, cover: NamedStack) {
        if !self.only_problems {
            push_once(&mut self.covers, cover);
        }
    }

    /// Records a warning.
    pub(crate) fn warning(&mut self, warning: String) {
        push_once(&mut self.warnings, warning);
    }
}

impl Bringers {
    /// What brought the value at a place, in words, if it does not stand in the file itself.
    fn wording(&self, place: Place) -> Option<String> {
        if let Some((input, draw)) = place.draw {
            let name = self.sampled.get(input)?;
            return Some(format!(
                "sampled input \"{name}\"{DRAW}{}; `low` and `high` of its distribution bound what is drawn",
                draw + 1
            ));
        }
        let (axis, choice) = place.alternative?;
        let (name, labels) = self.alternatives.get(axis)?;
        let label = labels.get(choice)?;
        Some(format!(
            "axis \"{name}\", alternative {} \"{label}\"",
            choice + 1
        ))
    }
}

fn push_once<T: PartialEq>(list: &mut Vec<T>, item: T) {
    if !list.contains(&item) {
        list.push(item);
    }
}

//! What is found while a scenario is read.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::case::DefaultUsed;
use crate::covers::NamedStack;
use crate::document::{Place, Record};
use crate::error::Problem;

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
    /// Names of the alternatives of each axis, to say which one brought a value.
    pub(crate) alternatives: Arc<[(String, Vec<String>)]>,
    /// What the reader asks for, where someone wants to know.
    pub(crate) record: Option<Record>,
    /// Key and value of every default and given value so far: a study may have thousands of cases
    /// that say the same.
    seen: BTreeSet<String>,
}

impl Findings {
    /// None yet, of a scenario whose axes have these alternatives.
    pub(crate) fn beside(alternatives: &Arc<[(String, Vec<String>)]>) -> Self {
        Self {
            alternatives: Arc::clone(alternatives),
            ..Self::default()
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
            alternative: place
                .alternative
                .and_then(|at| self.alternative_wording(at)),
        };
        push_once(&mut self.problems, problem);
    }

    /// Adds what was found in later cases.
    pub(crate) fn add(&mut self, later: Self) {
        for problem in later.problems {
            push_once(&mut self.problems, problem);
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
    pub(crate) fn assumed(&mut self, key: String, value: String, source: String) {
        if self.seen.insert(format!("{key} ~ {value}")) {
            self.defaults.push(DefaultUsed { key, value, source });
        }
    }

    /// Records a given value.
    pub(crate) fn given(&mut self, key: String, value: String, line: usize) {
        if self.seen.insert(format!("{key} = {value}")) {
            self.given.push(Given { key, value, line });
        }
    }

    /// Records a cover that is used.
    pub(crate) fn cover(&mut self, cover: NamedStack) {
        push_once(&mut self.covers, cover);
    }

    /// Records a warning.
    pub(crate) fn warning(&mut self, warning: String) {
        push_once(&mut self.warnings, warning);
    }

    fn alternative_wording(&self, (axis, choice): (usize, usize)) -> Option<String> {
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

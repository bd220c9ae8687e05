//! Which combinations of the axes stay: `[[include]]` and `[[exclude]]`.
//!
//! A rule names labels of axes and matches a combination that has one of them on every axis it names.
//! If there is any `[[include]]`, a combination must match one; one that matches an `[[exclude]]` is
//! left out, whatever includes it.

use glob::{MatchOptions, Pattern};

use super::Axis;
use crate::document::{Node, Part, Value, not_among};

/// Letters of either case are the same, and a `*` stands for any letters.
const LOOSELY: MatchOptions = MatchOptions {
    case_sensitive: false,
    require_literal_separator: false,
    require_literal_leading_dot: false,
};

/// The rules of a scenario.
#[derive(Clone, Debug, Default)]
pub(crate) struct Rules {
    include: Vec<Rule>,
    exclude: Vec<Rule>,
}

/// For each axis it names, which alternatives match.
#[derive(Clone, Debug)]
struct Rule(Vec<(usize, Vec<bool>)>);

impl Rules {
    /// Reads the rules.
    pub(crate) fn read(root: &Part<'_>, axes: &[Axis]) -> Self {
        let rules = |key: &str| -> Vec<Rule> {
            let parts = root.parts(key);
            parts.iter().map(|part| Rule::read(part, axes)).collect()
        };
        Self {
            include: rules("include"),
            exclude: rules("exclude"),
        }
    }

    /// True if every combination stays.
    pub(crate) fn is_empty(&self) -> bool {
        self.include.is_empty() && self.exclude.is_empty()
    }

    /// True if a combination, by its alternative on each axis, stays.
    pub(crate) fn keep(&self, choice: &[usize]) -> bool {
        let matched = |rules: &[Rule]| rules.iter().any(|rule| rule.matches(choice));
        (self.include.is_empty() || matched(&self.include)) && !matched(&self.exclude)
    }
}

impl Rule {
    fn read(part: &Part<'_>, axes: &[Axis]) -> Self {
        let mut named = Vec::new();
        for key in part.keys() {
            match axes.iter().position(|axis| axis.name == key) {
                Some(at) => named.push((at, matching(part, key, &axes[at]))),
                None => {
                    let names = axes.iter().map(|axis| axis.name.as_str());
                    let message = format!("no axis has this name: {}", not_among(key, names));
                    part.problem(key, &message);
                }
            }
        }
        if part.keys().next().is_none() {
            part.problem("", "a rule names at least one axis with labels on it");
        }
        Self(named)
    }

    fn matches(&self, choice: &[usize]) -> bool {
        let on_axis = |(axis, matching): &(usize, Vec<bool>)| {
            let at = choice.get(*axis);
            at.is_some_and(|at| matching.get(*at).copied().unwrap_or(false))
        };
        self.0.iter().all(on_axis)
    }
}

/// Which alternatives of an axis have one of the labels.
fn matching(part: &Part<'_>, key: &str, axis: &Axis) -> Vec<bool> {
    let labels: Vec<&str> = axis
        .alternatives
        .iter()
        .map(|one| one.label.as_str())
        .collect();
    let mut matching = vec![false; labels.len()];
    for (node, wanted) in part.texts(key).unwrap_or_default() {
        let found = matches_of(wanted, &labels);
        if found.is_empty() {
            no_such_label(part, key, node, &labels);
        }
        for at in found {
            matching[at] = true;
        }
    }
    matching
}

/// The alternatives that a label with wildcards stands for; one that is written the same is meant
/// alone.
fn matches_of(wanted: &str, labels: &[&str]) -> Vec<usize> {
    if let Some(same) = labels.iter().position(|label| *label == wanted) {
        return vec![same];
    }
    // Brackets have no meaning here.
    let escaped = wanted.replace('[', "[[]");
    let mut single = escaped.clone();
    while single.contains("**") {
        single = single.replace("**", "*");
    }
    let Ok(pattern) = Pattern::new(&single) else {
        return Vec::new();
    };
    let matches = |at: &usize| pattern.matches_with(labels[*at], LOOSELY);
    (0..labels.len()).filter(matches).collect()
}

fn no_such_label(part: &Part<'_>, key: &str, node: &Node, labels: &[&str]) {
    let Value::Text(wanted) = &node.value else {
        return;
    };
    let message = format!(
        "no alternative of this axis has this label: {}",
        not_among(wanted, labels.iter().copied())
    );
    part.refuse(key, node, &message);
}

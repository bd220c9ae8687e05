//! Axes that set the same key: the later one would silently undo what the earlier one's label says.

use std::collections::BTreeSet;

use super::{Alternative, Axis};
use crate::document::{Node, Part, Place, Value};

/// Reports every two axes that set one key, or a key and the table that holds it.
pub(super) fn check(root: &Part<'_>, axes: &[Axis]) {
    for (index, axis) in axes.iter().enumerate() {
        for alternative in &axis.alternatives {
            check_within(root, alternative);
        }
        let own = distinct(axis);
        for earlier in &axes[..index] {
            let others = distinct(earlier);
            let met = own.iter().find_map(|key| {
                let other = others.iter().find(|other| overlaps(key, other))?;
                Some((other.join("."), key.join(".")))
            });
            if let Some((other, key)) = &met {
                let message = wording(&named(earlier), &named(axis), other, key);
                root.problem_at(axis.place, &message);
            }
        }
    }
}

/// A key that an alternative sets, as its steps from the top of the file.
struct KeySet {
    steps: Vec<String>,
    place: Place,
}

/// One alternative may write the same key in two ways: `"a.b" = 1` and `a.b = 1`.
fn check_within(root: &Part<'_>, alternative: &Alternative) {
    let keys = keys_set(alternative);
    for (index, key) in keys.iter().enumerate() {
        let same = |other: &&KeySet| overlaps(&other.steps, &key.steps);
        if let Some(other) = keys[..index].iter().find(same) {
            let message = format!(
                "the alternative \"{}\" sets `{}` and `{}`; a key is set once",
                alternative.label,
                other.steps.join("."),
                key.steps.join(".")
            );
            root.problem_at(key.place, &message);
        }
    }
}

fn wording(earlier: &str, later: &str, first: &str, second: &str) -> String {
    let clash = match first.len().cmp(&second.len()) {
        std::cmp::Ordering::Equal => format!("`{first}`: {earlier} and {later} both set it"),
        std::cmp::Ordering::Less => {
            format!("{earlier} sets `{first}`, which holds `{second}` that {later} sets")
        }
        std::cmp::Ordering::Greater => {
            format!("{earlier} sets `{first}` and {later} sets `{second}`, which holds it")
        }
    };
    format!(
        "{clash}; one would undo the other: put the combinations wanted into one axis with \
         [[axis.alternative]]"
    )
}

fn named(axis: &Axis) -> String {
    format!("axis \"{}\" (line {})", axis.name, axis.place.line)
}

/// The keys of all alternatives, each once: an axis may have thousands that set the same.
fn distinct(axis: &Axis) -> BTreeSet<Vec<String>> {
    let keys = axis.alternatives.iter().flat_map(keys_set);
    keys.map(|key| key.steps).collect()
}

fn keys_set(alternative: &Alternative) -> Vec<KeySet> {
    let mut keys = Vec::new();
    for (key, node) in &alternative.changes {
        let steps = key.split('.').map(plain_step).collect();
        collect(steps, node, &mut keys);
    }
    keys
}

/// Tables merge into what is there, so that only their ends are set.
fn collect(steps: Vec<String>, node: &Node, keys: &mut Vec<KeySet>) {
    match &node.value {
        Value::Table(entries) if !entries.is_empty() => {
            for entry in entries {
                let mut deeper = steps.clone();
                deeper.push(plain_step(&entry.key));
                collect(deeper, &entry.node, keys);
            }
        }
        _ => keys.push(KeySet {
            steps,
            place: node.place,
        }),
    }
}

/// `01` is the item 1 of a list.
fn plain_step(step: &str) -> String {
    step.parse::<usize>()
        .map_or_else(|_| step.to_owned(), |number| number.to_string())
}

fn overlaps(one: &[String], other: &[String]) -> bool {
    one.iter().zip(other).all(|(one, other)| one == other)
}

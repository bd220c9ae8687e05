//! Values put at the end of key paths into the tree of a scenario.
//!
//! A table merges into the one that is there; anything else replaces what is there. Items of lists are
//! numbered from 1: `heater.1.efficiency`.

use crate::document::{Entry, Node, Place, Value};

/// Sets the value at the end of a key path.
pub(crate) fn set(target: &mut Node, steps: &[&str], new: &Node) -> Result<(), String> {
    let Some((step, rest)) = steps.split_first() else {
        merge(target, new);
        return Ok(());
    };
    match &mut target.value {
        Value::Table(entries) => {
            if let Some(entry) = entries.iter_mut().find(|entry| entry.key == *step) {
                return set(&mut entry.node, rest, new);
            }
            let mut node = Node {
                value: Value::Table(Vec::new()),
                place: new.place,
            };
            set(&mut node, rest, new)?;
            entries.push(Entry {
                key: (*step).to_owned(),
                line: new.place.line,
                node,
            });
            Ok(())
        }
        Value::List(items) => {
            let count = items.len();
            let item = step
                .parse::<usize>()
                .ok()
                .and_then(|number| items.get_mut(number.checked_sub(1)?));
            match item {
                Some(item) => set(item, rest, new),
                None => Err(format!(
                    "\"{step}\" is no item of this list; items are 1 to {count}"
                )),
            }
        }
        other => Err(format!(
            "`{step}` is wanted inside {}, which has no keys",
            other.type_wording()
        )),
    }
}

fn merge(target: &mut Node, new: &Node) {
    match (&mut target.value, &new.value) {
        (Value::Table(old), Value::Table(changes)) => {
            for change in changes {
                match old.iter_mut().find(|entry| entry.key == change.key) {
                    Some(entry) => merge(&mut entry.node, &change.node),
                    None => old.push(change.clone()),
                }
            }
        }
        _ => *target = new.clone(),
    }
}

/// The node at the end of a key path, if there is one.
pub(crate) fn found<'a>(target: &'a Node, steps: &[&str]) -> Option<&'a Node> {
    let Some((step, rest)) = steps.split_first() else {
        return Some(target);
    };
    let next = match &target.value {
        Value::Table(entries) => entries
            .iter()
            .find(|entry| entry.key == *step)
            .map(|entry| &entry.node),
        Value::List(items) => items.get(step.parse::<usize>().ok()?.checked_sub(1)?),
        _ => None,
    };
    found(next?, rest)
}

/// A copy in which `place` says of every value where it comes from.
pub(super) fn marked(node: &Node, place: &impl Fn(Place) -> Place) -> Node {
    let value = match &node.value {
        Value::List(items) => Value::List(items.iter().map(|item| marked(item, place)).collect()),
        Value::Table(entries) => {
            let entry = |entry: &Entry| Entry {
                node: marked(&entry.node, place),
                ..entry.clone()
            };
            Value::Table(entries.iter().map(entry).collect())
        }
        other => other.clone(),
    };
    Node {
        value,
        place: place(node.place),
    }
}

//! Axes of a scenario: lists of alternatives whose product gives the cases.
//!
//! An alternative sets one or several keys of the scenario. Setting a table merges it into the one
//! that is there; anything else replaces what is there. Items of lists are numbered from 1:
//! `heater.1.efficiency`.

mod overlap;

use std::collections::BTreeSet;

use crate::document::{Form, Node, Part, Place, Value};

/// An axis.
#[derive(Clone, Debug)]
pub(crate) struct Axis {
    /// Name of the axis.
    pub(crate) name: String,
    /// Where the axis stands.
    pub(crate) place: Place,
    /// What it may be.
    pub(crate) alternatives: Vec<Alternative>,
}

/// One alternative on an axis.
#[derive(Clone, Debug)]
pub(crate) struct Alternative {
    /// Label in the tables.
    pub(crate) label: String,
    /// Line of the alternative.
    pub(crate) place: Place,
    /// Keys and their values.
    pub(crate) changes: Vec<(String, Node)>,
}

/// Keys an axis may not set, because they belong to the whole file.
const WHOLE_FILE: [&str; 4] = ["axis", "title", "seed", "tables"];

/// Reads the axes of a scenario.
pub(crate) fn read(root: &Part<'_>) -> Vec<Axis> {
    let mut axes: Vec<Axis> = Vec::new();
    for (index, part) in root.parts("axis").into_iter().enumerate() {
        let name = part.text("name");
        let same = |name: &str| axes.iter().any(|axis| axis.name == name);
        match name {
            None if !part.has("name") => {
                part.missing("name", "a name for the axis, such as \"cover\"")
            }
            Some(name) if same(name) => part.problem("name", "two axes have this name"),
            _ => {}
        }
        let alternatives = read_alternatives(&part, index);
        check_labels(&part, &alternatives);
        axes.push(Axis {
            name: name.unwrap_or_default().to_owned(),
            place: part.place(),
            alternatives,
        });
        part.finish();
    }
    overlap::check(root, &axes);
    axes
}

/// The scenario with one alternative chosen on each axis; problems say why a key cannot be set.
pub(crate) fn chosen(
    document: &Node,
    axes: &[Axis],
    choice: &[usize],
) -> Result<Node, Vec<(Place, String, String)>> {
    let mut case = document.clone();
    let mut problems = Vec::new();
    for (axis, index) in axes.iter().zip(choice) {
        let Some(alternative) = axis.alternatives.get(*index) else {
            continue;
        };
        for (key, node) in &alternative.changes {
            let steps: Vec<_> = key.split('.').collect();
            if let Err(message) = set(&mut case, &steps, node) {
                problems.push((node.place, key.clone(), message));
            }
        }
    }
    if problems.is_empty() {
        Ok(case)
    } else {
        Err(problems)
    }
}

/// Number of cases, or `None` if they are too many to be counted.
pub(crate) fn case_count(axes: &[Axis]) -> Option<usize> {
    axes.iter().try_fold(1_usize, |product, axis| {
        product.checked_mul(axis.alternatives.len())
    })
}

/// The alternative on each axis for a case counted from 0; the last axis runs fastest.
pub(crate) fn choice(axes: &[Axis], mut case: usize) -> Vec<usize> {
    let mut choice = vec![0; axes.len()];
    for (index, axis) in axes.iter().enumerate().rev() {
        let count = axis.alternatives.len().max(1);
        choice[index] = case % count;
        case /= count;
    }
    choice
}

fn read_alternatives(part: &Part<'_>, axis: usize) -> Vec<Alternative> {
    let short = part.has("key") || part.has("values");
    let long = part.has("alternative");
    if short && long {
        part.problem(
            "alternative",
            "an axis has either `key` with `values`, or [[axis.alternative]]",
        );
    }
    if long {
        let read_one = |(index, one): (usize, Part<'_>)| read_long(one, (axis, index));
        part.parts("alternative")
            .into_iter()
            .enumerate()
            .map(read_one)
            .collect()
    } else {
        read_short(part, axis)
    }
}

/// `key = "cover.roof"` with `values = [...]`, and `labels = [...]` if wanted.
fn read_short(part: &Part<'_>, axis: usize) -> Vec<Alternative> {
    let key = part.text("key");
    if key.is_none() && !part.has("key") {
        part.missing("key", "the key the axis changes, such as \"cover.roof\"");
    }
    let values = list(part, "values").unwrap_or_default();
    if values.is_empty() {
        part.problem("values", "an axis needs at least one value");
    }
    let labels = list(part, "labels");
    if labels.is_some_and(|labels| labels.len() != values.len()) {
        part.problem(
            "labels",
            &format!("{} labels are wanted, one for each value", values.len()),
        );
    }
    let key = key.unwrap_or_default();
    check_key(part, "key", key);
    let alternative = |(index, value): (usize, &Node)| {
        let label = labels.and_then(|labels| labels.get(index)).unwrap_or(value);
        Alternative {
            label: plain(&label.value),
            place: value.place,
            changes: vec![(key.to_owned(), placed(value, (axis, index)))],
        }
    };
    values.iter().enumerate().map(alternative).collect()
}

/// `[[axis.alternative]]` with a label and a table of keys.
fn read_long(part: Part<'_>, at: (usize, usize)) -> Alternative {
    let label = part.text("label");
    if label.is_none() && !part.has("label") {
        part.missing("label", "a label for the tables");
    }
    let mut changes = Vec::new();
    part.may_be("set", || Form::Table);
    match part.node("set").map(|node| &node.value) {
        Some(Value::Table(entries)) => {
            for entry in entries {
                check_key(&part, "set", &entry.key);
                changes.push((entry.key.clone(), placed(&entry.node, at)));
            }
        }
        Some(_) => part.problem("set", "a table of keys and values is wanted"),
        None => part.missing("set", "the keys this alternative sets"),
    }
    let place = part.place();
    part.finish();
    Alternative {
        label: label.unwrap_or_default().to_owned(),
        place,
        changes,
    }
}

fn check_key(part: &Part<'_>, at: &str, key: &str) {
    let first = key.split('.').next().unwrap_or_default();
    if WHOLE_FILE.contains(&first) {
        part.problem(
            at,
            &format!("an axis cannot change `{first}`, which belongs to the whole file"),
        );
    }
}

/// Tells of the first label given twice; an axis may have thousands.
fn check_labels(part: &Part<'_>, alternatives: &[Alternative]) {
    let mut seen = BTreeSet::new();
    let twice = alternatives.iter().find(|one| !seen.insert(&one.label));
    if let Some(alternative) = twice {
        let message = format!("two alternatives have the label \"{}\"", alternative.label);
        part.problem_at(alternative.place, &message);
    }
}

fn list<'a>(part: &Part<'a>, key: &str) -> Option<&'a [Node]> {
    part.may_be(key, || Form::List);
    match &part.node(key)?.value {
        Value::List(items) => Some(items),
        _ => {
            part.problem(key, "a list in square brackets is wanted");
            None
        }
    }
}

/// A copy that remembers which alternative it belongs to.
fn placed(node: &Node, alternative: (usize, usize)) -> Node {
    let mut copy = node.clone();
    mark(&mut copy, alternative);
    copy
}

fn mark(node: &mut Node, alternative: (usize, usize)) {
    node.place.alternative = Some(alternative);
    match &mut node.value {
        Value::List(items) => items.iter_mut().for_each(|item| mark(item, alternative)),
        Value::Table(entries) => {
            entries
                .iter_mut()
                .for_each(|entry| mark(&mut entry.node, alternative));
        }
        _ => {}
    }
}

fn plain(value: &Value) -> String {
    match value {
        Value::Text(text) => text.clone(),
        other => other.written(),
    }
}

/// Sets the value at the end of a key path.
fn set(target: &mut Node, steps: &[&str], new: &Node) -> Result<(), String> {
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
            entries.push(crate::document::Entry {
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
        // A text may stand for a table, as a constant does for a schedule.
        _ if rest.is_empty() && matches!(new.value, Value::Table(_)) => {
            *target = new.clone();
            Ok(())
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

#[cfg(test)]
mod tests {
    use std::cell::RefCell;

    use super::*;
    use crate::document::{Findings, parse};

    fn read_text(text: &str) -> (Node, Vec<Axis>, Findings) {
        let document = parse(text).expect("valid TOML");
        let findings = RefCell::new(Findings::default());
        let axes = read(&Part::root(&document, &findings));
        (document, axes, findings.into_inner())
    }

    const TWO_AXES: &str = r#"
[cover]
roof = "a"
[[heater]]
fuel = "x"
[[axis]]
name = "roof"
key = "cover.roof"
values = ["a", "b", "c"]
[[axis]]
name = "fuel"
[[axis.alternative]]
label = "one"
set = { "heater.1.fuel" = "x" }
[[axis.alternative]]
label = "two"
set.heater.1.fuel = "y"
set.hold.temp = "40 degF"
"#;

    #[test]
    fn cases_are_the_product_with_the_last_axis_fastest() {
        let (_, axes, findings) = read_text(TWO_AXES);
        assert_eq!(findings.problems, []);
        assert_eq!(case_count(&axes), Some(6));
        let choices: Vec<_> = (0..6).map(|case| choice(&axes, case)).collect();
        assert_eq!(choices[0], [0, 0]);
        assert_eq!(choices[1], [0, 1]);
        assert_eq!(choices[5], [2, 1]);
    }

    #[test]
    fn alternatives_set_values_in_tables_and_lists() {
        let (document, axes, _) = read_text(TWO_AXES);
        let case = chosen(&document, &axes, &[2, 1]).expect("keys exist");
        let text = format!("{case:?}");
        assert!(text.contains("Text(\"c\")") && text.contains("Text(\"y\")"));
        assert!(text.contains("40 degF"));
        assert!(text.contains("alternative: Some((1, 1))"));
    }

    #[test]
    fn mistakes_in_axes_are_named() {
        let cases = [
            ("[[axis]]\nkey = \"a\"\nvalues = [1]", "name for the axis"),
            (
                "[[axis]]\nname = \"a\"\nkey = \"a\"\nvalues = []",
                "at least one value",
            ),
            (
                "[[axis]]\nname = \"a\"\nkey = \"a\"\nvalues = [1, 1]",
                "have the label \"1\"",
            ),
            (
                "[[axis]]\nname = \"a\"\nkey = \"title\"\nvalues = [1]",
                "whole file",
            ),
            (
                "[[axis]]\nname = \"a\"\nkey = \"b\"\nvalues = [1]\nlabels = []",
                "1 labels are wanted",
            ),
            (
                "[[axis]]\nname=\"a\"\nkey=\"b\"\nvalues=[1]\n[[axis]]\nname=\"a\"\nkey=\"b\"\nvalues=[1]",
                "two axes have this name",
            ),
            (
                "[[axis]]\nname=\"a\"\nkey=\"b.c\"\nvalues=[1]\n[[axis]]\nname=\"d\"\nkey=\"b.c\"\nvalues=[2]",
                "axis \"a\" (line 1) and axis \"d\" (line 5) both set it",
            ),
            (
                "[[axis]]\nname=\"a\"\nkey=\"b.1.c\"\nvalues=[1]\n[[axis]]\nname=\"d\"\nkey=\"b\"\nvalues=[[]]",
                "sets `b.1.c` and axis \"d\" (line 5) sets `b`, which holds it",
            ),
        ];
        for (text, wanted) in cases {
            let (_, _, findings) = read_text(text);
            let all: Vec<_> = findings.problems.iter().map(ToString::to_string).collect();
            assert!(
                all.iter().any(|message| message.contains(wanted)),
                "{text}: {all:?}"
            );
        }
    }

    #[test]
    fn a_list_item_that_is_not_there_is_named() {
        let text =
            "[[heater]]\nfuel=\"x\"\n[[axis]]\nname=\"a\"\nkey=\"heater.2.fuel\"\nvalues=[\"y\"]";
        let (document, axes, _) = read_text(text);
        let problems = chosen(&document, &axes, &[0]).expect_err("only one heater");
        assert!(problems[0].2.contains("items are 1 to 1"), "{problems:?}");
        assert_eq!(problems[0].0.line, 6);
    }

    #[test]
    fn too_many_cases_are_counted_without_overflow() {
        let axis = Axis {
            name: String::new(),
            place: Place::default(),
            alternatives: vec![
                Alternative {
                    label: String::new(),
                    place: Place::default(),
                    changes: Vec::new()
                };
                2
            ],
        };
        assert_eq!(case_count(&vec![axis; 100]), None);
    }
}

//! Axes of a scenario: lists of alternatives whose product gives the cases.
//!
//! An alternative sets one or several keys of the scenario. An axis lists the values of one key, has
//! them as a range of numbers or as weather files, or lists alternatives that change several keys.

mod files;
mod overlap;
pub(crate) mod put;
pub(crate) mod rules;
mod stepped;

use std::collections::BTreeSet;
use std::path::Path;

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
pub(crate) const WHOLE_FILE: [&str; 8] = [
    "axis", "include", "exclude", "compare", "sampling", "title", "seed", "tables",
];

/// Reads the axes of a scenario; weather files are looked for beside it, in `folder`.
pub(crate) fn read(root: &Part<'_>, folder: &Path) -> Vec<Axis> {
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
        let alternatives = read_alternatives(&part, index, folder);
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
            if let Err(message) = put::set(&mut case, &steps, node) {
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
pub(crate) fn choice(axes: &[Axis], case: usize) -> Vec<usize> {
    choice_among(axes.iter().map(|axis| axis.alternatives.len()), case)
}

/// As [`choice`], for axes of which only the number of alternatives is known.
pub(crate) fn choice_among(
    counts: impl DoubleEndedIterator<Item = usize>,
    mut case: usize,
) -> Vec<usize> {
    let last_first = counts.rev().map(|count| {
        let count = count.max(1);
        let at = case % count;
        case /= count;
        at
    });
    let mut choice: Vec<usize> = last_first.collect();
    choice.reverse();
    choice
}

/// The ways to say what an axis holds.
const WAYS: [&str; 4] = ["values", "range", "files", "alternative"];

fn read_alternatives(part: &Part<'_>, axis: usize, folder: &Path) -> Vec<Alternative> {
    let ways: Vec<_> = WAYS.into_iter().filter(|way| part.has(way)).collect();
    if let [_, second, ..] = ways.as_slice() {
        part.problem(
            second,
            "an axis has one of `values`, `range` and `files`, or [[axis.alternative]]",
        );
    }
    match ways.first() {
        Some(&"alternative") => {
            if part.has("key") {
                part.problem("key", "the keys of [[axis.alternative]] stand in its `set`");
            }
            let read_one = |(index, one): (usize, Part<'_>)| read_long(one, (axis, index));
            let alternatives = part.parts("alternative").into_iter().enumerate();
            alternatives.map(read_one).collect()
        }
        Some(&"range") => read_range(part, axis),
        Some(&"files") => files::read(part, axis, folder),
        _ => read_short(part, axis),
    }
}

/// The key that an axis changes.
fn read_key<'a>(part: &Part<'a>) -> &'a str {
    if !part.has("key") {
        part.missing("key", "the key the axis changes, such as \"cover.roof\"");
    }
    let key = part.text("key").unwrap_or_default();
    check_key(part, "key", key);
    key
}

/// `key = "cover.roof"` with `values = [...]`, and `labels = [...]` if wanted.
fn read_short(part: &Part<'_>, axis: usize) -> Vec<Alternative> {
    let key = read_key(part);
    let values = list(part, "values").unwrap_or_default();
    if values.is_empty() {
        part.problem("values", "an axis needs at least one value");
    }
    let labels = read_labels(part, values.len());
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

/// `key = "hold.temp"` with `range = {...}`, and `labels = [...]` if wanted.
fn read_range(part: &Part<'_>, axis: usize) -> Vec<Alternative> {
    let key = read_key(part);
    let values = stepped::read(&part.part("range"));
    let labels = read_labels(part, values.len());
    let place = part.place_of("range");
    let alternative = |(index, value): (usize, String)| {
        let label = labels.and_then(|labels| labels.get(index));
        Alternative {
            label: label.map_or_else(|| value.clone(), |label| plain(&label.value)),
            place,
            changes: vec![(key.to_owned(), text_node(value, place, (axis, index)))],
        }
    };
    values.into_iter().enumerate().map(alternative).collect()
}

/// Labels in place of the values, one for each.
fn read_labels<'a>(part: &Part<'a>, values: usize) -> Option<&'a [Node]> {
    let labels = list(part, "labels")?;
    if labels.len() != values {
        let message = format!("{values} labels are wanted, one for each value");
        part.problem("labels", &message);
    }
    Some(labels)
}

/// A text that an alternative brings.
fn text_node(text: String, place: Place, alternative: (usize, usize)) -> Node {
    Node {
        value: Value::Text(text),
        place: Place {
            alternative: Some(alternative),
            ..place
        },
    }
}

/// A copy that remembers which alternative it belongs to.
fn placed(node: &Node, alternative: (usize, usize)) -> Node {
    put::marked(node, &|place| Place {
        alternative: Some(alternative),
        ..place
    })
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

/// Refuses keys that belong to the whole file.
pub(crate) fn check_key(part: &Part<'_>, at: &str, key: &str) {
    let first = key.split('.').next().unwrap_or_default();
    if WHOLE_FILE.contains(&first) {
        part.problem(
            at,
            &format!("a case cannot change `{first}`, which belongs to the whole file"),
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

fn plain(value: &Value) -> String {
    match value {
        Value::Text(text) => text.clone(),
        other => other.written(),
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
        let axes = read(&Part::root(&document, &findings), Path::new(""));
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

//! What a scenario asks to be compared: `[compare]`.

use super::plan::{PlannedAxis, RankingPlan};
use crate::axes::{Alternative, Axis};
use crate::document::{Form, Part, not_among};

/// The key of a weather file.
const WEATHER_FILE: &str = "weather.file";

/// Reads `[compare]`: which axes make a design, and which design the others are compared with.
///
/// Without it, alternatives of every axis that sets nothing of the weather are designs, and the first
/// combination is the one that others are compared with. `kept` has the combinations that rules keep.
pub(crate) fn read(root: &Part<'_>, axes: &[Axis], kept: Option<&[usize]>) -> RankingPlan {
    let part = root.part("compare");
    if root.has("compare") && axes.is_empty() {
        root.problem(
            "compare",
            "there are no designs to compare without [[axis]]",
        );
        part.know_all();
    }
    let designs = designs(&part, axes);
    let planned = |(at, axis): (usize, &Axis)| PlannedAxis {
        name: axis.name.clone(),
        labels: axis
            .alternatives
            .iter()
            .map(|one| one.label.clone())
            .collect(),
        is_design: match &designs {
            Some(designs) => designs.contains(&at),
            None => !axis.alternatives.iter().any(sets_weather),
        },
        is_weather_file: !axis.alternatives.is_empty()
            && axis.alternatives.iter().all(is_weather_file),
    };
    let mut plan = RankingPlan {
        axes: axes.iter().enumerate().map(planned).collect(),
        kept: kept.map(<[usize]>::to_vec),
        ..RankingPlan::default()
    };
    let first = plan.choices().next();
    plan.baseline = first.unwrap_or_else(|| vec![0; axes.len()]);
    against(&part, &mut plan);
    part.finish();
    plan
}

fn sets_weather(alternative: &Alternative) -> bool {
    let is_weather = |key: &str| key == "weather" || key.starts_with("weather.");
    alternative.changes.iter().any(|(key, _)| is_weather(key))
}

fn is_weather_file(alternative: &Alternative) -> bool {
    let mut keys = alternative
        .changes
        .iter()
        .map(|(key, _)| key == WEATHER_FILE);
    !alternative.changes.is_empty() && keys.all(|is_file| is_file)
}

/// The axes that the file names, if it does.
fn designs(part: &Part<'_>, axes: &[Axis]) -> Option<Vec<usize>> {
    part.may_be("designs", || Form::Listed(Box::new(Form::Text)));
    part.may_be("designs", || Form::Text);
    let mut designs = Vec::new();
    for (node, name) in part.texts("designs")? {
        match axes.iter().position(|axis| axis.name == name) {
            Some(at) if designs.contains(&at) => {
                part.refuse("designs", node, "this axis is named twice");
            }
            Some(at) => designs.push(at),
            None => {
                let names = axes.iter().map(|axis| axis.name.as_str());
                let message = format!("no axis has this name: {}", not_among(name, names));
                part.refuse("designs", node, &message);
            }
        }
    }
    Some(designs)
}

/// Sets the design that others are compared with, if the file names labels of it.
fn against(part: &Part<'_>, plan: &mut RankingPlan) {
    part.may_be("against", || Form::Listed(Box::new(Form::Text)));
    part.may_be("against", || Form::Text);
    let Some(labels) = part.texts("against") else {
        return;
    };
    let in_order = labels.len() == plan.axes.iter().filter(|axis| axis.is_design).count();
    let mut taken = vec![false; plan.axes.len()];
    let mut are_found = true;
    for (at, (node, label)) in labels.iter().enumerate() {
        let place = if in_order { Some(at) } else { None };
        match found(plan, label, place, &taken) {
            Ok((axis, alternative)) => {
                taken[axis] = true;
                plan.baseline[axis] = alternative;
            }
            Err(message) => {
                part.refuse("against", node, &message);
                are_found = false;
            }
        }
    }
    // Without any combination something else is wrong, and told.
    if are_found && plan.cases() > 0 && !plan.has_baseline() {
        part.problem("against", "the rules leave this combination out");
    }
}

/// Axis and alternative of a label: on the axis of designs in that place or, if it has no such label,
/// on the only one that has it.
fn found(
    plan: &RankingPlan,
    label: &str,
    place: Option<usize>,
    taken: &[bool],
) -> Result<(usize, usize), String> {
    let on_axis = |(at, axis): (usize, &PlannedAxis)| {
        let alternative = axis.labels.iter().position(|one| one == label)?;
        (!taken[at]).then_some((at, alternative))
    };
    let designs = || {
        plan.axes
            .iter()
            .enumerate()
            .filter(|(_, axis)| axis.is_design)
    };
    if let Some(found) = place
        .and_then(|place| designs().nth(place))
        .and_then(on_axis)
    {
        return Ok(found);
    }
    let all: Vec<(usize, usize)> = designs().filter_map(on_axis).collect();
    match all.as_slice() {
        [only] => Ok(*only),
        [] => {
            let free = designs().filter(|(at, _)| !taken[*at]);
            let labels = free.flat_map(|(_, axis)| axis.labels.iter().map(String::as_str));
            Err(format!(
                "no design has this label, or its axis has one already: {}",
                not_among(label, labels)
            ))
        }
        several => {
            let names: Vec<String> = several
                .iter()
                .map(|(at, _)| format!("\"{}\"", plan.axes[*at].name))
                .collect();
            Err(format!(
                "the axes {} have this label: give one label for each axis of designs, in the order \
                 of the axes",
                names.join(" and ")
            ))
        }
    }
}

#[cfg(test)]
mod tests {
    use std::cell::RefCell;
    use std::path::Path;

    use super::*;
    use crate::axes;
    use crate::document::{Findings, parse};

    const AXES: &str = r#"
[[axis]]
name = "cover"
key = "cover.roof"
values = ["single", "pair", "high"]
[[axis]]
name = "hold"
key = "hold.temp"
values = ["40 degF", "50 degF"]
labels = ["low", "high"]
[[axis]]
name = "climate"
key = "weather.file"
values = ["north.csv", "south.csv"]
"#;

    fn plan(text: &str, kept: Option<&[usize]>) -> Result<RankingPlan, String> {
        let document = parse(text).expect("valid TOML");
        let findings = RefCell::new(Findings::default());
        let root = Part::root(&document, &findings);
        let axes = axes::read(&root, Path::new(""));
        let plan = read(&root, &axes, kept);
        match findings.into_inner().problems.first() {
            None => Ok(plan),
            Some(problem) => Err(format!("line {}: {problem}", problem.line)),
        }
    }

    fn asked(compare: &str) -> Result<RankingPlan, String> {
        plan(&format!("{AXES}[compare]\n{compare}"), None)
    }

    #[test]
    fn axes_of_weather_are_settings_unless_asked_for() {
        let roles = |plan: RankingPlan| plan.axes.iter().map(|axis| axis.is_design).collect();
        let found: Vec<bool> = roles(plan(AXES, None).expect("read"));
        assert_eq!(found, [true, true, false]);
        let found: Vec<bool> = roles(asked("designs = \"climate\"").expect("read"));
        assert_eq!(found, [false, false, true]);
        let files = plan(AXES, None).expect("read").axes;
        let files: Vec<bool> = files.iter().map(|axis| axis.is_weather_file).collect();
        assert_eq!(files, [false, false, true]);
    }

    #[test]
    fn the_baseline_is_the_first_combination_or_the_labels_given() {
        let baseline =
            |plan: Result<RankingPlan, String>| plan.expect("read").baseline[..2].to_vec();
        assert_eq!(baseline(plan(AXES, None)), [0, 0]);
        assert_eq!(baseline(plan(AXES, Some(&[6, 7]))), [1, 1]);
        assert_eq!(baseline(asked("against = \"pair\"")), [1, 0]);
        assert_eq!(baseline(asked("against = [\"low\", \"pair\"]")), [1, 0]);
        assert_eq!(baseline(asked("against = [\"high\", \"high\"]")), [2, 1]);
    }

    #[test]
    fn mistakes_are_named_with_their_line() {
        for (compare, wanted) in [
            ("designs = [\"covr\"]", "no axis has this name"),
            ("designs = [\"cover\", \"cover\"]", "named twice"),
            ("designs = []", "at least one entry"),
            ("against = \"glass\"", "no design has this label"),
            ("against = \"north.csv\"", "no design has this label"),
            (
                "against = \"high\"",
                "\"cover\" and \"hold\" have this label",
            ),
            ("against = 4", "a text in quotes"),
            ("agianst = \"pair\"", "agianst"),
        ] {
            let message = asked(compare).expect_err(compare);
            assert!(message.contains(wanted), "{compare}: {message}");
            assert!(message.contains("line 16"), "{compare}: {message}");
        }
        let left_out = plan(
            &format!("{AXES}[compare]\nagainst = \"pair\""),
            Some(&[0, 1]),
        );
        let message = left_out.expect_err("left out");
        assert!(message.contains("leave this combination out"), "{message}");
        let no_other_mistake = plan(&format!("{AXES}[compare]\nagainst = \"pair\""), Some(&[]));
        assert!(no_other_mistake.is_ok(), "{no_other_mistake:?}");
        let message = plan("[compare]\n", None).expect_err("no axes");
        assert!(message.contains("without [[axis]]"), "{message}");
    }
}

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
    if are_found && !plan.has_baseline() {
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

//! A range of numbers: `{ from = "38 degF", to = "50 degF", step = "4 degF" }`, or `count = 4` in
//! place of `step`. Both ends are in it.

use overwinter_units::range;

use crate::document::{Amount, Part};

/// The values of a range as texts with the unit of its ends; none after a problem.
pub(super) fn read(part: &Part<'_>) -> Vec<String> {
    let from = part.required_amount("from", "the first value");
    let to = part.required_amount("to", "the last value");
    let step = part.amount("step");
    let count = part
        .has("count")
        .then(|| part.count_or("count", &range::RANGE_COUNT, "2", "both ends"));
    part.finish();
    let ends = [("from", from.as_ref()), ("to", to.as_ref())];
    let all = [ends[0], ends[1], ("step", step.as_ref())];
    let Some(unit) = part.one_unit(&all) else {
        return Vec::new();
    };
    let (Some(from), Some(to)) = (from, to) else {
        return Vec::new();
    };
    let (from, to) = (from.number, to.number);
    if from >= to {
        part.problem("to", "`to` has to lie above `from`");
        return Vec::new();
    }
    let steps = match (part.has("step"), count) {
        (true, None) => step.and_then(|step| whole_steps(part, &unit, (from, to), step.number)),
        (false, Some(count)) => Some(count.saturating_sub(1)),
        _ => {
            part.problem("", "a range has one of `step` and `count`");
            None
        }
    };
    let value = |index: u32, steps: u32| {
        let share = f64::from(index) / f64::from(steps);
        unit.written(from + (to - from) * share)
    };
    steps.map_or_else(Vec::new, |steps| {
        (0..=steps).map(|index| value(index, steps)).collect()
    })
}

/// Number of steps from end to end; a problem where they miss the last value.
fn whole_steps(part: &Part<'_>, unit: &Amount, (from, to): (f64, f64), step: f64) -> Option<u32> {
    let steps = (to - from) / step;
    let most = range::RANGE_COUNT.max - 1.0;
    if !(step > 0.0 && steps <= most) {
        let message = format!("a step above 0 is wanted, and at most {most} of them");
        part.problem("step", &message);
        return None;
    }
    // A hair of slack lets 0.1 go into 1.
    if (steps - steps.round()).abs() > 1e-6 || steps < 0.5 {
        let [below, above] =
            [steps.floor(), steps.floor() + 1.0].map(|steps| unit.written(from + steps * step));
        let message = format!(
            "steps of {} from {} come to {below} and then {above}, not to {}",
            unit.written(step),
            unit.written(from),
            unit.written(to)
        );
        part.problem("step", &message);
        return None;
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 1 and the most values of a range"
    )]
    let steps = steps.round() as u32;
    Some(steps)
}

#[cfg(test)]
mod tests {
    use std::cell::RefCell;

    use super::*;
    use crate::document::{Findings, parse};

    fn values(text: &str) -> Result<Vec<String>, String> {
        let document = parse(text).expect("valid TOML");
        let findings = RefCell::new(Findings::default());
        let values = read(&Part::root(&document, &findings));
        match findings.into_inner().problems.first() {
            None => Ok(values),
            Some(problem) => Err(problem.to_string()),
        }
    }

    #[test]
    fn both_ends_are_in_a_range() {
        for (text, wanted) in [
            (
                "from = \"38 degF\"\nto = \"50 degF\"\nstep = \"4 degF\"",
                vec!["38 degF", "42 degF", "46 degF", "50 degF"],
            ),
            (
                "from = \"38 degF\"\nto = \"50 degF\"\ncount = 3",
                vec!["38 degF", "44 degF", "50 degF"],
            ),
            (
                "from = \"-0.1 K\"\nto = \"0.2 K\"\nstep = \"0.1 K\"",
                vec!["-0.1 K", "0 K", "0.1 K", "0.2 K"],
            ),
            ("from = 1\nto = 2\ncount = 2", vec!["1", "2"]),
            (
                "from = \"R 5\"\nto = \"R 15\"\nstep = \"R 5\"",
                vec!["R 5", "R 10", "R 15"],
            ),
        ] {
            let wanted: Vec<String> = wanted.into_iter().map(String::from).collect();
            assert_eq!(values(text), Ok(wanted), "{text}");
        }
        let thousand = values("from = 0\nto = 1\nstep = 0.001").expect("a range");
        assert_eq!(thousand.len(), 1001);
        assert_eq!(thousand[7], "0.007");
    }

    #[test]
    fn a_range_that_cannot_be_is_told() {
        let ends = "from = \"38 degF\"\nto = \"50 degF\"\n";
        for (text, wanted) in [
            (
                "to = \"5 m\"\ncount = 2".to_owned(),
                "missing: give the first value",
            ),
            (
                "from = \"5 m\"\ncount = 2".to_owned(),
                "missing: give the last value",
            ),
            (ends.to_owned(), "one of `step` and `count`"),
            (
                format!("{ends}step = \"4 degF\"\ncount = 4"),
                "one of `step` and `count`",
            ),
            (
                format!("{ends}step = \"5 degF\""),
                "steps of 5 degF from 38 degF come to 48 degF and then 53 degF, not to 50 degF",
            ),
            (
                format!("{ends}step = \"30 degF\""),
                "come to 38 degF and then 68 degF",
            ),
            (format!("{ends}step = \"0 degF\""), "a step above 0"),
            (format!("{ends}step = \"-4 degF\""), "a step above 0"),
            (
                format!("{ends}step = \"1e-9 degF\""),
                "at most 9999 of them",
            ),
            (
                format!("{ends}step = \"2 K\""),
                "in one unit, here \"degF\" and \"K\"",
            ),
            (
                format!("{ends}count = 1"),
                "outside the range of number of values",
            ),
            (format!("{ends}count = 2.5"), "whole number"),
            (
                format!("{ends}count = 1e9"),
                "outside the range of number of values",
            ),
            (
                format!("{ends}steps = 2"),
                "unknown key; did you mean `step`?",
            ),
            ("from = 2\nto = 2\ncount = 2".to_owned(), "above `from`"),
            (
                "from = \"cold\"\nto = 2\ncount = 2".to_owned(),
                "one number with its unit",
            ),
        ] {
            let message = values(&text).expect_err(&text);
            assert!(message.contains(wanted), "{text}: {message}");
        }
    }
}

//! Quantities that follow the clock and the calendar.
//!
//! A value is one quantity, or a table: `day` lists the changes of a day (`"06:00 65 degF"`), `ramp`
//! lets each change take some hours, and `period` entries override the day between two dates. Times
//! and ramps are full hours in local standard time, because steps fall on hours.

use std::collections::BTreeMap;
use std::sync::Arc;

use overwinter_engine::control::Setting;
use overwinter_units::{Range, range};
use overwinter_weather::year::HOURS;

use super::context::Context;
use crate::document::{Form, Node, Part, Value};

/// Schedules by how they are written, so that many cases share one.
#[derive(Debug, Default)]
pub(crate) struct Schedules(BTreeMap<String, Arc<[[f64; 2]]>>);

/// Value at the start and end of each hour of a day.
type Day = [[f64; 2]; 24];

const MONTHS: [(&str, usize); 12] = [
    ("Jan", 31),
    ("Feb", 28),
    ("Mar", 31),
    ("Apr", 30),
    ("May", 31),
    ("Jun", 30),
    ("Jul", 31),
    ("Aug", 31),
    ("Sep", 30),
    ("Oct", 31),
    ("Nov", 30),
    ("Dec", 31),
];

/// A setting, if the file has the key and it can be read.
pub(crate) fn setting(
    context: &Context<'_>,
    part: &Part<'_>,
    key: &str,
    range: &Range,
) -> Option<Setting> {
    part.may_be(key, || Form::Quantity(*range));
    let node = part.node(key)?;
    if !matches!(node.value, Value::Table(_)) {
        return part.quantity(key, range).map(Setting::Constant);
    }
    let written = format!("{} {:?}", range.wording, node.value);
    if let Some(known) = context.schedules.borrow().0.get(&written) {
        return Some(Setting::ByHour(Arc::clone(known)));
    }
    let hours: Arc<[[f64; 2]]> = year(part.part(key), range)?.into();
    context
        .schedules
        .borrow_mut()
        .0
        .insert(written, Arc::clone(&hours));
    part.findings()
        .borrow_mut()
        .given(part.path_of(key), "schedule".to_owned(), node.place.line);
    Some(Setting::ByHour(hours))
}

/// Least and greatest value of a setting.
pub(crate) fn bounds(setting: &Setting) -> (f64, f64) {
    match setting {
        Setting::Constant(value) => (*value, *value),
        Setting::ByHour(hours) => hours
            .iter()
            .flatten()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
                (low.min(*value), high.max(*value))
            }),
    }
}

fn year(part: Part<'_>, range: &Range) -> Option<Vec<[f64; 2]>> {
    let base = day(&part, range);
    let mut days = vec![base; HOURS / 24];
    let mut is_complete = base.is_some();
    for period in part.parts("period") {
        let (from, to) = (date(&period, "from"), date(&period, "to"));
        let pattern = day(&period, range);
        period.finish();
        let (Some(from), Some(to), Some(pattern)) = (from, to, pattern) else {
            is_complete = false;
            continue;
        };
        let count = (to + days.len() - from) % days.len() + 1;
        for offset in 0..count {
            let index = (from + offset) % days.len();
            days[index] = Some(pattern);
        }
    }
    part.finish();
    if !is_complete {
        return None;
    }
    Some(days.into_iter().flatten().flatten().collect())
}

/// The pattern of one day.
fn day(part: &Part<'_>, range: &Range) -> Option<Day> {
    let ramp_s = if part.has("ramp") {
        part.quantity("ramp", &range::RAMP)?
    } else {
        0.0
    };
    let ramp_h = full_hours(part, ramp_s / 3600.0)?;
    part.may_be("day", || Form::Quantity(*range));
    part.may_be("day", || Form::Changes(*range));
    let Some(node) = part.node("day") else {
        part.missing(
            "day",
            "one value, or changes such as [\"06:00 65 degF\", \"18:00 55 degF\"]",
        );
        return None;
    };
    let changes = match &node.value {
        Value::List(items) => {
            let read: Vec<_> = items.iter().map(|item| change(part, item, range)).collect();
            read.into_iter().collect::<Option<Vec<_>>>()?
        }
        _ => vec![(0, part.quantity("day", range)?)],
    };
    check_order(part, &changes, ramp_h)?;
    Some(pattern(&changes, ramp_h))
}

fn check_order(part: &Part<'_>, changes: &[(usize, f64)], ramp_h: usize) -> Option<()> {
    let Some((first, last)) = changes.first().zip(changes.last()) else {
        part.problem("day", "at least one change is wanted");
        return None;
    };
    let mut next = changes
        .iter()
        .skip(1)
        .map(|change| change.0)
        .collect::<Vec<_>>();
    next.push(first.0 + 24);
    for (change, next) in changes.iter().zip(next) {
        if next <= change.0 || (changes.len() > 1 && change.0 + ramp_h > next) {
            let at = change.0;
            let message = format!(
                "the change at {at:02}:00 with its ramp of {ramp_h} h must end before the next one; \
                 write the times in order"
            );
            part.problem("day", &message);
            return None;
        }
    }
    debug_assert!(last.0 < 24, "times were checked when they were read");
    Some(())
}

/// Fills a day: each change starts at its hour and takes `ramp_h` hours from the value before.
fn pattern(changes: &[(usize, f64)], ramp_h: usize) -> Day {
    let mut day = [[0.0; 2]; 24];
    for (index, (start, value)) in changes.iter().enumerate() {
        let before = changes[(index + changes.len() - 1) % changes.len()].1;
        let next = changes
            .get(index + 1)
            .map_or(changes[0].0 + 24, |change| change.0);
        for (offset, hour) in (*start..next).enumerate() {
            day[hour % 24] = [offset, offset + 1].map(|hours| along(before, *value, hours, ramp_h));
        }
    }
    day
}

fn along(before: f64, after: f64, hours: usize, ramp_h: usize) -> f64 {
    if hours >= ramp_h {
        return after;
    }
    let share = hours as f64 / ramp_h as f64;
    before + (after - before) * share
}

/// `"06:00 65 degF"`.
fn change(part: &Part<'_>, node: &Node, range: &Range) -> Option<(usize, f64)> {
    let message =
        "a change is wanted, such as \"06:00 65 degF\", on a full hour from 00:00 to 23:00";
    let Value::Text(text) = &node.value else {
        part.problem_at(node.place, message);
        return None;
    };
    let parts = text.trim().split_once(' ').and_then(|(time, value)| {
        let (hour, minute) = time.split_once(':')?;
        let hour: usize = hour.parse().ok().filter(|hour| *hour < 24)?;
        (minute == "00").then_some((hour, value.trim()))
    });
    let Some((hour, value)) = parts else {
        part.problem_at(node.place, &format!("\"{text}\": {message}"));
        return None;
    };
    match range.parse(value) {
        Ok(value) => Some((hour, value)),
        Err(error) => {
            part.problem_at(node.place, &format!("\"{text}\": {error}"));
            None
        }
    }
}

fn full_hours(part: &Part<'_>, hours: f64) -> Option<usize> {
    if (hours - hours.round()).abs() > 1e-9 {
        part.problem("ramp", "a ramp takes full hours");
        return None;
    }
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the range of a ramp is 0 to 24 hours"
    )]
    Some(hours.round() as usize)
}

/// Day of the year, counted from 0, of `"Feb 15"` or `"15 Feb"`.
fn date(part: &Part<'_>, key: &str) -> Option<usize> {
    if !part.has(key) {
        part.missing(key, "a date such as \"Feb 15\"");
        return None;
    }
    let text = part.text(key)?;
    let Some((month, day)) = month_and_day(text) else {
        part.problem(key, "a date is wanted as month and day, such as \"Feb 15\"");
        return None;
    };
    let (name, length) = MONTHS[month];
    if !(1..=length).contains(&day) {
        part.problem(
            key,
            &format!("{name} has {length} days in a year of 8760 hours"),
        );
        return None;
    }
    let before: usize = MONTHS[..month].iter().map(|(_, length)| length).sum();
    Some(before + day - 1)
}

fn month_and_day(text: &str) -> Option<(usize, usize)> {
    let (first, second) = text.trim().split_once(' ')?;
    let month_of = |word: &str| {
        let short = word.get(..3)?;
        MONTHS
            .iter()
            .position(|(name, _)| name.eq_ignore_ascii_case(short))
    };
    let (month, day) = match month_of(first) {
        Some(month) => (month, second),
        None => (month_of(second.trim())?, first),
    };
    Some((month, day.trim().parse().ok()?))
}

#[cfg(test)]
mod tests {
    use std::cell::RefCell;

    use super::*;
    use crate::catalogue::catalogue;
    use crate::climate::UNKNOWN_CLIMATE;
    use crate::document::{Findings, parse};

    fn read(text: &str) -> (Option<Setting>, Vec<String>) {
        let document = parse(text).expect("valid TOML");
        let findings = RefCell::new(Findings::default());
        let schedules = RefCell::new(Schedules::default());
        let context = Context {
            catalogue: catalogue(),
            climate: UNKNOWN_CLIMATE,
            schedules: &schedules,
        };
        let root = Part::root(&document, &findings);
        let setting = setting(&context, &root, "temp", &range::SET_POINT);
        drop(root);
        let problems = findings.into_inner().problems;
        (setting, problems.iter().map(ToString::to_string).collect())
    }

    fn celsius(setting: &Setting, day: usize, hour: usize, share: f64) -> f64 {
        setting.at(day * 24 + hour, share) - 273.15
    }

    #[test]
    fn one_value_is_constant() {
        let (setting, problems) = read("temp = \"10 degC\"");
        assert_eq!(problems, Vec::<String>::new());
        let setting = setting.expect("readable");
        assert!(matches!(setting, Setting::Constant(_)));
        assert!((celsius(&setting, 0, 0, 0.0) - 10.0).abs() < 1e-9);
    }

    #[test]
    fn changes_step_on_their_hour_or_ramp_over_hours() {
        let text = "temp = { day = [\"06:00 20 degC\", \"18:00 10 degC\"], ramp = \"2 h\" }";
        let setting = read(text).0.expect("readable");
        let expected = [
            (5, 0.5, 10.0),
            (6, 0.0, 10.0),
            (6, 0.5, 12.5),
            (7, 1.0, 20.0),
            (12, 0.0, 20.0),
        ];
        for (hour, share, value) in expected {
            assert!(
                (celsius(&setting, 100, hour, share) - value).abs() < 1e-9,
                "{hour}"
            );
        }
        assert!((celsius(&setting, 100, 19, 1.0) - 10.0).abs() < 1e-9);
    }

    #[test]
    fn periods_may_pass_the_turn_of_the_year() {
        let text = "[temp]\nday = \"20 degC\"\n[[temp.period]]\nfrom = \"Dec 1\"\nto = \"28 February\"\n\
                    day = \"5 degC\"";
        let (setting, problems) = read(text);
        assert_eq!(problems, Vec::<String>::new());
        let setting = setting.expect("readable");
        for (day, value) in [
            (0, 5.0),
            (58, 5.0),
            (59, 20.0),
            (333, 20.0),
            (334, 5.0),
            (364, 5.0),
        ] {
            assert!(
                (celsius(&setting, day, 12, 0.0) - value).abs() < 1e-9,
                "day {day}"
            );
        }
    }

    #[test]
    fn mistakes_are_named() {
        let cases = [
            ("temp = { day = [\"6 20 degC\"] }", "\"6 20 degC\""),
            ("temp = { day = [\"06:30 20 degC\"] }", "full hour"),
            ("temp = { day = [\"06:00 20\"] }", "no unit"),
            (
                "temp = { day = [\"06:00 20 degC\", \"05:00 1 degC\"] }",
                "in order",
            ),
            (
                "temp = { day = [\"06:00 2 degC\", \"07:00 1 degC\"], ramp = \"3 h\" }",
                "ramp of 3 h",
            ),
            (
                "temp = { day = \"20 degC\", ramp = \"90 min\" }",
                "full hours",
            ),
            ("temp = { days = \"20 degC\" }", "did you mean `day`"),
            ("temp = { day = [] }", "at least one change"),
            (
                "temp = { day = \"1 degC\", period = [{ from = \"Feb 30\", to = \"May 1\", day = \"2 degC\" }] }",
                "Feb has 28 days",
            ),
            (
                "temp = { day = \"1 degC\", period = [{ from = \"soon\", to = \"May 1\", day = \"2 degC\" }] }",
                "\"Feb 15\"",
            ),
        ];
        for (text, wanted) in cases {
            let (setting, problems) = read(text);
            assert_eq!(setting, None, "{text}");
            assert!(
                problems.iter().any(|problem| problem.contains(wanted)),
                "{text}: {problems:?}"
            );
        }
    }
}

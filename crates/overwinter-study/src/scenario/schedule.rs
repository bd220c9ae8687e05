//! Quantities that follow the clock and the calendar.
//!
//! A value is one quantity, or a table: `day` lists the changes of a day (`"06:00 65 degF"`), `ramp`
//! lets each change take some hours, `"06:00 65 degF over 2 h"` that one alone, and `period` entries
//! override the day between two dates. What can be switched off has the word `off` in place of a
//! quantity. Times and ramps are full hours in local standard time, because steps fall on hours.

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

/// Most schedules that are kept: one takes 140 kB.
const MOST_KEPT: usize = 100;

impl Schedules {
    fn keep(&mut self, written: String, hours: &Arc<[[f64; 2]]>) {
        if self.0.len() >= MOST_KEPT {
            self.0.clear();
        }
        self.0.insert(written, Arc::clone(hours));
    }
}

/// Value at the start and end of each hour of a day.
type Day = [[f64; 2]; 24];

/// The word for what is switched off.
const OFF: &str = "off";
/// What stands between a value and the hours that its change takes.
const OVER: &str = " over ";

/// What a schedule is made of.
#[derive(Clone, Copy)]
struct Kind<'a> {
    range: &'a Range,
    /// The value that `off` stands for, where there is one.
    off: Option<f64>,
}

/// One change of a day.
struct Change {
    hour: usize,
    value: f64,
    ramp_h: usize,
}

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
    read_setting(context, part, key, Kind { range, off: None })
}

/// As [`setting`], of something that can be switched off; `off` is the value that never calls for
/// it.
pub(crate) fn setting_or_off(
    context: &Context<'_>,
    part: &Part<'_>,
    key: &str,
    range: &Range,
    off: f64,
) -> Option<Setting> {
    let off = Some(off);
    read_setting(context, part, key, Kind { range, off })
}

fn read_setting(
    context: &Context<'_>,
    part: &Part<'_>,
    key: &str,
    kind: Kind<'_>,
) -> Option<Setting> {
    let range = kind.range;
    part.may_be(key, || Form::Quantity(*range));
    let node = part.node(key)?;
    if !matches!(node.value, Value::Table(_)) {
        return part.quantity(key, range).map(Setting::Constant);
    }
    let written = format!("{} {:?} {:?}", range.wording, kind.off, node.value);
    let known = context.schedules().0.get(&written).map(Arc::clone);
    let hours = match known {
        Some(hours) => hours,
        None => {
            let hours: Arc<[[f64; 2]]> = year(part.part(key), kind)?.into();
            context.schedules().keep(written, &hours);
            hours
        }
    };
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

/// Number of hours of the year in the middle of which two settings stand to each other as `holds` says.
pub(crate) fn hours_in_which(
    one: &Setting,
    other: &Setting,
    holds: impl Fn(f64, f64) -> bool,
) -> usize {
    if let (Setting::Constant(one), Setting::Constant(other)) = (one, other) {
        return if holds(*one, *other) { HOURS } else { 0 };
    }
    let holds = |hour: &usize| holds(one.at(*hour, 0.5), other.at(*hour, 0.5));
    (0..HOURS).filter(holds).count()
}

fn year(part: Part<'_>, kind: Kind<'_>) -> Option<Vec<[f64; 2]>> {
    let base = day(&part, kind);
    let mut days = vec![base; HOURS / 24];
    let mut is_complete = base.is_some();
    for period in part.parts("period") {
        let (from, to) = (date(&period, "from"), date(&period, "to"));
        let pattern = day(&period, kind);
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
fn day(part: &Part<'_>, kind: Kind<'_>) -> Option<Day> {
    let ramp_h = if part.has("ramp") {
        full_hours(part.quantity("ramp", &range::RAMP)?).or_else(|| {
            part.problem("ramp", FULL_HOURS);
            None
        })?
    } else {
        0
    };
    part.may_be("day", || Form::Quantity(*kind.range));
    if kind.off.is_some() {
        part.may_be("day", || Form::ChangesOrOff(*kind.range));
        part.may_be("day", || Form::Words(vec![OFF.to_owned()]));
    } else {
        part.may_be("day", || Form::Changes(*kind.range));
    }
    let Some(node) = part.node("day") else {
        part.missing(
            "day",
            "one value, or changes such as [\"06:00 65 degF\", \"18:00 55 degF\"]",
        );
        return None;
    };
    let changes = match (&node.value, kind.off) {
        (Value::List(items), _) => {
            let read = |item| change(part, item, kind, ramp_h);
            let read: Vec<_> = items.iter().map(read).collect();
            read.into_iter().collect::<Option<Vec<_>>>()?
        }
        (Value::Text(text), Some(off)) if text.trim() == OFF => vec![Change::all_day(off)],
        _ => vec![Change::all_day(part.quantity("day", kind.range)?)],
    };
    check_order(part, &changes)?;
    check_ramps(part, &changes, kind)?;
    Some(pattern(&changes))
}

impl Change {
    fn all_day(value: f64) -> Self {
        Self {
            hour: 0,
            value,
            ramp_h: 0,
        }
    }
}

fn check_order(part: &Part<'_>, changes: &[Change]) -> Option<()> {
    let Some((first, last)) = changes.first().zip(changes.last()) else {
        part.problem("day", "at least one change is wanted");
        return None;
    };
    let nexts = changes.iter().skip(1).map(|change| change.hour);
    for (change, next) in changes.iter().zip(nexts.chain([first.hour + 24])) {
        let ramp_h = change.ramp_h;
        if next <= change.hour || (changes.len() > 1 && change.hour + ramp_h > next) {
            let at = change.hour;
            let message = format!(
                "the change at {at:02}:00 with its ramp of {ramp_h} h must end before the next one; \
                 write the times in order"
            );
            part.problem("day", &message);
            return None;
        }
    }
    debug_assert!(last.hour < 24, "times were checked when they were read");
    Some(())
}

/// Refuses a ramp that would have to start or end at `off`.
fn check_ramps(part: &Part<'_>, changes: &[Change], kind: Kind<'_>) -> Option<()> {
    let Some(off) = kind.off else {
        return Some(());
    };
    let is_off = |value: f64| value.to_bits() == off.to_bits();
    for (index, change) in changes.iter().enumerate() {
        if change.ramp_h > 0 && is_off(before(changes, index)) != is_off(change.value) {
            let at = change.hour;
            let message = format!(
                "the change at {at:02}:00 takes {} h, but nothing can rise or fall from or to off: \
                 make it a step (\"over 0 h\")",
                change.ramp_h
            );
            part.problem("day", &message);
            return None;
        }
    }
    Some(())
}

/// The value that holds when a change begins.
fn before(changes: &[Change], index: usize) -> f64 {
    changes[(index + changes.len() - 1) % changes.len()].value
}

/// Fills a day: each change starts at its hour and takes its ramp from the value before.
fn pattern(changes: &[Change]) -> Day {
    let mut day = [[0.0; 2]; 24];
    for (index, change) in changes.iter().enumerate() {
        let before = before(changes, index);
        let next = changes
            .get(index + 1)
            .map_or(changes[0].hour + 24, |change| change.hour);
        for (offset, hour) in (change.hour..next).enumerate() {
            day[hour % 24] =
                [offset, offset + 1].map(|hours| along(before, change.value, hours, change.ramp_h));
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

/// `"06:00 65 degF"`, `"06:00 65 degF over 2 h"`, or `"06:00 off"`.
fn change(part: &Part<'_>, node: &Node, kind: Kind<'_>, usual_ramp_h: usize) -> Option<Change> {
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
    let read = value_over(value, kind, usual_ramp_h).map(|(value, ramp_h)| Change {
        hour,
        value,
        ramp_h,
    });
    if let Err(error) = &read {
        part.problem_at(node.place, &format!("\"{text}\": {error}"));
    }
    read.ok()
}

/// The value of a change and the hours it takes.
fn value_over(text: &str, kind: Kind<'_>, usual_ramp_h: usize) -> Result<(f64, usize), String> {
    let (value, over) = match text.split_once(OVER) {
        Some((value, over)) => (value.trim(), Some(over.trim())),
        None => (text, None),
    };
    let ramp_h = match over {
        None => usual_ramp_h,
        Some(over) => {
            let seconds = range::RAMP.parse(over).map_err(|error| error.to_string())?;
            full_hours(seconds).ok_or(FULL_HOURS)?
        }
    };
    let value = match kind.off {
        Some(off) if value == OFF => off,
        _ => kind.range.parse(value).map_err(|error| error.to_string())?,
    };
    Ok((value, ramp_h))
}

const FULL_HOURS: &str = "a ramp takes full hours";

fn full_hours(seconds: f64) -> Option<usize> {
    let hours = seconds / 3600.0;
    if (hours - hours.round()).abs() > 1e-9 {
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
    let day = day_of_year(part.text(key)?);
    if let Err(message) = &day {
        part.problem(key, message);
    }
    day.ok()
}

/// Day of the year, counted from 0, of `"Feb 15"` or `"15 Feb"`, or what would be right.
pub(crate) fn day_of_year(text: &str) -> Result<usize, String> {
    let (month, day) =
        month_and_day(text).ok_or("a date is wanted as month and day, such as \"Feb 15\"")?;
    let (name, length) = MONTHS[month];
    if !(1..=length).contains(&day) {
        return Err(format!("{name} has {length} days in a year of 8760 hours"));
    }
    let before: usize = MONTHS[..month].iter().map(|(_, length)| length).sum();
    Ok(before + day - 1)
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
mod tests;

//! When events begin and how long they last: dates with hours, nights by their cold, lengths.

use overwinter_units::range;
use overwinter_weather::year::HOURS;

use crate::climate::NightLows;
use crate::document::{Form, Part};
use crate::scenario::schedule::day_of_year;

/// Steps that events fall on.
const STEP_MIN: f64 = 5.0;
const TIME_WANTED: &str = "a time in steps of 5 minutes is wanted, from \"00:00\" to \"23:55\"";
const NOON_H: f64 = 12.0;

/// Hours after the start of the year of a key such as `"26 Jan 22:00"`.
pub(super) fn date_and_time(part: &Part<'_>, key: &str) -> Option<f64> {
    let text = part.text(key)?;
    let example = "a date and a time are wanted, such as \"26 Jan 22:00\"";
    let Some((date, time)) = text.trim().rsplit_once(' ') else {
        part.problem(key, example);
        return None;
    };
    match (day_of_year(date), time_h(time)) {
        (Ok(day), Some(time_h)) => Some(24.0 * day as f64 + time_h),
        (Err(message), _) => {
            part.problem(key, &format!("{message}; {example}"));
            None
        }
        (_, None) => {
            part.problem(key, &format!("{TIME_WANTED}; {example}"));
            None
        }
    }
}

/// Hours after midnight of a key such as `"22:00"`.
pub(super) fn time(part: &Part<'_>, key: &str, usual: &str, source: &str) -> Option<f64> {
    part.may_be(key, || Form::Text);
    if !part.has(key) {
        part.note_default(key, usual.to_owned(), source);
        return time_h(usual);
    }
    let read = time_h(part.text(key)?);
    if read.is_none() {
        part.problem(key, TIME_WANTED);
    }
    read
}

fn time_h(text: &str) -> Option<f64> {
    let (hour, minute) = text.trim().split_once(':')?;
    let number = |digits: &str, below: u32| {
        let is_short = digits.len() <= 2 && digits.bytes().all(|byte| byte.is_ascii_digit());
        digits
            .parse::<u32>()
            .ok()
            .filter(|number| is_short && *number < below)
    };
    let (hour, minute) = (number(hour, 24)?, number(minute, 60)?);
    (minute % 5 == 0).then(|| f64::from(hour) + f64::from(minute) / 60.0)
}

/// A stretch of time in hours, if it is a multiple of 5 minutes.
pub(super) fn in_steps(part: &Part<'_>, key: &str, seconds: f64) -> Option<f64> {
    let steps = seconds / 60.0 / STEP_MIN;
    if (steps - steps.round()).abs() < 1e-6 {
        return Some(steps.round() * STEP_MIN / 60.0);
    }
    let [before, after] = [steps.floor(), steps.ceil()].map(|steps| steps * STEP_MIN);
    let message = format!("events go in steps of 5 minutes: \"{before} min\" or \"{after} min\"");
    part.problem(key, &message);
    None
}

/// The length of an event, h.
pub(super) fn length_h(part: &Part<'_>) -> Option<f64> {
    if !part.has("length") {
        part.missing("length", "how long it lasts, such as \"8 h\"");
    }
    let seconds = part.quantity("length", &range::EVENT_LENGTH)?;
    in_steps(part, "length", seconds)
}

/// When a clock time falls in a night, which runs from noon to noon: hours after the start of the
/// year.
pub(super) fn in_night(night: usize, time_h: f64) -> f64 {
    let days = if time_h < NOON_H { night + 1 } else { night };
    24.0 * days as f64 + time_h
}

/// The coldest night of a climate.
pub(super) fn coldest(nights: &NightLows) -> Option<usize> {
    let lows = nights.0.iter().enumerate();
    lows.min_by(|a, b| a.1.total_cmp(b.1))
        .map(|(night, _)| night)
}

/// Problem of an event that ends after the year, with what would do.
pub(super) fn after_the_year(start_h: f64, length_h: f64) -> Option<String> {
    let year_h = HOURS as f64;
    let over_h = start_h + length_h - year_h;
    (over_h > 1e-6).then(|| {
        let left_min = ((year_h - start_h) * 60.0).round();
        if left_min <= 0.0 {
            return "it begins after the end of the year, in the morning after 31 Dec: begin it before \
                    midnight, or in January"
                .to_owned();
        }
        format!(
            "it ends {:.0} min after the end of the year: begin it that much earlier, or let it \
             last \"{left_min} min\" at most",
            over_h * 60.0
        )
    })
}

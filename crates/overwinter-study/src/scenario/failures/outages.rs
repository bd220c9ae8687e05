//! What is tried on every night of the season: `[outages]`.

use overwinter_engine::control::Setting;
use overwinter_engine::failure::Failure;
use overwinter_units::{Kind, System, print, range};

use super::generator::Supply;
use super::{Fitted, warn};
use crate::case::{FrostLimit, NightStart, OutagePlan, TriedFailure};
use crate::document::{Form, Part, not_among};
use crate::scenario::heating::NEVER_K;

const HOUR_S: f64 = 3600.0;
const USUAL_LENGTHS_H: [f64; 6] = [2.0, 4.0, 8.0, 24.0, 72.0, 144.0];
const ICE_K: f64 = 273.15;
/// 5 degF.
const FIVE_DEGF_K: f64 = 5.0 / 1.8;
const MOST_LENGTHS: usize = 24;

/// Failures that can be tried.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Tried {
    Blower,
    Heaters,
    Power,
    PowerWithGenerator,
    Door,
}

const TRIED: [(&str, Tried); 5] = [
    ("blower", Tried::Blower),
    ("heaters", Tried::Heaters),
    ("power", Tried::Power),
    ("power, generator starts", Tried::PowerWithGenerator),
    ("door open", Tried::Door),
];

const STARTS: [(&str, NightStart); 3] = [
    ("dusk", NightStart::Dusk),
    ("midnight", NightStart::Midnight),
    ("before dawn", NightStart::BeforeDawn),
];

/// Reads `[outages]`.
pub(super) fn read(root: &Part<'_>, fitted: Fitted<'_>, supply: Supply) -> Option<OutagePlan> {
    let part = root.part("outages");
    let usual = fitted.is_inflated() || !fitted.house.heaters.is_empty();
    let runs = run(&part, usual);
    let tried = tried(&part, fitted, &supply);
    let has_door = |tried: &Vec<Tried>| tried.contains(&Tried::Door);
    let door = part.has("door") || tried.as_ref().is_some_and(has_door);
    let door = door.then(|| {
        let own = part.part("door");
        let door = super::door(&own);
        own.finish();
        door
    });
    let lengths_h = lengths(&part);
    let starts = starts(&part);
    let limit = limit(&part, fitted.limits);
    let limit_k = limit.map_or(ICE_K, |limit| fitted.limits[limit].limit_k);
    let temps = Temps::read(&part, fitted, limit_k);
    part.finish();
    let tried = tried.filter(|_| runs)?;
    if tried.is_empty() {
        let message = "nothing of this house can fail as asked: give `failures` that it has, or \
            `run = false`";
        part.problem("failures", message);
        return None;
    }
    let failures = tried.into_iter().map(|tried| TriedFailure {
        name: word_of(tried).to_owned(),
        failures: failures(tried, fitted, door),
        generator: supply
            .generator
            .clone()
            .filter(|_| tried == Tried::PowerWithGenerator),
    });
    Some(OutagePlan {
        failures: failures.collect(),
        lengths_h,
        starts,
        alarm_k: temps.alarm_k,
        travel_h: temps.travel_h,
        limit: limit?,
        emergency_hold_k: temps.emergency_hold_k,
        loads: supply.loads,
        generator_w: supply.output_w,
    })
}

fn run(part: &Part<'_>, usual: bool) -> bool {
    part.may_be("run", || Form::Flag);
    if part.has("run") {
        return part.flag_or("run", usual, "");
    }
    let on_what = "true for a house with a heater or an inflated cover";
    part.note_derived("run", usual.to_string(), on_what, on_what);
    usual
}

fn word_of(tried: Tried) -> &'static str {
    TRIED
        .iter()
        .find(|(_, one)| *one == tried)
        .map_or("", |(word, _)| word)
}

/// The failures asked for that the house can have, else all it can have but an open door; `None` if
/// they are refused.
fn tried(part: &Part<'_>, fitted: Fitted<'_>, supply: &Supply) -> Option<Vec<Tried>> {
    let can = |tried: Tried| match tried {
        Tried::Blower => fitted.is_inflated(),
        Tried::Heaters => !fitted.house.heaters.is_empty(),
        Tried::Power => fitted.needs_power(),
        Tried::PowerWithGenerator => fitted.needs_power() && supply.generator.is_some(),
        Tried::Door => true,
    };
    words_form(part, "failures", TRIED.map(|(word, _)| word));
    if !part.has("failures") {
        let usual = TRIED.map(|(_, tried)| tried).into_iter();
        let usual: Vec<_> = usual
            .filter(|tried| *tried != Tried::Door && can(*tried))
            .collect();
        let names: Vec<_> = usual.iter().map(|tried| word_of(*tried)).collect();
        let on_what = "what of the house can fail";
        part.note_derived("failures", names.join("; "), on_what, on_what);
        return Some(usual);
    }
    let mut listed = words(part, "failures", &TRIED)?;
    if supply.output_w.is_none() && listed.contains(&Tried::PowerWithGenerator) {
        let message =
            "\"power, generator starts\" needs a generator: add [generator] with its output";
        part.problem("failures", message);
        return None;
    }
    listed.retain(|tried| {
        let can = can(*tried);
        if !can && *tried != Tried::PowerWithGenerator {
            let word = word_of(*tried);
            warn(
                part,
                format!("outages: \"{word}\" is left out, this house has nothing that it stops"),
            );
        }
        can
    });
    Some(listed)
}

fn failures(
    tried: Tried,
    fitted: Fitted<'_>,
    door: Option<overwinter_engine::failure::Door>,
) -> Vec<Failure> {
    match tried {
        Tried::Blower => vec![Failure::Blower],
        Tried::Heaters => (0..fitted.house.heaters.len())
            .map(Failure::Heater)
            .collect(),
        Tried::Power | Tried::PowerWithGenerator => vec![Failure::Power],
        Tried::Door => door.map(Failure::Door).into_iter().collect(),
    }
}

/// Lengths in rising order, h.
fn lengths(part: &Part<'_>) -> Vec<f64> {
    let usual = || USUAL_LENGTHS_H.to_vec();
    let Some(listed) = part.quantities("lengths", &range::OUTAGE_LENGTH) else {
        if !part.has("lengths") {
            let written = USUAL_LENGTHS_H.map(|length_h| format!("{length_h} h"));
            let source = "estimate: from a repair to an ice storm; mean times to restore power are 93 \
                to 724 min by state (EIA, Electric Power Annual 2023, table 11.3)";
            part.note_default("lengths", written.join(", "), source);
        }
        return usual();
    };
    if listed.len() > MOST_LENGTHS {
        part.problem("lengths", &format!("at most {MOST_LENGTHS} lengths"));
    }
    let mut lengths_h = Vec::new();
    for (node, seconds) in listed {
        let length_h = seconds / HOUR_S;
        if (length_h - length_h.round()).abs() > 1e-6 {
            let [less, more] = [length_h.floor(), length_h.ceil()];
            let written = node.value.written();
            let message = format!("{written}: full hours are wanted, \"{less} h\" or \"{more} h\"");
            part.problem_at(node.place, &message);
        }
        lengths_h.push(length_h.round());
    }
    lengths_h.sort_by(f64::total_cmp);
    lengths_h.dedup();
    lengths_h
}

fn starts(part: &Part<'_>) -> Vec<NightStart> {
    words_form(part, "starts", STARTS.map(|(word, _)| word));
    if !part.has("starts") {
        let names = STARTS.map(|(word, _)| word).join(", ");
        part.note_default(
            "starts",
            names,
            "estimate: early, in the middle and late in the night",
        );
        return STARTS.map(|(_, start)| start).into();
    }
    let mut starts = words(part, "starts", &STARTS).unwrap_or_default();
    starts.sort_unstable();
    starts
}

/// The limit at which the crop is lost.
fn limit(part: &Part<'_>, limits: &[FrostLimit]) -> Option<usize> {
    part.may_be("limit", || Form::Names(vec!["water freezes".to_owned()]));
    if part.has("limit") {
        let name = part.text("limit")?;
        let found = limits.iter().position(|limit| limit.name == name);
        if found.is_none() {
            let known = limits.iter().map(|limit| limit.name.as_str());
            let message = format!("there is no such limit; {}", not_among(name, known));
            part.problem("limit", &message);
        }
        return found;
    }
    let coldest = || {
        let order = |a: &&FrostLimit, b: &&FrostLimit| a.limit_k.total_cmp(&b.limit_k);
        let coldest = limits.iter().min_by(order)?;
        limits.iter().position(|limit| limit == coldest)
    };
    let freezing = limits
        .iter()
        .position(|limit| limit.limit_k <= ICE_K + 1e-9);
    let found = freezing.or_else(coldest)?;
    let source = "the first limit of the crop at 0 degC or below";
    part.note_derived("limit", limits[found].name.clone(), source, source);
    Some(found)
}

/// Temperatures and times around an alarm.
struct Temps {
    alarm_k: f64,
    travel_h: f64,
    emergency_hold_k: f64,
}

impl Temps {
    fn read(part: &Part<'_>, fitted: Fitted<'_>, limit_k: f64) -> Self {
        let hold_k = lowest_hold_k(fitted);
        let alarm_k = part.value_or(
            "alarm",
            &range::HOUSE_AIR,
            usual_alarm_k(hold_k, limit_k),
            "5 degF under the lowest hold temperature (rule of practice, from memory), but at least \
             half way from the crop's limit to it; 5 degF above the limit without heaters",
        );
        let seconds = part.quantity_or("travel", &range::TRAVEL, "30 min", "estimate");
        let emergency_hold_k = part.value_or(
            "emergency_hold",
            &range::HOUSE_AIR,
            limit_k + FIVE_DEGF_K,
            "5 degF above the crop's limit: on clear nights foliage may be 5 degF cooler than the \
             air (extension advice)",
        );
        let temps = Self {
            alarm_k,
            travel_h: seconds / HOUR_S,
            emergency_hold_k,
        };
        temps.warn(part, hold_k, limit_k);
        temps
    }

    fn warn(&self, part: &Part<'_>, hold_k: Option<f64>, limit_k: f64) {
        let both = |kelvin| {
            let [si, us] = [System::Si, System::Us].map(|s| print(kelvin, Kind::Temperature, s));
            format!("{si} ({us})")
        };
        let (alarm, limit) = (both(self.alarm_k), both(limit_k));
        if self.alarm_k <= limit_k {
            let message = format!(
                "the alarm at {alarm} comes when the crop is at its limit of {limit} already"
            );
            warn(part, message);
        }
        if let Some(hold_k) = hold_k.filter(|hold_k| self.alarm_k >= *hold_k) {
            let message = format!(
                "the alarm at {alarm} also comes while the heaters hold their {}",
                both(hold_k)
            );
            warn(part, message);
        }
    }
}

fn usual_alarm_k(hold_k: Option<f64>, limit_k: f64) -> f64 {
    match hold_k {
        Some(hold_k) if hold_k > limit_k => (hold_k - FIVE_DEGF_K).max(0.5 * (hold_k + limit_k)),
        _ => limit_k + FIVE_DEGF_K,
    }
}

/// The lowest temperature that the heaters ever hold.
fn lowest_hold_k(fitted: Fitted<'_>) -> Option<f64> {
    if fitted.house.heaters.is_empty() {
        return None;
    }
    let held = |value: &f64| *value > NEVER_K + 1.0;
    match &fitted.house.heat_set_k {
        Setting::Constant(value) => Some(*value).filter(held),
        Setting::ByHour(hours) => {
            let values = hours.iter().flatten().copied();
            values.filter(held).reduce(f64::min)
        }
    }
}

fn words_form<const N: usize>(part: &Part<'_>, key: &str, words: [&str; N]) {
    let words = || words.map(str::to_owned).to_vec();
    part.may_be(key, || Form::Listed(Box::new(Form::Words(words()))));
    part.may_be(key, || Form::Words(words()));
}

/// The words of a list, each once; a word that is not known is a problem, and leaves none.
fn words<T: Copy + PartialEq>(part: &Part<'_>, key: &str, known: &[(&str, T)]) -> Option<Vec<T>> {
    let (mut found, mut all_known) = (Vec::new(), true);
    for (node, text) in part.texts(key)? {
        let word = known.iter().find(|(word, _)| *word == text);
        match word {
            Some((_, value)) if !found.contains(value) => found.push(*value),
            Some(_) => {}
            None => {
                all_known = false;
                let words = known.iter().map(|(word, _)| *word);
                let message = format!("\"{text}\": {}", not_among(text, words));
                part.problem_at(node.place, &message);
            }
        }
    }
    all_known.then_some(found)
}

//! What is tried on every night of the season: `[outages]`.

use overwinter_engine::failure::Failure;
use overwinter_units::range;

use super::generator::Supply;
use super::{Fitted, alarm::Alarm, warn};
use crate::case::{FrostLimit, NightStart, OutagePlan, TriedFailure};
use crate::document::{Form, Part, not_among};
use crate::scenario::context::Context;

const HOUR_S: f64 = 3600.0;
const USUAL_LENGTHS_H: [f64; 6] = [2.0, 4.0, 8.0, 24.0, 72.0, 144.0];
const ICE_K: f64 = 273.15;
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
    ("power with generator", Tried::PowerWithGenerator),
    ("door open", Tried::Door),
];

const STARTS: [(&str, NightStart); 3] = [
    ("dusk", NightStart::Dusk),
    ("midnight", NightStart::Midnight),
    ("before dawn", NightStart::BeforeDawn),
];

/// Most cases of a file whose nights are tried without being asked for.
const MOST_CASES_TRIED: usize = 100;

/// Reads `[outages]`.
pub(super) fn read(
    context: &Context<'_>,
    root: &Part<'_>,
    fitted: Fitted<'_>,
    supply: Supply,
) -> Option<OutagePlan> {
    let part = root.part("outages");
    let can_fail = fitted.is_inflated() || !fitted.house.heaters.is_empty();
    let usual = can_fail && context.cases <= MOST_CASES_TRIED;
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
    let alarm = Alarm::read(&part, fitted, limit_k);
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
        alarm_k: alarm.alarm_k,
        travel_h: alarm.travel_h,
        limit: limit?,
        emergency_hold_k: alarm.emergency_hold_k,
        loads: supply.loads,
        generator_w: supply.output_w,
    })
}

fn run(part: &Part<'_>, usual: bool) -> bool {
    part.may_be("run", || Form::Flag);
    if part.has("run") {
        return part.flag_or("run", usual, "");
    }
    let on_what = "true for a house with a heater or an inflated cover, in a file of at most 100 \
        cases: it takes about a second a case";
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
        let on_what = "what of the house can fail, but for an open door";
        let source = format!("what of this house can fail: {}", names.join("; "));
        part.note_derived(
            "failures",
            "all but an open door".to_owned(),
            &source,
            on_what,
        );
        return Some(usual);
    }
    let mut listed = words(part, "failures", &TRIED)?;
    if supply.output_w.is_none() && listed.contains(&Tried::PowerWithGenerator) {
        let message = "\"power with generator\" needs a generator: add [generator] with its output";
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
            let source = "estimate: from a repair to an ice storm; mean times to restore power are 93 \
                to 724 min by state (EIA, Electric Power Annual 2023, table 11.3)";
            part.note_default("lengths", "2, 4, 8, 24, 72, 144 h".to_owned(), source);
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
            let message = format!("full hours are wanted, \"{less} h\" or \"{more} h\"");
            part.refuse("lengths", node, &message);
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
    let at_loss = limits.iter().position(|limit| limit.is_loss);
    let freezing = || {
        limits
            .iter()
            .position(|limit| limit.limit_k <= ICE_K + 1e-9)
    };
    let found = at_loss.or_else(freezing).or_else(coldest)?;
    let source =
        "the limit at which the crop, not hardened, is lost, else the first at 0 degC or below";
    part.note_derived("limit", limits[found].name.clone(), source, source);
    Some(found)
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
                part.refuse(key, node, &not_among(text, words));
            }
        }
    }
    all_known.then_some(found)
}

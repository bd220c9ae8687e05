//! `check`: what a scenario file says and which cases it asks for, what it leaves to defaults, how
//! long a run would take.

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::time::{Duration, Instant};

use overwinter_study::case::Study;
use overwinter_study::run::run_study;
use overwinter_study::scenario::Checked;

use crate::arguments::CheckArguments;
use crate::exit::{Exit, Stop};
use crate::program::Screen;
use crate::screen::figures::{count, rough};
use crate::screen::layout::{Lean, columns, labelled, title};

pub(crate) fn check(arguments: &CheckArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    for checked in super::read_all(std::slice::from_ref(&arguments.file), screen)? {
        let study = &checked.study;
        write!(screen.out, "{}\n\n", title(&study.title))?;
        write!(screen.out, "{}{}", cases(study), climates(study))?;
        write!(screen.out, "{}", sampled(study))?;
        write!(screen.out, "\n{}", given(&checked))?;
        write!(screen.out, "\n{}", defaults(study))?;
        write!(screen.out, "\n{}", estimate(study))?;
    }
    Ok(Exit::Done)
}

/// Most labels of an axis that are listed.
const MOST_LABELS: usize = 12;
/// Labels at each end of an axis with more.
const LABELS_AT_ENDS: usize = 5;

fn cases(study: &Study) -> String {
    let all = study.cases.len();
    let mut text = labelled("Cases", &how_many(study));
    let mut labels: Vec<Labels> = study.axis_names.iter().map(|_| Labels::default()).collect();
    // Of each design the first draw stands for all.
    for case in (0..all).step_by(study.draws.max(1)) {
        for (axis, label) in labels.iter_mut().zip(study.cases.labels(case)) {
            axis.add(label);
        }
    }
    for (name, labels) in study.axis_names.iter().zip(&labels) {
        text += &labelled(&format!("  {name}"), &labels.listed());
    }
    text
}

fn how_many(study: &Study) -> String {
    let all = count(study.cases.len());
    if study.sampled.is_empty() {
        return all;
    }
    let (designs, draws) = (study.designs(), study.draws);
    format!(
        "{all}: {} with {} each",
        many(designs, "design"),
        many(draws, "draw")
    )
}

/// The different labels of an axis, in the order in which they come.
#[derive(Default)]
struct Labels {
    listed: Vec<String>,
    seen: BTreeSet<String>,
}

impl Labels {
    fn add(&mut self, label: String) {
        if self.seen.insert(label.clone()) {
            self.listed.push(label);
        }
    }

    fn listed(&self) -> String {
        let number = self.listed.len();
        if number <= MOST_LABELS {
            return self.listed.join("; ");
        }
        let first = self.listed[..LABELS_AT_ENDS].join("; ");
        let last = self.listed[number - LABELS_AT_ENDS..].join("; ");
        format!("{first}; ...; {last} ({} in all)", count(number))
    }
}

/// The sampled inputs with what 5, 50 and 95 % of their draws are below.
fn sampled(study: &Study) -> String {
    if study.sampled.is_empty() {
        return String::new();
    }
    let header = ["Sampled", "5 % below", "half below", "95 % below", "key"].map(str::to_owned);
    let mut rows = vec![header.to_vec()];
    rows.extend(study.sampled.iter().map(|input| {
        let [low, middle, high] = input.quantiles.clone();
        let keys = input.keys.join(", ");
        vec![format!("  {}", input.name), low, middle, high, keys]
    }));
    format!("\n{}", columns(&rows, &[Lean::Left; 5], 4..5))
}

fn climates(study: &Study) -> String {
    let line = |climate: &overwinter_study::case::Climate| {
        let place = &climate.year.place.name;
        labelled("Climate", &format!("{place} ({})", climate.path.display()))
    };
    study.climates.iter().map(line).collect()
}

fn given(checked: &Checked) -> String {
    let header = ["Given", "value", "line"].map(str::to_owned);
    let mut rows = vec![header.to_vec()];
    rows.extend(checked.given.iter().map(|given| {
        vec![
            format!("  {}", given.key),
            given.value.clone(),
            given.line.to_string(),
        ]
    }));
    columns(&rows, &[Lean::Left, Lean::Left, Lean::Right], 1..2)
}

fn defaults(study: &Study) -> String {
    if study.defaults.is_empty() {
        return "Nothing is left to a default.\n".to_owned();
    }
    let header = ["Left to a default", "value", "source"].map(str::to_owned);
    let mut rows = vec![header.to_vec()];
    rows.extend(study.defaults.iter().map(|default| {
        vec![
            format!("  {}", default.key),
            default.value.clone(),
            default.source.clone(),
        ]
    }));
    columns(&rows, &[Lean::Left; 3], 1..3)
}

/// Runs the first case and takes the others to be like it.
fn estimate(study: &Study) -> String {
    let one = study.cases.iter().take(1).map(Cow::into_owned);
    let first = Study {
        cases: one.collect(),
        wants_hourly: false,
        ..study.clone()
    };
    let began = Instant::now();
    let result = run_study(&first, Some(1), &|_| ());
    let one = began.elapsed();
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let rounds = study.cases.len().div_ceil(threads);
    let all = one.saturating_mul(u32::try_from(rounds).unwrap_or(u32::MAX));
    let text = format!(
        "about {} for {} on {} (the first case took {})",
        seconds(all),
        many(study.cases.len(), "case"),
        many(threads, "thread"),
        seconds(one),
    );
    let mut text = labelled("Time of a run", &text);
    for reason in result.cases.iter().filter_map(|rows| rows.case.reason()) {
        text += &labelled("First case failed", reason);
    }
    text
}

fn seconds(time: Duration) -> String {
    format!("{} s", rough(time.as_secs_f64()))
}

fn many(number: usize, what: &str) -> String {
    let plural = if number == 1 { "" } else { "s" };
    format!("{} {what}{plural}", count(number))
}

//! `check`: what a scenario file says and which cases it asks for, what it leaves to defaults, how
//! long a run would take.

use std::collections::BTreeSet;
use std::time::Duration;

use overwinter_study::case::Study;
use overwinter_study::ranking::Outline;
use overwinter_study::scenario::Checked;
use overwinter_study::stress::{StressUse, stress_uses};
use overwinter_study::sweep;

use crate::arguments::CheckArguments;
use crate::exit::{Exit, Stop};
use crate::messages;
use crate::program::Screen;
use crate::screen::figures::{count, rough};
use crate::screen::layout::{Lean, columns, labelled, title};
use crate::screen::weather::year_words;

pub(crate) fn check(arguments: &CheckArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    for checked in super::read_all(std::slice::from_ref(&arguments.file), screen)? {
        let study = &checked.study;
        write!(screen.out, "{}\n\n", title(&study.title))?;
        write!(screen.out, "{}{}", cases(study), climates(study))?;
        write!(screen.out, "{}", sampled(study))?;
        write!(screen.out, "\n{}", given(&checked))?;
        write!(screen.out, "\n{}", defaults(study))?;
        write!(screen.out, "\n{}", estimate(study)?)?;
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
    text + &compared(study)
}

/// Which designs are compared with which.
fn compared(study: &Study) -> String {
    let Some(outline) = study.ranking.outline() else {
        return String::new();
    };
    let Outline {
        design_axes,
        designs,
        baseline,
        setting_axes,
        settings,
    } = outline;
    let axes = design_axes.join(", ");
    let mut text = format!(
        "{} ({axes}), each against {baseline}",
        many(designs, "design")
    );
    if !setting_axes.is_empty() {
        let axes = setting_axes.join(", ");
        text += &format!(", within each of {} ({axes})", many(settings, "setting"));
    }
    labelled("Compared", &text)
}

fn how_many(study: &Study) -> String {
    let all = count(study.cases.len());
    if study.sampled.is_empty() {
        return all;
    }
    let (combinations, draws) = (study.combinations(), study.draws);
    format!(
        "{all}: {} with {} each",
        many(combinations, "combination"),
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
    let features = study.cases.features();
    let line = |(index, climate): (usize, &overwinter_study::case::Climate)| {
        let place = &climate.year.place.name;
        let year = year_words(climate.year.kind());
        let text = format!("{place}, {year} ({})", climate.path.display());
        let uses = stress_uses(features.stresses(index).iter());
        let uses = uses
            .iter()
            .map(|used| labelled(&format!("  {}", used.key), &span(used)));
        labelled("Climate", &text) + &uses.collect::<String>()
    };
    study.climates.iter().enumerate().map(line).collect()
}

/// The values of a stress in use.
fn span(used: &StressUse) -> String {
    let StressUse {
        least, greatest, ..
    } = used;
    if least == greatest {
        least.clone()
    } else {
        format!("{least} to {greatest}")
    }
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

/// Tries some cases and takes the others to be like them.
fn estimate(study: &Study) -> Result<String, Stop> {
    let found = sweep::estimate(study).map_err(|error| messages::output(&error))?;
    let cases = study.cases.len();
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let tried = match found.tried {
        1 => "one was tried and".to_owned(),
        tried => format!("{} were tried and one", count(tried)),
    };
    let time = format!(
        "about {} for {} on {} ({tried} took {})",
        duration(found.on_threads(cases, threads)),
        many(cases, "case"),
        many(threads, "thread"),
        duration(found.a_case),
    );
    let disk = format!(
        "about {} of tables, and {} of parts until they are joined",
        bytes(found.tables_bytes),
        bytes(found.parts_bytes)
    );
    let mut text = labelled("Time of a run", &time) + &labelled("Disk", &disk);
    for reason in &found.failures {
        text += &labelled("A case failed", reason);
    }
    Ok(text)
}

fn duration(time: Duration) -> String {
    let seconds = time.as_secs_f64();
    match seconds {
        ..120.0 => format!("{} s", rough(seconds)),
        120.0..7200.0 => format!("{} min", rough(seconds / 60.0)),
        _ => format!("{} h", rough(seconds / 3600.0)),
    }
}

fn bytes(number: u64) -> String {
    let number = number as f64;
    match number {
        ..1e6 => format!("{} kB", rough((number / 1e3).max(1.0))),
        1e6..1e9 => format!("{} MB", rough(number / 1e6)),
        _ => format!("{} GB", rough(number / 1e9)),
    }
}

fn many(number: usize, what: &str) -> String {
    let plural = if number == 1 { "" } else { "s" };
    format!("{} {what}{plural}", count(number))
}

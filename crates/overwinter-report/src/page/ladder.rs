//! What failures of any length do, over all nights of the season.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use crate::chart::Label;
use crate::chart::lines::{Line, Lines};
use crate::designs::{Design, Setting};
use crate::facts::{self, Outage};
use crate::figures::{self, Quantity};
use crate::plain_text::capital;

/// The lengths of a failure for one line of a ladder.
struct Rungs {
    name: String,
    outages: Vec<Outage>,
}

/// The section.
pub(super) fn section(view: View<'_>) -> Markup {
    html! {
        section aria-labelledby="ladder" {
            h3 #ladder { "How long until the crop is lost" }
            @if view.run.table("outages").is_none() {
                (block::gap("outages", "what failures of different lengths do, over all nights of the season",
                    "The run tried no failure, or was too large to try them: [outages] in the scenario asks for it."))
            } @else {
                (block::note("Every failure was tried on every night of the season in which heat was needed. How \
                    often a failure comes is not known, so this is no chance of losing a crop: it says in how many \
                    nights the crop would be lost if the failure came in that night. The design nights are made of \
                    the temperature that the climate undercuts in 0.4 % of the hours of a year, 35 h."))
                @for (index, setting, name) in view.settings() { (of_setting(view, setting, index, &name)) }
                (block::caution("Crop limits are rough and hardened plants bear more. Keep an alarm that also \
                    rings when the power is off, and try it before the season."))
            }
        }
    }
}

fn rungs(view: View<'_>, design: &Design, failure: &str) -> Vec<Outage> {
    let outages = facts::outages(view.run, design.case_id);
    let mut rungs: Vec<Outage> = facts::told(&outages)
        .into_iter()
        .filter(|outage| outage.failure == failure)
        .cloned()
        .collect();
    rungs.sort_by(|a, b| a.length_h.total_cmp(&b.length_h));
    rungs
}

fn failures(outages: &[Outage]) -> Vec<&str> {
    let mut failures: Vec<&str> = Vec::new();
    for outage in outages {
        if !failures.contains(&outage.failure.as_str()) {
            failures.push(&outage.failure);
        }
    }
    failures.truncate(crate::chart::look::LOOKS);
    failures
}

fn of_setting(view: View<'_>, setting: &Setting, index: usize, name: &str) -> Markup {
    let outages = |design: &Design| facts::outages(view.run, design.case_id);
    let with_most = setting
        .designs
        .iter()
        .rev()
        .max_by_key(|d| failures(&outages(d)).len());
    let Some(lead) = with_most.filter(|design| !outages(design).is_empty()) else {
        return html! {};
    };
    let of_lead = outages(lead);
    let main = facts::main_failure(&of_lead).unwrap_or_default();
    let by_failure: Vec<Rungs> = failures(&of_lead)
        .into_iter()
        .map(|failure| Rungs {
            name: facts::failure_name(failure),
            outages: rungs(view, lead, failure),
        })
        .collect();
    let by_design: Vec<Rungs> = setting
        .designs
        .iter()
        .map(|design| Rungs {
            name: design.label.clone(),
            outages: rungs(view, design, main),
        })
        .filter(|rungs| !rungs.outages.is_empty())
        .collect();
    let clause = facts::failure_name(main);
    html! {
        @if by_design.len() > 1 {
            h4 { "By design: " (clause) (name) }
            (draw(view, &by_design, &format!("ladder-designs-{index}"), &clause))
        }
        @if index == 0 {
            h4 { "By failure: " (lead.label) (name) }
            (draw(view, &by_failure, &format!("ladder-{index}"), &lead.label))
            (details(view, lead, main))
        }
    }
}

fn draw(view: View<'_>, ladder: &[Rungs], id: &str, of: &str) -> Markup {
    let count = |outage: &Outage| outage.number(view.run, "nights_lost");
    let mut lengths: Vec<f64> = ladder
        .iter()
        .flat_map(|r| r.outages.iter().map(|o| o.length_h))
        .collect();
    lengths.sort_by(f64::total_cmp);
    lengths.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let at = |rungs: &Rungs, length_h: f64| {
        let outage = rungs
            .outages
            .iter()
            .find(|outage| (outage.length_h - length_h).abs() < 1e-9);
        outage.and_then(count)
    };
    let first = ladder.first().and_then(|rungs| rungs.outages.first());
    let start = first.map_or_else(String::new, |outage| outage.start.clone());
    let title = format!(
        "Nights of the season in which the crop is lost if the failure begins {}, {of}",
        begins(&start)
    );
    let finding = finding(view, ladder);
    let line = |rungs: &Rungs| Line {
        name: rungs.name.clone(),
        points: lengths
            .iter()
            .enumerate()
            .filter_map(|(place, &length_h)| Some((place as f64, at(rungs, length_h)?)))
            .collect(),
    };
    let drawing = Lines {
        label: Label {
            id: id.to_owned(),
            title: title.clone(),
            finding: finding.clone(),
        },
        across: lengths
            .iter()
            .enumerate()
            .map(|(place, &length_h)| (place as f64, figures::length(length_h)))
            .collect(),
        across_title: "how long the failure lasts".to_owned(),
        up_title: "nights in which the crop is lost".to_owned(),
        from_zero: true,
        lines: ladder.iter().map(line).collect(),
        limits: Vec::new(),
    };
    let mut head = vec!["The failure lasts".to_owned()];
    head.extend(ladder.iter().map(|rungs| format!("{}, nights", rungs.name)));
    let mut table = DataTable::new(title.clone(), head);
    for &length_h in &lengths {
        let cells = ladder
            .iter()
            .map(|rungs| figures::cell(at(rungs, length_h)));
        table.push(figures::length(length_h), cells.collect());
    }
    block::chart(&title, &finding, &drawing.draw(), &table)
}

/// A start as the end of "begins ...".
pub(super) fn begins(start: &str) -> String {
    match start {
        "dusk" | "midnight" => format!("at {start}"),
        other => other.to_owned(),
    }
}

fn finding(view: View<'_>, ladder: &[Rungs]) -> String {
    let said = |rungs: &Rungs| {
        let (first, last) = (rungs.outages.first()?, rungs.outages.last()?);
        let lost = |outage: &Outage| outage.count(view.run, "nights_lost").map(figures::count);
        Some(format!(
            "{}, {} of {} nights for {} and {} for {}",
            rungs.name,
            lost(first)?,
            figures::count(first.count(view.run, "nights")?),
            figures::length(first.length_h),
            lost(last)?,
            figures::length(last.length_h)
        ))
    };
    let all: Vec<String> = ladder.iter().filter_map(said).collect();
    format!("The crop is lost in: {}.", all.join("; "))
}

/// All that is known of one failure, length by length.
fn details(view: View<'_>, design: &Design, failure: &str) -> Markup {
    let temperature = Quantity::Temperature;
    let units = temperature.units(view.system);
    let head = vec![
        "Lasts".to_owned(),
        "nights lost".to_owned(),
        "of these too fast for help".to_owned(),
        format!("lowest leaf, middle night, {units}"),
        format!("lowest leaf, worst night, {units}"),
        format!("lowest leaf, clear design night, {units}"),
        "to the alarm".to_owned(),
        "air to freezing".to_owned(),
        "leaf to the limit".to_owned(),
    ];
    let rungs = rungs(view, design, failure);
    let Some(first) = rungs.first() else {
        return html! {};
    };
    let caption = format!(
        "{}, {}: {} nights of the season; times are those of the clear design night",
        capital(&facts::failure_name(failure)),
        design.label,
        first
            .count(view.run, "nights")
            .map_or_else(|| figures::NOTHING.to_owned(), figures::count)
    );
    let mut table = DataTable::new(caption, head);
    for outage in &rungs {
        let number = |column| outage.number(view.run, column);
        let minutes =
            |column| number(column).map_or_else(|| "not reached".to_owned(), figures::duration);
        let cells = vec![
            figures::cell(number("nights_lost")),
            figures::cell(number("nights_too_fast")),
            temperature.cell(number("lowest_leaf_median_degc"), view.system),
            temperature.cell(number("lowest_leaf_worst_degc"), view.system),
            temperature.cell(number("lowest_leaf_design_clear_degc"), view.system),
            minutes("to_alarm_design_clear_min"),
            minutes("to_freezing_design_clear_min"),
            minutes("to_limit_design_clear_min"),
        ];
        table.push(figures::length(outage.length_h), cells);
    }
    table.draw()
}

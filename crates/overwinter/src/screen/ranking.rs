//! Many draws on one screen: the designs of each setting in order, how sure that order is, and what
//! drives it.

use overwinter_study::ranking::{DesignDigest, Digest, DrivenBy, Measure, SettingDigest, Spread};
use overwinter_units::System;

use super::figures;
use super::layout::{Lean, columns, item, labelled};

/// Most settings that are shown.
const MOST_SETTINGS: usize = 8;
/// Most designs that are shown of a setting, besides the baseline.
const MOST_DESIGNS: usize = 8;
/// Draws below which the ends of a range rest on one or two of them.
const FEW_DRAWS: usize = 40;
/// Number of columns of a setting without designs to compare.
const OWN_COLUMNS: usize = 4;
/// Number of columns with them.
const ALL_COLUMNS: usize = OWN_COLUMNS + 3;

/// The block.
pub(super) fn block(digest: &Digest, system: System) -> String {
    let shown = &digest.settings[..digest.settings.len().min(MOST_SETTINGS)];
    let mut text = String::new();
    for alike in shown.chunk_by(|a, b| head(a) == head(b)) {
        if !text.is_empty() {
            text.push('\n');
        }
        text += &table(alike, digest, system);
    }
    text.push('\n');
    text += &key(digest);
    text.extend(shown.iter().map(|setting| cold(setting, system)));
    text.extend(shown.iter().map(driven));
    if let Some(more @ 1..) = digest.settings.len().checked_sub(MOST_SETTINGS) {
        let more = figures::count(more);
        text += &item(&format!("{more} more settings: see the table ranking."));
    }
    text
}

/// What the settings of one table have in common.
fn head(setting: &SettingDigest) -> (Measure, &str, Option<&str>) {
    (setting.measure, &setting.unit, setting.baseline.as_deref())
}

/// Settings with one measure, unit and baseline.
fn table(settings: &[SettingDigest], digest: &Digest, system: System) -> String {
    let Some(first) = settings.first() else {
        return String::new();
    };
    let mut rows = headers(first, system);
    let width = rows[0].len();
    for setting in settings {
        let others = || digest.settings.iter().map(|setting| &setting.baseline);
        let against = match &setting.baseline {
            Some(baseline) if others().any(|other| *other != setting.baseline) => {
                format!(" (against {baseline})")
            }
            _ => String::new(),
        };
        if let Some(name) = name(setting) {
            rows.push(row(vec![name + &against], width));
        }
        let draws = setting.draws;
        if draws < digest.draws {
            let ran = figures::count(draws);
            rows.push(row(vec![format!("  ({ran} draws ran with all)")], width));
        }
        rows.extend(shown_designs(setting).map(|design| line(design, setting, width, system)));
        if let Some(more @ 1..) = setting
            .designs
            .len()
            .checked_sub(shown_designs(setting).count())
        {
            let more = figures::count(more);
            rows.push(row(vec![format!("  and {more} more")], width));
        }
    }
    let mut lean = vec![Lean::Right; width];
    lean[0] = Lean::Left;
    columns(&rows, &lean, 0..1)
}

fn headers(of: &SettingDigest, system: System) -> Vec<Vec<String>> {
    let [own, others] = [unit(of, system), difference_unit(of, system)];
    let lowest = match system {
        System::Si => "degC",
        System::Us => "degF",
    };
    let mut rows = [
        vec!["", "median", "90 of 100", "lowest"],
        vec!["", own, "draws", lowest],
    ];
    if of.baseline.is_some() {
        let more = [["against", "90 of 100", "better"], [others, "draws", "in"]];
        for (row, more) in rows.iter_mut().zip(more) {
            row.splice(OWN_COLUMNS - 1..OWN_COLUMNS - 1, more);
        }
    }
    rows.map(|row| row.into_iter().map(str::to_owned).collect())
        .to_vec()
}

fn line(
    design: &DesignDigest,
    setting: &SettingDigest,
    width: usize,
    system: System,
) -> Vec<String> {
    let value = |value: f64| number(value, setting.measure, system);
    let step = |value: f64| signed(difference(value, setting.measure, system));
    let none = || "-".to_owned();
    let indent = if setting.labels.is_empty() { "" } else { "  " };
    let mut cells = vec![
        format!("{indent}{}", label(design)),
        value(design.value.median),
        range(&design.value, value),
    ];
    if width == ALL_COLUMNS {
        let less = design.less_baseline;
        cells.push(less.map_or_else(none, |less| step(less.median)));
        cells.push(less.map_or_else(none, |less| range(&less, step)));
        cells.push(design.better_share.map_or_else(none, share));
    }
    let lowest = |lowest: &Spread| figures::temperature_number(lowest.median, system);
    cells.push(design.lowest_k.as_ref().map_or_else(none, lowest));
    cells
}

/// The best designs and, wherever it stands, the baseline.
fn shown_designs(setting: &SettingDigest) -> impl Iterator<Item = &DesignDigest> {
    let designs = setting.designs.iter().enumerate();
    let is_shown = |(at, design): &(usize, &DesignDigest)| {
        *at < MOST_DESIGNS || Some(&design.label) == setting.baseline.as_ref()
    };
    designs.filter(is_shown).map(|(_, design)| design)
}

/// The designs that do not hold their temperature: what they save is heat that is missing.
fn cold(setting: &SettingDigest, system: System) -> String {
    let words = shown_designs(setting).filter_map(|design| {
        let unheld = design.unheld?;
        Some(format!(
            "{} misses its temperature in {} of the draws ({} of heat lacking)",
            label(design),
            share(unheld.share),
            figures::energy(unheld.lacking_j, system),
        ))
    });
    let words: Vec<String> = words.collect();
    if words.is_empty() {
        return String::new();
    }
    let name = name(setting).map_or_else(String::new, |name| format!("{name}: "));
    let words = words.join("; ");
    item(&format!(
        "{name}{words}: what that saves is heat that the crop goes without."
    ))
}

/// The label of a design, or a word for the only one.
fn label(design: &DesignDigest) -> &str {
    match &*design.label {
        "" => "the house",
        label => label,
    }
}

/// What the ranges follow: that of the best design, and that of its difference from the baseline.
fn driven(setting: &SettingDigest) -> String {
    let Some(best) = setting.designs.first() else {
        return String::new();
    };
    let mut words = Vec::new();
    if !best.drivers.is_empty() {
        let inputs = inputs(&best.drivers);
        words.push(format!("{} follows {inputs}", label(best)));
    }
    let mut others = setting.designs.iter();
    if let (Some(other), Some(baseline)) = (
        others.find(|design| design.less_baseline.is_some()),
        &setting.baseline,
    ) && !other.difference_drivers.is_empty()
    {
        let inputs = inputs(&other.difference_drivers);
        words.push(format!("{} less {baseline} follows {inputs}", other.label));
    }
    if words.is_empty() {
        return String::new();
    }
    let name = name(setting).map_or_else(String::new, |name| format!("{name}: "));
    item(&format!("{name}the range of {}.", words.join("; that of ")))
}

fn inputs(driven: &[DrivenBy]) -> String {
    let named = driven
        .iter()
        .map(|by| format!("{} ({:+.2})", by.input, by.correlation));
    named.collect::<Vec<_>>().join(" and ")
}

/// What the columns mean.
fn key(digest: &Digest) -> String {
    let settings = || digest.settings.iter();
    let measures = joined(settings().map(|setting| setting.measure.name()), " or ");
    let inputs = match digest.inputs {
        1 => "one input".to_owned(),
        several => format!("{} inputs", figures::count(several)),
    };
    let draws = figures::count(digest.draws);
    let few = match digest.draws < FEW_DRAWS {
        true => "; its ends are hardly more than the least and the greatest of so few draws",
        false => "",
    };
    let range = match settings().any(|setting| {
        setting
            .designs
            .iter()
            .any(|design| design.value.range.is_some())
    }) {
        true => {
            "of 100 draws 5 lie below the range and 5 above, if the distributions given are right"
        }
        false => "too few draws for a range",
    };
    let mut text = labelled(
        "median",
        &format!("{measures} of the year; {draws} draws of {inputs}; {range}{few}"),
    );
    let baselines = joined(
        settings().filter_map(|setting| setting.baseline.as_deref()),
        " or ",
    );
    if !baselines.is_empty() {
        text += &labelled(
            "against",
            &format!("the design less {baselines}, both under the same draw"),
        );
        text += &labelled(
            "better in",
            "share of the draws in which it is the better of the two",
        );
    }
    text += &labelled(
        "lowest",
        "leaf of the year, or air in a house without a crop; median of the draws",
    );
    if settings().any(|setting| !driven(setting).is_empty()) {
        text += &labelled("in brackets", "rank correlation, from -1 to +1");
    }
    text
}

/// The words, each once.
fn joined<'a>(words: impl Iterator<Item = &'a str>, with: &str) -> String {
    let mut each: Vec<&str> = Vec::new();
    for word in words {
        if !each.contains(&word) {
            each.push(word);
        }
    }
    each.join(with)
}

fn name(setting: &SettingDigest) -> Option<String> {
    (!setting.labels.is_empty()).then(|| setting.labels.join(", "))
}

fn row(mut cells: Vec<String>, width: usize) -> Vec<String> {
    cells.resize(width, String::new());
    cells
}

fn range(of: &Spread, written: impl Fn(f64) -> String) -> String {
    of.range.map_or_else(
        || "-".to_owned(),
        |[low, high]| format!("{} to {}", written(low), written(high)),
    )
}

fn share(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

fn unit(of: &SettingDigest, system: System) -> &str {
    match (of.measure, system) {
        (Measure::FuelEnergy, _) => figures::energy_unit(system),
        (Measure::LowestLeaf | Measure::LowestAir, System::Si) => "degC",
        (Measure::LowestLeaf | Measure::LowestAir, System::Us) => "degF",
        _ => &of.unit,
    }
}

fn difference_unit(of: &SettingDigest, system: System) -> &str {
    match (of.measure, system) {
        (Measure::LowestLeaf | Measure::LowestAir, System::Si) => "K",
        _ => unit(of, system),
    }
}

fn number(value: f64, measure: Measure, system: System) -> String {
    match measure {
        Measure::FuelEnergy => figures::figures(figures::energy_number(value, system)),
        Measure::LowestLeaf | Measure::LowestAir => figures::temperature_number(value, system),
        _ => figures::figures(value),
    }
}

fn difference(value: f64, measure: Measure, system: System) -> f64 {
    match (measure, system) {
        (Measure::FuelEnergy, _) => figures::energy_number(value, system),
        (Measure::LowestLeaf | Measure::LowestAir, System::Us) => value * 1.8,
        _ => value,
    }
}

fn signed(value: f64) -> String {
    let text = figures::figures(value);
    if value > 0.0 {
        format!("+{text}")
    } else {
        text
    }
}

//! What lifts sections to the pressure asked for.

use overwinter_study::inflate::{HELD_SHARE, Hose, Inflated, Mend, Remedy};
use overwinter_units::{Kind, System};

use crate::screen::figures::{gap, quantity, rough};
use crate::screen::layout::labelled;

pub(super) fn text(inflated: &Inflated, system: System) -> String {
    let held = format!("{} % of it", rough(100.0 * HELD_SHARE));
    if inflated.mending.mends.is_empty() {
        let text = format!("nothing: every section has at least {held}");
        return labelled("To be mended", &text);
    }
    let mut text = String::new();
    for (index, mend) in inflated.mending.mends.iter().enumerate() {
        let label = if index == 0 { "To be mended" } else { "" };
        text += &labelled(label, &line(mend, inflated, system));
    }
    text + &together(inflated, &held)
}

fn line(mend: &Mend, inflated: &Inflated, system: System) -> String {
    let name = &inflated.gaps[mend.gap].name;
    let remedy = match &mend.remedy {
        Remedy::WiderHose {
            hose,
            needed_m,
            bought_m,
            count,
        } => {
            let more = count.map_or_else(
                || "no number of the present size does".to_owned(),
                |count| {
                    format!(
                        "or {count} of the present {}",
                        gap(hose.present.diameter_m, system)
                    )
                },
            );
            format!(
                "a {} hose {} (at least {}), {more}",
                bought(*bought_m),
                ends(hose, inflated),
                gap(*needed_m, system)
            )
        }
        Remedy::WiderWay { hoses, bought_m } => {
            let ways: Vec<String> = hoses.iter().map(|hose| ends(hose, inflated)).collect();
            format!(
                "{} hoses all the way, {}: one alone does not do",
                bought(*bought_m),
                ways.join(" and ")
            )
        }
        Remedy::OpenDamper {
            bought_m,
            reached_pa,
        } => {
            let hoses =
                bought_m.map(|bought_m| format!(" and fit {} hoses on the way", bought(bought_m)));
            format!(
                "open the damper further{} (up to {})",
                hoses.unwrap_or_default(),
                quantity(*reached_pa, Kind::Pressure, system)
            )
        }
        Remedy::LargerBlower { reached_pa } => format!(
            "no hose does: the blower is too small, or the films leak too much; with the damper open \
             and the widest hoses it reaches {}",
            quantity(*reached_pa, Kind::Pressure, system)
        ),
    };
    format!("{name}: {remedy}")
}

/// All named hoses at once.
fn together(inflated: &Inflated, held: &str) -> String {
    let has_hoses = |mend: &&Mend| {
        matches!(
            mend.remedy,
            Remedy::WiderHose { .. } | Remedy::WiderWay { .. }
        )
    };
    if inflated.mending.mends.iter().filter(has_hoses).count() < 2 {
        return String::new();
    }
    let wanted_pa = HELD_SHARE * inflated.asked_pa;
    let gaps = inflated.gaps.iter().zip(&inflated.mending.after_pa);
    let under: Vec<&str> = gaps
        .filter(|(_, after_pa)| **after_pa < wanted_pa)
        .map(|(gap, _)| &*gap.name)
        .collect();
    let text = if under.is_empty() {
        format!("all of them together: every section has at least {held}")
    } else {
        format!(
            "all of them together leave under it: {}; begin nearest the blower and look again",
            under.join(", ")
        )
    };
    labelled("", &text)
}

/// A hose as it is sold everywhere that sells inches.
fn bought(diameter_m: f64) -> String {
    format!("{} in", rough(diameter_m / 0.0254))
}

fn ends(hose: &Hose, inflated: &Inflated) -> String {
    let to = &inflated.gaps[hose.to].name;
    match hose.from {
        Some(from) => format!("from {} to {to}", inflated.gaps[from].name),
        None => format!("from the blower to {to}"),
    }
}

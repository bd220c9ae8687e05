//! What a failing night does to one design, in words.

use maud::{Markup, html};

use super::View;
use super::block;
use super::ladder::begins;
use crate::designs::Design;
use crate::facts::{self, Outage};
use crate::figures::{self, Quantity};
use crate::plain_text::capital;

/// Failures of the design, the main one first.
pub(super) fn failing(view: View<'_>, design: &Design) -> Markup {
    let outages = facts::outages(view.run, design.case_id);
    let Some(main) =
        facts::main_failure(&outages).and_then(|main| facts::main_outage(&outages, main))
    else {
        return block::gap(
            "outages",
            "what a failing night does",
            "The run tried no failure: [outages] in the \
            scenario asks for it.",
        );
    };
    let others = ["blower", "power with generator"];
    let others = others
        .iter()
        .filter_map(|failure| facts::main_outage(&outages, failure));
    html! {
        p { strong { "If " (facts::failure_clause(&main.failure)) }
            " " (begins(&main.start)) " for " (figures::length(main.length_h)) ", on a clear, calm night as cold as the coldest 35 hours of a usual year (the design night): "
            (course(view, main)) }
        p { (lost(view, main)) (standby(view, main)) }
        @for other in others {
            p { strong { "If " (facts::failure_clause(&other.failure)) } ": " (other_words(view, other)) }
        }
    }
}

/// Times and the low of the clear design night.
fn course(view: View<'_>, outage: &Outage) -> String {
    let number = |column: &str| outage.number(view.run, column);
    let temperature = |degc| Quantity::Temperature.pair(degc, view.system);
    let marks = [
        (
            "the air is at the alarm",
            "to_alarm_design_clear_min",
            "alarm_degc",
        ),
        ("the air is at freezing", "to_freezing_design_clear_min", ""),
        (
            "the leaf is at the limit of the crop",
            "to_limit_design_clear_min",
            "limit_degc",
        ),
    ];
    let said = |(what, column, at): &(&str, &'static str, &'static str)| {
        let at = number(at).map_or_else(String::new, |degc| format!(", {},", temperature(degc)));
        number(column).map(|min| format!("{what}{at} after {}", figures::duration(min)))
    };
    let marks: Vec<String> = marks.iter().filter_map(said).collect();
    let marks = match marks.as_slice() {
        [] => "air and leaf stay above the alarm and the limit".to_owned(),
        marks => marks.join("; "),
    };
    let low = number("lowest_leaf_design_clear_degc").map_or_else(String::new, |degc| {
        let range = number("lowest_leaf_design_clear_low_degc")
            .zip(number("lowest_leaf_design_clear_high_degc"))
            .map_or_else(String::new, |(low, high)| {
                format!(
                    ", or {} to {}, since nobody has measured how slack films hold heat",
                    Quantity::Temperature.number(low, view.system),
                    Quantity::Temperature.short(high, view.system)
                )
            });
        format!(" The lowest leaf is at {}{range}.", temperature(degc))
    });
    format!("{marks}.{low}")
}

fn lost(view: View<'_>, outage: &Outage) -> String {
    let count = |column| outage.count(view.run, column);
    let (Some(lost), Some(nights)) = (count("nights_lost"), count("nights")) else {
        return "The table does not say in how many nights the crop is lost.".to_owned();
    };
    let limit = outage.text(view.run, "limit");
    let mut words = format!(
        "The crop ({limit}) would be lost in {} of the {} nights of the season, if it failed in that night.",
        figures::count(lost),
        figures::count(nights)
    );
    let travel = outage.number(view.run, "travel_min").map(figures::duration);
    if let (Some(fast), Some(travel), true) = (count("nights_too_fast"), travel, lost > 0) {
        words += &match fast {
            0 => format!(
                " An alarm leaves time to help in all of them, if help comes within {travel}."
            ),
            fast => format!(
                " In {} of them it would be sooner than help comes, {travel} after the alarm.",
                figures::count(fast)
            ),
        };
    }
    words
}

fn standby(view: View<'_>, outage: &Outage) -> String {
    let number = |column| outage.number(view.run, column);
    number("standby_output_design_clear_kw").zip(number("standby_hold_degc")).map_or_else(
        String::new,
        |(kw, hold_degc)| {
            format!(
                " A standby heater that needs no electricity and gives {} would hold the air at {} on the design night.",
                Quantity::Power.pair(kw, view.system),
                Quantity::Temperature.pair(hold_degc, view.system)
            )
        },
    )
}

/// A failure beside the main one.
fn other_words(view: View<'_>, outage: &Outage) -> String {
    let number = |column| outage.number(view.run, column);
    let holds = match number("hold_missed_design_clear_k") {
        Some(missed_k) if missed_k < 0.05 => {
            "the heaters still hold the house on the design night. ".to_owned()
        }
        Some(missed_k) => format!(
            "the air falls {} below what the heaters hold on the design night. ",
            Quantity::Difference.pair(missed_k, view.system)
        ),
        None => String::new(),
    };
    let low = number("lowest_leaf_worst_degc").map_or_else(String::new, |degc| {
        format!(
            "The lowest leaf of all nights is at {}. ",
            Quantity::Temperature.pair(degc, view.system)
        )
    });
    let lost = match outage.count(view.run, "nights_lost") {
        None => String::new(),
        Some(0) => "The crop would be lost in no night.".to_owned(),
        Some(lost) => {
            let nights = figures::counted(lost, "night", "nights");
            format!("The crop would be lost in {nights}.")
        }
    };
    capital(&format!("{holds}{low}{lost}"))
}

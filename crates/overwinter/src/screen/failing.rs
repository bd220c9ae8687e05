//! What a failure does, in the summary of a run.

use overwinter_study::summary::{CaseSummary, FailingSummary};
use overwinter_study::tables::outages::{JudgedBy, OneNight, start_name};
use overwinter_units::System;

use super::figures;
use super::layout::{item, labelled};
use super::night::{after, duration, heaters_go_on};

/// The block of one case.
pub(super) fn block(failing: &FailingSummary, system: System) -> String {
    let row = &failing.row;
    let Some(night) = &row.clear else {
        return String::new();
    };
    let length = figures::figures(row.length_h);
    let mut text = labelled(
        &heading(&row.failure),
        &format!(
            "at {} for {length} h, on the clear design night: {}",
            start_name(row.start),
            course(night, system),
        ),
    );
    text += &labelled("Crop lost", &lost(failing, night));
    if let Some(standby_w) = night.standby_w {
        text += &labelled(
            "Standby heater",
            &standby(standby_w, &row.judged_by, system),
        );
    }
    if let Some(row) = &failing.generator
        && let Some(night) = &row.clear
    {
        let lost = row.all.as_ref().map_or(0, |all| all.lost);
        let text_of = format!(
            "{}; crop lost in {} of the {} nights",
            course(night, system),
            figures::count(lost),
            figures::count(row.nights)
        );
        text += &labelled("With the generator", &text_of);
    }
    if let Some((blower, heaters)) = failing.blower.as_ref().and_then(|b| Some((b, b.heaters?))) {
        let text_of = format!("the heaters {}", heaters_go_on(heaters, blower, system));
        text += &labelled("If the blower fails", &text_of);
    }
    text
}

/// One line for many cases: the one with the coldest leaf.
pub(super) fn coldest(cases: &[CaseSummary], system: System) -> String {
    let nights = cases.iter().filter_map(|case| {
        let failing = case.outcome.as_ref().ok()?.failing.as_ref()?;
        Some((case, failing, failing.row.clear.as_ref()?))
    });
    let coldest = nights.min_by(|a, b| a.2.leaf_k.total_cmp(&b.2.leaf_k));
    let Some((case, failing, night)) = coldest else {
        return String::new();
    };
    item(&format!(
        "{} at {} for {} h on the clear design night, case {} gets the coldest: {}. See the table outages.",
        heading(&failing.row.failure),
        start_name(failing.row.start),
        figures::figures(failing.row.length_h),
        case.case_id,
        course(night, system),
    ))
}

fn heading(failure: &str) -> String {
    match failure {
        "power" => "If the power fails".to_owned(),
        other => format!("Failing: {other}"),
    }
}

fn course(night: &OneNight, system: System) -> String {
    let number = |temp_k| figures::temperature_number(temp_k, system);
    let ends = night.leaf_range_k.map(|ends_k| ends_k.map(number));
    let range = ends.filter(|[low, high]| low != high);
    let range = range.map_or_else(String::new, |[low, high]| format!(", from {low} to {high}"));
    format!(
        "air freezing {}, lowest leaf {}{range}",
        after(night.freezing_h),
        figures::temperature(night.leaf_k, system),
    )
}

fn lost(failing: &FailingSummary, night: &OneNight) -> String {
    let row = &failing.row;
    let judged_by = &row.judged_by;
    let then = if night.is_lost { "yes" } else { "no" };
    let limit = &judged_by.limit_name;
    let Some(all) = &row.all else {
        return format!("{then} ({limit})");
    };
    let help = match (all.lost, all.too_fast) {
        (0, _) => String::new(),
        (_, 0) => "; an alarm leaves time to help in all of them".to_owned(),
        (_, fast) => format!(
            "; in {} of them sooner than help comes in {}",
            figures::count(fast),
            duration(judged_by.travel_h)
        ),
    };
    let without = match all.lost_without {
        0 => String::new(),
        nights => format!(" ({} of them without any failure)", figures::count(nights)),
    };
    format!(
        "{then} ({limit}); in {} of the {} nights of the season{without}{help}",
        figures::count(all.lost),
        figures::count(row.nights),
    )
}

fn standby(standby_w: f64, judged_by: &JudgedBy, system: System) -> String {
    format!(
        "{} in need of no electricity would hold {} then",
        figures::output(standby_w, system),
        figures::temperature(judged_by.emergency_hold_k, system),
    )
}

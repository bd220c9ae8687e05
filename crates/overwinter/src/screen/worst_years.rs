//! The worst of several calendar years, design by design.

use overwinter_study::ranking::WorstYears;
use overwinter_units::System;

use super::figures;
use super::layout::{Lean, columns, item};

/// Most lines.
const MOST_LINES: usize = 12;

/// The block, by the first limit of each crop; nothing without several years of a place.
pub(super) fn block(all: &[WorstYears], system: System) -> String {
    let Some(first) = all.first() else {
        return String::new();
    };
    let is_first = |of: &&WorstYears| of.limit_name == first.limit_name;
    let of_limit: Vec<&WorstYears> = all.iter().filter(is_first).collect();
    let mut rows = headers(system);
    rows.extend(of_limit.iter().take(MOST_LINES).map(|of| line(of, system)));
    let mut lean = vec![Lean::Right; rows[0].len()];
    lean[0] = Lean::Left;
    let limit = figures::temperature(first.limit_k, system);
    let mut text = format!("\n{}", columns(&rows, &lean, 0..1));
    text += &item(&format!(
        "Calendar years by the hours below {limit}, {}; half: what half of the years are below. Files of \
         typical years are not among them.",
        first.limit_name
    ));
    let more = of_limit.len().saturating_sub(MOST_LINES);
    if more > 0 || of_limit.len() < all.len() {
        text += &item("More designs and limits stand in the table worst_years.");
    }
    text
}

fn headers(system: System) -> Vec<Vec<String>> {
    let temperature = match system {
        System::Si => "degC",
        System::Us => "degF",
    };
    let rows = [
        [
            "Worst of several years",
            "years",
            "with",
            "worst",
            "below",
            "lowest",
            "below",
            "lowest",
        ],
        ["", "", "hours", "year", "then", "then", "half", "half"],
        ["", "", "below", "", "h", temperature, "h", temperature],
    ];
    rows.map(|row| row.map(str::to_owned).to_vec()).to_vec()
}

fn line(of: &WorstYears, system: System) -> Vec<String> {
    let labels = of.labels.iter().map(|label| &**label);
    let name: Vec<&str> = labels.chain([&*of.place]).collect();
    vec![
        format!("  {}", name.join(", ")),
        figures::count(of.years),
        figures::count(of.years_below),
        of.worst.year.to_string(),
        figures::figures(of.worst.hours),
        figures::temperature_number(of.worst.low_k, system),
        figures::figures(of.median_h),
        figures::temperature_number(of.median_low_k, system),
    ]
}

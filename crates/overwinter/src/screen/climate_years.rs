//! Years of one place side by side, with the worst of them named.

use std::path::{Path, PathBuf};

use overwinter_units::System;
use overwinter_weather::climate::{ColdNight, DegreeDays, summarise};
use overwinter_weather::{Place, Year, YearKind, is_same_place};

use super::climate::{degc_text, degree_day_sum};
use super::figures;
use super::layout::{Lean, columns, labelled};
use super::weather::year_words;

/// What is compared of a file.
pub(crate) struct YearFacts {
    file: PathBuf,
    place: Place,
    kind: YearKind,
    coldest: ColdNight,
    degree_days: DegreeDays,
}

impl YearFacts {
    /// Those of a file that was read; `None` for a year without nights.
    pub(crate) fn of(file: &Path, year: &Year) -> Option<Self> {
        let summary = summarise(year);
        Some(Self {
            file: file.to_owned(),
            place: summary.place,
            kind: year.kind(),
            coldest: *summary.coldest_nights.first()?,
            degree_days: summary.degree_days,
        })
    }
}

/// The comparison for every place with two files or more; empty if there is none.
pub(crate) fn text(years: &[YearFacts], system: System) -> String {
    let mut groups: Vec<Vec<&YearFacts>> = Vec::new();
    for year in years {
        let same = |group: &&mut Vec<&YearFacts>| is_same_place(&group[0].place, &year.place);
        match groups.iter_mut().find(same) {
            Some(group) => group.push(year),
            None => groups.push(vec![year]),
        }
    }
    let compared = groups.iter().filter(|group| group.len() > 1);
    compared.map(|group| of_place(group, system)).collect()
}

fn of_place(years: &[&YearFacts], system: System) -> String {
    let header = ["Year", "coldest hour", "", "degree-days", "file"].map(str::to_owned);
    let mut rows = vec![header.to_vec()];
    rows.extend(years.iter().map(|year| row(year, system)));
    let lean = [Lean::Left, Lean::Right, Lean::Left, Lean::Right, Lean::Left];
    let coldest = years
        .iter()
        .min_by(|a, b| a.coldest.air_temp_c.total_cmp(&b.coldest.air_temp_c));
    let longest = years
        .iter()
        .max_by(|a, b| a.degree_days.sum_k_day.total_cmp(&b.degree_days.sum_k_day));
    let named = |year: Option<&&YearFacts>| year.map(|year| name(year)).unwrap_or_default();
    let base = degc_text(years[0].degree_days.base_c, system);
    let place = &years[0].place.name;
    format!("\nYears of one place: {place}, degree-days to base {base}\n\n")
        + &columns(&rows, &lean, 4..5)
        + &labelled("Coldest hour", &named(coldest))
        + &labelled("Most degree-days", &named(longest))
}

fn row(year: &YearFacts, system: System) -> Vec<String> {
    vec![
        format!("  {}", year_words(year.kind)),
        degc_text(year.coldest.air_temp_c, system),
        figures::date_and_hour(year.coldest.instant % 8760),
        degree_day_sum(&year.degree_days, system),
        file_name(year),
    ]
}

fn name(year: &YearFacts) -> String {
    format!("{} ({})", year_words(year.kind), file_name(year))
}

fn file_name(year: &YearFacts) -> String {
    let name = year.file.file_name().unwrap_or(year.file.as_os_str());
    name.to_string_lossy().into_owned()
}

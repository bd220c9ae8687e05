//! Which designs a report shows, in which settings, and which case stands for each.
//!
//! A setting is what designs are compared within, most often a climate. Of a design with several
//! draws the middle one by the fuel of its year is shown, a case that stands in the tables, and not a
//! mixture of cases; ranges over all draws come from the tables of comparison.

use std::collections::BTreeMap;

use crate::manifest::Manifest;
use crate::table::Table;

/// Designs in a chart beyond which its lines cannot be told apart.
const MOST_DESIGNS: usize = 6;
/// Settings beyond which a report gets too long to be read.
pub(crate) const MOST_SETTINGS: usize = 4;
/// By which measures the designs to be shown are chosen, the first that was ranked.
const CHOSEN_BY: [&str; 3] = ["fuel and electricity cost", "fuel cost", "fuel energy"];

/// What designs are compared within.
#[derive(Clone, Debug)]
pub(crate) struct Setting {
    /// Its labels, or the place where there are none.
    pub(crate) label: String,
    /// The weather station or place.
    pub(crate) place: String,
    /// The weather file, as the scenario names it.
    pub(crate) weather_file: String,
    /// Designs shown, in the order of their cases.
    pub(crate) designs: Vec<Design>,
    /// Designs not shown.
    pub(crate) left_out: usize,
}

/// A design in a setting.
#[derive(Clone, Debug)]
pub(crate) struct Design {
    /// Labels of its alternatives.
    pub(crate) label: String,
    /// The case that is shown.
    pub(crate) case_id: u64,
    /// The number of its first case, by which tables of comparison know it.
    pub(crate) first_case_id: u64,
}

/// The cases of a setting or a design, in order.
type Rows = Vec<usize>;

/// All settings with the designs that are shown.
pub(crate) fn settings(
    manifest: &Manifest,
    tables: &BTreeMap<&'static str, Table>,
    fuels: &BTreeMap<u64, f64>,
) -> Vec<Setting> {
    let Some(cases) = tables.get("cases") else {
        return Vec::new();
    };
    let axes = axes(cases);
    let (of_settings, of_designs): (Vec<&str>, Vec<&str>) = axes
        .into_iter()
        .partition(|axis| is_setting(axis, cases, tables.get("ranking")));
    let chooser = Chooser {
        manifest,
        cases,
        ranking: tables.get("ranking"),
        compare: tables.get("compare"),
        fuels,
        axes: of_designs,
    };
    let groups = grouped(cases, cases.rows().collect(), &of_settings);
    groups
        .into_iter()
        .filter_map(|(label, rows)| chooser.setting(label, &rows))
        .collect()
}

/// Columns that hold the alternative on an axis.
fn axes(cases: &Table) -> Vec<&str> {
    let names = cases
        .columns()
        .iter()
        .map(|column| column.entry.name.as_str());
    names.filter(|name| name.starts_with("axis_")).collect()
}

/// True if designs are compared within the alternatives of an axis: where the ranking says so, or
/// where each alternative has a weather file of its own.
fn is_setting(axis: &str, cases: &Table, ranking: Option<&Table>) -> bool {
    if let Some(ranking) = ranking {
        return ranking.has(axis);
    }
    let mut files: BTreeMap<&str, &str> = BTreeMap::new();
    for row in cases.rows() {
        let file = cases.text("weather_file", row);
        if *files.entry(cases.text(axis, row)).or_insert(file) != file {
            return false;
        }
    }
    let distinct: std::collections::BTreeSet<&&str> = files.values().collect();
    distinct.len() > 1
}

/// Rows that have the same labels in `columns`, in the order of their first row.
fn grouped(cases: &Table, rows: Rows, columns: &[&str]) -> Vec<(String, Rows)> {
    let mut groups: Vec<(String, Rows)> = Vec::new();
    let mut places: BTreeMap<String, usize> = BTreeMap::new();
    for row in rows {
        let labels: Vec<&str> = columns.iter().map(|axis| cases.text(axis, row)).collect();
        let label = labels.join(", ");
        let place = *places.entry(label.clone()).or_insert(groups.len());
        match groups.get_mut(place) {
            Some((_, rows)) => rows.push(row),
            None => groups.push((label, vec![row])),
        }
    }
    groups
}

struct Chooser<'a> {
    manifest: &'a Manifest,
    cases: &'a Table,
    ranking: Option<&'a Table>,
    compare: Option<&'a Table>,
    fuels: &'a BTreeMap<u64, f64>,
    axes: Vec<&'a str>,
}

impl Chooser<'_> {
    /// The setting with its designs; `None` if no case of it ran.
    fn setting(&self, label: String, rows: &Rows) -> Option<Setting> {
        let designs = grouped(self.cases, rows.clone(), &self.axes);
        let designs: Vec<Design> = designs
            .into_iter()
            .filter_map(|(label, rows)| self.design(label, &rows))
            .collect();
        let first = designs.first()?.case_id;
        let row = *self.cases.of_case(first).first()?;
        let weather_file = self.cases.text("weather_file", row).to_owned();
        let place = self.place(&weather_file, row);
        let all = designs.len();
        let designs = self.chosen(designs);
        Some(Setting {
            label: if label.is_empty() {
                place.clone()
            } else {
                label
            },
            place,
            weather_file,
            left_out: all - designs.len(),
            designs,
        })
    }

    /// The station with its region.
    fn place(&self, weather_file: &str, row: usize) -> String {
        let file = self
            .manifest
            .weather
            .iter()
            .find(|file| file.file.path == weather_file);
        match file.filter(|file| !file.region.is_empty()) {
            Some(file) => format!("{}, {}", file.place, file.region),
            None => self.cases.text("climate", row).to_owned(),
        }
    }

    fn design(&self, label: String, rows: &Rows) -> Option<Design> {
        let first_case_id = self.cases.id("case_id", *rows.first()?)?;
        let ran = rows
            .iter()
            .filter(|&&row| self.cases.text("status", row) == "done");
        let mut ran: Vec<u64> = ran
            .filter_map(|&row| self.cases.id("case_id", row))
            .collect();
        let fuel = |case_id: &u64| self.fuels.get(case_id).copied().unwrap_or(0.0);
        ran.sort_by(|a, b| fuel(a).total_cmp(&fuel(b)).then(a.cmp(b)));
        let case_id = *ran.get(ran.len().checked_sub(1)? / 2)?;
        let label = if label.is_empty() {
            "this house".to_owned()
        } else {
            label
        };
        Some(Design {
            label,
            case_id,
            first_case_id,
        })
    }

    /// The best designs and what they are compared with, in the order of their cases.
    fn chosen(&self, mut designs: Vec<Design>) -> Vec<Design> {
        if designs.len() <= MOST_DESIGNS {
            return designs;
        }
        let baseline = self.baseline(&designs);
        let places = self.places();
        designs.sort_by_key(|design| {
            let is_baseline = Some(design.first_case_id) == baseline;
            let place = places
                .get(&design.first_case_id)
                .copied()
                .unwrap_or(u64::MAX);
            (!is_baseline, place, design.first_case_id)
        });
        designs.truncate(MOST_DESIGNS);
        designs.sort_by_key(|design| design.first_case_id);
        designs
    }

    /// The first case of the design that others are compared with.
    fn baseline(&self, designs: &[Design]) -> Option<u64> {
        let compare = self.compare?;
        let ids = compare
            .rows()
            .filter_map(|row| compare.id("b_first_case_id", row));
        ids.into_iter()
            .find(|id| designs.iter().any(|design| design.first_case_id == *id))
    }

    /// Places by the first measure that was ranked, by the first case of a design.
    fn places(&self) -> BTreeMap<u64, u64> {
        let Some(ranking) = self.ranking else {
            return BTreeMap::new();
        };
        let of = |measure: &&str| {
            let rows = ranking.select(|row| ranking.text("measure", row) == *measure);
            let place = |&row: &usize| {
                ranking
                    .id("first_case_id", row)
                    .zip(ranking.id("place_by_median", row))
            };
            let places: BTreeMap<u64, u64> = rows.iter().filter_map(place).collect();
            (!places.is_empty()).then_some(places)
        };
        CHOSEN_BY.iter().find_map(of).unwrap_or_default()
    }
}

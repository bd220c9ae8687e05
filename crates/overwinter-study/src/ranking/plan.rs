//! Which cases are one design, which are compared with each other, and what was drawn for them.

use std::collections::BTreeMap;
use std::sync::Arc;

use overwinter_weather::{YearKind, is_same_place};
use serde::{Deserialize, Serialize};

use super::statistics::LEAST_DRAWS;
use crate::axes::choice_among;
use crate::case::Climate;

/// What ranking needs to know of a study: case numbers follow from it, nothing is listed by case.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RankingPlan {
    /// The axes; the last runs fastest, draws faster still.
    pub(crate) axes: Vec<PlannedAxis>,
    /// Combinations of the axes that rules keep, in order, where there are rules.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(crate) kept: Option<Vec<usize>>,
    /// Draws of each combination.
    pub(crate) draws: usize,
    /// What is drawn.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) inputs: Vec<PlannedInput>,
    /// Alternative on each axis of the design that others are compared with; that on an axis of
    /// settings has no meaning.
    pub(crate) baseline: Vec<usize>,
    /// The weather files.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(crate) climates: Vec<PlannedClimate>,
}

/// Which designs are compared within what.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Outline {
    /// Names of the axes whose alternatives make a design.
    pub design_axes: Vec<String>,
    /// Number of designs.
    pub designs: usize,
    /// The design that others are compared with, where it is there.
    #[serde(rename = "against")]
    pub baseline: Arc<str>,
    /// Names of the axes within whose alternatives designs are compared.
    pub setting_axes: Vec<String>,
    /// Number of settings.
    pub settings: usize,
}

/// An axis.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct PlannedAxis {
    /// Its name.
    pub(crate) name: String,
    /// Labels of its alternatives.
    pub(crate) labels: Vec<String>,
    /// True if its alternatives are designs; false if designs are compared within each of them.
    pub(crate) is_design: bool,
    /// True if its alternatives are weather files and nothing else.
    pub(crate) is_weather_file: bool,
}

/// A sampled input.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct PlannedInput {
    /// Its name.
    pub(crate) name: String,
    /// Its unit.
    pub(crate) unit: String,
    /// Its value in each draw.
    pub(crate) values: Vec<f64>,
}

/// A weather file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(crate) struct PlannedClimate {
    /// The file, as the scenario writes it.
    pub(crate) written: String,
    /// Name of the place.
    pub(crate) place: String,
    /// The first weather file of the same place, an index.
    pub(crate) same_place: usize,
    /// The calendar year that it holds, if it holds one.
    pub(crate) year: Option<i32>,
}

/// One design in one setting: its cases are `first_case` and those after it, one a draw.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Cell {
    /// Index into [`Grid::designs`].
    pub(crate) design: usize,
    /// Its first case, counted from 0.
    pub(crate) first_case: usize,
}

/// What designs are compared within.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Setting {
    /// Label on each axis of settings.
    pub(crate) labels: Vec<Arc<str>>,
    /// Its designs, in order.
    pub(crate) cells: Vec<Cell>,
}

/// All settings and designs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Grid {
    /// Names of the axes of settings.
    pub(crate) setting_axes: Vec<String>,
    /// Settings in order.
    pub(crate) settings: Vec<Setting>,
    /// Labels of the designs, those of several axes joined.
    pub(crate) designs: Vec<Arc<str>>,
    /// Index of the baseline.
    pub(crate) baseline: usize,
}

impl Setting {
    /// The design that the others are compared with here: the baseline or, where rules leave it out,
    /// the first.
    pub(crate) fn baseline(&self, grid: &Grid) -> Option<Cell> {
        let is_baseline = |cell: &&Cell| cell.design == grid.baseline;
        let found = self.cells.iter().find(is_baseline);
        found.or(self.cells.first()).copied()
    }
}

impl Default for RankingPlan {
    /// Of one case.
    fn default() -> Self {
        Self {
            axes: Vec::new(),
            kept: None,
            draws: 1,
            inputs: Vec::new(),
            baseline: Vec::new(),
            climates: Vec::new(),
        }
    }
}

impl RankingPlan {
    /// Draws of each design.
    pub fn draws(&self) -> usize {
        self.draws
    }

    /// How many cases it covers.
    pub fn cases(&self) -> usize {
        self.combinations() * self.draws
    }

    /// True if there is anything to make a table of.
    pub fn has_tables(&self) -> bool {
        self.compares() || self.drives() || self.has_years()
    }

    /// True if there are designs to compare.
    pub fn compares(&self) -> bool {
        let mut choices = self.choices().map(|choice| self.part(&choice, true));
        let first = choices.next();
        choices.any(|choice| Some(choice) != first)
    }

    /// Which designs are compared within what; `None` if there is nothing to compare.
    pub fn outline(&self) -> Option<Outline> {
        if !self.compares() {
            return None;
        }
        let grid = self.grid();
        let names = |designs| {
            self.axes_of(designs)
                .map(|axis| axis.name.clone())
                .collect()
        };
        Some(Outline {
            design_axes: names(true),
            designs: grid.designs.len(),
            baseline: grid.designs.get(grid.baseline).cloned()?,
            setting_axes: names(false),
            settings: grid.settings.len(),
        })
    }

    /// True if some combination has the design that others are compared with.
    pub(super) fn has_baseline(&self) -> bool {
        let baseline = self.part(&self.baseline, true);
        self.choices()
            .any(|choice| self.part(&choice, true) == baseline)
    }

    /// True if the alternatives of an axis are designs.
    pub(crate) fn is_design_axis(&self, name: &str) -> bool {
        self.axes_of(true).any(|axis| axis.name == name)
    }

    /// The same plan with the weather files of a study.
    pub(crate) fn with_climates(mut self, climates: &[Climate]) -> Self {
        let planned = |(at, climate): (usize, &Climate)| {
            let is_same = |other: &Climate| is_same_place(&other.year.place, &climate.year.place);
            PlannedClimate {
                written: climate.written.clone(),
                place: climate.year.place.name.clone(),
                same_place: climates.iter().position(is_same).unwrap_or(at),
                year: match climate.year.kind() {
                    YearKind::Real(year) => Some(year),
                    YearKind::Typical | YearKind::Unstated => None,
                },
            }
        };
        self.climates = climates.iter().enumerate().map(planned).collect();
        self
    }

    /// True if enough is drawn to tell what drives a result.
    pub fn drives(&self) -> bool {
        self.draws >= LEAST_DRAWS && !self.inputs.is_empty()
    }

    /// True if some place has weather files of at least two calendar years.
    pub fn has_years(&self) -> bool {
        let years_of = |place: usize| {
            let of_place = self
                .climates
                .iter()
                .filter(move |one| one.same_place == place);
            of_place.filter(|one| one.year.is_some()).count()
        };
        self.axes.iter().any(|axis| axis.is_weather_file)
            && (0..self.climates.len()).any(|place| years_of(place) >= 2)
    }

    /// Index of a weather file.
    pub(super) fn climate(&self, written: &str) -> Option<usize> {
        let mut climates = self.climates.iter();
        climates.position(|climate| climate.written == written)
    }

    /// Alternative on each axis of each combination, in the order of the cases.
    pub(super) fn choices(&self) -> impl Iterator<Item = Vec<usize>> {
        (0..self.combinations()).map(|at| match &self.kept {
            Some(kept) => self.choice(kept[at]),
            None => self.choice(at),
        })
    }

    /// The settings with their designs.
    pub(crate) fn grid(&self) -> Grid {
        let mut settings: BTreeMap<Vec<usize>, Vec<(Vec<usize>, usize)>> = BTreeMap::new();
        let mut designs: BTreeMap<Vec<usize>, usize> = BTreeMap::new();
        for (at, choice) in self.choices().enumerate() {
            let (design, setting) = (self.part(&choice, true), self.part(&choice, false));
            designs.insert(design.clone(), 0);
            settings
                .entry(setting)
                .or_default()
                .push((design, at * self.draws));
        }
        for (index, number) in designs.values_mut().enumerate() {
            *number = index;
        }
        let cell = |(design, first_case): (Vec<usize>, usize)| Cell {
            design: designs[&design],
            first_case,
        };
        let setting = |(choice, cells): (Vec<usize>, Vec<_>)| {
            let mut cells: Vec<Cell> = cells.into_iter().map(cell).collect();
            cells.sort_by_key(|cell| cell.design);
            let labels = self.axes_of(false).zip(choice);
            Setting {
                labels: labels.map(|(axis, at)| Arc::from(axis.label(at))).collect(),
                cells,
            }
        };
        let label = |choice: &Vec<usize>| {
            let labels = self.axes_of(true).zip(choice);
            let labels: Vec<&str> = labels.map(|(axis, &at)| axis.label(at)).collect();
            Arc::from(labels.join(" / "))
        };
        let baseline = self.part(&self.baseline, true);
        Grid {
            setting_axes: self.axes_of(false).map(|axis| axis.name.clone()).collect(),
            settings: settings.into_iter().map(setting).collect(),
            baseline: designs.get(&baseline).copied().unwrap_or(0),
            designs: designs.keys().map(label).collect(),
        }
    }

    fn combinations(&self) -> usize {
        match &self.kept {
            Some(kept) => kept.len(),
            None => self.axes.iter().map(|axis| axis.labels.len()).product(),
        }
    }

    fn choice(&self, combination: usize) -> Vec<usize> {
        choice_among(self.axes.iter().map(|axis| axis.labels.len()), combination)
    }

    fn axes_of(&self, designs: bool) -> impl Iterator<Item = &PlannedAxis> {
        self.axes
            .iter()
            .filter(move |axis| axis.is_design == designs)
    }

    /// The part of a choice that makes the design, or the setting.
    fn part(&self, choice: &[usize], designs: bool) -> Vec<usize> {
        let axes = self.axes.iter().zip(choice);
        let kept = axes.filter(|(axis, _)| axis.is_design == designs);
        kept.map(|(_, at)| *at).collect()
    }
}

impl PlannedAxis {
    pub(super) fn label(&self, at: usize) -> &str {
        self.labels.get(at).map_or("", String::as_str)
    }
}

//! The values of a measure over the draws of a design.

use std::cmp::Ordering;

use super::measure::{Measure, Unit};
use super::measures::Measures;
use super::plan::{Cell, RankingPlan, Setting};

/// What the cases of a study gave, by case; `None` for one that failed.
pub(super) type Cases<'a> = &'a [Option<&'a Measures>];

/// One measure of one design in one setting.
#[derive(Clone, Debug)]
pub(super) struct Series {
    /// In what it is counted.
    pub(super) unit: Unit,
    /// A value for each draw; `None` where the case failed.
    values: Vec<Option<f64>>,
}

/// All measures of the designs of a setting.
pub(super) struct Samples {
    /// Designs, in order, each with its measures.
    pub(super) designs: Vec<(Cell, Vec<(Measure, Series)>)>,
}

impl Samples {
    /// Those of a setting.
    pub(super) fn of(setting: &Setting, plan: &RankingPlan, cases: Cases<'_>) -> Self {
        let measures = |cell: &Cell| {
            let one = |measure: Measure| {
                let series = Series::of(measure, *cell, plan, cases)?;
                Some((measure, series))
            };
            Measure::ALL.into_iter().filter_map(one).collect()
        };
        let cells = setting.cells.iter();
        Self {
            designs: cells.map(|cell| (*cell, measures(cell))).collect(),
        }
    }

    /// The same with those draws alone in which every design has a measure.
    pub(super) fn with_all(mut self, measure: Measure) -> Self {
        let number = |at: usize| self.series(at, measure).map_or(0, |of| of.values.len());
        let draws = (0..self.designs.len()).map(number).max().unwrap_or(0);
        let has_all = |draw: usize| {
            let mut designs = 0..self.designs.len();
            designs.all(|at| {
                self.series(at, measure)
                    .is_some_and(|of| of.value(draw).is_some())
            })
        };
        let lacking: Vec<usize> = (0..draws).filter(|draw| !has_all(*draw)).collect();
        for (_, measures) in &mut self.designs {
            for (_, series) in measures {
                for draw in &lacking {
                    series.values[*draw] = None;
                }
            }
        }
        self
    }

    /// A measure of the design at a place in the order of the setting.
    pub(super) fn series(&self, at: usize, measure: Measure) -> Option<&Series> {
        let (_, series) = self.designs.get(at)?;
        let mut series = series.iter();
        series
            .find(|(of, _)| *of == measure)
            .map(|(_, series)| series)
    }

    /// Where a design stands in the setting.
    pub(super) fn place(&self, cell: Cell) -> Option<usize> {
        self.designs.iter().position(|(found, _)| *found == cell)
    }
}

impl Series {
    /// `None` if no case of the design has the measure.
    fn of(measure: Measure, cell: Cell, plan: &RankingPlan, cases: Cases<'_>) -> Option<Self> {
        let drawn = (0..plan.draws).map(|draw| *cases.get(cell.first_case + draw)?);
        let drawn: Vec<Option<&Measures>> = drawn.collect();
        let has_value = |of: &&Measures| measure.value(of).is_some();
        let first = drawn.iter().copied().flatten().find(has_value)?;
        let value = |of: &Option<&Measures>| {
            let comparable = of.filter(|of| measure.is_same_unit(of, first));
            comparable.and_then(|of| measure.value(of))
        };
        Some(Self {
            unit: measure.unit(first),
            values: drawn.iter().map(value).collect(),
        })
    }

    /// The value of a draw.
    pub(super) fn value(&self, draw: usize) -> Option<f64> {
        self.values.get(draw).copied().flatten()
    }

    /// The draws that ran, each with its value.
    pub(super) fn ran(&self) -> impl Iterator<Item = (usize, f64)> {
        let all = self.values.iter().enumerate();
        all.filter_map(|(draw, value)| Some((draw, (*value)?)))
    }

    /// The draws in which both ran, with both values; `None` if they are not counted in the same.
    pub(super) fn paired(&self, other: &Self) -> Option<Vec<(usize, f64, f64)>> {
        let both = |(draw, a)| Some((draw, a, other.value(draw)?));
        (self.unit == other.unit).then(|| self.ran().filter_map(both).collect())
    }
}

/// Order of two values, the better first.
pub(super) fn better_first(measure: Measure, a: f64, b: f64) -> Ordering {
    match measure.is_better(a, b) {
        Some(true) => Ordering::Less,
        Some(false) => Ordering::Greater,
        None => Ordering::Equal,
    }
}

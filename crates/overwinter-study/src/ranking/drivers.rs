//! Which sampled inputs drive a result: the table `drivers`.

use std::cmp::Ordering;
use std::sync::Arc;

use super::columns::{self, Labels};
use super::measure::{Measure, Unit};
use super::plan::{Cell, Grid, PlannedInput, RankingPlan, Setting};
use super::sample::{Cases, Samples};
use super::statistics::{
    LEAST_DRAWS, Sorted, chance_correlation, chance_correlation_of_any, rank_correlation,
};
use crate::tables::Table;

/// A row: one input behind one measure of a design, or of its difference from the baseline.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct DriverRow {
    pub(super) setting: usize,
    pub(super) cell: Cell,
    /// The design that it is measured against, or none.
    pub(super) less: Option<Cell>,
    pub(super) measure: Measure,
    pub(super) unit: Unit,
    pub(super) driver: Driver,
}

/// What an input does.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Driver {
    /// Index of the input.
    pub(super) input: usize,
    /// Draws that ran.
    pub(super) draws: usize,
    /// Spearman's rank correlation.
    pub(super) correlation: f64,
    /// Median of the measure in the third of the draws with the highest input less that in the third
    /// with the lowest.
    pub(super) swing: f64,
    /// Place by the size of the correlation, from 1.
    pub(super) place: usize,
}

impl Driver {
    /// True if, of so many unrelated inputs, any would correlate so much in fewer than one of twenty
    /// samples (each is given its share of the one: Bonferroni's inequality).
    pub(super) fn stands_out_of(&self, inputs: usize) -> bool {
        self.correlation.abs() > chance_correlation_of_any(self.draws, inputs)
    }

    /// True if unrelated numbers would correlate so much in fewer than one of twenty samples.
    pub(super) fn is_above_chance(&self) -> bool {
        self.correlation.abs() > chance_correlation(self.draws)
    }
}

/// The inputs behind some values, each with its draw, the strongest first; none for fewer than
/// [`LEAST_DRAWS`] or where the values do not vary.
pub(super) fn drivers(drawn: &[(usize, f64)], inputs: &[PlannedInput]) -> Vec<Driver> {
    if drawn.len() < LEAST_DRAWS {
        return Vec::new();
    }
    let values: Vec<f64> = drawn.iter().map(|(_, value)| *value).collect();
    let driver = |(index, input): (usize, &PlannedInput)| {
        let given: Option<Vec<f64>> = drawn
            .iter()
            .map(|(draw, _)| input.values.get(*draw).copied().filter(|x| x.is_finite()))
            .collect();
        let given = given?;
        Some(Driver {
            input: index,
            draws: drawn.len(),
            correlation: rank_correlation(&given, &values)?,
            swing: swing(&given, &values)?,
            place: 0,
        })
    };
    let mut found: Vec<Driver> = inputs.iter().enumerate().filter_map(driver).collect();
    found.sort_by(stronger_first);
    for (at, driver) in found.iter_mut().enumerate() {
        driver.place = at + 1;
    }
    found
}

fn stronger_first(a: &Driver, b: &Driver) -> Ordering {
    let size = |driver: &Driver| driver.correlation.abs();
    size(b).total_cmp(&size(a)).then(a.input.cmp(&b.input))
}

/// Median of `values` in the third of them with the highest `given` less that in the third with the
/// lowest; of equal ones the earlier counts as lower.
fn swing(given: &[f64], values: &[f64]) -> Option<f64> {
    let mut order: Vec<usize> = (0..given.len()).collect();
    order.sort_by(|a, b| given[*a].total_cmp(&given[*b]));
    let third = order.len() / 3;
    let median = |of: &[usize]| Sorted::of(of.iter().map(|at| values[*at])).median();
    Some(median(&order[order.len() - third..])? - median(&order[..third])?)
}

/// The rows of a study.
pub(super) fn rows(grid: &Grid, plan: &RankingPlan, cases: Cases<'_>) -> Vec<DriverRow> {
    let settings = grid.settings.iter().enumerate();
    let of_setting = |(index, setting): (usize, &Setting)| {
        let samples = Samples::of(setting, plan, cases);
        let baseline = setting.baseline(grid).and_then(|cell| samples.place(cell));
        let mut rows = Vec::new();
        for at in 0..samples.designs.len() {
            let against = std::iter::once(None).chain(baseline.filter(|b| *b != at).map(Some));
            for less in against {
                for measure in Measure::ALL {
                    let found = behind(&samples, at, less, measure, &plan.inputs);
                    rows.extend(found.into_iter().map(|(unit, driver)| DriverRow {
                        setting: index,
                        cell: setting.cells[at],
                        less: less.map(|less| setting.cells[less]),
                        measure,
                        unit,
                        driver,
                    }));
                }
            }
        }
        rows
    };
    settings.flat_map(of_setting).collect()
}

/// The inputs behind a measure of a design, or behind its difference from another.
pub(super) fn behind(
    samples: &Samples,
    at: usize,
    less: Option<usize>,
    measure: Measure,
    inputs: &[PlannedInput],
) -> Vec<(Unit, Driver)> {
    let found = || {
        let series = samples.series(at, measure)?;
        let drawn: Vec<(usize, f64)> = match less {
            None => series.ran().collect(),
            Some(less) => {
                let paired = series.paired(samples.series(less, measure)?)?;
                paired
                    .into_iter()
                    .map(|(draw, a, b)| (draw, a - b))
                    .collect()
            }
        };
        let drivers = drivers(&drawn, inputs).into_iter();
        Some(
            drivers
                .map(|driver| (series.unit.clone(), driver))
                .collect(),
        )
    };
    found().unwrap_or_default()
}

/// The table.
pub(super) fn table(rows: &[DriverRow], grid: &Grid, inputs: &[PlannedInput]) -> Table {
    let labels = Labels::of(grid);
    let builder = columns::of_setting(
        "drivers",
        "a sampled input behind one measure of a design in one setting, or behind the difference of \
         that design from another; of at least 10 draws; what does not vary has no row",
        rows.iter(),
        &labels,
        |row: &DriverRow| row.setting,
    );
    let builder = columns::design(
        builder,
        ["design", "first_case_id"],
        "labels of its alternatives",
        &labels,
        |row: &DriverRow| Some(row.cell),
    );
    let builder = columns::design(
        builder,
        ["less_design", "less_first_case_id"],
        "the design whose value is taken off, draw by draw; empty where the value itself is meant",
        &labels,
        |row: &DriverRow| row.less,
    );
    let builder = columns::measure(builder, |row: &DriverRow| (row.measure, &row.unit));
    let input = |row: &DriverRow| inputs.get(row.driver.input);
    let builder = builder
        .text("input", "name of the sampled input", |row| {
            input(row).map(|input| Arc::<str>::from(input.name.as_str()))
        })
        .text("input_unit", "its unit, or times for a factor", |row| {
            let unit = input(row).map(|input| input.unit.as_str());
            unit.filter(|unit| !unit.is_empty()).map(Arc::<str>::from)
        })
        .whole("draws", "draws that ran", |row| Some(row.driver.draws as i64))
        .whole(
            "place",
            "place among the inputs by the size of rank_correlation, 1 is the strongest",
            |row| Some(row.driver.place as i64),
        )
        .number(
            "rank_correlation",
            "-1 to 1",
            "Spearman's rank correlation of the input with the measure over the draws: above zero they \
             rise together",
            |row| row.driver.correlation,
        )
        .number(
            "rank_variance_share",
            "share, 0 to 1",
            "its square: the share of the variance of the ranks that goes with the input",
            |row| row.driver.correlation.powi(2),
        )
        .number(
            "chance_correlation",
            "0 to 1",
            "size that the rank correlation of unrelated numbers exceeds in 5 of 100 samples of so \
             many draws: 1.96 / sqrt(draws - 1)",
            |row| chance_correlation(row.driver.draws),
        )
        .text(
            "above_chance",
            "yes if the size of rank_correlation is above chance_correlation, else no",
            |row| Some(if row.driver.is_above_chance() { "yes" } else { "no" }),
        );
    columns::difference(
        builder,
        "swing",
        "median of the measure in the third of the draws with the highest input less that in the third \
         with the lowest",
        |row: &DriverRow| row.measure.scale(),
        |row| Some(row.driver.swing),
    )
    .finish()
}

//! Differences between two designs under the same draws: the table `compare`.

use super::columns::{self, Labels};
use super::measure::{Better, Measure, Unit};
use super::plan::{Cell, Grid, RankingPlan, Setting};
use super::sample::{Cases, Samples, Series};
use super::statistics::{Sorted, Spread, share_better};
use crate::tables::Table;

/// Designs in a setting up to which each is compared with each.
pub(super) const MOST_PAIRED: usize = 40;

/// A row: two designs in one setting by one measure.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct PairRow {
    pub(super) setting: usize,
    pub(super) a: Cell,
    pub(super) b: Cell,
    pub(super) measure: Measure,
    pub(super) unit: Unit,
    pub(super) pair: Pair,
}

/// What two designs differ by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pair {
    /// Median of the first, over the draws that both ran.
    pub(super) a_median: f64,
    /// Median of the second.
    pub(super) b_median: f64,
    /// First less second, draw by draw.
    pub(super) difference: Spread,
    /// Share of the draws in which the first is better, equal ones counting half; of at least two.
    pub(super) a_better: Option<f64>,
}

impl Pair {
    /// Of two designs; `None` if no draw ran with both, or they are not counted in the same unit.
    pub(super) fn of(measure: Measure, a: &Series, b: &Series) -> Option<Self> {
        let drawn = a.paired(b)?;
        let differences: Vec<f64> = drawn.iter().map(|(_, a, b)| a - b).collect();
        let values: Vec<(f64, f64)> = drawn.iter().map(|&(_, a, b)| (a, b)).collect();
        let a_better = share_better(&values, |a, b| measure.is_better(a, b));
        Some(Self {
            a_median: Sorted::of(values.iter().map(|(a, _)| *a)).median()?,
            b_median: Sorted::of(values.iter().map(|(_, b)| *b)).median()?,
            difference: Spread::of(&differences)?,
            a_better: a_better.filter(|_| values.len() >= 2),
        })
    }
}

/// The rows of a study.
pub(super) fn rows(grid: &Grid, plan: &RankingPlan, cases: Cases<'_>) -> Vec<PairRow> {
    let settings = grid.settings.iter().enumerate();
    let of_setting = |(index, setting): (usize, &Setting)| {
        let samples = Samples::of(setting, plan, cases);
        let pairs = pairs(setting, grid);
        let rows = pairs.into_iter().flat_map(|(a, b)| {
            let rows = Measure::ALL.into_iter().map(move |measure| (a, b, measure));
            rows.collect::<Vec<_>>()
        });
        let row = |(a, b, measure): (usize, usize, Measure)| {
            let [of_a, of_b] = [a, b].map(|at| samples.series(at, measure));
            let (of_a, of_b) = (of_a?, of_b?);
            Some(PairRow {
                setting: index,
                a: setting.cells[a],
                b: setting.cells[b],
                measure,
                unit: of_a.unit.clone(),
                pair: Pair::of(measure, of_a, of_b)?,
            })
        };
        rows.filter_map(row).collect::<Vec<_>>()
    };
    settings.flat_map(of_setting).collect()
}

/// Places of the designs that are compared: the second is the baseline or the one that comes first.
fn pairs(setting: &Setting, grid: &Grid) -> Vec<(usize, usize)> {
    let Some(baseline) = setting.baseline(grid) else {
        return Vec::new();
    };
    let Some(baseline) = setting.cells.iter().position(|cell| *cell == baseline) else {
        return Vec::new();
    };
    let others = || (0..setting.cells.len()).filter(move |at| *at != baseline);
    let with_baseline = others().map(|at| (at, baseline));
    if setting.cells.len() > MOST_PAIRED {
        return with_baseline.collect();
    }
    let among_others = others().flat_map(|b| others().filter(move |&a| a > b).map(move |a| (a, b)));
    with_baseline.chain(among_others).collect()
}

/// The table.
pub(super) fn table(rows: &[PairRow], grid: &Grid) -> Table {
    let labels = Labels::of(grid);
    let builder = columns::of_setting(
        "compare",
        "two designs A and B in one setting by one measure: each design with each where a setting has \
         up to 40, else each with the baseline; B is the baseline or the design that comes first",
        rows.iter(),
        &labels,
        |row: &PairRow| row.setting,
    );
    let builder = columns::design(
        builder,
        ["design_a", "a_first_case_id"],
        "design A: labels of its alternatives",
        &labels,
        |row: &PairRow| Some(row.a),
    );
    let builder = columns::design(
        builder,
        ["design_b", "b_first_case_id"],
        "design B",
        &labels,
        |row: &PairRow| Some(row.b),
    );
    let builder = columns::measure(builder, |row: &PairRow| (row.measure, &row.unit))
        .text(
            "better",
            "less: the smaller value is the better one; more: the larger",
            |row: &PairRow| {
                Some(match row.measure.better() {
                    Better::Less => "less",
                    Better::More => "more",
                })
            },
        )
        .whole(
            "draws",
            "draws that ran with both designs; the k-th draw is the same for every design, and only \
             the two cases of one draw are compared",
            |row: &PairRow| Some(row.pair.difference.count as i64),
        );
    let difference = |row: &PairRow| row.pair.difference;
    let low = move |row: &PairRow| difference(row).range.map(|[low, _]| low);
    let high = move |row: &PairRow| difference(row).range.map(|[_, high]| high);
    let scale = |row: &PairRow| row.measure.scale();
    let builder = columns::value(builder, "a_median", "median of A", scale, |row| {
        Some(row.pair.a_median)
    });
    let builder = columns::value(builder, "b_median", "median of B", scale, |row| {
        Some(row.pair.b_median)
    });
    let builder = columns::difference(
        builder,
        "a_less_b_median",
        "median over the draws of A less B; below zero A has less",
        scale,
        move |row| Some(difference(row).median),
    );
    let builder = columns::difference(
        builder,
        "a_less_b_p05",
        "5 % point of A less B: 90 of 100 draws lie between this and a_less_b_p95; empty for fewer \
         than 10 draws",
        scale,
        low,
    );
    let builder = columns::difference(builder, "a_less_b_p95", "95 % point", scale, high);
    let builder = columns::difference(
        builder,
        "a_less_b_mean",
        "mean over the draws of A less B",
        scale,
        move |row| Some(difference(row).mean),
    );
    builder
        .number(
            "a_better_share",
            "share, 0 to 1",
            "share of the draws in which A is better than B; equal ones count half; empty for one draw",
            |row| row.pair.a_better,
        )
        .finish()
}

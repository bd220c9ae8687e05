//! How often a design is the best of its setting: the table `ranking`.

use super::columns::{self, Labels};
use super::measure::{Measure, Unit};
use super::plan::{Cell, Grid, RankingPlan, Setting};
use super::sample::{Cases, Samples, Series, better_first};
use super::statistics::Spread;
use crate::tables::Table;

/// A row: a design in a setting by one measure.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct StandingRow {
    pub(super) setting: usize,
    pub(super) cell: Cell,
    pub(super) measure: Measure,
    pub(super) unit: Unit,
    pub(super) standing: Standing,
}

/// How a design does among others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Standing {
    /// Designs that are ranked together.
    pub(super) among: usize,
    /// The value of the design, over the draws that ran with all of them.
    pub(super) value: Spread,
    /// Place by the median, from 1; designs that are equal share the better place.
    pub(super) place: usize,
    /// Share of those draws in which it is the best; those that are equal share a draw. Of at least
    /// two draws.
    pub(super) best: Option<f64>,
}

/// The rows of a study.
pub(super) fn rows(grid: &Grid, plan: &RankingPlan, cases: Cases<'_>) -> Vec<StandingRow> {
    let settings = grid.settings.iter().enumerate();
    let of_setting = |(index, setting): (usize, &Setting)| {
        let samples = Samples::of(setting, plan, cases);
        let of_measure = |measure: Measure| {
            let standings = standings(measure, &samples);
            let row = |(cell, unit, standing): (Cell, Unit, Standing)| StandingRow {
                setting: index,
                cell,
                measure,
                unit,
                standing,
            };
            standings.into_iter().map(row).collect::<Vec<_>>()
        };
        Measure::ALL
            .into_iter()
            .flat_map(of_measure)
            .collect::<Vec<_>>()
    };
    settings.flat_map(of_setting).collect()
}

/// How the designs of a setting that have a measure do by it. Those that are not counted in the same,
/// such as gallons of propane and therms of gas, are ranked apart.
pub(super) fn standings(measure: Measure, samples: &Samples) -> Vec<(Cell, Unit, Standing)> {
    let mut groups: Vec<Vec<(usize, &Series)>> = Vec::new();
    for at in 0..samples.designs.len() {
        let Some(series) = samples.series(at, measure) else {
            continue;
        };
        match groups
            .iter_mut()
            .find(|group| group[0].1.unit == series.unit)
        {
            Some(group) => group.push((at, series)),
            None => groups.push(vec![(at, series)]),
        }
    }
    let mut found: Vec<(usize, Standing)> =
        groups.iter().flat_map(|group| of(measure, group)).collect();
    found.sort_by_key(|(at, _)| *at);
    let named = |(at, standing): (usize, Standing)| {
        let unit = samples.series(at, measure)?.unit.clone();
        Some((samples.designs[at].0, unit, standing))
    };
    found.into_iter().filter_map(named).collect()
}

fn of(measure: Measure, group: &[(usize, &Series)]) -> Vec<(usize, Standing)> {
    let Some(((_, first), others)) = group.split_first() else {
        return Vec::new();
    };
    let ran_with_all = |draw: &usize| others.iter().all(|(_, one)| one.value(*draw).is_some());
    let draws: Vec<usize> = first
        .ran()
        .map(|(draw, _)| draw)
        .filter(ran_with_all)
        .collect();
    let column = |(_, one): &(usize, &Series)| -> Vec<f64> {
        draws.iter().filter_map(|&draw| one.value(draw)).collect()
    };
    let values: Vec<Vec<f64>> = group.iter().map(column).collect();
    let spreads: Option<Vec<Spread>> = values.iter().map(|values| Spread::of(values)).collect();
    let Some(spreads) = spreads else {
        return Vec::new();
    };
    let best = best_counts(measure, &values, draws.len());
    let mut medians: Vec<f64> = spreads.iter().map(|spread| spread.median).collect();
    medians.sort_by(|a, b| better_first(measure, *a, *b));
    let standing = |(index, value): (usize, &Spread)| {
        let is_ahead = |other: &f64| better_first(measure, *other, value.median).is_lt();
        let standing = Standing {
            among: group.len(),
            value: *value,
            place: 1 + medians.partition_point(is_ahead),
            best: (draws.len() >= 2).then(|| best[index] / draws.len() as f64),
        };
        (group[index].0, standing)
    };
    spreads.iter().enumerate().map(standing).collect()
}

/// In how many draws each design is the best; those that are equal share a draw.
fn best_counts(measure: Measure, values: &[Vec<f64>], draws: usize) -> Vec<f64> {
    let mut counts = vec![0.0; values.len()];
    for draw in 0..draws {
        let drawn = || values.iter().map(|values| values[draw]);
        let Some(best) = drawn().min_by(|a, b| better_first(measure, *a, *b)) else {
            continue;
        };
        let is_best = |value: f64| measure.is_better(best, value).is_none();
        let shared = drawn().filter(|value| is_best(*value)).count() as f64;
        for (count, value) in counts.iter_mut().zip(drawn()) {
            if is_best(value) {
                *count += 1.0 / shared;
            }
        }
    }
    counts
}

/// The table.
pub(super) fn table(rows: &[StandingRow], grid: &Grid) -> Table {
    let labels = Labels::of(grid);
    let builder = columns::of_setting(
        "ranking",
        "a design in one setting by one measure, against all others of the setting that are counted \
         in the same unit",
        rows.iter(),
        &labels,
        |row: &StandingRow| row.setting,
    );
    let builder = columns::design(
        builder,
        ["design", "first_case_id"],
        "labels of its alternatives",
        &labels,
        |row: &StandingRow| Some(row.cell),
    );
    let builder = columns::measure(builder, |row: &StandingRow| (row.measure, &row.unit)).whole(
        "draws",
        "draws that ran with all of these designs",
        |row| Some(row.standing.value.count as i64),
    );
    let value = |row: &StandingRow| row.standing.value;
    let scale = |row: &StandingRow| row.measure.scale();
    let low = move |row: &StandingRow| value(row).range.map(|[low, _]| low);
    let high = move |row: &StandingRow| value(row).range.map(|[_, high]| high);
    let builder = columns::value(
        builder,
        "median",
        "median over the draws",
        scale,
        move |row| Some(value(row).median),
    );
    let builder = columns::value(
        builder,
        "p05",
        "5 % point: 90 of 100 draws lie between this and p95; empty for fewer than 10 draws",
        scale,
        low,
    );
    columns::value(builder, "p95", "95 % point", scale, high)
        .whole("designs_ranked", "designs that are ranked together", |row| {
            Some(row.standing.among as i64)
        })
        .whole(
            "place_by_median",
            "place by the median, 1 is the best; equal designs share the better place",
            |row| Some(row.standing.place as i64),
        )
        .number(
            "best_share",
            "share, 0 to 1",
            "share of the draws in which it is the best of them; equal designs share a draw; empty for \
             one draw",
            |row| row.standing.best,
        )
        .finish()
}

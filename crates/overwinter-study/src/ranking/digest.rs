//! What a screen tells of many draws: setting by setting, by the one measure that matters most.

use std::sync::Arc;

use super::drivers::{self, Driver};
use super::measure::Measure;
use super::pairs::Pair;
use super::plan::{Grid, RankingPlan, Setting};
use super::sample::{Cases, Samples};
use super::standings::{Standing, standings};
use super::statistics::Spread;

/// What designs are put in order by: the first that all designs of a setting have and that is not
/// nothing in all of them.
const ORDERED_BY: [Measure; 5] = [
    Measure::Cost,
    Measure::FuelCost,
    Measure::FuelEnergy,
    Measure::LowestLeaf,
    Measure::LowestAir,
];
/// Inputs that are told of each spread.
const MOST_DRIVERS: usize = 2;

/// The draws of a study in short.
#[derive(Clone, Debug, PartialEq)]
pub struct Digest {
    /// Draws of each design.
    pub draws: usize,
    /// Inputs that are drawn.
    pub inputs: usize,
    /// The settings in which a draw ran with all designs, in order.
    pub settings: Vec<SettingDigest>,
}

/// The designs of a setting.
#[derive(Clone, Debug, PartialEq)]
pub struct SettingDigest {
    /// Label on each axis of settings; none without such axes.
    pub labels: Vec<Arc<str>>,
    /// What the designs are put in order by.
    pub measure: Measure,
    /// Its unit in the tables; a currency for a cost.
    pub unit: Arc<str>,
    /// Draws that ran with all designs.
    pub draws: usize,
    /// The design that others are compared with; none where there is one design.
    pub baseline: Option<Arc<str>>,
    /// The designs, the best by its median first; those that do not hold their temperature in half of
    /// the draws or more stand behind the others, since they save by being too cold.
    pub designs: Vec<DesignDigest>,
}

/// A design. Values are in SI units (J, K) or in money.
#[derive(Clone, Debug, PartialEq)]
pub struct DesignDigest {
    /// Labels of its alternatives.
    pub label: Arc<str>,
    /// The measure over the draws that ran with all designs.
    pub value: Spread,
    /// The design less the baseline, draw by draw; none for the baseline itself.
    pub less_baseline: Option<Spread>,
    /// Share of the draws in which it is better than the baseline.
    pub better_share: Option<f64>,
    /// Its lowest leaf or, in a house without a crop, its lowest air, K.
    pub lowest_k: Option<Spread>,
    /// What is missing of its heat, where anything is.
    pub unheld: Option<Unheld>,
    /// The inputs that go most with the measure, more than by chance.
    pub drivers: Vec<DrivenBy>,
    /// Those that go most with the difference from the baseline.
    pub difference_drivers: Vec<DrivenBy>,
}

/// Heat that a design does not give.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unheld {
    /// Share of the draws in which it misses its temperature.
    pub share: f64,
    /// Heat that is missing in a year, the median of those draws, J.
    pub lacking_j: f64,
}

/// An input behind a spread.
#[derive(Clone, Debug, PartialEq)]
pub struct DrivenBy {
    /// Its name.
    pub input: Arc<str>,
    /// Spearman's rank correlation, -1 to 1.
    pub correlation: f64,
}

/// That of a study; `None` without at least two draws, or if nothing can be told of them.
pub(crate) fn digest(plan: &RankingPlan, cases: Cases<'_>) -> Option<Digest> {
    if plan.draws() < 2 {
        return None;
    }
    let grid = plan.grid();
    let settings = grid.settings.iter();
    let settings: Vec<SettingDigest> = settings
        .filter_map(|setting| of_setting(setting, &grid, plan, cases))
        .collect();
    (!settings.is_empty()).then(|| Digest {
        draws: plan.draws(),
        inputs: plan.inputs.len(),
        settings,
    })
}

fn of_setting(
    setting: &Setting,
    grid: &Grid,
    plan: &RankingPlan,
    cases: Cases<'_>,
) -> Option<SettingDigest> {
    let samples = Samples::of(setting, plan, cases);
    let (measure, mut found) = in_order(&samples)?;
    // All that is told of a setting is told of the same draws.
    let samples = samples.with_all(measure);
    let baseline = setting.baseline(grid).and_then(|cell| samples.place(cell));
    let baseline = baseline.filter(|_| setting.cells.len() > 1);
    let is_cold = |at| unheld(&samples, at).is_some_and(|unheld| unheld.share >= 0.5);
    found.sort_by_key(|(at, standing)| (is_cold(*at), standing.place, *at));
    let label = |at: usize| grid.designs.get(setting.cells[at].design).cloned();
    let design = |(at, standing): &(usize, Standing)| {
        let less = baseline.filter(|baseline| baseline != at);
        let pair = less.and_then(|less| {
            let of = |at| samples.series(at, measure);
            Pair::of(measure, of(*at)?, of(less)?)
        });
        let driven = |less| driven_by(&samples, *at, less, measure, plan);
        Some(DesignDigest {
            label: label(*at)?,
            value: standing.value,
            less_baseline: pair.map(|pair| pair.difference),
            better_share: pair.and_then(|pair| pair.a_better),
            lowest_k: lowest(&samples, *at),
            unheld: unheld(&samples, *at),
            drivers: driven(None),
            difference_drivers: less.map_or_else(Vec::new, |less| driven(Some(less))),
        })
    };
    Some(SettingDigest {
        labels: setting.labels.clone(),
        measure,
        unit: samples.series(found.first()?.0, measure)?.unit.name.clone(),
        draws: found.first()?.1.value.count,
        baseline: baseline.and_then(label),
        designs: found.iter().filter_map(design).collect(),
    })
}

/// The first measure that tells the designs apart, and how each does by it, with its place in the
/// setting.
fn in_order(samples: &Samples) -> Option<(Measure, Vec<(usize, Standing)>)> {
    ORDERED_BY.into_iter().find_map(|measure| {
        let found: Vec<(usize, Standing)> = standings(measure, samples)
            .into_iter()
            .filter_map(|(cell, _, standing)| Some((samples.place(cell)?, standing)))
            .collect();
        let all = samples.designs.len();
        let are_together = found.iter().all(|(_, standing)| standing.among == all);
        let is_any = found
            .iter()
            .any(|(_, standing)| standing.value.mean.abs() > 0.0);
        (found.len() == all && are_together && is_any).then_some((measure, found))
    })
}

fn lowest(samples: &Samples, at: usize) -> Option<Spread> {
    let mut measures = [Measure::LowestLeaf, Measure::LowestAir].into_iter();
    let series = measures.find_map(|measure| samples.series(at, measure))?;
    let values: Vec<f64> = series.ran().map(|(_, value)| value).collect();
    Spread::of(&values)
}

fn unheld(samples: &Samples, at: usize) -> Option<Unheld> {
    let series = samples.series(at, Measure::UnmetHeat)?;
    let all: Vec<f64> = series.ran().map(|(_, value)| value).collect();
    let lacking: Vec<f64> = all.iter().copied().filter(|heat_j| *heat_j > 0.0).collect();
    Some(Unheld {
        share: lacking.len() as f64 / all.len() as f64,
        lacking_j: Spread::of(&lacking)?.median,
    })
}

fn driven_by(
    samples: &Samples,
    at: usize,
    less: Option<usize>,
    measure: Measure,
    plan: &RankingPlan,
) -> Vec<DrivenBy> {
    let found = drivers::behind(samples, at, less, measure, &plan.inputs).into_iter();
    // Of many inputs one may stand out by chance.
    let above = found
        .map(|(_, driver)| driver)
        .filter(|driver| driver.stands_out_of(plan.inputs.len()));
    let named = |driver: Driver| {
        Some(DrivenBy {
            input: Arc::from(plan.inputs.get(driver.input)?.name.as_str()),
            correlation: driver.correlation,
        })
    };
    above.filter_map(named).take(MOST_DRIVERS).collect()
}

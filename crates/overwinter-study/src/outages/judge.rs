//! From branches to the rows of the table.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use overwinter_engine::error::EngineError;
use overwinter_engine::outage::{Outage, Rung, standby_house};
use overwinter_physics::frost::longest_spell_below;
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};

use super::Tried;
use super::design::{DesignNight, Sky};
use super::dried;
use super::ladder::{Ladder, marks, question};
use super::nights::hours;
use super::stage::Stage;
use super::tryout::{Pair, Tryout};
use crate::tables::outages::{AllNights, JudgedBy, OneNight, OutageRow, Reached};

/// One night in so many may ring an alarm that is set too high, when nothing fails.
const ONE_QUIET_NIGHT_IN: usize = 100;

/// Distinct failure, start, night of the season.
type Key = (usize, usize, usize);

/// The rows of a case: failure by failure of the plan, start by start, from the shortest length.
pub(super) fn rows(
    tried: &Tried<'_>,
    stage: &Stage<'_>,
    ladder: &Ladder,
    design: &[DesignNight],
) -> Result<Vec<OutageRow>, EngineError> {
    let worst = worst_nights(tried, stage, ladder)?;
    let dried = dried::all(tried, stage, ladder)?;
    let dried_length = dried::length(&tried.plan.lengths_h);
    let quiet_k = quiet_k(tried, ladder);
    let lost_anyway = lost_anyway(tried, ladder);
    let judged_by = judged_by(tried);
    let mut rows = Vec::new();
    for (failure, &distinct) in tried.plan.failures.iter().zip(&ladder.failures.of_plan) {
        let name: Arc<str> = Arc::from(failure.name.as_str());
        for (at, &start) in tried.plan.starts.iter().enumerate() {
            let nights = &ladder.outages[distinct][at];
            let mut shorter: Option<OneNight> = None;
            for (length, &length_h) in tried.plan.lengths_h.iter().enumerate() {
                let worst_night = worst_night(nights, length);
                let key = worst_night.map(|night| (distinct, at, night));
                let of_sky = |sky: Sky| {
                    let night = design.iter().find(|night| night.sky == sky)?;
                    night.tryouts[distinct][at].night(length)
                };
                let of_worst = key.and_then(|key| worst.get(&key)?.night(length));
                let of_worst = of_worst.map(|night| at_least(night, shorter.as_ref()));
                shorter.clone_from(&of_worst);
                rows.push(OutageRow {
                    case_id: tried.case.id,
                    failure: name.clone(),
                    start,
                    length_h,
                    nights: nights.len(),
                    judged_by: judged_by.clone(),
                    all: all_nights(nights, &lost_anyway, length, length_h, quiet_k),
                    worst: of_worst,
                    clear: of_sky(Sky::Clear),
                    windy: of_sky(Sky::Windy),
                    drying: dried
                        .get(&(distinct, at))
                        .filter(|_| dried_length == Some(length))
                        .copied(),
                });
            }
        }
    }
    Ok(rows)
}

pub(super) fn judged_by(tried: &Tried<'_>) -> JudgedBy {
    let marks = marks(tried.case, tried.plan);
    let limit = tried.case.frost_limits.get(tried.plan.limit);
    JudgedBy {
        limit_name: Arc::from(limit.map_or("water freezes", |limit| limit.name.as_str())),
        limit_k: marks.limit_k,
        lag_h: marks.lag_h,
        alarm_k: marks.alarm_k,
        travel_h: marks.travel_h,
        emergency_hold_k: tried.plan.emergency_hold_k,
    }
}

/// The nights that are the worst at any length, tried once more with all that is told of one night.
fn worst_nights(
    tried: &Tried<'_>,
    stage: &Stage<'_>,
    ladder: &Ladder,
) -> Result<BTreeMap<Key, Tryout>, EngineError> {
    let mut keys = BTreeSet::new();
    for (failure, starts) in ladder.outages.iter().enumerate() {
        for (start, nights) in starts.iter().enumerate() {
            let lengths = 0..tried.plan.lengths_h.len();
            let worst = lengths.filter_map(|length| worst_night(nights, length));
            keys.extend(worst.map(|night| (failure, start, night)));
        }
    }
    let keys: Vec<Key> = keys.into_iter().collect();
    let standby = standby_house(&tried.case.house, tried.plan.emergency_hold_k);
    let standby = stage.with_house(&standby);
    let tryouts: Vec<Tryout> = keys
        .par_iter()
        .map_init(
            || Pair::start(stage, &standby, tried.plan.emergency_hold_k),
            |pair, &(failure, start, night)| {
                let pair = pair.as_mut().map_err(|error| error.clone())?;
                let (failing, effect) = &ladder.failures.distinct[failure];
                let question = question(tried.case, tried.plan, failing);
                pair.tryout(&ladder.states[start][night], &question, effect)
            },
        )
        .collect::<Result<_, _>>()?;
    Ok(keys.into_iter().zip(tryouts).collect())
}

/// The worst night of a length with what a shorter failure did in its own worst night, where that was more:
/// a longer failure holds the shorter one.
fn at_least(mut night: OneNight, shorter: Option<&OneNight>) -> OneNight {
    let Some(shorter) = shorter else { return night };
    night.standby_w = match (night.standby_w, shorter.standby_w) {
        (Some(now_w), Some(before_w)) => Some(now_w.max(before_w)),
        (now_w, _) => now_w,
    };
    if let (Some(now_k), Some(before_k)) = (&mut night.leaf_range_k, shorter.leaf_range_k) {
        for (now_k, before_k) in now_k.iter_mut().zip(before_k) {
            *now_k = now_k.min(before_k);
        }
    }
    night
}

/// The first night with the coldest leaf at a length.
pub(super) fn worst_night(nights: &[Outage], length: usize) -> Option<usize> {
    by_leaf(nights, length).first().copied()
}

/// The night in the middle by the coldest leaf; of two, the colder one.
pub(super) fn median_night(nights: &[Outage], length: usize) -> Option<usize> {
    let nights = by_leaf(nights, length);
    nights.get(nights.len().saturating_sub(1) / 2).copied()
}

/// Nights from the coldest leaf to the warmest, equal ones in the order of the year.
fn by_leaf(nights: &[Outage], length: usize) -> Vec<usize> {
    let leaf_k = |night: &usize| {
        let rung = nights[*night].rungs.get(length);
        rung.map_or(f64::INFINITY, |rung| rung.lowest_leaf_k)
    };
    let mut order: Vec<usize> = (0..nights.len()).collect();
    order.sort_by(|a, b| leaf_k(a).total_cmp(&leaf_k(b)));
    order
}

/// Lowest air of a night in which nothing fails that all but one night in a hundred keep above: an
/// alarm set higher rings for nothing.
pub(super) fn quiet_k(tried: &Tried<'_>, ladder: &Ladder) -> f64 {
    let lowest_k = |evening: &usize| {
        hours(*evening)
            .filter_map(|hour| tried.normal.air_lowest_k.get(hour).copied())
            .fold(f64::INFINITY, f64::min)
    };
    let mut lows_k: Vec<f64> = ladder.evenings.iter().map(lowest_k).collect();
    lows_k.sort_by(f64::total_cmp);
    let at = lows_k.len() / ONE_QUIET_NIGHT_IN;
    lows_k.get(at).copied().unwrap_or(f64::INFINITY)
}

/// Nights of the season in which the crop is lost though nothing fails: hours with a leaf below the limit,
/// each counted whole, that last for the lag.
fn lost_anyway(tried: &Tried<'_>, ladder: &Ladder) -> Vec<bool> {
    let marks = marks(tried.case, tried.plan);
    let spells = |evening: &usize| {
        let leaf_k = |hour: usize| tried.normal.top_leaf_lowest_k.get(hour).copied();
        let leaf_k: Vec<f64> = hours(*evening).filter_map(leaf_k).collect();
        longest_spell_below(&leaf_k, marks.limit_k, 1.0)
    };
    let is_lost = |evening: &usize| spells(evening) >= marks.lag_h.max(1.0);
    ladder.evenings.iter().map(is_lost).collect()
}

/// What all nights say of one length; `None` without nights.
fn all_nights(
    nights: &[Outage],
    lost_anyway: &[bool],
    length: usize,
    length_h: f64,
    quiet_k: f64,
) -> Option<AllNights> {
    let rungs: Vec<&Rung> = nights.iter().filter_map(|n| n.rungs.get(length)).collect();
    let reached = |time_h: fn(&Outage) -> Option<f64>| reached(nights, time_h, length_h);
    let (air_worst, air_worst_k) = nights
        .iter()
        .zip(&rungs)
        .map(|(night, rung)| (night.start_hour, rung.lowest_air_k))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    let plateaus_k: Vec<f64> = nights.iter().filter_map(|night| night.plateau_k).collect();
    let lost = || nights.iter().zip(&rungs).filter(|(_, rung)| rung.is_lost);
    let in_time_k = |night: &Outage| night.warning_k.filter(|warning_k| *warning_k <= quiet_k);
    Some(AllNights {
        leaf_median_k: median(rungs.iter().map(|rung| rung.lowest_leaf_k))?,
        air_median_k: median(rungs.iter().map(|rung| rung.lowest_air_k))?,
        air_worst_k,
        air_worst_start_hour: air_worst,
        alarm: reached(|night| night.alarm_h),
        freezing: reached(|night| night.freezing_h),
        limit: reached(|night| night.limit_h),
        plateau_median_k: median(plateaus_k.iter().copied()),
        plateau_worst_k: plateaus_k.iter().copied().min_by(f64::total_cmp),
        lost: lost().count(),
        lost_without: nights
            .iter()
            .zip(&rungs)
            .zip(lost_anyway)
            .filter(|((_, rung), anyway)| rung.is_lost && **anyway)
            .count(),
        too_fast: lost()
            .filter(|(night, _)| in_time_k(night).is_none())
            .count(),
        alarm_set_k: lost()
            .filter_map(|(night, _)| in_time_k(night))
            .max_by(f64::total_cmp),
    })
}

fn reached(nights: &[Outage], time_h: fn(&Outage) -> Option<f64>, length_h: f64) -> Reached {
    let within = |time_h: &f64| *time_h <= length_h;
    let times_h: Vec<f64> = nights.iter().filter_map(time_h).filter(within).collect();
    Reached {
        median_h: median(times_h.iter().copied()),
        shortest_h: times_h.iter().copied().min_by(f64::total_cmp),
        share: times_h.len() as f64 / nights.len().max(1) as f64,
    }
}

/// The middle value; of two, the lower one.
fn median(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    values.get(values.len().saturating_sub(1) / 2).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A night whose leaf falls to a temperature in 4 h, with its limit reached after some hours.
    fn night(
        start_hour: usize,
        leaf_k: f64,
        limit_h: Option<f64>,
        warning_k: Option<f64>,
    ) -> Outage {
        Outage {
            start_hour,
            rungs: vec![Rung {
                length_h: 4.0,
                lowest_air_k: leaf_k + 1.0,
                lowest_leaf_k: leaf_k,
                is_lost: limit_h.is_some(),
            }],
            alarm_h: None,
            freezing_h: None,
            limit_h,
            lost_h: limit_h,
            plateau_k: Some(leaf_k + 2.0),
            warning_k,
        }
    }

    #[test]
    fn nights_are_summed_up() {
        let nights = [
            night(10, 270.0, Some(1.0), Some(276.0)),
            night(34, 275.0, None, None),
            night(58, 268.0, Some(0.5), None),
            night(82, 269.0, Some(3.0), Some(279.0)),
        ];
        assert_eq!(worst_night(&nights, 0), Some(2));
        assert_eq!(median_night(&nights, 0), Some(3));
        let all = all_nights(&nights, &[false, false, true, false], 0, 4.0, 278.0).expect("nights");
        assert_eq!((all.leaf_median_k, all.air_worst_k), (269.0, 269.0));
        assert_eq!(all.air_worst_start_hour, 58);
        assert_eq!(all.limit.median_h, Some(1.0));
        assert_eq!(all.limit.shortest_h, Some(0.5));
        assert_eq!((all.limit.share, all.alarm.share), (0.75, 0.0));
        // 279 K would ring on quiet nights, and one night has no warning at all.
        assert_eq!((all.lost, all.lost_without, all.too_fast), (3, 1, 2));
        assert_eq!(all.alarm_set_k, Some(276.0));
        assert_eq!(all.plateau_worst_k, Some(270.0));
    }

    #[test]
    fn no_nights_say_nothing() {
        assert_eq!(all_nights(&[], &[], 0, 4.0, 278.0), None);
        assert_eq!(worst_night(&[], 0), None);
        assert_eq!(median_night(&[], 0), None);
    }
}

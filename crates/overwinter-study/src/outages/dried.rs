//! How long the cover stays wet after a day of failure.

use std::collections::BTreeMap;

use overwinter_engine::error::EngineError;
use overwinter_engine::outage::{Drying, drying};
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};

use super::Tried;
use super::judge::median_night;
use super::ladder::Ladder;
use super::stage::Stage;

/// Shortest failure after which it is told, h: a house that was off for a day.
const A_DAY_H: f64 = 24.0;

/// Index of the length for which it is told: the shortest of a day or more.
pub(super) fn length(lengths_h: &[f64]) -> Option<usize> {
    lengths_h.iter().position(|length_h| *length_h >= A_DAY_H)
}

/// By distinct failure and start: the water on the cover after the median night of that length.
pub(super) fn all(
    tried: &Tried<'_>,
    stage: &Stage<'_>,
    ladder: &Ladder,
) -> Result<BTreeMap<(usize, usize), Drying>, EngineError> {
    let Some(length) = length(&tried.plan.lengths_h) else {
        return Ok(BTreeMap::new());
    };
    let failures = ladder.outages.iter().enumerate();
    let keys: Vec<(usize, usize, usize)> = failures
        .flat_map(|(failure, starts)| {
            let starts = starts.iter().enumerate();
            starts.map(move |(start, nights)| (failure, start, nights))
        })
        .filter_map(|(failure, start, nights)| {
            median_night(nights, length).map(|night| (failure, start, night))
        })
        .collect();
    let length_h = tried.plan.lengths_h[length];
    let of_key = |season: &mut Result<_, EngineError>, key: &(usize, usize, usize)| {
        let &(failure, start, night) = key;
        let season = season.as_mut().map_err(|error| error.clone())?;
        let failing = &ladder.failures.distinct[failure].0;
        let state = &ladder.states[start][night];
        Ok(((failure, start), drying(season, state, failing, length_h)?))
    };
    keys.par_iter()
        .map_init(|| stage.season(), of_key)
        .collect()
}

//! Many cases: those of one layout side by side in lanes, each with the bits that it has alone.

use overwinter_physics::number::Lanes;
use overwinter_weather::Year;

use super::{
    STEPS_PER_HOUR, Season, check_room_for_ample, fill_unmet, has_missed, run_once,
    with_ample_heater,
};
use crate::error::EngineError;
use crate::events::EventPlan;
use crate::house::House;
use crate::model::same_layout;
use crate::record::SeasonRecord;
use crate::step::Instructions;
use crate::sunlight::Sunlight;

/// Cases that are stepped side by side.
pub const LANES: usize = 4;

/// One case: a house in a year, with what fails in it.
#[derive(Clone, Copy, Debug)]
pub struct SeasonTask<'a> {
    /// The house.
    pub house: &'a House,
    /// The sun on it in the year.
    pub sun: &'a Sunlight,
    /// The year.
    pub year: &'a Year,
    /// What fails in the year.
    pub events: &'a EventPlan,
}

impl SeasonTask<'_> {
    /// True if two cases can be stepped side by side: houses of one layout under the same events.
    pub fn shares_lanes(&self, other: &Self) -> bool {
        same_layout(self.house, other.house) && self.events == other.events
    }
}

/// Steps any number of cases through their years; the results are in the order of the tasks.
///
/// Each result is that of [`super::run_season_with`] to the bit, whatever stands beside it, but most
/// cases take a fraction of its time where [`LANES`] or more of them share their layout
/// ([`SeasonTask::shares_lanes`]). A case that fails has its error, and the others go on.
///
/// # Examples
/// ```
/// use overwinter_engine::season::run_seasons;
/// assert!(run_seasons(&[]).is_empty());
/// ```
pub fn run_seasons(tasks: &[SeasonTask<'_>]) -> Vec<Result<SeasonRecord, EngineError>> {
    run_seasons_with(tasks, Instructions::detected())
}

/// As [`run_seasons`], with the instructions chosen, for tests and comparison.
pub fn run_seasons_with(
    tasks: &[SeasonTask<'_>],
    instructions: Instructions,
) -> Vec<Result<SeasonRecord, EngineError>> {
    let mut results = once_each(tasks, instructions);
    for (result, task) in results.iter_mut().zip(tasks) {
        if let Err(error) = check_room_for_ample(task.house) {
            *result = Err(error);
        }
    }
    let short: Vec<usize> = (0..tasks.len())
        .filter(|at| results[*at].as_ref().is_ok_and(has_missed))
        .collect();
    let ample: Vec<House> = short
        .iter()
        .map(|at| with_ample_heater(tasks[*at].house))
        .collect();
    let again: Vec<SeasonTask<'_>> = short
        .iter()
        .zip(&ample)
        .map(|(at, house)| SeasonTask {
            house,
            ..tasks[*at]
        })
        .collect();
    for (at, held) in short.iter().zip(once_each(&again, instructions)) {
        match (&mut results[*at], held) {
            (Ok(record), Ok(held)) => fill_unmet(record, &held),
            (result, Err(error)) => *result = Err(error),
            (Err(_), Ok(_)) => {}
        }
    }
    results
}

/// Every case once, without the year in which an ample heater fills what it lacks.
fn once_each(
    tasks: &[SeasonTask<'_>],
    instructions: Instructions,
) -> Vec<Result<SeasonRecord, EngineError>> {
    let mut results: Vec<Option<Result<SeasonRecord, EngineError>>> = vec![None; tasks.len()];
    for group in groups(tasks) {
        for lanes in group.chunks(LANES) {
            // One that is left over is done alone.
            let records = (lanes.len() > 1).then(|| side_by_side(tasks, lanes, instructions));
            match records.flatten() {
                Some(records) => {
                    for (at, record) in lanes.iter().zip(records) {
                        results[*at] = Some(Ok(record));
                    }
                }
                None => {
                    for at in lanes {
                        results[*at] = Some(alone(&tasks[*at]));
                    }
                }
            }
        }
    }
    let done = results.into_iter().zip(tasks);
    done.map(|(result, task)| result.unwrap_or_else(|| alone(task)))
        .collect()
}

/// Indices of the tasks that can be stepped side by side, in the order of their first.
fn groups(tasks: &[SeasonTask<'_>]) -> Vec<Vec<usize>> {
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for (at, task) in tasks.iter().enumerate() {
        let of = groups
            .iter_mut()
            .find(|group| tasks[group[0]].shares_lanes(task));
        match of {
            Some(group) => group.push(at),
            None => groups.push(vec![at]),
        }
    }
    groups
}

fn alone(task: &SeasonTask<'_>) -> Result<SeasonRecord, EngineError> {
    run_once(task.house, task.sun, task.year, task.events)
}

/// Two to [`LANES`] cases side by side; lanes that are left over repeat the last one. `None` if
/// any of them failed.
fn side_by_side(
    tasks: &[SeasonTask<'_>],
    lanes: &[usize],
    instructions: Instructions,
) -> Option<Vec<SeasonRecord>> {
    let of = |lane: usize| &tasks[lanes[lane.min(lanes.len() - 1)]];
    let houses: [&House; LANES] = std::array::from_fn(|lane| of(lane).house);
    let suns: [&Sunlight; LANES] = std::array::from_fn(|lane| of(lane).sun);
    let years: [&Year; LANES] = std::array::from_fn(|lane| of(lane).year);
    let mut season = Season::<Lanes<LANES>>::new(&houses, &suns, &years, STEPS_PER_HOUR).ok()?;
    season.stepper().set_instructions(instructions);
    season.run_with(of(0).events).ok()
}

//! The season loop: a year in half-hour steps, after a run-up that settles the ground.

mod hour;
mod many;
mod start;

use overwinter_physics::number::Real;
use overwinter_weather::Year;
use overwinter_weather::year::HOURS;

use crate::account::{Account, MOST_HEATERS};
use crate::ample::ample_heater;
use crate::balance::Conditions;
use crate::error::EngineError;
use crate::events::EventPlan;
use crate::failure::Works;
use crate::gaps::GapTrack;
use crate::house::House;
use crate::inflated::Severity;
use crate::keeper::Keeper;
use crate::model::Model;
use crate::plant::Plant;
use crate::record::SeasonRecord;
use crate::schedule::Schedule;
use crate::step::Stepper;
use crate::sunlight::Sunlight;
use start::{check_count, check_counts, start_state};

pub use many::{LANES, SeasonTask, run_seasons, run_seasons_with};
pub use start::station_density_kg_m3;

/// Steps in an hour.
pub const STEPS_PER_HOUR: usize = 2;
/// Hours of the run-up: November and December of the same year before 1 January.
pub const RUN_UP_H: usize = 61 * 24;
/// Steps in an hour within which something fails or comes back: of 5 minutes.
pub const FINE_STEPS_PER_HOUR: usize = 12;
/// Largest residual of a step, share of its throughput.
pub const ALLOWED_RESIDUAL: f64 = 1e-6;
/// Kelvin-hours a year below the set point that still count as held.
const HELD_KH: f64 = 0.1;
/// Range in which the formulas hold.
const TEMPS_K: [f64; 2] = [170.0, 400.0];

/// Steps one house through one year.
///
/// Where the heaters could not hold their set point, the year is stepped once more with an ample
/// heater below them, whose heat is the unmet heat ([`crate::ledger::Month::unmet_j`]) and with
/// which the peak that would have held is found ([`SeasonRecord::holding_peak_w`]).
///
/// # Errors
/// [`EngineError`] if the house has more parts than the engine holds, if an account does not close
/// to [`ALLOWED_RESIDUAL`], or if a temperature leaves the range of the formulas.
pub fn run_season(house: &House, sun: &Sunlight, year: &Year) -> Result<SeasonRecord, EngineError> {
    run_season_with(house, sun, year, &EventPlan::default())
}

/// As [`run_season`], with something that fails in the year itself, not in the run-up.
///
/// The ample heater of the second run never fails: heat that a failure withheld is unmet.
///
/// # Errors
/// As [`run_season`], and [`EngineError::Gaps`].
pub fn run_season_with(
    house: &House,
    sun: &Sunlight,
    year: &Year,
    events: &EventPlan,
) -> Result<SeasonRecord, EngineError> {
    check_room_for_ample(house)?;
    let mut record = run_once(house, sun, year, events)?;
    if has_missed(&record) {
        let ample = with_ample_heater(house);
        fill_unmet(&mut record, &run_once(&ample, sun, year, events)?);
    }
    Ok(record)
}

/// One place is kept for the heater that fills a shortfall.
fn check_room_for_ample(house: &House) -> Result<(), EngineError> {
    check_count("heaters", house.heaters.len(), 0, MOST_HEATERS - 1)
}

/// True if the heaters could not hold their set point.
fn has_missed(record: &SeasonRecord) -> bool {
    let missed_kh: f64 = record.months.iter().map(|month| month.below_set_kh).sum();
    missed_kh > HELD_KH
}

/// Puts into a record what the year with the ample heater found.
fn fill_unmet(record: &mut SeasonRecord, held: &SeasonRecord) {
    if let Some(filling) = held.heaters.last() {
        for (month, filled) in record.months.iter_mut().zip(filling) {
            month.unmet_j = filled.heat_j;
        }
    }
    record.holding_peak_w = Some(held.highest_output_w);
}

fn run_once(
    house: &House,
    sun: &Sunlight,
    year: &Year,
    events: &EventPlan,
) -> Result<SeasonRecord, EngineError> {
    Season::<f64>::new(&[house], &[sun], &[year], STEPS_PER_HOUR)?
        .run_with(events)
        .map(|mut records| records.remove(0))
}

/// The house with one more heater, strong, that starts where the others already give all they have.
fn with_ample_heater(house: &House) -> House {
    let mut ample = house.clone();
    ample.heaters.push(ample_heater(house, "shortfall"));
    ample
}

/// Houses of one layout on their way through a year, one in each lane.
#[derive(Debug)]
pub struct Season<'a, R> {
    schedule: Schedule<'a>,
    stepper: Stepper<R>,
    conditions: Conditions<R>,
    houses: &'a [&'a House],
    steps_per_hour: usize,
    densities_kg_m3: Vec<f64>,
    works: Works,
    /// The gaps of every lane's house, where it says how they are fed.
    gaps: Vec<Option<GapTrack<'a>>>,
    /// Outdoor air that comes in through torn films, by lane.
    torn_air_m3_s: R,
}

impl<'a, R: Real> Season<'a, R> {
    /// Prepares houses of one layout ([`crate::model::same_layout`]), one in each lane.
    ///
    /// # Errors
    /// [`EngineError::Count`] if a house has more parts than the engine holds.
    pub fn new(
        houses: &'a [&'a House],
        suns: &'a [&'a Sunlight],
        years: &'a [&'a Year],
        steps_per_hour: usize,
    ) -> Result<Self, EngineError> {
        for house in houses {
            check_counts(house)?;
        }
        let densities: Vec<f64> = years
            .iter()
            .map(|year| station_density_kg_m3(year))
            .collect();
        let model = Model::new(houses, &densities);
        let schedule = Schedule::new(houses, years, suns);
        let mut conditions = schedule.blank();
        let start_hour = HOURS - RUN_UP_H;
        schedule.begin(start_hour, &mut conditions);
        let works = Works::all();
        schedule.step_end(start_hour, 0.0, &works, &mut conditions);
        let start = start_state(&model, &conditions);
        let stepper = Stepper::new(model, Plant::new(houses), start);
        let lanes = houses.iter().zip(years);
        Ok(Self {
            schedule,
            stepper,
            conditions,
            houses,
            steps_per_hour,
            densities_kg_m3: densities,
            works,
            gaps: lanes
                .map(|(house, year)| GapTrack::new(house, year))
                .collect(),
            torn_air_m3_s: R::zero(),
        })
    }

    /// Sets which end of what nobody has measured failures are computed with; likely at first.
    pub fn set_severity(&mut self, severity: Severity) {
        for gaps in self.gaps.iter_mut().flatten() {
            gaps.set_severity(severity);
        }
    }

    /// The stepper, for tests and comparison.
    pub fn stepper(&mut self) -> &mut Stepper<R> {
        &mut self.stepper
    }

    /// Conditions `share` of the way through an hour, with the sun of that hour.
    pub fn conditions_at(&mut self, hour: usize, share: f64) -> &Conditions<R> {
        let state = &self.stepper.state;
        self.schedule.begin_hour(
            hour,
            &self.works,
            &self.stepper.model,
            state,
            &mut self.conditions,
        );
        self.schedule
            .step_end(hour, share, &self.works, &mut self.conditions);
        &self.conditions
    }

    /// Steps through hours `from` to `to` without keeping a record.
    ///
    /// # Errors
    /// As [`run_season`].
    pub fn run_up(&mut self, from: usize, to: usize) -> Result<(), EngineError> {
        let mut account = Account::default();
        let nothing = EventPlan::default();
        for hour in from..to {
            self.hour(hour, &nothing, &mut account, |_, _, _, _| {})?;
        }
        Ok(())
    }

    /// Runs up to 1 January and through the year; one record a lane.
    ///
    /// # Errors
    /// As [`run_season`].
    pub fn run(&mut self) -> Result<Vec<SeasonRecord>, EngineError> {
        self.run_with(&EventPlan::default())
    }

    /// As [`Self::run`], with something that fails in the year itself.
    ///
    /// # Errors
    /// As [`run_season_with`].
    pub fn run_with(&mut self, events: &EventPlan) -> Result<Vec<SeasonRecord>, EngineError> {
        self.run_up(HOURS - RUN_UP_H, HOURS)?;
        self.stepper.forget_effort();
        self.stepper.forget_moved();
        let start = self.stepper.state.now.clone();
        let mut keeper = Keeper::new(self.houses, &self.stepper);
        let mut account = Account::default();
        let usual_steps = self.steps_per_hour;
        for hour in 0..HOURS {
            self.set_steps_per_hour(events.steps_in(hour, usual_steps));
            self.hour(
                hour,
                events,
                &mut account,
                |stepper, conditions, account, step_s| {
                    keeper.step(stepper, conditions, account, step_s);
                },
            )?;
            keeper.end_hour(hour, &mut self.stepper, &mut account);
        }
        self.set_steps_per_hour(usual_steps);
        Ok(keeper.finish(&self.stepper, &account, &start))
    }
}

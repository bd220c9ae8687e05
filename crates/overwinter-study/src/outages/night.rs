//! One failing night of one case, with all there is to tell of it.

use std::sync::Arc;

use overwinter_engine::branch::Saved;
use overwinter_engine::error::EngineError;
use overwinter_engine::failure::{Failure, Works};
use overwinter_engine::house::House;
use overwinter_engine::outage::{
    CurvePoint, FailingNow, Outage, Question, curve, outage, standby_house,
};
use overwinter_engine::record::HourSeries;
use overwinter_engine::season::run_season;
use overwinter_engine::sunlight::sunlight;
use overwinter_physics::sky::sky_temp_k;
use overwinter_weather::Year;
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};

use super::design::{DesignYear, design_year};
use super::effect::{Effect, failing};
use super::judge::{judged_by, median_night, worst_night};
use super::ladder::marks;
use super::nights::{Darkness, evenings};
use super::stage::Stage;
use super::tryout::{Pair, Tryout};
use super::{RECOVERY_H, Sky, Tried};
use crate::case::{Case, Load, NightStart, OutagePlan, TriedFailure};
use crate::tables::calendar::{DAYS, HOURS};
use crate::tables::night::{NightCurve, NightIs};
use crate::tables::outages::{JudgedBy, OneNight};

/// Hours of a day.
const DAY_H: usize = 24;
/// Failures of which the worst is shown if none is named.
const FIRST_NAMES: [&str; 3] = ["power", "heaters", "blower"];

/// What is asked of a night.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// Name of the failure; the worst of power, heaters and blower if `None`.
    pub failure: Option<String>,
    /// The night.
    pub night: NightAsked,
    /// When it fails.
    pub start: StartAsked,
    /// For how long, h.
    pub length_h: f64,
}

/// A night.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NightAsked {
    /// The one of the season with the coldest leaf.
    Worst,
    /// The one of the season with the median of the coldest leaf.
    Median,
    /// A design night.
    Design(Sky),
    /// That of an evening, a day of the year from 0.
    Evening(usize),
}

/// When in a night something fails.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StartAsked {
    /// By the sun or at midnight.
    At(NightStart),
    /// At an hour of the clock, local standard time: from 12 in the evening, before 12 in the morning after
    /// it.
    Hour(usize),
}

/// Why a night cannot be shown.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum NightError {
    /// No plan, or one without failures.
    #[error("this case tries no failures")]
    NoFailures,
    /// A failure that is not in the plan.
    #[error("no failure {name:?} is tried; there are {}", known.join("; "))]
    UnknownFailure {
        /// What was asked for.
        name: String,
        /// What there is.
        known: Vec<String>,
    },
    /// The worst or median night of a season that has none.
    #[error(
        "no night belongs to the season: the heaters are never on, or without heaters it is never \
         below 5 C outdoors"
    )]
    NoNights,
    /// A day beyond the year.
    #[error("day {day} of the year, counted from 0, is beyond its {DAYS} days")]
    BeyondYear {
        /// The day.
        day: usize,
    },
    /// A length that cannot be computed.
    #[error("{length_h} h is no length of a failure")]
    Length {
        /// The length.
        length_h: f64,
    },
    /// A step failed.
    #[error("the night cannot be computed")]
    Engine(#[from] EngineError),
}

/// A failing night.
#[derive(Clone, Debug, PartialEq)]
pub struct FailingNight {
    /// The course to the end of the failure and of some hours after it.
    pub curve: NightCurve,
    /// How long the failure lasts, h.
    pub length_h: f64,
    /// House air, leaf and outdoor air when it begins.
    pub at_start_k: [f64; 3],
    /// Outdoors while it lasts.
    pub outdoors: Outdoors,
    /// What it does.
    pub night: OneNight,
    /// When the crop is lost.
    pub lost_h: Option<f64>,
    /// House air at which an alarm leaves the travel time; `None` if the leaf never is at the limit, or is
    /// there sooner, or if the alarm would also ring while nothing fails.
    pub warning_k: Option<f64>,
    /// What it is judged by.
    pub judged_by: JudgedBy,
    /// The blower alone failing at the same time, in a house with an inflated cover.
    pub blower_alone: Option<OneNight>,
    /// Lowest air of the same hours if nothing fails: an alarm set higher rings for nothing.
    pub quiet_air_k: Option<f64>,
    /// What stops.
    pub stops: Stops,
    /// True for a house with an inflated cover.
    pub is_inflated: bool,
    /// True for a house with a crop; without one the leaf is that of a plant that would stand there.
    pub has_crop: bool,
    /// The same failure with the generator that takes over, where there is one.
    pub with_generator: Option<OneNight>,
    /// What the plan says draws electricity.
    pub loads: Vec<Load>,
    /// What the generator carries at most.
    pub generator_w: Option<f64>,
}

/// What a failure stops at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stops {
    /// The grid.
    pub power: bool,
    /// A heater, by itself or without power.
    pub heaters: bool,
    /// The inflation blowers.
    pub blowers: bool,
}

/// Outdoors while a failure lasts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outdoors {
    /// Lowest air.
    pub lowest_k: f64,
    /// Mean wind at 10 m.
    pub wind_m_s: f64,
    /// How far the sky is colder than the air, mean.
    pub sky_below_air_k: f64,
}

/// Computes a failing night.
///
/// # Errors
/// [`NightError`] if the case does not have what is asked for.
pub fn failing_night(case: &Case, year: &Year, asked: &Asked) -> Result<FailingNight, NightError> {
    let plan = case.outages.as_ref().ok_or(NightError::NoFailures)?;
    let mut candidates = candidates(plan, asked)?;
    if !(asked.length_h > 0.0 && asked.length_h <= HOURS as f64) {
        let length_h = asked.length_h;
        return Err(NightError::Length { length_h });
    }
    let no_hours = HourSeries::default();
    let tried = Tried {
        case,
        plan,
        year,
        normal: &no_hours,
    };
    let (evening, of) = match asked.night {
        NightAsked::Design(sky) => {
            let of = design_year(&tried, sky);
            (of.evening, of)
        }
        NightAsked::Evening(day) if day >= DAYS => return Err(NightError::BeyondYear { day }),
        NightAsked::Evening(day) => (day, as_it_is(case, year, day)),
        NightAsked::Worst | NightAsked::Median => {
            let of = as_it_is(case, year, 0);
            let (evening, failure) = chosen_evening(&tried, &of, &candidates, asked)?;
            candidates = vec![failure];
            (evening, of)
        }
    };
    told(&tried, &of, evening, &candidates, asked)
}

/// The failure asked for, or those of which the worst is shown.
fn candidates<'a>(
    plan: &'a OutagePlan,
    asked: &Asked,
) -> Result<Vec<&'a TriedFailure>, NightError> {
    let all = || plan.failures.iter();
    let found: Vec<&TriedFailure> = match &asked.failure {
        Some(name) => all().filter(|failure| failure.name == *name).collect(),
        None => all()
            .filter(|failure| FIRST_NAMES.contains(&&*failure.name))
            .collect(),
    };
    match (&asked.failure, found.is_empty(), plan.failures.is_empty()) {
        (_, _, true) => Err(NightError::NoFailures),
        (Some(name), true, _) => Err(NightError::UnknownFailure {
            name: name.clone(),
            known: all().map(|failure| failure.name.clone()).collect(),
        }),
        (None, true, _) => Ok(all().collect()),
        _ => Ok(found),
    }
}

fn as_it_is(case: &Case, year: &Year, evening: usize) -> DesignYear {
    DesignYear {
        evening,
        sun: sunlight(&case.house, year),
        year: year.clone(),
    }
}

/// The hour of the year at which something fails in the night of an evening.
fn start_hour(darkness: &Darkness, evening: usize, start: StartAsked) -> usize {
    match start {
        StartAsked::At(start) => darkness.start_hour(evening, start),
        StartAsked::Hour(hour) => {
            let day = if hour < DAY_H / 2 {
                evening + 1
            } else {
                evening
            };
            (day * DAY_H + hour) % HOURS
        }
    }
}

/// The evening of the worst or the median night by that of the failures asked about which gives the
/// coldest leaf of all, and that failure.
fn chosen_evening<'a>(
    tried: &Tried<'_>,
    of: &DesignYear,
    candidates: &[&'a TriedFailure],
    asked: &Asked,
) -> Result<(usize, &'a TriedFailure), NightError> {
    let record = run_season(&tried.case.house, &of.sun, &of.year)?;
    let evenings = evenings(&tried.case.house, &of.year, &record.hours);
    let stage = Stage::new(&tried.case.house, &of.sun, &of.year);
    let darkness = Darkness::new(&of.year.place);
    let hours: Vec<usize> = evenings
        .iter()
        .map(|evening| start_hour(&darkness, *evening, asked.start))
        .collect();
    let states = stage.saved(&hours)?;
    let nights = |failure: &TriedFailure| {
        let question = question(tried, failing(failure), asked);
        let all = states.par_iter().map_init(
            || stage.season(),
            |season, state| {
                let season = season.as_mut().map_err(|error| error.clone())?;
                outage(season, state, &question)
            },
        );
        all.collect::<Result<Vec<Outage>, EngineError>>()
    };
    let mut coldest: Option<(f64, &TriedFailure, Vec<Outage>)> = None;
    for failure in candidates.iter().copied() {
        let nights = nights(failure)?;
        let worst = worst_night(&nights, 0).and_then(|night| nights[night].rungs.first());
        let Some(leaf_k) = worst.map(|rung| rung.lowest_leaf_k) else {
            continue;
        };
        if coldest
            .as_ref()
            .is_none_or(|(before_k, ..)| leaf_k < *before_k)
        {
            coldest = Some((leaf_k, failure, nights));
        }
    }
    let (_, failure, nights) = coldest.ok_or(NightError::NoNights)?;
    let chosen = match asked.night {
        NightAsked::Median => median_night(&nights, 0),
        _ => worst_night(&nights, 0),
    };
    let night = chosen.ok_or(NightError::NoNights)?;
    Ok((evenings[night], failure))
}

fn question(tried: &Tried<'_>, failing: FailingNow, asked: &Asked) -> Question {
    Question {
        failing,
        lengths_h: vec![asked.length_h],
        marks: marks(tried.case, tried.plan),
    }
}

/// A failure, its branch, and the night it makes.
struct Shown<'a> {
    failure: &'a TriedFailure,
    outage: Outage,
    night: OneNight,
}

fn told(
    tried: &Tried<'_>,
    of: &DesignYear,
    evening: usize,
    candidates: &[&TriedFailure],
    asked: &Asked,
) -> Result<FailingNight, NightError> {
    let house = &*tried.case.house;
    let stage = Stage::new(house, &of.sun, &of.year);
    let start = start_hour(&Darkness::new(&of.year.place), evening, asked.start);
    let state = stage.saved(&[start])?.remove(0);
    let standby = standby_house(house, tried.plan.emergency_hold_k);
    let standby = stage.with_house(&standby);
    let mut pair = Pair::start(&stage, &standby, tried.plan.emergency_hold_k)?;
    let mut tryout = |failing: FailingNow| -> Result<Tryout, EngineError> {
        let effect = Effect::of(house, &failing);
        pair.tryout(&state, &question(tried, failing, asked), &effect)
    };
    let mut shown: Option<Shown<'_>> = None;
    for failure in candidates {
        let found = tryout(failing(failure))?;
        let Some(night) = found.night(0) else {
            continue;
        };
        let is_worse = |before: &Shown<'_>| night.leaf_k < before.night.leaf_k;
        if shown.as_ref().is_none_or(is_worse) {
            let outage = found.likely;
            shown = Some(Shown {
                failure,
                outage,
                night,
            });
        }
    }
    let shown = shown.ok_or(NightError::NoFailures)?;
    let alone = FailingNow {
        failures: vec![Failure::Blower],
        generator: None,
    };
    let blower_alone = if Effect::of(house, &alone) == Effect::of(house, &FailingNow::default()) {
        None
    } else {
        tryout(alone)?.night(0)
    };
    let quiet_k = tryout(FailingNow::default())?
        .likely
        .rungs
        .first()
        .map(|rung| rung.lowest_air_k);
    let rings_in_time = |warning_k: &f64| quiet_k.is_none_or(|quiet_k| *warning_k < quiet_k);
    let with_generator = match generator_of(tried.plan, shown.failure) {
        Some(failure) => tryout(failing(failure))?.night(0),
        None => None,
    };
    let points = points(&stage, &state, shown.failure, asked)?;
    Ok(FailingNight {
        curve: NightCurve {
            case_id: tried.case.id,
            failure: Arc::from(shown.failure.name.as_str()),
            night: asked.night.into(),
            start_hour: start,
            points,
        },
        length_h: asked.length_h,
        at_start_k: [state.air_k(), state.top_leaf_k(), of.year.air_temp_k[start]],
        outdoors: outdoors(&of.year, start, asked.length_h),
        lost_h: shown.outage.lost_h.filter(|_| shown.night.is_lost),
        warning_k: shown
            .outage
            .warning_k
            .filter(|_| shown.night.limit_h.is_some())
            .filter(rings_in_time),
        night: shown.night,
        judged_by: judged_by(tried),
        blower_alone,
        quiet_air_k: quiet_k,
        stops: stops(house, shown.failure),
        is_inflated: house.inflation.is_some(),
        has_crop: house.crop.is_some(),
        with_generator,
        loads: tried.plan.loads.clone(),
        generator_w: tried.plan.generator_w,
    })
}

/// The failure of the plan that is the same with a generator.
fn generator_of<'a>(plan: &'a OutagePlan, failure: &TriedFailure) -> Option<&'a TriedFailure> {
    let twin = |other: &&TriedFailure| {
        failure.generator.is_none()
            && other.generator.is_some()
            && other.failures == failure.failures
    };
    plan.failures.iter().find(twin)
}

fn stops(house: &House, failure: &TriedFailure) -> Stops {
    let works = Works::but(&failure.failures);
    Stops {
        power: !works.has_grid(),
        heaters: (0..house.heaters.len()).any(|heater| !works.can_heat(house, heater)),
        blowers: house.inflation.is_some() && !works.blowers_run(),
    }
}

fn points(
    stage: &Stage<'_>,
    state: &Saved<f64>,
    failure: &TriedFailure,
    asked: &Asked,
) -> Result<Vec<CurvePoint>, EngineError> {
    let failing = failing(failure);
    curve(
        &mut stage.season()?,
        state,
        &failing,
        asked.length_h,
        RECOVERY_H,
    )
}

/// Outdoors at the hour marks of a failure.
fn outdoors(year: &Year, start: usize, length_h: f64) -> Outdoors {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the length was checked"
    )]
    let marks = || (start..=start + length_h.ceil() as usize).map(|mark| mark % HOURS);
    let count = marks().count() as f64;
    let sky_below_air_k =
        |mark: usize| year.air_temp_k[mark] - sky_temp_k(year.sky_longwave_w_m2[mark]);
    Outdoors {
        lowest_k: marks()
            .map(|mark| year.air_temp_k[mark])
            .fold(f64::INFINITY, f64::min),
        wind_m_s: marks().map(|mark| year.wind_m_s[mark]).sum::<f64>() / count,
        sky_below_air_k: marks().map(sky_below_air_k).sum::<f64>() / count,
    }
}

impl From<NightAsked> for NightIs {
    fn from(asked: NightAsked) -> Self {
        match asked {
            NightAsked::Worst => Self::Worst,
            NightAsked::Median => Self::Median,
            NightAsked::Design(Sky::Clear) => Self::DesignClear,
            NightAsked::Design(Sky::Windy) => Self::DesignWindy,
            NightAsked::Evening(_) => Self::OfDate,
        }
    }
}

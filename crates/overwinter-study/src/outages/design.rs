//! Design nights: the cold that the climate's coldest hours have, under two skies.

use overwinter_engine::branch::Saved;
use overwinter_engine::error::EngineError;
use overwinter_engine::outage::standby_house;
use overwinter_engine::sunlight::{Sunlight, sunlight};
use overwinter_weather::{DesignSky, Year, design_night};
use rayon::iter::{IntoParallelIterator, ParallelIterator};

use super::Tried;
use super::effect::Failures;
use super::ladder::question;
use super::nights::Darkness;
use super::stage::Stage;
use super::tryout::{Pair, Tryout};

/// The sky of a design night.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sky {
    /// Clear and calm.
    Clear,
    /// Cloudy and windy.
    Windy,
}

impl Sky {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Clear, Self::Windy];
}

/// A year with a design night in it.
pub(super) struct DesignYear {
    /// The evening on which it begins, a day of the year from 0.
    pub(super) evening: usize,
    /// The year.
    pub(super) year: Year,
    /// Its sun on a house.
    pub(super) sun: Sunlight,
}

/// A design night and what every failure does in it.
pub(super) struct DesignNight {
    pub(super) sky: Sky,
    pub(super) of: DesignYear,
    /// By start of the plan.
    pub(super) states: Vec<Saved<f64>>,
    /// By distinct failure and start.
    pub(super) tryouts: Vec<Vec<Tryout>>,
}

/// Both design nights of a case.
pub(super) fn all(tried: &Tried<'_>, failures: &Failures) -> Result<Vec<DesignNight>, EngineError> {
    Sky::ALL
        .into_par_iter()
        .map(|sky| one(tried, failures, sky))
        .collect()
}

fn one(tried: &Tried<'_>, failures: &Failures, sky: Sky) -> Result<DesignNight, EngineError> {
    let of = design_year(tried, sky);
    let stage = Stage::new(&tried.case.house, &of.sun, &of.year);
    let darkness = Darkness::new(&of.year.place);
    let starts = tried.plan.starts.iter();
    let hours: Vec<usize> = starts
        .map(|start| darkness.start_hour(of.evening, *start))
        .collect();
    let states = stage.saved(&hours)?;
    let standby = standby_house(&tried.case.house, tried.plan.emergency_hold_k);
    let standby = stage.with_house(&standby);
    let mut pair = Pair::start(&stage, &standby, tried.plan.emergency_hold_k)?;
    let mut tryouts = Vec::with_capacity(failures.distinct.len());
    for (failing, effect) in &failures.distinct {
        let question = question(tried.case, tried.plan, failing);
        let of_failure: Result<Vec<Tryout>, EngineError> = states
            .iter()
            .map(|state| pair.tryout(state, &question, effect))
            .collect();
        tryouts.push(of_failure?);
    }
    Ok(DesignNight {
        sky,
        states,
        tryouts,
        of,
    })
}

/// The year with a design night under a sky.
pub(super) fn design_year(tried: &Tried<'_>, sky: Sky) -> DesignYear {
    let of_weather = match sky {
        Sky::Clear => DesignSky::ClearCalm,
        Sky::Windy => DesignSky::CloudyWindy,
    };
    let night = design_night(tried.year, of_weather);
    DesignYear {
        evening: night.night_day,
        sun: sunlight(&tried.case.house, &night.year),
        year: night.year,
    }
}

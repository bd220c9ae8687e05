//! What a scenario file becomes: a study of cases, each one house in one climate.

use std::path::PathBuf;
use std::sync::Arc;

use overwinter_economics::Emissions;
use overwinter_engine::events::{EventPlan, Generator};
use overwinter_engine::failure::Failure;
use overwinter_engine::house::House;
use overwinter_weather::{Stress, WeatherError, Year};
use serde::{Deserialize, Serialize};

use crate::cases::Cases;
use crate::document::Given;
use crate::money::Money;
use crate::ranking::RankingPlan;
use crate::sampling::{Draw, Sampled};
use crate::stress::StressedYears;

/// Everything one scenario file asks for, read, checked and converted to SI.
#[derive(Clone, Debug)]
pub struct Study {
    /// Title from the file.
    pub title: String,
    /// The scenario file.
    pub scenario_path: PathBuf,
    /// SHA-256 of its bytes, lower-case hex.
    pub scenario_sha256: String,
    /// Seed of sampled inputs.
    pub seed: u64,
    /// The climates the cases refer to by index, each read once.
    pub climates: Vec<Climate>,
    /// The cases, numbered from 1 in file order.
    pub cases: Cases,
    /// Names of the axes, in file order; empty for a single case.
    pub axis_names: Vec<String>,
    /// What is compared with what.
    pub ranking: RankingPlan,
    /// The sampled inputs, in file order.
    pub sampled: Vec<Sampled>,
    /// Draws that each design is run with, the same for all; 1 where nothing is sampled.
    pub draws: usize,
    /// Every key that the file states, as it stands there.
    pub stated: Vec<Given>,
    /// Every input that the file left out, and what was assumed for it.
    pub defaults: Vec<DefaultUsed>,
    /// True if the `hourly` table was asked for in the file.
    pub wants_hourly: bool,
}

impl Study {
    /// Number of combinations of the axes that the rules keep.
    pub fn combinations(&self) -> usize {
        self.cases.len() / self.draws.max(1)
    }

    /// Combination of case `index`, both counted from 0: draws run fastest.
    pub fn combination_of(&self, index: usize) -> usize {
        index / self.draws.max(1)
    }
}

/// A weather file in use.
#[derive(Clone, Debug)]
pub struct Climate {
    /// Path as found.
    pub path: PathBuf,
    /// Path as the scenario writes it, the same from whatever folder the program is called.
    pub written: String,
    /// SHA-256 of the file's bytes, lower-case hex.
    pub sha256: String,
    /// The year as the file has it.
    pub year: Arc<Year>,
    /// The same under stress.
    stressed: StressedYears,
}

impl Climate {
    /// A weather file that was read.
    pub fn new(path: PathBuf, written: String, sha256: String, year: Year) -> Self {
        let year = Arc::new(year);
        Self {
            path,
            written,
            sha256,
            stressed: StressedYears::of(Arc::clone(&year)),
            year,
        }
    }

    /// The year under a stress; the file's own without one.
    ///
    /// # Errors
    /// As [`Stress::apply`]; not for cases of a scenario that was read.
    pub fn year_under(&self, stress: &Stress) -> Result<Arc<Year>, WeatherError> {
        self.stressed.under(stress)
    }
}

/// One house in one climate.
#[derive(Clone, Debug)]
pub struct Case {
    /// Number from 1, in the order of the product of the axes.
    pub id: usize,
    /// Label of the alternative on each axis, in the order of [`Study::axis_names`].
    pub axis_labels: Vec<String>,
    /// The values drawn for the inputs of [`Study::sampled`], where there are any.
    pub draw: Option<Draw>,
    /// Index into [`Study::climates`].
    pub climate: usize,
    /// What is asked of the year of that climate beyond its file.
    pub stress: Stress,
    /// The house.
    pub house: Arc<House>,
    /// Fuels by catalogue name as the heaters refer to them.
    pub fuels: Vec<Fuel>,
    /// Price of electricity per kWh, if given.
    pub electricity_price_per_kwh: Option<f64>,
    /// Currency word for prices, as written by the user (for example "USD").
    pub currency: String,
    /// What is counted in money over the years, if the scenario asks for it.
    pub money: Option<Arc<Money>>,
    /// Temperatures on which frost risk is judged.
    pub frost_limits: Vec<FrostLimit>,
    /// What fails in the year itself.
    pub events: EventPlan,
    /// What is tried on every night of the season, if anything.
    pub outages: Option<OutagePlan>,
}

impl Case {
    /// The weather of the case: the year of its climate under its stress.
    ///
    /// # Errors
    /// As [`Climate::year_under`].
    pub fn year(&self, study: &Study) -> Result<Arc<Year>, WeatherError> {
        study.climates[self.climate].year_under(&self.stress)
    }
}

/// What is tried on every night of the season.
#[derive(Clone, Debug, PartialEq)]
pub struct OutagePlan {
    /// Failures, each by itself.
    pub failures: Vec<TriedFailure>,
    /// Lengths, from the shortest to the longest, h.
    pub lengths_h: Vec<f64>,
    /// When in the night they begin.
    pub starts: Vec<NightStart>,
    /// House air at which the alarm goes off.
    pub alarm_k: f64,
    /// Time from the alarm until someone is there and help runs.
    pub travel_h: f64,
    /// Limit, of [`Case::frost_limits`], at which the crop is lost.
    pub limit: usize,
    /// House air that an emergency heater is to hold.
    pub emergency_hold_k: f64,
    /// What the blower, fans and heaters draw, for a generator.
    pub loads: Vec<Load>,
    /// Largest load the generator carries, W, if there is one.
    pub generator_w: Option<f64>,
}

/// A failure, or several at once, that is tried.
#[derive(Clone, Debug, PartialEq)]
pub struct TriedFailure {
    /// Name in tables: "blower", "heaters", "power", "power with generator", "door open".
    pub name: String,
    /// What fails.
    pub failures: Vec<Failure>,
    /// Generator that takes over after a failure of the grid.
    pub generator: Option<Generator>,
}

/// When in a night a failure begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum NightStart {
    /// The first dark hour.
    Dusk,
    /// 24:00 local standard time.
    Midnight,
    /// Two hours before the first light.
    BeforeDawn,
}

/// Something that draws electricity.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    /// Name.
    pub name: String,
    /// While it runs, W.
    pub running_w: f64,
    /// While it starts, W.
    pub starting_w: f64,
    /// True if the generator is to carry it.
    pub carried: bool,
}

/// A fuel in the unit it is bought in.
#[derive(Clone, Debug, PartialEq)]
pub struct Fuel {
    /// Catalogue name.
    pub name: String,
    /// The unit it is bought in, for example "gal", "therm", "kWh".
    pub unit: String,
    /// Higher heating value of one unit.
    pub energy_j_per_unit: f64,
    /// Price of one unit, if given.
    pub price_per_unit: Option<f64>,
    /// What it gives off, if known: of electricity only the user can say.
    pub emission_factors: Option<EmissionFactors>,
}

/// What a fuel gives off for each joule of its higher heating value.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct EmissionFactors {
    /// Carbon dioxide.
    pub carbon_dioxide_kg_j: f64,
    /// True if that comes from plants that took it up not long ago, as that of wood does.
    pub is_biogenic: bool,
    /// Methane, if known: of electricity it may be part of what is given as carbon dioxide.
    pub methane_kg_j: Option<f64>,
    /// Nitrous oxide, if known.
    pub nitrous_oxide_kg_j: Option<f64>,
}

impl EmissionFactors {
    /// What an amount of energy gives off; a gas that is not known counts as none.
    pub fn emissions(&self, energy_j: f64) -> Emissions {
        let carbon_dioxide_kg = energy_j * self.carbon_dioxide_kg_j;
        let of = |factor_kg_j: Option<f64>| energy_j * factor_kg_j.unwrap_or(0.0);
        Emissions {
            carbon_dioxide_kg: if self.is_biogenic {
                0.0
            } else {
                carbon_dioxide_kg
            },
            biogenic_carbon_dioxide_kg: if self.is_biogenic {
                carbon_dioxide_kg
            } else {
                0.0
            },
            methane_kg: of(self.methane_kg_j),
            nitrous_oxide_kg: of(self.nitrous_oxide_kg_j),
        }
    }
}

/// A crop limit.
#[derive(Clone, Debug, PartialEq)]
pub struct FrostLimit {
    /// What it stands for, for example "tomato, chilling" or "water freezes".
    pub name: String,
    /// The temperature.
    pub limit_k: f64,
    /// Temperature of half damage and slope per K of the dose curve, where a source gives one.
    pub dose: Option<DoseCurve>,
    /// How long the leaf must stay below before it is harmed, h.
    pub lag_h: f64,
    /// True of the limit at which the crop, not hardened, is lost; of at most one in a case.
    pub is_loss: bool,
}

/// Damage share = 1 / (1 + exp(-slope (half_damage - lowest leaf temperature))).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DoseCurve {
    /// Temperature at which half is damaged.
    pub half_damage_k: f64,
    /// Slope.
    pub slope_per_k: f64,
}

/// An input that was assumed.
#[derive(Clone, Debug, PartialEq)]
pub struct DefaultUsed {
    /// Key path in the scenario file.
    pub key: String,
    /// Value with unit, as a user would write it.
    pub value: String,
    /// Where the value comes from.
    pub source: String,
}

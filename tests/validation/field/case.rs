//! The cases of a scenario file, each run through its year.

use std::path::PathBuf;
use std::sync::{Arc, LazyLock};

use overwinter_engine::house::House;
use overwinter_engine::ledger::HeatTerm;
use overwinter_engine::record::SeasonRecord;
use overwinter_engine::season::run_season;
use overwinter_engine::sunlight::sunlight;
use overwinter_study::case::Case;
use overwinter_study::scenario;
use overwinter_weather::Year;

use super::night::Night;

const J_PER_KWH: f64 = 3.6e6;

/// A case and the year it ran through.
pub(crate) struct Ran {
    labels: Vec<String>,
    /// The house.
    pub(crate) house: Arc<House>,
    /// Its climate.
    pub(crate) year: Arc<Year>,
    /// What came out.
    pub(crate) record: SeasonRecord,
}

/// The cases of a file.
pub(crate) struct Runs(Vec<Ran>);

/// `covers.toml`, run once for all tests.
pub(crate) static COVERS: LazyLock<Runs> = LazyLock::new(|| Runs::of("covers.toml"));
/// `house.toml`, run once for all tests.
pub(crate) static HOUSE: LazyLock<Runs> = LazyLock::new(|| Runs::of("house.toml"));
/// `unheated.toml`, run once for all tests.
pub(crate) static UNHEATED: LazyLock<Runs> = LazyLock::new(|| Runs::of("unheated.toml"));

impl Runs {
    /// Reads and runs a scenario of this folder.
    pub(crate) fn of(file: &str) -> Self {
        let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("validation/field");
        let study = scenario::load(&folder.join(file)).unwrap_or_else(|error| panic!("{error}"));
        let run = |case: &Case| {
            let year = Arc::clone(&study.climates[case.climate].year);
            Ran::new(case.axis_labels.clone(), Arc::clone(&case.house), year)
        };
        Self(study.cases.held().iter().map(run).collect())
    }

    /// The case with these labels, in the order of the file's axes.
    pub(crate) fn case(&self, labels: &[&str]) -> &Ran {
        let found = self.0.iter().find(|ran| ran.labels == labels);
        found.unwrap_or_else(|| panic!("no case {labels:?}"))
    }
}

impl Ran {
    fn new(labels: Vec<String>, house: Arc<House>, year: Arc<Year>) -> Self {
        let record = run_season(&house, &sunlight(&house, &year), &year)
            .unwrap_or_else(|error| panic!("{labels:?}: {error}"));
        Self {
            labels,
            house,
            year,
            record,
        }
    }

    /// The same house through another year.
    pub(crate) fn through(&self, year: Year) -> Self {
        Self::new(self.labels.clone(), Arc::clone(&self.house), Arc::new(year))
    }

    /// Heat from the heaters in the year, kWh per m2 of floor.
    pub(crate) fn heat_kwh_m2(&self) -> f64 {
        self.term_kwh_m2(HeatTerm::Heater, 0..12)
    }

    /// A term of the account over months counted from January (0), kWh per m2 of floor.
    pub(crate) fn term_kwh_m2(
        &self,
        term: HeatTerm,
        months: impl IntoIterator<Item = usize>,
    ) -> f64 {
        let of_month = |month: usize| self.record.months[month].heat_j[term as usize];
        let joules: f64 = months.into_iter().map(of_month).sum();
        joules / J_PER_KWH / self.house.floor_area_m2
    }

    /// Share of the season's heat that this house saves of another's, %.
    pub(crate) fn saves_percent(&self, other: &Self) -> f64 {
        (1.0 - self.heat_kwh_m2() / other.heat_kwh_m2()) * 100.0
    }

    /// Heat of a night, W per m2 of floor.
    pub(crate) fn night_heat_w_m2(&self, night: &Night) -> f64 {
        night.mean(|hour| self.record.hours.heat_w[hour]) / self.house.floor_area_m2
    }

    /// Share of a night's heat that this house saves of another's, %.
    pub(crate) fn saves_percent_in(&self, night: &Night, other: &Self) -> f64 {
        (1.0 - self.night_heat_w_m2(night) / other.night_heat_w_m2(night)) * 100.0
    }
}

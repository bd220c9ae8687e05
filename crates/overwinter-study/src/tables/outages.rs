//! What failures do over all nights of the season, in the worst of them and in design nights.
//!
//! Nothing here says how likely a failure is. Nights are those of the season: the heaters gave heat in
//! them or, without heaters, it was below 5 C outdoors. The leaf is one at the top of the crop that
//! sees the cover; without a crop, one that would stand there.

mod columns;

use std::sync::Arc;

use overwinter_engine::outage::Drying;
use serde::{Deserialize, Serialize};

use super::column::Table;
use crate::case::NightStart;

/// A row of the table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OutageRow {
    /// Case.
    pub case_id: usize,
    /// What fails.
    pub failure: Arc<str>,
    /// When in the night.
    pub start: NightStart,
    /// For how long.
    pub length_h: f64,
    /// Nights of the season.
    pub nights: usize,
    /// What it is judged by.
    pub judged_by: JudgedBy,
    /// All nights of the season; `None` if it has none.
    pub all: Option<AllNights>,
    /// The night with the coldest leaf.
    pub worst: Option<OneNight>,
    /// The clear and calm design night.
    pub clear: Option<OneNight>,
    /// The cloudy and windy design night.
    pub windy: Option<OneNight>,
    /// Water on the cover after the median night; for the shortest length of a day or more.
    #[serde(skip)]
    pub drying: Option<Drying>,
}

/// What failures are judged by.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct JudgedBy {
    /// What the limit of the crop stands for.
    pub limit_name: Arc<str>,
    /// The limit, on the leaf.
    pub limit_k: f64,
    /// Time below it after which the crop is lost.
    pub lag_h: f64,
    /// House air at which the alarm goes off.
    pub alarm_k: f64,
    /// Time from the alarm until help runs.
    pub travel_h: f64,
    /// House air that a standby heater is to hold.
    pub emergency_hold_k: f64,
}

/// All nights of the season.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct AllNights {
    /// Median of the lowest leaf.
    pub leaf_median_k: f64,
    /// Median of the lowest air.
    pub air_median_k: f64,
    /// Lowest air of all.
    pub air_worst_k: f64,
    /// Start of the failure with it, an hour of the year.
    pub air_worst_start_hour: usize,
    /// The air at the alarm.
    pub alarm: Reached,
    /// The air at 0 C.
    pub freezing: Reached,
    /// The leaf at the limit.
    pub limit: Reached,
    /// Median of the plateau.
    pub plateau_median_k: Option<f64>,
    /// The lowest plateau.
    pub plateau_worst_k: Option<f64>,
    /// Nights with the crop lost.
    pub lost: usize,
    /// Of them, those in which it is lost without any failure as well.
    pub lost_without: usize,
    /// Of them, those in which no alarm comes in time.
    pub too_fast: usize,
    /// Alarm that leaves the travel time in all other lost nights.
    pub alarm_set_k: Option<f64>,
}

/// When a mark is reached while the failure lasts.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reached {
    /// Median over the nights that reach it.
    pub median_h: Option<f64>,
    /// The shortest.
    pub shortest_h: Option<f64>,
    /// Share of the nights that reach it.
    pub share: f64,
}

/// One night.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OneNight {
    /// When the failure begins, an hour of the year.
    pub start_hour: usize,
    /// Lowest leaf, all that is unknown at its likely value.
    pub leaf_k: f64,
    /// Lowest and highest of it, where gaps lose their air.
    pub leaf_range_k: Option<[f64; 2]>,
    /// Lowest air.
    pub air_k: f64,
    /// Time to the alarm.
    pub alarm_h: Option<f64>,
    /// Time until the air is at 0 C.
    pub freezing_h: Option<f64>,
    /// Time until the leaf is at the limit.
    pub limit_h: Option<f64>,
    /// True if the crop is lost.
    pub is_lost: bool,
    /// Air after two hours.
    pub plateau_k: Option<f64>,
    /// Output of a standby heater that would have held; where a heater stops.
    pub standby_w: Option<f64>,
    /// The heaters; where all of them go on.
    pub heaters: Option<HeatersGoOn>,
}

/// Heaters that go on while something else fails.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct HeatersGoOn {
    /// How far the air falls below what they hold; 0 if they hold it.
    pub missed_k: f64,
    /// Mean output more than in the same hours without the failure.
    pub extra_w: f64,
}

/// A start in words.
pub fn start_name(start: NightStart) -> &'static str {
    match start {
        NightStart::Dusk => "dusk",
        NightStart::Midnight => "midnight",
        NightStart::BeforeDawn => "before dawn",
    }
}

/// The table of all rows.
pub fn table<'a>(rows: impl Iterator<Item = &'a OutageRow>) -> Table {
    columns::table(rows)
}

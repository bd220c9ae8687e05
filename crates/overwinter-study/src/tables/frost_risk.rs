//! Time below each crop limit, by air and by leaf.
//!
//! An hour counts as below a limit when the lowest temperature within it is, and then as below for
//! the whole hour, so that times below are on the long side by up to an hour at either end. The leaf
//! is one at the top of the crop that sees the cover; a house without a crop has empty leaf columns.

use std::sync::Arc;

use overwinter_engine::record::SeasonRecord;
use overwinter_physics::frost::Dose;
use overwinter_weather::YearKind;
use serde::{Deserialize, Serialize};

use super::calendar::{DAYS, HOURS, Moment};
use super::column::{Table, TableBuilder};
use super::units::{degc, degf, fahrenheit_steps};
use crate::case::{Case, DoseCurve, FrostLimit};

/// Meaning of the columns that say which year a weather file holds.
pub(super) const WEATHER_YEAR: &str = "what year the weather file holds: the number of a year that was; typical, put together from the \
     months of several, which hides extremes; or unstated";

/// How far and how long a temperature was below a limit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Below {
    /// Hours with a lowest temperature below the limit.
    pub hours: usize,
    /// Sum over those hours of the distance below the limit.
    pub kelvin_hours: f64,
    /// Nights, noon to noon, with such an hour.
    pub nights: usize,
    /// Most such hours in a row.
    pub longest_spell_h: usize,
}

/// The lowest value of a year.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Lowest {
    /// The temperature.
    pub temp_k: f64,
    /// The hour of the year in which it stood, counted from 0.
    pub hour: usize,
}

/// A row of the table.
#[derive(Clone, Debug, PartialEq)]
pub struct FrostRow {
    /// Case.
    pub case_id: usize,
    /// What year the weather file holds.
    pub weather_year: YearKind,
    /// What the limit stands for.
    pub limit_name: Arc<str>,
    /// The limit.
    pub limit_k: f64,
    /// How long a leaf must be below before it is harmed.
    pub lag_h: f64,
    /// True of the limit at which the crop, not hardened, is lost.
    pub is_loss: bool,
    /// By air.
    pub air: Below,
    /// By leaf.
    pub leaf: Option<Below>,
    /// Nights, noon to noon, at some hour of which the leaf had been below for the lag.
    pub harm_nights: Option<usize>,
    /// Lowest air temperature of the year.
    pub lowest_air: Option<Lowest>,
    /// Lowest leaf temperature of the year.
    pub lowest_leaf: Option<Lowest>,
    /// Share of the crop damaged in the worst night, where a dose curve is given.
    pub damage_share: Option<f64>,
}

/// The rows of one case, in the order of its limits.
pub fn rows(case: &Case, record: &SeasonRecord, weather_year: YearKind) -> Vec<FrostRow> {
    let air_k = record.hours.air_lowest_k.as_slice();
    let leaf_k = leaf_series(case, record);
    let lowest_air = lowest_air(record);
    let lowest_leaf = lowest_leaf(case, record);
    let row = |limit: &FrostLimit| FrostRow {
        case_id: case.id,
        weather_year,
        limit_name: Arc::from(limit.name.as_str()),
        limit_k: limit.limit_k,
        lag_h: limit.lag_h,
        is_loss: limit.is_loss,
        air: below(air_k, limit.limit_k),
        leaf: leaf_k.map(|leaf_k| below(leaf_k, limit.limit_k)),
        harm_nights: leaf_k.map(|leaf_k| harm_nights(leaf_k, limit)),
        lowest_air,
        lowest_leaf,
        damage_share: limit
            .dose
            .zip(leaf_k)
            .and_then(|(curve, leaf_k)| damage_share(leaf_k, limit, curve)),
    };
    case.frost_limits.iter().map(row).collect()
}

/// Lowest air temperature of the year.
pub fn lowest_air(record: &SeasonRecord) -> Option<Lowest> {
    lowest(&record.hours.air_lowest_k)
}

/// Lowest leaf temperature of the year; `None` without a crop.
pub fn lowest_leaf(case: &Case, record: &SeasonRecord) -> Option<Lowest> {
    leaf_series(case, record).and_then(lowest)
}

/// The table of all rows.
pub fn table<'a>(rows: impl Iterator<Item = &'a FrostRow>) -> Table {
    let builder = TableBuilder::new("frost_risk", "a case and a crop limit", rows)
        .whole("case_id", "number of the case", |row| {
            Some(row.case_id as i64)
        })
        .text("weather_year", WEATHER_YEAR, |row| {
            Some(Arc::from(row.weather_year.to_string()))
        })
        .text("limit", "what the limit stands for", |row| {
            Some(row.limit_name.clone())
        })
        .number("limit_degc", "degC", "the limit", |row| degc(row.limit_k))
        .number("limit_degf", "degF", "the limit", |row| degf(row.limit_k))
        .number(
            "lag_h",
            "h",
            "how long a leaf must be below without a break before it is harmed",
            |row| row.lag_h,
        )
        .text(
            "crop_lost",
            "yes at the limit at which the crop, not hardened, is lost, else no",
            |row| Some(Arc::from(if row.is_loss { "yes" } else { "no" })),
        );
    let builder = below_columns(builder, "air", "house air", |row| Some(row.air));
    let builder = below_columns(builder, "leaf", "a top leaf that sees the cover", |row| {
        row.leaf
    })
    .number(
        "harm_by_leaf_nights",
        "nights",
        "nights, noon to noon, at some hour of which the leaf had been below for lag_h without a \
         break; an hour counts whole if its lowest temperature is below, so a lag under an hour \
         counts as one such hour",
        |row| row.harm_nights.map(|nights| nights as f64),
    );
    let builder = lowest_columns(builder, "air", "house air", |row| row.lowest_air);
    lowest_columns(builder, "leaf", "a top leaf that sees the cover", |row| {
        row.lowest_leaf
    })
    .number(
        "damage_share_0_to_1",
        "share, 0 to 1",
        "share damaged in the worst night: by the lowest of its hours' lowest leaf temperatures, with \
         half damage 0.5 K higher for each doubling beyond 30 min of the longest time below the \
         limit (estimate); empty without a published dose curve",
        |row| row.damage_share,
    )
    .finish()
}

fn leaf_series<'a>(case: &Case, record: &'a SeasonRecord) -> Option<&'a [f64]> {
    let series = record.hours.top_leaf_lowest_k.as_slice();
    case.house.crop.is_some().then_some(series)
}

/// Hours below a limit in a series of hourly lowest temperatures.
fn below(lowest_k: &[f64], limit_k: f64) -> Below {
    let mut found = Below::default();
    let mut night_has_one = [false; DAYS];
    let mut spell_h = 0;
    for (hour, &temp_k) in lowest_k.iter().enumerate() {
        if temp_k < limit_k {
            found.hours += 1;
            found.kelvin_hours += limit_k - temp_k;
            spell_h += 1;
            found.longest_spell_h = found.longest_spell_h.max(spell_h);
            night_has_one[night_of(hour)] = true;
        } else {
            spell_h = 0;
        }
    }
    found.nights = night_has_one.iter().filter(|&&has_one| has_one).count();
    found
}

/// The first of the lowest values; `None` for an empty series.
fn lowest(series_k: &[f64]) -> Option<Lowest> {
    let hours = series_k.iter().copied().enumerate();
    hours.fold(
        None,
        |lowest: Option<Lowest>, (hour, temp_k)| match lowest {
            Some(before) if before.temp_k <= temp_k => Some(before),
            _ => Some(Lowest { temp_k, hour }),
        },
    )
}

/// Nights run from noon to noon. The year is typical and closes on itself, so the evening of
/// 31 December and the morning of 1 January are one night.
fn night_of(hour: usize) -> usize {
    (hour + 12) % HOURS / 24
}

/// Nights at some hour of which the series had been below the limit for the lag. The year closes on
/// itself, so a spell at its end runs on at its start.
fn harm_nights(lowest_k: &[f64], limit: &FrostLimit) -> usize {
    let is_below = |temp_k: &f64| *temp_k < limit.limit_k;
    let mut spell_h = lowest_k.iter().rev().take_while(|k| is_below(k)).count();
    let mut has_harm = [false; DAYS];
    for (hour, temp_k) in lowest_k.iter().enumerate() {
        spell_h = if is_below(temp_k) { spell_h + 1 } else { 0 };
        if spell_h > 0 && spell_h as f64 >= limit.lag_h {
            has_harm[night_of(hour)] = true;
        }
    }
    has_harm.iter().filter(|&&has_harm| has_harm).count()
}

/// Share damaged in the worst night; `None` for an empty series.
fn damage_share(lowest_k: &[f64], limit: &FrostLimit, curve: DoseCurve) -> Option<f64> {
    let year_lowest_k = lowest(lowest_k)?.temp_k;
    let shares = (0..DAYS).filter_map(|night| {
        let hours = (24 * night + 12..24 * night + 36).map(|hour| lowest_k.get(hour % HOURS));
        let night_k = hours.collect::<Option<Vec<_>>>()?;
        // Of nights that stay above the limit only the coldest can be the worst.
        let matters = |temp_k: &f64| *temp_k < limit.limit_k || *temp_k <= year_lowest_k;
        if !night_k.iter().any(|temp_k| matters(temp_k)) {
            return None;
        }
        let mut dose = Dose::new(limit.limit_k, limit.lag_h);
        night_k.iter().for_each(|temp_k| dose.add(**temp_k, 1.0));
        dose.damage_share(curve.half_damage_k, curve.slope_per_k)
    });
    shares.reduce(f64::max)
}

type Builder<'a> = TableBuilder<'a, FrostRow>;

fn below_columns<'a>(
    builder: Builder<'a>,
    by: &str,
    whose: &str,
    value: impl Fn(&FrostRow) -> Option<Below> + Copy,
) -> Builder<'a> {
    let hours = |count: usize| count as f64;
    builder
        .number(
            format!("below_by_{by}_h"),
            "h",
            format!("hours in which the lowest temperature of {whose} was below the limit"),
            move |row| value(row).map(|below| hours(below.hours)),
        )
        .number(
            format!("below_by_{by}_k_h"),
            "K h",
            "sum over those hours of the distance below the limit",
            move |row| value(row).map(|below| below.kelvin_hours),
        )
        .number(
            format!("below_by_{by}_degf_h"),
            "degF h",
            "the same in degrees Fahrenheit",
            move |row| value(row).map(|below| fahrenheit_steps(below.kelvin_hours)),
        )
        .number(
            format!("below_by_{by}_nights"),
            "nights",
            "nights, noon to noon, with such an hour",
            move |row| value(row).map(|below| hours(below.nights)),
        )
        .number(
            format!("longest_spell_by_{by}_h"),
            "h",
            "most such hours in a row",
            move |row| value(row).map(|below| hours(below.longest_spell_h)),
        )
}

fn lowest_columns<'a>(
    builder: Builder<'a>,
    by: &str,
    whose: &str,
    value: impl Fn(&FrostRow) -> Option<Lowest> + Copy,
) -> Builder<'a> {
    builder
        .number(
            format!("lowest_{by}_degc"),
            "degC",
            format!("lowest temperature of {whose} in the year"),
            move |row| value(row).map(|lowest| degc(lowest.temp_k)),
        )
        .number(
            format!("lowest_{by}_degf"),
            "degF",
            "the same",
            move |row| value(row).map(|lowest| degf(lowest.temp_k)),
        )
        .text(
            format!("lowest_{by}_month_day_hour"),
            "start of the hour in which it stood, local standard time",
            move |row| value(row).map(|lowest| Moment::of_hour(lowest.hour).date_and_hour()),
        )
}

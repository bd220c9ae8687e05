//! What a year says about a climate: extremes, degree-days, sun, the coldest nights.

use crate::calendar::{MONTH_BEGINS_H, date_of_hour, month_of_hour};
use crate::nights::{NIGHTS, coldest_mark};
use crate::year::{HOURS, Note, Place, Year};
use overwinter_physics::sky::sky_temp_k;

pub(crate) const ZERO_CELSIUS_K: f64 = 273.15;

/// Base of the degree-days of building practice in the United States: 65 degrees Fahrenheit.
pub const DEGREE_DAY_BASE_C: f64 = 18.3;

/// A base near the temperature at which frost-protected houses are held (common practice, no
/// source).
pub const COOL_HOUSE_BASE_C: f64 = 7.0;

/// Nights in [`ClimateSummary::coldest_nights`].
pub const NIGHTS_LISTED: usize = 10;

/// Statistics of one year.
#[derive(Clone, Debug, PartialEq)]
pub struct ClimateSummary {
    /// Where the year belongs.
    pub place: Place,
    /// Air temperature over the 8,760 hour marks of the year.
    pub air_temp: Spread,
    /// Temperature that 99.6 % of the 8,760 hourly temperatures exceed.
    pub exceeded_99_6_percent_c: f64,
    /// Temperature that 99 % of the 8,760 hourly temperatures exceed.
    pub exceeded_99_percent_c: f64,
    /// The coldest nights, coldest first.
    pub coldest_nights: Vec<ColdNight>,
    /// Degree-days to the base of building practice, 18.3 C.
    pub degree_days: DegreeDays,
    /// Degree-days to the base that was asked for.
    pub degree_days_to_base: DegreeDays,
    /// Global horizontal radiation of the year.
    pub global_horizontal_kwh_m2: f64,
    /// Hour marks below 0 C.
    pub hours_below_0_c: usize,
    /// Hour marks below -20 C.
    pub hours_below_minus_20_c: usize,
    /// The twelve months.
    pub months: Vec<MonthSummary>,
    /// Defects found while reading, and what was done.
    pub notes: Vec<Note>,
}

/// Least, mean and greatest of an hourly quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Least value.
    pub min_c: f64,
    /// Mean value.
    pub mean_c: f64,
    /// Greatest value.
    pub max_c: f64,
}

/// Heating degree-days: the sum over the 365 days of base minus daily mean where that is positive;
/// the daily mean is that of the 24 hour marks 01:00 to 24:00.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DegreeDays {
    /// Base temperature.
    pub base_c: f64,
    /// Sum, K day.
    pub sum_k_day: f64,
}

/// The lowest temperature between one noon and the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColdNight {
    /// Month of the coldest hour mark, 1 to 12.
    pub month: u32,
    /// Day of the month of the coldest hour mark.
    pub day: u32,
    /// Hour of the day of the coldest hour mark, 0 to 23.
    pub hour: u32,
    /// Hour mark of the year, an index into the year's instants.
    pub instant: usize,
    /// Air temperature then.
    pub air_temp_c: f64,
    /// Wind then.
    pub wind_m_s: f64,
    /// Temperature of a black sky that sends the longwave of then.
    pub sky_temp_c: f64,
    /// True within 12 hours of a join between months of different years, where typical years are
    /// smoothed: no design value.
    pub is_at_month_join: bool,
}

/// One month.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MonthSummary {
    /// Month, 1 to 12.
    pub month: u32,
    /// Air temperature.
    pub air_temp: Spread,
    /// Global horizontal radiation of the month.
    pub global_horizontal_kwh_m2: f64,
    /// Mean wind speed at 10 m.
    pub mean_wind_m_s: f64,
    /// Mean temperature of the sky below the air, K.
    pub mean_sky_depression_k: f64,
}

/// Statistics with degree-days to 18.3 C and to [`COOL_HOUSE_BASE_C`].
pub fn summarise(year: &Year) -> ClimateSummary {
    summarise_to_base(year, COOL_HOUSE_BASE_C)
}

/// Statistics with degree-days to 18.3 C and to a given base.
pub fn summarise_to_base(year: &Year, base_c: f64) -> ClimateSummary {
    let temps_c = hourly_temps_c(year);
    let mut sorted_c = temps_c.clone();
    sorted_c.sort_by(f64::total_cmp);
    let below = |limit_c: f64| sorted_c.partition_point(|&temp_c| temp_c < limit_c);
    ClimateSummary {
        place: year.place.clone(),
        air_temp: spread(&temps_c),
        exceeded_99_6_percent_c: exceeded(&sorted_c, 0.996),
        exceeded_99_percent_c: exceeded(&sorted_c, 0.99),
        coldest_nights: coldest_nights(year),
        degree_days: degree_days(year, DEGREE_DAY_BASE_C),
        degree_days_to_base: degree_days(year, base_c),
        global_horizontal_kwh_m2: year.global_horizontal_w_m2.iter().sum::<f64>() / 1000.0,
        hours_below_0_c: below(-COUNTED_BELOW_K),
        hours_below_minus_20_c: below(-20.0 - COUNTED_BELOW_K),
        months: (0..12).map(|month| summarise_month(year, month)).collect(),
        notes: year.notes.clone(),
    }
}

/// Heating degree-days to a base.
pub fn degree_days(year: &Year, base_c: f64) -> DegreeDays {
    let daily = hourly_temps_c(year);
    let sum_k_day = daily
        .chunks(24)
        .map(|day| (base_c - day.iter().sum::<f64>() / 24.0).max(0.0))
        .sum();
    DegreeDays { base_c, sum_k_day }
}

/// Temperature, K, that a share of the 8,760 hourly temperatures reach or exceed: the highest of
/// them that at least `share` do.
pub fn temp_exceeded_k(year: &Year, share: f64) -> f64 {
    let mut sorted_k = year.air_temp_k[1..=HOURS].to_vec();
    sorted_k.sort_by(f64::total_cmp);
    exceeded(&sorted_k, share)
}

/// A file's 0.0 C goes through kelvin and back; a millionth of a kelvin keeps it from counting as
/// below.
const COUNTED_BELOW_K: f64 = 1e-6;

/// The 8,760 hour marks 1 to 8,760; the mark at the end of the year stands for the one at its start.
fn hourly_temps_c(year: &Year) -> Vec<f64> {
    year.air_temp_k[1..=HOURS]
        .iter()
        .map(|temp_k| temp_k - ZERO_CELSIUS_K)
        .collect()
}

fn spread(temps_c: &[f64]) -> Spread {
    Spread {
        min_c: temps_c.iter().copied().fold(f64::INFINITY, f64::min),
        mean_c: temps_c.iter().sum::<f64>() / temps_c.len() as f64,
        max_c: temps_c.iter().copied().fold(f64::NEG_INFINITY, f64::max),
    }
}

/// The highest listed temperature that at least `share` of the hours reach or exceed.
fn exceeded(sorted: &[f64], share: f64) -> f64 {
    let rank = ((1.0 - share) * sorted.len() as f64).floor() as usize;
    sorted[rank.min(sorted.len() - 1)]
}

fn coldest_nights(year: &Year) -> Vec<ColdNight> {
    let mut nights: Vec<ColdNight> = (0..NIGHTS)
        .map(|night| cold_night(year, coldest_mark(year, night)))
        .collect();
    nights.sort_by(|a, b| a.air_temp_c.total_cmp(&b.air_temp_c));
    nights.truncate(NIGHTS_LISTED);
    nights
}

fn cold_night(year: &Year, instant: usize) -> ColdNight {
    let (month, day, hour) = date_of_hour(instant);
    ColdNight {
        month,
        day,
        hour,
        instant,
        air_temp_c: year.air_temp_k[instant] - ZERO_CELSIUS_K,
        wind_m_s: year.wind_m_s[instant],
        sky_temp_c: sky_temp_k(year.sky_longwave_w_m2[instant]) - ZERO_CELSIUS_K,
        is_at_month_join: is_at_month_join(year, instant),
    }
}

/// True within 12 hours of a boundary between months of different source years.
pub(crate) fn is_at_month_join(year: &Year, instant: usize) -> bool {
    const SMOOTHED_H: usize = 12;
    let Some(years) = &year.source_years else {
        return false;
    };
    let before = month_of_hour(instant + HOURS - SMOOTHED_H);
    let after = month_of_hour(instant + SMOOTHED_H);
    before != after && years[before] != years[after]
}

fn summarise_month(year: &Year, month: usize) -> MonthSummary {
    let (begin, end) = (MONTH_BEGINS_H[month], MONTH_BEGINS_H[month + 1]);
    let marks = begin + 1..=end;
    let temps_c: Vec<f64> = year.air_temp_k[marks.clone()]
        .iter()
        .map(|temp_k| temp_k - ZERO_CELSIUS_K)
        .collect();
    let count = (end - begin) as f64;
    let sky_depression_k: f64 = marks
        .clone()
        .map(|mark| year.air_temp_k[mark] - sky_temp_k(year.sky_longwave_w_m2[mark]))
        .sum();
    MonthSummary {
        month: month as u32 + 1,
        air_temp: spread(&temps_c),
        global_horizontal_kwh_m2: year.global_horizontal_w_m2[begin..end].iter().sum::<f64>()
            / 1000.0,
        mean_wind_m_s: year.wind_m_s[marks].iter().sum::<f64>() / count,
        mean_sky_depression_k: sky_depression_k / count,
    }
}

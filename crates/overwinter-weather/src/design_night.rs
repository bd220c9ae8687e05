//! A year with one stated design night: the cold to size for, under a clear calm or an overcast
//! windy sky.
//!
//! The night of the year whose lowest air temperature lies nearest to the climate's 99.6 %
//! temperature is moved onto it. Changed are the hour marks of a window from the noon before that
//! night to seven days later, both marks included:
//! - air and dew point are shifted by one constant, so that the night's lowest is the 99.6 %
//!   temperature and every dew point depression stays; a later night of the window may be colder
//!   than the design night, as it was in the file;
//! - cloud cover is 0 or 1 and the longwave is that of the sky model for the shifted air; a year
//!   without cloud cover stays without;
//! - the wind has one speed; its direction stays.
//!
//! Left as the file has them: pressure, snow, albedo and the sun, so the days after the night keep
//! the sun of the file whatever the sky of the window. Nothing is blended at the edges: within the
//! hour before the window and the hour after it, conditions run straight from the file's values to
//! the window's, as they do between any two hour marks.

use crate::climate::{ZERO_CELSIUS_K, is_at_month_join, temp_exceeded_k};
use crate::nights::{NIGHTS, night_hours, nights_lowest_k};
use crate::year::{HOURS, Year};
use overwinter_physics::sky::sky_longwave_w_m2;

/// Wind of a calm design night, m/s at 10 m: below the threshold of most cup anemometers, about
/// 0.5 m/s (common practice, no source).
pub const CALM_WIND_M_S: f64 = 0.5;

/// Wind of a windy design night, m/s at 10 m, in a year without a night below freezing: estimate.
pub const WINDY_WITHOUT_FROST_M_S: f64 = 8.0;

/// Share of the hours that exceed the design temperature.
const DESIGN_SHARE: f64 = 0.996;

/// Length of the window.
const WINDOW_H: usize = 7 * 24;

/// What the sky and the wind of a design night do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DesignSky {
    /// No cloud, and a wind of [`CALM_WIND_M_S`].
    ClearCalm,
    /// Overcast, and the wind that nine tenths of the dark hour marks do not exceed in nights
    /// below freezing, or [`WINDY_WITHOUT_FROST_M_S`] where there are none; never less than
    /// [`CALM_WIND_M_S`].
    CloudyWindy,
}

/// A year with a design night in it.
#[derive(Clone, Debug, PartialEq)]
pub struct DesignNight {
    /// The year, equal to the one it was made from outside the window.
    pub year: Year,
    /// Day of the year, from 0, of the evening on which the night begins.
    pub night_day: usize,
    /// Lowest air temperature of the night, the climate's 99.6 % temperature.
    pub lowest_k: f64,
    /// Wind over the whole window.
    pub wind_m_s: f64,
    /// Sky over the whole window.
    pub sky: DesignSky,
}

/// Makes the year with its design night; see the module for what is changed.
///
/// Nights at a join between months of different years are passed over, since typical years are
/// smoothed there. Of nights equally near the first of the year is taken.
pub fn design_night(year: &Year, sky: DesignSky) -> DesignNight {
    let lowest_k = temp_exceeded_k(year, DESIGN_SHARE);
    let nights_k = nights_lowest_k(year);
    let night_day = nearest_night(year, &nights_k, lowest_k);
    let wind_m_s = match sky {
        DesignSky::ClearCalm => CALM_WIND_M_S,
        DesignSky::CloudyWindy => windy_m_s(year, &nights_k),
    };
    let mut changed = year.clone();
    let shift_k = lowest_k - nights_k[night_day];
    for mark in window_marks(night_day) {
        set_mark(
            &mut changed,
            mark,
            shift_k,
            wind_m_s,
            sky.opaque_cover_share(),
        );
    }
    DesignNight {
        year: changed,
        night_day,
        lowest_k,
        wind_m_s,
        sky,
    }
}

impl DesignSky {
    fn opaque_cover_share(self) -> f64 {
        match self {
            Self::ClearCalm => 0.0,
            Self::CloudyWindy => 1.0,
        }
    }
}

fn nearest_night(year: &Year, nights_k: &[f64], lowest_k: f64) -> usize {
    let is_at_join = |night: usize| is_at_month_join(year, 24 * night + 24);
    let distance_k = |night: usize| (nights_k[night] - lowest_k).abs();
    (0..NIGHTS)
        .min_by(|&a, &b| {
            let by_join = is_at_join(a).cmp(&is_at_join(b));
            by_join.then(distance_k(a).total_cmp(&distance_k(b)))
        })
        .unwrap_or(0)
}

/// Wind that nine tenths of the dark hour marks of nights below freezing do not exceed.
fn windy_m_s(year: &Year, nights_k: &[f64]) -> f64 {
    const NOT_EXCEEDED_BY: f64 = 0.9;
    let nights = night_hours(&year.place).into_iter().zip(nights_k);
    let dark_marks = nights
        .filter(|(_, lowest_k)| **lowest_k < ZERO_CELSIUS_K)
        .flat_map(|(night, _)| night.dusk..=night.before_dawn);
    let mut winds_m_s: Vec<f64> = dark_marks.map(|mark| year.wind_m_s[mark % HOURS]).collect();
    winds_m_s.sort_by(f64::total_cmp);
    let rank = (NOT_EXCEEDED_BY * winds_m_s.len() as f64).ceil() as usize;
    let windy_m_s = winds_m_s.get(rank.saturating_sub(1)).copied();
    windy_m_s
        .unwrap_or(WINDY_WITHOUT_FROST_M_S)
        .max(CALM_WIND_M_S)
}

/// Hour marks of the window; the mark at the end of the year comes with the one at its start.
fn window_marks(night_day: usize) -> impl Iterator<Item = usize> {
    let noon = 24 * night_day + 12;
    (noon..=noon + WINDOW_H).flat_map(|mark| {
        let mark = mark % HOURS;
        std::iter::once(mark).chain((mark == 0).then_some(HOURS))
    })
}

fn set_mark(year: &mut Year, mark: usize, shift_k: f64, wind_m_s: f64, opaque_cover_share: f64) {
    year.air_temp_k[mark] += shift_k;
    year.dew_point_k[mark] += shift_k;
    year.wind_m_s[mark] = wind_m_s;
    year.sky_longwave_w_m2[mark] = sky_longwave_w_m2(
        year.air_temp_k[mark],
        year.dew_point_k[mark],
        opaque_cover_share,
    );
    if let Some(cover) = &mut year.cloud_cover {
        cover[mark] = opaque_cover_share;
    }
}

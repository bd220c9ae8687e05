//! Water that a well-watered short crop outdoors gives off: the reference evapotranspiration of FAO
//! Irrigation and Drainage Paper 56, with its own simple forms for moist air and radiation.
//!
//! A yardstick for irrigation and for the crop's own balance, not part of a season: under cover the
//! leaf is solved with its stomata ([`crate::canopy`]).

mod radiation;

pub use radiation::{
    clear_sky_shortwave_fao56, daylight_hours_fao56, extraterrestrial_of_day_fao56,
    extraterrestrial_of_period_fao56, hour_angle_fao56, net_longwave_fao56, net_shortwave_fao56,
    shortwave_from_sunshine_fao56,
};

use overwinter_units::constants::ZERO_CELSIUS_K;

/// Reciprocal of the heat of vaporisation that the paper takes as fixed, kg/J.
const WATER_PER_HEAT_KG_J: f64 = 0.408e-6;
/// What the crop's stomata and the air above it make of the wind, s/m.
const RESISTANCE_BY_WIND_S_M: f64 = 0.34;

/// What drives the reference crop over a day or an hour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReferenceWeather {
    /// Mean air temperature.
    pub air_temp_k: f64,
    /// Saturation pressure of the air minus its vapour pressure.
    pub vapour_deficit_pa: f64,
    /// Wind 2 m above ground.
    pub wind_2m_m_s: f64,
    /// Radiation that the crop takes, short and long, less what it gives off.
    pub net_radiation_w_m2: f64,
    /// Heat that goes into the ground.
    pub ground_heat_w_m2: f64,
    /// Air pressure.
    pub pressure_pa: f64,
}

/// Length of time that the weather is a mean of; the paper's factor for the air differs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Period {
    /// A day or longer.
    Day,
    /// An hour.
    Hour,
}

/// Reference evapotranspiration by what drives it, kg/m2 s of ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReferenceEvapotranspiration {
    /// By net radiation.
    pub by_radiation_kg_m2s: f64,
    /// By dry and moving air.
    pub by_air_kg_m2s: f64,
}

impl ReferenceEvapotranspiration {
    /// Both together.
    pub fn total_kg_m2s(&self) -> f64 {
        self.by_radiation_kg_m2s + self.by_air_kg_m2s
    }
}

/// Reference evapotranspiration of grass 0.12 m high, never short of water, kg/m2 s of ground.
///
/// ```text
/// (0.408e-6 s (Rn - G) + g C / (t + 273) u D) / (s + g (1 + 0.34 u))
/// ```
///
/// s slope of the saturation curve and g psychrometric constant in Pa/K, Rn - G in W/m2, t in C,
/// u in m/s, D in Pa; C is 900 / (86,400 x 1,000) over days and 37 / (3,600 x 1,000) over hours.
/// Negative wind counts as none. A negative result is dew.
///
/// # References
/// R. G. Allen, L. S. Pereira, D. Raes, M. Smith (1998), "Crop evapotranspiration", FAO Irrigation
/// and Drainage Paper 56, equations 6 and 53.
///
/// ```
/// use overwinter_physics::evapotranspiration::*;
/// // Example 18: Uccle, 6 July; 16.9 C, deficit 0.589 kPa, 2.078 m/s, Rn 13.28 MJ/m2 a day.
/// let weather = ReferenceWeather {
///     air_temp_k: 290.05,
///     vapour_deficit_pa: 589.0,
///     wind_2m_m_s: 2.078,
///     net_radiation_w_m2: 13.28e6 / 86_400.0,
///     ground_heat_w_m2: 0.0,
///     pressure_pa: 100_100.0,
/// };
/// let mm_a_day = reference_evapotranspiration_fao56(&weather, Period::Day).total_kg_m2s() * 86_400.0;
/// assert!((mm_a_day - 3.88).abs() < 0.02);
/// ```
pub fn reference_evapotranspiration_fao56(
    weather: &ReferenceWeather,
    period: Period,
) -> ReferenceEvapotranspiration {
    let wind_m_s = weather.wind_2m_m_s.max(0.0);
    let slope = saturation_slope_fao56(weather.air_temp_k);
    let constant = psychrometric_constant_fao56(weather.pressure_pa);
    let available_w_m2 = weather.net_radiation_w_m2 - weather.ground_heat_w_m2;
    let by_air = match period {
        Period::Day => 900.0 / 86_400.0,
        Period::Hour => 37.0 / 3_600.0,
    } / 1_000.0;
    // The paper rounds 273.15.
    let temp_k = weather.air_temp_k - ZERO_CELSIUS_K + 273.0;
    let all = slope + constant * (1.0 + RESISTANCE_BY_WIND_S_M * wind_m_s);
    ReferenceEvapotranspiration {
        by_radiation_kg_m2s: WATER_PER_HEAT_KG_J * slope * available_w_m2 / all,
        by_air_kg_m2s: constant * by_air / temp_k * wind_m_s * weather.vapour_deficit_pa / all,
    }
}

/// Saturation pressure of water vapour over water, Pa, in the paper's form.
///
/// `610.8 exp(17.27 t / (t + 237.3))`, t in C; used for daily means from about -20 to 50 C, and held
/// below -100 C. For the engine's own form see [`crate::moist_air::saturation_pressure_pa`].
///
/// # References
/// Allen et al. (1998), FAO Paper 56, equation 11.
///
/// ```
/// // Example 3: the mean over 15 and 24.5 C is 2.39 kPa.
/// use overwinter_physics::evapotranspiration::saturation_pressure_fao56;
/// let mean_pa = 0.5 * (saturation_pressure_fao56(288.15) + saturation_pressure_fao56(297.65));
/// assert!((mean_pa - 2390.0).abs() < 5.0);
/// ```
pub fn saturation_pressure_fao56(temp_k: f64) -> f64 {
    let celsius = held_celsius(temp_k);
    610.8 * (17.27 * celsius / (celsius + 237.3)).exp()
}

/// Slope of [`saturation_pressure_fao56`], Pa/K: `4098 e_s / (t + 237.3)^2`.
///
/// # References
/// Allen et al. (1998), FAO Paper 56, equation 13.
pub fn saturation_slope_fao56(temp_k: f64) -> f64 {
    let celsius = held_celsius(temp_k);
    4098.0 * saturation_pressure_fao56(temp_k) / (celsius + 237.3).powi(2)
}

fn held_celsius(temp_k: f64) -> f64 {
    (temp_k - ZERO_CELSIUS_K).max(-100.0)
}

/// Psychrometric constant, Pa/K: `0.665e-3` times the air pressure.
///
/// # References
/// Allen et al. (1998), FAO Paper 56, equation 8.
///
/// ```
/// // Example 2: 0.054 kPa/K at 1,800 m, 81.8 kPa.
/// use overwinter_physics::evapotranspiration::*;
/// let constant = psychrometric_constant_fao56(air_pressure_fao56(1800.0));
/// assert!((constant - 54.0).abs() < 0.5);
/// ```
pub fn psychrometric_constant_fao56(pressure_pa: f64) -> f64 {
    0.665e-3 * pressure_pa
}

/// Air pressure at an elevation, Pa: `101300 ((293 - 0.0065 z) / 293)^5.26`, z in m, held at 0 above
/// some 45 km.
///
/// # References
/// Allen et al. (1998), FAO Paper 56, equation 7.
pub fn air_pressure_fao56(elevation_m: f64) -> f64 {
    101_300.0 * ((293.0 - 0.0065 * elevation_m).max(0.0) / 293.0).powf(5.26)
}

/// Wind 2 m above short grass, m/s, from wind at another height.
///
/// `u 4.87 / ln(67.8 z - 5.42)`; heights below 0.5 m are taken as 0.5 m.
///
/// # References
/// Allen et al. (1998), FAO Paper 56, equation 47.
///
/// ```
/// // Example 14: 3.2 m/s at 10 m are 2.4 m/s at 2 m.
/// use overwinter_physics::evapotranspiration::wind_at_2m_fao56;
/// assert!((wind_at_2m_fao56(3.2, 10.0) - 2.4).abs() < 0.05);
/// ```
pub fn wind_at_2m_fao56(wind_m_s: f64, height_m: f64) -> f64 {
    wind_m_s * 4.87 / (67.8 * height_m.max(0.5) - 5.42).ln()
}

#[cfg(test)]
mod tests;

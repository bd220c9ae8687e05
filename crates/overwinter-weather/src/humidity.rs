//! Dew point from relative humidity, as weather services define it: over liquid water at any
//! temperature.

use overwinter_physics::moist_air;

/// Dew point, K, of air at `air_temp_k` with a relative humidity `humidity` (share, held between
/// 0.001 and 1) over water.
pub(crate) fn dew_point_k(air_temp_k: f64, humidity: f64) -> f64 {
    let saturation_pa = moist_air::saturation_pressure_over_water_pa(air_temp_k);
    moist_air::dew_point_k(saturation_pa * humidity.clamp(0.001, 1.0)).min(air_temp_k)
}

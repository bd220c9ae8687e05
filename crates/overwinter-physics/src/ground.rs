//! Soil under and around the house.

pub mod freezing;
pub mod slab;

use std::f64::consts::PI;

const DAYS_A_YEAR: f64 = 365.0;
const SECONDS_A_DAY: f64 = 86_400.0;

/// Temperature of undisturbed soil, K, at a depth on a day of the year.
///
/// `T_m - A exp(-z sqrt(pi / (365 a))) cos(2 pi / 365 (n - n_0 - z / 2 sqrt(365 / (pi a))))`, with a
/// in m2/day. `swing_k` A is half of the year's range of surface temperature, `coldest_day` n_0 the
/// day of the coldest surface. Depth below zero counts as the surface; diffusivity must be above 0.
///
/// # References
/// Kusuda and Achenbach 1965, "Earth temperature and thermal diffusivity at selected stations in
/// the United States", ASHRAE Trans. 71(1) (from memory).
pub fn undisturbed_soil_kusuda1965(
    depth_m: f64,
    day: f64,
    mean_k: f64,
    swing_k: f64,
    coldest_day: f64,
    diffusivity_m2_s: f64,
) -> f64 {
    let depth_m = depth_m.max(0.0);
    let diffusivity_m2_day = diffusivity_m2_s * SECONDS_A_DAY;
    let damping = depth_m * (PI / (DAYS_A_YEAR * diffusivity_m2_day)).sqrt();
    let lag_days = 0.5 * depth_m * (DAYS_A_YEAR / (PI * diffusivity_m2_day)).sqrt();
    let phase = 2.0 * PI / DAYS_A_YEAR * (day - coldest_day - lag_days);
    mean_k - swing_k * (-damping).exp() * phase.cos()
}

#[cfg(test)]
mod tests;

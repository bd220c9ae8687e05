//! Air at other temperatures: its vapour and its sky go with it.
//!
//! The relative humidity stays, so that air is never over saturation and dry weather stays dry: it
//! changes little as climates warm and cool, S. Manabe and R. T. Wetherald (1967), "Thermal
//! equilibrium of the atmosphere with a given distribution of relative humidity", J. Atmos. Sci. 24,
//! 241-259 (from memory). For a single spell: common practice, no source.
//!
//! The longwave is moved by the ratio of the clear skies of the sky model, which is what the model
//! gives with the same cloud. Where a file brings its own longwave the ratio carries over what the
//! file knows of its sky.

use crate::year::Year;
use overwinter_physics::moist_air::{dew_point_k, saturation_pressure_over_water_pa};
use overwinter_physics::sky::{sky_longwave_w_m2, sky_temp_k};

/// Gives a year other air temperatures; hour marks that keep theirs stay as they are.
pub(super) fn move_air(year: &mut Year, air_temp_k: Vec<f64>) {
    for (mark, &moved_k) in air_temp_k.iter().enumerate() {
        let was_k = year.air_temp_k[mark];
        if moved_k.to_bits() == was_k.to_bits() {
            continue;
        }
        let dew_was_k = year.dew_point_k[mark];
        let dew_moved_k = same_humidity_dew_point_k(was_k, dew_was_k, moved_k);
        year.dew_point_k[mark] = dew_moved_k;
        year.sky_longwave_w_m2[mark] = same_cloud_longwave_w_m2(
            year.sky_longwave_w_m2[mark],
            (was_k, dew_was_k),
            (moved_k, dew_moved_k),
        );
    }
    year.air_temp_k = air_temp_k;
}

/// Dew point, K, of air at `moved_k` with the relative humidity of air at `was_k`.
fn same_humidity_dew_point_k(was_k: f64, dew_was_k: f64, moved_k: f64) -> f64 {
    let [dew_pa, was_pa, moved_pa] =
        [dew_was_k, was_k, moved_k].map(saturation_pressure_over_water_pa);
    dew_point_k(dew_pa / was_pa * moved_pa).min(moved_k)
}

/// Longwave, W/m2, of the same sky over other air; `(air, dew point)` in K.
///
/// A sky that sent no more than a black body at air temperature does not send more after.
fn same_cloud_longwave_w_m2(
    longwave_w_m2: f64,
    (was_k, dew_was_k): (f64, f64),
    (moved_k, dew_moved_k): (f64, f64),
) -> f64 {
    let clear_w_m2 = |air_k, dew_k| sky_longwave_w_m2(air_k, dew_k, 0.0);
    let of_clear_sky = clear_w_m2(moved_k, dew_moved_k) / clear_w_m2(was_k, dew_was_k);
    let of_black_body = (moved_k / was_k).powi(4);
    let emissivity = (sky_temp_k(longwave_w_m2) / was_k).powi(4);
    let most = of_black_body * (1.0 / emissivity).max(1.0);
    longwave_w_m2 * of_clear_sky.min(most)
}

//! A heater that is more than enough for a house and never fails: what it gives is what the others lack.

use crate::control::Heater;
use crate::house::House;

/// Its size against what is installed, its least size for the floor, its band.
const AMPLE_TIMES: f64 = 10.0;
const LEAST_AMPLE_W_M2: f64 = 500.0;
const AMPLE_BAND_K: f64 = 0.5;

/// One more heater, in need of no electricity, that starts where the others already give all they have.
pub(crate) fn ample_heater(house: &House, name: &str) -> Heater {
    let installed_w: f64 = house.heaters.iter().map(|heater| heater.output_w).sum();
    Heater {
        name: name.to_owned(),
        output_w: AMPLE_TIMES * installed_w.max(house.floor_area_m2 * LEAST_AMPLE_W_M2),
        efficiency: 1.0,
        fuel: String::new(),
        electric_w: 0.0,
        needs_electricity: false,
        offset_k: full_below_k(house) - AMPLE_BAND_K / 2.0,
        band_k: AMPLE_BAND_K,
        convective_share: 1.0,
        water_kg_j: 0.0,
    }
}

/// Offset from the set point below which all heaters give all they have, K; 0 without heaters.
pub(crate) fn full_below_k(house: &House) -> f64 {
    let ends_k = house
        .heaters
        .iter()
        .map(|heater| heater.offset_k - heater.band_k / 2.0);
    ends_k.reduce(f64::min).unwrap_or(0.0)
}

//! Air and the water in it: saturation, humidity measures, density, mass transfer to a surface.
//!
//! Vapour is an ideal gas here and its saturation follows the Magnus form, over liquid water at and
//! above 0 C and over ice below. Against the tables of ASHRAE Fundamentals 2017 the saturation
//! pressure is within 0.4 % from -40 to 50 C. Left out: the enhancement of saturation pressure by
//! the presence of air (0.4 % at sea level).

use overwinter_units::constants::{
    AIR_HEAT_CAPACITY_J_KGK, GAS_CONSTANT_DRY_AIR_J_KGK, GAS_CONSTANT_VAPOUR_J_KGK,
    STANDARD_PRESSURE_PA, VAPORISATION_HEAT_J_KG, VAPORISATION_HEAT_SLOPE_J_KGK,
    VAPOUR_HEAT_CAPACITY_J_KGK, WATER_TO_AIR_MASS_RATIO, ZERO_CELSIUS_K,
};

use crate::number::Real;

/// Saturation pressure at 0 C of both Magnus forms, Pa.
const MAGNUS_PRESSURE_PA: f64 = 610.94;
const WATER_FACTOR: f64 = 17.625;
const WATER_OFFSET_K: f64 = 243.04;
const ICE_FACTOR: f64 = 22.46;
const ICE_OFFSET_K: f64 = 272.62;

/// Temperatures outside this range are taken at its ends, which keeps the form finite whatever an
/// iteration tries.
const COLDEST_K: f64 = 173.15;
const HOTTEST_K: f64 = 473.15;

/// The Lewis number to the power of 2/3.
const LEWIS_TWO_THIRDS: f64 = 0.904_341_17;

/// Saturation pressure of water vapour, Pa: over liquid water at and above 0 C, over ice below.
///
/// `610.94 exp(17.625 t / (t + 243.04))` over water and `610.94 exp(22.46 t / (t + 272.62))` over
/// ice, t in C. Temperatures below -100 C and above 200 C are taken at those ends.
///
/// # References
/// - Water: Alduchov and Eskridge 1996, "Improved Magnus form approximation of saturation vapor
///   pressure", J. Appl. Meteorology 35, equation 21 (from memory; within
///   0.4 % from -40 to 50 C).
/// - Ice: Sonntag 1990 as given in WMO-No. 8, "Guide to Meteorological Instruments and Methods of
///   Observation", annex 4.B (from memory; -65 to 0 C). Deviation: the published factor is
///   611.2 Pa; the 610.94 Pa of the water form is used so that the pressure has no step at 0 C.
///
/// # Examples
/// ```
/// // ASHRAE Handbook Fundamentals 2017, chapter 1, table 3: 872.6 Pa at 5 C.
/// let pressure_pa = overwinter_physics::moist_air::saturation_pressure_pa(278.15);
/// assert!((pressure_pa / 872.6 - 1.0).abs() < 4e-3);
/// ```
#[inline(always)]
pub fn saturation_pressure_pa<R: Real>(temp_k: R) -> R {
    magnus(temp_k).0
}

/// Saturation pressure over liquid water, also below 0 C, Pa.
///
/// Weather services state dew point and relative humidity against liquid water at any temperature,
/// so this form reads their figures. See [`saturation_pressure_pa`] for form and range.
pub fn saturation_pressure_over_water_pa(temp_k: f64) -> f64 {
    let celsius = temp_k.clamp(COLDEST_K, HOTTEST_K) - ZERO_CELSIUS_K;
    MAGNUS_PRESSURE_PA * (WATER_FACTOR * celsius / (celsius + WATER_OFFSET_K)).exp()
}

/// Saturation density of water vapour, kg/m3, and its slope with temperature, kg/m3 K.
///
/// `density = e_s(T) / (R_v T)`, `slope = density (a b / (t + b)^2 - 1 / T)` with a and b of the
/// Magnus form of [`saturation_pressure_pa`]; outside that form's range the slope is that of the
/// end.
#[inline(always)]
pub fn saturation_vapour_density<R: Real>(temp_k: R) -> (R, R) {
    let (pressure_pa, log_slope_per_k) = magnus(temp_k);
    let per_kelvin = R::one() / temp_k.clamp_between(COLDEST_K, HOTTEST_K);
    let density = pressure_pa * per_kelvin * (1.0 / GAS_CONSTANT_VAPOUR_J_KGK);
    (density, density * (log_slope_per_k - per_kelvin))
}

/// Pressure and relative slope (per kelvin) of the Magnus form, from one exponential.
#[inline(always)]
fn magnus<R: Real>(temp_k: R) -> (R, R) {
    let celsius = temp_k.clamp_between(COLDEST_K, HOTTEST_K) - ZERO_CELSIUS_K;
    let frozen = celsius.lt(R::zero());
    let factor = R::select(frozen, R::splat(ICE_FACTOR), R::splat(WATER_FACTOR));
    let offset_k = R::select(frozen, R::splat(ICE_OFFSET_K), R::splat(WATER_OFFSET_K));
    let per_span = R::one() / (celsius + offset_k);
    let exponent = factor * celsius * per_span;
    let pressure_pa = exponent.exp() * MAGNUS_PRESSURE_PA;
    (pressure_pa, factor * offset_k * per_span.squared())
}

/// Vapour density of outdoor air, kg/m3, from its dew point over liquid water.
///
/// `e_w(T_dew) / (R_v T)`. The dew point of a weather record is stated over water below 0 C too.
pub fn vapour_density_from_dew_point(dew_point_k: f64, temp_k: f64) -> f64 {
    saturation_pressure_over_water_pa(dew_point_k) / (GAS_CONSTANT_VAPOUR_J_KGK * temp_k)
}

/// Relative humidity, 0 to 1 (above 1 where oversaturated), over ice below 0 C.
#[inline(always)]
pub fn relative_humidity<R: Real>(vapour_density: R, temp_k: R) -> R {
    vapour_density / saturation_vapour_density(temp_k).0
}

/// Partial pressure of water vapour, Pa, from its density, kg/m3: `rho R_v T`.
#[inline(always)]
pub fn vapour_pressure_pa<R: Real>(vapour_density: R, temp_k: R) -> R {
    vapour_density * temp_k * GAS_CONSTANT_VAPOUR_J_KGK
}

/// Dew point over liquid water, K: the inverse of [`saturation_pressure_over_water_pa`].
///
/// Pressures below 1e-3 Pa give the dew point of 1e-3 Pa (about -95 C).
///
/// # Examples
/// ```
/// // ASHRAE Handbook Fundamentals 2017, chapter 1, table 3: 3169.7 Pa at 25 C.
/// let dew_point_k = overwinter_physics::moist_air::dew_point_k(3169.7);
/// assert!((dew_point_k - 298.15).abs() < 0.05);
/// ```
pub fn dew_point_k(vapour_pressure_pa: f64) -> f64 {
    inverse_magnus(vapour_pressure_pa, WATER_FACTOR, WATER_OFFSET_K)
}

/// Temperature, K, at which a surface begins to take up water from the air: the dew point at and
/// above 0 C, the frost point below. The inverse of [`saturation_pressure_pa`].
pub fn dew_or_frost_point_k(vapour_pressure_pa: f64) -> f64 {
    if vapour_pressure_pa < MAGNUS_PRESSURE_PA {
        inverse_magnus(vapour_pressure_pa, ICE_FACTOR, ICE_OFFSET_K)
    } else {
        dew_point_k(vapour_pressure_pa)
    }
}

fn inverse_magnus(vapour_pressure_pa: f64, factor: f64, offset_k: f64) -> f64 {
    let logarithm = (vapour_pressure_pa.max(1e-3) / MAGNUS_PRESSURE_PA).ln();
    ZERO_CELSIUS_K + offset_k * logarithm / (factor - logarithm)
}

/// Humidity ratio, kg water per kg dry air: `0.62194 e / (p - e)`.
///
/// Vapour pressure at or above the total pressure has no meaning; it is taken as 0.99 of it.
#[inline(always)]
pub fn humidity_ratio<R: Real>(vapour_pressure_pa: R, pressure_pa: f64) -> R {
    let vapour_pa = vapour_pressure_pa.min(R::splat(0.99 * pressure_pa));
    vapour_pa * WATER_TO_AIR_MASS_RATIO / (R::splat(pressure_pa) - vapour_pa)
}

/// Density of dry air, kg/m3: `p / (R_da T)`.
#[inline(always)]
pub fn air_density_kg_m3<R: Real>(pressure_pa: f64, temp_k: R) -> R {
    R::splat(pressure_pa / GAS_CONSTANT_DRY_AIR_J_KGK) / temp_k
}

/// Enthalpy of moist air above dry air and liquid water at 0 C, J per kg dry air.
///
/// `1006 t + w (2.501e6 + 1860 t)`, t in C.
///
/// # References
/// ASHRAE Handbook Fundamentals 2017, chapter 1, equation 30 (from memory).
pub fn moist_air_enthalpy_j_kg(temp_k: f64, humidity_ratio: f64) -> f64 {
    let celsius = temp_k - ZERO_CELSIUS_K;
    AIR_HEAT_CAPACITY_J_KGK * celsius
        + humidity_ratio * (VAPORISATION_HEAT_J_KG + VAPOUR_HEAT_CAPACITY_J_KGK * celsius)
}

/// Heat of vaporisation of water, J/kg: `2.501e6 - 2361 t`, t in C (from memory).
#[inline(always)]
pub fn vaporisation_heat_j_kg<R: Real>(temp_k: R) -> R {
    (temp_k - ZERO_CELSIUS_K) * -VAPORISATION_HEAT_SLOPE_J_KGK + VAPORISATION_HEAT_J_KG
}

/// Pressure of the standard atmosphere, Pa, at an elevation above sea level.
///
/// `101325 (1 - 2.25577e-5 z)^5.2559`, z in m; from -5,000 to 11,000 m, held at the ends beyond.
///
/// # References
/// ASHRAE Handbook Fundamentals 2017, chapter 1, equation 3 (from memory; table 1 prints 89,875 Pa
/// at 1,000 m).
///
/// # Examples
/// ```
/// let pressure_pa = overwinter_physics::moist_air::standard_pressure_pa(1000.0);
/// assert!((pressure_pa - 89_875.0).abs() < 1.0);
/// ```
pub fn standard_pressure_pa(elevation_m: f64) -> f64 {
    let elevation_m = elevation_m.clamp(-5_000.0, 11_000.0);
    STANDARD_PRESSURE_PA * (1.0 - 2.25577e-5 * elevation_m).powf(5.2559)
}

/// Mass transfer coefficient of water vapour at a surface, m/s, from its convection coefficient.
///
/// `h / (rho c_p Le^(2/3))`: the analogy of heat and mass transfer of Chilton and Colburn 1934
/// ("Mass transfer (absorption) coefficients: prediction from data on heat transfer and fluid
/// friction", Ind. Eng. Chem. 26), Lewis number 0.86 (from memory).
#[inline(always)]
pub fn mass_transfer_m_s<R: Real>(convection_w_m2k: R, air_density_kg_m3: f64) -> R {
    convection_w_m2k * (1.0 / (air_density_kg_m3 * AIR_HEAT_CAPACITY_J_KGK * LEWIS_TWO_THIRDS))
}

#[cfg(test)]
mod tests;

//! Convection coefficients between air and the faces of a house, W/m2 K.
//!
//! Every natural form takes a temperature difference of any sign and is zero at zero.

use crate::number::Real;

/// Length along the flow over which fans' air sweeps a face, m (estimate, 1 to 2 m).
const SWEPT_LENGTH_M: f64 = 1.5;

/// Still air under the cover to its inner face: `1.52 |dT|^(1/3)`.
///
/// # References
/// Turbulent natural convection at a plate facing the warm fluid, textbook form for air, from
/// memory.
#[inline(always)]
pub fn inside_cover<R: Real>(temp_difference_k: R) -> R {
    temp_difference_k.abs().cbrt() * 1.52
}

/// Greenhouse floor to air: `1.7 dT^(1/3)` with the floor warmer, `1.3 |dT|^(1/4)` with it colder.
///
/// # References
/// Bot 1983, "Greenhouse climate: from physical processes to a dynamic model", and de Zwart 1996,
/// "Analyzing energy-saving options in greenhouse cultivation using a simulation model"; both
/// Wageningen Agricultural University, from memory.
#[inline(always)]
pub fn floor<R: Real>(floor_minus_air_k: R) -> R {
    let size_k = floor_minus_air_k.abs();
    let colder = floor_minus_air_k.lt(R::zero());
    R::select(colder, size_k.sqrt().sqrt() * 1.3, size_k.cbrt() * 1.7)
}

/// Inside face of an upright wall: `1.31 |dT|^(1/3)`.
///
/// # References
/// Turbulent natural convection at a vertical plate in air, ASHRAE Handbook Fundamentals, chapter
/// on heat transfer, from memory.
#[inline(always)]
pub fn wall_inside<R: Real>(temp_difference_k: R) -> R {
    temp_difference_k.abs().cbrt() * 1.31
}

/// Outer face of a plastic-covered house: `0.95 + 6.76 u^0.49`, u the wind near the house, m/s.
///
/// Fitted up to 6.3 m/s and used beyond. Negative wind counts as calm.
///
/// # References
/// Papadakis, Frangoudakis and Kyritsis 1992, "Mixed, forced and free convection heat transfer at
/// the greenhouse cover", J. Agric. Engng Res. 51 (from memory).
pub fn outside_film_papadakis1992(wind_m_s: f64) -> f64 {
    0.95 + 6.76 * wind_m_s.max(0.0).powf(0.49)
}

/// Wind coefficient, W/m2 K, above which [`outside_cover`] looks at the wind alone: natural
/// convection reaches it 146 K above the air.
const CALM_W_M2K: f64 = 8.0;

/// Outer face of a cover in little wind: the larger of the `wind_w_m2k` that the wind gives and of
/// natural convection over a warm plate, `1.52 dT^(1/3)`.
///
/// The wind's part falls to 0.95 W/m2 K in a calm by [`outside_film_papadakis1992`], as if the warm
/// cover had no updraught of its own. A cover colder than the air lies under a layer that does not
/// rise: there the wind counts alone. `natural_scale` is what thin air leaves of natural convection,
/// 1 at sea level, 0 to leave it out.
///
/// # References
/// As [`inside_cover`]; the larger of two coefficients in place of their mixture is an estimate.
#[inline(always)]
pub fn outside_cover<R: Real>(wind_w_m2k: R, face_minus_air_k: R, natural_scale: R) -> R {
    if !R::any(wind_w_m2k.lt(R::splat(CALM_W_M2K))) {
        return wind_w_m2k;
    }
    wind_w_m2k.max(inside_cover(face_minus_air_k.max(R::zero())) * natural_scale)
}

/// Outer face of an opaque wall or a pane: `4 + 4 u`, u the wind at the face, m/s.
///
/// Negative wind counts as calm.
///
/// # References
/// ISO 15099:2003, "Thermal performance of windows, doors and shading devices", external
/// convection; the same form is in ISO 6946, annex on surface resistances (from memory).
pub fn outside_opaque(wind_m_s: f64) -> f64 {
    4.0 + 4.0 * wind_m_s.max(0.0)
}

/// Forced flow of fan air along a face, air speed in m/s, over a swept length of 1.5 m (estimate).
///
/// `Nu = 0.664 Re^(1/2) Pr^(1/3)` up to `Re = 5e5`, then `(0.037 Re^0.8 - 871) Pr^(1/3)`, with air
/// at 10 C: k 0.0250 W/m K, kinematic viscosity 1.42e-5 m2/s, Pr 0.71. Negative speed counts as
/// still.
///
/// # References
/// Pohlhausen's laminar plate and its mixed turbulent continuation, as in Incropera and DeWitt,
/// "Fundamentals of Heat and Mass Transfer", chapter on external flow (from memory).
pub fn forced_plate(air_speed_m_s: f64) -> f64 {
    const CONDUCTIVITY_W_MK: f64 = 0.0250;
    const VISCOSITY_M2_S: f64 = 1.42e-5;
    const PRANDTL: f64 = 0.71;
    let reynolds = air_speed_m_s.max(0.0) * SWEPT_LENGTH_M / VISCOSITY_M2_S;
    let profile = if reynolds < 5e5 {
        0.664 * reynolds.sqrt()
    } else {
        0.037 * reynolds.powf(0.8) - 871.0
    };
    CONDUCTIVITY_W_MK / SWEPT_LENGTH_M * profile * PRANDTL.cbrt()
}

/// Natural and forced convection together: `(n^3 + f^3)^(1/3)`.
///
/// # References
/// Churchill 1977, "A comprehensive correlating equation for laminar, assisting, forced and free
/// convection", AIChE J. 23 (from memory).
#[inline(always)]
pub fn mixed<R: Real>(natural: R, forced: f64) -> R {
    if forced == 0.0 {
        return natural;
    }
    (natural.squared() * natural + forced * forced * forced).cbrt()
}

/// [`inside_cover`] and forced convection together, with one cube root; as [`mixed`], the forced part by its
/// cube.
#[inline(always)]
pub fn inside_cover_mixed<R: Real>(temp_difference_k: R, forced_cubed: R) -> R {
    (temp_difference_k.abs() * (1.52 * 1.52 * 1.52) + forced_cubed).cbrt()
}

/// [`floor`] and forced convection together, with one cube root; as [`mixed`], the forced part by its
/// cube.
#[inline(always)]
pub fn floor_mixed<R: Real>(floor_minus_air_k: R, forced_cubed: R) -> R {
    let size_k = floor_minus_air_k.abs();
    let root = size_k.sqrt();
    let colder = root * root.sqrt() * (1.3 * 1.3 * 1.3);
    let warmer = size_k * (1.7 * 1.7 * 1.7);
    let cubed = R::select(floor_minus_air_k.lt(R::zero()), colder, warmer);
    (cubed + forced_cubed).cbrt()
}

/// [`wall_inside`] and forced convection together, with one cube root; as [`mixed`], the forced part by its
/// cube.
#[inline(always)]
pub fn wall_inside_mixed<R: Real>(temp_difference_k: R, forced_cubed: R) -> R {
    (temp_difference_k.abs() * (1.31 * 1.31 * 1.31) + forced_cubed).cbrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Arithmetic on the published form: 3^0.49 = 1.7131.
    #[test]
    fn papadakis_at_three_metres_a_second() {
        assert!((outside_film_papadakis1992(3.0) - 12.53).abs() < 0.01);
        assert!((outside_film_papadakis1992(-1.0) - 0.95).abs() < 1e-12);
    }

    /// 10 K over calm air: 1.52 x 2.1544 = 3.27 against 0.95 from the wind.
    #[test]
    fn a_warm_cover_has_its_own_updraught_in_a_calm() {
        let calm = outside_film_papadakis1992(0.0);
        assert!((outside_cover(calm, 10.0, 1.0) - 3.27).abs() < 0.01);
        assert!((outside_cover(calm, -10.0, 1.0) - calm).abs() < 1e-12);
        assert!((outside_cover(calm, 10.0, 0.0) - calm).abs() < 1e-12);
        let windy = outside_film_papadakis1992(3.0);
        assert!((outside_cover(windy, 10.0, 1.0) - windy).abs() < 1e-12);
    }

    #[test]
    fn winter_window_condition_of_iso_15099() {
        // 5.5 m/s gives 26 W/m2 K, the standard's winter boundary condition.
        assert!((outside_opaque(5.5) - 26.0).abs() < 1e-12);
    }

    #[test]
    fn laminar_plate_by_hand() {
        // Re 31,690 at 0.3 m/s: 0.664 * 178.0 * 0.892 * 0.0250 / 1.5 = 1.757.
        assert!((forced_plate(0.3) - 1.757).abs() < 2e-3);
        let transition_m_s = 5e5 * 1.42e-5 / SWEPT_LENGTH_M;
        let before = forced_plate(transition_m_s * (1.0 - 1e-9));
        let after = forced_plate(transition_m_s * (1.0 + 1e-9));
        assert!((before / after - 1.0).abs() < 0.02, "{before} {after}");
    }

    #[test]
    fn cold_floor_is_a_weaker_partner_than_a_warm_one() {
        assert!((floor(8.0) - 3.4).abs() < 1e-12);
        assert!((floor(-16.0) - 2.6).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn one_cube_root_gives_the_same_mixture(dt in -40.0..40.0_f64, forced in 0.0..5.0_f64) {
            let cubed = forced * forced * forced;
            for (short, long) in [
                (inside_cover_mixed(dt, cubed), mixed(inside_cover(dt), forced)),
                (floor_mixed(dt, cubed), mixed(floor(dt), forced)),
                (wall_inside_mixed(dt, cubed), mixed(wall_inside(dt), forced)),
            ] {
                prop_assert!((short - long).abs() <= 1e-12 * long.max(1.0), "{short} {long}");
            }
        }

        #[test]
        fn coefficients_rise_with_their_drive(dt in 0.01..60.0_f64, wind in 0.0..40.0_f64) {
            prop_assert!(inside_cover(dt * 1.01) > inside_cover(dt));
            prop_assert!(wall_inside(-dt * 1.01) > wall_inside(-dt));
            prop_assert!(floor(dt * 1.01) > floor(dt));
            prop_assert!(floor(-dt * 1.01) > floor(-dt));
            prop_assert!(outside_film_papadakis1992(wind + 0.1) > outside_film_papadakis1992(wind));
            prop_assert!(outside_opaque(wind + 0.1) > outside_opaque(wind));
        }

        #[test]
        fn mixed_is_at_least_each_and_at_most_their_sum(n in 0.0..20.0_f64, f in 0.0..20.0_f64) {
            let both = mixed(n, f);
            prop_assert!(both >= n.max(f) * (1.0 - 1e-12));
            prop_assert!(both <= n + f + 1e-12);
        }
    }
}

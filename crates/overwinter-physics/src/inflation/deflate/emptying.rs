//! One gap by itself: closed forms.

use crate::inflation::Opening;

/// Time in which a slack gap empties through all its ways, s: `V0 / sum Q(p_w)`.
///
/// `volume_m3` V0, `film_weight_pa` p_w; `ways` are leaks, holes and, without a flap, the inlet of the
/// dead blower, all to calm air. Infinite without any way or weight.
///
/// # References
/// Flow balance at constant pressure. No measured time was found in the literature.
///
/// ```
/// use overwinter_physics::inflation::{Opening, deflate::emptying_time_s, gap::film_weight_pa};
/// // 400 m2 x 0.15 m, 150 micrometre film, 0.02 m3/s at 60 Pa through holes: 5.5 h with the flap
/// // shut, 2.4 h with an open inlet of 75 mm (computed from the formula).
/// let weight_pa = film_weight_pa(150e-6, 0.0);
/// let leak = Opening::crack(0.02, 60.0, 0.5)?;
/// let inlet = Opening::hole(0.6, 0.004418, 1.25)?;
/// let hours = |ways: &[Opening]| emptying_time_s(60.0, weight_pa, ways) / 3600.0;
/// assert!((hours(&[leak]) - 5.5).abs() < 0.05);
/// assert!((hours(&[leak, inlet]) - 2.4).abs() < 0.05);
/// # Ok::<(), overwinter_physics::error::PhysicsError>(())
/// ```
pub fn emptying_time_s(volume_m3: f64, film_weight_pa: f64, ways: &[Opening]) -> f64 {
    let outflow_m3_s: f64 = ways.iter().map(|way| way.flow_m3_s(film_weight_pa)).sum();
    if outflow_m3_s > 0.0 {
        volume_m3 / outflow_m3_s
    } else {
        f64::INFINITY
    }
}

/// Pressure in a taut gap some time after the blower stopped, Pa, while it is above the film's weight.
///
/// `p^(1 - n) = p_0^(1 - n) - (1 - n) C t / C_V` for one leak `C dp^n`; for `n` = 1 the limit, an
/// exponential. `leak` gives its flow at `start_pa`, `compliance_m3_pa` is C_V. Never below zero.
///
/// # References
/// Integral of `C_V dp/dt = -C p^n`.
///
/// ```
/// use overwinter_physics::inflation::deflate::taut_pressure_pa;
/// // n = 0.5: empty of pressure after 2 C_V p_0 / Q_0 = 2 x 0.05 x 60 / 0.02 = 300 s, a quarter left
/// // half way.
/// assert!((taut_pressure_pa(60.0, 0.02, 0.5, 0.05, 150.0) - 15.0).abs() < 1e-9);
/// assert_eq!(taut_pressure_pa(60.0, 0.02, 0.5, 0.05, 400.0), 0.0);
/// ```
pub fn taut_pressure_pa(
    start_pa: f64,
    start_flow_m3_s: f64,
    exponent: f64,
    compliance_m3_pa: f64,
    time_s: f64,
) -> f64 {
    let spent = start_flow_m3_s * time_s / (compliance_m3_pa * start_pa);
    let rest = 1.0 - exponent;
    if rest.abs() < 1e-9 {
        return start_pa * (-spent).exp();
    }
    start_pa * (1.0 - rest * spent).max(0.0).powf(rest.recip())
}

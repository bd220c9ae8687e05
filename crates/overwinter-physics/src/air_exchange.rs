//! Volume flow of air between house and outdoors, m3/s: leaks, vents, doors, a drawn screen.
//!
//! Temperature differences may have either sign; their size counts. Negative wind counts as calm.

use overwinter_units::constants::GRAVITY_M_S2;

use crate::number::Real;

/// Leakage of a closed house, m3/s, from its effective leakage area.
///
/// `A / 1000 sqrt(C_s |dT| + C_w u^2)`, A in cm2 (at 4 Pa), u the wind at the weather station's
/// height in m/s. For one storey `stack` is 1.45e-4 (L/s)2/cm4 K and `wind` between 1.0e-4 (well
/// sheltered) and 3.2e-4 (exposed) (L/s)2/cm4 (m/s)-2.
///
/// # References
/// Sherman and Grimsrud 1980, "Infiltration-pressurization correlation: simplified physical
/// modeling", ASHRAE Trans. 86(2); coefficients as in ASHRAE Handbook Fundamentals, chapter on
/// ventilation and infiltration, basic model (from memory).
#[inline(always)]
pub fn leak_flow_sherman_grimsrud1980<R: Real>(
    area_cm2: R,
    stack: R,
    wind: R,
    temp_difference_k: R,
    wind_m_s: R,
) -> R {
    let wind_m_s = wind_m_s.max(R::zero());
    let drive = temp_difference_k.abs() * stack + wind * wind_m_s * wind_m_s;
    drive.sqrt() * (area_cm2 / 1000.0)
}

/// Flow through an open vent, m3/s, from stack and wind.
///
/// `A / 2 C_d sqrt(2 g |dT| / T_out H / 4 + C_w u^2)`, A the open area (half of it lets air in), H
/// the height over which the vent opens. Published `C_d` 0.60 to 0.66 and `C_w` 0.06 to 0.10 without
/// insect net.
///
/// # References
/// Boulard and Baille 1995, "Modelling of air exchange rate in a greenhouse equipped with
/// continuous roof vents", J. Agric. Engng Res. 61 (from memory).
#[inline(always)]
pub fn opening_flow_boulard_baille1995<R: Real>(
    area_m2: R,
    discharge: R,
    wind_coefficient: R,
    stack_height_m: R,
    temp_difference_k: R,
    outdoor_temp_k: R,
    wind_m_s: R,
) -> R {
    let wind_m_s = wind_m_s.max(R::zero());
    let stack = stack_height_m * (0.5 * GRAVITY_M_S2) / outdoor_temp_k;
    let drive = temp_difference_k.abs() * stack + wind_coefficient * wind_m_s * wind_m_s;
    drive.sqrt() * (area_m2 * discharge * 0.5)
}

/// Flow through a drawn screen, m3/s per m2 of screen: `K |dT|^(2/3)`.
///
/// K from 0.05e-3 (tight) to 1e-3 (porous) m3/s m2 K^0.66.
///
/// # References
/// de Zwart 1996, "Analyzing energy-saving options in greenhouse cultivation using a simulation
/// model", Wageningen (from memory). Deviation: the published exponent is 0.66; 2/3 costs a cube
/// root and gives 1.5 % more at 10 K.
#[inline(always)]
pub fn screen_leak<R: Real>(coefficient: R, temp_difference_k: R) -> R {
    temp_difference_k.squared().cbrt() * coefficient
}

/// Flow in (and as much out) through one open door, m3/s.
///
/// Stack part `C_d W H / 3 sqrt(g H |dT| / T)`, wind and turbulence part
/// `W H / 2 sqrt(0.001 u^2 + 0.01)`, joined as the root of the sum of their squares. `temp_k` is the
/// mean of indoor and outdoor air.
///
/// # References
/// - Stack: Brown and Solvason 1962, "Natural convection through rectangular openings in
///   partitions", Int. J. Heat Mass Transfer 5 (from memory).
/// - Wind: de Gids and Phaff 1982, "Ventilation rates and energy consumption due to open windows",
///   Air Infiltration Review 4 (from memory), without its own stack term.
#[inline(always)]
pub fn door_flow<R: Real>(
    width_m: f64,
    height_m: f64,
    discharge: f64,
    temp_difference_k: R,
    temp_k: R,
    wind_m_s: R,
) -> R {
    let area_m2 = width_m * height_m;
    let wind_m_s = wind_m_s.max(R::zero());
    let stack = (discharge * area_m2 / 3.0).powi(2) * GRAVITY_M_S2 * height_m;
    let wind = (wind_m_s.squared() * 0.001 + 0.01) * (0.25 * area_m2 * area_m2);
    (temp_difference_k.abs() / temp_k * stack + wind).sqrt()
}

/// Discharge coefficient of an opening with a net in it: `1 / sqrt(1 / C_o^2 + 1 / C_n^2)`.
///
/// Pressure losses of opening and net add. A coefficient of zero closes the way.
pub fn discharge_with_net(opening_discharge: f64, net_discharge: f64) -> f64 {
    let (opening, net) = (opening_discharge.max(0.0), net_discharge.max(0.0));
    let size = opening.hypot(net);
    if size == 0.0 {
        0.0
    } else {
        opening * net / size
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn leak_by_hand() {
        // 1000 cm2, 20 K, 4 m/s, sheltered: sqrt(1.45e-4 * 20 + 1.0e-4 * 16) = 0.067082.
        let flow = leak_flow_sherman_grimsrud1980(1000.0, 1.45e-4, 1.0e-4, -20.0, 4.0);
        assert!((flow - 0.067_082).abs() < 1e-6, "{flow}");
    }

    #[test]
    fn vent_by_hand() {
        // 10 m2, C_d 0.6, calm, H 1 m, 10 K at 283 K: 3 * sqrt(9.80665 * 0.5 * 10 / 283) = 1.2487.
        let flow = opening_flow_boulard_baille1995(10.0, 0.6, 0.07, 1.0, 10.0, 283.0, 0.0);
        assert!((flow - 1.2487).abs() < 1e-4, "{flow}");
        // Wind alone, 4 m/s: 3 * sqrt(0.07 * 16) = 3.1749.
        let flow = opening_flow_boulard_baille1995(10.0, 0.6, 0.07, 1.0, 0.0, 283.0, 4.0);
        assert!((flow - 3.1749).abs() < 1e-4, "{flow}");
    }

    #[test]
    fn open_door_in_calm() {
        // Arithmetic on the stack form: 1 m by 2 m, 20 K, C_d 0.6: 0.4 sqrt(9.80665 * 2 * 20 / 283)
        // = 0.4709 m3/s; the turbulence term 0.1 adds in squares.
        let flow: f64 = door_flow(1.0, 2.0, 0.6, 20.0, 283.0, 0.0);
        assert!(
            (flow - (0.4709_f64.powi(2) + 0.01).sqrt()).abs() < 1e-3,
            "{flow}"
        );
    }

    #[test]
    fn screen_exponent_stays_near_the_published_one() {
        for difference_k in [1.0, 3.0, 10.0, 20.0_f64] {
            let published = 1e-3 * difference_k.powf(0.66);
            assert!((screen_leak(1e-3, difference_k) / published - 1.0).abs() < 0.021);
        }
    }

    #[test]
    fn net_in_front_of_a_wide_opening_rules() {
        assert!((discharge_with_net(0.65, 0.25) - 0.2333).abs() < 1e-4);
        assert!(discharge_with_net(0.0, 0.0).abs() < f64::EPSILON);
    }

    proptest! {
        #[test]
        fn flows_rise_with_difference_and_wind(dt in 0.01..50.0_f64, wind in 0.1..30.0_f64) {
            let leak = |dt: f64, u| leak_flow_sherman_grimsrud1980(500.0, 1.45e-4, 2.0e-4, dt, u);
            prop_assert!(leak(dt * 1.01, wind) > leak(dt, wind));
            prop_assert!(leak(dt, wind * 1.01) > leak(dt, wind));
            let vent = |dt: f64, u| {
                opening_flow_boulard_baille1995(4.0, 0.6, 0.07, 1.0, dt, 270.0, u)
            };
            prop_assert!(vent(dt * 1.01, wind) > vent(dt, wind));
            prop_assert!(vent(dt, wind * 1.01) > vent(dt, wind));
            let door = |dt: f64, u| door_flow(2.0, 2.5, 0.6, dt, 275.0, u);
            prop_assert!(door(-dt * 1.01, wind) > door(-dt, wind));
            prop_assert!(door(dt, wind * 1.01) > door(dt, wind));
            prop_assert!(screen_leak(1e-3, dt * 1.01) > screen_leak(1e-3, dt));
        }
    }
}

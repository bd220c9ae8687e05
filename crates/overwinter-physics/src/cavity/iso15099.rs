//! Gas-filled cavities and room-side convection of glazings, after ISO 15099:2003.

use overwinter_units::constants::{GAS_CONSTANT_J_MOLK, GRAVITY_M_S2};

/// A gas whose properties are straight lines in temperature: `a + b T`, T in K.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gas {
    /// Thermal conductivity, W/m K.
    pub conductivity: [f64; 2],
    /// Dynamic viscosity, Pa s.
    pub viscosity: [f64; 2],
    /// Specific heat at constant pressure, J/kg K.
    pub heat_capacity: [f64; 2],
    /// Molar mass, kg/mol.
    pub molar_mass_kg_mol: f64,
}

/// Air (ISO 15099:2003, annex B).
pub const AIR: Gas = Gas {
    conductivity: [2.8733e-3, 7.76e-5],
    viscosity: [3.7233e-6, 4.94e-8],
    heat_capacity: [1002.737, 0.012_324],
    molar_mass_kg_mol: 28.97e-3,
};

/// Argon (ISO 15099:2003, annex B).
pub const ARGON: Gas = Gas {
    conductivity: [2.2848e-3, 5.1486e-5],
    viscosity: [3.3786e-6, 6.4514e-8],
    heat_capacity: [521.929, 0.0],
    molar_mass_kg_mol: 39.948e-3,
};

impl Gas {
    /// Thermal conductivity, W/m K.
    pub fn conductivity_w_mk(&self, temp_k: f64) -> f64 {
        line(self.conductivity, temp_k)
    }

    /// Rayleigh number of a layer of this gas:
    /// `rho^2 d^3 g |dT| c_p / (T mu lambda)`, properties at the mean temperature.
    pub fn rayleigh(
        &self,
        thickness_m: f64,
        temp_difference_k: f64,
        mean_k: f64,
        pressure_pa: f64,
    ) -> f64 {
        let density_kg_m3 = pressure_pa * self.molar_mass_kg_mol / (GAS_CONSTANT_J_MOLK * mean_k);
        density_kg_m3.powi(2)
            * thickness_m.powi(3)
            * GRAVITY_M_S2
            * temp_difference_k.abs()
            * line(self.heat_capacity, mean_k)
            / (mean_k * line(self.viscosity, mean_k) * self.conductivity_w_mk(mean_k))
    }
}

fn line([at_zero, slope]: [f64; 2], temp_k: f64) -> f64 {
    at_zero + slope * temp_k
}

/// Nusselt number of a rectangular cavity.
///
/// `tilt_deg` 0 is horizontal with heat flowing up, 90 vertical, 180 horizontal with heat flowing
/// down; it is held to that range. `aspect` is height over thickness. Below 60 degrees Hollands and
/// others 1976 (Rayleigh number below 1e5, aspect above 20; continued beyond), at 60 ElSherbiny and
/// others 1982, at 90 Wright 1996, a straight line between, and above 90
/// `1 + (Nu_90 - 1) sin(tilt)`.
///
/// # References
/// ISO 15099:2003, "Thermal performance of windows, doors and shading devices - Detailed
/// calculations", equations 42 to 53.
///
/// # Examples
/// ```
/// use overwinter_physics::cavity::iso15099::nusselt;
/// // Test vector of an open glazing library that implements the standard.
/// let found = nusselt(3638.21667064528, 83.3333333333333, 30.0);
/// assert!((found - 1.40474349200254).abs() < 1e-6);
/// ```
pub fn nusselt(rayleigh: f64, aspect: f64, tilt_deg: f64) -> f64 {
    let tilt_deg = tilt_deg.clamp(0.0, 180.0);
    if tilt_deg < 60.0 {
        hollands1976(rayleigh, tilt_deg.to_radians())
    } else if tilt_deg <= 90.0 {
        let steep = (tilt_deg - 60.0) / 30.0;
        let at_60 = elsherbiny1982(rayleigh, aspect);
        at_60 + steep * (wright1996(rayleigh, aspect) - at_60)
    } else {
        1.0 + (wright1996(rayleigh, aspect) - 1.0) * tilt_deg.to_radians().sin()
    }
}

fn hollands1976(rayleigh: f64, tilt: f64) -> f64 {
    let across = rayleigh * tilt.cos();
    if across <= 0.0 {
        return 1.0;
    }
    let rolls = (1.0 - 1708.0 / across).max(0.0);
    let tilted = 1.0 - 1708.0 * (1.8 * tilt).sin().powf(1.6) / across;
    1.0 + 1.44 * rolls * tilted + ((across / 5830.0).cbrt() - 1.0).max(0.0)
}

fn elsherbiny1982(rayleigh: f64, aspect: f64) -> f64 {
    let onset = 0.5 / (1.0 + (rayleigh / 3160.0).powf(20.6)).powf(0.1);
    let first = (1.0 + (0.0936 * rayleigh.powf(0.314) / (1.0 + onset)).powi(7)).powf(1.0 / 7.0);
    let second = (0.104 + 0.175 / aspect) * rayleigh.powf(0.283);
    first.max(second)
}

fn wright1996(rayleigh: f64, aspect: f64) -> f64 {
    let first = if rayleigh > 5e4 {
        0.067_383_8 * rayleigh.cbrt()
    } else if rayleigh > 1e4 {
        0.028_154 * rayleigh.powf(0.4134)
    } else {
        1.0 + 1.759_667_8e-10 * rayleigh.powf(2.298_475_5)
    };
    first.max(0.242 * (rayleigh / aspect).powf(0.272))
}

/// Conductance of a gas-filled cavity without radiation, W/m2 K of pane: `Nu lambda / d`.
///
/// The lower pane is the one on the room side; `tilt_deg` runs from 0 (flat) to 90 (upright). A
/// warmer upper pane turns the cavity over.
pub fn conductance_w_m2k(
    gas: &Gas,
    thickness_m: f64,
    height_m: f64,
    tilt_deg: f64,
    lower_k: f64,
    upper_k: f64,
    pressure_pa: f64,
) -> f64 {
    let mean_k = 0.5 * (lower_k + upper_k);
    let rayleigh = gas.rayleigh(thickness_m, lower_k - upper_k, mean_k, pressure_pa);
    let heat_flow_tilt_deg = if upper_k > lower_k {
        180.0 - tilt_deg
    } else {
        tilt_deg
    };
    let nusselt = nusselt(rayleigh, height_m / thickness_m, heat_flow_tilt_deg);
    nusselt * gas.conductivity_w_mk(mean_k) / thickness_m
}

/// Natural convection between a room and a pane of the given height, W/m2 K.
///
/// Pane colder than the air, `tilt_deg` from 15 (near flat, room below) to 90: with
/// `Ra_c = 2.5e5 (e^(0.72 t) / sin t)^(1/5)`, t in degrees, `Nu = 0.56 (Ra sin t)^(1/4)` up to
/// `Ra_c`, beyond it `0.13 (Ra^(1/3) - Ra_c^(1/3)) + 0.56 (Ra_c sin t)^(1/4)`. Below 15 degrees
/// `0.13 Ra^(1/3)` with the pane colder and `0.58 Ra^(1/5)` with it warmer. A warmer sloping pane
/// counts at 180 degrees less the tilt. Air at `T_air + (T_pane - T_air) / 4`.
///
/// # References
/// ISO 15099:2003, natural convection at the indoor surface.
pub fn room_side_w_m2k(
    height_m: f64,
    tilt_deg: f64,
    pane_k: f64,
    air_k: f64,
    pressure_pa: f64,
) -> f64 {
    let film_k = air_k + 0.25 * (pane_k - air_k);
    let rayleigh = AIR.rayleigh(height_m, pane_k - air_k, film_k, pressure_pa);
    let warm = pane_k > air_k;
    let nusselt = if tilt_deg < 15.0 {
        if warm {
            0.58 * rayleigh.powf(0.2)
        } else {
            0.13 * rayleigh.cbrt()
        }
    } else {
        let tilt_deg = if warm { 180.0 - tilt_deg } else { tilt_deg };
        sloping_pane_nusselt(rayleigh, tilt_deg)
    };
    nusselt * AIR.conductivity_w_mk(film_k) / height_m
}

fn sloping_pane_nusselt(rayleigh: f64, tilt_deg: f64) -> f64 {
    let sine = tilt_deg.to_radians().sin();
    if tilt_deg > 90.0 {
        return 0.56 * (rayleigh * sine).powf(0.25);
    }
    let critical = 2.5e5 * ((0.72 * tilt_deg).exp() / sine).powf(0.2);
    if rayleigh <= critical {
        0.56 * (rayleigh * sine).powf(0.25)
    } else {
        0.13 * (rayleigh.cbrt() - critical.cbrt()) + 0.56 * (critical * sine).powf(0.25)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn nothing_breaks(rayleigh in 0.0..1e7_f64, aspect in 1.0..500.0_f64, tilt in 0.0..180.0_f64) {
            let found = nusselt(rayleigh, aspect, tilt);
            prop_assert!(found.is_finite() && found >= 0.999_999);
        }
    }
}

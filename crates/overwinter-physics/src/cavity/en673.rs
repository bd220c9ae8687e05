//! Declared U-value of glazing in the undisturbed middle of the pane, after EN 673:2011.

/// Stefan-Boltzmann constant as the standard rounds it, W/m2 K4.
const STEFAN_BOLTZMANN: f64 = 5.67e-8;
const GRAVITY_M_S2: f64 = 9.81;
/// Mean temperature of the gas that the standard fixes, K.
const MEAN_K: f64 = 283.0;
/// Temperature difference across all gaps that the standard fixes, K.
const GAP_DIFFERENCE_K: f64 = 15.0;

/// Declared external surface coefficient, W/m2 K (EN 673:2011).
pub const OUTSIDE_W_M2K: f64 = 25.0;
/// Declared internal surface coefficient for uncoated glass, W/m2 K (EN 673:2011: 3.6 + 4.1).
pub const INSIDE_W_M2K: f64 = 7.7;
/// Corrected emissivity of uncoated soda-lime glass (EN 673:2011).
pub const GLASS_EMISSIVITY: f64 = 0.837;

/// Gas of a sealed gap at 10 C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gas {
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity_pa_s: f64,
    /// Thermal conductivity, W/m K.
    pub conductivity_w_mk: f64,
    /// Specific heat, J/kg K.
    pub heat_capacity_j_kgk: f64,
}

/// Air at 10 C (EN 673:2011, table 1).
pub const AIR: Gas = Gas {
    density_kg_m3: 1.232,
    viscosity_pa_s: 1.761e-5,
    conductivity_w_mk: 2.496e-2,
    heat_capacity_j_kgk: 1008.0,
};
/// Argon at 10 C (EN 673:2011, table 1).
pub const ARGON: Gas = Gas {
    density_kg_m3: 1.699,
    viscosity_pa_s: 2.164e-5,
    conductivity_w_mk: 1.684e-2,
    heat_capacity_j_kgk: 519.0,
};
/// Krypton at 10 C (EN 673:2011, table 1).
pub const KRYPTON: Gas = Gas {
    density_kg_m3: 3.560,
    viscosity_pa_s: 2.400e-5,
    conductivity_w_mk: 0.900e-2,
    heat_capacity_j_kgk: 245.0,
};

impl Gas {
    /// A mixture by volume share of the first gas, 0 to 1: every property is the weighted mean.
    #[must_use]
    pub fn mixed(&self, own_share: f64, other: &Gas) -> Gas {
        let mix = |own: f64, other: f64| own * own_share + other * (1.0 - own_share);
        Gas {
            density_kg_m3: mix(self.density_kg_m3, other.density_kg_m3),
            viscosity_pa_s: mix(self.viscosity_pa_s, other.viscosity_pa_s),
            conductivity_w_mk: mix(self.conductivity_w_mk, other.conductivity_w_mk),
            heat_capacity_j_kgk: mix(self.heat_capacity_j_kgk, other.heat_capacity_j_kgk),
        }
    }
}

/// How the glazing stands, with heat flowing upwards where it is not upright.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Position {
    /// Upright: `Nu = 0.035 (Gr Pr)^0.38`.
    Vertical,
    /// At 45 degrees: `Nu = 0.10 (Gr Pr)^0.31`.
    Inclined45,
    /// Horizontal: `Nu = 0.16 (Gr Pr)^0.28`.
    Horizontal,
}

/// A gas-filled gap between two panes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Distance between the panes, m.
    pub thickness_m: f64,
    /// What fills it.
    pub gas: Gas,
    /// Corrected emissivities of the two faces.
    pub emissivities: [f64; 2],
}

impl Gap {
    /// Conductance of gas and radiation together, W/m2 K, at the standard's mean temperature.
    ///
    /// `Nu lambda / s + 4 sigma T^3 / (1/e1 + 1/e2 - 1)`, Nu at least 1,
    /// `Gr = 9.81 s^3 dT rho^2 / (T mu^2)`, `Pr = mu c / lambda`.
    ///
    /// # References
    /// EN 673:2011, "Glass in building - Determination of thermal transmittance (U value) -
    /// Calculation method", clause 5; the constants for inclined and horizontal glazing from memory.
    pub fn conductance_w_m2k(&self, position: Position, temp_difference_k: f64) -> f64 {
        let [first, second] = self.emissivities;
        let radiation =
            4.0 * STEFAN_BOLTZMANN * MEAN_K.powi(3) / (1.0 / first + 1.0 / second - 1.0);
        let nusselt = self.nusselt(position, temp_difference_k);
        nusselt * self.gas.conductivity_w_mk / self.thickness_m + radiation
    }

    /// Nusselt number of the gas, at least 1.
    pub fn nusselt(&self, position: Position, temp_difference_k: f64) -> f64 {
        let Gas {
            density_kg_m3,
            viscosity_pa_s,
            conductivity_w_mk,
            heat_capacity_j_kgk,
        } = self.gas;
        let grashof =
            GRAVITY_M_S2 * self.thickness_m.powi(3) * temp_difference_k * density_kg_m3.powi(2)
                / (MEAN_K * viscosity_pa_s.powi(2));
        let prandtl = viscosity_pa_s * heat_capacity_j_kgk / conductivity_w_mk;
        let (factor, exponent) = match position {
            Position::Vertical => (0.035, 0.38),
            Position::Inclined45 => (0.10, 0.31),
            Position::Horizontal => (0.16, 0.28),
        };
        (factor * (grashof * prandtl).powf(exponent)).max(1.0)
    }
}

/// Declared U-value, W/m2 K: panes by their thickness (glass, 1.0 W/m K) with gaps between.
///
/// `1 / (1/h_e + sum d/lambda + sum 1/h_s + 1/h_i)`; the 15 K across several gaps is shared in
/// proportion to their resistances, found by repetition.
///
/// # Examples
/// ```
/// use overwinter_physics::cavity::en673::{AIR, GLASS_EMISSIVITY, Gap, Position, u_value_w_m2k};
/// // EN ISO 10077-1, table of double glazing: 4-16-4 with air 2.7 W/m2 K (from memory).
/// let gap = Gap { thickness_m: 0.016, gas: AIR, emissivities: [GLASS_EMISSIVITY; 2] };
/// let u_value = u_value_w_m2k(&[0.004, 0.004], &[gap], Position::Vertical);
/// assert!((u_value - 2.7).abs() < 0.05);
/// ```
pub fn u_value_w_m2k(pane_thickness_m: &[f64], gaps: &[Gap], position: Position) -> f64 {
    const SHARING_PASSES: usize = 40;
    const GLASS_CONDUCTIVITY_W_MK: f64 = 1.0;
    let mut gaps_m2k_w = 0.0;
    let mut differences_k = vec![GAP_DIFFERENCE_K / gaps.len().max(1) as f64; gaps.len()];
    for _ in 0..SHARING_PASSES {
        let resistances: Vec<f64> = gaps
            .iter()
            .zip(&differences_k)
            .map(|(gap, difference_k)| 1.0 / gap.conductance_w_m2k(position, *difference_k))
            .collect();
        gaps_m2k_w = resistances.iter().sum();
        for (difference_k, resistance) in differences_k.iter_mut().zip(&resistances) {
            *difference_k = GAP_DIFFERENCE_K * resistance / gaps_m2k_w;
        }
    }
    let panes_m2k_w = pane_thickness_m.iter().sum::<f64>() / GLASS_CONDUCTIVITY_W_MK;
    1.0 / (1.0 / OUTSIDE_W_M2K + panes_m2k_w + gaps_m2k_w + 1.0 / INSIDE_W_M2K)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn double(gap_mm: f64, gas: Gas, emissivities: [f64; 2]) -> f64 {
        let gap = Gap {
            thickness_m: gap_mm * 1e-3,
            gas,
            emissivities,
        };
        u_value_w_m2k(&[0.004, 0.004], &[gap], Position::Vertical)
    }

    /// Values computed from the standard's formulas by an independent program; beside them what
    /// EN ISO 10077-1, table C.2, prints (from memory).
    #[test]
    fn double_glazing_table() {
        const UNCOATED: [f64; 2] = [GLASS_EMISSIVITY; 2];
        let argon_90 = ARGON.mixed(0.9, &AIR);
        let table = [
            (double(6.0, AIR, UNCOATED), 3.278, Some(3.3)),
            (double(8.0, AIR, UNCOATED), 3.082, Some(3.1)),
            // Editions print 2.8 or 2.9.
            (double(12.0, AIR, UNCOATED), 2.850, None),
            (double(16.0, AIR, UNCOATED), 2.732, Some(2.7)),
            (double(20.0, AIR, UNCOATED), 2.745, Some(2.7)),
            (double(12.0, argon_90, UNCOATED), 2.693, Some(2.7)),
            (double(16.0, argon_90, UNCOATED), 2.623, Some(2.6)),
            (double(16.0, AIR, [GLASS_EMISSIVITY, 0.05]), 1.402, None),
            (
                double(16.0, argon_90, [GLASS_EMISSIVITY, 0.05]),
                1.167,
                Some(1.2),
            ),
            (
                double(16.0, argon_90, [GLASS_EMISSIVITY, 0.03]),
                1.103,
                Some(1.1),
            ),
            (
                double(12.0, argon_90, [GLASS_EMISSIVITY, 0.05]),
                1.320,
                Some(1.3),
            ),
        ];
        for (found, computed, printed) in table {
            assert!(
                (found - computed).abs() < 1e-3,
                "{found} against {computed}"
            );
            assert!(printed.is_none_or(|printed: f64| (found - printed).abs() <= 0.05));
        }
    }

    /// The same source: single 4 mm pane 5.751 (EN 673 practice 5.8), and the middle terms of the
    /// 12 mm and 16 mm gaps.
    #[test]
    fn single_pane_and_gap_terms() {
        assert!((u_value_w_m2k(&[0.004], &[], Position::Vertical) - 5.751).abs() < 1e-3);
        let gap = |thickness_m| Gap {
            thickness_m,
            gas: AIR,
            emissivities: [GLASS_EMISSIVITY; 2],
        };
        let thin = gap(0.012).conductance_w_m2k(Position::Vertical, 15.0);
        assert!((thin - 5.780).abs() < 1e-3, "{thin}");
        let wide = gap(0.016);
        assert!((wide.nusselt(Position::Vertical, 15.0) - 1.0344).abs() < 1e-4);
        assert!((wide.conductance_w_m2k(Position::Vertical, 15.0) - 5.313).abs() < 1e-3);
    }

    #[test]
    fn flat_glazing_loses_more_than_upright() {
        let gap = Gap {
            thickness_m: 0.016,
            gas: AIR,
            emissivities: [GLASS_EMISSIVITY; 2],
        };
        let at = |position| u_value_w_m2k(&[0.004; 2], &[gap], position);
        assert!(at(Position::Horizontal) > at(Position::Inclined45));
        assert!(at(Position::Inclined45) > at(Position::Vertical));
    }
}

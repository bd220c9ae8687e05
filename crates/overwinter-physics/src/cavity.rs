//! Heat across the air between two parallel layers, without radiation.
//!
//! [`Cavity`] answers the season loop: what depends on geometry alone is worked out once, and a
//! conductance costs one cube root for a roof. The window standards' own formulas are
//! in submodules.

pub mod en673;
pub mod iso15099;

use overwinter_units::constants::{GAS_CONSTANT_J_MOLK, GRAVITY_M_S2, STANDARD_PRESSURE_PA};

use crate::number::Real;
use iso15099::{AIR, Gas};

/// Thinnest air film between two touching layers, m (estimate): it keeps a conductance finite.
const THINNEST_GAP_M: f64 = 1e-4;

/// Tilt up to which the form of Hollands and others holds, and above which the vertical form is
/// mixed in, degrees.
const HOLLANDS_END_DEG: f64 = 75.0;

/// An air space between two layers: its geometry and what follows from it.
///
/// Lower is the layer on the house side, upper the one outside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cavity {
    /// Distance between the layers, m.
    pub gap_m: f64,
    /// Cosine of the tilt: 1 for a flat roof, 0 for a wall.
    pub cos_tilt: f64,
    /// Height of the cavity along its slope, m.
    pub height_m: f64,
    /// Share of the vertical form, 0 to 75 degrees and 1 at 90.
    vertical_share: f64,
    sin_tilt: f64,
    /// `sin(1.8 tilt)^1.6`, tilt held at 75 degrees.
    sin_1_8_tilt_16: f64,
    hollands_cos_tilt: f64,
    /// `(cos(tilt) / 5830)^(1/3)`, tilt held at 75 degrees.
    turbulent_factor: f64,
    /// `0.242 / aspect^0.272`.
    aspect_factor: f64,
    pressure_pa: f64,
    gas: Gas,
    /// `g gap^3 (p M / R)^2`, from which the Rayleigh number follows.
    rayleigh_factor: f64,
}

impl Cavity {
    /// An air space at sea-level pressure.
    ///
    /// `gap_m` below 0.1 mm is taken as 0.1 mm; `tilt_deg` is held between 0 (flat) and 90 (wall)
    /// and `height_m` is at least the gap.
    pub fn new(gap_m: f64, tilt_deg: f64, height_m: f64) -> Self {
        let gap_m = gap_m.max(THINNEST_GAP_M);
        let height_m = height_m.max(gap_m);
        let tilt_deg = tilt_deg.clamp(0.0, 90.0);
        let hollands_tilt = tilt_deg.min(HOLLANDS_END_DEG).to_radians();
        let tilt = tilt_deg.to_radians();
        Self {
            gap_m,
            cos_tilt: tilt.cos(),
            height_m,
            vertical_share: ((tilt_deg - HOLLANDS_END_DEG) / (90.0 - HOLLANDS_END_DEG)).max(0.0),
            sin_tilt: tilt.sin(),
            sin_1_8_tilt_16: (1.8 * hollands_tilt).sin().max(0.0).powf(1.6),
            hollands_cos_tilt: hollands_tilt.cos(),
            turbulent_factor: (hollands_tilt.cos() / 5830.0).cbrt(),
            aspect_factor: 0.242 * (gap_m / height_m).powf(0.272),
            pressure_pa: STANDARD_PRESSURE_PA,
            gas: AIR,
            rayleigh_factor: 0.0,
        }
        .with_pressure(STANDARD_PRESSURE_PA)
    }

    /// The same space at another air pressure, Pa: thin air convects less.
    #[must_use]
    pub fn with_pressure(mut self, pressure_pa: f64) -> Self {
        self.pressure_pa = pressure_pa;
        self.rayleigh_factor = self.rayleigh_factor(pressure_pa);
        self
    }

    /// What the Rayleigh number takes from the space and the density of its gas at an air pressure,
    /// Pa: `g gap^3 (p M / R)^2`, for [`Cavity::conductance_of`].
    pub fn rayleigh_factor(&self, pressure_pa: f64) -> f64 {
        let molar_mass_kg_mol = self.gas.molar_mass_kg_mol;
        let density_factor = pressure_pa * molar_mass_kg_mol / GAS_CONSTANT_J_MOLK;
        GRAVITY_M_S2 * self.gap_m.powi(3) * density_factor.powi(2)
    }

    /// The same space filled with another gas than air.
    ///
    /// ```
    /// use overwinter_physics::cavity::{Cavity, iso15099::ARGON};
    /// // Still argon at 10 C conducts 1.684e-2 W/m K (EN 673:2011, table 1), 1 % by ISO 15099.
    /// let flat = Cavity::new(0.01, 0.0, 1.0).with_gas(ARGON);
    /// let conductance_w_m2k: f64 = flat.conductance_w_m2k(283.15, 283.15);
    /// assert!((conductance_w_m2k - 1.684).abs() < 0.02);
    /// ```
    #[must_use]
    pub fn with_gas(mut self, gas: Gas) -> Self {
        self.gas = gas;
        self.with_pressure(self.pressure_pa)
    }

    /// Conductance between the two layers by conduction and convection, W/m2 K of layer.
    ///
    /// `k Nu / gap` with the gas at the mean temperature. Lower layer warmer: the form of Hollands and
    /// others up to 75 degrees (published to 60 or 75 and to a Rayleigh number of 1e5, continued as
    /// its cube root beyond), that of ElSherbiny and others at 90, in between a straight line.
    /// Upper layer warmer: `Nu = 1 + (Nu_vertical - 1) sin(tilt)`, so still air under a flat roof.
    ///
    /// # References
    /// - Hollands, Unny, Raithby and Konicek 1976, "Free convective heat transfer across inclined
    ///   air layers", J. Heat Transfer 98 (from memory).
    /// - ElSherbiny, Raithby and Hollands 1982, "Heat transfer by natural convection across
    ///   vertical and inclined air layers", J. Heat Transfer 104 (from memory).
    /// - Arnold, Catton and Edwards 1976, "Experimental investigation of natural convection in
    ///   inclined rectangular regions of differing aspect ratios", J. Heat Transfer 98 (heated from
    ///   above; from memory).
    /// - Gas properties: ISO 15099:2003, annex B, straight lines in temperature.
    #[inline]
    pub fn conductance_w_m2k<R: Real>(&self, lower_k: R, upper_k: R) -> R {
        self.conductance_of(R::splat(self.rayleigh_factor), lower_k, upper_k)
    }

    /// As [`Cavity::conductance_w_m2k`], with [`Cavity::rayleigh_factor`] given for each lane: spaces
    /// of one form at stations of different pressure.
    #[inline(always)]
    pub fn conductance_of<R: Real>(&self, rayleigh_factor: R, lower_k: R, upper_k: R) -> R {
        let difference_k = lower_k - upper_k;
        let mean_k = ((lower_k + upper_k) * 0.5).clamp_between(150.0, 450.0);
        let line = |[at_zero, slope]: [f64; 2]| mean_k * slope + at_zero;
        let conductivity_w_mk = line(self.gas.conductivity);
        let viscosity_pa_s = line(self.gas.viscosity);
        let heat_capacity_j_kgk = line(self.gas.heat_capacity);
        let rayleigh = difference_k.abs() * heat_capacity_j_kgk * rayleigh_factor
            / (mean_k.squared() * mean_k * viscosity_pa_s * conductivity_w_mk);
        let stable = difference_k.lt(R::zero());
        let nusselt = self.nusselt(rayleigh, stable);
        conductivity_w_mk * nusselt * (1.0 / self.gap_m)
    }

    #[inline(always)]
    fn nusselt<R: Real>(&self, rayleigh: R, stable: R::Mask) -> R {
        let cube_root = rayleigh.cbrt();
        let inclined = if self.vertical_share < 1.0 {
            self.inclined_nusselt(rayleigh, cube_root)
        } else {
            R::one()
        };
        let vertical_needed = self.vertical_share > 0.0 || R::any(stable);
        if !vertical_needed {
            return inclined;
        }
        let vertical = self.vertical_nusselt(rayleigh, cube_root);
        let rising = if self.vertical_share < 1.0 {
            inclined + (vertical - inclined) * self.vertical_share
        } else {
            vertical
        };
        let layered = (vertical - 1.0) * self.sin_tilt + 1.0;
        R::select(stable, layered, rising)
    }

    #[inline(always)]
    fn inclined_nusselt<R: Real>(&self, rayleigh: R, cube_root: R) -> R {
        // Below a Rayleigh number of one every bracket is zero, so the floor changes nothing.
        let onset = R::splat(1708.0) / (rayleigh * self.hollands_cos_tilt).max(R::one());
        let rolls = (R::one() - onset).max(R::zero());
        let tilted_rolls = R::one() - onset * self.sin_1_8_tilt_16;
        let turbulent = cube_root * self.turbulent_factor - 1.0;
        rolls * tilted_rolls * 1.44 + turbulent.max(R::zero()) + 1.0
    }

    #[inline(always)]
    fn vertical_nusselt<R: Real>(&self, rayleigh: R, cube_root: R) -> R {
        const LN_6310: f64 = 8.749_890_956;
        let log = rayleigh.max(R::one()).ln();
        let boundary = (log * 0.293).exp() * 0.104;
        let conduction = ((R::splat(LN_6310) - log) * 1.36).exp() + 1.0;
        let ratio = boundary / conduction;
        let transition = (ratio.squared() * ratio + 1.0).cbrt();
        let slender = (log * 0.272).exp() * self.aspect_factor;
        transition.max(cube_root * 0.0605).max(slender)
    }
}

#[cfg(test)]
mod tests;

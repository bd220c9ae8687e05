//! How wide the gap between two films is, how much of it touches, and what heat crosses it.
//!
//! No measured conductance of touching films and no measured time to empty was found in the
//! literature: what touches is an estimate with a low, a likely and a high value.

use overwinter_units::constants::{AIR_HEAT_CAPACITY_J_KGK, GRAVITY_M_S2};

use crate::cavity::Cavity;
use crate::number::Real;

/// Density of polyethylene film, kg/m3 (from memory).
pub const POLYETHYLENE_DENSITY_KG_M3: f64 = 925.0;

/// Stiffness of polyethylene film in tension, Pa: 1e8 to 3e8 (from memory).
pub const POLYETHYLENE_MODULUS_PA: f64 = 2e8;

/// Share of the middle's lift that an outer film has on average between its anchors (estimate).
pub const MEAN_LIFT_SHARE: f64 = 0.75;

/// Mean of a parabola's sag over its largest.
pub const MEAN_SAG_SHARE: f64 = 2.0 / 3.0;

/// Three values of an input that nobody has measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ranged {
    /// Plausible low end.
    pub low: f64,
    /// Likely value.
    pub likely: f64,
    /// Plausible high end.
    pub high: f64,
}

/// Mean gap below which films begin to touch, m (estimate).
pub const TOUCHING_BELOW_M: Ranged = Ranged {
    low: 0.020,
    likely: 0.025,
    high: 0.030,
};

/// Conductance where dry wrinkled films touch, W/m2 K: air of 2, 1 and 0.5 mm (estimate).
pub const TOUCHING_W_M2K: Ranged = Ranged {
    low: 12.0,
    likely: 25.0,
    high: 50.0,
};

/// Conductance where water bridges two films, W/m2 K: at least this (estimate).
pub const WATER_BRIDGED_W_M2K: f64 = 100.0;

/// Rise of an outer film in the middle of its arc, m, if it is longer than the frame: `e / theta`.
///
/// `excess_m` e is the film's length beyond that of the frame arc between the same anchors,
/// `arc_rad` theta the angle of that arc, pi for a half circle. Concentric arcs (estimate). An arc of
/// less than 0.1 rad counts as 0.1 rad: use [`flat_lift_m`] there.
///
/// ```
/// use overwinter_physics::inflation::gap::arc_lift_m;
/// // 0.30 m of spare film over a half circle: 95 mm (computed from the formula).
/// assert!((arc_lift_m(0.30, std::f64::consts::PI) - 0.095).abs() < 0.001);
/// ```
pub fn arc_lift_m(excess_m: f64, arc_rad: f64) -> f64 {
    excess_m.max(0.0) / arc_rad.max(0.1)
}

/// Rise of a film in the middle of a nearly flat bay, m: `sqrt(3 W e / 8)`.
///
/// `chord_m` W between the anchors, `excess_m` e the film's length beyond it: the flat parabola.
///
/// ```
/// use overwinter_physics::inflation::gap::flat_lift_m;
/// assert!((flat_lift_m(6.0, 0.04) - 0.3).abs() < 1e-12);
/// ```
pub fn flat_lift_m(chord_m: f64, excess_m: f64) -> f64 {
    (0.375 * chord_m.max(0.0) * excess_m.max(0.0)).sqrt()
}

/// Tension in a film under pressure, N per m of its width: `N = p r`.
///
/// # References
/// Membrane of one curvature under even pressure.
///
/// ```
/// use overwinter_physics::inflation::gap::film_tension_n_m;
/// // 60 Pa on a radius of 4 m: 240 N/m (computed from the formula).
/// assert_eq!(film_tension_n_m(60.0, 4.0), 240.0);
/// ```
pub fn film_tension_n_m(pressure_pa: f64, radius_m: f64) -> f64 {
    pressure_pa * radius_m
}

/// Sag of a film between parallel supports, m: `f = p s^2 / (8 N)`.
///
/// `spacing_m` s of the bows, `tension_n_m` N of the film across them. Pressure below zero counts as
/// none. The sag is held at half the spacing, where the film stands as a half circle.
///
/// # References
/// Shallow membrane under even pressure.
///
/// ```
/// use overwinter_physics::inflation::gap::bow_sag_m;
/// // 60 Pa, bows 1.2 m apart, 240 N/m (computed from the formula).
/// assert!((bow_sag_m(60.0, 1.2, 240.0) - 0.045).abs() < 1e-12);
/// ```
pub fn bow_sag_m(pressure_pa: f64, spacing_m: f64, tension_n_m: f64) -> f64 {
    let widest_m = 0.5 * spacing_m.max(0.0);
    let pull = 8.0 * tension_n_m.max(f64::MIN_POSITIVE);
    (pressure_pa.max(0.0) * spacing_m * spacing_m / pull).min(widest_m)
}

/// Mean gap over the area of a section, m: `0.75 lift + 2/3 sag`.
///
/// `lift_m` of the outer film in the middle of its arc, `sag_m` of the inner film half way between
/// bows; both films meet at the anchors (estimate).
///
/// ```
/// use overwinter_physics::inflation::gap::mean_gap_m;
/// assert!((mean_gap_m(0.10, 0.03) - 0.095).abs() < 1e-12);
/// ```
pub fn mean_gap_m(lift_m: f64, sag_m: f64) -> f64 {
    MEAN_LIFT_SHARE * lift_m + MEAN_SAG_SHARE * sag_m
}

/// Rise of a section's volume with pressure from the stretch of its outer film, m3/Pa.
///
/// `0.75 A r^2 / (E t)`: under a tension `p r` an arc grows by `p r / (E t)` of its length, and lifts
/// by `p r^2 / (E t)`. `area_m2` A of one film, `radius_m` r, `thickness_m` t, E the modulus of
/// polyethylene, known to a factor of two. A thickness below 1 micrometre counts as that.
///
/// # References
/// Thin elastic shell of one curvature; modulus from memory.
///
/// ```
/// use overwinter_physics::inflation::gap::stretch_compliance_m3_pa;
/// // 400 m2, 4 m, 150 micrometres: 0.16 m3/Pa (computed from the formula).
/// assert!((stretch_compliance_m3_pa(400.0, 4.0, 150e-6) - 0.16).abs() < 1e-9);
/// ```
pub fn stretch_compliance_m3_pa(area_m2: f64, radius_m: f64, thickness_m: f64) -> f64 {
    let stiffness_n_m = POLYETHYLENE_MODULUS_PA * thickness_m.max(1e-6);
    MEAN_LIFT_SHARE * area_m2 * radius_m * radius_m / stiffness_n_m
}

/// Pressure that the weight of a lying film puts on the air below, Pa: `rho g t cos(tilt)`.
///
/// Polyethylene. Zero for a wall.
///
/// ```
/// use overwinter_physics::inflation::gap::film_weight_pa;
/// // 0.91, 1.36 and 1.81 Pa at 100, 150 and 200 micrometres (computed from the formula).
/// assert!((film_weight_pa(100e-6, 0.0) - 0.91).abs() < 0.005);
/// assert!((film_weight_pa(150e-6, 0.0) - 1.36).abs() < 0.005);
/// assert!((film_weight_pa(200e-6, 0.0) - 1.81).abs() < 0.005);
/// ```
pub fn film_weight_pa(thickness_m: f64, tilt_deg: f64) -> f64 {
    let downward = tilt_deg.clamp(0.0, 90.0).to_radians().cos();
    POLYETHYLENE_DENSITY_KG_M3 * GRAVITY_M_S2 * thickness_m.max(0.0) * downward
}

/// Share of a section's area on which the films touch: `1 - d / d_t` between 0 and 1.
///
/// `gap_m` d is the mean gap, volume over area; `touching_below_m` d_t of [`TOUCHING_BELOW_M`]. A d_t
/// of zero or less: they touch only without any gap.
///
/// ```
/// use overwinter_physics::inflation::gap::{TOUCHING_BELOW_M, contact_share};
/// assert_eq!(contact_share(0.12, TOUCHING_BELOW_M.likely), 0.0);
/// assert_eq!(contact_share(0.0, TOUCHING_BELOW_M.likely), 1.0);
/// assert!((contact_share(0.0125, TOUCHING_BELOW_M.likely) - 0.5).abs() < 1e-12);
/// ```
pub fn contact_share(gap_m: f64, touching_below_m: f64) -> f64 {
    let share = 1.0 - gap_m.max(0.0) / touching_below_m.max(f64::MIN_POSITIVE);
    share.clamp(0.0, 1.0)
}

/// An air space between films that may touch on part of their area.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TouchingGap {
    /// Share of the area on which the films touch.
    pub contact_share: f64,
    /// Conductance there, W/m2 K.
    pub touching_w_m2k: f64,
    /// The space where they do not.
    pub free: Cavity,
}

impl TouchingGap {
    /// The space of films whose mean gap is `gap_m`, at sea-level pressure.
    ///
    /// `touching_below_m` of [`TOUCHING_BELOW_M`], `touching_w_m2k` of [`TOUCHING_W_M2K`] or
    /// [`WATER_BRIDGED_W_M2K`]. Where films touch over a share `f` of the area the rest holds all
    /// the air, so its width is `d / (1 - f)`, which is `touching_below_m` from the first touch on.
    /// Tilt and height as for [`Cavity::new`].
    pub fn new(
        gap_m: f64,
        touching_below_m: f64,
        touching_w_m2k: f64,
        tilt_deg: f64,
        height_m: f64,
    ) -> Self {
        Self {
            contact_share: contact_share(gap_m, touching_below_m),
            touching_w_m2k: touching_w_m2k.max(0.0),
            free: Cavity::new(gap_m.max(touching_below_m), tilt_deg, height_m),
        }
    }

    /// The same space with at least this share touching, 0 to 1, as where wind presses a face.
    #[must_use]
    pub fn pressed(mut self, share: f64) -> Self {
        self.contact_share = self.contact_share.max(share.clamp(0.0, 1.0));
        self
    }

    /// Conductance between the films without radiation, W/m2 K of film.
    ///
    /// `f h_c + (1 - f) h_g`: continuous from the inflated gap to films that lie on each other.
    /// Radiation stays that of two layers.
    ///
    /// # References
    /// Areas side by side (estimate).
    ///
    /// ```
    /// use overwinter_physics::inflation::gap::{TOUCHING_BELOW_M, TOUCHING_W_M2K, TouchingGap};
    /// let gap = |gap_m| {
    ///     let (below, touching) = (TOUCHING_BELOW_M.likely, TOUCHING_W_M2K.likely);
    ///     TouchingGap::new(gap_m, below, touching, 15.0, 4.0)
    /// };
    /// let flat: f64 = gap(0.0).conductance_w_m2k(275.0, 265.0);
    /// assert_eq!(flat, 25.0);
    /// let inflated: f64 = gap(0.12).conductance_w_m2k(275.0, 265.0);
    /// assert!(inflated < 3.0);
    /// ```
    #[inline]
    pub fn conductance_w_m2k<R: Real>(&self, lower_k: R, upper_k: R) -> R {
        let free = self.free.conductance_w_m2k(lower_k, upper_k);
        free * (1.0 - self.contact_share) + self.contact_share * self.touching_w_m2k
    }
}

/// Heat that air blown through a gap carries off, W/m2 K of cover: `rho c_p V / A`.
///
/// `flow_m3_s` V through the gap, `area_m2` A of one film. Negative flow counts by its size.
///
/// ```
/// use overwinter_physics::inflation::gap::flow_conductance_w_m2k;
/// // 0.02 m3/s through 400 m2: 0.063, 0.04 m3/s: 0.126 W/m2 K (computed from the formula).
/// assert!((flow_conductance_w_m2k(0.02, 400.0, 1.25) - 0.063).abs() < 0.0005);
/// assert!((flow_conductance_w_m2k(0.04, 400.0, 1.25) - 0.126).abs() < 0.0005);
/// ```
pub fn flow_conductance_w_m2k(flow_m3_s: f64, area_m2: f64, density_kg_m3: f64) -> f64 {
    density_kg_m3 * AIR_HEAT_CAPACITY_J_KGK * flow_m3_s.abs() / area_m2
}

/// Water that air blown into a gap leaves on a film that is colder than its dew point, kg/s.
///
/// `rho V (chi_in - chi_s)`, chi in kg of vapour per kg of dry air: `source_kg_kg` of the air blown
/// in, `saturated_kg_kg` of saturated air at the outer film. Never below zero; all the excess falls
/// out, an upper end.
///
/// ```
/// use overwinter_physics::inflation::gap::flow_condensation_kg_s;
/// // 0.02 m3/s with 4 g/kg in excess: 0.36 kg an hour (computed from the formula).
/// let rate_kg_h = 3600.0 * flow_condensation_kg_s(0.02, 0.006, 0.002, 1.25);
/// assert!((rate_kg_h - 0.36).abs() < 0.005);
/// ```
pub fn flow_condensation_kg_s(
    flow_m3_s: f64,
    source_kg_kg: f64,
    saturated_kg_kg: f64,
    density_kg_m3: f64,
) -> f64 {
    density_kg_m3 * flow_m3_s.abs() * (source_kg_kg - saturated_kg_kg).max(0.0)
}

#[cfg(test)]
mod tests;

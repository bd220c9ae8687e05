//! Steady and yearly heat loss of a floor slab on the ground, by standard and by exact solution.
//!
//! These are yardsticks for layered ground models and for edge insulation; no step of a season calls
//! them.

use std::f64::consts::PI;

/// Internal surface resistance for heat flowing down, m2 K/W (ISO 6946 as used by ISO 13370).
pub const INSIDE_RESISTANCE_M2K_W: f64 = 0.17;
/// External surface resistance, m2 K/W (ISO 6946 as used by ISO 13370).
pub const OUTSIDE_RESISTANCE_M2K_W: f64 = 0.04;

/// A slab-on-ground floor as ISO 13370 describes it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slab {
    /// Floor area, m2.
    pub area_m2: f64,
    /// Exposed perimeter, m.
    pub perimeter_m: f64,
    /// Thickness of the walls around, m.
    pub wall_thickness_m: f64,
    /// Conductivity of the soil, W/m K.
    pub soil_conductivity_w_mk: f64,
    /// Resistance of the floor itself, m2 K/W.
    pub floor_resistance_m2k_w: f64,
}

/// How insulation lies along the edge of a slab.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EdgeInsulation {
    /// Flat, under or on the slab along its edge; its width counts.
    Horizontal,
    /// Upright along the footing; its depth below ground counts.
    Vertical,
}

impl Slab {
    /// Characteristic dimension, m: area over half of the perimeter.
    pub fn characteristic_dimension_m(&self) -> f64 {
        self.area_m2 / (0.5 * self.perimeter_m)
    }

    /// Thickness of soil with the resistance of wall and floor, m.
    pub fn equivalent_thickness_m(&self) -> f64 {
        let resistance =
            INSIDE_RESISTANCE_M2K_W + self.floor_resistance_m2k_w + OUTSIDE_RESISTANCE_M2K_W;
        self.wall_thickness_m + self.soil_conductivity_w_mk * resistance
    }

    /// Steady U-value of the floor between room and outdoor air, W/m2 K of floor.
    ///
    /// With `B` the characteristic dimension and `d` the equivalent thickness:
    /// `2 k / (pi B + d) ln(pi B / d + 1)` for d below B, else `k / (0.457 B + d)`.
    ///
    /// # References
    /// ISO 13370:2007, "Thermal performance of buildings - Heat transfer via the ground", slab on
    /// ground (from memory).
    pub fn u_value_w_m2k(&self) -> f64 {
        let conductivity = self.soil_conductivity_w_mk;
        let dimension_m = self.characteristic_dimension_m();
        let thickness_m = self.equivalent_thickness_m();
        if thickness_m < dimension_m {
            2.0 * conductivity / (PI * dimension_m + thickness_m)
                * (PI * dimension_m / thickness_m).ln_1p()
        } else {
            conductivity / (0.457 * dimension_m + thickness_m)
        }
    }

    /// Change of heat loss by edge insulation, W/m K of perimeter, negative for a saving.
    ///
    /// `-(k / pi) (ln(D / d + 1) - ln(D / (d + d') + 1))`, D the width of horizontal insulation or
    /// twice the depth of vertical insulation, `d' = (R - thickness / k) k` the soil thickness that
    /// the insulation's resistance R adds.
    ///
    /// # References
    /// ISO 13370:2007, annex on slabs with edge insulation (from memory).
    pub fn edge_insulation_w_mk(
        &self,
        insulation: EdgeInsulation,
        extent_m: f64,
        thickness_m: f64,
        resistance_m2k_w: f64,
    ) -> f64 {
        let conductivity = self.soil_conductivity_w_mk;
        let added_m = resistance_m2k_w * conductivity - thickness_m;
        let reach_m = match insulation {
            EdgeInsulation::Horizontal => extent_m,
            EdgeInsulation::Vertical => 2.0 * extent_m,
        };
        let base_m = self.equivalent_thickness_m();
        let bare = (reach_m / base_m).ln_1p();
        let insulated = (reach_m / (base_m + added_m)).ln_1p();
        -conductivity / PI * (bare - insulated)
    }

    /// Yearly heat flow per kelvin of swing of the room temperature, W/K.
    ///
    /// `A k / d sqrt(2 / ((1 + delta / d)^2 + 1))`, delta the yearly penetration depth of the soil.
    ///
    /// # References
    /// ISO 13370:2007, annex on periodic heat flow (from memory).
    pub fn periodic_inside_w_k(&self, penetration_depth_m: f64) -> f64 {
        let thickness_m = self.equivalent_thickness_m();
        let ratio = 1.0 + penetration_depth_m / thickness_m;
        self.area_m2 * self.soil_conductivity_w_mk / thickness_m
            * (2.0 / (ratio * ratio + 1.0)).sqrt()
    }

    /// Yearly heat flow per kelvin of swing of the outdoor temperature, W/K.
    ///
    /// `0.37 P k ln(delta / d + 1)`.
    ///
    /// # References
    /// ISO 13370:2007, annex on periodic heat flow (from memory).
    pub fn periodic_outside_w_k(&self, penetration_depth_m: f64) -> f64 {
        let thickness_m = self.equivalent_thickness_m();
        0.37 * self.perimeter_m
            * self.soil_conductivity_w_mk
            * (penetration_depth_m / thickness_m).ln_1p()
    }
}

/// Depth at which a yearly swing has fallen to 1/e, m: `sqrt(a year / pi)`, a in m2/s.
pub fn yearly_penetration_depth_m(diffusivity_m2_s: f64) -> f64 {
    (diffusivity_m2_s * 365.0 * 86_400.0 / PI).sqrt()
}

/// Heat loss, W, of a rectangular floor kept at a temperature on a half-space of soil.
///
/// The soil surface is at the floor's temperature inside, at the outdoor temperature outside, and
/// changes in a straight line across the wall; there is no other resistance and the deep ground is
/// far. `k dT / (2 pi) 4 / W` times the integral over s from 0 to W of
/// `F(s+L, s+B) - F(s, s+B) - F(s+L, s) + F(s, s)`, with
/// `F(u, v) = 2 sqrt(u^2 + v^2) - u asinh(u / v) - v asinh(v / u)`, the double integral of
/// `sqrt(u^2 + v^2) / (u v)`. Length, width and wall must be above zero.
///
/// # References
/// Delsante, Stokes and Walsh 1983, "Application of Fourier transforms to periodic heat flow into
/// the ground under a building", Int. J. Heat Mass Transfer 26 (the problem; from memory), solved
/// here by superposition of surface sources.
pub fn half_space_floor_loss_w(
    length_m: f64,
    width_m: f64,
    wall_thickness_m: f64,
    soil_conductivity_w_mk: f64,
    temp_difference_k: f64,
) -> f64 {
    // Even; the cubed variable below takes out the logarithm at the wall's foot.
    const INTERVALS: u32 = 400;
    let step = 1.0 / f64::from(INTERVALS);
    let weighted = |point: u32| {
        let y = f64::from(point) * step;
        let integrand = 3.0 * y * y * corner_sum_m(wall_thickness_m * y.powi(3), length_m, width_m);
        let simpson = if point == INTERVALS {
            1.0
        } else if point % 2 == 1 {
            4.0
        } else {
            2.0
        };
        simpson * integrand
    };
    // At y = 0 the integrand is zero.
    let mean_m = (1..=INTERVALS).map(weighted).sum::<f64>() * step / 3.0;
    2.0 / PI * soil_conductivity_w_mk * temp_difference_k * mean_m
}

fn corner_sum_m(offset_m: f64, length_m: f64, width_m: f64) -> f64 {
    let corner_m = |u: f64, v: f64| 2.0 * u.hypot(v) - u * (u / v).asinh() - v * (v / u).asinh();
    let (far_u, far_v) = (offset_m + length_m, offset_m + width_m);
    corner_m(far_u, far_v) - corner_m(offset_m, far_v) - corner_m(far_u, offset_m)
        + corner_m(offset_m, offset_m)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn slab(area_m2: f64, perimeter_m: f64, wall_thickness_m: f64, floor: f64) -> Slab {
        Slab {
            area_m2,
            perimeter_m,
            wall_thickness_m,
            soil_conductivity_w_mk: 2.0,
            floor_resistance_m2k_w: floor,
        }
    }

    /// Computed from the standard's formulas by an independent program: B', d, U, H_pi, H_pe with a
    /// penetration depth of 3.2 m.
    #[test]
    fn slabs_by_the_standard() {
        let table = [
            (
                slab(80.0, 36.0, 0.3, 0.0),
                4.4444,
                0.72,
                0.82142,
                56.773,
                45.144,
            ),
            (
                slab(80.0, 36.0, 0.3, 2.5),
                4.4444,
                5.72,
                0.25803,
                21.354,
                11.837,
            ),
            (
                slab(1000.0, 140.0, 0.1, 0.0),
                14.2857,
                0.52,
                0.39378,
                753.01,
                203.85,
            ),
        ];
        for (slab, dimension_m, thickness_m, u_value, inside, outside) in table {
            assert!((slab.characteristic_dimension_m() - dimension_m).abs() < 1e-4);
            assert!((slab.equivalent_thickness_m() - thickness_m).abs() < 1e-9);
            assert!(
                (slab.u_value_w_m2k() / u_value - 1.0).abs() < 2e-5,
                "{slab:?}"
            );
            assert!(
                (slab.periodic_inside_w_k(3.2) / inside - 1.0).abs() < 2e-5,
                "{slab:?}"
            );
            assert!(
                (slab.periodic_outside_w_k(3.2) / outside - 1.0).abs() < 3e-5,
                "{slab:?}"
            );
        }
    }

    /// The same source: 50 mm of insulation of 0.035 W/m K along the first slab, 0.5 m wide or deep.
    #[test]
    fn edge_insulation_by_the_standard() {
        let slab = slab(80.0, 36.0, 0.3, 0.0);
        let gain = |insulation| slab.edge_insulation_w_mk(insulation, 0.5, 0.050, 0.050 / 0.035);
        assert!((gain(EdgeInsulation::Horizontal) + 0.2513).abs() < 1e-4);
        assert!((gain(EdgeInsulation::Vertical) + 0.3955).abs() < 1e-4);
    }

    /// Neymark and Judkoff 2008, NREL/TP-550-43388, case GC10a: 2,432.597 W by the analytic solution
    /// (from memory, and equal to an independent quadrature of the same integral); the other three
    /// floors from that quadrature.
    #[test]
    fn floors_on_a_half_space() {
        let table = [
            ((12.0, 12.0, 0.24, 1.9, 20.0), 2432.597),
            ((3.0, 3.0, 0.0001, 1.0, 23.0), 925.549),
            ((10.0, 8.0, 0.3, 2.0, 10.0), 846.591),
            ((24.0, 12.0, 0.24, 1.9, 20.0), 3895.678),
        ];
        for ((length_m, width_m, wall_m, conductivity, difference_k), expected_w) in table {
            let found_w =
                half_space_floor_loss_w(length_m, width_m, wall_m, conductivity, difference_k);
            assert!(
                (found_w - expected_w).abs() < 1.1e-3,
                "{found_w} against {expected_w}"
            );
        }
    }

    /// Kusuda's form damps to 1/e within 2.5445 m at 0.055728 m2/day (independent calculation).
    #[test]
    fn penetration_depth_of_a_year() {
        assert!((yearly_penetration_depth_m(0.055_728 / 86_400.0) - 2.5445).abs() < 1e-4);
    }

    proptest! {
        #[test]
        fn thicker_floor_loses_less(floor in 0.0..8.0_f64, area in 20.0..3000.0_f64) {
            let perimeter = 4.0 * area.sqrt();
            let thin = slab(area, perimeter, 0.2, floor).u_value_w_m2k();
            let thick = slab(area, perimeter, 0.2, floor + 0.1).u_value_w_m2k();
            prop_assert!(thick < thin && thick > 0.0);
        }

        #[test]
        fn floor_loss_does_not_care_which_side_is_the_length(
            length in 2.0..100.0_f64, width in 2.0..30.0_f64, wall in 0.01..1.0_f64,
        ) {
            let one = half_space_floor_loss_w(length, width, wall, 1.5, 15.0);
            let other = half_space_floor_loss_w(width, length, wall, 1.5, 15.0);
            prop_assert!((one / other - 1.0).abs() < 1e-9);
            prop_assert!(one > half_space_floor_loss_w(length, width, wall * 1.1, 1.5, 15.0));
        }
    }
}

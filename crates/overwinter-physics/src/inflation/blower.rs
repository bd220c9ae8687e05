//! The blower that keeps two films apart: its curve, its damper, its draw, and what it lets back.

use super::{Opening, flow::HOLE_DISCHARGE, within};
use crate::error::PhysicsError;

/// Newton steps for the flow at a pressure; from the right side of a bent curve six do.
const MOST_STEPS: usize = 60;

/// Share of the shut-off pressure over which the curve's end is taken as straight: where a bent curve
/// is level, the last bit of the pressure would decide the flow.
const STRAIGHT_SHARE: f64 = 1e-6;

/// Electricity that a running blower takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ElectricDraw {
    /// As measured or as written on the plate, W.
    Watts(f64),
    /// From the plate's current: volts x amps x power factor.
    VoltAmps {
        /// Volts.
        volts: f64,
        /// Amps.
        amps: f64,
        /// Power factor, 0 to 1.
        power_factor: f64,
    },
}

impl ElectricDraw {
    /// Electric power while running, W.
    ///
    /// The motor of a small blower draws about the same at any flow.
    ///
    /// ```
    /// use overwinter_physics::inflation::ElectricDraw;
    /// let draw = ElectricDraw::VoltAmps { volts: 120.0, amps: 1.0, power_factor: 0.5 };
    /// assert_eq!(draw.watts(), 60.0);
    /// ```
    pub fn watts(self) -> f64 {
        match self {
            Self::Watts(watts) => watts,
            Self::VoltAmps {
                volts,
                amps,
                power_factor,
            } => volts * amps * power_factor,
        }
    }

    /// Electricity used over running hours, kWh.
    ///
    /// ```
    /// use overwinter_physics::inflation::ElectricDraw;
    /// // 250 W for 1000 m2 (Castilla 2013, "Greenhouse technology and management") run all year
    /// // are 2.2 kWh/m2 (computed).
    /// let energy_kwh_m2 = ElectricDraw::Watts(250.0).energy_kwh(8760.0) / 1000.0;
    /// assert!((energy_kwh_m2 - 2.2).abs() < 0.02);
    /// ```
    pub fn energy_kwh(self, running_h: f64) -> f64 {
        self.watts() * running_h / 1000.0
    }
}

/// A blower with its inlet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blower {
    /// Pressure at no flow, Pa.
    pub shut_off_pa: f64,
    /// Flow at no pressure, m3/s.
    pub free_flow_m3_s: f64,
    /// Bend of the curve, 1 (straight) to 4; 1.5 to 2 for small blowers (estimate).
    pub bend: f64,
    /// Open area of the inlet, m2: through it air flows back when the blower stands.
    pub inlet_area_m2: f64,
    /// Open area of a damper before the inlet, m2.
    pub damper_area_m2: Option<f64>,
    /// A flap that shuts against back-flow.
    pub back_draft_flap: bool,
    /// Electricity while running.
    pub draw: ElectricDraw,
}

/// Flow and its slope against the pressure that a blower works against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct FlowAndSlope {
    pub(super) flow_m3_s: f64,
    /// At most zero.
    pub(super) slope_m3_s_pa: f64,
}

impl Blower {
    /// Refuses sizes that no blower has.
    ///
    /// Shut-off 1 to 10 000 Pa, free flow above 0 up to 100 m3/s, bend 1 to 4, areas above 0 up to
    /// 10 m2, draw 0 to 100 000 W, power factor 0 to 1.
    pub fn check(&self) -> Result<(), PhysicsError> {
        within("blower shut-off pressure in Pa", self.shut_off_pa, 1.0, 1e4)?;
        within("blower free flow in m3/s", self.free_flow_m3_s, 1e-6, 100.0)?;
        within("bend of the blower curve", self.bend, 1.0, 4.0)?;
        within("blower inlet area in m2", self.inlet_area_m2, 1e-6, 10.0)?;
        if let Some(area_m2) = self.damper_area_m2 {
            within("damper area in m2", area_m2, 1e-6, 10.0)?;
        }
        if let ElectricDraw::VoltAmps { power_factor, .. } = self.draw {
            within("power factor", power_factor, 0.0, 1.0)?;
        }
        within("blower draw in W", self.draw.watts(), 0.0, 1e5)?;
        Ok(())
    }

    /// Pressure that the running blower and its damper give at a flow, Pa above the intake.
    ///
    /// `p0 (1 - (Q / Q0)^m) - K_d Q^2`, `K_d = rho / (2 (C_d A_d)^2)`. Beyond the free flow it is
    /// negative; a negative flow counts as none.
    ///
    /// # References
    /// Power form fitted to a fan curve (estimate: `m` 1.5 to 2); damper as a hole.
    ///
    /// ```
    /// use overwinter_physics::inflation::{Blower, ElectricDraw};
    /// let blower = Blower {
    ///     shut_off_pa: 200.0,
    ///     free_flow_m3_s: 0.04,
    ///     bend: 2.0,
    ///     inlet_area_m2: 0.0044,
    ///     damper_area_m2: None,
    ///     back_draft_flap: false,
    ///     draw: ElectricDraw::Watts(60.0),
    /// };
    /// assert_eq!(blower.pressure_pa(0.02, 1.25), 150.0);
    /// assert!((blower.running_flow_m3_s(150.0, 1.25) - 0.02).abs() < 1e-15);
    /// ```
    pub fn pressure_pa(&self, flow_m3_s: f64, density_kg_m3: f64) -> f64 {
        let flow_m3_s = flow_m3_s.max(0.0);
        let curve = 1.0 - (flow_m3_s / self.free_flow_m3_s).powf(self.bend);
        self.shut_off_pa * curve - self.damper_loss(density_kg_m3) * flow_m3_s * flow_m3_s
    }

    /// Flow that the running blower gives against a gap pressure, m3/s.
    ///
    /// The inverse of [`Self::pressure_pa`], but for a straight line over the last millionth of the
    /// shut-off pressure; `gap_pa` is the gap above the intake. Above the shut-off
    /// pressure the excess drives air back through the inlet, unless a flap shuts.
    pub fn running_flow_m3_s(&self, gap_pa: f64, density_kg_m3: f64) -> f64 {
        self.flow_and_slope(gap_pa, density_kg_m3, true).flow_m3_s
    }

    /// Flow through the stopped blower, m3/s: negative while the gap stands above the intake.
    ///
    /// Inlet and damper are holes in series; a flap shuts against back-flow and opens inward.
    pub fn stopped_flow_m3_s(&self, gap_pa: f64, density_kg_m3: f64) -> f64 {
        self.flow_and_slope(gap_pa, density_kg_m3, false).flow_m3_s
    }

    pub(super) fn flow_and_slope(
        &self,
        gap_pa: f64,
        density_kg_m3: f64,
        running: bool,
    ) -> FlowAndSlope {
        let head_pa = if running { self.shut_off_pa } else { 0.0 };
        let spare_pa = head_pa - gap_pa;
        let least_pa = STRAIGHT_SHARE * self.shut_off_pa;
        if running && spare_pa >= least_pa {
            return self.delivered(spare_pa, density_kg_m3);
        }
        if running && spare_pa > 0.0 {
            let slope = self.delivered(least_pa, density_kg_m3).flow_m3_s / least_pa;
            return FlowAndSlope {
                flow_m3_s: slope * spare_pa,
                slope_m3_s_pa: -slope,
            };
        }
        if spare_pa <= 0.0 && self.back_draft_flap {
            return FlowAndSlope {
                flow_m3_s: 0.0,
                slope_m3_s_pa: 0.0,
            };
        }
        let housing = self.housing(density_kg_m3);
        FlowAndSlope {
            flow_m3_s: housing.flow_m3_s(spare_pa),
            slope_m3_s_pa: -housing.slope_m3_s_pa(spare_pa),
        }
    }

    /// Flow at which curve and damper use up `spare_pa`, which is above zero.
    ///
    /// The used pressure is convex in the flow, so Newton's steps from above never pass the root.
    fn delivered(&self, spare_pa: f64, density_kg_m3: f64) -> FlowAndSlope {
        let damper = self.damper_loss(density_kg_m3);
        let mut flow = self.free_flow_m3_s * (spare_pa / self.shut_off_pa).powf(self.bend.recip());
        let mut slope_pa_s_m3 = 0.0;
        for _ in 0..MOST_STEPS {
            let share = (flow / self.free_flow_m3_s).powf(self.bend - 1.0);
            let per_flow = self.shut_off_pa * share / self.free_flow_m3_s;
            let used_pa = (per_flow + damper * flow) * flow;
            slope_pa_s_m3 = self.bend * per_flow + 2.0 * damper * flow;
            let next = flow - (used_pa - spare_pa) / slope_pa_s_m3;
            // Rounding ends the fall.
            if next >= flow || next.is_nan() {
                break;
            }
            flow = next;
        }
        FlowAndSlope {
            flow_m3_s: flow,
            slope_m3_s_pa: -slope_pa_s_m3.recip(),
        }
    }

    fn damper_loss(&self, density_kg_m3: f64) -> f64 {
        self.damper_area_m2.map_or(0.0, |area_m2| {
            0.5 * density_kg_m3 / (HOLE_DISCHARGE * area_m2).powi(2)
        })
    }

    /// Inlet and damper in series as one hole.
    fn housing(&self, density_kg_m3: f64) -> Opening {
        let inlet = self.inlet_area_m2.powi(-2);
        let damper = self.damper_area_m2.map_or(0.0, |area_m2| area_m2.powi(-2));
        let area_m2 = (inlet + damper).sqrt().recip();
        Opening::hole_unchecked(HOLE_DISCHARGE, area_m2, density_kg_m3)
    }
}

#[cfg(test)]
mod tests;

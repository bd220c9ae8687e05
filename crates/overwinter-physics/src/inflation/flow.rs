//! Flow through holes and cracks for a pressure difference, either way, and the pressure of wind.

use super::within;
use crate::error::PhysicsError;

/// Pressure below which a power law passes smoothly through zero, Pa (estimate).
///
/// It keeps the slope finite where the flow turns round. At the weight of a thin film, 1.4 Pa, the
/// flow through a hole comes out 0.03 % low.
pub const TURNING_PRESSURE_PA: f64 = 0.05;

/// Discharge coefficient of a sharp-edged hole: 0.60 to 0.65 (from memory).
pub const HOLE_DISCHARGE: f64 = 0.62;

/// Exponent of a crack, between 0.6 and 0.7 (from memory); a hole has 0.5, a felt 1.
pub const CRACK_EXPONENT: f64 = 0.65;
/// Exponent of a hole.
const HOLE_EXPONENT: f64 = 0.5;

/// Pressure coefficients of a wall that faces the wind, of a crown, and of a wall in the lee.
const FACED: f64 = 0.7;
const CROWN: f64 = -0.7;
const LEE: f64 = -0.4;

/// A way for air whose flow is a power of the pressure difference.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// Flow at 1 Pa, m3/s.
    coefficient: f64,
    exponent: f64,
}

impl Opening {
    /// A hole: `Q = C_d A sqrt(2 dp / rho)`.
    ///
    /// `discharge` 0.01 to 1, `area_m2` above 0 up to 1000, `density_kg_m3` 0.3 to 3: others are
    /// refused.
    ///
    /// # References
    /// Bernoulli's equation with a discharge coefficient.
    ///
    /// ```
    /// use overwinter_physics::inflation::Opening;
    /// // 0.1 m2 torn: 0.11 m3/s at 2 Pa and 0.24 m3/s at 10 Pa (computed, C_d 0.6).
    /// let tear = Opening::hole(0.6, 0.1, 1.25)?;
    /// assert!((tear.flow_m3_s(2.0) - 0.11).abs() < 0.005);
    /// assert!((tear.flow_m3_s(10.0) - 0.24).abs() < 0.005);
    /// # Ok::<(), overwinter_physics::error::PhysicsError>(())
    /// ```
    pub fn hole(discharge: f64, area_m2: f64, density_kg_m3: f64) -> Result<Self, PhysicsError> {
        within("discharge coefficient", discharge, 0.01, 1.0)?;
        within("hole area in m2", area_m2, 1e-9, 1e3)?;
        within("air density in kg/m3", density_kg_m3, 0.3, 3.0)?;
        Ok(Self::hole_unchecked(discharge, area_m2, density_kg_m3))
    }

    /// A hole whose sizes were checked before.
    pub(super) fn hole_unchecked(discharge: f64, area_m2: f64, density_kg_m3: f64) -> Self {
        Self {
            coefficient: discharge * area_m2 * (2.0 / density_kg_m3).sqrt(),
            exponent: HOLE_EXPONENT,
        }
    }

    /// A crack: `Q = C dp^n`, sized by one flow at one pressure, `C = Q / dp^n`.
    ///
    /// `flow_m3_s` above 0 up to 1000, `pressure_pa` 0.01 to 10 000, `exponent` 0.5 (a hole) to 1 (a
    /// felt): others are refused. A tight house leaks 2e-5 to 1e-4 m3/s per m2 of cover at 60 Pa
    /// (estimate).
    ///
    /// # References
    /// Power law of leaks, `n` 0.6 to 0.7 for building cracks: ASHRAE Handbook Fundamentals,
    /// chapter on ventilation and infiltration (from memory).
    ///
    /// ```
    /// use overwinter_physics::inflation::Opening;
    /// let leak = Opening::crack(0.02, 60.0, 0.5)?;
    /// assert!((leak.flow_m3_s(60.0) - 0.02).abs() < 1e-7);
    /// # Ok::<(), overwinter_physics::error::PhysicsError>(())
    /// ```
    pub fn crack(flow_m3_s: f64, pressure_pa: f64, exponent: f64) -> Result<Self, PhysicsError> {
        within("leak flow in m3/s", flow_m3_s, 1e-12, 1e3)?;
        within("pressure of the leak flow in Pa", pressure_pa, 0.01, 1e4)?;
        within("leak exponent", exponent, 0.5, 1.0)?;
        Ok(Self {
            coefficient: flow_m3_s / pressure_pa.powf(exponent),
            exponent,
        })
    }

    /// A passage with square-law loss: `dp = loss rho v^2 / 2` with `v` the flow over `area_m2`.
    ///
    /// A hole whose discharge coefficient is `1 / sqrt(loss)`; `loss` 1 to 10 000.
    pub fn passage(loss: f64, area_m2: f64, density_kg_m3: f64) -> Result<Self, PhysicsError> {
        within("loss coefficient", loss, 1.0, 1e4)?;
        Self::hole(loss.sqrt().recip(), area_m2, density_kg_m3)
    }

    /// Flow for a pressure difference, m3/s, positive towards the lower pressure.
    ///
    /// `Q = C dp / (dp^2 + e^2)^((1 - n) / 2)` with e of [`TURNING_PRESSURE_PA`]: `C dp^n` well above
    /// it, odd and rising everywhere. NaN gives NaN.
    pub fn flow_m3_s(&self, difference_pa: f64) -> f64 {
        self.flow_and_slope(difference_pa).0
    }

    /// Slope of [`Self::flow_m3_s`], m3/s per Pa, above zero everywhere.
    pub fn slope_m3_s_pa(&self, difference_pa: f64) -> f64 {
        self.flow_and_slope(difference_pa).1
    }

    /// [`Self::flow_m3_s`] and [`Self::slope_m3_s_pa`] for one power.
    pub(super) fn flow_and_slope(&self, difference_pa: f64) -> (f64, f64) {
        let turning = TURNING_PRESSURE_PA * TURNING_PRESSURE_PA;
        let square = difference_pa * difference_pa + turning;
        let power = self.coefficient * self.root(square);
        let bracket = self.exponent * difference_pa * difference_pa + turning;
        (difference_pa * power, bracket * power / square)
    }

    /// `square^((exponent - 1) / 2)`, for holes by roots, which cost a fraction of a power.
    fn root(&self, square: f64) -> f64 {
        if (self.exponent - HOLE_EXPONENT).abs() < f64::EPSILON {
            1.0 / square.sqrt().sqrt()
        } else {
            square.powf((self.exponent - 1.0) / 2.0)
        }
    }

    /// True for a crack, false for a hole, whose size is known.
    pub fn is_crack(&self) -> bool {
        self.exponent > HOLE_EXPONENT
    }

    /// `count` like this side by side; zero closes the way.
    #[must_use]
    pub fn times(&self, count: u32) -> Self {
        self.scaled(f64::from(count))
    }

    /// The way with `factor` times its flow at every pressure; below zero counts as closed.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self {
            coefficient: self.coefficient * factor.max(0.0),
            exponent: self.exponent,
        }
    }
}

/// Pressure coefficient of a plane in the wind, without unit, relative to the wind's own pressure.
///
/// `into_plane` is the cosine between the direction the wind comes from and the outward normal of the
/// plane: 1 for a wall that faces it, 0 for a flat roof or a wall alongside, -1 for a wall in the lee.
/// Straight lines through 0.7 (faced), -0.7 (flat or alongside) and -0.4 (lee); values beyond -1 to
/// 1 count as those. A windward roof of 30 degrees so has 0.0, one of 60 degrees 0.5.
///
/// # References
/// Ranges 0.2 to 0.7 windward, -0.6 to -1.2 over the crown, -0.4 lee, from memory; the lines between
/// are an estimate.
///
/// ```
/// use overwinter_physics::inflation::flow::wind_coefficient;
/// assert_eq!(wind_coefficient(1.0), 0.7);
/// assert_eq!(wind_coefficient(0.0), -0.7);
/// assert_eq!(wind_coefficient(-1.0), -0.4);
/// ```
pub fn wind_coefficient(into_plane: f64) -> f64 {
    let into_plane = into_plane.clamp(-1.0, 1.0);
    if into_plane > 0.0 {
        CROWN + (FACED - CROWN) * into_plane
    } else {
        CROWN + (CROWN - LEE) * into_plane
    }
}

/// Pressure that wind puts on a face, Pa above still air: `C_p rho u^2 / 2`.
///
/// `C_p` about 0.2 to 0.7 on a windward face, -0.4 on a lee one, -0.6 to -1.2 over the crown (from
/// memory). Negative wind counts as calm.
///
/// # References
/// Dynamic pressure, Bernoulli's equation; coefficients from memory.
///
/// ```
/// use overwinter_physics::inflation::wind_pressure_pa;
/// // 15.6, 62.5 and 141 Pa at 5, 10 and 15 m/s (computed from the formula).
/// assert!((wind_pressure_pa(1.0, 1.25, 5.0) - 15.6).abs() < 0.05);
/// assert!((wind_pressure_pa(1.0, 1.25, 10.0) - 62.5).abs() < 0.05);
/// assert!((wind_pressure_pa(1.0, 1.25, 15.0) - 141.0).abs() < 0.5);
/// ```
pub fn wind_pressure_pa(pressure_coefficient: f64, density_kg_m3: f64, wind_m_s: f64) -> f64 {
    let wind_m_s = wind_m_s.max(0.0);
    0.5 * pressure_coefficient * density_kg_m3 * wind_m_s * wind_m_s
}

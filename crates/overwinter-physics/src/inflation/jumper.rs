//! The hose that hands air from one section of cover to the next.

use std::f64::consts::PI;

use super::{Opening, within};
use crate::error::PhysicsError;

/// Loss where air enters and leaves a hose, in velocity heads: 0.5 in, 1.0 out (from memory).
pub const ENDS_LOSS: f64 = 1.5;

/// Loss of one right-angle bend of a hose, in velocity heads (estimate; 0.3 smooth to 1.1 kinked).
pub const BEND_LOSS: f64 = 1.0;

/// Friction factor of a hose, 0.02 smooth to 0.03 ribbed (from memory).
pub const HOSE_FRICTION: f64 = 0.025;

/// One or several equal hoses between two sections.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jumper {
    /// Inner diameter, m.
    pub diameter_m: f64,
    /// Length, m.
    pub length_m: f64,
    /// Right-angle bends.
    pub bends: u32,
    /// Hoses side by side.
    pub count: u32,
}

impl Jumper {
    /// A single hose.
    pub fn new(diameter_m: f64, length_m: f64, bends: u32) -> Self {
        Self {
            diameter_m,
            length_m,
            bends,
            count: 1,
        }
    }

    /// Loss of one hose in velocity heads: `f l / D + 1.5 + 1.0 bends`.
    ///
    /// # References
    /// Darcy and Weisbach friction with single losses; their sizes from memory.
    pub fn loss(&self) -> f64 {
        HOSE_FRICTION * self.length_m / self.diameter_m
            + ENDS_LOSS
            + BEND_LOSS * f64::from(self.bends)
    }

    /// The hoses as one opening: `dp = loss rho v^2 / 2`.
    ///
    /// `diameter_m` 0.005 to 2, `length_m` 0 to 100, at most 50 bends, 1 to 1000 hoses: others are
    /// refused.
    ///
    /// ```
    /// use overwinter_physics::inflation::Jumper;
    /// // 1 m of 100 mm hose takes about 7 Pa at 0.02 m3/s (computed from the formula).
    /// let hose = Jumper::new(0.1, 1.0, 0).opening(1.25)?;
    /// assert!((hose.flow_m3_s(7.0) - 0.02).abs() < 2e-4);
    /// assert!((hose.flow_m3_s(-7.0) + 0.02).abs() < 2e-4);
    /// # Ok::<(), overwinter_physics::error::PhysicsError>(())
    /// ```
    pub fn opening(&self, density_kg_m3: f64) -> Result<Opening, PhysicsError> {
        within("jumper diameter in m", self.diameter_m, 0.005, 2.0)?;
        within("jumper length in m", self.length_m, 0.0, 100.0)?;
        within("bends of a jumper", f64::from(self.bends), 0.0, 50.0)?;
        within("number of jumpers", f64::from(self.count), 1.0, 1000.0)?;
        let area_m2 = PI / 4.0 * self.diameter_m * self.diameter_m;
        Ok(Opening::passage(self.loss(), area_m2, density_kg_m3)?.times(self.count))
    }
}

//! Volume of a gap against its pressure, taut and slack.

use crate::error::PhysicsError;
use crate::inflation::network::{Storage, Surroundings};
use crate::inflation::within;

/// Spread of the pressure over which a slack gap fills, as a share of the film's weight (estimate).
///
/// Films are never quite alike over a section. Half lies below the weight and half above, so a gap
/// empties as fast as at the weight itself.
const SLACK_SPREAD: f64 = 0.01;

/// Least spread, Pa: films that stand upright have no weight to speak of.
const LEAST_SPREAD_PA: f64 = 1e-3;

/// Least excess of wind at which a face lies wholly against the inner film, Pa (estimate).
const LEAST_PRESS_PA: f64 = 1.0;

/// One face of a section and how much of the section's area looks that way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaceShare {
    /// Face of the house, by its number from 0.
    pub facet: usize,
    /// Share of the section's area, above 0; shares need not add up to one.
    pub share: f64,
}

/// What decides the pressure in a gap that is not full.
#[derive(Clone, Debug, PartialEq)]
pub struct Films {
    /// Weight of the outer film, 0 to 100 Pa: [`film_weight_pa`](crate::inflation::gap::film_weight_pa).
    pub film_weight_pa: f64,
    /// Rise of the taut volume with pressure, 1e-9 to 1e3 m3/Pa:
    /// [`stretch_compliance_m3_pa`](crate::inflation::gap::stretch_compliance_m3_pa).
    pub compliance_m3_pa: f64,
    /// Faces of the section, whose wind lies on its films by area; none: sheltered.
    pub faces: Vec<FaceShare>,
}

impl Films {
    pub(super) fn check(&self) -> Result<(), PhysicsError> {
        within("film weight in Pa", self.film_weight_pa, 0.0, 100.0)?;
        within("compliance in m3/Pa", self.compliance_m3_pa, 1e-9, 1e3)?;
        for face in &self.faces {
            within("share of a face", face.share, 1e-6, 1e6)?;
        }
        Ok(())
    }

    /// Pressure at which the outer film lies on the air of the gap, Pa: its weight and the wind's mean.
    pub(super) fn slack_pa(&self, around: &Surroundings) -> f64 {
        let total: f64 = self.faces.iter().map(|face| face.share).sum();
        let wind = |face: &FaceShare| face.share * around.facet_pa[face.facet];
        let loaded: f64 = self.faces.iter().map(wind).sum();
        self.film_weight_pa + if total > 0.0 { loaded / total } else { 0.0 }
    }

    /// Volume at a pressure, m3, and its slope, m3/Pa; `slack_pa` of [`Self::slack_pa`].
    ///
    /// Empty below the slack pressure, filling through its spread, above it `V0 + C_V (p - p_slack)`.
    pub(super) fn volume_and_slope(
        &self,
        taut_m3: f64,
        pressure_pa: f64,
        slack_pa: f64,
    ) -> (f64, f64) {
        let spread_pa = self.spread_pa();
        let filling_pa = pressure_pa - (slack_pa - 0.5 * spread_pa);
        if filling_pa <= 0.0 {
            (0.0, 0.0)
        } else if filling_pa < spread_pa {
            let slope = taut_m3 / spread_pa;
            (slope * filling_pa, slope)
        } else {
            let stretched_m3 = self.compliance_m3_pa * (filling_pa - spread_pa);
            (taut_m3 + stretched_m3, self.compliance_m3_pa)
        }
    }

    /// Pressure at which a gap that is neither empty nor full holds a volume, Pa.
    pub(super) fn pressure_at(&self, taut_m3: f64, volume_m3: f64, slack_pa: f64) -> Option<f64> {
        let spread_pa = self.spread_pa();
        (volume_m3 > 0.0 && volume_m3 < taut_m3)
            .then(|| slack_pa + spread_pa * (volume_m3 / taut_m3 - 0.5))
    }

    fn spread_pa(&self) -> f64 {
        (SLACK_SPREAD * self.film_weight_pa).max(LEAST_SPREAD_PA)
    }

    /// Share of the area whose outer film wind presses on the inner one.
    pub(super) fn pressed_share(&self, gap_pa: f64, around: &Surroundings) -> f64 {
        let total: f64 = self.faces.iter().map(|face| face.share).sum();
        if total <= 0.0 {
            return 0.0;
        }
        let full_pa = self.film_weight_pa.max(LEAST_PRESS_PA);
        let pressed = |face: &FaceShare| {
            let wind_pa = around.facet_pa.get(face.facet).copied().unwrap_or(0.0);
            let excess_pa = self.film_weight_pa + wind_pa - gap_pa;
            face.share * (excess_pa / full_pa).clamp(0.0, 1.0)
        };
        self.faces.iter().map(pressed).sum::<f64>() / total
    }
}

/// What the gaps take up in one implicit step.
pub(super) struct Uptake<'a> {
    pub(super) films: &'a [Films],
    pub(super) taut_m3: &'a [f64],
    pub(super) start_m3: &'a [f64],
    pub(super) slack_pa: &'a [f64],
    pub(super) step_s: f64,
}

impl Storage for Uptake<'_> {
    fn uptake(&self, section: usize, pressure_pa: f64) -> (f64, f64) {
        let taut_m3 = self.taut_m3[section];
        let films = &self.films[section];
        let (volume_m3, slope) =
            films.volume_and_slope(taut_m3, pressure_pa, self.slack_pa[section]);
        let taken_m3 = volume_m3 - self.start_m3[section];
        (taken_m3 / self.step_s, slope / self.step_s)
    }

    fn steepest(&self, section: usize) -> (f64, f64) {
        let films = &self.films[section];
        let filling = self.taut_m3[section] / films.spread_pa();
        let size_pa = self.slack_pa[section].abs().max(films.film_weight_pa);
        (filling.max(films.compliance_m3_pa) / self.step_s, size_pa)
    }
}

//! Loss of a cover at stated conditions, and where it is least.

use overwinter_physics::cover::{CoverResult, steady_cover};

use super::{Conditions, Cover, CoverError};

/// Skies under which a cover is shown, kelvin below the outdoor air: overcast, between, clear and dry.
pub const SKIES_BELOW_AIR_K: [f64; 3] = [0.0, 10.0, 20.0];

/// Least difference of house and outdoor air for which a U-value means anything, K.
const LEAST_DIFFERENCE_K: f64 = 1.0;

/// Skies among which the least loss is looked for, kelvin below the outdoor air.
const SEARCHED_SKIES_K: [f64; 6] = [0.0, 5.0, 10.0, 15.0, 20.0, 25.0];
/// Wet shares among which it is looked for.
const SEARCHED_WET_SHARES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];

/// What a cover loses, per m2 of cover.
#[derive(Clone, Debug, PartialEq)]
pub struct HeatLoss {
    /// Loss over the difference of house and outdoor air.
    pub u_w_m2k: f64,
    /// Heat taken from the house.
    pub heat_w_m2: f64,
    /// Part of it taken by radiation from floor and crop; above 1 where the house air gains.
    pub radiation_share: f64,
    /// Temperature of each layer, from the house outwards.
    pub layer_temps_k: Vec<f64>,
}

impl HeatLoss {
    /// Resistance from house air to outdoor air.
    pub fn resistance_m2k_w(&self) -> f64 {
        1.0 / self.u_w_m2k
    }
}

/// Sky and wetness at which a cover loses least.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kindest {
    /// Kelvin below the outdoor air.
    pub sky_below_air_k: f64,
    /// Share of the inner face that is wet.
    pub wet_share: f64,
    /// The loss there.
    pub u_w_m2k: f64,
}

impl Cover {
    /// The loss at stated conditions.
    ///
    /// # Errors
    /// [`CoverError::NotWarmer`] without a difference to divide by, [`CoverError::Physics`] for
    /// values that no cover has.
    pub fn heat_loss(&self, conditions: &Conditions) -> Result<HeatLoss, CoverError> {
        let warmer_k = conditions.inside_k - conditions.outside_k;
        if warmer_k.is_nan() || warmer_k < LEAST_DIFFERENCE_K {
            return Err(CoverError::NotWarmer {
                warmer_k,
                least_k: LEAST_DIFFERENCE_K,
            });
        }
        let mut layers = self.layers.clone();
        if let Some(inner) = layers.first_mut() {
            *inner = inner.wet(conditions.wet_share);
        }
        let solved = steady_cover(&layers, &self.spaces, &conditions.physics());
        let failed = |source| CoverError::Physics {
            cover: self.name.clone(),
            source,
        };
        Ok(heat_loss(&solved.map_err(failed)?))
    }

    /// U-values under [`SKIES_BELOW_AIR_K`], with the inner face as wet as said.
    ///
    /// # Errors
    /// As [`Self::heat_loss`].
    pub fn u_by_sky_w_m2k(
        &self,
        conditions: &Conditions,
        wet_share: f64,
    ) -> Result<[f64; SKIES_BELOW_AIR_K.len()], CoverError> {
        let mut u_w_m2k = [0.0; SKIES_BELOW_AIR_K.len()];
        for (u, sky_k) in u_w_m2k.iter_mut().zip(SKIES_BELOW_AIR_K) {
            *u = self.heat_loss(&conditions.under(sky_k, wet_share))?.u_w_m2k;
        }
        Ok(u_w_m2k)
    }
}

/// Where between overcast and clear, dry and wet a cover loses least, the rest as stated.
///
/// # Errors
/// As [`Cover::heat_loss`].
pub fn kindest(cover: &Cover, conditions: &Conditions) -> Result<Kindest, CoverError> {
    let at = |sky_below_air_k: f64, wet_share: f64| {
        let loss = cover.heat_loss(&conditions.under(sky_below_air_k, wet_share))?;
        Ok(Kindest {
            sky_below_air_k,
            wet_share,
            u_w_m2k: loss.u_w_m2k,
        })
    };
    let mut least = at(conditions.sky_below_air_k, conditions.wet_share)?;
    for sky_below_air_k in SEARCHED_SKIES_K {
        for wet_share in SEARCHED_WET_SHARES {
            let found = at(sky_below_air_k, wet_share)?;
            if found.u_w_m2k < least.u_w_m2k {
                least = found;
            }
        }
    }
    Ok(least)
}

fn heat_loss(solved: &CoverResult) -> HeatLoss {
    let faces = solved.layers.iter();
    HeatLoss {
        u_w_m2k: solved.u_w_m2k,
        heat_w_m2: solved.heat_w_m2,
        radiation_share: solved.radiation_share(),
        layer_temps_k: faces
            .map(|face| 0.5 * (face.lower_k + face.upper_k))
            .collect(),
    }
}

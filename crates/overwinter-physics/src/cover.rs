//! Steady heat loss of a cover: any stack of layers and spaces between a house and a cold sky.
//!
//! Thermal radiation passes through partly transparent layers and is solved exactly for given
//! temperatures; convection and conduction follow the correlations of [`crate::convection`] and
//! [`crate::cavity`]. Left out: sun, condensation heat, air flowing through a space.

mod check;
mod radiation;
mod steady;

use overwinter_units::constants::STANDARD_PRESSURE_PA;

use crate::cavity::{Cavity, iso15099};
use crate::convection;
use crate::longwave::{LayerLongwave, wet_lower_face};

pub use steady::steady_cover;

/// Most layers of a steady cover.
pub const MAX_COVER_LAYERS: usize = 8;

/// One layer of a cover; lower is the house side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoverLayer {
    /// Longwave properties of the dry layer.
    pub longwave: LayerLongwave<f64>,
    /// Share of the lower face that carries liquid water, 0 to 1.
    pub wet_share: f64,
    /// Resistance of the layer between its faces, m2 K/W; 0 for a thin film.
    pub resistance_m2k_w: f64,
}

impl CoverLayer {
    /// A thin dry film, alike on both faces.
    pub fn film(transmittance: f64, reflectance: f64) -> Self {
        Self {
            longwave: LayerLongwave::dry(transmittance, reflectance),
            wet_share: 0.0,
            resistance_m2k_w: 0.0,
        }
    }

    /// An opaque pane of a thickness, m, and conductivity, W/m K, with an emissivity for each face.
    pub fn pane(
        lower_emissivity: f64,
        upper_emissivity: f64,
        thickness_m: f64,
        conductivity_w_mk: f64,
    ) -> Self {
        Self {
            longwave: LayerLongwave {
                transmittance: 0.0,
                lower_reflectance: 1.0 - lower_emissivity,
                upper_reflectance: 1.0 - upper_emissivity,
                lower_emissivity,
                upper_emissivity,
            },
            wet_share: 0.0,
            resistance_m2k_w: thickness_m / conductivity_w_mk,
        }
    }

    /// The same layer with water on a share of its lower face.
    #[must_use]
    pub fn wet(mut self, wet_share: f64) -> Self {
        self.wet_share = wet_share;
        self
    }

    fn effective(&self) -> LayerLongwave<f64> {
        wet_lower_face(&self.longwave, self.wet_share)
    }
}

/// What lies between two layers of a cover.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CoverSpace {
    /// Still air, by [`Cavity`], with solid bridges (ribs, spacers) beside it.
    StillAir {
        /// Distance between the layers, m.
        gap_m: f64,
        /// Conductance of the bridges, W/m2 K.
        bridge_w_m2k: f64,
    },
    /// Another gas than air at rest, by [`Cavity`], with solid bridges beside it.
    StillGas {
        /// Distance between the layers, m.
        gap_m: f64,
        /// What fills it.
        gas: iso15099::Gas,
        /// Conductance of the bridges, W/m2 K.
        bridge_w_m2k: f64,
    },
    /// A sealed gap of a gas, by the window standard ISO 15099.
    Gas {
        /// Distance between the layers, m.
        gap_m: f64,
        /// What fills it.
        gas: iso15099::Gas,
    },
    /// A stated conductance, W/m2 K: touching films, a spacer mesh.
    Conductance(f64),
}

/// Convection at the inner face of a cover.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum InsideConvection {
    /// Natural convection of still house air: [`convection::inside_cover`].
    StillAir,
    /// Natural convection at an upright wall: [`convection::wall_inside`].
    Wall,
    /// Fans sweep the face at a speed, m/s, over natural convection: [`convection::mixed`].
    Fans(f64),
    /// A window facing a room, over the cover's height: [`iso15099::room_side_w_m2k`].
    Room,
    /// A stated coefficient, W/m2 K.
    Stated(f64),
}

/// Convection at the outer face of a cover.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OutsideConvection {
    /// A plastic-covered house in wind or calm: [`convection::outside_film_papadakis1992`],
    /// [`convection::outside_cover`].
    Film,
    /// A wall or pane in wind: [`convection::outside_opaque`].
    Opaque,
    /// A stated coefficient, W/m2 K.
    Stated(f64),
}

/// What a cover stands between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CoverConditions {
    /// House air, K.
    pub inside_air_k: f64,
    /// Floor and crop as the cover sees them, K.
    pub floor_k: f64,
    /// Outdoor air, K.
    pub outside_air_k: f64,
    /// Sky as a black body, K.
    pub sky_k: f64,
    /// Share of the outer face's view that is sky; the rest is ground at outdoor air temperature.
    pub sky_share: f64,
    /// Wind near the house, m/s.
    pub wind_m_s: f64,
    /// Tilt of the cover: 0 flat, 90 a wall.
    pub tilt_deg: f64,
    /// Height of the cover along its slope, m.
    pub height_m: f64,
    /// Air pressure, Pa.
    pub pressure_pa: f64,
    /// Floor area over cover area, above 0 to 1.
    pub floor_to_cover: f64,
    /// Longwave emissivity of floor and crop.
    pub floor_emissivity: f64,
    /// Convection at the inner face.
    pub inside: InsideConvection,
    /// Convection at the outer face.
    pub outside: OutsideConvection,
}

impl CoverConditions {
    /// A roof at 15 degrees that sees floor and sky only, between air of two temperatures, K, and a
    /// sky that many kelvin below the outdoor air; wind 3 m/s, sea level.
    pub fn night(inside_k: f64, outside_k: f64, sky_depression_k: f64) -> Self {
        Self {
            inside_air_k: inside_k,
            floor_k: inside_k,
            outside_air_k: outside_k,
            sky_k: outside_k - sky_depression_k,
            sky_share: 1.0,
            wind_m_s: 3.0,
            tilt_deg: 15.0,
            height_m: 4.0,
            pressure_pa: STANDARD_PRESSURE_PA,
            floor_to_cover: 1.0,
            floor_emissivity: 0.95,
            inside: InsideConvection::StillAir,
            outside: OutsideConvection::Film,
        }
    }

    fn inside_w_m2k(&self, face_k: f64) -> f64 {
        let difference_k = self.inside_air_k - face_k;
        match self.inside {
            InsideConvection::StillAir => convection::inside_cover(difference_k),
            InsideConvection::Wall => convection::wall_inside(difference_k),
            InsideConvection::Fans(speed_m_s) => {
                let natural = convection::inside_cover(difference_k);
                convection::mixed(natural, convection::forced_plate(speed_m_s))
            }
            InsideConvection::Room => iso15099::room_side_w_m2k(
                self.height_m,
                self.tilt_deg,
                face_k,
                self.inside_air_k,
                self.pressure_pa,
            ),
            InsideConvection::Stated(coefficient) => coefficient,
        }
    }

    fn outside_w_m2k(&self, face_k: f64) -> f64 {
        match self.outside {
            OutsideConvection::Film => {
                let wind = convection::outside_film_papadakis1992(self.wind_m_s);
                convection::outside_cover(wind, face_k - self.outside_air_k, 1.0)
            }
            OutsideConvection::Opaque => convection::outside_opaque(self.wind_m_s),
            OutsideConvection::Stated(coefficient) => coefficient,
        }
    }

    fn space_w_m2k(&self, space: &CoverSpace, lower_k: f64, upper_k: f64) -> f64 {
        let still = |gap_m, gas| {
            let cavity = Cavity::new(gap_m, self.tilt_deg, self.height_m).with_gas(gas);
            cavity
                .with_pressure(self.pressure_pa)
                .conductance_w_m2k(lower_k, upper_k)
        };
        match *space {
            CoverSpace::StillAir {
                gap_m,
                bridge_w_m2k,
            } => still(gap_m, iso15099::AIR) + bridge_w_m2k,
            CoverSpace::StillGas {
                gap_m,
                gas,
                bridge_w_m2k,
            } => still(gap_m, gas) + bridge_w_m2k,
            CoverSpace::Gas { gap_m, gas } => iso15099::conductance_w_m2k(
                &gas,
                gap_m,
                self.height_m,
                self.tilt_deg,
                lower_k,
                upper_k,
                self.pressure_pa,
            ),
            CoverSpace::Conductance(conductance) => conductance,
        }
    }
}

/// Temperatures of a layer's faces, K.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FaceTemps {
    /// House side.
    pub lower_k: f64,
    /// Outer side.
    pub upper_k: f64,
}

/// A cover in steady state, per m2 of cover.
#[derive(Clone, Debug, PartialEq)]
pub struct CoverResult {
    /// Heat the cover takes from the house (air and floor), W/m2.
    pub heat_w_m2: f64,
    /// That heat over the difference of house and outdoor air, W/m2 K; infinite or meaningless where
    /// the two are equal.
    pub u_w_m2k: f64,
    /// Part of the heat taken from the house air by convection, W/m2.
    pub convection_w_m2: f64,
    /// Part of the heat taken from the floor by radiation, W/m2.
    pub radiation_w_m2: f64,
    /// Faces of the layers, from the house outwards.
    pub layers: Vec<FaceTemps>,
    /// Conductance of each space without radiation, W/m2 K.
    pub spaces_w_m2k: Vec<f64>,
    /// Coefficient at the inner face, W/m2 K.
    pub inside_w_m2k: f64,
    /// Coefficient at the outer face, W/m2 K.
    pub outside_w_m2k: f64,
    /// Thermal radiation upwards in every space, the house first and the sky last, W/m2.
    pub upward_w_m2: Vec<f64>,
    /// Thermal radiation downwards in every space, W/m2.
    pub downward_w_m2: Vec<f64>,
}

impl CoverResult {
    /// Share of the heat that is taken by convection.
    pub fn convection_share(&self) -> f64 {
        self.convection_w_m2 / self.heat_w_m2
    }

    /// Share of the heat that is taken by radiation.
    pub fn radiation_share(&self) -> f64 {
        self.radiation_w_m2 / self.heat_w_m2
    }

    /// Resistance from house air to outdoor air, m2 K/W.
    pub fn resistance_m2k_w(&self) -> f64 {
        1.0 / self.u_w_m2k
    }
}

#[cfg(test)]
mod tests;

//! What a cover stands between, and what is assumed where nothing is said.

use overwinter_physics::cover::CoverConditions;
use overwinter_physics::sky::cold_sky_view_walton1983;

/// Mean distance of two inflated films where no house says another, m (estimate; practice 2 to 12
/// in, over which the loss changes by 3 %).
pub(super) const INFLATED_GAP_M: f64 = 0.12;

const ZERO_CELSIUS_K: f64 = 273.15;

/// A still night around a cover whose house side sees floor and crop at the temperature of the
/// house air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Conditions {
    /// House air, floor and crop.
    pub inside_k: f64,
    /// Outdoor air.
    pub outside_k: f64,
    /// Outdoor air less the temperature of the sky as a black body.
    pub sky_below_air_k: f64,
    /// Wind near the house.
    pub wind_m_s: f64,
    /// Tilt: 0 flat, 90 a wall.
    pub tilt_deg: f64,
    /// Share of the house side of the innermost layer that carries water.
    pub wet_share: f64,
}

impl Conditions {
    /// Where each of the usual conditions comes from, in the order of the fields.
    pub const USUAL_SOURCES: [&'static str; 6] = [
        "University of Georgia Extension, Bulletin 792: night of a cool greenhouse",
        "estimate: a cold night",
        "from memory: 2 to 5 K under cloud, 15 to 25 K under a clear, dry sky",
        "estimate: light wind at the house",
        "estimate: a low roof",
        "estimate: condensate on the inner face, as on most cold nights over a crop",
    ];

    /// The usual conditions, each with its source in [`Self::USUAL_SOURCES`].
    pub const USUAL: Self = Self {
        inside_k: ZERO_CELSIUS_K + 10.0,
        outside_k: ZERO_CELSIUS_K - 10.0,
        sky_below_air_k: 10.0,
        wind_m_s: 3.0,
        tilt_deg: 15.0,
        wet_share: 1.0,
    };

    /// The same under another sky and with another share of the inner face wet.
    #[must_use]
    pub fn under(self, sky_below_air_k: f64, wet_share: f64) -> Self {
        Self {
            sky_below_air_k,
            wet_share,
            ..self
        }
    }

    pub(super) fn physics(&self) -> CoverConditions {
        let night = CoverConditions::night(self.inside_k, self.outside_k, self.sky_below_air_k);
        CoverConditions {
            // The rest of the view, ground and low sky, is at the temperature of the outdoor air.
            sky_share: cold_sky_view_walton1983(self.tilt_deg.to_radians().cos()),
            wind_m_s: self.wind_m_s,
            tilt_deg: self.tilt_deg,
            ..night
        }
    }
}

//! Outdoor conditions as the season loop wants them: prepared once for each climate and house.

use overwinter_physics::number::Real;
use overwinter_physics::{convection, moist_air};
use overwinter_units::constants::STEFAN_BOLTZMANN_W_M2K4;
use overwinter_weather::Year;

use crate::house::{House, SurfaceRule};

/// Outdoor conditions at one instant.
#[derive(Clone, Copy, Debug)]
pub struct Drive<R> {
    /// Outdoor air.
    pub air_k: R,
    /// Vapour in the outdoor air.
    pub vapour_kg_m3: R,
    /// Wind at 10 m.
    pub wind_m_s: R,
    /// Downward longwave from the sky on the horizontal.
    pub sky_longwave_w_m2: R,
    /// Upward longwave from the surroundings, taken at outdoor air temperature.
    pub ground_longwave_w_m2: R,
    /// Convective coefficient of the cover's outer face.
    pub cover_coefficient_w_m2k: R,
    /// Convective coefficient of an opaque wall's outer face.
    pub wall_coefficient_w_m2k: R,
}

/// Number of fields of [`Drive`].
const FIELDS: usize = 7;

/// Outdoor conditions at each hour mark of the year.
#[derive(Clone, Debug)]
pub struct DriveSeries {
    instants: Vec<[f64; FIELDS]>,
}

impl DriveSeries {
    /// Prepares the year for a house (its share of the wind, its outer surface rule).
    pub fn new(house: &House, year: &Year) -> Self {
        let instants = (0..year.air_temp_k.len())
            .map(|at| instant(house, year, at))
            .collect();
        Self { instants }
    }

    /// Conditions `share` (0 to 1) of the way through `hour`, straight between hour marks.
    #[inline]
    pub fn at(&self, hour: usize, share: f64) -> [f64; FIELDS] {
        let start = &self.instants[hour];
        let end = &self.instants[hour + 1];
        std::array::from_fn(|field| start[field] + (end[field] - start[field]) * share)
    }
}

impl<R: Real> Drive<R> {
    /// One instant of several series, a lane each.
    #[inline]
    pub fn gather(series: &[DriveSeries], hour: usize, share: f64) -> Self {
        let mut fields = [R::zero(); FIELDS];
        for (lane, one) in series.iter().enumerate() {
            for (field, value) in fields.iter_mut().zip(one.at(hour, share)) {
                field.set_lane(lane, value);
            }
        }
        let [air_k, vapour_kg_m3, wind_m_s, sky, ground, cover, wall] = fields;
        Self {
            air_k,
            vapour_kg_m3,
            wind_m_s,
            sky_longwave_w_m2: sky,
            ground_longwave_w_m2: ground,
            cover_coefficient_w_m2k: cover,
            wall_coefficient_w_m2k: wall,
        }
    }
}

fn instant(house: &House, year: &Year, at: usize) -> [f64; FIELDS] {
    let air_k = year.air_temp_k[at];
    let wind_at_cover_m_s = year.wind_m_s[at] * house.wind_at_cover_share;
    let (cover, wall) = match house.outside_surface {
        SurfaceRule::Calculated => (
            convection::outside_film_papadakis1992(wind_at_cover_m_s),
            convection::outside_opaque(wind_at_cover_m_s),
        ),
        SurfaceRule::Fixed { coefficient_w_m2k } => (coefficient_w_m2k, coefficient_w_m2k),
    };
    [
        air_k,
        moist_air::vapour_density_from_dew_point(year.dew_point_k[at], air_k),
        year.wind_m_s[at],
        year.sky_longwave_w_m2[at],
        STEFAN_BOLTZMANN_W_M2K4 * air_k.powi(4),
        cover,
        wall,
    ]
}

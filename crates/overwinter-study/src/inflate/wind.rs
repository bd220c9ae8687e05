//! Pressures around a house in a calm and in a wind.

use overwinter_engine::house::{Facet, House};
use overwinter_physics::inflation::flow::wind_coefficient;
use overwinter_physics::inflation::network::Surroundings;
use overwinter_physics::inflation::wind_pressure_pa;

/// Winds at the cover for which pressures are told, m/s: a windy night and a hard one (estimate).
pub const WINDS_M_S: [f64; 2] = [5.0, 10.0];

/// Directions that are tried for the worst, evenly around from north.
pub const DIRECTIONS: usize = 8;

/// A wind at the cover.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Wind {
    pub(super) speed_m_s: f64,
    /// Where it comes from, clockwise from north.
    pub(super) from_deg: f64,
    /// Share of its suction that lifts the outer film.
    pub(super) suction_share: f64,
}

impl Wind {
    /// One of each direction, with all its suction.
    pub(super) fn all_around(speed_m_s: f64) -> [Self; DIRECTIONS] {
        std::array::from_fn(|index| Self {
            speed_m_s,
            from_deg: 360.0 * index as f64 / DIRECTIONS as f64,
            suction_share: 1.0,
        })
    }

    /// Pressure on every plane of the cover, and none on the sheltered face after them.
    pub(super) fn around(&self, house: &House, density_kg_m3: f64) -> Surroundings {
        let (east, north) = self.from_deg.to_radians().sin_cos();
        let pressure = |plane: &Facet| {
            let [plane_east, plane_north] = normal(plane);
            let coefficient = wind_coefficient(east * plane_east + north * plane_north);
            let felt = coefficient.max(0.0) + self.suction_share * coefficient.min(0.0);
            wind_pressure_pa(felt, density_kg_m3, self.speed_m_s)
        };
        let planes = house.sections.iter().flat_map(|section| &section.facets);
        Surroundings {
            facet_pa: planes.map(pressure).chain([0.0]).collect(),
            house_pa: 0.0,
        }
    }
}

/// No wind.
pub(super) fn calm(house: &House) -> Surroundings {
    let planes: usize = house.sections.iter().map(|part| part.facets.len()).sum();
    Surroundings {
        facet_pa: vec![0.0; planes + 1],
        house_pa: 0.0,
    }
}

/// Horizontal parts of the outward normal of a plane: east, north.
fn normal(plane: &Facet) -> [f64; 2] {
    let (tilt, azimuth) = (plane.tilt_deg.to_radians(), plane.azimuth_deg.to_radians());
    [tilt.sin() * azimuth.sin(), tilt.sin() * azimuth.cos()]
}

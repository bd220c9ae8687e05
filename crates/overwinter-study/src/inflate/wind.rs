//! The winds for which pressures around a house are told.

use overwinter_engine::house::House;
use overwinter_engine::inflated::Wind;
use overwinter_physics::inflation::network::Surroundings;

/// Winds at the cover for which pressures are told, m/s: a windy night and a hard one (estimate).
pub const WINDS_M_S: [f64; 2] = [5.0, 10.0];

/// Directions that are tried for the worst, evenly around from north.
pub const DIRECTIONS: usize = 8;

/// One wind of each direction, with all its suction.
pub(super) fn all_around(speed_m_s: f64) -> [Wind; DIRECTIONS] {
    std::array::from_fn(|index| Wind {
        speed_m_s,
        from_deg: 360.0 * index as f64 / DIRECTIONS as f64,
        suction_share: 1.0,
    })
}

/// No wind.
pub(super) fn calm(house: &House) -> Surroundings {
    let planes: usize = house.sections.iter().map(|part| part.facets.len()).sum();
    Surroundings {
        facet_pa: vec![0.0; planes + 1],
        house_pa: 0.0,
    }
}

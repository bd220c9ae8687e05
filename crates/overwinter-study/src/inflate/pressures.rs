//! The pressure in every gap, in a calm and at its worst in a wind.

use overwinter_engine::house::House;
use overwinter_engine::inflated::{Inflation, normals};
use overwinter_physics::error::PhysicsError;
use overwinter_physics::inflation::deflate::FillingNetwork;
use overwinter_physics::inflation::network::Surroundings;

use super::HELD_SHARE;
use super::wind::{WINDS_M_S, all_around, calm};

/// One gap while the blowers run.
#[derive(Clone, Debug, PartialEq)]
pub struct GapPressures {
    /// Its name.
    pub name: String,
    /// Area of one film.
    pub area_m2: f64,
    /// Mean gap while the films are just taut, as stated.
    pub stated_gap_m: f64,
    /// Mean gap at the pressure of a calm, where the outer film is stretched.
    pub gap_m: f64,
    /// Pressure in a calm, above still outdoor air.
    pub calm_pa: f64,
    /// True from [`HELD_SHARE`] of the pressure asked for.
    pub is_held: bool,
    /// At the winds of [`WINDS_M_S`].
    pub windy: [WindyGap; WINDS_M_S.len()],
}

/// One gap in a wind, at the worst of all directions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WindyGap {
    /// Lowest pressure, above still outdoor air.
    pub lowest_pa: f64,
    /// Least that the gap has over the wind on any of its faces.
    pub least_over_face_pa: f64,
    /// Largest share of its area on which the films touch.
    pub touching_share: f64,
}

impl WindyGap {
    const BEFORE_ANY: Self = Self {
        lowest_pa: f64::INFINITY,
        least_over_face_pa: f64::INFINITY,
        touching_share: 0.0,
    };

    fn worse(self, other: Self) -> Self {
        Self {
            lowest_pa: self.lowest_pa.min(other.lowest_pa),
            least_over_face_pa: self.least_over_face_pa.min(other.least_over_face_pa),
            touching_share: self.touching_share.max(other.touching_share),
        }
    }
}

pub(super) fn of(house: &House, inflation: &Inflation) -> Result<Vec<GapPressures>, PhysicsError> {
    let gaps = FillingNetwork::new(&inflation.network, inflation.films.clone())?;
    let still = gaps.settled(&calm(house))?;
    let windy = [
        worst(house, inflation, &gaps, WINDS_M_S[0])?,
        worst(house, inflation, &gaps, WINDS_M_S[1])?,
    ];
    let gap = |(index, name): (usize, &String)| {
        let section = &inflation.network.sections[index];
        let calm_pa = still.pressure_pa[index];
        GapPressures {
            name: name.clone(),
            area_m2: section.area_m2,
            stated_gap_m: section.volume_m3 / section.area_m2,
            gap_m: still.volume_m3[index] / section.area_m2,
            calm_pa,
            is_held: calm_pa >= HELD_SHARE * inflation.asked_pa,
            windy: [windy[0][index], windy[1][index]],
        }
    };
    Ok(inflation.names.iter().enumerate().map(gap).collect())
}

/// Each gap at the worst direction of a wind.
fn worst(
    house: &House,
    inflation: &Inflation,
    gaps: &FillingNetwork,
    speed_m_s: f64,
) -> Result<Vec<WindyGap>, PhysicsError> {
    let mut worst = vec![WindyGap::BEFORE_ANY; inflation.names.len()];
    for wind in all_around(speed_m_s) {
        let around = wind.around(&normals(house), inflation.network.density_kg_m3);
        let air = gaps.settled(&around)?;
        for (index, worst) in worst.iter_mut().enumerate() {
            let pressure_pa = air.pressure_pa[index];
            let below_m = inflation.touching_below_m.likely;
            let touching = gaps.touching_share(&air, &around, index, below_m);
            *worst = worst.worse(WindyGap {
                lowest_pa: pressure_pa,
                least_over_face_pa: pressure_pa - highest_face_pa(inflation, index, &around),
                touching_share: touching.unwrap_or(0.0),
            });
        }
    }
    Ok(worst)
}

/// Highest wind pressure on a face of a gap; that of still air where it has none.
fn highest_face_pa(inflation: &Inflation, gap: usize, around: &Surroundings) -> f64 {
    let faces = inflation.films[gap].faces.iter();
    let wind_pa = faces.filter_map(|face| around.facet_pa.get(face.facet));
    wind_pa.copied().reduce(f64::max).unwrap_or(0.0)
}

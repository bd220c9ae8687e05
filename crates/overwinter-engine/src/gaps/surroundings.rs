//! The network of gaps as it is while something fails, and the wind around it.

use overwinter_physics::error::PhysicsError;
use overwinter_physics::inflation::deflate::FillingNetwork;
use overwinter_physics::inflation::flow::{HOLE_DISCHARGE, wind_coefficient};
use overwinter_physics::inflation::network::{Beyond, Network, SectionOpening, Surroundings};
use overwinter_physics::inflation::{Opening, wind_pressure_pa};
use overwinter_weather::year::HOURS;

use super::GapTrack;
use crate::failure::{Tear, TornFilm};
use crate::house::Facet;

impl GapTrack<'_> {
    pub(super) fn filling(
        &self,
        blowers_run: bool,
        tears: &[Tear],
    ) -> Result<FillingNetwork, PhysicsError> {
        let mut network = self.inflation.leaking(self.severity());
        for feed in &mut network.feeds {
            feed.running &= blowers_run;
        }
        for tear in tears {
            self.tear(&mut network, tear)?;
        }
        FillingNetwork::new(&network, self.inflation.films.clone())
    }

    fn tear(&self, network: &mut Network, tear: &Tear) -> Result<(), PhysicsError> {
        let density_kg_m3 = network.density_kg_m3;
        let Some(gap) = network.sections.get_mut(tear.gap) else {
            return Ok(());
        };
        let opening = Opening::hole(HOLE_DISCHARGE, tear.area_m2, density_kg_m3)?;
        if tear.film != TornFilm::Inner {
            let beyond = Beyond::Facet(self.largest_face(tear.gap));
            gap.openings.push(SectionOpening { opening, beyond });
        }
        if tear.film != TornFilm::Outer {
            let beyond = Beyond::House;
            gap.openings.push(SectionOpening { opening, beyond });
        }
        Ok(())
    }

    fn largest_face(&self, gap: usize) -> usize {
        let faces = self.inflation.films[gap].faces.iter();
        faces
            .max_by(|a, b| a.share.total_cmp(&b.share))
            .map_or(self.normals.len(), |face| face.facet)
    }

    /// Wind on every plane, and none on the sheltered face after them.
    pub(super) fn around(&self, hour: usize) -> Surroundings {
        let from = self.year.wind_from_deg[hour].to_radians();
        let (east, north) = from.sin_cos();
        let suction_share = self.severity().suction_share();
        let pressure = |normal: &[f64; 2]| {
            let coefficient = wind_coefficient(east * normal[0] + north * normal[1]);
            let held = coefficient.max(0.0) + suction_share * coefficient.min(0.0);
            self.wind_pa(held, hour)
        };
        let facet_pa = self.normals.iter().map(pressure).chain([0.0]).collect();
        Surroundings {
            facet_pa,
            house_pa: 0.0,
        }
    }

    pub(super) fn wind_pa(&self, coefficient: f64, hour: usize) -> f64 {
        let density_kg_m3 = self.inflation.network.density_kg_m3;
        let wind_m_s = self.year.wind_m_s[hour % HOURS] * self.wind_at_cover_share;
        wind_pressure_pa(coefficient, density_kg_m3, wind_m_s)
    }
}

/// Horizontal parts of the outward normal of a plane: east, north.
pub(super) fn normal(facet: &Facet) -> [f64; 2] {
    let (tilt, azimuth) = (facet.tilt_deg.to_radians(), facet.azimuth_deg.to_radians());
    [tilt.sin() * azimuth.sin(), tilt.sin() * azimuth.cos()]
}

//! The network of gaps as it is while something fails, and the wind around it.

use overwinter_physics::error::PhysicsError;
use overwinter_physics::inflation::deflate::FillingNetwork;
use overwinter_physics::inflation::flow::HOLE_DISCHARGE;
use overwinter_physics::inflation::network::{Beyond, Network, SectionOpening, Surroundings};
use overwinter_physics::inflation::{Opening, wind_pressure_pa};

use super::GapTrack;
use crate::failure::{Tear, TornFilm};
use crate::inflated::Wind;

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
        let wind = Wind {
            speed_m_s: self.wind_m_s(hour),
            from_deg: self.year.wind_from_deg[hour],
            suction_share: self.severity().suction_share(),
        };
        wind.around(&self.normals, self.inflation.network.density_kg_m3)
    }

    /// Wind at the cover.
    fn wind_m_s(&self, hour: usize) -> f64 {
        self.year.wind_m_s[hour] * self.wind_at_cover_share
    }

    /// Pressure of the wind itself.
    pub(super) fn wind_pa(&self, hour: usize) -> f64 {
        wind_pressure_pa(
            1.0,
            self.inflation.network.density_kg_m3,
            self.wind_m_s(hour),
        )
    }
}

//! What a gap leaks, and how its films weigh and stretch.

use overwinter_engine::house::Facet;
use overwinter_engine::shape::Profile;
use overwinter_physics::error::PhysicsError;
use overwinter_physics::inflation::deflate::{FaceShare, Films};
use overwinter_physics::inflation::flow::{CRACK_EXPONENT, HOLE_DISCHARGE};
use overwinter_physics::inflation::gap::{film_weight_pa, stretch_compliance_m3_pa};
use overwinter_physics::inflation::network::{Beyond, SectionOpening};
use overwinter_physics::inflation::{COOL_AIR_DENSITY_KG_M3, Opening};

use super::sections::Gap;
use crate::scenario::outline::Outline;

/// Pressure at which leaks are stated, Pa.
pub(super) const LEAK_PRESSURE_PA: f64 = 60.0;
/// Least leak that counts, m3/s.
const LEAST_LEAK_M3_S: f64 = 1e-9;
/// Radius of a film that bulges between flat supports, m (estimate).
const FLAT_RADIUS_M: f64 = 4.0;
/// Largest radius of an arch that is taken as one, m (estimate).
const LARGEST_RADIUS_M: f64 = 20.0;
/// Share of the leaks that leads into the house (estimate: half through each film).
const INTO_HOUSE: f64 = 0.5;

/// What a gap leaks at 60 Pa, m3/s.
pub(super) fn leak_m3_s(gap: &Gap) -> f64 {
    gap.leak_m3_s_m2 * gap.area_m2()
}

/// Leaks and exhaust holes of a gap.
///
/// Film leaks where it is locked, along its edges: half into the house, half to outdoors, there at
/// the steepest plane of each direction (estimate). Exhaust holes are at the first of these planes.
pub(super) fn openings(gap: &Gap) -> Result<Vec<SectionOpening>, PhysicsError> {
    let edges = edges(&gap.planes);
    let mut openings = Vec::new();
    let mut leak = |flow_m3_s: f64, beyond| {
        if flow_m3_s >= LEAST_LEAK_M3_S {
            let opening = Opening::crack(flow_m3_s, LEAK_PRESSURE_PA, CRACK_EXPONENT)?;
            openings.push(SectionOpening { opening, beyond });
        }
        Ok(())
    };
    leak(INTO_HOUSE * leak_m3_s(gap), Beyond::House)?;
    let each_m3_s = (1.0 - INTO_HOUSE) * leak_m3_s(gap) / edges.len().max(1) as f64;
    for face in &edges {
        leak(each_m3_s, Beyond::Facet(*face))?;
    }
    if let Some(face) = edges.first().filter(|_| gap.holes_m2 > 0.0) {
        openings.push(SectionOpening {
            opening: Opening::hole(HOLE_DISCHARGE, gap.holes_m2, COOL_AIR_DENSITY_KG_M3)?,
            beyond: Beyond::Facet(*face),
        });
    }
    Ok(openings)
}

/// The steepest plane of each direction.
fn edges(planes: &[(usize, Facet)]) -> Vec<usize> {
    let mut steepest: Vec<(usize, Facet)> = Vec::new();
    for (face, plane) in planes {
        let same =
            |other: &&mut (usize, Facet)| (other.1.azimuth_deg - plane.azimuth_deg).abs() < 0.5;
        match steepest.iter_mut().find(same) {
            Some(other) if other.1.tilt_deg < plane.tilt_deg => *other = (*face, *plane),
            Some(_) => {}
            None => steepest.push((*face, *plane)),
        }
    }
    steepest.into_iter().map(|(face, _)| face).collect()
}

/// Weight, stretch and faces of the films of a gap.
pub(super) fn films(gap: &Gap, thickness_m: f64, outline: &Outline) -> Films {
    let area_m2 = gap.area_m2();
    let share = |plane: &Facet| plane.area_m2 / area_m2;
    let lying = |plane: &Facet| share(plane) * plane.tilt_deg.to_radians().cos().max(0.0);
    let mean_cos: f64 = gap.planes.iter().map(|(_, plane)| lying(plane)).sum();
    let tilt_deg = mean_cos.clamp(0.0, 1.0).acos().to_degrees();
    let is_arched =
        gap.planes.len() > 2 && matches!(outline.profile, Profile::Round | Profile::Gothic);
    let radius_m = if is_arched {
        arch_radius_m(outline)
    } else {
        FLAT_RADIUS_M
    };
    let compliance_m3_pa = stretch_compliance_m3_pa(area_m2, radius_m, thickness_m);
    let face = |(face, plane): &(usize, Facet)| FaceShare {
        facet: *face,
        share: share(plane).max(1e-6),
    };
    Films {
        film_weight_pa: film_weight_pa(thickness_m, tilt_deg),
        compliance_m3_pa: compliance_m3_pa.clamp(1e-9, 1e3),
        faces: gap.planes.iter().map(face).collect(),
    }
}

/// Radius of the circle through both eaves and the ridge, m.
fn arch_radius_m(outline: &Outline) -> f64 {
    let half_m = 0.5 * outline.width_m;
    let rise_m = (outline.ridge_height_m - outline.side_height_m).max(0.1);
    ((half_m * half_m + rise_m * rise_m) / (2.0 * rise_m)).min(LARGEST_RADIUS_M)
}

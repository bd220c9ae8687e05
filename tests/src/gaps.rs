//! The inflated gaps of the test houses: what joins and feeds them.

use overwinter_engine::house::{House, Space};
use overwinter_engine::inflated::Inflation;
use overwinter_physics::inflation::deflate::{FaceShare, Films};
use overwinter_physics::inflation::flow::CRACK_EXPONENT;
use overwinter_physics::inflation::gap::{film_weight_pa, stretch_compliance_m3_pa};
use overwinter_physics::inflation::network::{
    Beyond, Feed, Link, Network, Outlets, Section, SectionOpening,
};
use overwinter_physics::inflation::{Blower, ElectricDraw, Jumper, Opening};

/// Thickness of the films, m.
const FILM_M: f64 = 150e-6;
/// Leak of every gap at 60 Pa, m3/s per m2 (estimate: 2e-5 to 1e-4).
const LEAK_M3_S_M2: f64 = 4e-5;

/// The house with its gaps joined by hoses of 100 mm, one gap for each inflated section, and a small
/// blower into the first; `None` if no hose or blower is of a size that exists.
pub fn fed(mut house: House, flap: bool, intake_inside: bool) -> Option<House> {
    let inflated = |space: &Space| matches!(space, Space::Inflated { .. });
    let all = house.sections.iter().enumerate();
    let of_section: Vec<usize> = all
        .filter(|(_, section)| section.spaces.iter().any(inflated))
        .map(|(index, _)| index)
        .collect();
    let gaps: Option<Vec<(Section, Films)>> =
        of_section.iter().map(|&index| gap(&house, index)).collect();
    let (sections, films): (Vec<Section>, Vec<Films>) = gaps?.into_iter().unzip();
    let planes: usize = house
        .sections
        .iter()
        .map(|section| section.facets.len())
        .sum();
    let names = of_section
        .iter()
        .map(|&index| house.sections[index].name.clone());
    let [touching_below_m, touching_w_m2k, flapping_w_m2k, leak_times] = Inflation::estimates();
    let links = (1..sections.len()).map(|to| Link {
        from: 0,
        to,
        jumper: Jumper::new(0.1, 1.0, 0),
    });
    house.inflation = Some(Inflation {
        names: names.collect(),
        network: Network {
            links: links.collect(),
            sections,
            feeds: vec![Feed {
                blower: blower(flap),
                intake: if intake_inside {
                    Beyond::House
                } else {
                    Beyond::Facet(planes)
                },
                outlets: Outlets::Section(0),
                running: true,
            }],
            density_kg_m3: 1.25,
        },
        films,
        of_section,
        asked_pa: 55.0,
        touching_below_m,
        touching_w_m2k,
        flapping_w_m2k,
        leak_times,
        has_drains: true,
    });
    Some(house)
}

fn gap(house: &House, index: usize) -> Option<(Section, Films)> {
    let section = &house.sections[index];
    let area_m2 = section.area_m2();
    let gap_m = section.spaces.iter().find_map(|space| match space {
        Space::Inflated { gap_m, .. } => Some(*gap_m),
        _ => None,
    })?;
    let first: usize = house.sections[..index].iter().map(|s| s.facets.len()).sum();
    let faces = section
        .facets
        .iter()
        .enumerate()
        .map(|(at, facet)| FaceShare {
            facet: first + at,
            share: facet.area_m2 / area_m2,
        });
    let tilt_deg = section.mean_cos_tilt().clamp(0.0, 1.0).acos().to_degrees();
    let leak = Opening::crack(LEAK_M3_S_M2 * area_m2, 60.0, CRACK_EXPONENT).ok()?;
    Some((
        Section {
            volume_m3: gap_m * area_m2,
            area_m2,
            openings: vec![SectionOpening {
                opening: leak,
                beyond: Beyond::House,
            }],
        },
        Films {
            film_weight_pa: film_weight_pa(FILM_M, tilt_deg),
            compliance_m3_pa: stretch_compliance_m3_pa(area_m2, 4.0, FILM_M),
            faces: faces.collect(),
        },
    ))
}

/// A small blower: 250 Pa at no flow, 40 L/s at no pressure (100 mm inlet).
fn blower(flap: bool) -> Blower {
    Blower {
        shut_off_pa: 250.0,
        free_flow_m3_s: 0.04,
        bend: 1.5,
        inlet_area_m2: 0.0079,
        damper_area_m2: Some(0.0015),
        back_draft_flap: flap,
        draw: ElectricDraw::Watts(60.0),
    }
}

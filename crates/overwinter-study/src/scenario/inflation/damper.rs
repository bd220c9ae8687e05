//! The damper that gives just the pressure asked for while no wind blows.

use std::collections::BTreeMap;
use std::f64::consts::PI;

use overwinter_physics::error::PhysicsError;
use overwinter_physics::inflation::network::{Beyond, Network, Outlets, Surroundings};

use super::blowers::circle_m2;

/// Narrowest damper tried, m.
const NARROWEST_M: f64 = 2e-3;
/// Widest against the widest inlet: beyond it a damper no longer matters.
const WIDEST_TIMES: f64 = 4.0;
/// Widest of all, m: an area that a blower may have.
const WIDEST_M: f64 = 3.5;
/// Most halvings of the bracket: 3 m to less than a micrometre.
const HALVINGS: usize = 22;
/// Pressure above the one asked for that is near enough, Pa.
const NEAR_ENOUGH_PA: f64 = 0.02;
/// Most dampers that are kept.
const MOST_KEPT: usize = 1000;

/// Dampers already set, by what they follow from: many cases of a sweep share one.
#[derive(Debug, Default)]
pub(crate) struct Dampers(BTreeMap<Vec<u64>, Setting>);

/// A damper and the pressures that it gives in a calm.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Setting {
    /// Its diameter; `None` for an inlet left open.
    pub(super) diameter_m: Option<f64>,
    /// Least pressure of the sections that blowers blow into.
    pub(super) fed_pa: f64,
    /// Pressure of each section.
    pub(super) section_pa: Vec<f64>,
}

impl Dampers {
    /// Sets the dampers of some feeds of a network, all alike, in a calm.
    ///
    /// The sections that blowers blow into get `asked_pa` or just above; where even open inlets do
    /// not reach it they are left open, and without such feeds nothing is set.
    pub(super) fn set(
        &mut self,
        network: &Network,
        feeds: &[usize],
        asked_pa: f64,
    ) -> Result<Setting, PhysicsError> {
        let known = key(network, feeds, asked_pa);
        if let Some(setting) = self.0.get(&known) {
            return Ok(setting.clone());
        }
        let setting = search(network, feeds, asked_pa)?;
        if self.0.len() >= MOST_KEPT {
            self.0.clear();
        }
        self.0.insert(known, setting.clone());
        Ok(setting)
    }
}

fn search(network: &Network, feeds: &[usize], asked_pa: f64) -> Result<Setting, PhysicsError> {
    let mut trial = network.clone();
    let mut with = |diameter_m: Option<f64>| {
        for feed in feeds {
            trial.feeds[*feed].blower.damper_area_m2 = diameter_m.map(circle_m2);
        }
        let section_pa = trial.solve(&calm(&trial))?.section_pa;
        Ok(Setting {
            diameter_m,
            fed_pa: fed_pa(&trial, &section_pa),
            section_pa,
        })
    };
    let open = with(None)?;
    if feeds.is_empty() || open.fed_pa < asked_pa {
        return Ok(open);
    }
    let inlets_m2 = feeds
        .iter()
        .map(|feed| network.feeds[*feed].blower.inlet_area_m2);
    let inlet_m = 2.0 * (inlets_m2.fold(0.0, f64::max) / PI).sqrt();
    let mut low_m = NARROWEST_M;
    let mut high = with(Some((WIDEST_TIMES * inlet_m).min(WIDEST_M)))?;
    if high.fed_pa < asked_pa {
        return Ok(open);
    }
    for _ in 0..HALVINGS {
        if high.fed_pa < asked_pa + NEAR_ENOUGH_PA {
            break;
        }
        let middle_m = 0.5 * (low_m + high.diameter_m.unwrap_or(low_m));
        let middle = with(Some(middle_m))?;
        if middle.fed_pa < asked_pa {
            low_m = middle_m;
        } else {
            high = middle;
        }
    }
    Ok(high)
}

/// Least pressure of the sections that blowers blow into.
fn fed_pa(network: &Network, section_pa: &[f64]) -> f64 {
    let ends = network.feeds.iter().flat_map(|feed| match &feed.outlets {
        Outlets::Section(section) => vec![*section],
        Outlets::Hoses(hoses) => hoses.iter().map(|hose| hose.0).collect(),
    });
    let pressures = ends.filter_map(|section| section_pa.get(section));
    pressures.copied().fold(f64::INFINITY, f64::min)
}

/// No wind, and the house at the pressure of still outdoor air.
fn calm(network: &Network) -> Surroundings {
    let faces = network
        .sections
        .iter()
        .flat_map(|section| section.openings.iter().map(|hole| hole.beyond))
        .chain(network.feeds.iter().map(|feed| feed.intake))
        .map(|beyond| match beyond {
            Beyond::Facet(face) => face + 1,
            Beyond::House => 0,
        });
    Surroundings {
        facet_pa: vec![0.0; faces.max().unwrap_or(0)],
        house_pa: 0.0,
    }
}

/// Everything the pressures in a calm follow from.
fn key(network: &Network, feeds: &[usize], asked_pa: f64) -> Vec<u64> {
    let mut key = vec![asked_pa.to_bits(), network.sections.len() as u64];
    for section in &network.sections {
        key.push(section.openings.len() as u64);
        // Two flows tell coefficient and exponent of an opening.
        let flows = section.openings.iter().flat_map(|hole| {
            [1.0, 60.0].map(|pressure_pa| hole.opening.flow_m3_s(pressure_pa).to_bits())
        });
        key.extend(flows);
    }
    for link in &network.links {
        let jumper = link.jumper;
        key.extend([link.from as u64, link.to as u64]);
        key.extend(hose(
            jumper.diameter_m,
            jumper.length_m,
            jumper.bends,
            jumper.count,
        ));
    }
    for (index, feed) in network.feeds.iter().enumerate() {
        let blower = &feed.blower;
        let sizes = [
            blower.shut_off_pa,
            blower.free_flow_m3_s,
            blower.bend,
            blower.inlet_area_m2,
            blower.damper_area_m2.unwrap_or(0.0),
        ];
        key.push(u64::from(feeds.contains(&index)));
        key.extend(sizes.map(f64::to_bits));
        match &feed.outlets {
            Outlets::Section(section) => key.extend([0, *section as u64]),
            Outlets::Hoses(hoses) => {
                key.push(hoses.len() as u64);
                for (section, jumper) in hoses {
                    key.push(*section as u64);
                    key.extend(hose(
                        jumper.diameter_m,
                        jumper.length_m,
                        jumper.bends,
                        jumper.count,
                    ));
                }
            }
        }
    }
    key
}

fn hose(diameter_m: f64, length_m: f64, bends: u32, count: u32) -> [u64; 4] {
    [
        diameter_m.to_bits(),
        length_m.to_bits(),
        u64::from(bends),
        u64::from(count),
    ]
}

//! A network laid out as nodes and the ways between them, checked once.

use super::{Beyond, Network, NetworkState, Outlets, Surroundings};
use crate::error::PhysicsError;
use crate::inflation::{Blower, Opening, within};

/// Nodes: the sections in order, then one for each blower that blows into hoses.
#[derive(Clone, Debug)]
pub(crate) struct Assembly {
    sections: usize,
    pub(super) nodes: usize,
    /// Openings section by section, links, blowers, hoses of the blowers.
    pub(super) ways: Vec<Way>,
    openings: Vec<usize>,
    links: usize,
    hoses: Vec<Hoses>,
    facets: usize,
}

#[derive(Clone, Copy, Debug)]
pub(super) enum End {
    Node(usize),
    Beyond(Beyond),
}

#[derive(Clone, Copy, Debug)]
enum Law {
    Opening(Opening),
    Blower {
        blower: Blower,
        running: bool,
        density_kg_m3: f64,
    },
}

/// How a blower reaches its sections.
#[derive(Clone, Copy, Debug)]
enum Hoses {
    None,
    Count(usize),
}

#[derive(Clone, Copy, Debug)]
pub(super) struct Way {
    pub(super) from: End,
    pub(super) to: End,
    law: Law,
}

impl Way {
    /// Flow from the first end to the second and its slope against the pressure difference.
    pub(super) fn flow_and_slope(&self, difference_pa: f64) -> (f64, f64) {
        match self.law {
            Law::Opening(opening) => opening.flow_and_slope(difference_pa),
            Law::Blower {
                blower,
                running,
                density_kg_m3,
            } => {
                let found = blower.flow_and_slope(-difference_pa, density_kg_m3, running);
                (found.flow_m3_s, -found.slope_m3_s_pa)
            }
        }
    }
}

impl Assembly {
    pub(crate) fn new(network: &Network) -> Result<Self, PhysicsError> {
        within("air density in kg/m3", network.density_kg_m3, 0.3, 3.0)?;
        let mut assembly = Self {
            sections: network.sections.len(),
            nodes: network.sections.len(),
            ways: Vec::new(),
            openings: Vec::new(),
            links: network.links.len(),
            hoses: Vec::new(),
            facets: 0,
        };
        assembly.add_sections(network)?;
        assembly.add_links(network)?;
        assembly.add_feeds(network)?;
        Ok(assembly)
    }

    fn add_sections(&mut self, network: &Network) -> Result<(), PhysicsError> {
        for (index, section) in network.sections.iter().enumerate() {
            let placed = |error: PhysicsError| error.of_part("section", index + 1);
            within("volume in m3", section.volume_m3, 1e-6, 1e6).map_err(placed)?;
            within("area in m2", section.area_m2, 1e-6, 1e6).map_err(placed)?;
            for hole in &section.openings {
                let to = self.outer_end(hole.beyond);
                self.add(End::Node(index), to, Law::Opening(hole.opening));
            }
            self.openings.push(section.openings.len());
        }
        Ok(())
    }

    fn add_links(&mut self, network: &Network) -> Result<(), PhysicsError> {
        for (index, link) in network.links.iter().enumerate() {
            let from = self.section_end("jumper", index, link.from)?;
            let to = self.section_end("jumper", index, link.to)?;
            let opening = link.jumper.opening(network.density_kg_m3);
            let opening = opening.map_err(|error| error.of_part("jumper", index + 1))?;
            self.add(from, to, Law::Opening(opening));
        }
        Ok(())
    }

    fn add_feeds(&mut self, network: &Network) -> Result<(), PhysicsError> {
        let density_kg_m3 = network.density_kg_m3;
        let mut hoses = Vec::new();
        for (index, feed) in network.feeds.iter().enumerate() {
            let placed = |error: PhysicsError| error.of_part("blower", index + 1);
            feed.blower.check().map_err(placed)?;
            let outlet = match &feed.outlets {
                Outlets::Section(section) => {
                    self.hoses.push(Hoses::None);
                    self.section_end("blower", index, *section)?
                }
                Outlets::Hoses(listed) => {
                    let branch = End::Node(self.nodes);
                    self.nodes += 1;
                    self.hoses.push(Hoses::Count(listed.len()));
                    for (section, hose) in listed {
                        let to = self.section_end("blower", index, *section)?;
                        hoses.push((branch, to, hose.opening(density_kg_m3).map_err(placed)?));
                    }
                    branch
                }
            };
            let intake = self.outer_end(feed.intake);
            let law = Law::Blower {
                blower: feed.blower,
                running: feed.running,
                density_kg_m3,
            };
            self.add(intake, outlet, law);
        }
        for (from, to, opening) in hoses {
            self.add(from, to, Law::Opening(opening));
        }
        Ok(())
    }

    fn add(&mut self, from: End, to: End, law: Law) {
        self.ways.push(Way { from, to, law });
    }

    fn outer_end(&mut self, beyond: Beyond) -> End {
        if let Beyond::Facet(facet) = beyond {
            self.know_facet(facet);
        }
        End::Beyond(beyond)
    }

    fn section_end(
        &self,
        part: &'static str,
        index: usize,
        section: usize,
    ) -> Result<End, PhysicsError> {
        if section < self.sections {
            return Ok(End::Node(section));
        }
        Err(PhysicsError::NotThere {
            part,
            position: index + 1,
            what: "section",
            number: section.saturating_add(1),
            known: self.sections,
        })
    }

    /// Refuses surroundings that lack a face, or a pressure that is none.
    pub(crate) fn check_surroundings(&self, around: &Surroundings) -> Result<(), PhysicsError> {
        if self.facets > around.facet_pa.len() {
            return Err(PhysicsError::NotThere {
                part: "network",
                position: 1,
                what: "face",
                number: self.facets,
                known: around.facet_pa.len(),
            });
        }
        within("house pressure in Pa", around.house_pa, -1e5, 1e5)?;
        for (index, &pressure_pa) in around.facet_pa.iter().enumerate() {
            let checked = within("wind pressure in Pa", pressure_pa, -1e5, 1e5);
            checked.map_err(|error| error.of_part("face", index + 1))?;
        }
        Ok(())
    }

    pub(super) fn sections(&self) -> usize {
        self.sections
    }

    /// Requires the surroundings to have one more face.
    pub(crate) fn know_facet(&mut self, facet: usize) {
        self.facets = self.facets.max(facet.saturating_add(1));
    }

    /// Starts or stops one blower.
    pub(crate) fn set_running(&mut self, feed: usize, on: bool) -> Result<(), PhysicsError> {
        let known = self.hoses.len();
        let before: usize = self.openings.iter().sum::<usize>() + self.links;
        let feeds = self.ways.iter_mut().skip(before).take(known);
        match feeds.map(|way| &mut way.law).nth(feed) {
            Some(Law::Blower { running, .. }) => {
                *running = on;
                Ok(())
            }
            _ => Err(PhysicsError::NotThere {
                part: "network",
                position: 1,
                what: "blower",
                number: feed.saturating_add(1),
                known,
            }),
        }
    }

    /// Every node at the pressure of still outdoor air.
    pub(crate) fn at_rest(&self) -> Vec<f64> {
        vec![0.0; self.nodes]
    }

    pub(super) fn pressure_pa(end: End, pressures_pa: &[f64], around: &Surroundings) -> f64 {
        match end {
            End::Node(node) => pressures_pa[node],
            End::Beyond(Beyond::Facet(facet)) => around.facet_pa[facet],
            End::Beyond(Beyond::House) => around.house_pa,
        }
    }

    /// The flows at given node pressures, sorted by where they belong.
    pub(crate) fn state(&self, pressures_pa: &[f64], around: &Surroundings) -> NetworkState {
        let flows: Vec<f64> = self.flows_m3_s(pressures_pa, around).collect();
        let mut net = vec![0.0; self.nodes];
        let mut through = vec![0.0; self.nodes];
        for (way, &flow) in self.ways.iter().zip(&flows) {
            for (end, inward) in [(way.from, -flow), (way.to, flow)] {
                if let End::Node(node) = end {
                    net[node] += inward;
                    through[node] += inward.max(0.0);
                }
            }
        }
        through.truncate(self.sections);
        let mut rest = flows.into_iter();
        let openings = self.openings.iter();
        let opening_flow_m3_s = openings.map(|&n| rest.by_ref().take(n).collect()).collect();
        let link_flow_m3_s = rest.by_ref().take(self.links).collect();
        let feed_flow_m3_s: Vec<f64> = rest.by_ref().take(self.hoses.len()).collect();
        let outlets = self.hoses.iter().zip(&feed_flow_m3_s);
        let outlet_flow_m3_s = outlets.map(|(hoses, &flow)| match *hoses {
            Hoses::None => vec![flow],
            Hoses::Count(n) => rest.by_ref().take(n).collect(),
        });
        NetworkState {
            section_pa: pressures_pa[..self.sections].to_vec(),
            opening_flow_m3_s,
            link_flow_m3_s,
            outlet_flow_m3_s: outlet_flow_m3_s.collect(),
            feed_flow_m3_s,
            through_flow_m3_s: through,
            imbalance_m3_s: net
                .iter()
                .fold(0.0, |most, miss: &f64| most.max(miss.abs())),
        }
    }

    fn flows_m3_s(&self, pressures_pa: &[f64], around: &Surroundings) -> impl Iterator<Item = f64> {
        self.ways.iter().map(|way| {
            let from_pa = Self::pressure_pa(way.from, pressures_pa, around);
            let to_pa = Self::pressure_pa(way.to, pressures_pa, around);
            way.flow_and_slope(from_pa - to_pa).0
        })
    }
}

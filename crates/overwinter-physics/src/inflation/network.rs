//! Sections of double film, joined by hoses and fed by blowers: what pressure stands in each.
//!
//! A section is one gap with one pressure: a roof bay, a side wall, an end. All flows rise with
//! their pressure difference, so there is one set of pressures that balances every section.

mod assembly;
mod sizing;
mod solve;

use super::{Blower, Jumper, Opening};
use crate::error::PhysicsError;

pub(super) use assembly::Assembly;
pub(super) use solve::Storage;

/// What lies at the far side of an opening or a blower's intake.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beyond {
    /// Outdoor air at one face of the house, by its number from 0.
    Facet(usize),
    /// The house.
    House,
}

/// A leak, drain or exhaust hole, or tear of a section, and where it leads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionOpening {
    /// Its size.
    pub opening: Opening,
    /// Where it leads.
    pub beyond: Beyond,
}

/// One gap between two films.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Air in the gap while both films are taut, m3.
    pub volume_m3: f64,
    /// Area of one film, m2.
    pub area_m2: f64,
    /// Ways to outdoors and into the house.
    pub openings: Vec<SectionOpening>,
}

/// A jumper between two sections.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Link {
    /// Section at one end, from 0; flow away from it counts positive.
    pub from: usize,
    /// Section at the other end, from 0. A link of a section with itself carries nothing.
    pub to: usize,
    /// The hose or hoses.
    pub jumper: Jumper,
}

/// What a blower blows into.
#[derive(Clone, Debug, PartialEq)]
pub enum Outlets {
    /// One section without a hose, from 0.
    Section(usize),
    /// Hoses, each with the section at its end, from 0.
    Hoses(Vec<(usize, Jumper)>),
}

/// A blower in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Feed {
    /// The blower.
    pub blower: Blower,
    /// Where it takes its air.
    pub intake: Beyond,
    /// What it blows into.
    pub outlets: Outlets,
    /// Whether it runs.
    pub running: bool,
}

/// Sections of cover with the ways between them.
#[derive(Clone, Debug, PartialEq)]
pub struct Network {
    /// Gaps.
    pub sections: Vec<Section>,
    /// Jumpers between them.
    pub links: Vec<Link>,
    /// Blowers.
    pub feeds: Vec<Feed>,
    /// Density of the air in hoses and blowers, kg/m3.
    pub density_kg_m3: f64,
}

/// Pressures around the network, Pa above still outdoor air.
#[derive(Clone, Debug, PartialEq)]
pub struct Surroundings {
    /// Wind pressure on each face.
    pub facet_pa: Vec<f64>,
    /// Pressure in the house.
    pub house_pa: f64,
}

/// Balanced pressures and the flow on every way.
#[derive(Clone, Debug, PartialEq)]
pub struct NetworkState {
    /// Pressure in each section, Pa above still outdoor air.
    pub section_pa: Vec<f64>,
    /// Flow out of each section through each of its openings, m3/s.
    pub opening_flow_m3_s: Vec<Vec<f64>>,
    /// Flow along each link from its first section to its second, m3/s.
    pub link_flow_m3_s: Vec<f64>,
    /// Flow through each blower into the network, m3/s.
    pub feed_flow_m3_s: Vec<f64>,
    /// Flow into the sections of each blower, in the order of its outlets, m3/s.
    pub outlet_flow_m3_s: Vec<Vec<f64>>,
    /// Air that enters each section by all ways together, m3/s: what flows through its gap.
    pub through_flow_m3_s: Vec<f64>,
    /// Largest amount by which the flows into a section or hose branch miss those out of it, m3/s.
    pub imbalance_m3_s: f64,
}

impl NetworkState {
    /// Sections with less than the pressure asked for, from 0, in order.
    pub fn sections_under(&self, asked_pa: f64) -> Vec<usize> {
        let under = |&section: &usize| self.section_pa[section] < asked_pa;
        (0..self.section_pa.len()).filter(under).collect()
    }
}

impl Network {
    /// Pressures and flows at which every section takes in as much air as it gives off.
    ///
    /// Newton's method on the balances, with a line search that cannot leave the basin: the flows
    /// are the slope of a convex sum. Ends when no section misses its balance by more than 1e-13 of the
    /// largest flow, or than the last bits of the pressures decide. A section that no blower reaches is answered too: it stands near the pressure
    /// around it; one without any opening keeps the pressure of still outdoor air.
    ///
    /// # Errors
    /// Sizes out of range, numbers of sections or faces that are not there, pressures that are not
    /// within 1e5 Pa, and a network that does not settle.
    ///
    /// # References
    /// Node-pressure form of pipe networks: Todini and Pilati 1988, "A gradient algorithm for the
    /// analysis of pipe networks" (from memory).
    ///
    /// ```
    /// use overwinter_physics::inflation::network::*;
    /// use overwinter_physics::inflation::{Blower, ElectricDraw, Opening};
    /// let leak = Opening::crack(0.02, 60.0, 0.5)?;
    /// let roof = Section {
    ///     volume_m3: 60.0,
    ///     area_m2: 400.0,
    ///     openings: vec![SectionOpening { opening: leak, beyond: Beyond::Facet(0) }],
    /// };
    /// let blower = Blower {
    ///     shut_off_pa: 80.0,
    ///     free_flow_m3_s: 0.04,
    ///     bend: 2.0,
    ///     inlet_area_m2: 0.0044,
    ///     damper_area_m2: None,
    ///     back_draft_flap: false,
    ///     draw: ElectricDraw::Watts(60.0),
    /// };
    /// let network = Network {
    ///     sections: vec![roof],
    ///     links: vec![],
    ///     feeds: vec![Feed {
    ///         blower,
    ///         intake: Beyond::Facet(0),
    ///         outlets: Outlets::Section(0),
    ///         running: true,
    ///     }],
    ///     density_kg_m3: 1.25,
    /// };
    /// let state = network.solve(&Surroundings { facet_pa: vec![0.0], house_pa: 0.0 })?;
    /// // By hand: 80 (1 - (Q / 0.04)^2) = 60 (Q / 0.02)^2 at Q^2 = 80 / 200 000.
    /// assert!((state.feed_flow_m3_s[0] - 0.02).abs() < 1e-8);
    /// assert!((state.section_pa[0] - 60.0).abs() < 1e-4);
    /// # Ok::<(), overwinter_physics::error::PhysicsError>(())
    /// ```
    pub fn solve(&self, surroundings: &Surroundings) -> Result<NetworkState, PhysicsError> {
        let assembly = Assembly::new(self)?;
        assembly.check_surroundings(surroundings)?;
        let pressures_pa = assembly.balance(surroundings, None, &assembly.at_rest())?;
        Ok(assembly.state(&pressures_pa, surroundings))
    }

    /// Sections that no blower reaches, not even through other sections, from 0, in order.
    pub fn sections_without_blower(&self) -> Vec<usize> {
        let mut fed = vec![false; self.sections.len()];
        let mark = |fed: &mut Vec<bool>, section: usize| {
            if let Some(reached) = fed.get_mut(section) {
                *reached = true;
            }
        };
        for feed in &self.feeds {
            match &feed.outlets {
                Outlets::Section(section) => mark(&mut fed, *section),
                Outlets::Hoses(hoses) => hoses.iter().for_each(|hose| mark(&mut fed, hose.0)),
            }
        }
        // Every round but the last reaches a new section.
        for _ in 0..self.sections.len() {
            for link in &self.links {
                let ends = [link.from, link.to];
                if ends.iter().any(|&end| fed.get(end) == Some(&true)) {
                    ends.into_iter().for_each(|end| mark(&mut fed, end));
                }
            }
        }
        (0..fed.len()).filter(|&section| !fed[section]).collect()
    }
}

#[cfg(test)]
mod tests;

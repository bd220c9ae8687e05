//! The jumper that lifts the section behind it to the pressure asked for.

use super::{Network, Surroundings};
use crate::error::PhysicsError;
use crate::inflation::Jumper;

/// Widest hose offered, m.
const WIDEST_M: f64 = 0.5;

/// Narrowest hose tried, m.
const NARROWEST_M: f64 = 0.01;

/// Width of the last bracket, m.
const WIDTH_STEP_M: f64 = 1e-5;

/// Most hoses side by side that are offered.
const MOST_HOSES: u32 = 50;

impl Network {
    /// Narrowest diameter of one link's hose that gives the section behind it `asked_pa`, m.
    ///
    /// Behind is the end with less pressure: a wider hose always raises it. Searched by bisection
    /// from 0.01 to 0.5 m, to within 0.01 mm above the least that does. `None` if 0.5 m does not do.
    ///
    /// # Errors
    /// As [`Network::solve`], and a link that is not there.
    pub fn jumper_diameter_for(
        &self,
        surroundings: &Surroundings,
        link: usize,
        asked_pa: f64,
    ) -> Result<Option<f64>, PhysicsError> {
        let does = |diameter_m: f64| {
            let widened = |jumper| Jumper {
                diameter_m,
                ..jumper
            };
            self.lower_end_holds(surroundings, link, asked_pa, widened)
        };
        if does(NARROWEST_M)? {
            return Ok(Some(NARROWEST_M));
        }
        if !does(WIDEST_M)? {
            return Ok(None);
        }
        let (mut low, mut high) = (NARROWEST_M, WIDEST_M);
        while high - low > WIDTH_STEP_M {
            let middle = 0.5 * (low + high);
            if does(middle)? {
                high = middle;
            } else {
                low = middle;
            }
        }
        Ok(Some(high))
    }

    /// Fewest hoses of one link's kind side by side that give the section behind it `asked_pa`.
    ///
    /// At most 50; `None` if they do not do.
    ///
    /// # Errors
    /// As [`Network::solve`], and a link that is not there.
    pub fn jumper_count_for(
        &self,
        surroundings: &Surroundings,
        link: usize,
        asked_pa: f64,
    ) -> Result<Option<u32>, PhysicsError> {
        let does = |count: u32| {
            let added = |jumper| Jumper { count, ..jumper };
            self.lower_end_holds(surroundings, link, asked_pa, added)
        };
        if !does(MOST_HOSES)? {
            return Ok(None);
        }
        let (mut low, mut high) = (0, MOST_HOSES);
        while high - low > 1 {
            let middle = u32::midpoint(low, high);
            if does(middle)? {
                high = middle;
            } else {
                low = middle;
            }
        }
        Ok(Some(high))
    }

    fn lower_end_holds(
        &self,
        surroundings: &Surroundings,
        link: usize,
        asked_pa: f64,
        changed: impl Fn(Jumper) -> Jumper,
    ) -> Result<bool, PhysicsError> {
        let mut network = self.clone();
        let known = network.links.len();
        let Some(found) = network.links.get_mut(link) else {
            return Err(PhysicsError::NotThere {
                part: "network",
                position: 1,
                what: "jumper",
                number: link.saturating_add(1),
                known,
            });
        };
        found.jumper = changed(found.jumper);
        let (from, to) = (found.from, found.to);
        let section_pa = network.solve(surroundings)?.section_pa;
        Ok(section_pa[from].min(section_pa[to]) >= asked_pa)
    }
}

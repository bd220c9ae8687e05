//! The hours after a blower stops: how the gaps empty, and how they fill when it runs again.
//!
//! A gap that is taut loses its pressure in minutes, since its films hardly stretch. Then the outer
//! film lies slack on the air and presses it out by its own weight and the wind's, which takes
//! hours. Left out: flapping in the wind, folds, film that freezes on.

mod emptying;
mod films;

pub use emptying::{emptying_time_s, taut_pressure_pa};
pub use films::{FaceShare, Films};

use super::gap::contact_share;
use super::network::{Assembly, Network, NetworkState, Surroundings};
use super::within;
use crate::error::PhysicsError;
use films::Uptake;

/// Longest step in time unless another is asked for, s: a taut gap loses its pressure in minutes.
const LONGEST_STEP_S: f64 = 60.0;

/// Air in the gaps of a network.
#[derive(Clone, Debug, PartialEq)]
pub struct GapAir {
    /// Volume in each section, m3.
    pub volume_m3: Vec<f64>,
    /// Pressure in each section, and behind them in each blower's branch, Pa above still outdoor air.
    pub pressure_pa: Vec<f64>,
}

/// A network whose gaps fill and empty.
///
/// ```
/// use overwinter_physics::inflation::deflate::{FillingNetwork, Films};
/// use overwinter_physics::inflation::network::{
///     Beyond, Network, Section, SectionOpening, Surroundings,
/// };
/// use overwinter_physics::inflation::{Opening, gap::film_weight_pa};
/// let leak = Opening::crack(0.02, 60.0, 0.5)?;
/// let roof = Section {
///     volume_m3: 60.0,
///     area_m2: 400.0,
///     openings: vec![SectionOpening { opening: leak, beyond: Beyond::House }],
/// };
/// let network =
///     Network { sections: vec![roof], links: vec![], feeds: vec![], density_kg_m3: 1.25 };
/// let films = Films {
///     film_weight_pa: film_weight_pa(150e-6, 0.0),
///     compliance_m3_pa: 0.005,
///     faces: vec![],
/// };
/// let gaps = FillingNetwork::new(&network, vec![films])?;
/// let calm = Surroundings { facet_pa: vec![], house_pa: 0.0 };
/// let mut air = gaps.full(&calm)?;
/// // 5.5 h until it is empty (computed from the formula), so half is left after 2.75 h.
/// gaps.advance(&mut air, &calm, 2.75 * 3600.0)?;
/// assert!((air.volume_m3[0] - 30.0).abs() < 0.5);
/// # Ok::<(), overwinter_physics::error::PhysicsError>(())
/// ```
#[derive(Clone, Debug)]
pub struct FillingNetwork {
    assembly: Assembly,
    films: Vec<Films>,
    taut_m3: Vec<f64>,
    area_m2: Vec<f64>,
    longest_step_s: f64,
}

impl FillingNetwork {
    /// Joins a network with the films of its sections, one entry each.
    ///
    /// # Errors
    /// What [`Network::solve`] refuses; films out of the ranges named at [`Films`]; a count of films
    /// other than that of sections.
    pub fn new(network: &Network, films: Vec<Films>) -> Result<Self, PhysicsError> {
        let sections = network.sections.len();
        one_each("films of the sections", films.len(), sections)?;
        let mut assembly = Assembly::new(network)?;
        for (index, film) in films.iter().enumerate() {
            film.check()
                .map_err(|error| error.of_part("films of section", index + 1))?;
            film.faces
                .iter()
                .for_each(|face| assembly.know_facet(face.facet));
        }
        let of = |value: fn(&super::network::Section) -> f64| {
            network.sections.iter().map(value).collect()
        };
        Ok(Self {
            assembly,
            films,
            taut_m3: of(|section| section.volume_m3),
            area_m2: of(|section| section.area_m2),
            longest_step_s: LONGEST_STEP_S,
        })
    }

    /// Goes on in steps of up to `longest_step_s`, 1 to 3600 s: others count as the nearer bound.
    ///
    /// What a slack gap loses does not depend on it; how the pressure of a taut one falls, does.
    pub fn set_longest_step_s(&mut self, longest_step_s: f64) {
        self.longest_step_s = longest_step_s.clamp(1.0, 3600.0);
    }

    /// Air in each gap while both films are taut, m3.
    pub fn taut_m3(&self) -> &[f64] {
        &self.taut_m3
    }

    /// Starts or stops one blower, by its number from 0.
    ///
    /// # Errors
    /// A blower that is not there.
    pub fn set_running(&mut self, feed: usize, running: bool) -> Result<(), PhysicsError> {
        self.assembly.set_running(feed, running)
    }

    /// The gaps after the blowers have run long enough.
    ///
    /// # Errors
    /// As [`Network::solve`].
    pub fn settled(&self, around: &Surroundings) -> Result<GapAir, PhysicsError> {
        self.assembly.check_surroundings(around)?;
        let at_rest = self.assembly.at_rest();
        let pressure_pa = self.assembly.balance(around, None, &at_rest)?;
        Ok(self.air_at(pressure_pa, &self.slack_pa(around)))
    }

    /// Gaps that are just full, each at the pressure at which its outer film lies on the air.
    ///
    /// # Errors
    /// As [`Network::solve`] refuses surroundings.
    pub fn full(&self, around: &Surroundings) -> Result<GapAir, PhysicsError> {
        self.assembly.check_surroundings(around)?;
        let mut pressure_pa = self.assembly.at_rest();
        for (pressure_pa, films) in pressure_pa.iter_mut().zip(&self.films) {
            *pressure_pa = films.slack_pa(around);
        }
        Ok(GapAir {
            volume_m3: self.taut_m3.clone(),
            pressure_pa,
        })
    }

    /// Moves the gaps on by `seconds`; the flows returned are those at the end.
    ///
    /// `dV/dt` = flow in - flow out, with the volume a function of the pressure as [`Films`] says, by
    /// implicit steps of at most a minute (or of [`Self::set_longest_step_s`]): air is conserved to rounding, a slack gap empties at its
    /// exact rate, a taut one follows its fall of some minutes to the first order.
    ///
    /// # Errors
    /// As [`Network::solve`]; `seconds` below 0 or beyond a year; air of another network.
    pub fn advance(
        &self,
        air: &mut GapAir,
        around: &Surroundings,
        seconds: f64,
    ) -> Result<NetworkState, PhysicsError> {
        self.assembly.check_surroundings(around)?;
        self.check_air(air)?;
        within("time in s", seconds, 0.0, 366.0 * 86_400.0)?;
        let steps = (seconds / self.longest_step_s).ceil();
        let slack_pa = self.slack_pa(around);
        let mut left = steps;
        while left > 0.0 {
            self.step(air, around, &slack_pa, seconds / steps)?;
            left -= 1.0;
        }
        Ok(self.assembly.state(&air.pressure_pa, around))
    }

    /// Mean width of a section's gap, m: volume over area.
    ///
    /// None for a section that is not there.
    pub fn mean_gap_m(&self, air: &GapAir, section: usize) -> Option<f64> {
        Some(air.volume_m3.get(section)? / self.area_m2.get(section)?)
    }

    /// Share of a section on which its films touch, 0 to 1.
    ///
    /// The larger of what its mean gap gives ([`contact_share`]) and of the faces that wind presses
    /// on: a face touches when the wind and the film's weight there exceed the pressure in the gap,
    /// fully from one film's weight (at least 1 Pa) beyond. None for a section that is not there.
    pub fn touching_share(
        &self,
        air: &GapAir,
        around: &Surroundings,
        section: usize,
        touching_below_m: f64,
    ) -> Option<f64> {
        let hollow = contact_share(self.mean_gap_m(air, section)?, touching_below_m);
        let pressure_pa = *air.pressure_pa.get(section)?;
        let pressed = self.films.get(section)?.pressed_share(pressure_pa, around);
        Some(hollow.max(pressed))
    }

    fn step(
        &self,
        air: &mut GapAir,
        around: &Surroundings,
        slack_pa: &[f64],
        step_s: f64,
    ) -> Result<(), PhysicsError> {
        let uptake = Uptake {
            films: &self.films,
            taut_m3: &self.taut_m3,
            start_m3: &air.volume_m3,
            slack_pa,
            step_s,
        };
        let start_pa = self.first_guess_pa(air, slack_pa);
        let pressure_pa = self.assembly.balance(around, Some(&uptake), &start_pa)?;
        *air = self.air_at(pressure_pa, slack_pa);
        Ok(())
    }

    /// Pressures at which the gaps would hold the air they have, under the wind of now: a slack gap takes
    /// up a change of wind at once.
    fn first_guess_pa(&self, air: &GapAir, slack_pa: &[f64]) -> Vec<f64> {
        let mut guess_pa = air.pressure_pa.clone();
        let sections = self.films.iter().zip(&self.taut_m3).zip(slack_pa);
        for (section, ((films, &taut_m3), &slack_pa)) in sections.enumerate() {
            let kept = films.pressure_at(taut_m3, air.volume_m3[section], slack_pa);
            guess_pa[section] = kept.unwrap_or(guess_pa[section]);
        }
        guess_pa
    }

    fn slack_pa(&self, around: &Surroundings) -> Vec<f64> {
        self.films
            .iter()
            .map(|films| films.slack_pa(around))
            .collect()
    }

    fn air_at(&self, pressure_pa: Vec<f64>, slack_pa: &[f64]) -> GapAir {
        let sections = self.films.iter().zip(&self.taut_m3).enumerate();
        let volume = |(section, (films, &taut_m3)): (usize, (&Films, &f64))| {
            films
                .volume_and_slope(taut_m3, pressure_pa[section], slack_pa[section])
                .0
        };
        GapAir {
            volume_m3: sections.map(volume).collect(),
            pressure_pa,
        }
    }

    fn check_air(&self, air: &GapAir) -> Result<(), PhysicsError> {
        let (sections, nodes) = (self.films.len(), self.assembly.at_rest().len());
        one_each("volumes of the gaps", air.volume_m3.len(), sections)?;
        one_each(
            "pressures of the gaps and branches",
            air.pressure_pa.len(),
            nodes,
        )?;
        for (index, &volume_m3) in air.volume_m3.iter().enumerate() {
            let checked = within("volume in m3", volume_m3, 0.0, 1e7);
            checked.map_err(|error| error.of_part("section", index + 1))?;
        }
        for (index, &pressure_pa) in air.pressure_pa.iter().enumerate() {
            let checked = within("pressure in Pa", pressure_pa, -1e6, 1e6);
            checked.map_err(|error| error.of_part("section", index + 1))?;
        }
        Ok(())
    }
}

fn one_each(what: &'static str, found: usize, needed: usize) -> Result<(), PhysicsError> {
    if found == needed {
        Ok(())
    } else {
        Err(PhysicsError::Entries {
            what,
            found,
            needed,
        })
    }
}

#[cfg(test)]
mod tests;

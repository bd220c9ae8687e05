//! Gaps on the move: what a blower that stands still, a tear and the wind do to them, step by step.
//!
//! While the blowers run and nothing is torn the gaps are as the house states them, and nothing here
//! is computed. Left out: dents that strong wind presses into a gap that is kept up; air that goes from
//! one gap to the next with its warmth and vapour; what outdoor air takes up in a gap before a torn inner
//! film lets it into the house.

mod course;
mod now;
mod surroundings;
mod through;

use overwinter_physics::air_exchange;
use overwinter_physics::inflation::deflate::{FillingNetwork, GapAir};
use overwinter_physics::inflation::network::{NetworkState, Surroundings};
use overwinter_weather::Year;

use crate::error::EngineError;
use crate::failure::{Tear, Works};
use crate::house::House;
use crate::inflated::{Inflation, Severity, normals};
use crate::plant::DOOR_DISCHARGE;
use course::{Beginning, Course};
use now::SectionGaps;
use through::Through;

pub(crate) use now::{GapsNow, put_stated_into};

/// Longest step in which gaps empty and fill, s: at first, while pressures fall fast, and after
/// [`FALLING_S`].
const LONGEST_STEP_S: [f64; 2] = [300.0, 3600.0];
/// Time after which taut gaps have lost their pressure, s.
const FALLING_S: f64 = 3600.0;
/// Share of their volume from which gaps that are blown up again count as full.
const FULL_SHARE: f64 = 0.995;
/// Share of its volume that a gap must have lost before it flaps with all its area.
const FLAPPING_LOSS_SHARE: f64 = 0.1;
/// Temperature difference and mean by which air goes to and fro through a tear, K (estimate).
const TEAR_DIFFERENCE_K: f64 = 10.0;
const TEAR_MEAN_K: f64 = 273.15;

/// Gaps that are not as the house states them.
#[derive(Clone, Debug)]
pub(crate) struct Moving {
    network: FillingNetwork,
    air: GapAir,
    tears: Vec<Tear>,
    blowers_run: bool,
    /// Time since blowers or tears changed.
    since_s: f64,
    /// With which end of the estimates they began to move.
    severity: Severity,
}

/// Follows the gaps of one house through its year.
#[derive(Debug)]
pub(crate) struct GapTrack<'a> {
    inflation: &'a Inflation,
    year: &'a Year,
    /// Outward normal of every plane of the cover: east, north.
    normals: Vec<[f64; 2]>,
    wind_at_cover_share: f64,
    severity: Severity,
    moving: Option<Moving>,
    course: Course,
}

impl<'a> GapTrack<'a> {
    /// The gaps of a house, if it says how they are fed.
    pub(crate) fn new(house: &'a House, year: &'a Year) -> Option<Self> {
        Some(Self {
            inflation: house.inflation.as_ref()?,
            year,
            normals: normals(house),
            wind_at_cover_share: house.wind_at_cover_share,
            severity: Severity::Likely,
            moving: None,
            course: Course::default(),
        })
    }

    /// The end of the estimates that counts: of what moves, the one it began with.
    fn severity(&self) -> Severity {
        let moving = self.moving.as_ref();
        moving.map_or(self.severity, |moving| moving.severity)
    }

    /// True if the gaps are not as the house states them.
    pub(crate) fn is_moving(&self) -> bool {
        self.moving.is_some()
    }

    /// Has the gaps as the house states them.
    pub(crate) fn rest(&mut self) {
        self.moving = None;
        self.course.leave();
    }

    /// Sets the end of the estimates; what moves already keeps those it began with.
    pub(crate) fn set_severity(&mut self, severity: Severity) {
        self.severity = severity;
    }

    /// Lets the gaps begin to move where blowers stand or films are torn, or go on otherwise than
    /// before.
    pub(crate) fn follow(&mut self, works: &Works, hour: usize) -> Result<(), EngineError> {
        let tears: Vec<Tear> = works.tears().collect();
        let blowers_run = works.blowers_run();
        let air = match &self.moving {
            Some(moving) if moving.blowers_run == blowers_run && moving.tears == tears => {
                return Ok(());
            }
            Some(moving) => {
                self.course.leave();
                moving.air.clone()
            }
            None if blowers_run && tears.is_empty() => return Ok(()),
            None => {
                self.course.begin(Beginning {
                    hour,
                    blowers_run,
                    tears: tears.clone(),
                    severity: self.severity(),
                });
                self.filling(true, &[])
                    .and_then(|full| full.settled(&self.around(hour)))
                    .map_err(|source| EngineError::Gaps { hour, source })?
            }
        };
        let network = self
            .filling(blowers_run, &tears)
            .map_err(|source| EngineError::Gaps { hour, source })?;
        self.moving = Some(Moving {
            network,
            air,
            tears,
            blowers_run,
            since_s: 0.0,
            severity: self.severity(),
        });
        Ok(())
    }

    /// Moves the gaps to the end of a step and says how they are then; `None` once they are as the
    /// house states them.
    pub(crate) fn advance(
        &mut self,
        hour: usize,
        step_s: f64,
    ) -> Result<Option<GapsNow>, EngineError> {
        let Some(moving) = &mut self.moving else {
            return Ok(None);
        };
        if let Some((air, now)) = self.course.next(hour, step_s) {
            moving.air.clone_from(air);
            moving.since_s += step_s;
            return Ok(Some(now.clone()));
        }
        self.compute(hour, step_s)
    }

    fn compute(&mut self, hour: usize, step_s: f64) -> Result<Option<GapsNow>, EngineError> {
        let around = self.around(hour);
        let Some(moving) = &mut self.moving else {
            return Ok(None);
        };
        // By the time alone, whether the steps before were computed or gone through again.
        let is_slack = moving.since_s > FALLING_S - 1.0;
        let longest_s = LONGEST_STEP_S[usize::from(is_slack)];
        moving.network.set_longest_step_s(longest_s);
        moving.since_s += step_s;
        let state = moving
            .network
            .advance(&mut moving.air, &around, step_s)
            .map_err(|source| EngineError::Gaps { hour, source })?;
        if moving.is_whole() {
            self.rest();
            return Ok(None);
        }
        let now = self.now(&state, &around, hour);
        if let (Some(moving), Some(now)) = (&self.moving, &now) {
            self.course.keep(hour, step_s, &moving.air, now);
        }
        Ok(now)
    }

    fn now(&self, state: &NetworkState, around: &Surroundings, hour: usize) -> Option<GapsNow> {
        let moving = self.moving.as_ref()?;
        let network = &self.inflation.network;
        let through = Through::of(self.inflation, moving, state, self.tear_exchange(hour));
        let mut sections: Vec<SectionGaps> = Vec::new();
        for (gap, &section) in self.inflation.of_section.iter().enumerate() {
            let same = |found: &SectionGaps| found.section == section;
            let at = sections.iter().position(same).unwrap_or_else(|| {
                sections.push(self.empty(section));
                sections.len() - 1
            });
            let found = &mut sections[at];
            let share = network.sections[gap].area_m2 / self.section_m2(section);
            found.touching_share += share * self.touching_share(moving, around, gap);
            found.flapping_w_m2k += share * self.flapping_w_m2k(moving, gap, hour);
            let comes = &through.gaps[gap];
            let from_house_m3_s = found.flow_m3_s * found.inside_share + comes.from_house_m3_s;
            found.flow_m3_s += comes.from_house_m3_s + comes.from_outdoors_m3_s;
            found.inside_share = share_of(from_house_m3_s, found.flow_m3_s);
        }
        Some(GapsNow {
            sections,
            into_house_m3_s: through.into_house_m3_s,
        })
    }

    fn empty(&self, section: usize) -> SectionGaps {
        SectionGaps {
            section,
            touching_share: 0.0,
            touching_w_m2k: self.severity().of(self.inflation.touching_w_m2k),
            flapping_w_m2k: 0.0,
            flow_m3_s: 0.0,
            inside_share: 0.0,
        }
    }

    /// Area of all gaps of a section of the house.
    fn section_m2(&self, section: usize) -> f64 {
        let gaps = self
            .inflation
            .of_section
            .iter()
            .zip(&self.inflation.network.sections);
        gaps.filter(|(of, _)| **of == section)
            .map(|(_, gap)| gap.area_m2)
            .sum()
    }

    fn touching_share(&self, moving: &Moving, around: &Surroundings, gap: usize) -> f64 {
        let below_m = self.severity().of(self.inflation.touching_below_m);
        let share = moving
            .network
            .touching_share(&moving.air, around, gap, below_m);
        share.unwrap_or(0.0)
    }

    /// Grows from nothing where the wind just lifts the film's weight to all of it at twice that, and
    /// with the air that is lost.
    fn flapping_w_m2k(&self, moving: &Moving, gap: usize, hour: usize) -> f64 {
        let weight_pa = self.inflation.films[gap].film_weight_pa.max(1.0);
        let wind_pa = self.wind_pa(hour);
        let windy = (wind_pa / weight_pa - 1.0).clamp(0.0, 1.0);
        let lost = 1.0 - moving.air.volume_m3[gap] / moving.network.taut_m3()[gap];
        let slack = (lost / FLAPPING_LOSS_SHARE).clamp(0.0, 1.0);
        windy * slack * self.severity().of(self.inflation.flapping_w_m2k)
    }

    /// Air that goes to and fro through an opening of 1 m2, as through a low door.
    fn tear_exchange(&self, hour: usize) -> impl Fn(f64) -> f64 {
        let wind_m_s = self.year.wind_m_s[hour];
        move |area_m2: f64| {
            let edge_m = area_m2.sqrt();
            let (difference_k, mean_k) = (TEAR_DIFFERENCE_K, TEAR_MEAN_K);
            air_exchange::door_flow(
                edge_m,
                edge_m,
                DOOR_DISCHARGE,
                difference_k,
                mean_k,
                wind_m_s,
            )
        }
    }
}

impl Moving {
    /// True if the gaps are full again, nothing is torn and the blowers run.
    fn is_whole(&self) -> bool {
        let full = self.air.volume_m3.iter().zip(self.network.taut_m3());
        self.blowers_run
            && self.tears.is_empty()
            && full
                .into_iter()
                .all(|(now, taut)| *now >= FULL_SHARE * taut)
    }
}

fn share_of(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { part / whole } else { 0.0 }
}

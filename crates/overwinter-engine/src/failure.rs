//! What has stopped working or stands open: heaters, everything that the power drives, doors, screens.
//!
//! Absent: when it happens ([`crate::events`]).

use overwinter_physics::number::Real;

use crate::house::House;
use crate::model::{Model, SpaceModel};
use crate::plant::Plant;

/// Something that stops working.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Failure {
    /// The heater with this index.
    Heater(usize),
    /// The grid: circulation fans, blowers, exhaust fans, the heaters that need electricity, and screens
    /// with a motor, which stay where they are. Vents that open by themselves go on.
    Power,
    /// The inflation blowers: the gaps empty as their leaks, the films' weight and the wind let them.
    Blower,
    /// Gaps that have lost air as stated, in a house that does not say how they are fed.
    Slack(EmptyGaps),
    /// A film that is torn.
    Tear(Tear),
    /// A door that stands open.
    Door(Door),
    /// All movable screens, stuck open or closed.
    Screens {
        /// True if they are stuck closed.
        closed: bool,
    },
}

/// Inflated gaps that have lost air: the distance of the layers where they do not touch is left as it
/// was, since it hardly matters above a few centimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EmptyGaps {
    /// Share of the cover in which the layers touch, 0 to 1. Each layer keeps one temperature, so that
    /// half of the cover touching costs more than half of what all of it does.
    pub touching_share: f64,
    /// Conductance where they touch: 12 to 50 W/m2 K, likely 25 (estimate; never measured).
    pub touching_w_m2k: f64,
}

/// A door.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Door {
    /// Width of the opening.
    pub width_m: f64,
    /// Its height.
    pub height_m: f64,
    /// Share of the air that comes in that mixes with all of the house; the rest leaves again at the
    /// door (0.5 to 1 in a long house, estimate).
    pub mixing_share: f64,
}

/// A tear in one gap.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tear {
    /// Which film is torn.
    pub film: TornFilm,
    /// Area of the opening.
    pub area_m2: f64,
    /// Gap, from 0, of [`crate::inflated::Inflation`]; not read for a cover without inflated gaps.
    pub gap: usize,
}

impl Tear {
    /// The opening as a square door whose air mixes with all of the house.
    fn as_door(self) -> Door {
        let edge_m = self.area_m2.max(0.0).sqrt();
        Door {
            width_m: edge_m,
            height_m: edge_m,
            mixing_share: 1.0,
        }
    }
}

/// Which film of a gap is torn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TornFilm {
    /// The one outdoors meets: the gap opens to the weather.
    Outer,
    /// The one the house meets: the gap opens to the house.
    Inner,
    /// Both: the house opens to the weather.
    Both,
}

/// What a generator carries.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Carried {
    /// Heaters, by index.
    pub heaters: Vec<usize>,
    /// Inflation blowers.
    pub blowers: bool,
    /// Circulation and exhaust fans and the motors of screens.
    pub fans: bool,
}

/// What works and what does not.
#[derive(Clone, Debug, PartialEq)]
pub struct Works {
    failed: Vec<Failure>,
    carried: Carried,
}

impl Works {
    /// Everything works.
    pub fn all() -> Self {
        Self::but(&[])
    }

    /// Everything but these.
    pub fn but(failed: &[Failure]) -> Self {
        Self::with(failed.to_vec(), Carried::default())
    }

    /// Everything but these; a generator carries some of what the grid no longer does.
    pub fn with(failed: Vec<Failure>, carried: Carried) -> Self {
        Self { failed, carried }
    }

    /// True if the grid is there.
    pub fn has_grid(&self) -> bool {
        !self.failed.contains(&Failure::Power)
    }

    /// True if circulation and exhaust fans can run.
    pub fn fans_run(&self) -> bool {
        self.has_grid() || self.carried.fans
    }

    /// True if the inflation blowers run.
    pub fn blowers_run(&self) -> bool {
        let powered = self.has_grid() || self.carried.blowers;
        powered && !self.failed.contains(&Failure::Blower)
    }

    /// True if a heater of a house can run.
    pub fn can_heat(&self, house: &House, heater: usize) -> bool {
        let powered = self.has_grid() || self.carried.heaters.contains(&heater);
        let has_what_it_needs = powered || !house.heaters[heater].needs_electricity;
        has_what_it_needs && !self.failed.contains(&Failure::Heater(heater))
    }

    /// The openings through which house and outdoors exchange air: doors, and tears of both films.
    pub fn doors(&self) -> impl Iterator<Item = Door> {
        self.failed.iter().filter_map(|failure| match failure {
            Failure::Door(door) => Some(*door),
            Failure::Tear(tear) if tear.film == TornFilm::Both => Some(tear.as_door()),
            _ => None,
        })
    }

    /// The films that are torn.
    pub fn tears(&self) -> impl Iterator<Item = Tear> {
        self.failed.iter().filter_map(|failure| match failure {
            Failure::Tear(tear) => Some(*tear),
            _ => None,
        })
    }

    /// Where the screens are stuck: closed if true; the last one counts.
    pub fn stuck_screens(&self) -> Option<bool> {
        self.failed.iter().rev().find_map(|failure| match failure {
            Failure::Screens { closed } => Some(*closed),
            _ => None,
        })
    }

    /// The plant of houses, one in each lane, with what does not work left out.
    pub(crate) fn plant<R: Real>(&self, houses: &[&House]) -> Plant<R> {
        let mut plant: Plant<R> = Plant::new(houses);
        for (index, heater) in plant.heaters.iter_mut().enumerate() {
            for (lane, house) in houses.iter().enumerate() {
                if !self.can_heat(house, index) {
                    heater.output_w.set_lane(lane, 0.0);
                    heater.electric_w.set_lane(lane, 0.0);
                }
            }
        }
        if !self.fans_run() {
            plant.stop_fans();
        }
        plant.doors.extend(self.doors());
        plant
    }

    /// Gaps that have lost air as stated; the last one counts.
    pub fn empty_gaps(&self) -> Option<EmptyGaps> {
        self.failed.iter().rev().find_map(|failure| match failure {
            Failure::Slack(gaps) => Some(*gaps),
            _ => None,
        })
    }

    /// Stops in a freshly compiled model what does not work.
    pub(crate) fn stop<R: Real>(&self, model: &mut Model<R>) {
        if !self.fans_run() {
            model.forced_cubed = R::zero();
        }
        let gaps = self.empty_gaps();
        if self.blowers_run() && gaps.is_none() {
            return;
        }
        let spaces = model
            .sections
            .iter_mut()
            .flat_map(|section| &mut section.spaces);
        for space in spaces {
            let SpaceModel::Inflated {
                flow_m3_s,
                touching_share,
                touching_w_m2k,
                ..
            } = space
            else {
                continue;
            };
            *flow_m3_s = R::zero();
            if let Some(gaps) = gaps {
                *touching_share = R::splat(gaps.touching_share.clamp(0.0, 1.0));
                *touching_w_m2k = R::splat(gaps.touching_w_m2k.max(0.0));
            }
        }
    }
}

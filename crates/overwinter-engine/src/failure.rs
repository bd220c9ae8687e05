//! What has stopped working or stands open: heaters, everything that the power drives, doors, screens.
//!
//! Absent: how fast a gap empties once its blower stands still (`overwinter_physics::inflation`), tears,
//! generators.

use overwinter_physics::number::Real;

use crate::house::House;
use crate::model::{Model, SpaceModel};
use crate::plant::Plant;

/// Something that stops working.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Failure {
    /// The heater with this index.
    Heater(usize),
    /// The grid: circulation fans, blowers, exhaust fans, and the heaters that need electricity. Vents
    /// that open by themselves go on, and so do screens: add [`Failure::Screens`] for those that have a
    /// motor.
    Power,
    /// The inflation blowers; the grid takes them too, but says nothing of the gaps.
    Blower(EmptyGaps),
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

/// What works and what does not.
#[derive(Clone, Debug, PartialEq)]
pub struct Works {
    failed: Vec<Failure>,
}

impl Works {
    /// Everything works.
    pub fn all() -> Self {
        Self { failed: Vec::new() }
    }

    /// Everything but these.
    pub fn but(failed: &[Failure]) -> Self {
        Self {
            failed: failed.to_vec(),
        }
    }

    /// True if the grid is there.
    pub fn has_power(&self) -> bool {
        !self.failed.contains(&Failure::Power)
    }

    /// True if a heater of a house can run.
    pub fn can_heat(&self, house: &House, heater: usize) -> bool {
        let has_what_it_needs = self.has_power() || !house.heaters[heater].needs_electricity;
        has_what_it_needs && !self.failed.contains(&Failure::Heater(heater))
    }

    /// The doors that stand open.
    pub fn doors(&self) -> impl Iterator<Item = Door> {
        self.failed.iter().filter_map(|failure| match failure {
            Failure::Door(door) => Some(*door),
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
        if !self.has_power() {
            plant.stop_fans();
        }
        plant.doors.extend(self.doors());
        plant
    }

    /// The gaps of a house whose blowers have failed; the last one counts.
    pub fn empty_gaps(&self) -> Option<EmptyGaps> {
        self.failed.iter().rev().find_map(|failure| match failure {
            Failure::Blower(gaps) => Some(*gaps),
            _ => None,
        })
    }

    /// Stops in a freshly compiled model what does not work.
    pub(crate) fn stop<R: Real>(&self, model: &mut Model<R>) {
        if !self.has_power() {
            model.forced_w_m2k = 0.0;
        }
        let gaps = self.empty_gaps();
        if self.has_power() && gaps.is_none() {
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

//! What has stopped working or stands open: heaters, everything that the power drives, doors, screens.
//!
//! Absent so far: what a blower that stands still does to the gap, tears, generators.

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
    /// that open by themselves go on.
    Power,
    /// A door that stands open.
    Door(Door),
    /// All movable screens, stuck open or closed.
    Screens {
        /// True if they are stuck closed.
        closed: bool,
    },
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

    /// Stops in a freshly compiled model what does not work.
    pub(crate) fn stop<R: Real>(&self, model: &mut Model<R>) {
        if self.has_power() {
            return;
        }
        model.forced_w_m2k = 0.0;
        for section in &mut model.sections {
            for space in &mut section.spaces {
                if let SpaceModel::Inflated { flow_m3_s, .. } = space {
                    *flow_m3_s = R::zero();
                }
            }
        }
    }
}

//! What fails and what is asked of it: `[generator]`, `[[event]]`, `[outages]`.

mod alarm;
mod events;
mod generator;
mod loads;
mod moments;
mod outages;

use overwinter_engine::events::EventPlan;
use overwinter_engine::failure::Door;
use overwinter_engine::house::House;
use overwinter_units::range;

use super::context::Context;
use crate::case::{FrostLimit, OutagePlan};
use crate::document::Part;

/// Tables that are not read where the house cannot be.
pub(crate) const FAILURE_KEYS: [&str; 3] = ["generator", "event", "outages"];

/// A house with what of it may fail.
#[derive(Clone, Copy)]
pub(crate) struct Fitted<'a> {
    /// The house.
    pub(crate) house: &'a House,
    /// Draw of each inflation blower.
    pub(crate) blower_draws_w: &'a [f64],
    /// Temperatures on which frost risk is judged.
    pub(crate) limits: &'a [FrostLimit],
}

impl Fitted<'_> {
    fn is_inflated(&self) -> bool {
        self.house.inflation.is_some()
    }

    fn has_fans(&self) -> bool {
        let fans = &self.house.fans;
        let vents = self.house.vents.as_ref();
        fans.circulation_w > 0.0 || vents.is_some_and(|vents| vents.fan_electric_w > 0.0)
    }

    fn needs_power(&self) -> bool {
        let heaters = &self.house.heaters;
        let sections = &self.house.sections;
        let mut screens = sections
            .iter()
            .filter_map(|section| section.screen.as_ref());
        self.is_inflated()
            || self.has_fans()
            || heaters.iter().any(|heater| heater.needs_electricity)
            || screens.any(|screen| screen.needs_electricity)
    }
}

/// Reads what fails in the year itself, and what is tried on every night.
pub(crate) fn read(
    context: &Context<'_>,
    root: &Part<'_>,
    fitted: Fitted<'_>,
) -> (EventPlan, Option<OutagePlan>) {
    let supply = generator::read(root, fitted);
    let plan = EventPlan {
        events: events::read(context, root, fitted),
        generator: supply.generator.clone(),
    };
    let outages = outages::read(context, root, fitted, supply);
    (plan, outages)
}

/// Reads the size of a door that stands open.
fn door(part: &Part<'_>) -> Door {
    let source = "common practice, no source: a single door, 36 x 80 in";
    Door {
        width_m: part.quantity_or("width", &range::DOOR_SIZE, "36 in", source),
        height_m: part.quantity_or("height", &range::DOOR_SIZE, "80 in", source),
        mixing_share: part.quantity_or(
            "mixing",
            &range::SHARE,
            "75 %",
            "estimate: of the air that comes in 50 to 100 % mixes with all of the house",
        ),
    }
}

fn warn(part: &Part<'_>, warning: String) {
    part.findings().borrow_mut().warning(warning);
}

//! How inflated gaps are fed: `[inflation]`.

mod blowers;
mod damper;
mod estimates;
mod films;
mod jumpers;
mod network;
mod parts;
mod sections;

use overwinter_engine::house::{Section, Space};
use overwinter_engine::inflated;
use overwinter_physics::inflation::network::{Beyond, Surroundings};
use overwinter_units::range;

use super::context::Context;
use super::outline::Outline;
use crate::document::{Form, Part, Value};

pub(crate) use damper::Dampers;

/// How inflated gaps are fed.
pub(crate) struct Inflation<'a> {
    /// The table; none for houses without an inflated cover that do not have it.
    part: Option<Part<'a>>,
    gap_m: f64,
    /// Flow of the whole house, or per area where only that is known.
    flow: Flow,
    inside_air: bool,
}

#[derive(Clone, Copy, Debug)]
enum Flow {
    Whole(f64),
    PerArea(f64),
}

/// What the inflated gaps bring to the house.
#[derive(Debug, Default)]
pub(crate) struct Fed {
    /// Draw of all blowers.
    pub(crate) blower_w: f64,
    /// Draw of each, for a generator.
    pub(crate) draws_w: Vec<f64>,
    /// The gaps with the ways between them.
    pub(crate) inflation: Option<inflated::Inflation>,
}

/// Keys that are not read for a house without an inflated cover.
const NETWORK_KEYS: [&str; 20] = [
    "pressure",
    "film_thickness",
    "shut_off_pressure",
    "free_flow",
    "bend",
    "inlet",
    "damper",
    "blower",
    "volts",
    "amps",
    "power_factor",
    "flap",
    "drain_holes",
    "exhaust_holes",
    "touching_below",
    "touching_conductance",
    "flapping_conductance",
    "leak_times",
    "section",
    "jumper",
];

impl<'a> Inflation<'a> {
    /// For houses without an inflated cover.
    pub(crate) fn none() -> Self {
        Self {
            part: None,
            gap_m: 0.1,
            flow: Flow::PerArea(0.0),
            inside_air: false,
        }
    }

    /// Reads of `[inflation]` what a season needs.
    pub(crate) fn read(root: &Part<'a>) -> Self {
        let part = root.part("inflation");
        let gap_m = part.quantity_or(
            "gap",
            &range::GAP,
            "4.7 in",
            "estimate: mean gap 0.12 m; practice 2 to 12 in, which changes the loss by 3 % at most",
        );
        let inside_air = part.word_or(
            "air",
            &[("outside", false), ("inside", true)],
            false,
            "extension advice: outside air is drier",
        );
        if part.has("flow") && part.has("flow_per_area") {
            part.problem(
                "flow",
                "either `flow` of the whole house or `flow_per_area`, not both",
            );
        }
        let flow = if part.has("flow") {
            Flow::Whole(part.quantity("flow", &range::GAP_FLOW).unwrap_or(0.0))
        } else {
            Flow::PerArea(part.quantity_or(
                "flow_per_area",
                &range::GAP_FLOW_PER_AREA,
                "0.04 L/sm2",
                "estimate: leaks of 0.02 to 0.1 L/s per m2 of cover at 60 Pa",
            ))
        };
        Self {
            part: Some(part),
            gap_m,
            flow,
            inside_air,
        }
    }

    /// An inflated space; what depends on the whole house follows in [`Self::complete`].
    pub(crate) fn space(&self) -> Space {
        Space::Inflated {
            gap_m: self.gap_m,
            flow_m3_s_m2: match self.flow {
                Flow::PerArea(flow) => flow,
                Flow::Whole(_) => 0.0,
            },
            inside_air: self.inside_air,
        }
    }

    /// Shares a flow of the whole house over its inflated area, and reads the gaps with what joins
    /// and feeds them; `roof_planes` is the number of planes of the roof's own cover.
    pub(crate) fn complete(
        &self,
        context: &Context<'_>,
        sections: &mut [Section],
        (outline, roof_planes): (&Outline, usize),
    ) -> Fed {
        let Some(part) = &self.part else {
            return Fed::default();
        };
        let area_m2: f64 = sections
            .iter()
            .filter(|section| parts::inflated_spaces(section) > 0)
            .map(Section::area_m2)
            .sum();
        if area_m2 <= 0.0 {
            return not_inflated(part);
        }
        let leak_m3_s_m2 = match self.flow {
            Flow::PerArea(flow) => flow,
            Flow::Whole(flow_m3_s) => flow_m3_s / area_m2,
        };
        for space in sections.iter_mut().flat_map(|section| &mut section.spaces) {
            if let Space::Inflated { flow_m3_s_m2, .. } = space {
                *flow_m3_s_m2 = leak_m3_s_m2;
            }
        }
        let intake = if self.inside_air {
            Beyond::House
        } else {
            // Beyond all planes is the face that no wind reaches.
            Beyond::Facet(parts::first_face(sections, sections.len()))
        };
        let usual = sections::Usual {
            gap_m: self.gap_m,
            leak_m3_s_m2,
        };
        let gaps = sections::read(part, sections, roof_planes, usual);
        let fed = network::read(context, part, outline, (&gaps, area_m2), intake);
        if gaps.iter().any(|gap| gap.has_own_gap) {
            spread_own_gaps(sections, &gaps);
        }
        if let Some(inflation) = &fed.inflation {
            blow_through_holes(sections, inflation, area_m2);
        }
        part.finish();
        fed
    }
}

/// With exhaust holes the gaps take more air than their leaks at the pressure of a test: what the blowers
/// give in a calm, shared out by area.
fn blow_through_holes(sections: &mut [Section], inflation: &inflated::Inflation, area_m2: f64) {
    let network = &inflation.network;
    let mut ways = network.sections.iter().flat_map(|gap| &gap.openings);
    if ways.all(|way| way.opening.is_crack()) {
        return;
    }
    let planes: usize = sections.iter().map(|section| section.facets.len()).sum();
    let calm = Surroundings {
        facet_pa: vec![0.0; planes + 1],
        house_pa: 0.0,
    };
    // A network without pressures was refused before.
    let Ok(state) = network.solve(&calm) else {
        return;
    };
    let blown_m3_s: f64 = state.feed_flow_m3_s.iter().sum();
    for space in sections.iter_mut().flat_map(|section| &mut section.spaces) {
        if let Space::Inflated { flow_m3_s_m2, .. } = space {
            *flow_m3_s_m2 = blown_m3_s / area_m2;
        }
    }
}

/// A house has `[inflation]`, but nothing to inflate.
fn not_inflated(part: &Part<'_>) -> Fed {
    let warning = "[inflation] is given, but no cover of this house is inflated";
    part.findings().borrow_mut().warning(warning.to_owned());
    part.may_be("blower", || Form::Quantity(range::ELECTRIC_POWER));
    let is_table = |value: &Value| matches!(value, Value::List(_) | Value::Table(_));
    let blower_w = match part.node("blower") {
        Some(node) if !is_table(&node.value) => part.quantity("blower", &range::ELECTRIC_POWER),
        _ => None,
    };
    part.know(&NETWORK_KEYS);
    part.finish();
    Fed {
        blower_w: blower_w.unwrap_or(0.0),
        ..Fed::default()
    }
}

/// Gives each section of the house the mean of the gaps that it is made of.
fn spread_own_gaps(sections: &mut [Section], gaps: &[sections::Gap]) {
    for (index, section) in sections.iter_mut().enumerate() {
        let own = || gaps.iter().filter(|gap| gap.section == index);
        let area_m2: f64 = own().map(sections::Gap::area_m2).sum();
        let weighted: f64 = own().map(|gap| gap.area_m2() * gap.gap_m).sum();
        for space in &mut section.spaces {
            if let Space::Inflated { gap_m, .. } = space {
                *gap_m = weighted / area_m2;
            }
        }
    }
}

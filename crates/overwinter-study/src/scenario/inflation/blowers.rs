//! Blowers with their inlets: the keys of one in `[inflation]`, or `[[inflation.blower]]`.

use std::f64::consts::PI;

use overwinter_physics::inflation::network::Outlets;
use overwinter_physics::inflation::{Blower, ElectricDraw};
use overwinter_units::range;

use super::jumpers;
use super::sections::Gap;
use crate::document::{Form, Part, Value};

/// Blower power per inflated area, W/m2.
const BLOWER_W_M2: f64 = 0.25;
const BLOWER_SOURCE: &str = "Castilla, Greenhouse Technology and Management: 250 W for 1000 m2";
/// Most blowers of a house.
const MOST_BLOWERS: usize = 12;
/// 100 cfm.
const USUAL_FLOW_M3_S: f64 = 0.047_194_745;
const FLOW_SOURCE: &str = "from memory: small blowers move 50 to 150 cfm freely; twice the leaks at \
    the pressure asked for where that is more";

/// How the damper is set that the file leaves open.
pub(super) const DAMPER_SOURCE: &str = "the damper that gives just the pressure asked for in a calm \
    where the blower blows in; none if even the open inlet does not reach it";

/// Keys that stand for the only blower.
const OF_THE_ONLY_ONE: [&str; 9] = [
    "shut_off_pressure",
    "free_flow",
    "bend",
    "inlet",
    "damper",
    "volts",
    "amps",
    "power_factor",
    "flap",
];

/// A blower in its place.
#[derive(Clone, Debug)]
pub(super) struct Placed {
    /// The blower, without its damper if [`Self::sets_damper`].
    pub(super) blower: Blower,
    /// What it blows into; `None` if that is not there.
    pub(super) outlets: Option<Outlets>,
    /// True if its damper is to be set to the pressure asked for.
    pub(super) sets_damper: bool,
    /// Key path of its damper.
    pub(super) damper_key: String,
}

/// What the usual blower follows from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Demand {
    /// Inflated area.
    pub(super) area_m2: f64,
    /// What leaks at the pressure asked for.
    pub(super) leak_m3_s: f64,
}

/// Reads the blowers.
pub(super) fn read(part: &Part<'_>, gaps: &[Gap], demand: Demand) -> Vec<Placed> {
    part.may_be("blower", || Form::Quantity(range::ELECTRIC_POWER));
    let is_table = |value: &Value| matches!(value, Value::List(_) | Value::Table(_));
    if !part
        .node("blower")
        .is_some_and(|node| is_table(&node.value))
    {
        return vec![only_one(part, gaps, demand)];
    }
    let listed = part.parts("blower");
    if listed.is_empty() || listed.len() > MOST_BLOWERS {
        part.problem("blower", &format!("1 to {MOST_BLOWERS} blowers are wanted"));
    }
    for key in OF_THE_ONLY_ONE {
        if part.has(key) {
            let message =
                "with [[inflation.blower]] each blower has keys of its own: write it there";
            part.problem(key, message);
        }
    }
    let each = demand.shared_by(listed.len());
    let one = |own: &Part<'_>| {
        let mut placed = placed(own, "power", each);
        placed.outlets = outlets(own, gaps);
        own.finish();
        placed
    };
    listed.iter().map(one).collect()
}

impl Demand {
    fn shared_by(self, blowers: usize) -> Self {
        let share = 1.0 / blowers.max(1) as f64;
        Self {
            area_m2: self.area_m2 * share,
            leak_m3_s: self.leak_m3_s * share,
        }
    }
}

/// The only blower, which blows into the first gap.
fn only_one(part: &Part<'_>, gaps: &[Gap], demand: Demand) -> Placed {
    let mut placed = placed(part, "blower", demand);
    placed.outlets = (!gaps.is_empty()).then_some(Outlets::Section(0));
    placed
}

fn placed(own: &Part<'_>, draw_key: &str, demand: Demand) -> Placed {
    let shut_off_pa = own.quantity_or(
        "shut_off_pressure",
        &range::BLOWER_SHUT_OFF,
        "0.75 inH2O",
        "from memory: small blowers 0.5 to 1 inH2O",
    );
    let free_flow_m3_s = own.value_or(
        "free_flow",
        &range::BLOWER_FLOW,
        USUAL_FLOW_M3_S.max(2.0 * demand.leak_m3_s),
        FLOW_SOURCE,
    );
    let bend = own.quantity_or(
        "bend",
        &range::BLOWER_BEND,
        "1.75",
        "estimate: 1.5 to 2 for small blowers, 1 is a straight line",
    );
    let inlet_m = own.quantity_or(
        "inlet",
        &range::INLET_DIAMETER,
        "3 in",
        "estimate: inlets of small blowers, 2 to 4 in",
    );
    let damper_m = own.quantity("damper", &range::INLET_DIAMETER);
    own.note_usual("damper", DAMPER_SOURCE);
    let back_draft_flap = own.word_or(
        "flap",
        &[("none", false), ("shuts by itself", true)],
        false,
        "estimate: a plain blower lets air back when it stands",
    );
    Placed {
        blower: Blower {
            shut_off_pa,
            free_flow_m3_s,
            bend,
            inlet_area_m2: circle_m2(inlet_m),
            damper_area_m2: damper_m.map(circle_m2),
            back_draft_flap,
            draw: draw(own, draw_key, demand.area_m2),
        },
        outlets: None,
        sets_damper: !own.has("damper"),
        damper_key: own.path_of("damper"),
    }
}

/// Area of a round opening, m2.
pub(super) fn circle_m2(diameter_m: f64) -> f64 {
    PI / 4.0 * diameter_m * diameter_m
}

/// Watts, or what the plate says.
fn draw(own: &Part<'_>, key: &str, area_m2: f64) -> ElectricDraw {
    let plate = ["volts", "amps", "power_factor"].map(|key| own.has(key));
    if !plate.contains(&true) {
        let usual_w = BLOWER_W_M2 * area_m2;
        return ElectricDraw::Watts(own.value_or(
            key,
            &range::ELECTRIC_POWER,
            usual_w,
            BLOWER_SOURCE,
        ));
    }
    if own.has(key) {
        let message = format!("either `{key}` in watts, or `volts` and `amps` from the plate");
        own.problem(key, &message);
    }
    let volts = own.required("volts", &range::VOLTS);
    let amps = own.required("amps", &range::AMPS);
    let power_factor = own.quantity_or(
        "power_factor",
        &range::POWER_FACTOR,
        "0.6",
        "estimate: shaded-pole motors, 0.5 to 0.7",
    );
    volts
        .zip(amps)
        .map_or(ElectricDraw::Watts(0.0), |(volts, amps)| {
            ElectricDraw::VoltAmps {
                volts,
                amps,
                power_factor,
            }
        })
}

/// The section named by `into`, else the hoses, else the first section.
fn outlets(own: &Part<'_>, gaps: &[Gap]) -> Option<Outlets> {
    let hoses = own.parts("hose");
    if hoses.is_empty() {
        if own.has("into") {
            return Some(Outlets::Section(jumpers::end(own, "into", gaps)?));
        }
        let first = gaps.first()?;
        own.note_derived(
            "into",
            first.name.clone(),
            "the first section",
            "the first section",
        );
        return Some(Outlets::Section(0));
    }
    if own.has("into") {
        let message = "either `into` one section, or [[inflation.blower.hose]] to several";
        own.problem("into", message);
    }
    let mut ends = Vec::new();
    for hose in &hoses {
        let to = jumpers::end(hose, "to", gaps);
        let jumper = jumpers::hose(hose);
        hose.finish();
        ends.push(to.map(|to| (to, jumper)));
    }
    let ends: Option<Vec<_>> = ends.into_iter().collect();
    ends.map(Outlets::Hoses)
}

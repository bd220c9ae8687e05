//! The network of gaps, hoses and blowers that `[inflation]` describes.

use overwinter_engine::inflated::{FLAPPING_W_M2K, Inflation, LEAK_TIMES};
use overwinter_physics::error::PhysicsError;
use overwinter_physics::inflation::COOL_AIR_DENSITY_KG_M3;
use overwinter_physics::inflation::flow::CRACK_EXPONENT;
use overwinter_physics::inflation::gap::{Ranged, TOUCHING_BELOW_M, TOUCHING_W_M2K};
use overwinter_physics::inflation::network::{Beyond, Feed, Link, Network, Section};
use overwinter_units::{Kind, System, print, range};

use super::blowers::{self, DAMPER_SOURCE, Demand, Placed};
use super::films::{LEAK_PRESSURE_PA, films, leak_m3_s, openings};
use super::sections::Gap;
use super::{Fed, estimates, jumpers};
use crate::document::Part;
use crate::scenario::context::Context;
use crate::scenario::outline::Outline;

/// A section that stands at less than this share of the pressure asked for is warned about.
const WELL_UNDER: f64 = 0.9;

/// One that stands at more than this many times the pressure asked for, too.
const WELL_OVER: f64 = 1.5;

/// What `[inflation]` says beside its gaps.
struct Words {
    asked_pa: f64,
    thickness_m: f64,
    /// `None` if one of them cannot be.
    links: Option<Vec<Link>>,
    blowers: Vec<Placed>,
    has_drains: bool,
    /// Touching below, conductance, flapping, leaks.
    estimates: [Ranged; 4],
}

/// Reads pressures, films, jumpers and blowers, and joins them with the gaps.
pub(super) fn read(
    context: &Context<'_>,
    part: &Part<'_>,
    outline: &Outline,
    (gaps, area_m2): (&[Gap], f64),
    intake: Beyond,
) -> Fed {
    let words = Words::read(part, gaps, area_m2);
    let draws_w = words.blowers.iter().map(|one| one.blower.draw.watts());
    let mut fed = Fed {
        blower_w: draws_w.clone().sum(),
        draws_w: draws_w.collect(),
        inflation: None,
    };
    match words.network(context, part, gaps, intake) {
        Ok(network) => {
            fed.inflation = network.map(|network| words.inflation(gaps, network, outline));
        }
        Err(error) => part.problem("", &error.to_string()),
    }
    fed
}

impl Words {
    fn read(part: &Part<'_>, gaps: &[Gap], area_m2: f64) -> Self {
        let asked_pa = part.quantity_or(
            "pressure",
            &range::GAP_PRESSURE,
            "0.22 inH2O",
            "trade practice 0.2 to 0.3 inH2O (50 to 75 Pa), from memory; Castilla, Greenhouse \
             Technology and Management: 40 to 60 Pa",
        );
        let thickness_m = part.quantity_or(
            "film_thickness",
            &range::FILM_THICKNESS,
            "6 mil",
            "common practice, no source: film of 150 um",
        );
        let at_asked = (asked_pa / LEAK_PRESSURE_PA).powf(CRACK_EXPONENT);
        let leak_m3_s = at_asked * gaps.iter().map(leak_m3_s).sum::<f64>();
        let usual = [
            ("touching_below", range::TOUCHING_BELOW, TOUCHING_BELOW_M),
            (
                "touching_conductance",
                range::TOUCHING_CONDUCTANCE,
                TOUCHING_W_M2K,
            ),
            (
                "flapping_conductance",
                range::FLAPPING_CONDUCTANCE,
                FLAPPING_W_M2K,
            ),
            ("leak_times", range::LEAK_TIMES, LEAK_TIMES),
        ];
        Self {
            asked_pa,
            thickness_m,
            links: jumpers::read(part, gaps),
            blowers: blowers::read(part, gaps, Demand { area_m2, leak_m3_s }),
            has_drains: part.flag_or("drain_holes", true, "common practice, no source"),
            estimates: usual.map(|(key, range, usual)| estimates::ranged(part, key, &range, usual)),
        }
    }

    /// The network, its dampers set; `None` if a part of it has been refused.
    fn network(
        &self,
        context: &Context<'_>,
        part: &Part<'_>,
        gaps: &[Gap],
        intake: Beyond,
    ) -> Result<Option<Network>, PhysicsError> {
        let feeds = self.blowers.iter().map(|placed| feed(placed, intake));
        let Some((links, feeds)) = self.links.clone().zip(feeds.collect::<Option<Vec<_>>>()) else {
            return Ok(None);
        };
        let network = Network {
            sections: sections(gaps)?,
            links,
            feeds,
            density_kg_m3: COOL_AIR_DENSITY_KG_M3,
        };
        if gaps.is_empty() || !all_fed(part, gaps, &network) {
            return Ok(None);
        }
        self.set_dampers(context, part, gaps, network).map(Some)
    }

    /// Sets the dampers that the file leaves open, and says where too little pressure comes of it.
    fn set_dampers(
        &self,
        context: &Context<'_>,
        part: &Part<'_>,
        gaps: &[Gap],
        mut network: Network,
    ) -> Result<Network, PhysicsError> {
        let is_unset = |feed: &usize| self.blowers[*feed].sets_damper;
        let unset: Vec<usize> = (0..self.blowers.len()).filter(is_unset).collect();
        let setting = context.dampers().set(&network, &unset, self.asked_pa)?;
        for feed in &unset {
            let damper_m2 = setting.diameter_m.map(blowers::circle_m2);
            network.feeds[*feed].blower.damper_area_m2 = damper_m2;
            note_damper(part, &self.blowers[*feed], setting.diameter_m);
        }
        for (gap, pressure_pa) in gaps.iter().zip(&setting.section_pa) {
            self.warn_far_off(part, gap, *pressure_pa);
        }
        Ok(network)
    }

    fn warn_far_off(&self, part: &Part<'_>, gap: &Gap, pressure_pa: f64) {
        let remedy = if pressure_pa < WELL_UNDER * self.asked_pa {
            "a stronger blower, a wider or a further jumper, or fewer leaks would give more"
        } else if pressure_pa > WELL_OVER * self.asked_pa {
            "a narrower damper, or an exhaust hole where nothing leaks, would give less"
        } else {
            return;
        };
        let [reached, asked] = [pressure_pa, self.asked_pa].map(|pa| both(pa, Kind::Pressure));
        let warning = format!(
            "the section \"{}\" is inflated to {reached} in a calm, {asked} are asked for: {remedy}",
            gap.name
        );
        part.findings().borrow_mut().warning(warning);
    }

    fn inflation(&self, gaps: &[Gap], network: Network, outline: &Outline) -> Inflation {
        let [touching_below_m, touching_w_m2k, flapping_w_m2k, leak_times] = self.estimates;
        let films = |gap| films(gap, self.thickness_m, outline);
        Inflation {
            names: gaps.iter().map(|gap| gap.name.clone()).collect(),
            films: gaps.iter().map(films).collect(),
            network,
            of_section: gaps.iter().map(|gap| gap.section).collect(),
            asked_pa: self.asked_pa,
            touching_below_m,
            touching_w_m2k,
            flapping_w_m2k,
            leak_times,
            has_drains: self.has_drains,
        }
    }
}

fn feed(placed: &Placed, intake: Beyond) -> Option<Feed> {
    Some(Feed {
        blower: placed.blower,
        intake,
        outlets: placed.outlets.clone()?,
        running: true,
    })
}

/// The gaps as sections of the network.
fn sections(gaps: &[Gap]) -> Result<Vec<Section>, PhysicsError> {
    let section = |gap: &Gap| {
        Ok(Section {
            volume_m3: gap.spaces as f64 * gap.gap_m * gap.area_m2(),
            area_m2: gap.area_m2(),
            openings: openings(gap)?,
        })
    };
    gaps.iter().map(section).collect()
}

/// True if every gap has a way to a blower.
fn all_fed(part: &Part<'_>, gaps: &[Gap], network: &Network) -> bool {
    let unfed = network.sections_without_blower();
    let Some(fed) = (0..gaps.len()).find(|gap| !unfed.contains(gap)) else {
        return false;
    };
    for gap in &unfed {
        let (from, to) = (&gaps[fed].name, &gaps[*gap].name);
        let message = format!(
            "no blower reaches the section \"{to}\": add [[inflation.jumper]] with from = \"{from}\" \
             and to = \"{to}\", or a blower of its own"
        );
        part.problem("section", &message);
    }
    unfed.is_empty()
}

fn note_damper(part: &Part<'_>, placed: &Placed, diameter_m: Option<f64>) {
    let key = placed.damper_key.clone();
    let mut findings = part.findings().borrow_mut();
    if findings.are_new(&key, diameter_m.as_slice()) {
        let value = diameter_m.map_or_else(
            || "none: the inlet is open".to_owned(),
            |diameter_m| both(diameter_m, Kind::Length),
        );
        findings.assumed(key, value, DAMPER_SOURCE);
    }
}

/// A quantity in both systems.
fn both(value: f64, kind: Kind) -> String {
    let [si, us] = [System::Si, System::Us].map(|system| print(value, kind, system));
    format!("{si} ({us})")
}

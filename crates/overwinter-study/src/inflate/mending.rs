//! What lifts a gap to the pressure asked for: a wider hose, more hoses, the damper, or nothing but a
//! larger blower.

use overwinter_engine::house::House;
use overwinter_engine::inflated::Inflation;
use overwinter_physics::error::PhysicsError;
use overwinter_physics::inflation::Jumper;
use overwinter_physics::inflation::network::{
    Link, Network, NetworkState, Outlets, Section, Surroundings,
};

use super::HELD_SHARE;
use super::wind::calm;

/// Hoses that can be bought, m: 3, 4, 5, 6 and 8 in (common practice, no source).
pub const BOUGHT_HOSES_M: [f64; 5] = [0.0762, 0.1016, 0.127, 0.1524, 0.2032];

/// A hose on the way from a blower to a gap.
#[derive(Clone, Debug, PartialEq)]
pub struct Hose {
    /// Gap it comes from; `None` for a hose of a blower.
    pub from: Option<usize>,
    /// Gap it leads to.
    pub to: usize,
    /// As it is.
    pub present: Jumper,
    /// Its number among the links of the network, and after them the blowers' hoses.
    link: usize,
}

/// What gives a gap its pressure.
#[derive(Clone, Debug, PartialEq)]
pub enum Remedy {
    /// The hose that feeds it, in another size.
    WiderHose {
        /// The hose.
        hose: Hose,
        /// Narrowest diameter that does.
        needed_m: f64,
        /// Narrowest of [`BOUGHT_HOSES_M`] that does.
        bought_m: f64,
        /// Fewest hoses of the present size side by side that do.
        count: Option<u32>,
    },
    /// All hoses between the blower and the gap, in one size or their own where that is wider.
    WiderWay {
        /// The hoses, from the blower on.
        hoses: Vec<Hose>,
        /// Narrowest of [`BOUGHT_HOSES_M`] that does.
        bought_m: f64,
    },
    /// The damper, opened further.
    OpenDamper {
        /// Size of the hoses on the way, where those there are do not do.
        bought_m: Option<f64>,
        /// Pressure in the gap with the damper wide open.
        reached_pa: f64,
    },
    /// A larger blower or tighter films: this one does not reach it.
    LargerBlower {
        /// Pressure in the gap with the widest hoses and no damper.
        reached_pa: f64,
    },
}

/// A gap that is under the pressure asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Mend {
    /// The gap.
    pub gap: usize,
    /// What mends it by itself.
    pub remedy: Remedy,
}

/// What mends all gaps.
#[derive(Clone, Debug, PartialEq)]
pub struct Mending {
    /// Each gap that is under, in order.
    pub mends: Vec<Mend>,
    /// Pressure of every gap with all the hoses named in their new size.
    pub after_pa: Vec<f64>,
}

pub(super) fn of(house: &House, inflation: &Inflation) -> Result<Mending, PhysicsError> {
    let bench = Bench {
        flat: with_branches(&inflation.network),
        gaps: inflation.names.len(),
        still: calm(house),
        wanted_pa: HELD_SHARE * inflation.asked_pa,
    };
    let before = bench.flat.solve(&bench.still)?;
    let mut mends = Vec::new();
    for gap in 0..bench.gaps {
        if before.section_pa[gap] < bench.wanted_pa {
            let remedy = bench.remedy(gap, &before)?;
            mends.push(Mend { gap, remedy });
        }
    }
    let after = all_done(&bench.flat, &mends).solve(&bench.still)?;
    Ok(Mending {
        mends,
        after_pa: after.section_pa[..bench.gaps].to_vec(),
    })
}

/// A network on which hoses are tried.
struct Bench {
    /// Its blowers' branches are sections and their hoses links.
    flat: Network,
    gaps: usize,
    still: Surroundings,
    wanted_pa: f64,
}

impl Bench {
    fn remedy(&self, gap: usize, before: &NetworkState) -> Result<Remedy, PhysicsError> {
        let way = self.way_to(gap, before);
        if let Some(hose) = way.last()
            && let Some(remedy) = self.wider_hose(hose, before)?
        {
            return Ok(remedy);
        }
        for &bought_m in &BOUGHT_HOSES_M {
            if way.len() > 1 && self.mends(&widened(&self.flat, &way, bought_m), gap, before)? {
                let hoses = way;
                return Ok(Remedy::WiderWay { hoses, bought_m });
            }
        }
        self.without_damper(gap, &way)
    }

    fn wider_hose(
        &self,
        hose: &Hose,
        before: &NetworkState,
    ) -> Result<Option<Remedy>, PhysicsError> {
        let (still, wanted_pa) = (&self.still, self.wanted_pa);
        let needed = self.flat.jumper_diameter_for(still, hose.link, wanted_pa)?;
        let Some(needed_m) = needed else {
            return Ok(None);
        };
        let mut bought = BOUGHT_HOSES_M.iter();
        let Some(&bought_m) = bought.find(|&&bought_m| bought_m >= needed_m) else {
            return Ok(None);
        };
        let ways = std::slice::from_ref(hose);
        if !self.mends(&widened(&self.flat, ways, bought_m), hose.to, before)? {
            return Ok(None);
        }
        Ok(Some(Remedy::WiderHose {
            hose: hose.clone(),
            needed_m,
            bought_m,
            count: self.flat.jumper_count_for(still, hose.link, wanted_pa)?,
        }))
    }

    /// True if a gap is held and no other has ceased to be.
    fn mends(
        &self,
        changed: &Network,
        gap: usize,
        before: &NetworkState,
    ) -> Result<bool, PhysicsError> {
        let section_pa = changed.solve(&self.still)?.section_pa;
        let is_held = |pressure_pa: f64| pressure_pa >= self.wanted_pa;
        let keeps = |other: usize| !is_held(before.section_pa[other]) || is_held(section_pa[other]);
        Ok(is_held(section_pa[gap]) && (0..self.gaps).all(keeps))
    }

    fn without_damper(&self, gap: usize, way: &[Hose]) -> Result<Remedy, PhysicsError> {
        let mut open = self.flat.clone();
        let had_damper = open
            .feeds
            .iter()
            .any(|feed| feed.blower.damper_area_m2.is_some());
        for feed in &mut open.feeds {
            feed.blower.damper_area_m2 = None;
        }
        let reached = |network: &Network| Ok(network.solve(&self.still)?.section_pa[gap]);
        let mut reached_pa = reached(&open)?;
        let mut bought_m = None;
        for &size_m in &BOUGHT_HOSES_M {
            if reached_pa >= self.wanted_pa {
                break;
            }
            bought_m = Some(size_m);
            reached_pa = reached(&widened(&open, way, size_m))?;
        }
        Ok(if had_damper && reached_pa >= self.wanted_pa {
            Remedy::OpenDamper {
                bought_m: bought_m.filter(|_| !way.is_empty()),
                reached_pa,
            }
        } else {
            Remedy::LargerBlower { reached_pa }
        })
    }

    /// Hoses from the blower to a gap, each the one that brings most air to its end.
    fn way_to(&self, gap: usize, before: &NetworkState) -> Vec<Hose> {
        let mut way: Vec<Hose> = Vec::new();
        let mut end = gap;
        while let Some((link, start)) = self.feeding(end, before) {
            if way.iter().any(|hose| hose.link == link) {
                break;
            }
            way.push(Hose {
                from: (start < self.gaps).then_some(start),
                to: end,
                present: self.flat.links[link].jumper,
                link,
            });
            end = start;
        }
        way.reverse();
        way
    }

    /// The link that brings most air to a section, with its other end; none to one that a blower
    /// brings more.
    fn feeding(&self, section: usize, before: &NetworkState) -> Option<(usize, usize)> {
        let into = |(index, link): (usize, &Link)| {
            let flow = before.link_flow_m3_s[index];
            match (link.from, link.to) {
                (from, to) if to == section => Some((index, from, flow)),
                (from, to) if from == section => Some((index, to, -flow)),
                _ => None,
            }
        };
        let links = self.flat.links.iter().enumerate().filter_map(into);
        let (link, start, flow) = links.max_by(|a, b| a.2.total_cmp(&b.2))?;
        let feeds = self.flat.feeds.iter().zip(&before.feed_flow_m3_s);
        let blown: f64 = feeds
            .filter(|(feed, _)| feed.outlets == Outlets::Section(section))
            .map(|(_, flow)| flow)
            .sum();
        (flow > 0.0 && flow > blown).then_some((link, start))
    }
}

/// The network with every blower's branch as a section of its own, so that all hoses are links.
fn with_branches(network: &Network) -> Network {
    let mut flat = network.clone();
    for feed in &mut flat.feeds {
        let Outlets::Hoses(hoses) = &feed.outlets else {
            continue;
        };
        let branch = flat.sections.len();
        flat.links.extend(hoses.iter().map(|&(to, jumper)| Link {
            from: branch,
            to,
            jumper,
        }));
        flat.sections.push(Section {
            volume_m3: 1.0,
            area_m2: 1.0,
            openings: Vec::new(),
        });
        feed.outlets = Outlets::Section(branch);
    }
    flat
}

/// The network with some hoses in a size, where they are narrower now.
fn widened(network: &Network, hoses: &[Hose], diameter_m: f64) -> Network {
    let mut changed = network.clone();
    for hose in hoses {
        let jumper = &mut changed.links[hose.link].jumper;
        jumper.diameter_m = jumper.diameter_m.max(diameter_m);
    }
    changed
}

fn all_done(network: &Network, mends: &[Mend]) -> Network {
    let mut changed = network.clone();
    for mend in mends {
        changed = match &mend.remedy {
            Remedy::WiderHose { hose, bought_m, .. } => {
                widened(&changed, std::slice::from_ref(hose), *bought_m)
            }
            Remedy::WiderWay { hoses, bought_m } => widened(&changed, hoses, *bought_m),
            Remedy::OpenDamper { .. } | Remedy::LargerBlower { .. } => changed,
        };
    }
    changed
}

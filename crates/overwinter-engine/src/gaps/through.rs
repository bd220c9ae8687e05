//! Air that passes through gaps that move: where it comes from, and what goes on into the house.

use overwinter_physics::inflation::network::{Beyond, NetworkState};

use super::{Moving, share_of};
use crate::failure::{Tear, TornFilm};
use crate::inflated::Inflation;

/// Air that comes into one gap.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Comes {
    pub(super) from_house_m3_s: f64,
    pub(super) from_outdoors_m3_s: f64,
}

/// Air that comes into the gaps of a house.
pub(super) struct Through {
    pub(super) gaps: Vec<Comes>,
    /// Outdoor air that a blower drives through tears of the inner film.
    pub(super) into_house_m3_s: f64,
}

impl Through {
    /// What blowers give is shared out over all gaps by area, as it is while they are whole; what comes in
    /// by an opening stays in its own gap.
    pub(super) fn of(
        inflation: &Inflation,
        moving: &Moving,
        state: &NetworkState,
        exchange_m3_s: impl Fn(f64) -> f64,
    ) -> Self {
        let network = &inflation.network;
        let mut blown = Comes::default();
        for (feed, &flow) in network.feeds.iter().zip(&state.feed_flow_m3_s) {
            blown.add(feed.intake, flow);
        }
        let outdoors_share = share_of(
            blown.from_outdoors_m3_s,
            blown.from_house_m3_s + blown.from_outdoors_m3_s,
        );
        let area_m2: f64 = network.sections.iter().map(|gap| gap.area_m2).sum();
        let mut into_house_m3_s = 0.0;
        let stated = network.sections.iter().zip(&state.opening_flow_m3_s);
        let gaps = stated.enumerate().map(|(gap, (section, flows))| {
            let share = section.area_m2 / area_m2;
            let mut comes = Comes {
                from_house_m3_s: share * blown.from_house_m3_s,
                from_outdoors_m3_s: share * blown.from_outdoors_m3_s,
            };
            let (ways, torn) = flows.split_at(section.openings.len());
            for (way, &out) in section.openings.iter().zip(ways) {
                comes.add(way.beyond, -out);
            }
            let tears = moving.tears.iter().filter(|tear| tear.gap == gap);
            let out_m3_s = comes.add_tears(tears, torn, &exchange_m3_s);
            into_house_m3_s += outdoors_share * out_m3_s;
            comes
        });
        Self {
            gaps: gaps.collect(),
            into_house_m3_s,
        }
    }
}

impl Comes {
    fn add(&mut self, from: Beyond, flow_m3_s: f64) {
        let flow_m3_s = flow_m3_s.max(0.0);
        match from {
            Beyond::House => self.from_house_m3_s += flow_m3_s,
            Beyond::Facet(_) => self.from_outdoors_m3_s += flow_m3_s,
        }
    }

    /// Adds what comes in by tears, whose flows out stand in their order, and gives what goes out through
    /// the inner film alone: a tear of both films is an opening of the house of its own.
    fn add_tears<'a>(
        &mut self,
        tears: impl Iterator<Item = &'a Tear>,
        flows_m3_s: &[f64],
        exchange_m3_s: &impl Fn(f64) -> f64,
    ) -> f64 {
        let mut flows = flows_m3_s.iter().copied();
        let mut into_house_m3_s = 0.0;
        for tear in tears {
            let to_and_fro_m3_s = exchange_m3_s(tear.area_m2);
            if tear.film != TornFilm::Inner {
                let out_m3_s = flows.next().unwrap_or(0.0);
                self.from_outdoors_m3_s += to_and_fro_m3_s.max(-out_m3_s);
            }
            if tear.film != TornFilm::Outer {
                let out_m3_s = flows.next().unwrap_or(0.0);
                self.from_house_m3_s += to_and_fro_m3_s.max(-out_m3_s);
                if tear.film == TornFilm::Inner {
                    into_house_m3_s += out_m3_s.max(0.0);
                }
            }
        }
        into_house_m3_s
    }
}

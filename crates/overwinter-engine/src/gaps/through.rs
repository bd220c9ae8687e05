//! Air that passes through gaps that move: where it comes from, and what goes on into the house.

use overwinter_physics::inflation::network::{Beyond, NetworkState};

use super::Moving;
use crate::failure::TornFilm;
use crate::inflated::Inflation;

/// Air that comes into the gaps of a house.
pub(super) struct Through {
    from_house_m3_s: f64,
    from_outdoors_m3_s: f64,
    /// What a blower drives through tears of the inner film.
    pub(super) into_house_m3_s: f64,
}

impl Through {
    pub(super) fn of(
        inflation: &Inflation,
        moving: &Moving,
        state: &NetworkState,
        exchange_m3_s: impl Fn(f64) -> f64,
    ) -> Self {
        let mut through = Self {
            from_house_m3_s: 0.0,
            from_outdoors_m3_s: 0.0,
            into_house_m3_s: 0.0,
        };
        for (feed, &flow) in inflation.network.feeds.iter().zip(&state.feed_flow_m3_s) {
            through.come_in(feed.intake, flow);
        }
        let stated = inflation.network.sections.iter();
        for (gap, (section, flows)) in stated.zip(&state.opening_flow_m3_s).enumerate() {
            for (way, &out) in section.openings.iter().zip(flows) {
                through.come_in(way.beyond, -out);
            }
            // After the stated ways stand those of the tears, in their order.
            let torn = moving.tears.iter().filter(|tear| tear.gap == gap);
            let mut flows = flows[section.openings.len()..].iter();
            for tear in torn {
                let to_and_fro = exchange_m3_s(tear.area_m2);
                if tear.film != TornFilm::Inner {
                    let out = flows.next().copied().unwrap_or(0.0);
                    through.from_outdoors_m3_s += to_and_fro.max(-out);
                }
                if tear.film != TornFilm::Outer {
                    let out = flows.next().copied().unwrap_or(0.0);
                    through.from_house_m3_s += to_and_fro.max(-out);
                    through.into_house_m3_s += out.max(0.0);
                }
            }
        }
        through
    }

    fn come_in(&mut self, from: Beyond, flow_m3_s: f64) {
        let flow_m3_s = flow_m3_s.max(0.0);
        match from {
            Beyond::House => self.from_house_m3_s += flow_m3_s,
            Beyond::Facet(_) => self.from_outdoors_m3_s += flow_m3_s,
        }
    }

    pub(super) fn total_m3_s(&self) -> f64 {
        self.from_house_m3_s + self.from_outdoors_m3_s
    }

    pub(super) fn inside_share(&self) -> f64 {
        let total_m3_s = self.total_m3_s();
        if total_m3_s > 0.0 {
            self.from_house_m3_s / total_m3_s
        } else {
            0.0
        }
    }
}

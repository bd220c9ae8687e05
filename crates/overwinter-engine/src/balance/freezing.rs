//! Water that freezes in the ground and in barrels, in the scheme of the step.
//!
//! The scheme carries heat content, not temperature. Between the start of a step and where it is
//! expected to end, heat content is a straight line of temperature: its slope stands in for the heat
//! capacity. What the step then stores is exact, and the temperature is set to what that heat
//! content has.

use overwinter_physics::number::Real;

use super::{Scheme, Storage};
use crate::model::{FreezingNode, Model};

impl<R: Real> Storage<R> {
    /// Sets the storage of the freezing nodes for a step from `now` to the linearisation point; true
    /// if that of any differs from the plain one, or did until now.
    pub fn begin_freezing(
        &mut self,
        scheme: Scheme,
        model: &Model<R>,
        now: &[R],
        before: &[R],
    ) -> bool {
        let was_freezing = self.is_freezing;
        if !was_freezing && !is_cold(model, [now, &self.point, before]) {
            return false;
        }
        self.is_freezing = model.freezing.iter().any(|node| {
            let at = node.at;
            is_changing(node, now[at], self.point[at], before[at])
        });
        if !was_freezing && !self.is_freezing {
            return false;
        }
        for (index, node) in model.freezing.iter().enumerate() {
            let at = node.at;
            let heat_per_k = node.water.heat_per_k(now[at], self.point[at]);
            self.heat_per_k[index] = heat_per_k;
            let weight_per_s = scheme.weight_per_s(model.carry[at]);
            self.diagonal[at] = model.capacity[at] * heat_per_k * weight_per_s;
            if scheme.second_order {
                let moved = node.water.heat_k(now[at]) - node.water.heat_k(before[at]);
                self.at_rest[at] = now[at] + moved / heat_per_k * (1.0 / 3.0);
            }
        }
        true
    }

    /// True if ice plays a part in a step between two states, in any lane.
    #[inline(always)]
    pub fn has_ice(&self, model: &Model<R>, now: &[R], next: &[R]) -> bool {
        self.is_freezing || is_cold(model, [now, next])
    }

    /// Temperature of a freezing node that has the heat content of a solved step.
    #[inline(always)]
    pub fn thawed_or_frozen_k(&self, index: usize, node: &FreezingNode<R>, now: R, next: R) -> R {
        let water = &node.water;
        let heat_per_k = self.heat_per_k[index];
        let heat_k = water.heat_k(now) + heat_per_k * (next - now);
        // The solved temperature itself, to the bit, where no water is concerned.
        let is_warm = R::splat(water.from_k).lt(now.min(next));
        let plain = R::select(is_warm, next, water.temp_k(heat_k));
        R::select(R::one().lt(heat_per_k), water.temp_k(heat_k), plain)
    }
}

/// True if some freezing node is colder than where its water starts to freeze, in any lane.
#[inline(always)]
fn is_cold<R: Real, const N: usize>(model: &Model<R>, states: [&[R]; N]) -> bool {
    let mut above = R::one();
    for node in &model.freezing {
        for state in states {
            above = above.min(state[node.at] - node.water.from_k);
        }
    }
    R::any(above.lt(R::zero()))
}

/// True if some water of a node freezes or melts between its temperatures, in any lane.
fn is_changing<R: Real>(node: &FreezingNode<R>, now: R, point: R, before: R) -> bool {
    let water = &node.water;
    if !R::any(now.min(point).min(before).lt(R::splat(water.from_k))) {
        return false;
    }
    let share = water.frozen_share(now);
    let partly = share * (R::one() - share);
    let moves = (water.frozen_share(point) - share).abs();
    let moved = (water.frozen_share(before) - share).abs();
    R::any(R::zero().lt((partly + moves + moved) * water.latent_k))
}

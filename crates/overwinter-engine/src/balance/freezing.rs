//! Water that freezes in the ground and in barrels, in the scheme of the step.
//!
//! The scheme carries heat content, not temperature. Between the start of a step and where it is
//! expected to end, heat content is a straight line of temperature: its slope stands in for the heat
//! capacity. What the step then stores is exact, and the temperature is set to what that heat
//! content has.

use overwinter_physics::number::Real;

use super::{Scheme, Storage};
use crate::model::{FreezingNode, Model};

/// What freezes in a step.
#[derive(Clone, Debug)]
pub(crate) struct Freezes<R> {
    /// Above zero in the lanes in which some water freezes or melts.
    now: R,
    /// Heat each freezing node takes for a kelvin, over its heat capacity.
    heat_per_k: Vec<R>,
    /// True if ice plays a part in the step as far as it has been solved, in any lane.
    has_ice: bool,
}

impl<R: Real> Freezes<R> {
    pub(crate) fn new(model: &Model<R>) -> Self {
        Self {
            now: R::zero(),
            heat_per_k: vec![R::one(); model.freezing.len()],
            has_ice: false,
        }
    }

    pub(crate) fn copy_from(&mut self, other: &Self) {
        self.now = other.now;
        self.heat_per_k.copy_from_slice(&other.heat_per_k);
    }

    /// Sets the lanes of a mask to those of another.
    pub(crate) fn take_lanes(&mut self, lanes: R::Mask, other: &Self) {
        self.now = R::select(lanes, other.now, self.now);
        for (own, others) in self.heat_per_k.iter_mut().zip(&other.heat_per_k) {
            *own = R::select(lanes, *others, *own);
        }
    }
}

impl<R: Real> Storage<R> {
    pub(crate) fn freezes(&self) -> &Freezes<R> {
        &self.freezes
    }

    pub(crate) fn freezes_mut(&mut self) -> &mut Freezes<R> {
        &mut self.freezes
    }

    /// Sets the storage of the freezing nodes for a step from `now` to the linearisation point; true
    /// if that of any differs from the plain one, or did until now.
    #[inline(always)]
    pub fn begin_freezing(
        &mut self,
        scheme: Scheme,
        model: &Model<R>,
        now: &[R],
        before: &[R],
    ) -> bool {
        let was_freezing = self.freezes.now;
        let freezes = R::zero().lt(was_freezing);
        if !R::any(freezes) && !is_cold(model, [now, &self.point, before]) {
            return false;
        }
        self.freezes.now = R::zero();
        for node in &model.freezing {
            let at = node.at;
            let changing = changing(node, now[at], self.point[at], before[at]);
            self.freezes.now = self.freezes.now.max(changing);
        }
        // A lane in which nothing freezes keeps the bits that it has alone.
        let concerned = R::zero().lt(was_freezing.max(self.freezes.now));
        if !R::any(concerned) {
            return false;
        }
        for (index, node) in model.freezing.iter().enumerate() {
            let at = node.at;
            let heat_per_k = node.water.heat_per_k(now[at], self.point[at]);
            self.freezes.heat_per_k[index] = heat_per_k;
            let weight_per_s = scheme.weight_per_s(model.carry[at]);
            self.diagonal[at] = model.capacity[at] * heat_per_k * weight_per_s;
            if scheme.second_order {
                let moved = node.water.heat_k(now[at]) - node.water.heat_k(before[at]);
                let at_rest = now[at] + moved / heat_per_k * (1.0 / 3.0);
                self.at_rest[at] = R::select(concerned, at_rest, self.at_rest[at]);
            }
        }
        true
    }

    /// True if ice plays a part in the step last looked at, in any lane.
    #[inline(always)]
    pub fn has_ice(&self) -> bool {
        self.freezes.has_ice
    }

    /// Looks whether ice plays a part in a step between two states, in any lane.
    #[inline(always)]
    pub fn look_for_ice(&mut self, model: &Model<R>, now: &[R], next: &[R]) {
        self.freezes.has_ice =
            R::any(R::zero().lt(self.freezes.now)) || is_cold(model, [now, next]);
    }

    /// Temperature of a freezing node that has the heat content of a solved step.
    #[inline(always)]
    pub fn thawed_or_frozen_k(&self, index: usize, node: &FreezingNode<R>, now: R, next: R) -> R {
        let water = &node.water;
        let heat_per_k = self.freezes.heat_per_k[index];
        let heat_k = water.heat_k(now) + heat_per_k * (next - now);
        // The solved temperature itself, to the bit, where no water is concerned.
        let freezes_from_k = R::select(
            R::zero().lt(water.latent_k),
            R::splat(water.from_k),
            R::zero(),
        );
        let is_warm = freezes_from_k.lt(now.min(next));
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

/// Above zero in the lanes in which some water of a node freezes or melts between its temperatures.
#[inline(always)]
fn changing<R: Real>(node: &FreezingNode<R>, now: R, point: R, before: R) -> R {
    let water = &node.water;
    if !R::any(now.min(point).min(before).lt(R::splat(water.from_k))) {
        return R::zero();
    }
    let share = water.frozen_share(now);
    let partly = share * (R::one() - share);
    let moves = (water.frozen_share(point) - share).abs();
    let moved = (water.frozen_share(before) - share).abs();
    (partly + moves + moved) * water.latent_k
}

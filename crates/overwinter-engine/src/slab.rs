//! The nodes inside a slab (a wall, the ground under a floor), which answer in a straight line.
//!
//! Storage, conduction and losses to a given temperature do not change from step to step, so a slab
//! is factored once for a step length. Each step it is solved with both faces held; what the faces
//! then do moves every node by its reach.

use overwinter_physics::number::Real;

/// Which end of a slab: the inner face, the outer face.
pub const INNER: usize = 0;
/// See [`INNER`].
pub const OUTER: usize = 1;

/// A chain of nodes between an inner and an outer face; it may have none.
#[derive(Clone, Debug)]
pub struct Slab<R> {
    /// Conductance on the inner side of each node, and of the last one to the outer face, W/K.
    conductance_w_k: Vec<R>,
    /// Conductance of each node to what lies beside it, W/K; empty for a slab without.
    sideways_w_k: Vec<R>,
    storage_w_k: Vec<R>,
    inverse: Vec<R>,
    follow: Vec<R>,
    reach: [Vec<R>; 2],
    held: Vec<R>,
    change: Vec<R>,
    entering_w: [R; 2],
    sideways_w: R,
    /// Heat into each face from the slab at its present temperature, while the faces hold still.
    pub base_w: [R; 2],
    /// What heat into a face loses for each kelvin of that face.
    pub own_w_k: [R; 2],
    /// What heat into a face gains for each kelvin of the other face.
    pub through_w_k: R,
}

/// Temperatures of a slab when a step begins, and what drives it in the step.
#[derive(Clone, Copy, Debug)]
pub struct SlabStart<'a, R> {
    /// Temperature of each node.
    pub now_k: &'a [R],
    /// Temperature that each node would come to if no heat flowed.
    pub at_rest_k: &'a [R],
    /// Temperature beside each node; not read for a slab without sideways conductance.
    pub beside_k: &'a [R],
    /// Temperature of the inner and the outer face.
    pub faces_k: [R; 2],
}

impl<R: Real> Slab<R> {
    /// A slab with one conductance more than it has nodes; `sideways_w_k` has one value a node or
    /// none.
    pub fn new(conductance_w_k: Vec<R>, sideways_w_k: Vec<R>) -> Self {
        let nodes = conductance_w_k.len().saturating_sub(1);
        let zeros = || vec![R::zero(); nodes];
        let zero = R::zero();
        Self {
            conductance_w_k,
            sideways_w_k,
            storage_w_k: zeros(),
            inverse: zeros(),
            follow: zeros(),
            reach: [zeros(), zeros()],
            held: zeros(),
            change: zeros(),
            entering_w: [zero; 2],
            sideways_w: zero,
            base_w: [zero; 2],
            own_w_k: [zero; 2],
            through_w_k: zero,
        }
    }

    /// Factors the slab for a step in which node `i` takes `storage_w_k[i]` for each kelvin.
    pub fn factor(&mut self, storage_w_k: &[R]) {
        let nodes = self.inverse.len();
        let conductance = &self.conductance_w_k;
        self.storage_w_k.copy_from_slice(storage_w_k);
        for node in (0..nodes).rev() {
            let mut diagonal = storage_w_k[node] + conductance[node] + conductance[node + 1];
            if let Some(beside) = self.sideways_w_k.get(node) {
                diagonal += *beside;
            }
            if node + 1 < nodes {
                diagonal -= conductance[node + 1] * self.follow[node + 1];
            }
            self.inverse[node] = R::one() / diagonal;
            self.follow[node] = conductance[node] * self.inverse[node];
        }
        let (first, last) = (conductance[0], conductance[nodes]);
        let Some(outermost) = nodes.checked_sub(1) else {
            self.own_w_k = [first; 2];
            self.through_w_k = first;
            return;
        };
        for (face, node, conductance) in [(INNER, 0, first), (OUTER, outermost, last)] {
            self.reach[face].fill(R::zero());
            self.reach[face][node] = conductance;
            substitute(
                &self.inverse,
                &self.follow,
                &self.conductance_w_k,
                &mut self.reach[face],
            );
        }
        let share = |face: usize, node: usize| R::one() - self.reach[face][node];
        self.own_w_k = [first * share(INNER, 0), last * share(OUTER, outermost)];
        self.through_w_k = first * self.reach[OUTER][0];
    }

    /// Solves the step with both faces held at their present temperature.
    #[inline(always)]
    pub fn hold(&mut self, start: SlabStart<'_, R>) {
        let nodes = self.held.len();
        let [inner_k, outer_k] = start.faces_k;
        let conductance = &self.conductance_w_k[..nodes + 1];
        let (now, at_rest) = (&start.now_k[..nodes], &start.at_rest_k[..nodes]);
        let Some(last) = nodes.checked_sub(1) else {
            let inwards = conductance[0] * (outer_k - inner_k);
            self.base_w = [inwards, -inwards];
            self.entering_w = [-inwards, inwards];
            return;
        };
        let storage = &self.storage_w_k[..nodes];
        let held = &mut self.held[..nodes];
        let from_inner = conductance[0] * (inner_k - now[0]);
        let from_outer = conductance[nodes] * (outer_k - now[last]);
        let mut outwards = from_inner;
        for node in 0..last {
            let passed = conductance[node + 1] * (now[node] - now[node + 1]);
            held[node] = storage[node] * (at_rest[node] - now[node]) + (outwards - passed);
            outwards = passed;
        }
        held[last] = storage[last] * (at_rest[last] - now[last]) + (outwards + from_outer);
        let mut beside_w = R::zero();
        for ((held, conductance), (now, beside)) in held
            .iter_mut()
            .zip(&self.sideways_w_k)
            .zip(now.iter().zip(start.beside_k))
        {
            let flux = *conductance * (*beside - *now);
            *held += flux;
            beside_w += flux;
        }
        let (first, outermost) = (conductance[0], conductance[nodes]);
        substitute(&self.inverse, &self.follow, conductance, held);
        self.base_w = [
            first * held[0] - from_inner,
            outermost * held[last] - from_outer,
        ];
        self.entering_w = [from_inner, from_outer];
        self.sideways_w = beside_w;
    }

    /// Moves the nodes to where the changes of the faces take them; returns their changes.
    #[inline(always)]
    pub fn follow(&mut self, faces: [R; 2]) -> &[R] {
        let [inner, outer] = faces;
        let [inner_reach, outer_reach] = &self.reach;
        for ((change, held), (inwards, outwards)) in self
            .change
            .iter_mut()
            .zip(&self.held)
            .zip(inner_reach.iter().zip(outer_reach))
        {
            *change = *held + *inwards * inner + *outwards * outer;
        }
        &self.change
    }

    /// As [`Slab::follow`], with the outer face held.
    #[inline(always)]
    pub fn follow_inner(&mut self, inner: R) -> &[R] {
        for ((change, held), reach) in self
            .change
            .iter_mut()
            .zip(&self.held)
            .zip(&self.reach[INNER])
        {
            *change = *held + *reach * inner;
        }
        &self.change
    }

    /// Changes of the nodes in the step.
    pub fn change(&self) -> &[R] {
        &self.change
    }

    /// Heat through the outer face into the slab after the changes, the face held, W.
    #[inline(always)]
    pub fn from_outer_w(&self) -> R {
        let conductance = self.conductance_w_k[self.change.len()];
        self.change.last().map_or(self.entering_w[OUTER], |change| {
            self.entering_w[OUTER] - conductance * *change
        })
    }

    /// Heat from beside the slab into it after the changes, W.
    #[inline(always)]
    pub fn sideways_w(&self) -> R {
        let mut sum = self.sideways_w;
        for (conductance, change) in self.sideways_w_k.iter().zip(&self.change) {
            sum -= *conductance * *change;
        }
        sum
    }
}

/// Solves a factored slab: `values` holds the heat into each node and becomes its change.
#[inline(always)]
fn substitute<R: Real>(inverse: &[R], follow: &[R], conductance: &[R], values: &mut [R]) {
    let nodes = values.len();
    let (inverse, follow) = (&inverse[..nodes], &follow[..nodes]);
    let inner_side = &conductance[..nodes];
    let mut from_outside = R::zero();
    for node in (0..nodes).rev() {
        let value = (values[node] + from_outside) * inverse[node];
        values[node] = value;
        from_outside = inner_side[node] * value;
    }
    let mut inner = R::zero();
    for node in 0..nodes {
        inner = values[node] + follow[node] * inner;
        values[node] = inner;
    }
}

#[cfg(test)]
mod tests {
    use super::{INNER, OUTER, Slab, SlabStart};

    const STILL: SlabStart<'static, f64> = SlabStart {
        now_k: &[280.0, 280.0, 280.0],
        at_rest_k: &[280.0, 280.0, 280.0],
        beside_k: &[],
        faces_k: [280.0, 280.0],
    };

    #[test]
    fn without_storage_a_slab_is_a_straight_line() {
        // Four unit conductances in series from 280 to 284 K: 281, 282, 283 K and 1 W.
        let mut slab = Slab::new(vec![1.0; 4], vec![]);
        slab.factor(&[0.0; 3]);
        slab.hold(SlabStart {
            faces_k: [280.0, 284.0],
            ..STILL
        });
        assert!((slab.base_w[INNER] - 1.0).abs() < 1e-12);
        assert!((slab.base_w[OUTER] + 1.0).abs() < 1e-12);
        for (change, expected) in slab.follow([0.0; 2]).iter().zip([1.0, 2.0, 3.0]) {
            assert!((change - expected).abs() < 1e-12, "{change}");
        }
        assert!((slab.from_outer_w() - 1.0).abs() < 1e-12);
        // A quarter of a conductance from face to face.
        assert!((slab.own_w_k[INNER] - 0.25).abs() < 1e-12);
        assert!((slab.own_w_k[OUTER] - 0.25).abs() < 1e-12);
        assert!((slab.through_w_k - 0.25).abs() < 1e-12);
    }

    #[test]
    fn faces_that_move_carry_the_nodes_along() {
        let mut slab = Slab::new(vec![1.0; 4], vec![]);
        slab.factor(&[0.0; 3]);
        slab.hold(STILL);
        for (change, expected) in slab.follow([4.0, 0.0]).iter().zip([3.0, 2.0, 1.0]) {
            assert!((change - expected).abs() < 1e-12, "{change}");
        }
        for (change, expected) in slab.follow_inner(4.0).iter().zip([3.0, 2.0, 1.0]) {
            assert!((change - expected).abs() < 1e-12, "{change}");
        }
    }

    #[test]
    fn heat_that_enters_is_stored() {
        let mut slab = Slab::new(vec![2.0, 3.0, 0.5, 4.0], vec![0.1, 0.2, 0.3]);
        let storage = [5.0, 7.0, 11.0];
        let start = SlabStart {
            now_k: &[281.0, 279.0, 284.0],
            at_rest_k: &[281.5, 278.0, 284.2],
            beside_k: &[270.0, 272.0, 275.0],
            faces_k: [290.0, 265.0],
        };
        slab.factor(&storage);
        slab.hold(start);
        let moved = [1.5, -2.0];
        slab.follow(moved);
        let into_inner =
            slab.base_w[INNER] - slab.own_w_k[INNER] * moved[0] + slab.through_w_k * moved[1];
        let into_outer =
            slab.base_w[OUTER] - slab.own_w_k[OUTER] * moved[1] + slab.through_w_k * moved[0];
        let stored: f64 = (0..3)
            .map(|n| storage[n] * (start.now_k[n] + slab.change()[n] - start.at_rest_k[n]))
            .sum();
        let balance = slab.sideways_w() - into_inner - into_outer - stored;
        assert!(balance.abs() < 1e-10, "{balance}");
        // Heat into the outer face, by the conductance and the last node.
        let last_k = start.now_k[2] + slab.change()[2];
        let outer_k = start.faces_k[1] + moved[1];
        assert!((into_outer - 4.0 * (last_k - outer_k)).abs() < 1e-10);
    }

    #[test]
    fn a_slab_without_nodes_is_a_conductance() {
        let mut slab = Slab::new(vec![2.5], vec![]);
        slab.factor(&[]);
        slab.hold(SlabStart {
            now_k: &[],
            at_rest_k: &[],
            beside_k: &[],
            faces_k: [280.0, 284.0],
        });
        assert!((slab.base_w[INNER] - 10.0).abs() < 1e-12);
        assert!((slab.through_w_k - 2.5).abs() < 1e-12);
        assert!((slab.from_outer_w() - 10.0).abs() < 1e-12);
    }
}

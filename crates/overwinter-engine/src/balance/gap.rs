//! The air of a space between two layers and its vapour, each eliminated into the layers it touches.

use overwinter_physics::number::Real;

use super::block::{Block, FELT_AIR, FELT_VAPOUR, IN_AIR, IN_VAPOUR};
use super::settling::Condensing;
use super::{Core, VAPORISATION_J_KG};
use crate::model::{AIR, VAPOUR};

/// Change of an unknown of a space in terms of the layers below and above and of the house air (or
/// its vapour).
#[derive(Clone, Copy, Debug)]
struct Follow<R> {
    known: R,
    lower: R,
    upper: R,
    house: R,
}

/// A space between two layers in the last pass.
#[derive(Clone, Copy, Debug)]
pub(super) struct Gap<R> {
    air: Follow<R>,
    vapour: Follow<R>,
}

/// A space at the linearisation point, with all that flows into and out of it.
pub(super) struct GapBalance<R> {
    /// The layer below; the next one is above.
    pub(super) lower: usize,
    /// Storage of air and vapour: W/K and m3/s.
    pub(super) storage: [R; 2],
    /// Known heat (W) and vapour (kg/s) into the space, exchange with its faces apart.
    pub(super) push: [R; 2],
    /// Conductance to the layer below and above, W/K.
    pub(super) faces_w_k: [R; 2],
    /// Heat at the linearisation point from the layer below and to the one above, W.
    pub(super) faces_w: [R; 2],
    /// Vapour that settles on the layer above.
    pub(super) settling: Condensing<R>,
    /// Air that passes through: heat (W/K) and volume (m3/s).
    pub(super) passing: [R; 2],
    /// The part of it that comes from the house.
    pub(super) from_house: [R; 2],
}

impl<R: Real> Gap<R> {
    pub(super) fn none() -> Self {
        let zero = R::zero();
        let still = Follow {
            known: zero,
            lower: zero,
            upper: zero,
            house: zero,
        };
        Self {
            air: still,
            vapour: still,
        }
    }

    /// Changes of air and vapour, once those of the layers and of the house air and its vapour are
    /// known.
    #[inline(always)]
    pub(super) fn change<const MIXED: bool>(&self, layers: [R; 2], house: [R; 2]) -> [R; 2] {
        let [lower, upper] = layers;
        let air = self.air.known + self.air.lower * lower + self.air.upper * upper;
        let vapour = self.vapour.known + self.vapour.upper * upper;
        if MIXED {
            [
                air + self.air.house * house[0],
                vapour + self.vapour.house * house[1],
            ]
        } else {
            [air, vapour]
        }
    }
}

impl<R: Real> GapBalance<R> {
    /// Eliminates air and vapour into the layers. `MIXED` says that house air comes in.
    #[inline(always)]
    pub(super) fn eliminate<const MIXED: bool, const SIZE: usize>(
        &self,
        block: &mut Block<R, SIZE>,
    ) -> Gap<R> {
        Gap {
            air: self.air::<MIXED, SIZE>(block),
            vapour: self.vapour::<MIXED, SIZE>(block),
        }
    }

    /// Lets what passes through go back to the house, as past an open screen.
    #[inline(always)]
    pub(super) fn give_back<const SIZE: usize>(
        &self,
        gap: &Gap<R>,
        difference: [R; 2],
        block: &mut Block<R, SIZE>,
        core: &mut Core<R>,
    ) {
        let rows = [(AIR, IN_AIR, &gap.air), (VAPOUR, IN_VAPOUR, &gap.vapour)];
        for ((balance, row, follow), (flow, difference)) in rows
            .into_iter()
            .zip(self.passing.into_iter().zip(difference))
        {
            core.gain(balance, flow * (follow.known - difference));
            core.slope(balance, balance, flow * (follow.house - R::one()));
            block.felt_by(row, self.lower, flow * follow.lower);
            block.felt_by(row, self.lower + 1, flow * follow.upper);
        }
    }

    #[inline(always)]
    fn air<const MIXED: bool, const SIZE: usize>(&self, block: &mut Block<R, SIZE>) -> Follow<R> {
        let (lower, upper) = (self.lower, self.lower + 1);
        let [below, above] = self.faces_w_k;
        let [from_below, to_above] = self.faces_w;
        let inverse = R::one() / (self.storage[0] + below + above + self.passing[0]);
        let follow = Follow {
            known: (self.push[0] + from_below - to_above) * inverse,
            lower: below * inverse,
            upper: above * inverse,
            house: self.from_house[0] * inverse,
        };
        block.gain(lower, below * follow.known - from_below);
        block.slope(lower, lower, below * follow.lower - below);
        block.slope(lower, upper, below * follow.upper);
        block.gain(upper, above * follow.known + to_above);
        block.slope(upper, upper, above * follow.upper - above);
        block.slope(upper, lower, above * follow.lower);
        if MIXED {
            block.feel(lower, FELT_AIR, below * follow.house);
            block.feel(upper, FELT_AIR, above * follow.house);
        }
        follow
    }

    #[inline(always)]
    fn vapour<const MIXED: bool, const SIZE: usize>(
        &self,
        block: &mut Block<R, SIZE>,
    ) -> Follow<R> {
        let upper = self.lower + 1;
        let settling = &self.settling;
        let latent = settling.by_vapour * VAPORISATION_J_KG;
        let inverse = R::one() / (self.storage[1] + settling.by_vapour + self.passing[1]);
        let follow = Follow {
            known: (self.push[1] - settling.rate_kg_s) * inverse,
            lower: R::zero(),
            upper: settling.by_face * inverse,
            house: self.from_house[1] * inverse,
        };
        block.gain(upper, settling.heat_w() + latent * follow.known);
        let by_face = settling.heat_by_face_w_k();
        block.slope(upper, upper, latent * follow.upper - by_face);
        if MIXED {
            block.feel(upper, FELT_VAPOUR, latent * follow.house);
        }
        follow
    }
}

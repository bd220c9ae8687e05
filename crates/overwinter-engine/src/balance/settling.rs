//! Vapour that settles on a face, dries off it, and water that freezes there.

use overwinter_physics::moist_air;
use overwinter_physics::number::Real;
use overwinter_units::constants::FUSION_HEAT_J_KG;

use super::{Moment, VAPORISATION_J_KG};
use crate::model::LayerModel;

/// Vapour settling on a face at the linearisation point, and its slopes; kg/s on the whole face.
#[derive(Clone, Copy, Debug)]
pub struct Condensing<R> {
    /// Rate; negative when water evaporates.
    pub rate_kg_s: R,
    /// Growth with the vapour of the air.
    pub by_vapour: R,
    /// Fall with the temperature of the face.
    pub by_face: R,
    /// Share of the full rate in force: 1 while condensing, less for a drying face.
    pub share: R,
    /// The part of what dries that comes from a pool at the low edge.
    pub from_pool: R,
    /// Water that freezes on the face, kg/s.
    pub freezing_kg_s: R,
    /// Fall of the freezing with the temperature of the face.
    pub freezing_by_face: R,
}

impl<R: Real> Condensing<R> {
    pub(super) fn none() -> Self {
        let zero = R::zero();
        Self {
            rate_kg_s: zero,
            by_vapour: zero,
            by_face: zero,
            share: zero,
            from_pool: zero,
            freezing_kg_s: zero,
            freezing_by_face: zero,
        }
    }

    /// Heat that settling and freezing water give the face, W.
    #[inline(always)]
    pub(super) fn heat_w(&self) -> R {
        self.rate_kg_s * VAPORISATION_J_KG + self.freezing_kg_s * FUSION_HEAT_J_KG
    }

    /// Fall of that heat with the temperature of the face, W/K.
    #[inline(always)]
    pub(super) fn heat_by_face_w_k(&self) -> R {
        self.by_face * VAPORISATION_J_KG + self.freezing_by_face * FUSION_HEAT_J_KG
    }

    /// Water that freezes, kg/s, after the change of the face's temperature.
    #[inline(always)]
    pub fn freezing_after(&self, face: R) -> R {
        self.freezing_kg_s - self.freezing_by_face * face
    }

    /// The rate after the changes of vapour and face temperature.
    #[inline(always)]
    pub fn after(&self, vapour: R, face: R) -> R {
        self.rate_kg_s + self.by_vapour * vapour - self.by_face * face
    }
}

/// A face that water may settle on.
pub(super) struct Face<'a, R> {
    pub(super) layer: &'a LayerModel<R>,
    pub(super) area_m2: R,
    /// Convection to the air it meets.
    pub(super) coefficient: R,
    pub(super) face_k: R,
}

impl<R: Real> Face<'_, R> {
    /// Vapour that settles on the face from air with a vapour density.
    #[inline(always)]
    pub(super) fn settling(&self, moment: Moment<'_, R>, vapour: R) -> Condensing<R> {
        let place = &self.layer.place;
        let held = &moment.water[self.layer.place_at];
        let (saturation, slope) = moist_air::saturation_vapour_density(self.face_k);
        let transfer_m_s = self.coefficient * moment.model.transfer_per_coefficient;
        let excess = vapour - saturation;
        let drying = -(transfer_m_s * excess);
        let drying = place.drying(held, drying, R::splat(moment.step_s));
        let share = R::select(R::zero().lt(excess), R::one(), drying.share);
        let by_vapour = transfer_m_s * self.area_m2 * share;
        let freezing = place.freezing(held, self.face_k, R::splat(moment.step_s));
        Condensing {
            rate_kg_s: by_vapour * excess,
            by_vapour,
            by_face: by_vapour * slope,
            share,
            from_pool: drying.from_pool,
            freezing_kg_s: freezing.rate_kg_m2s * self.area_m2,
            freezing_by_face: freezing.by_face_kg_m2sk * self.area_m2,
        }
    }
}

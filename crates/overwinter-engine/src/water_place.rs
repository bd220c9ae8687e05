//! Water on a face: the lower face of a cover layer, or the leaves.
//!
//! Water arrives as condensate, leaves as vapour, freezes, melts, and drains once the face holds
//! more than it can. The account is first order in time: with the drying rate that a step started
//! from, no face owes water; what a step's own change of temperature adds is held to a small debt
//! (see the step), which the next condensate repays.
//!
//! In an inflated gap without drain holes what runs off stays as a pool at the low edge. It stays
//! liquid, keeps out no light, and dries back through a small share of the face, at the rate of the
//! face above it.

use overwinter_physics::number::Real;
use overwinter_units::constants::{FUSION_HEAT_J_KG, ZERO_CELSIUS_K};

/// Time in which water over the capacity runs off: 10 min, estimate.
const DRAIN_TIME_S: f64 = 600.0;
/// Conductance between a face and the front at which its water freezes or melts: 50 W/(m2 K),
/// estimate (a millimetre or two of water and crumbly ice, with what it touches).
const FREEZE_W_M2K: f64 = 50.0;
/// Water (or ice) below which the front no longer reaches over the whole face: 10 g/m2, estimate.
const THIN_KG_M2: f64 = 0.01;
/// Surface of a pool at the low edge of a gap, share of the face: 0.01, estimate (a strip of 5 to
/// 10 cm along 5 to 10 m of film; 0.003 to 0.03).
const POOL_SHARE: f64 = 0.01;
/// Pool, per m2 of face, below which its surface shrinks: 5 g/m2, estimate.
const SHALLOW_KG_M2: f64 = 0.005;

/// What a face can hold; water per m2 of face.
#[derive(Clone, Copy, Debug)]
pub struct WaterPlace<R> {
    /// Water that wets the face all over.
    pub full_cover_kg_m2: R,
    /// Water the face holds before it drains.
    pub capacity_kg_m2: R,
    /// Share of drained water that drips on crop and floor.
    pub drip_share: R,
    /// 1 where drained water cannot leave and stands at the low edge, as in a gap without drain
    /// holes, else 0.
    pub pooling: R,
}

/// How fast a face dries.
#[derive(Clone, Copy, Debug)]
pub struct Drying<R> {
    /// Share of the rate of a face that is wet all over.
    pub share: R,
    /// The part of it that comes from a pool at the low edge.
    pub from_pool: R,
}

/// Freezing on a face, and how it falls with the temperature of the face.
#[derive(Clone, Copy, Debug)]
pub struct Freezing<R> {
    /// Rate at the given temperature; negative while ice melts.
    pub rate_kg_m2s: R,
    /// Fall of the rate with the temperature of the face.
    pub by_face_kg_m2sk: R,
}

/// Water on a face now.
#[derive(Clone, Copy, Debug)]
pub struct WaterHeld<R> {
    /// Liquid.
    pub liquid_kg_m2: R,
    /// Ice and frost.
    pub ice_kg_m2: R,
    /// Water that ran off and stands at the low edge, by the area of the whole face.
    pub pool_kg_m2: R,
}

/// What one or more steps did to the water on a face, kg per m2 of face.
#[derive(Clone, Copy, Debug)]
pub struct WaterMoved<R> {
    /// Vapour that settled.
    pub condensed_kg_m2: R,
    /// Water that went back into the air.
    pub evaporated_kg_m2: R,
    /// Water that froze.
    pub frozen_kg_m2: R,
    /// Run off to the gutter.
    pub gutter_kg_m2: R,
    /// Dripped on crop and floor.
    pub drip_kg_m2: R,
}

impl<R: Real> WaterMoved<R> {
    /// Nothing moved.
    pub fn none() -> Self {
        let zero = R::zero();
        Self {
            condensed_kg_m2: zero,
            evaporated_kg_m2: zero,
            frozen_kg_m2: zero,
            gutter_kg_m2: zero,
            drip_kg_m2: zero,
        }
    }

    /// Sets the lanes of a mask to those of another.
    pub(crate) fn take_lanes(&mut self, lanes: R::Mask, other: &Self) {
        let take = |own: &mut R, others: R| *own = R::select(lanes, others, *own);
        take(&mut self.condensed_kg_m2, other.condensed_kg_m2);
        take(&mut self.evaporated_kg_m2, other.evaporated_kg_m2);
        take(&mut self.frozen_kg_m2, other.frozen_kg_m2);
        take(&mut self.gutter_kg_m2, other.gutter_kg_m2);
        take(&mut self.drip_kg_m2, other.drip_kg_m2);
    }

    /// Adds what another step did.
    #[inline(always)]
    pub fn add(&mut self, other: &Self) {
        self.condensed_kg_m2 += other.condensed_kg_m2;
        self.evaporated_kg_m2 += other.evaporated_kg_m2;
        self.frozen_kg_m2 += other.frozen_kg_m2;
        self.gutter_kg_m2 += other.gutter_kg_m2;
        self.drip_kg_m2 += other.drip_kg_m2;
    }
}

impl<R: Real> WaterHeld<R> {
    /// Sets the lanes of a mask to those of another.
    pub(crate) fn take_lanes(&mut self, lanes: R::Mask, other: &Self) {
        let take = |own: &mut R, others: R| *own = R::select(lanes, others, *own);
        take(&mut self.liquid_kg_m2, other.liquid_kg_m2);
        take(&mut self.ice_kg_m2, other.ice_kg_m2);
        take(&mut self.pool_kg_m2, other.pool_kg_m2);
    }

    /// A dry face.
    pub fn dry() -> Self {
        Self {
            liquid_kg_m2: R::zero(),
            ice_kg_m2: R::zero(),
            pool_kg_m2: R::zero(),
        }
    }

    /// Share of ice in what the face holds, 0 to 1; 0 for a dry face.
    #[inline(always)]
    pub fn ice_share(&self) -> R {
        let total = self.total_kg_m2().max(R::splat(f64::MIN_POSITIVE));
        (self.ice_kg_m2 / total).clamp_between(0.0, 1.0)
    }

    /// All water, that of the pool too.
    #[inline(always)]
    pub fn with_pool_kg_m2(&self) -> R {
        self.total_kg_m2() + self.pool_kg_m2
    }

    /// Liquid and ice on the face together.
    #[inline(always)]
    pub fn total_kg_m2(&self) -> R {
        self.liquid_kg_m2 + self.ice_kg_m2
    }
}

impl<R: Real> WaterPlace<R> {
    /// Share of the face that water or ice covers, 0 to 1.
    #[inline(always)]
    pub fn wet_share(&self, held: &WaterHeld<R>) -> R {
        (held.total_kg_m2() / self.full_cover_kg_m2).clamp_between(0.0, 1.0)
    }

    /// Share of the full evaporation rate that a partly wet face keeps up over a step.
    ///
    /// The wet share at the end of the step if it dried at `drying_kg_m2s` (the rate of a face wet
    /// all over): with it no step takes more water than the face holds.
    #[inline(always)]
    pub fn evaporating_share(&self, held: &WaterHeld<R>, drying_kg_m2s: R, step_s: R) -> R {
        let used = step_s * drying_kg_m2s.max(R::zero());
        (held.total_kg_m2() / (used + self.full_cover_kg_m2)).clamp_between(0.0, 1.0)
    }

    /// How fast the face and what stands at its low edge dry over a step.
    ///
    /// Neither gives more water in a step at `drying_kg_m2s` than it has.
    #[inline(always)]
    pub fn drying(&self, held: &WaterHeld<R>, drying_kg_m2s: R, step_s: R) -> Drying<R> {
        let face = self.evaporating_share(held, drying_kg_m2s, step_s);
        if !R::any(R::zero().lt(self.pooling)) {
            return Drying {
                share: face,
                from_pool: R::zero(),
            };
        }
        let used = step_s * drying_kg_m2s.max(R::zero()) * POOL_SHARE;
        let open = (held.pool_kg_m2 / (used + SHALLOW_KG_M2)).clamp_between(0.0, 1.0);
        let pool = open * POOL_SHARE;
        let share = face + pool;
        Drying {
            share,
            from_pool: pool / share.max(R::splat(f64::MIN_POSITIVE)),
        }
    }

    /// Freezing (negative: melting) on a face over a step, from what the face holds.
    ///
    /// `h (T_freeze - T) / L`, for the share of the face that has water to freeze or ice to melt; the
    /// share is that at the end of the step, so that no step freezes or melts more than there is.
    #[inline(always)]
    pub fn freezing(&self, held: &WaterHeld<R>, face_k: R, step_s: R) -> Freezing<R> {
        let per_k = FREEZE_W_M2K / FUSION_HEAT_J_KG;
        let whole = (-face_k + ZERO_CELSIUS_K) * per_k;
        let stock = R::select(whole.lt(R::zero()), held.ice_kg_m2, held.liquid_kg_m2);
        let used = step_s * whole.abs() / THIN_KG_M2;
        let share = (stock / THIN_KG_M2 / (used + 1.0)).clamp_between(0.0, 1.0);
        Freezing {
            rate_kg_m2s: whole * share,
            by_face_kg_m2sk: share * per_k,
        }
    }

    /// Rate at which water over the capacity runs off, kg/(m2 s).
    #[inline(always)]
    pub fn draining_kg_m2s(&self, held: &WaterHeld<R>) -> R {
        (held.liquid_kg_m2 - self.capacity_kg_m2).max(R::zero()) / DRAIN_TIME_S
    }

    /// Carries the water over a step of `step_s`, given what condenses (negative: evaporates, of
    /// which `from_pool` comes from the pool) and freezes, both kg/(m2 s).
    #[inline(always)]
    pub fn carry(
        &self,
        held: &mut WaterHeld<R>,
        condensing_kg_m2s: R,
        from_pool: R,
        freezing_kg_m2s: R,
        step_s: R,
    ) -> WaterMoved<R> {
        let all = condensing_kg_m2s * step_s;
        let pool_gained = all.min(R::zero()) * from_pool;
        let gained = all - pool_gained;
        let frozen = freezing_kg_m2s * step_s;
        // Vapour settles as liquid; what evaporates comes from liquid and ice by their shares.
        let ice_part = held.ice_share();
        let from_ice = R::select(gained.lt(R::zero()), gained * ice_part, R::zero());
        held.ice_kg_m2 = held.ice_kg_m2 + from_ice + frozen;
        let undrained = held.liquid_kg_m2 + (gained - from_ice) - frozen;
        let over = (undrained - self.capacity_kg_m2).max(R::zero());
        let keep = R::one() / (step_s / DRAIN_TIME_S + 1.0);
        let drained = over - over * keep;
        held.liquid_kg_m2 = undrained - drained;
        let drip_kg_m2 = drained * self.drip_share;
        let pooled = (drained - drip_kg_m2) * self.pooling;
        held.pool_kg_m2 = held.pool_kg_m2 + pool_gained + pooled;
        let zero = R::zero();
        WaterMoved {
            condensed_kg_m2: all.max(zero),
            evaporated_kg_m2: (-all).max(zero),
            frozen_kg_m2: frozen.max(zero),
            gutter_kg_m2: drained - drip_kg_m2 - pooled,
            drip_kg_m2,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{WaterHeld, WaterPlace};

    const FILM: WaterPlace<f64> = WaterPlace {
        full_cover_kg_m2: 0.03,
        capacity_kg_m2: 0.08,
        drip_share: 0.25,
        pooling: 0.0,
    };

    #[test]
    fn water_is_neither_made_nor_lost() {
        let mut held = WaterHeld {
            liquid_kg_m2: 0.07,
            ice_kg_m2: 0.01,
            pool_kg_m2: 0.0,
        };
        let before = held.total_kg_m2();
        let moved = FILM.carry(&mut held, 3e-5, 0.0, 2e-6, 1800.0);
        let after = held.total_kg_m2() + moved.gutter_kg_m2 + moved.drip_kg_m2;
        assert!((after - before - 3e-5 * 1800.0).abs() < 1e-15);
        assert!((moved.drip_kg_m2 / (moved.gutter_kg_m2 + moved.drip_kg_m2) - 0.25).abs() < 1e-12);
    }

    #[test]
    fn a_face_never_owes_water() {
        let mut held = WaterHeld {
            liquid_kg_m2: 0.02,
            ice_kg_m2: 0.004,
            pool_kg_m2: 0.0,
        };
        for _ in 0..50 {
            let full_rate = 1e-4;
            let share = FILM.evaporating_share(&held, full_rate, 1800.0);
            FILM.carry(&mut held, -full_rate * share, 0.0, 0.0, 1800.0);
            assert!(held.liquid_kg_m2 >= 0.0 && held.ice_kg_m2 >= 0.0);
        }
        assert!(held.total_kg_m2() < 1e-6);
    }

    #[test]
    fn what_cannot_drain_stands_at_the_low_edge_and_dries_back() {
        let gap = WaterPlace {
            drip_share: 0.0,
            pooling: 1.0,
            ..FILM
        };
        let mut held = WaterHeld::dry();
        for _ in 0..20 {
            let moved = gap.carry(&mut held, 3e-5, 0.0, 0.0, 1800.0);
            assert!(moved.gutter_kg_m2.abs() < 1e-15 && moved.drip_kg_m2.abs() < 1e-15);
        }
        // 20 half hours of 54 g/m2, of which the face keeps little more than its 80 g/m2.
        assert!((held.with_pool_kg_m2() - 20.0 * 0.054).abs() < 1e-12);
        assert!(held.total_kg_m2() < 0.11, "{held:?}");
        let mut given = 0.0;
        let mut steps = 0;
        while held.with_pool_kg_m2() > 1e-3 {
            let drying = gap.drying(&held, 1e-4, 1800.0);
            let settling = -1e-4 * drying.share;
            let moved = gap.carry(&mut held, settling, drying.from_pool, 0.0, 1800.0);
            given += moved.evaporated_kg_m2;
            steps += 1;
            assert!(held.pool_kg_m2 >= 0.0 && steps < 10_000);
        }
        assert!((given + held.with_pool_kg_m2() - 20.0 * 0.054).abs() < 1e-12);
        // A hundredth of the face dries 1.8 g/m2 in a step: the pool of 1 kg/m2 lasts 500 steps.
        assert!((500..700).contains(&steps), "{steps}");
    }

    #[test]
    fn water_freezes_below_and_melts_above_but_never_more_than_there_is() {
        let held = WaterHeld {
            liquid_kg_m2: 0.05,
            ice_kg_m2: 0.02,
            pool_kg_m2: 0.0,
        };
        for step_s in [1.0, 450.0, 1800.0, 36_000.0] {
            for face_k in [233.0, 268.0, 273.0, 273.3, 278.0, 313.0] {
                let kg_m2 = FILM.freezing(&held, face_k, step_s).rate_kg_m2s * step_s;
                assert_eq!(kg_m2 > 0.0, face_k < 273.15, "{face_k} K");
                assert!(
                    (-0.02..=0.05).contains(&kg_m2),
                    "{face_k} K, {step_s} s: {kg_m2}"
                );
            }
        }
        // 5 K below, much water: 50 x 5 / 334,000 kg/(m2 s).
        let wet = WaterHeld {
            liquid_kg_m2: 5.0,
            ice_kg_m2: 0.0,
            pool_kg_m2: 0.0,
        };
        let rate = FILM.freezing(&wet, 268.15, 10.0).rate_kg_m2s;
        assert!((rate - 250.0 / 334_000.0).abs() < 1e-9);
    }
}

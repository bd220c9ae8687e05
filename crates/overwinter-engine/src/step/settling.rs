//! Whether a pass ended where its linearisation holds.

use overwinter_physics::number::Real;

use super::Stepper;
use crate::balance::Conditions;
use crate::model::{AIR, FLOOR, LEAF, VAPOUR};
use crate::water_place::WaterHeld;

/// A step in which the house air moves farther than this from the linearisation point is redone.
const FAR_AIR_K: f64 = 1.5;
/// The same for a layer of the cover: saturation over it is taken as straight.
const FAR_FACE_K: f64 = 6.0;
/// A step is redone when a face ends farther from the air than this many times, and degrees more
/// than, it was assumed to be: its coefficient is then off by half.
const FAR_APART_TIMES: f64 = 3.0;
const FAR_APART_K: f64 = 1.0;
/// A step in which control differs from what was assumed by more than this share of full action
/// is redone.
const CONTROL_SLIP: f64 = 0.02;
/// Heat, W per m2 of floor, by which the vents may differ from what was assumed.
const VENT_SLIP_W_M2: f64 = 2.0;
/// Water a face may come to owe in a step, kg/m2: about 1 W/m2 of latent heat over half an hour.
const WATER_DEBT_KG_M2: f64 = 0.7e-3;
/// Part of it that an older debt uses up at most.
const OWED_BEFORE_SHARE: f64 = 0.95;

/// Distance of a freezing node from the temperature that its heat content has.
const FREEZING_SLIP_K: f64 = 0.2;
/// Share of saturation by which air taken to be clear may end above it, or foggy air below.
const FOG_SLIP_SHARE: f64 = 0.02;

/// By how much found values pass what is allowed, the most in each lane; above zero in a lane, the
/// pass does not hold there.
#[derive(Clone, Copy)]
struct Over<R>(R);

impl<R: Real> Over<R> {
    #[inline(always)]
    fn check(&mut self, found: R, allowed: R) {
        self.0 = self.0.max(found - allowed);
    }
}

impl<R: Real> Stepper<R> {
    /// Above zero in the lanes in which the pass ended where its linearisation does not hold. Only
    /// the sign has a meaning: the checks are in different units.
    #[inline(always)]
    pub(super) fn over(&mut self, step_s: f64, conditions: &Conditions<R>) -> R {
        self.storage
            .look_for_ice(&self.model, &self.state.now, &self.next);
        let mut over = Over(-R::one());
        over.check(self.core[AIR].abs(), R::splat(FAR_AIR_K));
        self.check_heaters(conditions, &mut over);
        self.check_vents(conditions, &mut over);
        self.check_fog(&mut over);
        self.check_convection(&mut over);
        self.check_water(step_s, &mut over);
        self.check_freezing(&mut over);
        over.0
    }

    /// Soil and barrels end near the temperature that their heat content has.
    #[inline(always)]
    fn check_freezing(&self, over: &mut Over<R>) {
        if !self.storage.has_ice() {
            return;
        }
        for (index, node) in self.model.freezing.iter().enumerate() {
            let (now, next) = (self.state.now[node.at], self.next[node.at]);
            let found = self.storage.thawed_or_frozen_k(index, node, now, next);
            over.check((found - next).abs(), R::splat(FREEZING_SLIP_K));
        }
    }

    #[inline(always)]
    fn check_heaters(&self, conditions: &Conditions<R>, over: &mut Over<R>) {
        let (moved, air_k) = (self.core[AIR], self.next[AIR]);
        let assumed = &self.room.fluxes.heaters;
        for (heater, assumed) in self.plant.heaters.iter().zip(assumed) {
            let found = heater.share(conditions.heat_set_k, air_k).value;
            let used = assumed.value + assumed.slope_per_k * moved;
            // Radiant heat and water are given at the assumed share, the rest at the found one.
            let straight = R::select(
                R::zero().lt(heater.water_kg_j),
                R::one(),
                R::one() - heater.convective_share,
            );
            over.check((found - used).abs() * straight, R::splat(CONTROL_SLIP));
        }
    }

    #[inline(always)]
    fn check_vents(&self, conditions: &Conditions<R>, over: &mut Over<R>) {
        if !self.plant.has_vents() {
            return;
        }
        let fluxes = &self.room.fluxes;
        let (air_k, outdoor_k) = (self.next[AIR], conditions.drive.air_k);
        let found = self.plant.vent_share(conditions.vent_set_k, air_k);
        let used_w = fluxes.vents_in_w(&self.model, &self.storage, conditions, &self.core);
        let flow = fluxes.open_vents_m3_s * found.value + fluxes.ventilation_m3_s;
        let found_w = flow * self.model.air_heat_j_m3k * (outdoor_k - air_k);
        over.check(
            (found_w - used_w).abs(),
            self.model.floor_m2 * VENT_SLIP_W_M2,
        );
    }

    /// Air taken to be clear stays so, air taken to be foggy stays so.
    #[inline(always)]
    fn check_fog(&self, over: &mut Over<R>) {
        let fluxes = &self.room.fluxes;
        let [excess, slope, saturation] = fluxes.over_saturation;
        let found = excess + self.core[VAPOUR] - slope * self.core[AIR];
        let wrong = R::select(R::zero().lt(fluxes.fog.share), -found, found);
        over.check(wrong, saturation * FOG_SLIP_SHARE);
    }

    /// Natural convection vanishes at equal temperatures, value and slope, so a pass that starts
    /// there leaves face and air without a tie.
    #[inline(always)]
    fn check_convection(&self, over: &mut Over<R>) {
        let point = &self.storage.point;
        let mut parted = |assumed_k: R, change_k: R| {
            let found_k = assumed_k + change_k - self.core[AIR];
            over.check(
                found_k.abs(),
                assumed_k.abs() * FAR_APART_TIMES + FAR_APART_K,
            );
        };
        for (section, cover) in self.model.sections.iter().zip(&self.covers) {
            let face = section.offset + section.layers[0].at;
            parted(point[face] - point[AIR], cover.layer_change_k(0));
        }
        for floor in FLOOR {
            parted(point[floor] - point[AIR], self.core[floor]);
        }
    }

    /// No face gives off, freezes or melts water that it does not have, or moves far.
    #[inline(always)]
    fn check_water(&self, step_s: f64, over: &mut Over<R>) {
        let owed_kg_m2 = |held: &WaterHeld<R>, settled_kg_m2: R| {
            held.total_kg_m2().min(R::zero()) - held.total_kg_m2() - settled_kg_m2
        };
        let debt = R::splat(WATER_DEBT_KG_M2);
        // What a face already owes leaves it less, but never nothing: else a dry face would be redone
        // for ever.
        let allowed = |held: &WaterHeld<R>| {
            let owes =
                (-held.total_kg_m2()).clamp_between(0.0, WATER_DEBT_KG_M2 * OWED_BEFORE_SHARE);
            debt - owes
        };
        for (section, cover) in self.model.sections.iter().zip(&self.covers) {
            let per_m2 = R::splat(step_s) / section.area_m2;
            for (index, layer) in section.layers.iter().enumerate() {
                let held = &self.state.water[layer.place_at];
                let on_face = R::one() - cover.condensing[index].from_pool;
                let settled = cover.condensing_kg_s(index, layer, &self.core) * per_m2 * on_face;
                over.check(owed_kg_m2(held, settled), allowed(held));
                let frozen = cover.freezing_kg_s(index) * per_m2;
                let stock = R::select(frozen.lt(R::zero()), held.ice_kg_m2, held.liquid_kg_m2);
                over.check(frozen.abs(), stock.max(R::zero()) + debt);
                over.check(cover.layer_change_k(index).abs(), R::splat(FAR_FACE_K));
            }
        }
        let crop = &self.model.crop;
        let rate = self
            .room
            .fluxes
            .leaf_wet
            .after(self.core[VAPOUR], self.core[LEAF]);
        let held = &self.state.water[self.model.leaf_place()];
        let settled = rate * step_s / crop.two_sided_m2;
        over.check(owed_kg_m2(held, settled), allowed(held));
    }
}

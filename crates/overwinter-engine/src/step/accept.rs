//! Taking a solved step as what happened: water, accounts, the new state.

use overwinter_physics::number::Real;

use super::Stepper;
use crate::account::{Account, Solved, fill};
use crate::balance::{Conditions, Scheme};
use crate::model::{LEAF, VAPOUR};

impl<R: Real> Stepper<R> {
    /// Takes the solved step as the new state and books what it moved.
    #[inline(always)]
    pub(super) fn accept(
        &mut self,
        scheme: Scheme,
        conditions: &Conditions<R>,
        account: &mut Account<R>,
    ) {
        self.freeze();
        let places_kg = self.move_water(scheme.step_s);
        let solved = Solved {
            model: &self.model,
            plant: &self.plant,
            storage: &self.storage,
            covers: &self.covers,
            walls: &self.walls,
            columns: &self.columns,
            fluxes: &self.room.fluxes,
            core: &self.core,
            moved: &self.moved,
        };
        let amounts = &mut self.amounts;
        fill(&solved, conditions, scheme, amounts);
        amounts.stored_places_kg = places_kg;
        if scheme.second_order {
            amounts.carry_on(&self.state.last);
        }
        let (capacity_j_k, now) = (&self.model.heat_capacity_j_k, &self.state.now);
        amounts.stored_j = stored(capacity_j_k, &self.next, now);
        let ice_moves = self.storage.has_ice();
        for node in self.model.freezing.iter().filter(|_| ice_moves) {
            let share = |state: &[R]| node.water.frozen_share(state[node.at]);
            let frozen = node.water.latent_k * (share(&self.next) - share(now));
            amounts.stored_j += -(capacity_j_k[node.at] * frozen);
        }
        amounts.stored_vapour_kg = R::zero();
        for index in &self.model.water {
            let change = self.next[*index] - self.state.now[*index];
            amounts.stored_vapour_kg += self.model.capacity[*index] * change;
        }
        account.book(amounts, self.least);
        for (sum, moved) in self.moved_sum.iter_mut().zip(&self.moved) {
            sum.add(moved);
        }
        std::mem::swap(&mut self.state.last, &mut self.amounts);
        std::mem::swap(&mut self.state.before, &mut self.state.now);
        std::mem::swap(&mut self.state.now, &mut self.next);
    }

    /// Carries the water on every place; returns by how much all of it grew, kg.
    #[inline(always)]
    fn move_water(&mut self, step_s: f64) -> R {
        let step = R::splat(step_s);
        let mut grown = R::zero();
        let Self {
            model,
            covers,
            room,
            core,
            state,
            moved,
            ..
        } = self;
        for (section, cover) in model.sections.iter().zip(covers) {
            for (index, layer) in section.layers.iter().enumerate() {
                let rate = cover.condensing_kg_s(index, layer, core) / section.area_m2;
                let freezing = cover.freezing_kg_s(index) / section.area_m2;
                let held = &mut state.water[layer.place_at];
                let before = held.with_pool_kg_m2();
                let from_pool = cover.condensing[index].from_pool;
                moved[layer.place_at] = layer.place.carry(held, rate, from_pool, freezing, step);
                grown += (held.with_pool_kg_m2() - before) * section.area_m2;
            }
        }
        let leaf = &room.fluxes.leaf_wet;
        let rate = leaf.after(core[VAPOUR], core[LEAF]) / model.crop.two_sided_m2;
        let at = model.leaf_place();
        let before = state.water[at].total_kg_m2();
        let none = R::zero();
        let place = &model.crop.place;
        moved[at] = place.carry(&mut state.water[at], rate, none, none, step);
        grown + (state.water[at].total_kg_m2() - before) * model.crop.two_sided_m2
    }
}

/// Change of heat in all stores, J, against which the fluxes must balance.
#[inline(always)]
fn stored<R: Real>(capacity_j_k: &[R], next: &[R], now: &[R]) -> R {
    // Four sums side by side, which do not wait for each other.
    let mut sums = [R::zero(); 4];
    let (capacities, rest) = capacity_j_k.as_chunks::<4>();
    let (nexts, next_rest) = next.as_chunks::<4>();
    let (nows, now_rest) = now.as_chunks::<4>();
    for (capacity, (next, now)) in capacities.iter().zip(nexts.iter().zip(nows)) {
        for (sum, (capacity, (next, now))) in sums
            .iter_mut()
            .zip(capacity.iter().zip(next.iter().zip(now)))
        {
            *sum += *capacity * (*next - *now);
        }
    }
    let [a, b, c, d] = sums;
    let mut sum = (a + b) + (c + d);
    for (capacity, (next, now)) in rest.iter().zip(next_rest.iter().zip(now_rest)) {
        sum += *capacity * (*next - *now);
    }
    sum
}

//! The right-hand side that the steps integrate, for comparison with another integrator.

use overwinter_physics::number::Real;

use super::Stepper;
use super::instructions::Begin;
use crate::balance::{Conditions, Scheme};
use crate::model::{CORE, FLOOR_IRRADIANCE, LEAF, SHELL_IRRADIANCE, VAPOUR};
use crate::water_place::WaterPlace;

/// A step so short that nothing moves; a power of two, so that dividing by it is exact.
const INSTANT_S: f64 = 1.0 / 1_073_741_824.0;

impl<R: Real> Stepper<R> {
    /// Rates of change of every unknown and of the water on every place (liquid, ice) at the
    /// present state: the right-hand side that the steps integrate, for comparison with another
    /// integrator. `rates` holds the unknowns, then two values for each place. What stands in a gap
    /// without drain holes is not among them.
    pub fn rates(&mut self, conditions: &Conditions<R>, rates: &mut [R]) {
        // The change over a step so short that nothing else has moved.
        let scheme = Scheme {
            step_s: INSTANT_S,
            second_order: false,
        };
        self.work(Begin, scheme, conditions);
        // The two irradiances have no store: bring them up to date first.
        for _ in 0..2 {
            self.pass(scheme, conditions);
            for index in [SHELL_IRRADIANCE, FLOOR_IRRADIANCE] {
                self.storage.point[index] = self.next[index];
            }
        }
        self.pass(scheme, conditions);
        let size = self.model.size();
        for (index, rate) in rates.iter_mut().enumerate().take(size) {
            *rate = self.change_of(index) / scheme.step_s;
        }
        for place in 0..self.model.places {
            let (settling, freezing, area) = self.settling(place);
            let held = &self.state.water[place];
            let from_ice = R::select(
                settling.lt(R::zero()),
                settling * held.ice_share(),
                R::zero(),
            );
            let draining = self.place(place).draining_kg_m2s(held);
            rates[size + 2 * place] = (settling - from_ice - freezing) / area - draining;
            rates[size + 2 * place + 1] = (from_ice + freezing) / area;
        }
    }

    fn place(&self, place: usize) -> WaterPlace<R> {
        self.model
            .sections
            .iter()
            .flat_map(|section| &section.layers)
            .find(|layer| layer.place_at == place)
            .map_or(self.model.crop.place, |layer| layer.place)
    }

    fn change_of(&self, index: usize) -> R {
        if index < CORE {
            return self.core[index];
        }
        for (section, cover) in self.model.sections.iter().zip(&self.covers) {
            if index >= section.offset && index < section.offset + section.size {
                return cover.change(section, index - section.offset);
            }
        }
        for (wall, balance) in self.model.walls.iter().zip(&self.walls) {
            if index >= wall.offset && index < wall.offset + balance.nodes() {
                return balance.change(index - wall.offset);
            }
        }
        for (column, balance) in self.model.columns.iter().zip(&self.columns) {
            if index >= column.offset && index < column.offset + balance.change().len() {
                return balance.change()[index - column.offset];
            }
        }
        R::zero()
    }

    /// Settling and freezing on a place (kg/s on the whole of it) and its area.
    fn settling(&self, place: usize) -> (R, R, R) {
        for (section, cover) in self.model.sections.iter().zip(&self.covers) {
            for (index, layer) in section.layers.iter().enumerate() {
                if layer.place_at == place {
                    let rate = cover.condensing_kg_s(index, layer, &self.core);
                    return (rate, cover.freezing_kg_s(index), section.area_m2);
                }
            }
        }
        let leaf = &self.room.fluxes.leaf_wet;
        let rate = leaf.after(self.core[VAPOUR], self.core[LEAF]);
        (rate, R::zero(), self.model.crop.two_sided_m2)
    }
}

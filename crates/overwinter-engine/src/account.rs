//! The account of a step and of the time since it was last taken: heat, water, heaters, faces.
//!
//! Every amount is the flux at the end of the step, with the slopes the step was solved with. Heat
//! is carried by the same second-order rule as the temperatures, so that the sum of the terms is
//! the change of the stores to rounding.

use overwinter_physics::number::Real;
use overwinter_units::constants::FUSION_HEAT_J_KG;

use crate::balance::{
    ColumnBalance, Conditions, CoverBalance, RoomFluxes, Scheme, Storage, VAPORISATION_J_KG,
    WallBalance,
};
use crate::ledger::{HEAT_TERMS, HeatTerm, WATER_TERMS, WaterTerm};
use crate::model::{AIR, CORE, FLOOR, LEAF, Model, VAPOUR};
use crate::plant::Plant;
use crate::step::take;
use crate::water_place::WaterMoved;

/// Most heaters the account holds: those of a house and the one that fills its shortfall.
pub const MOST_HEATERS: usize = 8;

/// What one step moved.
#[derive(Clone, Copy, Debug)]
pub struct Amounts<R> {
    /// Heat terms.
    pub heat_j: [R; HEAT_TERMS],
    /// Number of heaters; the entries of the others stay zero.
    pub heaters: usize,
    /// Heat of each heater.
    pub heater_j: [R; MOST_HEATERS],
    /// Output of each heater at the end of the step.
    pub heater_w: [R; MOST_HEATERS],
    /// Water terms.
    pub water_kg: [R; WATER_TERMS],
    /// Change of stored sensible heat.
    pub stored_j: R,
    /// Change of stored vapour.
    pub stored_vapour_kg: R,
    /// Change of water on the places.
    pub stored_places_kg: R,
    /// Air exchange of all kinds, m3.
    pub exchanged_m3: R,
    /// Vent opening times seconds.
    pub vent_open_s: R,
}

/// A solved step, as the account reads it.
#[derive(Clone, Copy, Debug)]
pub struct Solved<'a, R> {
    /// The compiled house.
    pub model: &'a Model<R>,
    /// Its plant.
    pub plant: &'a Plant<R>,
    /// Linearisation point.
    pub storage: &'a Storage<R>,
    /// Sections.
    pub covers: &'a [CoverBalance<R>],
    /// Walls.
    pub walls: &'a [WallBalance<R>],
    /// Floor columns.
    pub columns: &'a [ColumnBalance<R>; 2],
    /// Core.
    pub fluxes: &'a RoomFluxes<R>,
    /// Changes of the core.
    pub core: &'a [R; CORE],
    /// Water that left each place.
    pub moved: &'a [WaterMoved<R>],
}

impl<R: Real> Amounts<R> {
    /// Nothing moved.
    pub fn none() -> Self {
        let zero = R::zero();
        Self {
            heat_j: [zero; HEAT_TERMS],
            heaters: 0,
            heater_j: [zero; MOST_HEATERS],
            heater_w: [zero; MOST_HEATERS],
            water_kg: [zero; WATER_TERMS],
            stored_j: zero,
            stored_vapour_kg: zero,
            stored_places_kg: zero,
            exchanged_m3: zero,
            vent_open_s: zero,
        }
    }

    /// Applies the second-order rule: a third of the last step's amount, two thirds of this one's.
    #[inline(always)]
    pub fn carry_on(&mut self, last: &Self) {
        let third = 1.0 / 3.0;
        for (amount, before) in self.heat_j.iter_mut().zip(&last.heat_j) {
            *amount = *before * third + *amount * (2.0 * third);
        }
        let heaters = self.heaters;
        for (amount, before) in self.heater_j.iter_mut().zip(&last.heater_j).take(heaters) {
            *amount = *before * third + *amount * (2.0 * third);
        }
    }

    /// Sets the lanes of a mask to those of another.
    pub(crate) fn take_lanes(&mut self, lanes: R::Mask, other: &Self) {
        take(lanes, &mut self.heat_j, &other.heat_j);
        self.heaters = other.heaters;
        take(lanes, &mut self.heater_j, &other.heater_j);
        take(lanes, &mut self.heater_w, &other.heater_w);
        take(lanes, &mut self.water_kg, &other.water_kg);
        let one = |own: &mut R, others: R| *own = R::select(lanes, others, *own);
        one(&mut self.stored_j, other.stored_j);
        one(&mut self.stored_vapour_kg, other.stored_vapour_kg);
        one(&mut self.stored_places_kg, other.stored_places_kg);
        one(&mut self.exchanged_m3, other.exchanged_m3);
        one(&mut self.vent_open_s, other.vent_open_s);
    }

    /// Adds another step's amounts.
    #[inline(always)]
    pub fn add(&mut self, other: &Self) {
        fn sum<R: Real>(into: &mut [R], from: &[R]) {
            for (amount, more) in into.iter_mut().zip(from) {
                *amount += *more;
            }
        }
        sum(&mut self.heat_j, &other.heat_j);
        let heaters = other.heaters.min(MOST_HEATERS);
        self.heaters = heaters;
        sum(&mut self.heater_j[..heaters], &other.heater_j[..heaters]);
        sum(&mut self.water_kg, &other.water_kg);
        self.heater_w[..heaters].copy_from_slice(&other.heater_w[..heaters]);
        self.stored_j += other.stored_j;
        self.stored_vapour_kg += other.stored_vapour_kg;
        self.stored_places_kg += other.stored_places_kg;
        self.exchanged_m3 += other.exchanged_m3;
        self.vent_open_s += other.vent_open_s;
    }

    /// Heat terms minus the change of the heat stores.
    #[inline(always)]
    pub fn heat_residual_j(&self) -> R {
        let mut sum = -self.stored_j;
        for term in self.heat_j {
            sum += term;
        }
        sum
    }

    /// Sum of the sizes of the heat terms and of the change of store.
    #[inline(always)]
    pub fn heat_throughput_j(&self) -> R {
        let mut sum = self.stored_j.abs();
        for term in self.heat_j {
            sum += term.abs();
        }
        sum
    }

    /// Water terms minus the change of the water stores.
    #[inline(always)]
    pub fn water_residual_kg(&self) -> R {
        let mut sum = -(self.stored_vapour_kg + self.stored_places_kg);
        for term in self.water_kg {
            sum += term;
        }
        sum
    }

    /// Sum of the sizes of the water terms and of the changes of store.
    #[inline(always)]
    pub fn water_throughput_kg(&self) -> R {
        let mut sum = self.stored_vapour_kg.abs() + self.stored_places_kg.abs();
        for term in self.water_kg {
            sum += term.abs();
        }
        sum
    }
}

/// Sums of amounts since the account was last taken.
#[derive(Clone, Debug)]
pub struct Account<R> {
    /// Amounts since then.
    pub sum: Amounts<R>,
    /// Worst residual of a step since the start, share of its throughput: heat, water.
    pub worst: [R; 2],
}

impl<R: Real> Default for Account<R> {
    fn default() -> Self {
        Self {
            sum: Amounts::none(),
            worst: [R::zero(); 2],
        }
    }
}

impl<R: Real> Account<R> {
    /// Adds a step. `least` is the throughput of heat and of water (J, kg) below which a residual is
    /// rounding of the stores themselves.
    #[inline(always)]
    pub fn book(&mut self, amounts: &Amounts<R>, least: [R; 2]) {
        let heat = amounts.heat_residual_j().abs() / amounts.heat_throughput_j().max(least[0]);
        let water = amounts.water_residual_kg().abs() / amounts.water_throughput_kg().max(least[1]);
        self.worst = [self.worst[0].max(heat), self.worst[1].max(water)];
        self.sum.add(amounts);
    }

    /// Sets the lanes of a mask to those of another.
    pub(crate) fn take_lanes(&mut self, lanes: R::Mask, other: &Self) {
        self.sum.take_lanes(lanes, &other.sum);
        take(lanes, &mut self.worst, &other.worst);
    }

    /// Starts to sum up anew.
    pub fn clear(&mut self) {
        self.sum = Amounts::none();
    }
}

/// Sets `amounts` to what a solved step moved, before the second-order rule.
#[inline(always)]
pub fn fill<R: Real>(
    solved: &Solved<'_, R>,
    conditions: &Conditions<R>,
    scheme: Scheme,
    amounts: &mut Amounts<R>,
) {
    amounts.heat_j = [R::zero(); HEAT_TERMS];
    amounts.water_kg = [R::zero(); WATER_TERMS];
    amounts.exchanged_m3 = R::zero();
    heaters(solved, conditions, amounts);
    sun_and_gains(solved, conditions, amounts);
    cover(solved, conditions, amounts);
    opaque(solved, amounts);
    air(solved, conditions, amounts);
    latent(solved, amounts);
    let step = scheme.step_s;
    for amount in &mut amounts.heat_j {
        *amount = *amount * step;
    }
    for amount in &mut amounts.heater_j[..solved.plant.heaters.len()] {
        *amount = *amount * step;
    }
    for amount in &mut amounts.water_kg {
        *amount = *amount * step;
    }
    amounts.exchanged_m3 = amounts.exchanged_m3 * step;
    amounts.vent_open_s = solved.fluxes.vents.value.max(R::zero()) * step;
    drained(solved, amounts);
}

#[inline(always)]
fn heaters<R: Real>(solved: &Solved<'_, R>, conditions: &Conditions<R>, amounts: &mut Amounts<R>) {
    let moved = solved.core[AIR];
    let air_k = solved.storage.point[AIR] + moved;
    amounts.heaters = solved.plant.heaters.len();
    for (index, (heater, assumed)) in solved
        .plant
        .heaters
        .iter()
        .zip(&solved.fluxes.heaters)
        .enumerate()
    {
        let found = heater.share(conditions.heat_set_k, air_k).value;
        let straight = assumed.value + assumed.slope_per_k * moved;
        let convective = heater.convective_share;
        let share = convective * found + (R::one() - convective) * straight;
        let output = heater.output_w * share;
        amounts.heater_j[index] = output;
        amounts.heater_w[index] = output;
        amounts.heat_j[HeatTerm::Heater as usize] += output;
        amounts.heat_j[HeatTerm::Gains as usize] += heater.electric_w * found;
        amounts.water_kg[WaterTerm::Heater as usize] +=
            heater.output_w * heater.water_kg_j * straight;
    }
    if solved.plant.has_cooler() {
        let cooling = solved.plant.cooling_w(conditions.cool_set_k, air_k);
        amounts.heat_j[HeatTerm::Cooling as usize] = -cooling.value;
    }
}

#[inline(always)]
fn sun_and_gains<R: Real>(
    solved: &Solved<'_, R>,
    conditions: &Conditions<R>,
    amounts: &mut Amounts<R>,
) {
    let sun = &conditions.sun;
    amounts.heat_j[HeatTerm::SunInside as usize] = sun.inside_w;
    amounts.heat_j[HeatTerm::SunShell as usize] = sun.shell_w;
    let mut radiant = R::zero();
    let per_area = conditions.radiant_gain_w / (solved.model.shell_m2 + solved.model.floor_m2);
    radiant += per_area * (solved.model.shell_m2 + solved.model.floor_m2);
    amounts.heat_j[HeatTerm::Gains as usize] += conditions.convective_gain_w + radiant;
}

#[inline(always)]
fn cover<R: Real>(solved: &Solved<'_, R>, conditions: &Conditions<R>, amounts: &mut Amounts<R>) {
    for (section, cover) in solved.model.sections.iter().zip(solved.covers) {
        amounts.heat_j[HeatTerm::CoverLongwave as usize] +=
            cover.longwave_in_w(section, solved.core);
        amounts.heat_j[HeatTerm::CoverConvection as usize] +=
            cover.convection_in_w(section, solved.storage, conditions.drive.air_k);
        let (heat, vapour) = cover.blower_in(conditions);
        amounts.heat_j[HeatTerm::Blower as usize] += heat;
        amounts.water_kg[WaterTerm::Blower as usize] += vapour;
        amounts.exchanged_m3 += cover.house_air_taken_m3_s;
    }
}

#[inline(always)]
fn opaque<R: Real>(solved: &Solved<'_, R>, amounts: &mut Amounts<R>) {
    for wall in solved.walls {
        amounts.heat_j[HeatTerm::Walls as usize] += wall.entering_w();
    }
    for balance in solved.columns {
        amounts.heat_j[HeatTerm::GroundBelow as usize] += balance.from_below_w();
        amounts.heat_j[HeatTerm::GroundEdge as usize] += balance.sideways_w();
    }
}

#[inline(always)]
fn air<R: Real>(solved: &Solved<'_, R>, conditions: &Conditions<R>, amounts: &mut Amounts<R>) {
    let Solved {
        model,
        storage,
        fluxes,
        core,
        ..
    } = solved;
    let colder = conditions.drive.air_k - storage.point[AIR] - core[AIR];
    let drier = conditions.drive.vapour_kg_m3 - storage.point[VAPOUR] - core[VAPOUR];
    amounts.heat_j[HeatTerm::Leakage as usize] = fluxes.leak_m3_s * model.air_heat_j_m3k * colder;
    amounts.water_kg[WaterTerm::Leakage as usize] = fluxes.leak_m3_s * drier;
    amounts.heat_j[HeatTerm::Vents as usize] = fluxes.vents_in_w(model, storage, conditions, core);
    amounts.water_kg[WaterTerm::Vents as usize] = fluxes.vents_in_kg_s(storage, conditions, core);
    amounts.exchanged_m3 +=
        fluxes.leak_m3_s + fluxes.ventilation_m3_s + fluxes.open_vents_m3_s * fluxes.vents.value;
}

/// Water that settles or evaporates anywhere, and what freezes.
#[inline(always)]
fn latent<R: Real>(solved: &Solved<'_, R>, amounts: &mut Amounts<R>) {
    let Solved {
        model,
        fluxes,
        core,
        covers,
        ..
    } = solved;
    let mut settling = R::zero();
    let mut freezing = R::zero();
    for (section, cover) in model.sections.iter().zip(*covers) {
        for (index, layer) in section.layers.iter().enumerate() {
            settling += cover.condensing_kg_s(index, layer, core);
            freezing += cover.freezing_kg_s(index);
        }
    }
    let vapour = core[VAPOUR];
    for (surface, floor) in FLOOR.into_iter().zip(&fluxes.floor) {
        let rate = floor.after(vapour, core[surface]);
        settling += rate;
        amounts.water_kg[WaterTerm::Floor as usize] -= rate;
    }
    let fog = fluxes.fog.after(vapour, core[AIR]);
    settling += fog;
    amounts.water_kg[WaterTerm::Drip as usize] -= fog;
    settling += fluxes.leaf_wet.after(vapour, core[LEAF]);
    let stomata = fluxes.stomata.after(vapour, core[LEAF]);
    settling += stomata;
    amounts.water_kg[WaterTerm::Transpiration as usize] -= stomata;
    amounts.heat_j[HeatTerm::Evaporation as usize] = settling * VAPORISATION_J_KG;
    amounts.heat_j[HeatTerm::Freezing as usize] = freezing * FUSION_HEAT_J_KG;
}

/// Water that ran off the places.
#[inline(always)]
fn drained<R: Real>(solved: &Solved<'_, R>, amounts: &mut Amounts<R>) {
    let mut add = |moved: &WaterMoved<R>, area: R| {
        amounts.water_kg[WaterTerm::Gutter as usize] -= moved.gutter_kg_m2 * area;
        amounts.water_kg[WaterTerm::Drip as usize] -= moved.drip_kg_m2 * area;
    };
    for section in &solved.model.sections {
        for layer in &section.layers {
            add(&solved.moved[layer.place_at], section.area_m2);
        }
    }
    add(
        &solved.moved[solved.model.leaf_place()],
        solved.model.crop.two_sided_m2,
    );
}

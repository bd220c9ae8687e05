//! A cover section: films, the spaces between them, the water on them, eliminated into the core.

use overwinter_physics::longwave::MAX_LAYERS;
use overwinter_physics::number::Real;
use overwinter_physics::{air_exchange, convection};
use overwinter_units::constants::STEFAN_BOLTZMANN_W_M2K4;

use super::block::{
    Block, Eliminated, FELT_AIR, FELT_SHELL, FELT_VAPOUR, IN_AIR, IN_PLANE, IN_VAPOUR,
};
use super::gap::{Gap, GapBalance};
use super::layer_response::Longwave;
use super::settling::{Condensing, Face};
use super::{Conditions, Core, FELT, Moment, Storage, VAPORISATION_J_KG};
use crate::model::{
    AIR, AirBelow, CORE, FLOOR_IRRADIANCE, LayerModel, Model, SHELL_IRRADIANCE, SectionModel,
    SpaceModel, VAPOUR,
};
use crate::water_place::WaterHeld;

/// A section's block and what its fluxes were made of.
#[derive(Clone, Debug)]
pub struct CoverBalance<R> {
    eliminated: Eliminated<R>,
    gaps: [Gap<R>; MAX_LAYERS - 1],
    /// Changes of the layers, once the core is solved.
    change: [R; MAX_LAYERS],
    /// Changes of air and vapour of the spaces.
    gap_change: [[R; 2]; MAX_LAYERS - 1],
    /// Water on the lower face of each layer.
    pub condensing: [Condensing<R>; MAX_LAYERS],
    longwave: Longwave<R>,
    outside_w_k: R,
    longwave_in_w: R,
    longwave_slopes: [R; MAX_LAYERS + 1],
    blowers: [Option<BlowerFlux<R>>; MAX_LAYERS - 1],
    /// House air that the blower takes, made up by outdoor air, m3/s.
    pub house_air_taken_m3_s: R,
}

/// A blower that keeps a space inflated.
#[derive(Clone, Copy, Debug)]
struct BlowerFlux<R> {
    space: usize,
    gap_k: R,
    vapour_kg_m3: R,
    heat_w_k: R,
    flow_m3_s: R,
}

/// What a section sees in a pass.
struct View<'a, R, const LAYERS: usize> {
    moment: Moment<'a, R>,
    section: &'a SectionModel<R>,
    layers: &'a [LayerModel<R>; LAYERS],
    /// 1 if the screen is drawn, else 0.
    closed: R,
    /// Temperature of each layer at the linearisation point.
    layer_k: [R; LAYERS],
}

impl<R: Real> CoverBalance<R> {
    /// A section before its first step.
    pub fn new() -> Self {
        let zero = R::zero();
        Self {
            eliminated: Eliminated::none(),
            gaps: [Gap::none(); MAX_LAYERS - 1],
            change: [zero; MAX_LAYERS],
            gap_change: [[zero; 2]; MAX_LAYERS - 1],
            condensing: [Condensing::none(); MAX_LAYERS],
            longwave: Longwave::unknown(),
            outside_w_k: zero,
            longwave_in_w: zero,
            longwave_slopes: [zero; MAX_LAYERS + 1],
            blowers: [None; MAX_LAYERS - 1],
            house_air_taken_m3_s: zero,
        }
    }

    /// Takes up wetness and screen, which hold for all passes of a step.
    #[inline(always)]
    pub fn begin(&mut self, section: &SectionModel<R>, water: &[WaterHeld<R>], closed: R) {
        self.longwave.refresh(section, water, closed);
    }

    /// Builds the section's block at the linearisation point and eliminates it into the core.
    #[inline(always)]
    pub fn assemble(&mut self, moment: Moment<'_, R>, index: usize, core: &mut Core<R>) {
        let section = &moment.model.sections[index];
        match (section.layers.len(), section.mixed) {
            (1, _) => self.assemble_layers::<1, false>(moment, index, core),
            (2, false) => self.assemble_layers::<2, false>(moment, index, core),
            (2, true) => self.assemble_layers::<2, true>(moment, index, core),
            (3, _) => self.assemble_layers::<3, true>(moment, index, core),
            _ => self.assemble_layers::<MAX_LAYERS, true>(moment, index, core),
        }
    }

    /// Gives the section's unknowns their change and next value, once the core is known.
    #[inline(always)]
    pub fn substitute(
        &mut self,
        section: &SectionModel<R>,
        storage: &Storage<R>,
        core: &[R; CORE],
        next: &mut [R],
    ) {
        match (section.layers.len(), section.mixed) {
            (1, _) => self.substitute_layers::<1, false>(section, storage, core, next),
            (2, false) => self.substitute_layers::<2, false>(section, storage, core, next),
            (2, true) => self.substitute_layers::<2, true>(section, storage, core, next),
            (3, _) => self.substitute_layers::<3, true>(section, storage, core, next),
            _ => self.substitute_layers::<MAX_LAYERS, true>(section, storage, core, next),
        }
    }

    /// Change of one of the section's unknowns in the last pass.
    pub fn change(&self, section: &SectionModel<R>, local: usize) -> R {
        for (index, layer) in section.layers.iter().enumerate() {
            if layer.at == local {
                return self.change[index];
            }
            if let AirBelow::Space(at) = layer.below
                && (at..at + 2).contains(&local)
            {
                return self.gap_change[index - 1][local - at];
            }
        }
        R::zero()
    }

    /// Longwave from sky and surroundings into cover and house, W, after the changes.
    #[inline(always)]
    pub fn longwave_in_w(&self, section: &SectionModel<R>, core: &[R; CORE]) -> R {
        let mut flux = self.longwave_in_w;
        for index in 0..section.layers.len() {
            flux += self.longwave_slopes[index] * self.change[index];
        }
        flux + self.longwave_slopes[section.layers.len()] * core[SHELL_IRRADIANCE]
    }

    /// Convection from the outdoor air into the cover, W, after the changes.
    #[inline(always)]
    pub fn convection_in_w(
        &self,
        section: &SectionModel<R>,
        storage: &Storage<R>,
        outdoor_k: R,
    ) -> R {
        let outermost = section.layers.len() - 1;
        let point_k = storage.point[section.offset + section.layers[outermost].at];
        self.outside_w_k * (outdoor_k - point_k - self.change[outermost])
    }

    /// Heat (W) and vapour (kg/s) that blower air brings into house and gap, after the changes.
    #[inline(always)]
    pub fn blower_in(&self, conditions: &Conditions<R>) -> (R, R) {
        let mut heat_w = R::zero();
        let mut vapour_kg_s = R::zero();
        for blower in self.blowers.iter().flatten() {
            let [warmer, damper] = self.gap_change[blower.space];
            let drive = &conditions.drive;
            heat_w += blower.heat_w_k * (drive.air_k - blower.gap_k - warmer);
            vapour_kg_s += blower.flow_m3_s * (drive.vapour_kg_m3 - blower.vapour_kg_m3 - damper);
        }
        (heat_w, vapour_kg_s)
    }

    /// Rate at which vapour settles on a layer's lower face, kg/s, after the changes.
    #[inline(always)]
    pub fn condensing_kg_s(
        &self,
        layer_index: usize,
        layer: &LayerModel<R>,
        core: &[R; CORE],
    ) -> R {
        let vapour = match layer.below {
            AirBelow::House => core[VAPOUR],
            AirBelow::Space(_) => self.gap_change[layer_index - 1][1],
            AirBelow::Sealed => R::zero(),
        };
        self.condensing[layer_index].after(vapour, self.change[layer_index])
    }

    /// Water that freezes on a layer's lower face, kg/s, after the changes.
    #[inline(always)]
    pub fn freezing_kg_s(&self, layer_index: usize) -> R {
        self.condensing[layer_index].freezing_after(self.change[layer_index])
    }

    /// Change of a layer's temperature in the last pass.
    #[inline(always)]
    pub fn layer_change_k(&self, layer_index: usize) -> R {
        self.change[layer_index]
    }

    #[inline(always)]
    fn assemble_layers<const LAYERS: usize, const MIXED: bool>(
        &mut self,
        moment: Moment<'_, R>,
        index: usize,
        core: &mut Core<R>,
    ) {
        let Moment {
            model,
            storage,
            conditions,
            ..
        } = moment;
        let section = &model.sections[index];
        let Some(layers) = section.layers.first_chunk::<LAYERS>() else {
            return;
        };
        let at = layers.each_ref().map(|layer| section.offset + layer.at);
        let view = View {
            moment,
            section,
            layers,
            closed: conditions.screen_closed[index],
            layer_k: at.map(|unknown| storage.point[unknown]),
        };
        let mut push = at.map(|unknown| storage.push(unknown));
        for (push, absorbed) in push.iter_mut().zip(conditions.sun.absorbed_w[index]) {
            *push += absorbed;
        }
        push[0] += conditions.radiant_gain_w * section.shell_and_floor_share;
        let mut block = Block::new(at.map(|unknown| storage.diagonal[unknown]), push);
        self.blowers = [None; MAX_LAYERS - 1];
        self.house_air_taken_m3_s = R::zero();
        self.innermost_face(&view, &mut block, core);
        for space in 0..LAYERS - 1 {
            self.space::<LAYERS, MIXED>(&view, space, &mut block, core);
        }
        self.exchange_longwave(&view, &mut block, core);
        self.outer_face(&view, &mut block);
        block.eliminate::<MIXED>(core, &mut self.eliminated);
    }

    #[inline(always)]
    fn substitute_layers<const LAYERS: usize, const MIXED: bool>(
        &mut self,
        section: &SectionModel<R>,
        storage: &Storage<R>,
        core: &[R; CORE],
        next: &mut [R],
    ) {
        let Some(layers) = section.layers.first_chunk::<LAYERS>() else {
            return;
        };
        let felt = FELT.map(|unknown| core[unknown]);
        self.eliminated
            .substitute::<LAYERS, MIXED>(felt, &mut self.change);
        let own = section.offset..section.offset + section.size;
        let (next, point) = (&mut next[own.clone()], &storage.point[own]);
        for (index, layer) in layers.iter().enumerate() {
            let change = self.change[index];
            next[layer.at] = point[layer.at] + change;
            if let AirBelow::Space(at) = layer.below {
                let around = [self.change[index - 1], change];
                let gap = &self.gaps[index - 1];
                let changes = gap.change::<MIXED>(around, [felt[FELT_AIR], felt[FELT_VAPOUR]]);
                next[at] = point[at] + changes[0];
                next[at + 1] = point[at + 1] + changes[1];
                self.gap_change[index - 1] = changes;
            }
        }
    }

    /// Convection and water on the face that meets the house air.
    #[inline(always)]
    fn innermost_face<const LAYERS: usize>(
        &mut self,
        view: &View<'_, R, LAYERS>,
        block: &mut Block<R, LAYERS>,
        core: &mut Core<R>,
    ) {
        let View {
            moment, section, ..
        } = view;
        let point = &moment.storage.point;
        let (air_k, vapour) = (point[AIR], point[VAPOUR]);
        let face_k = view.layer_k[0];
        let coefficient = inside_coefficient(moment.model, section, face_k - air_k);
        let conductance = coefficient * section.area_m2;
        let flux = conductance * (air_k - face_k);
        // An open screen hangs folded: no water settles on it.
        let exposed = if section.has_screen {
            section.area_m2 * view.closed
        } else {
            section.area_m2
        };
        let face = Face {
            layer: &view.layers[0],
            area_m2: exposed,
            coefficient,
            face_k,
        };
        let settling = face.settling(*moment, vapour);
        let latent = VAPORISATION_J_KG;
        block.gain(0, flux + settling.heat_w());
        block.slope(0, 0, -(conductance + settling.heat_by_face_w_k()));
        block.feel(0, FELT_AIR, conductance);
        block.feel(0, FELT_VAPOUR, settling.by_vapour * latent);
        core.gain(AIR, -flux);
        core.slope(AIR, AIR, -conductance);
        block.felt_by(IN_AIR, 0, conductance);
        core.gain(VAPOUR, -settling.rate_kg_s);
        core.slope(VAPOUR, VAPOUR, -settling.by_vapour);
        block.felt_by(IN_VAPOUR, 0, settling.by_face);
        self.condensing[0] = settling;
    }

    /// A space above a layer, with both of its faces.
    #[inline(always)]
    fn space<const LAYERS: usize, const MIXED: bool>(
        &mut self,
        view: &View<'_, R, LAYERS>,
        space: usize,
        block: &mut Block<R, LAYERS>,
        core: &mut Core<R>,
    ) {
        let View {
            moment, section, ..
        } = view;
        let storage = moment.storage;
        let (lower_k, upper_k) = (view.layer_k[space], view.layer_k[space + 1]);
        let gap_at = |at: usize| {
            let unknown = section.offset + at;
            (unknown, storage.point[unknown], storage.point[unknown + 1])
        };
        match &section.spaces[space] {
            SpaceModel::Sealed {
                cavity,
                bridge_w_m2k,
                panes,
            } => {
                let mut per_area = cavity.conductance_w_m2k(lower_k, upper_k) + *bridge_w_m2k;
                if let Some(panes) = panes {
                    per_area = panes.beside_radiation_w_m2k(per_area, lower_k, upper_k);
                }
                let conductance = per_area * section.area_m2;
                block.couple(space + 1, space, conductance, lower_k - upper_k);
                self.condensing[space + 1] = Condensing::none();
            }
            SpaceModel::Inflated {
                at,
                cavity,
                flow_m3_s,
                from_inside,
                touching_share,
                touching_w_m2k,
                flapping_w_m2k,
            } => {
                let (unknown, gap_k, vapour_kg_m3) = gap_at(*at);
                // Two faces in series give the conductance of the cavity.
                let apart = R::one() - *touching_share;
                let still = cavity.conductance_w_m2k(lower_k, upper_k);
                let face = still.max(*flapping_w_m2k) * apart * 2.0;
                if R::any(R::zero().lt(*touching_share)) {
                    let touching = *touching_share * *touching_w_m2k * section.area_m2;
                    block.couple(space + 1, space, touching, lower_k - upper_k);
                }
                let flow = self.blow::<MIXED>(*moment, *flow_m3_s, *from_inside, core);
                self.blowers[space] = Some(BlowerFlux {
                    space,
                    gap_k,
                    vapour_kg_m3,
                    heat_w_k: flow.passing[0],
                    flow_m3_s: flow.passing[1],
                });
                let balance = self.gap_balance(view, space, unknown, [face, face], flow);
                self.gaps[space] = balance.eliminate::<MIXED, LAYERS>(block);
            }
            SpaceModel::AboveScreen {
                at,
                leakage_m3_s_k066,
                open_flow_m3_s,
            } => {
                let (unknown, gap_k, vapour_kg_m3) = gap_at(*at);
                let faces = [lower_k, upper_k].map(|face_k| {
                    // Fans below reach the cover only past an open screen.
                    let open = inside_coefficient(moment.model, section, face_k - gap_k);
                    let natural_scale = moment.model.natural_scale;
                    let still = convection::inside_cover(face_k - gap_k) * natural_scale;
                    view.closed * still + (R::one() - view.closed) * open
                });
                let source = [storage.point[AIR], storage.point[VAPOUR]];
                let difference = [source[0] - gap_k, source[1] - vapour_kg_m3];
                let leak = air_exchange::screen_leak(*leakage_m3_s_k066, difference[0]);
                let flow = view.closed * leak + (R::one() - view.closed) * *open_flow_m3_s;
                let passing = [flow * moment.model.air_heat_j_m3k, flow];
                let flow = GapFlow {
                    passing,
                    from_house: passing,
                    source,
                };
                let balance = self.gap_balance(view, space, unknown, faces, flow);
                let gap = balance.eliminate::<MIXED, LAYERS>(block);
                balance.give_back(&gap, difference, block, core);
                self.gaps[space] = gap;
            }
        }
    }

    /// All that flows into and out of a space, and the water on the layer above it.
    #[inline(always)]
    fn gap_balance<const LAYERS: usize>(
        &mut self,
        view: &View<'_, R, LAYERS>,
        space: usize,
        unknown: usize,
        faces_w_m2k: [R; 2],
        flow: GapFlow<R>,
    ) -> GapBalance<R> {
        let storage = view.moment.storage;
        let area_m2 = view.section.area_m2;
        let (gap_k, vapour_kg_m3) = (storage.point[unknown], storage.point[unknown + 1]);
        let face_k = view.layer_k[space + 1];
        let face = Face {
            layer: &view.layers[space + 1],
            area_m2,
            coefficient: faces_w_m2k[1],
            face_k,
        };
        let settling = face.settling(view.moment, vapour_kg_m3);
        self.condensing[space + 1] = settling;
        let faces_w_k = faces_w_m2k.map(|coefficient| coefficient * area_m2);
        let heat_w = flow.passing[0] * (flow.source[0] - gap_k);
        let vapour_kg_s = flow.passing[1] * (flow.source[1] - vapour_kg_m3);
        GapBalance {
            lower: space,
            storage: [storage.diagonal[unknown], storage.diagonal[unknown + 1]],
            push: [
                storage.push(unknown) + heat_w,
                storage.push(unknown + 1) + vapour_kg_s,
            ],
            faces_w_k,
            faces_w: [
                faces_w_k[0] * (view.layer_k[space] - gap_k),
                faces_w_k[1] * (gap_k - face_k),
            ],
            settling,
            passing: flow.passing,
            from_house: flow.from_house,
        }
    }

    /// Blower air through an inflated space; house air that it takes is made up by outdoor air.
    #[inline(always)]
    fn blow<const MIXED: bool>(
        &mut self,
        moment: Moment<'_, R>,
        flow_m3_s: R,
        inside: R,
        core: &mut Core<R>,
    ) -> GapFlow<R> {
        let drive = &moment.conditions.drive;
        let passing = [moment.model.air_heat_j_m3k * flow_m3_s, flow_m3_s];
        let outdoors = [drive.air_k, drive.vapour_kg_m3];
        let nothing = [R::zero(); 2];
        if !MIXED {
            return GapFlow {
                passing,
                from_house: nothing,
                source: outdoors,
            };
        }
        let point = &moment.storage.point;
        let house = [point[AIR], point[VAPOUR]];
        let from_house = passing.map(|flow| flow * inside);
        let mut source = nothing;
        for (index, balance) in [AIR, VAPOUR].into_iter().enumerate() {
            let outside = R::one() - inside;
            source[index] = inside * house[index] + outside * outdoors[index];
            core.gain(
                balance,
                from_house[index] * (outdoors[index] - house[index]),
            );
            core.slope(balance, balance, -from_house[index]);
        }
        self.house_air_taken_m3_s += from_house[1];
        GapFlow {
            passing,
            from_house,
            source,
        }
    }

    /// Longwave exchange of the layers with house and sky.
    #[inline(always)]
    fn exchange_longwave<const LAYERS: usize>(
        &mut self,
        view: &View<'_, R, LAYERS>,
        block: &mut Block<R, LAYERS>,
        core: &mut Core<R>,
    ) {
        let drive = &view.moment.conditions.drive;
        let sky_view = view.section.sky_view;
        let from_outside =
            sky_view * drive.sky_longwave_w_m2 + (R::one() - sky_view) * drive.ground_longwave_w_m2;
        let from_house = view.moment.storage.point[SHELL_IRRADIANCE];
        let emitted = view.layer_k.map(|k| {
            let squared = k * k;
            squared * squared * STEFAN_BOLTZMANN_W_M2K4
        });
        let slopes = view
            .layer_k
            .map(|k| k * k * k * (4.0 * STEFAN_BOLTZMANN_W_M2K4));
        let response = &self.longwave.response;
        let answer = |gains: &[R; MAX_LAYERS + 2]| {
            let mut sum = gains[LAYERS] * from_house + gains[LAYERS + 1] * from_outside;
            for (gain, source) in gains.iter().zip(emitted) {
                sum += *gain * source;
            }
            sum
        };
        for layer in 0..LAYERS {
            let gains = &response.absorbed[layer];
            block.gain(layer, answer(gains));
            for other in 0..LAYERS {
                let slope = gains[other] * slopes[other];
                block.slope(layer, other, slope);
            }
            block.feel(layer, FELT_SHELL, gains[LAYERS]);
        }
        let (to_house, to_outside) = (&response.to_house, &response.to_outside);
        core.gain(FLOOR_IRRADIANCE, answer(to_house));
        core.slope(FLOOR_IRRADIANCE, SHELL_IRRADIANCE, to_house[LAYERS]);
        self.longwave_in_w = from_outside * view.section.area_m2 - answer(to_outside);
        for layer in 0..LAYERS {
            let slope = to_house[layer] * slopes[layer];
            block.felt_by(IN_PLANE, layer, slope);
            self.longwave_slopes[layer] = -(to_outside[layer] * slopes[layer]);
        }
        self.longwave_slopes[LAYERS] = -to_outside[LAYERS];
    }

    #[inline(always)]
    fn outer_face<const LAYERS: usize>(
        &mut self,
        view: &View<'_, R, LAYERS>,
        block: &mut Block<R, LAYERS>,
    ) {
        let Moment {
            model, conditions, ..
        } = view.moment;
        let slot = LAYERS - 1;
        let colder_k = conditions.drive.air_k - view.layer_k[slot];
        let coefficient = match view.section.fixed_w_m2k[1] {
            Some(fixed) => R::splat(fixed),
            None => convection::outside_cover(
                conditions.drive.cover_coefficient_w_m2k,
                -colder_k,
                model.outside_natural_scale,
            ),
        };
        let conductance = coefficient * view.section.area_m2;
        block.gain(slot, conductance * colder_k);
        block.slope(slot, slot, -conductance);
        self.outside_w_k = conductance;
    }
}

/// Air that passes through a space: heat (W/K) and volume (m3/s), the part from the house, and the
/// temperature and vapour density it comes with.
struct GapFlow<R> {
    passing: [R; 2],
    from_house: [R; 2],
    source: [R; 2],
}

impl<R: Real> Default for CoverBalance<R> {
    fn default() -> Self {
        Self::new()
    }
}

/// Convective coefficient between the house air and a face of the shell.
#[inline(always)]
fn inside_coefficient<R: Real>(model: &Model<R>, section: &SectionModel<R>, difference_k: R) -> R {
    match section.fixed_w_m2k[0] {
        Some(fixed) => R::splat(fixed),
        None if section.is_upright => {
            convection::wall_inside_mixed(difference_k, model.forced_cubed) * model.natural_scale
        }
        None => {
            convection::inside_cover_mixed(difference_k, model.forced_cubed) * model.natural_scale
        }
    }
}

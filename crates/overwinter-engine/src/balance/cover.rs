//! A cover section: films, the spaces between them, the water on them, eliminated into the core.

use overwinter_physics::longwave::{
    LayerLongwave, MAX_LAYERS, StackResponse, stack_response, wet_lower_face,
};
use overwinter_physics::number::Real;
use overwinter_physics::{air_exchange, convection, moist_air};
use overwinter_units::constants::{FUSION_HEAT_J_KG, STEFAN_BOLTZMANN_W_M2K4};

use super::{Conditions, Core, FEELING, FELT, Moment, Storage, VAPORISATION_J_KG};
use crate::model::{
    AIR, AirBelow, CORE, FLOOR_IRRADIANCE, LayerModel, MOST_LOCAL, Model, SHELL_IRRADIANCE,
    SectionModel, SpaceModel, VAPOUR,
};
use crate::solver::solve_block;
use crate::water_place::WaterHeld;

/// Column of the core vapour and so on in [`FELT`].
const FELT_AIR: usize = 0;
const FELT_VAPOUR: usize = 1;
const FELT_SHELL: usize = 2;
/// The column of known fluxes.
const KNOWN: usize = 3;

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
    /// Water that freezes on the face, kg/s.
    pub freezing_kg_s: R,
}

impl<R: Real> Condensing<R> {
    fn none() -> Self {
        let zero = R::zero();
        Self {
            rate_kg_s: zero,
            by_vapour: zero,
            by_face: zero,
            share: zero,
            freezing_kg_s: zero,
        }
    }

    /// The rate after the changes of vapour and face temperature.
    #[inline(always)]
    pub fn after(&self, vapour: R, face: R) -> R {
        self.rate_kg_s + self.by_vapour * vapour - self.by_face * face
    }
}

/// A section's block and what its fluxes were made of.
#[derive(Clone, Debug)]
pub struct CoverBalance<R> {
    matrix: [[R; MOST_LOCAL]; MOST_LOCAL],
    columns: [[R; 4]; MOST_LOCAL],
    core_rows: [[R; MOST_LOCAL]; 3],
    /// Changes of the section's unknowns, once the core is solved.
    pub change: [R; MOST_LOCAL],
    /// Water on the lower face of each layer.
    pub condensing: [Condensing<R>; MAX_LAYERS],
    response: StackResponse<R>,
    response_wet: [R; MAX_LAYERS],
    response_closed: R,
    response_known: bool,
    outside_w_k: R,
    longwave_in_w: R,
    longwave_slopes: [R; MAX_LAYERS + 1],
    blower: Option<BlowerFlux<R>>,
    /// Coefficient between the air of each inflated space and either of its faces.
    inflated_w_m2k: [R; MAX_LAYERS],
    /// House air that the blower takes, made up by outdoor air, m3/s.
    pub house_air_taken_m3_s: R,
}

/// A blower that keeps a space inflated.
#[derive(Clone, Copy, Debug)]
struct Blower<R> {
    at: usize,
    flow_m3_s: R,
    from_inside: R,
}

#[derive(Clone, Copy, Debug)]
struct BlowerFlux<R> {
    at: usize,
    heat_w_k: R,
    flow_m3_s: R,
}

impl<R: Real> CoverBalance<R> {
    /// An empty block.
    pub fn new() -> Self {
        let zero = R::zero();
        let source = [zero; MAX_LAYERS + 2];
        Self {
            matrix: [[zero; MOST_LOCAL]; MOST_LOCAL],
            columns: [[zero; 4]; MOST_LOCAL],
            core_rows: [[zero; MOST_LOCAL]; 3],
            change: [zero; MOST_LOCAL],
            condensing: [Condensing::none(); MAX_LAYERS],
            response: StackResponse {
                absorbed: [source; MAX_LAYERS],
                to_house: source,
                to_outside: source,
            },
            response_wet: [zero; MAX_LAYERS],
            response_closed: zero,
            response_known: false,
            outside_w_k: zero,
            longwave_in_w: zero,
            longwave_slopes: [zero; MAX_LAYERS + 1],
            blower: None,
            inflated_w_m2k: [zero; MAX_LAYERS],
            house_air_taken_m3_s: zero,
        }
    }

    /// Builds the section's block at the linearisation point and eliminates it into the core.
    #[inline]
    pub fn assemble(&mut self, moment: Moment<'_, R>, index: usize, core: &mut Core<R>) {
        let Moment {
            model,
            storage,
            conditions,
            ..
        } = moment;
        let section = &model.sections[index];
        let closed = conditions.screen_closed[index];
        self.start(section, storage);
        self.across_spaces(section, storage);
        self.faces(moment, section, closed, core);
        self.spaces(moment, section, closed, core);
        self.longwave(moment, section, closed, core);
        for (layer, absorbed) in section.layers.iter().zip(conditions.sun.absorbed_w[index]) {
            self.gain(layer.at, absorbed);
        }
        let radiant =
            conditions.radiant_gain_w * section.area_m2 / (model.shell_m2 + model.floor_m2);
        self.gain(section.layers[0].at, radiant);
        self.outer_face(section, storage, conditions);
        self.eliminate(section.size, core);
    }

    /// Gives the section's unknowns their change, once the core is known.
    #[inline]
    pub fn substitute(&mut self, size: usize, core: &[R; CORE]) {
        for local in 0..size {
            let mut change = self.columns[local][KNOWN];
            for (column, unknown) in FELT.iter().enumerate() {
                change -= self.columns[local][column] * core[*unknown];
            }
            self.change[local] = change;
        }
    }

    /// Longwave from sky and surroundings into cover and house, W, after the changes.
    #[inline]
    pub fn longwave_in_w(&self, section: &SectionModel<R>, core: &[R; CORE]) -> R {
        let mut flux = self.longwave_in_w;
        for (index, layer) in section.layers.iter().enumerate() {
            flux += self.longwave_slopes[index] * self.change[layer.at];
        }
        flux + self.longwave_slopes[section.layers.len()] * core[SHELL_IRRADIANCE]
    }

    /// Convection from the outdoor air into the cover, W, after the changes.
    #[inline]
    pub fn convection_in_w(
        &self,
        section: &SectionModel<R>,
        storage: &Storage<R>,
        outdoor_k: R,
    ) -> R {
        let at = section.layers[section.layers.len() - 1].at;
        self.outside_w_k * (outdoor_k - storage.point[section.offset + at] - self.change[at])
    }

    /// Heat (W) and vapour (kg/s) that blower air brings into house and gap, after the changes.
    #[inline]
    pub fn blower_in(
        &self,
        section: &SectionModel<R>,
        storage: &Storage<R>,
        conditions: &Conditions<R>,
    ) -> (R, R) {
        self.blower.map_or((R::zero(), R::zero()), |blower| {
            let at = section.offset + blower.at;
            let gap_k = storage.point[at] + self.change[blower.at];
            let vapour = storage.point[at + 1] + self.change[blower.at + 1];
            (
                blower.heat_w_k * (conditions.drive.air_k - gap_k),
                blower.flow_m3_s * (conditions.drive.vapour_kg_m3 - vapour),
            )
        })
    }

    /// Rate at which vapour settles on a layer's lower face, kg/s, after the changes.
    #[inline]
    pub fn condensing_kg_s(
        &self,
        layer_index: usize,
        layer: &LayerModel<R>,
        core: &[R; CORE],
    ) -> R {
        let vapour = match layer.below {
            AirBelow::House => core[VAPOUR],
            AirBelow::Space(at) => self.change[at + 1],
            AirBelow::Sealed => R::zero(),
        };
        self.condensing[layer_index].after(vapour, self.change[layer.at])
    }

    #[inline(always)]
    fn start(&mut self, section: &SectionModel<R>, storage: &Storage<R>) {
        let zero = R::zero();
        for local in 0..section.size {
            self.matrix[local][..section.size].fill(zero);
            self.matrix[local][local] = storage.diagonal[section.offset + local];
            self.columns[local] = [zero, zero, zero, storage.push[section.offset + local]];
        }
        for row in &mut self.core_rows {
            row[..section.size].fill(zero);
        }
        self.blower = None;
        self.house_air_taken_m3_s = zero;
    }

    #[inline(always)]
    fn gain(&mut self, to: usize, flux: R) {
        self.columns[to][KNOWN] += flux;
    }

    #[inline(always)]
    fn slope(&mut self, to: usize, with: usize, slope: R) {
        self.matrix[to][with] -= slope;
    }

    #[inline(always)]
    fn couple(&mut self, to: usize, from: usize, conductance: R, difference: R) {
        let flux = conductance * difference;
        self.gain(to, flux);
        self.gain(from, -flux);
        self.slope(to, from, conductance);
        self.slope(from, to, conductance);
        self.slope(to, to, -conductance);
        self.slope(from, from, -conductance);
    }

    /// Heat between the house air and a local unknown, both ways.
    #[inline(always)]
    fn couple_air(&mut self, core: &mut Core<R>, to: usize, conductance: R, difference: R) {
        let flux = conductance * difference;
        self.gain(to, flux);
        self.slope(to, to, -conductance);
        self.columns[to][FELT_AIR] -= conductance;
        core.gain(AIR, -flux);
        core.slope(AIR, AIR, -conductance);
        self.core_rows[0][to] -= conductance;
    }

    /// Convection and water on the lower face of the lowest layer, and water on the others.
    #[inline(always)]
    fn faces(
        &mut self,
        moment: Moment<'_, R>,
        section: &SectionModel<R>,
        closed: R,
        core: &mut Core<R>,
    ) {
        let Moment { model, storage, .. } = moment;
        let air_k = storage.point[AIR];
        for (index, layer) in section.layers.iter().enumerate() {
            let face_k = storage.point[section.offset + layer.at];
            let (coefficient, vapour) = match layer.below {
                AirBelow::House => {
                    let coefficient = inside_coefficient(model, face_k - air_k);
                    self.couple_air(
                        core,
                        layer.at,
                        coefficient * section.area_m2,
                        air_k - face_k,
                    );
                    (coefficient, storage.point[VAPOUR])
                }
                AirBelow::Space(at) => {
                    let air = section.offset + at;
                    let coefficient = self.space_coefficient(
                        model,
                        section,
                        index - 1,
                        closed,
                        face_k - storage.point[air],
                    );
                    self.couple(
                        layer.at,
                        at,
                        coefficient * section.area_m2,
                        storage.point[air] - face_k,
                    );
                    (coefficient, storage.point[air + 1])
                }
                AirBelow::Sealed => {
                    self.condensing[index] = Condensing::none();
                    continue;
                }
            };
            // An open screen hangs folded: no water settles on it.
            let exposed = if section.has_screen && index == 0 {
                closed
            } else {
                R::one()
            };
            let face = Face {
                layer,
                area_m2: section.area_m2 * exposed,
                coefficient,
                face_k,
            };
            let settling = face.settling(moment, vapour);
            self.settle(core, layer, &settling);
            self.condensing[index] = settling;
        }
    }

    /// Convection across each inflated space: two faces in series give that of the cavity.
    #[inline(always)]
    fn across_spaces(&mut self, section: &SectionModel<R>, storage: &Storage<R>) {
        for (index, space) in section.spaces.iter().enumerate() {
            if let SpaceModel::Inflated { cavity, .. } = space {
                let lower = storage.point[section.offset + section.layers[index].at];
                let upper = storage.point[section.offset + section.layers[index + 1].at];
                self.inflated_w_m2k[index] = cavity.conductance_w_m2k(lower, upper) * 2.0;
            }
        }
    }

    /// Coefficient between a face and the air of the space it bounds.
    #[inline(always)]
    fn space_coefficient(
        &self,
        model: &Model<R>,
        section: &SectionModel<R>,
        space: usize,
        closed: R,
        face_minus_air_k: R,
    ) -> R {
        match &section.spaces[space] {
            SpaceModel::Inflated { .. } => self.inflated_w_m2k[space],
            SpaceModel::AboveScreen { .. } => {
                // Fans below reach the cover only past an open screen.
                let open = inside_coefficient(model, face_minus_air_k);
                let still = convection::inside_cover(face_minus_air_k) * model.natural_scale;
                closed * still + (R::one() - closed) * open
            }
            SpaceModel::Sealed { .. } => R::zero(),
        }
    }

    /// Puts condensation into the balances of face and air.
    #[inline(always)]
    fn settle(&mut self, core: &mut Core<R>, layer: &LayerModel<R>, settling: &Condensing<R>) {
        let latent = VAPORISATION_J_KG;
        self.gain(
            layer.at,
            settling.rate_kg_s * latent + settling.freezing_kg_s * FUSION_HEAT_J_KG,
        );
        self.slope(layer.at, layer.at, settling.by_face * -latent);
        match layer.below {
            AirBelow::House => {
                self.columns[layer.at][FELT_VAPOUR] -= settling.by_vapour * latent;
                core.gain(VAPOUR, -settling.rate_kg_s);
                core.slope(VAPOUR, VAPOUR, -settling.by_vapour);
                self.core_rows[1][layer.at] -= settling.by_face;
            }
            AirBelow::Space(at) => {
                self.slope(layer.at, at + 1, settling.by_vapour * latent);
                self.gain(at + 1, -settling.rate_kg_s);
                self.slope(at + 1, at + 1, -settling.by_vapour);
                self.slope(at + 1, layer.at, settling.by_face);
            }
            AirBelow::Sealed => {}
        }
    }

    /// Heat from a layer's upper face into the space above it, and the air of the spaces.
    #[inline(always)]
    fn spaces(
        &mut self,
        moment: Moment<'_, R>,
        section: &SectionModel<R>,
        closed: R,
        core: &mut Core<R>,
    ) {
        let Moment { model, storage, .. } = moment;
        for (index, space) in section.spaces.iter().enumerate() {
            let lower = section.layers[index].at;
            let lower_k = storage.point[section.offset + lower];
            match space {
                SpaceModel::Sealed {
                    cavity,
                    bridge_w_m2k,
                } => {
                    let upper = section.layers[index + 1].at;
                    let upper_k = storage.point[section.offset + upper];
                    let conductance = cavity.conductance_w_m2k(lower_k, upper_k) + *bridge_w_m2k;
                    self.couple(
                        upper,
                        lower,
                        conductance * section.area_m2,
                        lower_k - upper_k,
                    );
                }
                SpaceModel::Inflated {
                    at,
                    flow_m3_s,
                    from_inside,
                    ..
                } => {
                    let air_k = storage.point[section.offset + at];
                    let face =
                        self.space_coefficient(model, section, index, closed, lower_k - air_k);
                    self.couple(*at, lower, face * section.area_m2, lower_k - air_k);
                    let blower = Blower {
                        at: *at,
                        flow_m3_s: *flow_m3_s,
                        from_inside: *from_inside,
                    };
                    self.blow(moment, section, blower, core);
                }
                SpaceModel::AboveScreen {
                    at,
                    leakage_m3_s_k066,
                    open_flow_m3_s,
                } => {
                    let air_k = storage.point[section.offset + at];
                    let face =
                        self.space_coefficient(model, section, index, closed, lower_k - air_k);
                    self.couple(*at, lower, face * section.area_m2, lower_k - air_k);
                    let difference = storage.point[AIR] - air_k;
                    let leak = air_exchange::screen_leak(*leakage_m3_s_k066, difference);
                    let flow = closed * leak + (R::one() - closed) * *open_flow_m3_s;
                    self.couple_air(core, *at, flow * model.air_heat_j_m3k, difference);
                    self.mix_vapour(section, storage, *at, flow, core);
                }
            }
        }
    }

    /// Blower air through an inflated space.
    #[inline(always)]
    fn blow(
        &mut self,
        moment: Moment<'_, R>,
        section: &SectionModel<R>,
        blower: Blower<R>,
        core: &mut Core<R>,
    ) {
        let Moment {
            model,
            storage,
            conditions,
            ..
        } = moment;
        let Blower {
            at,
            flow_m3_s: flow,
            from_inside,
        } = blower;
        let drive = &conditions.drive;
        let air_k = storage.point[section.offset + at];
        let vapour = storage.point[section.offset + at + 1];
        let heat_w_k = model.air_heat_j_m3k * flow;
        let inside = from_inside;
        let outside = R::one() - from_inside;
        let source_k = inside * storage.point[AIR] + outside * drive.air_k;
        let source_vapour = inside * storage.point[VAPOUR] + outside * drive.vapour_kg_m3;
        self.gain(at, heat_w_k * (source_k - air_k));
        self.slope(at, at, -heat_w_k);
        self.columns[at][FELT_AIR] -= heat_w_k * inside;
        self.gain(at + 1, flow * (source_vapour - vapour));
        self.slope(at + 1, at + 1, -flow);
        self.columns[at + 1][FELT_VAPOUR] -= flow * inside;
        // House air taken by the blower is made up by outdoor air.
        core.gain(AIR, heat_w_k * inside * (drive.air_k - storage.point[AIR]));
        core.slope(AIR, AIR, -(heat_w_k * inside));
        core.gain(
            VAPOUR,
            flow * inside * (drive.vapour_kg_m3 - storage.point[VAPOUR]),
        );
        core.slope(VAPOUR, VAPOUR, -(flow * inside));
        self.house_air_taken_m3_s = flow * inside;
        self.blower = Some(BlowerFlux {
            at,
            heat_w_k,
            flow_m3_s: flow,
        });
    }

    #[inline(always)]
    fn mix_vapour(
        &mut self,
        section: &SectionModel<R>,
        storage: &Storage<R>,
        at: usize,
        flow: R,
        core: &mut Core<R>,
    ) {
        let moved = flow * (storage.point[VAPOUR] - storage.point[section.offset + at + 1]);
        self.gain(at + 1, moved);
        self.slope(at + 1, at + 1, -flow);
        self.columns[at + 1][FELT_VAPOUR] -= flow;
        core.gain(VAPOUR, -moved);
        core.slope(VAPOUR, VAPOUR, -flow);
        self.core_rows[1][at + 1] -= flow;
    }

    /// Longwave exchange of the layers with house and sky.
    #[inline(always)]
    fn longwave(
        &mut self,
        moment: Moment<'_, R>,
        section: &SectionModel<R>,
        closed: R,
        core: &mut Core<R>,
    ) {
        let Moment {
            storage,
            water,
            conditions,
            ..
        } = moment;
        self.refresh_response(section, water, closed);
        let count = section.layers.len();
        let drive = &conditions.drive;
        let from_outside = section.sky_view * drive.sky_longwave_w_m2
            + (R::one() - section.sky_view) * drive.ground_longwave_w_m2;
        let mut sources = [R::zero(); MAX_LAYERS + 2];
        let mut slopes = [R::zero(); MAX_LAYERS];
        for (index, layer) in section.layers.iter().enumerate() {
            let cubed = storage.point[section.offset + layer.at];
            let squared = cubed * cubed;
            sources[index] = squared * squared * STEFAN_BOLTZMANN_W_M2K4;
            slopes[index] = squared * cubed * (4.0 * STEFAN_BOLTZMANN_W_M2K4);
        }
        sources[count] = storage.point[SHELL_IRRADIANCE];
        sources[count + 1] = from_outside;
        let area = section.area_m2;
        for (index, layer) in section.layers.iter().enumerate() {
            let gains = self.response.absorbed[index];
            let mut net = R::zero();
            for (gain, source) in gains.iter().zip(sources).take(count + 2) {
                net += *gain * source;
            }
            self.gain(layer.at, net * area);
            for (other, from) in section.layers.iter().enumerate() {
                self.slope(layer.at, from.at, gains[other] * slopes[other] * area);
            }
            self.columns[layer.at][FELT_SHELL] -= gains[count] * area;
        }
        self.radiosity(section, &sources, &slopes, core);
        let to_outside = self.response.to_outside;
        let mut leaving = R::zero();
        for (share, source) in to_outside.iter().zip(sources).take(count + 2) {
            leaving += *share * source;
        }
        self.longwave_in_w = (from_outside - leaving) * area;
        for (slope, (share, source)) in self
            .longwave_slopes
            .iter_mut()
            .zip(to_outside.iter().zip(slopes))
            .take(count)
        {
            *slope = -(*share * source * area);
        }
        self.longwave_slopes[count] = -(to_outside[count] * area);
    }

    /// Adds the section's radiosity to that of the shell.
    #[inline(always)]
    fn radiosity(
        &mut self,
        section: &SectionModel<R>,
        sources: &[R; MAX_LAYERS + 2],
        slopes: &[R; MAX_LAYERS],
        core: &mut Core<R>,
    ) {
        let count = section.layers.len();
        let to_house = self.response.to_house;
        let mut radiosity = R::zero();
        for (share, source) in to_house.iter().zip(sources).take(count + 2) {
            radiosity += *share * *source;
        }
        core.gain(FLOOR_IRRADIANCE, radiosity * section.shell_share);
        for (index, layer) in section.layers.iter().enumerate() {
            self.core_rows[2][layer.at] -= to_house[index] * slopes[index] * section.shell_share;
        }
        core.slope(
            FLOOR_IRRADIANCE,
            SHELL_IRRADIANCE,
            to_house[count] * section.shell_share,
        );
    }

    /// Solves the layers' longwave optics again if wetness or screen changed.
    #[inline(always)]
    fn refresh_response(&mut self, section: &SectionModel<R>, water: &[WaterHeld<R>], closed: R) {
        let mut wet = [R::zero(); MAX_LAYERS];
        for (index, layer) in section.layers.iter().enumerate() {
            wet[index] = layer.place.wet_share(&water[layer.place_at]);
        }
        if self.response_known
            && same(&wet, &self.response_wet)
            && same(&[closed], &[self.response_closed])
        {
            return;
        }
        let count = section.layers.len();
        let mut layers = [section.layers[0].dry; MAX_LAYERS];
        for (index, layer) in section.layers.iter().enumerate() {
            layers[index] = wet_lower_face(&layer.dry, wet[index]);
        }
        if section.has_screen {
            layers[0] = drawn(&layers[0], closed);
        }
        self.response = stack_response(&layers[..count]);
        self.response_wet = wet;
        self.response_closed = closed;
        self.response_known = true;
    }

    #[inline(always)]
    fn outer_face(
        &mut self,
        section: &SectionModel<R>,
        storage: &Storage<R>,
        conditions: &Conditions<R>,
    ) {
        let at = section.layers[section.layers.len() - 1].at;
        let conductance = conditions.drive.cover_coefficient_w_m2k * section.area_m2;
        let difference = conditions.drive.air_k - storage.point[section.offset + at];
        self.gain(at, conductance * difference);
        self.slope(at, at, -conductance);
        self.outside_w_k = conductance;
    }

    #[inline(always)]
    fn eliminate(&mut self, size: usize, core: &mut Core<R>) {
        // The usual sizes as constants, so that their loops are written out.
        match size {
            1 => self.eliminate_sized::<1>(core),
            2 => self.eliminate_sized::<2>(core),
            4 => self.eliminate_sized::<4>(core),
            7 => self.eliminate_sized::<7>(core),
            _ => self.eliminate_any(size, core),
        }
    }

    #[inline(always)]
    fn eliminate_sized<const SIZE: usize>(&mut self, core: &mut Core<R>) {
        self.eliminate_any(SIZE, core);
    }

    #[inline(always)]
    fn eliminate_any(&mut self, size: usize, core: &mut Core<R>) {
        solve_block(size, &mut self.matrix, &mut self.columns);
        for (row, balance) in FEELING.iter().enumerate() {
            for local in 0..size {
                let factor = self.core_rows[row][local];
                for (column, unknown) in FELT.iter().enumerate() {
                    core.matrix[*balance][*unknown] -= factor * self.columns[local][column];
                }
                core.source[*balance][0] -= factor * self.columns[local][KNOWN];
            }
        }
    }
}

impl<R: Real> Default for CoverBalance<R> {
    fn default() -> Self {
        Self::new()
    }
}

/// Convective coefficient between the house air and a face of the shell.
#[inline(always)]
pub(super) fn inside_coefficient<R: Real>(model: &Model<R>, difference_k: R) -> R {
    match model.fixed_inside_w_m2k {
        Some(fixed) => R::splat(fixed),
        None => {
            convection::inside_cover_mixed(difference_k, model.forced_w_m2k) * model.natural_scale
        }
    }
}

/// A face that water may settle on.
struct Face<'a, R> {
    layer: &'a LayerModel<R>,
    area_m2: R,
    coefficient: R,
    face_k: R,
}

impl<R: Real> Face<'_, R> {
    /// Vapour that settles on the face from air with a vapour density.
    #[inline(always)]
    fn settling(&self, moment: Moment<'_, R>, vapour: R) -> Condensing<R> {
        let place = &self.layer.place;
        let held = &moment.water[self.layer.place_at];
        let (saturation, slope) = moist_air::saturation_vapour_density(self.face_k);
        let transfer_m_s = self.coefficient * moment.model.transfer_per_coefficient;
        let excess = vapour - saturation;
        let drying = -(transfer_m_s * excess);
        let drying = place.evaporating_share(held, drying, R::splat(moment.step_s));
        let share = R::select(R::zero().lt(excess), R::one(), drying);
        let by_vapour = transfer_m_s * self.area_m2 * share;
        Condensing {
            rate_kg_s: by_vapour * excess,
            by_vapour,
            by_face: by_vapour * slope,
            share,
            freezing_kg_s: place.freezing_kg_m2s(held, self.face_k) * self.area_m2,
        }
    }
}

/// A screen that is drawn (1) or folded away (0).
#[inline(always)]
fn drawn<R: Real>(layer: &LayerLongwave<R>, closed: R) -> LayerLongwave<R> {
    LayerLongwave {
        transmittance: layer.transmittance * closed + (R::one() - closed),
        lower_reflectance: layer.lower_reflectance * closed,
        upper_reflectance: layer.upper_reflectance * closed,
        lower_emissivity: layer.lower_emissivity * closed,
        upper_emissivity: layer.upper_emissivity * closed,
    }
}

/// True if no lane of any pair differs.
#[inline(always)]
fn same<R: Real, const N: usize>(a: &[R; N], b: &[R; N]) -> bool {
    a.iter()
        .zip(b)
        .all(|(x, y)| !R::any(x.lt(*y)) && !R::any(y.lt(*x)))
}

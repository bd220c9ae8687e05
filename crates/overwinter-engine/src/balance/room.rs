//! The core of the house: air, vapour, canopy, floor surfaces, thermal mass, the longwave field.

use overwinter_physics::number::Real;
use overwinter_physics::{canopy, convection, moist_air};
use overwinter_units::constants::STEFAN_BOLTZMANN_W_M2K4;

use super::settling::Condensing;
use super::{Conditions, Core, Moment, Storage, VAPORISATION_J_KG};
use crate::model::{
    AIR, CORE, FLOOR, FLOOR_IRRADIANCE, LEAF, MASS, Model, SHELL_IRRADIANCE, VAPOUR,
};
use crate::plant::{Plant, Share};
use crate::water_place::WaterHeld;

/// Time in which vapour above saturation turns to fog and settles: 10 min, estimate.
const FOG_TIME_S: f64 = 600.0;

/// The fluxes of the core at the linearisation point, with the slopes the ledger needs.
#[derive(Clone, Debug)]
pub struct RoomFluxes<R> {
    /// Heaters, share of full output at the linearisation point (radiant heat and water).
    pub heaters: Vec<Share<R>>,
    /// Vent opening.
    pub vents: Share<R>,
    /// Flow of fully open vents.
    pub open_vents_m3_s: R,
    /// Growth of the vents' flow with the air temperature, as used in the balance.
    pub vent_growth_m3_s_k: R,
    /// Leaks and stated air change.
    pub leak_m3_s: R,
    /// Scheduled ventilation.
    pub ventilation_m3_s: R,
    /// Fog out of the house air.
    pub fog: Condensing<R>,
    /// Vapour above saturation in the house air, its fall with the air temperature, and saturation;
    /// kg/m3 (and kg/m3 K) at the linearisation point.
    pub over_saturation: [R; 3],
    /// Evaporation of the floor columns (negative rates are evaporation).
    pub floor: [Condensing<R>; 2],
    /// Water on the leaves.
    pub leaf_wet: Condensing<R>,
    /// Transpiration (negative rates).
    pub stomata: Condensing<R>,
}

/// Assembles the core.
#[derive(Clone, Debug)]
pub struct Room<R> {
    /// Fluxes of the last pass.
    pub fluxes: RoomFluxes<R>,
}

impl<R: Real> Room<R> {
    /// An empty room for a number of heaters.
    pub fn new(heaters: usize) -> Self {
        let zero = R::zero();
        let share = Share {
            value: zero,
            slope_per_k: zero,
        };
        let dry = Condensing {
            from_pool: R::zero(),
            rate_kg_s: zero,
            by_vapour: zero,
            by_face: zero,
            share: zero,
            freezing_kg_s: zero,
            freezing_by_face: zero,
        };
        Self {
            fluxes: RoomFluxes {
                heaters: vec![share; heaters],
                vents: share,
                open_vents_m3_s: zero,
                vent_growth_m3_s_k: zero,
                leak_m3_s: zero,
                ventilation_m3_s: zero,
                fog: dry,
                over_saturation: [zero; 3],
                floor: [dry; 2],
                leaf_wet: dry,
                stomata: dry,
            },
        }
    }

    /// Adds everything that couples core unknowns to each other and to outdoors.
    #[inline(always)]
    pub fn assemble(&mut self, moment: Moment<'_, R>, core: &mut Core<R>) {
        let Moment {
            model,
            plant,
            storage,
            water,
            conditions,
            step_s,
            ..
        } = moment;
        self.heating(model, plant, storage, conditions, core);
        self.air_exchange(model, plant, storage, conditions, core);
        self.fog(model, storage, core);
        self.floor(model, storage, core);
        self.leaves(
            model,
            storage,
            &water[model.leaf_place()],
            conditions,
            step_s,
            core,
        );
        longwave_field(model, storage, core);
        mass(model, storage, core);
        sun_and_gains(model, conditions, core);
    }

    #[inline(always)]
    fn heating(
        &mut self,
        model: &Model<R>,
        plant: &Plant<R>,
        storage: &Storage<R>,
        conditions: &Conditions<R>,
        core: &mut Core<R>,
    ) {
        let air_k = storage.point[AIR];
        for (heater, flux) in plant.heaters.iter().zip(&mut self.fluxes.heaters) {
            // The convective part and cooling are found exactly when the air is solved.
            let share = heater.share(conditions.heat_set_k, air_k);
            *flux = share;
            let radiant = heater.output_w * (R::one() - heater.convective_share);
            let leaf = R::one() - model.crop.gap_share;
            spread(model, leaf, |to, part| {
                core.gain(to, radiant * share.value * part);
                core.slope(to, AIR, radiant * share.slope_per_k * part);
            });
            let water = heater.output_w * heater.water_kg_j;
            core.gain(VAPOUR, water * share.value);
            core.slope(VAPOUR, AIR, water * share.slope_per_k);
        }
    }

    #[inline(always)]
    fn air_exchange(
        &mut self,
        model: &Model<R>,
        plant: &Plant<R>,
        storage: &Storage<R>,
        conditions: &Conditions<R>,
        core: &mut Core<R>,
    ) {
        let drive = &conditions.drive;
        let air_k = storage.point[AIR];
        let colder_k = drive.air_k - air_k;
        let drier = drive.vapour_kg_m3 - storage.point[VAPOUR];
        let leak = plant.leak_m3_s(drive, air_k) + conditions.air_change_m3_s;
        self.fluxes.leak_m3_s = leak;
        self.fluxes.ventilation_m3_s = conditions.ventilation_m3_s;
        let mut flow = leak + conditions.ventilation_m3_s;
        if plant.has_vents() {
            let open = plant.open_vents_m3_s(drive, air_k);
            let share = plant.vent_share(conditions.vent_set_k, air_k);
            self.fluxes.open_vents_m3_s = open;
            self.fluxes.vents = share;
            flow += open * share.value;
            // Where it is warmer outside, opening further would warm the house further: that slope
            // is left out, so that the house always answers heat with a higher temperature.
            let growth = R::select(colder_k.lt(R::zero()), open * share.slope_per_k, R::zero());
            self.fluxes.vent_growth_m3_s_k = growth;
            core.slope(AIR, AIR, growth * colder_k * model.air_heat_j_m3k);
            core.slope(VAPOUR, AIR, growth * drier);
        }
        let heat_w_k = flow * model.air_heat_j_m3k;
        core.gain(AIR, heat_w_k * colder_k);
        core.slope(AIR, AIR, -heat_w_k);
        core.gain(VAPOUR, flow * drier);
        core.slope(VAPOUR, VAPOUR, -flow);
    }

    /// Vapour above saturation turns to fog within minutes, warms the air and settles on the floor.
    #[inline(always)]
    fn fog(&mut self, model: &Model<R>, storage: &Storage<R>, core: &mut Core<R>) {
        let (saturation, slope) = moist_air::saturation_vapour_density(storage.point[AIR]);
        let excess = storage.point[VAPOUR] - saturation;
        let share = R::select(R::zero().lt(excess), R::one(), R::zero());
        let transfer = model.volume_m3 * share / FOG_TIME_S;
        self.fluxes.fog = Condensing {
            from_pool: R::zero(),
            rate_kg_s: transfer * excess,
            by_vapour: transfer,
            by_face: transfer * slope,
            share,
            freezing_kg_s: R::zero(),
            freezing_by_face: R::zero(),
        };
        self.fluxes.over_saturation = [excess, slope, saturation];
        settle(core, AIR, &self.fluxes.fog);
    }

    #[inline(always)]
    fn floor(&mut self, model: &Model<R>, storage: &Storage<R>, core: &mut Core<R>) {
        for (index, surface) in FLOOR.into_iter().enumerate() {
            let area = model.columns[index].chain.area_m2;
            let difference = storage.point[surface] - storage.point[AIR];
            let coefficient = match model.fixed_floor_w_m2k {
                Some(fixed) => R::splat(fixed),
                None => {
                    convection::floor_mixed(difference, model.forced_cubed) * model.natural_scale
                }
            };
            core.couple(AIR, surface, coefficient * area, difference);
            let (saturation, slope) = moist_air::saturation_vapour_density(storage.point[surface]);
            let excess = storage.point[VAPOUR] - saturation;
            // Vapour settles on all of the surface; only its wet share evaporates.
            let share = R::select(R::zero().lt(excess), R::one(), model.floor_wet_share);
            let transfer = coefficient * model.transfer_per_coefficient * area * share;
            let settling = Condensing {
                from_pool: R::zero(),
                rate_kg_s: transfer * excess,
                by_vapour: transfer,
                by_face: transfer * slope,
                share,
                freezing_kg_s: R::zero(),
                freezing_by_face: R::zero(),
            };
            settle(core, surface, &settling);
            self.fluxes.floor[index] = settling;
        }
    }

    #[inline(always)]
    fn leaves(
        &mut self,
        model: &Model<R>,
        storage: &Storage<R>,
        held: &WaterHeld<R>,
        conditions: &Conditions<R>,
        step_s: f64,
        core: &mut Core<R>,
    ) {
        let crop = &model.crop;
        let leaf_k = storage.point[LEAF];
        core.couple(LEAF, AIR, crop.convection_w_k, storage.point[AIR] - leaf_k);
        let (saturation, slope) = moist_air::saturation_vapour_density(leaf_k);
        let excess = storage.point[VAPOUR] - saturation;
        let boundary_m_s = crop.vapour_boundary_m_s;
        let drying = crop
            .place
            .evaporating_share(held, -(boundary_m_s * excess), R::splat(step_s));
        let share = R::select(R::zero().lt(excess), R::one(), drying);
        let wet_m3_s = crop.two_sided_m2 * crop.present * boundary_m_s * share;
        self.fluxes.leaf_wet = Condensing {
            from_pool: R::zero(),
            rate_kg_s: wet_m3_s * excess,
            by_vapour: wet_m3_s,
            by_face: wet_m3_s * slope,
            share,
            freezing_kg_s: R::zero(),
            freezing_by_face: R::zero(),
        };
        settle(core, LEAF, &self.fluxes.leaf_wet);
        let deficit_pa = moist_air::vapour_pressure_pa(-excess, leaf_k).max(R::zero());
        let light = conditions.sun.leaf_w / crop.two_sided_m2;
        let stomata_s_m = canopy::stomatal_resistance_stanghellini1987(
            crop.least_s_m,
            crop.night_s_m,
            light,
            leaf_k,
            deficit_pa,
        );
        // Stomata give vapour off; vapour that settles meets a wet surface instead.
        let dry = (R::one() - crop.place.wet_share(held)) * crop.present;
        let open = R::select(R::zero().lt(excess), R::zero(), dry);
        let stomata_m3_s = crop.two_sided_m2 * open / (crop.boundary_s_m + stomata_s_m);
        self.fluxes.stomata = Condensing {
            from_pool: R::zero(),
            rate_kg_s: stomata_m3_s * excess,
            by_vapour: stomata_m3_s,
            by_face: stomata_m3_s * slope,
            share: open,
            freezing_kg_s: R::zero(),
            freezing_by_face: R::zero(),
        };
        settle(core, LEAF, &self.fluxes.stomata);
    }
}

/// Vapour that settles on a core surface gives it its latent heat.
#[inline(always)]
fn settle<R: Real>(core: &mut Core<R>, surface: usize, settling: &Condensing<R>) {
    core.gain(surface, settling.rate_kg_s * VAPORISATION_J_KG);
    core.slope(surface, VAPOUR, settling.by_vapour * VAPORISATION_J_KG);
    core.slope(surface, surface, settling.by_face * -VAPORISATION_J_KG);
    core.gain(VAPOUR, -settling.rate_kg_s);
    core.slope(VAPOUR, VAPOUR, -settling.by_vapour);
    core.slope(VAPOUR, surface, settling.by_face);
}

/// Shares radiation that falls on the floor plane between leaves and floor columns.
#[inline(always)]
fn spread<R: Real>(model: &Model<R>, leaf: R, mut put: impl FnMut(usize, R)) {
    put(LEAF, leaf);
    let floor = R::one() - leaf;
    put(FLOOR[0], floor * model.column_share[0]);
    put(FLOOR[1], floor * model.column_share[1]);
}

/// The two irradiances inside, and the longwave balance of leaves and floor.
///
/// The shell sees the floor plane by `phi = floor / shell` and itself by the rest; the floor plane
/// sees the shell alone. Radiosities: `J_k` of floor column k, `J_up` and `J_down` of the canopy,
/// `J_F` of the plane as the shell sees it.
#[inline(always)]
fn longwave_field<R: Real>(model: &Model<R>, storage: &Storage<R>, core: &mut Core<R>) {
    let phi = model.floor_m2 / model.shell_m2;
    let gap = model.crop.gap_share;
    let cover = R::one() - gap;
    let (leaf_e, floor_e) = (model.crop.emissivity, model.floor_emissivity);
    let (leaf_r, floor_r) = (R::one() - leaf_e, R::one() - floor_e);
    let whole = R::one() / (R::one() - floor_r * cover * leaf_r);
    let sky = storage.point[FLOOR_IRRADIANCE];
    let (leaf_b, leaf_slope) = emissive(storage.point[LEAF]);

    // Radiosity of a bare column's own emission, of the irradiance, of the leaves' emission.
    let from_own = floor_e * whole;
    let from_sky = floor_r * gap * whole;
    let from_leaf = floor_r * cover * leaf_e * whole;

    // Plane radiosity J_F = cover J_up + gap mean(J_k).
    let plane_sky = cover * leaf_r + gap * from_sky;
    let plane_leaf = cover * leaf_e + gap * from_leaf;
    let mut plane = plane_sky * sky + plane_leaf * leaf_b;
    let mut mean_b = R::zero();
    let mut column_slopes = [R::zero(); 2];
    let mut column_b = [R::zero(); 2];
    for column in 0..2 {
        let (b, slope) = emissive(storage.point[FLOOR[column]]);
        column_b[column] = b;
        column_slopes[column] = slope;
        mean_b += b * model.column_share[column];
    }
    let plane_own = gap * from_own;
    plane += plane_own * mean_b;

    // Irradiance on the shell: H_s = phi J_F + (1 - phi) H_F, as a balance that must vanish.
    let shell = storage.point[SHELL_IRRADIANCE];
    core.matrix[SHELL_IRRADIANCE][SHELL_IRRADIANCE] += R::one();
    core.gain(
        SHELL_IRRADIANCE,
        phi * plane + (R::one() - phi) * sky - shell,
    );
    core.slope(
        SHELL_IRRADIANCE,
        FLOOR_IRRADIANCE,
        phi * plane_sky + (R::one() - phi),
    );
    core.slope(SHELL_IRRADIANCE, LEAF, phi * plane_leaf * leaf_slope);
    for column in 0..2 {
        let slope = phi * plane_own * model.column_share[column] * column_slopes[column];
        core.slope(SHELL_IRRADIANCE, FLOOR[column], slope);
    }
    // Irradiance on the floor plane: H_F = mean radiosity of the shell, which its parts add.
    core.matrix[FLOOR_IRRADIANCE][FLOOR_IRRADIANCE] += R::one();
    core.gain(FLOOR_IRRADIANCE, -sky);

    // Net gain of column k: gap H_F + cover (e_c B_c + r_c J_k) - J_k.
    let kept = R::one() - cover * leaf_r;
    for column in 0..2 {
        let area = model.columns[column].chain.area_m2;
        let j = from_own * column_b[column] + from_sky * sky + from_leaf * leaf_b;
        let net = gap * sky + cover * leaf_e * leaf_b - kept * j;
        core.gain(FLOOR[column], area * net);
        core.slope(
            FLOOR[column],
            FLOOR_IRRADIANCE,
            area * (gap - kept * from_sky),
        );
        core.slope(
            FLOOR[column],
            LEAF,
            area * (cover * leaf_e - kept * from_leaf) * leaf_slope,
        );
        core.slope(
            FLOOR[column],
            FLOOR[column],
            -(area * kept * from_own * column_slopes[column]),
        );
    }
    // Net gain of the leaves: cover [(H_F - J_up) + (mean J - J_down)]
    // = cover [e_c H_F + e_c mean J - 2 e_c B_c].
    let area = model.floor_m2 * cover * leaf_e;
    let mean_j = from_own * mean_b + from_sky * sky + from_leaf * leaf_b;
    core.gain(LEAF, area * (sky + mean_j - leaf_b * 2.0));
    core.slope(LEAF, FLOOR_IRRADIANCE, area * (from_sky + 1.0));
    core.slope(LEAF, LEAF, area * (from_leaf - 2.0) * leaf_slope);
    for column in 0..2 {
        let slope = area * from_own * model.column_share[column] * column_slopes[column];
        core.slope(LEAF, FLOOR[column], slope);
    }
}

/// The lumped mass: convection to the air, longwave as a part of the shell.
#[inline(always)]
fn mass<R: Real>(model: &Model<R>, storage: &Storage<R>, core: &mut Core<R>) {
    let mass_k = storage.point[MASS];
    core.couple(AIR, MASS, model.mass_w_k, mass_k - storage.point[AIR]);
    let (emitted, slope) = emissive(mass_k);
    let absorbing = model.mass_emissivity * model.mass_m2;
    core.gain(
        MASS,
        absorbing * (storage.point[SHELL_IRRADIANCE] - emitted),
    );
    core.slope(MASS, SHELL_IRRADIANCE, absorbing);
    core.slope(MASS, MASS, -(absorbing * slope));
    let share = model.mass_m2 / model.shell_m2;
    let reflected = R::one() - model.mass_emissivity;
    let radiosity = model.mass_emissivity * emitted + reflected * storage.point[SHELL_IRRADIANCE];
    core.gain(FLOOR_IRRADIANCE, radiosity * share);
    core.slope(FLOOR_IRRADIANCE, SHELL_IRRADIANCE, reflected * share);
    core.slope(
        FLOOR_IRRADIANCE,
        MASS,
        model.mass_emissivity * slope * share,
    );
}

#[inline(always)]
fn sun_and_gains<R: Real>(model: &Model<R>, conditions: &Conditions<R>, core: &mut Core<R>) {
    let sun = &conditions.sun;
    core.gain(AIR, sun.air_w + conditions.convective_gain_w);
    core.gain(LEAF, sun.leaf_w);
    core.gain(MASS, sun.mass_w);
    let radiant = conditions.radiant_gain_w / (model.shell_m2 + model.floor_m2);
    core.gain(MASS, radiant * model.mass_m2);
    for (surface, absorbed) in FLOOR.into_iter().zip(sun.floor_w) {
        core.gain(surface, absorbed);
    }
    let leaf = R::one() - model.crop.gap_share;
    spread(model, leaf, |to, part| {
        core.gain(to, radiant * model.floor_m2 * part)
    });
}

/// Emissive power, W/m2, and its slope.
#[inline(always)]
fn emissive<R: Real>(temp_k: R) -> (R, R) {
    let cubed = temp_k * temp_k * temp_k;
    (
        cubed * temp_k * STEFAN_BOLTZMANN_W_M2K4,
        cubed * (4.0 * STEFAN_BOLTZMANN_W_M2K4),
    )
}

/// Fluxes of the core after the changes, for the ledger.
impl<R: Real> RoomFluxes<R> {
    /// Heat that vents and scheduled ventilation bring in, W.
    #[inline(always)]
    pub fn vents_in_w(
        &self,
        model: &Model<R>,
        storage: &Storage<R>,
        conditions: &Conditions<R>,
        core: &[R; CORE],
    ) -> R {
        let colder = conditions.drive.air_k - storage.point[AIR];
        let flow = self.open_vents_m3_s * self.vents.value + self.ventilation_m3_s;
        let growth = self.vent_growth_m3_s_k * colder;
        model.air_heat_j_m3k * (flow * (colder - core[AIR]) + growth * core[AIR])
    }

    /// Vapour that vents and scheduled ventilation bring in, kg/s.
    #[inline(always)]
    pub fn vents_in_kg_s(
        &self,
        storage: &Storage<R>,
        conditions: &Conditions<R>,
        core: &[R; CORE],
    ) -> R {
        let drier = conditions.drive.vapour_kg_m3 - storage.point[VAPOUR];
        let flow = self.open_vents_m3_s * self.vents.value + self.ventilation_m3_s;
        let growth = self.vent_growth_m3_s_k * drier;
        flow * (drier - core[VAPOUR]) + growth * core[AIR]
    }
}

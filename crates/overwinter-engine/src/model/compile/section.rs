//! A section of the cover: its layers and the spaces between them.

use super::*;

/// Mean cosine of the tilt below which a section meets the house air as a wall does: steeper than
/// 60 degrees.
const UPRIGHT_COS_TILT: f64 = 0.5;

impl<R: Real> Builder<'_, R> {
    pub(super) fn section(&mut self, index: usize, shell_m2: R) -> SectionModel<R> {
        let of = |h: &House| -> Section { h.sections[index].clone() };
        let first = of(self.houses[0]);
        let area_m2 = self.gather(|h| h.sections[index].area_m2());
        let offset = self.capacity.len();
        let mut layers = Vec::new();
        let mut spaces = Vec::new();
        let mut below = AirBelow::House;
        for layer in 0..first.layers.len() {
            let at = self.capacity.len() - offset;
            layers.push(self.layer(index, layer, at, below));
            let capacity = self.gather(|h| h.sections[index].layers[layer].heat_capacity_j_m2k);
            self.push(capacity * area_m2, Carry::Heat);
            if layer + 1 < first.layers.len() {
                let (space, air) = self.space(index, layer, offset, area_m2);
                spaces.push(space);
                below = air;
            }
        }
        SectionModel {
            area_m2,
            shell_share: area_m2 / shell_m2,
            layers,
            spaces,
            offset,
            size: self.capacity.len() - offset,
            mixed: self.houses.iter().any(|h| mixes(&h.sections[index])),
            shell_and_floor_share: area_m2 / (shell_m2 + self.gather(|h| h.floor_area_m2)),
            sky_view: self.gather(|h| section_sky_view(&h.sections[index])),
            has_screen: first.screen.is_some(),
            is_upright: first.mean_cos_tilt() < UPRIGHT_COS_TILT,
            fixed_w_m2k: fixed_of_part(self.houses[0], |own| own.sections.get(index)),
        }
    }

    fn layer(&mut self, section: usize, layer: usize, at: usize, below: AirBelow) -> LayerModel<R> {
        let of = |value: &dyn Fn(&crate::house::Layer) -> f64| {
            self.gather(|h| value(&h.sections[section].layers[layer]))
        };
        // What drips in an inflated gap falls on the layer below and runs to the low edge: none of it
        // reaches crop and floor.
        let drip_share = if is_in_gap(&self.houses[0].sections[section], layer) {
            R::zero()
        } else {
            of(&|l| l.wetting.drip_share)
        };
        let place = WaterPlace {
            full_cover_kg_m2: of(&|l| l.wetting.full_cover_kg_m2),
            capacity_kg_m2: of(&|l| l.wetting.capacity_kg_m2),
            drip_share,
            pooling: self.gather(|h| pooling(h, section, layer)),
        };
        let dry = LayerLongwave::coated(
            of(&|l| l.longwave_transmittance),
            of(&|l| l.longwave_reflectance),
            of(&|l| {
                l.upper_longwave_reflectance
                    .unwrap_or(l.longwave_reflectance)
            }),
        );
        let light_loss = of(&|l| l.wetting.light_loss);
        let place_at = self.places;
        self.places += 1;
        LayerModel {
            at,
            dry,
            below,
            place,
            light_loss,
            place_at,
        }
    }

    fn space(
        &mut self,
        section: usize,
        space: usize,
        offset: usize,
        area_m2: R,
    ) -> (SpaceModel<R>, AirBelow) {
        let first = &self.houses[0].sections[section];
        let tilt_deg = first.mean_cos_tilt().clamp(-1.0, 1.0).acos().to_degrees();
        let gap_m = match first.spaces[space] {
            Space::Sealed { gap_m, .. }
            | Space::Inflated { gap_m, .. }
            | Space::AboveScreen { gap_m, .. } => gap_m,
        };
        let gas = match first.spaces[space] {
            Space::Sealed { gas, .. } => gas,
            Space::Inflated { .. } | Space::AboveScreen { .. } => iso15099::AIR,
        };
        let cavity = self.cavity(Cavity::new(gap_m, tilt_deg, first.cavity_height_m).with_gas(gas));
        let gather = |value: &dyn Fn(&Space) -> f64| {
            self.gather(|h| value(&h.sections[section].spaces[space]))
        };
        let flow = |s: &Space| match *s {
            Space::Inflated { flow_m3_s_m2, .. } => flow_m3_s_m2,
            Space::AboveScreen {
                open_flow_m3_s_m2, ..
            } => open_flow_m3_s_m2,
            Space::Sealed { .. } => 0.0,
        };
        if let Space::Sealed { .. } = first.spaces[space] {
            let bridge_w_m2k = gather(&|s| match *s {
                Space::Sealed { bridge_w_m2k, .. } => bridge_w_m2k,
                _ => 0.0,
            });
            return (
                SpaceModel::Sealed {
                    cavity,
                    bridge_w_m2k,
                    panes: self.panes(section, space),
                },
                AirBelow::Sealed,
            );
        }
        let gap = gather(&|s| match *s {
            Space::Sealed { gap_m, .. }
            | Space::Inflated { gap_m, .. }
            | Space::AboveScreen { gap_m, .. } => gap_m,
        });
        let flow_m3_s = gather(&flow) * area_m2;
        let inside = gather(&|s| match *s {
            Space::Inflated { inside_air, .. } => f64::from(u8::from(inside_air)),
            _ => 1.0,
        });
        let leakage = gather(&|s| match *s {
            Space::AboveScreen {
                leakage_m3_s_m2_k066,
                ..
            } => leakage_m3_s_m2_k066,
            _ => 0.0,
        });
        let heat = self.air_heat() * gap * area_m2;
        let at = self.push(heat, Carry::Heat) - offset;
        self.push(gap * area_m2, Carry::Water);
        let model = if matches!(
            self.houses[0].sections[section].spaces[space],
            Space::Inflated { .. }
        ) {
            SpaceModel::Inflated {
                at,
                cavity,
                flow_m3_s,
                from_inside: inside,
                touching_share: R::zero(),
                touching_w_m2k: R::zero(),
                flapping_w_m2k: R::zero(),
            }
        } else {
            SpaceModel::AboveScreen {
                at,
                leakage_m3_s_k066: leakage * area_m2,
                open_flow_m3_s: flow_m3_s,
            }
        };
        (model, AirBelow::Space(at))
    }

    /// Thin air at altitude convects less.
    fn cavity(&self, form: Cavity) -> CavityModel<R> {
        let mut rayleigh_factor = R::zero();
        for lane in 0..R::lanes() {
            let pressure_pa = self.density.lane(lane) * GAS_CONSTANT_DRY_AIR_J_KGK * DENSITY_AIR_K;
            rayleigh_factor.set_lane(lane, form.rayleigh_factor(pressure_pa));
        }
        CavityModel {
            form,
            rayleigh_factor,
        }
    }

    /// Resistance of the layers on both sides of a sealed space, if some lane has any.
    fn panes(&self, section: usize, space: usize) -> Option<PanesModel<R>> {
        let of = |h: &House| panes(&h.sections[section], space);
        let resistance_m2k_w = self.gather(|h| of(h)[0]);
        R::any(R::zero().lt(resistance_m2k_w)).then(|| PanesModel {
            resistance_m2k_w,
            exchange: self.gather(|h| of(h)[1]),
        })
    }
}

/// True if the lower face of a layer meets the air of an inflated gap.
fn is_in_gap(section: &Section, layer: usize) -> bool {
    let below = layer.checked_sub(1).and_then(|at| section.spaces.get(at));
    matches!(below, Some(Space::Inflated { .. }))
}

/// 1 if what runs off the lower face of a layer cannot leave its gap, else 0. Without a word about
/// how gaps are fed, they have drain holes.
fn pooling(house: &House, section: usize, layer: usize) -> f64 {
    let drains = house.inflation.as_ref().is_none_or(|fed| fed.has_drains);
    f64::from(u8::from(
        !drains && is_in_gap(&house.sections[section], layer),
    ))
}

/// Resistance of the layers around a sealed space and the exchange of radiation across it; a layer
/// between two sealed spaces is shared by them, and one that lets radiation through has none.
fn panes(section: &Section, space: usize) -> [f64; 2] {
    let sealed = |space: usize| matches!(section.spaces.get(space), Some(Space::Sealed { .. }));
    let [lower, upper] = [space, space + 1].map(|layer| &section.layers[layer]);
    if lower.longwave_transmittance > 0.0 || upper.longwave_transmittance > 0.0 {
        return [0.0; 2];
    }
    let share = |has_another: bool| if has_another { 0.5 } else { 1.0 };
    let resistance_m2k_w = lower.resistance_m2k_w * share(space > 0 && sealed(space - 1))
        + upper.resistance_m2k_w * share(sealed(space + 1));
    let facing_up = lower.upper_longwave_reflectance;
    let reflectances = [
        facing_up.unwrap_or(lower.longwave_reflectance),
        upper.longwave_reflectance,
    ];
    let resisting: f64 = reflectances
        .iter()
        .map(|reflectance| 1.0 / (1.0 - reflectance).max(1e-9))
        .sum();
    [resistance_m2k_w, 1.0 / (resisting - 1.0)]
}

/// View of the cold sky, mean over the planes of a section.
fn section_sky_view(section: &Section) -> f64 {
    let weighted = section.facets.iter().map(|facet| {
        facet.area_m2 * sky::cold_sky_view_walton1983(facet.tilt_deg.to_radians().cos())
    });
    weighted.sum::<f64>() / section.area_m2()
}

/// True if house air reaches a space of the section.
fn mixes(section: &Section) -> bool {
    section.spaces.iter().any(|space| match *space {
        Space::Sealed { .. } => false,
        Space::Inflated { inside_air, .. } => inside_air,
        Space::AboveScreen { .. } => true,
    })
}

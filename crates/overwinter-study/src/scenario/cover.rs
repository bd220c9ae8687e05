//! Covers: layers from the house outwards with the spaces between them, by name.

use overwinter_engine::house::{AIR, Facet, Gas, Layer, Section, SolarOptics, Space, Wetting};
use overwinter_units::{range, significant};

use super::context::Context;
use super::inflation::Inflation;
use crate::catalogue::Entry;
use crate::covers::NamedStack;
use crate::document::{Form, Part, not_among};

/// A cover: layers from the house outwards and the spaces between them.
#[derive(Clone, Debug)]
pub(crate) struct Cover {
    /// Name by which parts refer to it.
    pub(crate) name: String,
    /// Layers from the house outwards.
    pub(crate) layers: Vec<Layer>,
    /// Spaces between them.
    pub(crate) spaces: Vec<SpaceKind>,
}

/// A space between two layers, before its house is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum SpaceKind {
    /// Still air.
    Sealed {
        /// Distance between the layers.
        gap_m: f64,
        /// What fills it.
        gas: Gas,
        /// Conductance beside the air.
        bridge_w_m2k: f64,
    },
    /// Kept open by a blower.
    Inflated,
}

impl Cover {
    /// True if a blower keeps one of its gaps open.
    pub(crate) fn is_inflated(&self) -> bool {
        self.spaces.contains(&SpaceKind::Inflated)
    }

    /// The cover as it is recognised in a finished house.
    fn named_stack(&self) -> NamedStack {
        NamedStack {
            name: self.name.clone(),
            layers: self.layers.clone(),
            spaces: self.spaces.clone(),
        }
    }

    /// The cover with layers that let `times` as much longwave radiation through as their figures
    /// say; `part` has the key.
    pub(crate) fn with_longwave_times(mut self, times: f64, part: &Part<'_>) -> Self {
        if (times - 1.0).abs() < f64::EPSILON {
            return self;
        }
        for layer in &mut self.layers {
            layer.longwave_transmittance *= times;
            let upper = layer.upper_longwave_reflectance.unwrap_or(0.0);
            let reflectance = layer.longwave_reflectance.max(upper);
            if layer.longwave_transmittance + reflectance > 1.0 {
                let most = (1.0 - reflectance) / (layer.longwave_transmittance / times);
                let message = format!(
                    "{} would let through and reflect more than there is; at most {} times",
                    layer.name,
                    significant(most, 3)
                );
                part.problem(LONGWAVE_TIMES, &message);
            }
        }
        part.findings().borrow_mut().cover(self.named_stack());
        self
    }

    /// Layers for a list of planes.
    pub(crate) fn section(
        &self,
        name: &str,
        facets: Vec<Facet>,
        inflation: &Inflation<'_>,
        light_kept_share: f64,
        cavity_height_m: f64,
    ) -> Section {
        let space = |kind: &SpaceKind| match *kind {
            SpaceKind::Sealed {
                gap_m,
                gas,
                bridge_w_m2k,
            } => Space::Sealed {
                gap_m,
                gas,
                bridge_w_m2k,
            },
            SpaceKind::Inflated => inflation.space(),
        };
        Section {
            name: name.to_owned(),
            facets,
            layers: self.layers.clone(),
            spaces: self.spaces.iter().map(space).collect(),
            light_kept_share,
            cavity_height_m,
            screen: None,
            shading: None,
        }
    }
}

/// The cover a key names, from the scenario's own covers or the catalogue.
pub(crate) fn named(
    context: &Context<'_>,
    part: &Part<'_>,
    key: &str,
    own: &[Cover],
) -> Option<Cover> {
    part.may_be(key, || Form::Names(context.catalogue.names("cover")));
    let name = part.text(key)?;
    let own_cover = own.iter().find(|cover| cover.name == name).cloned();
    let of_catalogue = || from_catalogue(context, part, context.catalogue.entry("cover", name)?);
    if let Some(cover) = own_cover.or_else(of_catalogue) {
        part.findings().borrow_mut().cover(cover.named_stack());
        return Some(cover);
    }
    let listed = context
        .catalogue
        .list("cover")
        .iter()
        .map(|entry| entry.name.as_str());
    let known = own.iter().map(|cover| cover.name.as_str()).chain(listed);
    part.problem(key, &not_among(name, known));
    None
}

fn from_catalogue(context: &Context<'_>, part: &Part<'_>, entry: &'static Entry) -> Option<Cover> {
    let mut layers = Vec::new();
    for name in entry.lists.get("layers")? {
        let layer = context.catalogue.entry("layer", name)?;
        note_figures(part, "layer", layer);
        let water = context.catalogue.entry("water", layer.word("water"))?;
        note_figures(part, "water", water);
        layers.push(catalogue_layer(layer, water)?);
    }
    let mut spaces = Vec::new();
    for space in &entry.parts {
        spaces.push(if space.word("kind") == "inflated" {
            SpaceKind::Inflated
        } else {
            note_figures(part, &format!("cover \"{}\"", entry.name), space);
            SpaceKind::Sealed {
                gap_m: space.figure("gap")?.value,
                gas: AIR,
                bridge_w_m2k: space.figure("bridge")?.value,
            }
        });
    }
    Some(Cover {
        name: entry.name.clone(),
        layers,
        spaces,
    })
}

/// Lists every figure of a catalogue entry in use among the defaults.
pub(crate) fn note_figures(part: &Part<'_>, list: &str, entry: &'static Entry) {
    let mut findings = part.findings().borrow_mut();
    if !findings.is_new_entry(list, entry) {
        return;
    }
    let item = if entry.name.is_empty() {
        list.to_owned()
    } else {
        format!("{list} \"{}\"", entry.name)
    };
    for (key, figure) in &entry.figures {
        findings.assumed(
            format!("{item}: {key}"),
            figure.written.clone(),
            format!("catalogue: {}", figure.source),
        );
    }
}

fn catalogue_layer(layer: &Entry, water: &Entry) -> Option<Layer> {
    let of = |key: &str| layer.figure(key).map(|figure| figure.value);
    Some(Layer {
        name: layer.name.clone(),
        heat_capacity_j_m2k: of("heat_capacity")?,
        resistance_m2k_w: 0.0,
        longwave_transmittance: of("longwave_transmittance")?,
        longwave_reflectance: of("longwave_reflectance")?,
        upper_longwave_reflectance: None,
        solar: SolarOptics::Slab {
            refractive_index: of("refractive_index")?,
            extinction_thickness: of("extinction_thickness")?,
        },
        haze: of("haze")?,
        wetting: wetting_of(water)?,
    })
}

/// How water sits on a face, by its catalogue entry.
pub(crate) fn wetting_of(water: &Entry) -> Option<Wetting> {
    let of = |key: &str| water.figure(key).map(|figure| figure.value);
    Some(Wetting {
        full_cover_kg_m2: of("full_cover")?,
        capacity_kg_m2: of("capacity")?,
        drip_share: of("drip_share")?,
        light_loss: of("light_loss")?,
    })
}

/// Key of what the layers let through of longwave radiation, against their figures.
const LONGWAVE_TIMES: &str = "longwave_times";

/// How much longwave radiation the layers let through, against their figures, from `[cover]`.
pub(crate) fn longwave_times(part: &Part<'_>) -> f64 {
    part.quantity_or(
        LONGWAVE_TIMES,
        &range::LONGWAVE_TIMES,
        "1",
        "estimate: the layers are as their figures say",
    )
}

/// Share of light a cover keeps under dirt and age, from `[cover]`.
pub(crate) fn light_kept(part: &Part<'_>) -> f64 {
    part.quantity_or(
        "light_kept",
        &range::LIGHT_KEPT,
        "95 %",
        "estimate: 90 to 97 % under dirt washed by rain",
    )
}

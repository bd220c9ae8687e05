//! Covers that a scenario puts together itself: `[[own_cover]]`.

use overwinter_engine::house::{AIR, ARGON, Layer, MAX_LAYERS, SolarOptics, Wetting};
use overwinter_units::range;

use super::context::{Context, figure};
use super::cover::{Cover, SpaceKind, note_figures, wetting_of};
use crate::catalogue::Entry;
use crate::document::Part;

/// Reads `[[own_cover]]`.
pub(crate) fn read(context: &Context<'_>, root: &Part<'_>) -> Vec<Cover> {
    let mut covers = Vec::new();
    for part in root.parts("own_cover") {
        let name = part.text("name");
        if !part.has("name") {
            part.missing("name", "a name for the cover");
        }
        let mut layers = Vec::new();
        let mut spaces = Vec::new();
        let parts = part.parts("layer");
        let count = parts.len();
        if count == 0 || count > MAX_LAYERS {
            part.problem(
                "layer",
                &format!("1 to {MAX_LAYERS} layers are wanted, from the house outwards"),
            );
        }
        for (index, layer) in parts.into_iter().enumerate() {
            let read = own_layer(context, &layer);
            if read.is_none() {
                layer.know_all();
            }
            layers.push(read);
            if index + 1 < count {
                spaces.push(own_space(&layer));
            } else if layer.has("space") {
                layer.problem("space", "the outermost layer has no space above it");
            }
            layer.finish();
        }
        part.finish();
        let layers: Option<Vec<_>> = layers.into_iter().collect();
        let spaces: Option<Vec<_>> = spaces.into_iter().collect();
        if let (Some(name), Some(layers), Some(spaces)) = (name, layers, spaces) {
            let name = name.to_owned();
            covers.push(Cover {
                name,
                layers,
                spaces,
            });
        }
    }
    covers
}

fn own_layer(context: &Context<'_>, part: &Part<'_>) -> Option<Layer> {
    let like = if part.has("like") {
        Some(context.entry(part, "like", "layer")?)
    } else {
        None
    };
    let name = part
        .text("name")
        .or(like.map(|entry| entry.name.as_str()))
        .unwrap_or("layer");
    let heat_capacity = figure(part, "heat_capacity", &range::LAYER_HEAT, like);
    let transmittance = figure(part, "longwave_transmittance", &range::TRANSMITTANCE, like);
    let reflectance = figure(part, "longwave_reflectance", &range::REFLECTANCE, like);
    let outside = part.quantity("longwave_reflectance_outside", &range::REFLECTANCE);
    let solar = own_optics(part, like);
    let haze = match like {
        Some(_) => figure(part, "haze", &range::SHARE, like),
        None => Some(part.quantity_or("haze", &range::SHARE, "0", "estimate: clear")),
    };
    let wetting = own_wetting(context, part, like);
    let layer = Layer {
        name: name.to_owned(),
        heat_capacity_j_m2k: heat_capacity?,
        longwave_transmittance: transmittance?,
        longwave_reflectance: reflectance?,
        upper_longwave_reflectance: outside,
        solar: solar?,
        haze: haze?,
        wetting: wetting?,
    };
    let faces = [
        ("longwave_reflectance", Some(layer.longwave_reflectance)),
        (
            "longwave_reflectance_outside",
            layer.upper_longwave_reflectance,
        ),
    ];
    let is_too_much = |share: Option<f64>| {
        share.is_some_and(|reflectance| layer.longwave_transmittance + reflectance > 1.0)
    };
    if let Some((key, _)) = faces.into_iter().find(|(_, share)| is_too_much(*share)) {
        part.problem(key, "transmittance and reflectance together exceed 1");
        return None;
    }
    Some(layer)
}

/// Optics of a layer: a slab by index and extinction, or a sheet by measured shares.
fn own_optics(part: &Part<'_>, like: Option<&Entry>) -> Option<SolarOptics> {
    let is_measured = part.has("transmittance") || part.has("reflectance");
    let is_diffusing = part.flag_or("diffusing", false, "estimate: a smooth sheet");
    if !is_measured && !is_diffusing {
        let refractive_index = figure(part, "refractive_index", &range::REFRACTIVE_INDEX, like);
        let extinction = figure(
            part,
            "extinction_thickness",
            &range::EXTINCTION_THICKNESS,
            like,
        );
        return Some(SolarOptics::Slab {
            refractive_index: refractive_index?,
            extinction_thickness: extinction?,
        });
    }
    let transmittance = part.required("transmittance", &range::TRANSMITTANCE);
    let reflectance = part.required("reflectance", &range::REFLECTANCE);
    let (transmittance, reflectance) = (transmittance?, reflectance?);
    if transmittance + reflectance > 1.0 {
        part.problem(
            "reflectance",
            "transmittance and reflectance together exceed 1",
        );
        return None;
    }
    Some(if is_diffusing {
        SolarOptics::Diffusing {
            transmittance,
            reflectance,
        }
    } else {
        SolarOptics::Measured {
            transmittance,
            reflectance,
        }
    })
}

fn own_wetting(context: &Context<'_>, part: &Part<'_>, like: Option<&Entry>) -> Option<Wetting> {
    let usual = like.map_or("drops", |entry| entry.word("water"));
    let water = context.entry_or(
        part,
        "water",
        "water",
        usual,
        "estimate: as the layer it is like",
    );
    let water = water?;
    note_figures(part, "water", water);
    wetting_of(water)
}

fn own_space(layer: &Part<'_>) -> Option<SpaceKind> {
    if !layer.has("space") {
        layer.missing(
            "space",
            "the space to the next layer, { kind = \"sealed\", gap = \"12 mm\" }",
        );
        return None;
    }
    let part = layer.part("space");
    let kind = part.word("kind", &[("sealed", false), ("inflated", true)]);
    if !part.has("kind") {
        part.missing("kind", "\"sealed\" or \"inflated\"");
    }
    let space = match kind {
        Some(true) => Some(SpaceKind::Inflated),
        Some(false) => {
            let gap = part.required("gap", &range::GAP);
            let bridge =
                part.quantity_or("bridge", &range::BRIDGE, "0 W/m2K", "estimate: no spacers");
            let gases = [("air", AIR), ("argon", ARGON)];
            let gas = part.word_or("gas", &gases, AIR, "estimate: usual");
            gap.map(|gap_m| SpaceKind::Sealed {
                gap_m,
                gas,
                bridge_w_m2k: bridge,
            })
        }
        None => None,
    };
    part.finish();
    space
}

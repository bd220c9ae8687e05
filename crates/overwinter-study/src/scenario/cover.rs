//! The cover: which layers each part of the shell has, with inflation and screen.

use overwinter_engine::control::ScreenRule;
use overwinter_engine::house::{Facet, Layer, MAX_LAYERS, Section, SolarOptics, Space, Wetting};
use overwinter_units::range;

use super::context::{Context, figure};
use crate::catalogue::Entry;
use crate::document::{Part, not_among};

/// A cover: layers from the house outwards and the spaces between them.
#[derive(Clone, Debug)]
pub(crate) struct Cover {
    /// Name by which parts refer to it.
    pub(crate) name: String,
    layers: Vec<Layer>,
    spaces: Vec<SpaceKind>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum SpaceKind {
    Sealed { gap_m: f64, bridge_w_m2k: f64 },
    Inflated,
}

/// How inflated gaps are fed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Inflation {
    gap_m: f64,
    /// Flow of the whole house, or per area where only that is known.
    flow: Flow,
    inside_air: bool,
    blower_w: Option<f64>,
}

#[derive(Clone, Copy, Debug)]
enum Flow {
    Whole(f64),
    PerArea(f64),
}

/// A screen and where it hangs.
#[derive(Clone, Debug)]
pub(crate) struct Screen {
    layer: Layer,
    space: Space,
    rule: ScreenRule,
}

/// Blower power per inflated area, W/m2.
const BLOWER_W_M2: f64 = 0.25;
const BLOWER_SOURCE: &str = "Castilla, Greenhouse Technology and Management: 250 W for 1000 m2";

impl Cover {
    /// True if a blower keeps one of its gaps open.
    pub(crate) fn is_inflated(&self) -> bool {
        self.spaces.contains(&SpaceKind::Inflated)
    }

    /// Layers for a list of planes.
    pub(crate) fn section(
        &self,
        name: &str,
        facets: Vec<Facet>,
        inflation: &Inflation,
        light_kept_share: f64,
        cavity_height_m: f64,
    ) -> Section {
        let space = |kind: &SpaceKind| match *kind {
            SpaceKind::Sealed {
                gap_m,
                bridge_w_m2k,
            } => Space::Sealed {
                gap_m,
                bridge_w_m2k,
            },
            SpaceKind::Inflated => Space::Inflated {
                gap_m: inflation.gap_m,
                // A flow of the whole house is shared out once all sections are known.
                flow_m3_s_m2: match inflation.flow {
                    Flow::PerArea(flow) => flow,
                    Flow::Whole(_) => 0.0,
                },
                inside_air: inflation.inside_air,
            },
        };
        Section {
            name: name.to_owned(),
            facets,
            layers: self.layers.clone(),
            spaces: self.spaces.iter().map(space).collect(),
            light_kept_share,
            cavity_height_m,
            screen: None,
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
    let name = part.text(key)?;
    if let Some(cover) = own.iter().find(|cover| cover.name == name) {
        return Some(cover.clone());
    }
    if let Some(entry) = context.catalogue.entry("cover", name) {
        return from_catalogue(context, part, entry);
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

fn from_catalogue(context: &Context<'_>, part: &Part<'_>, entry: &Entry) -> Option<Cover> {
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
fn note_figures(part: &Part<'_>, list: &str, entry: &Entry) {
    for (key, figure) in &entry.figures {
        let item = if entry.name.is_empty() {
            list.to_owned()
        } else {
            format!("{list} \"{}\"", entry.name)
        };
        part.findings().borrow_mut().assumed(
            format!("{item}: {key}"),
            figure.written.clone(),
            format!("catalogue: {}", figure.source),
        );
    }
}

fn catalogue_layer(layer: &Entry, water: &Entry) -> Option<Layer> {
    let of = |key: &str| layer.figure(key).map(|figure| figure.value);
    let wetting = |key: &str| water.figure(key).map(|figure| figure.value);
    Some(Layer {
        name: layer.name.clone(),
        heat_capacity_j_m2k: of("heat_capacity")?,
        longwave_transmittance: of("longwave_transmittance")?,
        longwave_reflectance: of("longwave_reflectance")?,
        solar: SolarOptics::Slab {
            refractive_index: of("refractive_index")?,
            extinction_thickness: of("extinction_thickness")?,
        },
        haze: of("haze")?,
        wetting: Wetting {
            full_cover_kg_m2: wetting("full_cover")?,
            capacity_kg_m2: wetting("capacity")?,
            drip_share: wetting("drip_share")?,
            light_loss: wetting("light_loss")?,
        },
    })
}

/// Reads `[[own_cover]]`.
pub(crate) fn own_covers(context: &Context<'_>, root: &Part<'_>) -> Vec<Cover> {
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
            layers.push(own_layer(context, &layer));
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
        solar: solar?,
        haze: haze?,
        wetting: wetting?,
    };
    if layer.longwave_transmittance + layer.longwave_reflectance > 1.0 {
        part.problem(
            "longwave_reflectance",
            "transmittance and reflectance together exceed 1",
        );
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
    let of = |key: &str| water.figure(key).map(|figure| figure.value);
    Some(Wetting {
        full_cover_kg_m2: of("full_cover")?,
        capacity_kg_m2: of("capacity")?,
        drip_share: of("drip_share")?,
        light_loss: of("light_loss")?,
    })
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
            gap.map(|gap_m| SpaceKind::Sealed {
                gap_m,
                bridge_w_m2k: bridge,
            })
        }
        None => None,
    };
    part.finish();
    space
}

impl Inflation {
    /// For houses without an inflated cover.
    pub(crate) const NONE: Self = Self {
        gap_m: 0.1,
        flow: Flow::PerArea(0.0),
        inside_air: false,
        blower_w: None,
    };

    /// Reads `[inflation]`.
    pub(crate) fn read(root: &Part<'_>) -> Self {
        let part = root.part("inflation");
        let gap_m = part.quantity_or(
            "gap",
            &range::GAP,
            "4.7 in",
            "estimate: mean gap 0.12 m; practice 2 to 12 in, which changes the loss by 3 % at most",
        );
        let inside_air = part.word_or(
            "air",
            &[("outside", false), ("inside", true)],
            false,
            "extension advice: outside air is drier",
        );
        let flow = if part.has("flow") {
            Flow::Whole(part.quantity("flow", &range::GAP_FLOW).unwrap_or(0.0))
        } else {
            Flow::PerArea(part.quantity_or(
                "flow_per_area",
                &range::GAP_FLOW_PER_AREA,
                "0.04 L/sm2",
                "estimate: leaks of 0.02 to 0.1 L/s per m2 of cover at 60 Pa",
            ))
        };
        let blower_w = part.quantity("blower", &range::ELECTRIC_POWER);
        part.finish();
        Self {
            gap_m,
            flow,
            inside_air,
            blower_w,
        }
    }

    /// Shares a flow of the whole house over its inflated area; gives the blower's draw.
    pub(crate) fn complete(&self, sections: &mut [Section], root: &Part<'_>) -> f64 {
        let is_inflated = |section: &Section| {
            section
                .spaces
                .iter()
                .any(|s| matches!(s, Space::Inflated { .. }))
        };
        let area_m2: f64 = sections
            .iter()
            .filter(|s| is_inflated(s))
            .map(Section::area_m2)
            .sum();
        if area_m2 <= 0.0 {
            return self.blower_w.unwrap_or(0.0);
        }
        if let Flow::Whole(flow_m3_s) = self.flow {
            for space in sections.iter_mut().flat_map(|section| &mut section.spaces) {
                if let Space::Inflated { flow_m3_s_m2, .. } = space {
                    *flow_m3_s_m2 = flow_m3_s / area_m2;
                }
            }
        }
        self.blower_w.unwrap_or_else(|| {
            root.part("inflation").value_or(
                "blower",
                &range::ELECTRIC_POWER,
                BLOWER_W_M2 * area_m2,
                BLOWER_SOURCE,
            )
        })
    }
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

impl Screen {
    /// Reads `[screen]`.
    pub(crate) fn read(context: &Context<'_>, root: &Part<'_>) -> Option<Self> {
        if !root.has("screen") {
            return None;
        }
        let part = root.part("screen");
        let entry = context.entry(&part, "kind", "screen");
        if !part.has("kind") {
            part.missing(
                "kind",
                "a screen of the catalogue, such as \"clear energy cloth\"",
            );
        }
        let screen = entry.and_then(|entry| Self::of(context, &part, entry));
        part.finish();
        screen
    }

    fn of(context: &Context<'_>, part: &Part<'_>, entry: &'static Entry) -> Option<Self> {
        let from = |key: &str, range| figure(part, key, range, Some(entry));
        let water = context.catalogue.entry("water", "drops")?;
        let wetting = |key: &str| water.figure(key).map(|figure| figure.value);
        let layer = Layer {
            name: entry.name.clone(),
            heat_capacity_j_m2k: from("heat_capacity", &range::LAYER_HEAT)?,
            longwave_transmittance: from("longwave_transmittance", &range::TRANSMITTANCE)?,
            longwave_reflectance: from("longwave_reflectance", &range::REFLECTANCE)?,
            solar: SolarOptics::Diffusing {
                transmittance: from("transmittance", &range::TRANSMITTANCE)?,
                reflectance: from("reflectance", &range::REFLECTANCE)?,
            },
            haze: 1.0,
            wetting: Wetting {
                full_cover_kg_m2: wetting("full_cover")?,
                capacity_kg_m2: wetting("capacity")?,
                drip_share: wetting("drip_share")?,
                light_loss: wetting("light_loss")?,
            },
        };
        let leakage = from("leakage", &range::SCREEN_LEAK)?;
        let gap_m = part.quantity_or(
            "gap",
            &range::GAP,
            "1 m",
            "estimate: mean height above the screen",
        );
        let open_flow = part.quantity_or(
            "open_flow_per_area",
            &range::GAP_FLOW_PER_AREA,
            "10 L/sm2",
            "estimate: an open screen does not part the air",
        );
        let close_below_w_m2 = part.quantity_or(
            "close_below",
            &range::SCREEN_LIGHT,
            "10 W/m2",
            "estimate: from dusk to dawn",
        );
        let open_above_k = part.quantity_or(
            "open_above",
            &range::SET_POINT,
            "50 degF",
            "estimate: no saving worth the humidity when it is warmer outside",
        );
        Some(Self {
            layer,
            space: Space::AboveScreen {
                gap_m,
                leakage_m3_s_m2_k066: leakage,
                open_flow_m3_s_m2: open_flow,
            },
            rule: ScreenRule {
                close_below_w_m2,
                open_above_k,
            },
        })
    }

    /// Hangs the screen under a section.
    pub(crate) fn hang(&self, section: &mut Section, root: &Part<'_>) {
        if section.layers.len() >= MAX_LAYERS {
            let message = format!(
                "the roof has {} layers already; with a screen at most {MAX_LAYERS}",
                section.layers.len()
            );
            root.problem("screen", &message);
            return;
        }
        section.layers.insert(0, self.layer.clone());
        section.spaces.insert(0, self.space.clone());
        section.screen = Some(self.rule.clone());
    }
}

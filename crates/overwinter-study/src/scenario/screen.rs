//! The night screen: `[screen]`.

use overwinter_engine::control::ScreenRule;
use overwinter_engine::house::{Layer, MAX_LAYERS, Section, SolarOptics, Space};
use overwinter_units::range;

use super::context::{Context, figure};
use super::cover::{note_figures, wetting_of};
use crate::catalogue::Entry;
use crate::document::Part;

/// A screen and where it hangs.
#[derive(Clone, Debug)]
pub(crate) struct Screen {
    layer: Layer,
    space: Space,
    rule: ScreenRule,
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
        if entry.is_none() {
            part.know_all();
        }
        let screen = entry.and_then(|entry| Self::of(context, &part, entry));
        part.finish();
        screen
    }

    fn of(context: &Context<'_>, part: &Part<'_>, entry: &'static Entry) -> Option<Self> {
        let layer = layer(context, part, entry);
        let space = space(part, entry);
        let rule = rule(part);
        Some(Self {
            layer: layer?,
            space: space?,
            rule,
        })
    }

    /// Hangs the screen under the roof section.
    pub(crate) fn hang_under_roof(&self, sections: &mut [Section], root: &Part<'_>) {
        let mut sections = sections.iter_mut();
        let Some(roof) = sections.find(|section| section.name.starts_with("roof")) else {
            root.problem(
                "screen",
                "a screen hangs under a roof cover, and there is none",
            );
            return;
        };
        if roof.layers.len() >= MAX_LAYERS {
            let message = format!(
                "the roof has {} layers already; with a screen at most {MAX_LAYERS}",
                roof.layers.len()
            );
            root.problem("screen", &message);
            return;
        }
        roof.layers.insert(0, self.layer.clone());
        roof.spaces.insert(0, self.space.clone());
        roof.screen = Some(self.rule.clone());
    }
}

fn layer(context: &Context<'_>, part: &Part<'_>, entry: &'static Entry) -> Option<Layer> {
    let share = |key: &str, range| figure(part, key, range, Some(entry));
    let heat_capacity = share("heat_capacity", &range::LAYER_HEAT);
    let [longwave_transmittance, transmittance] =
        ["longwave_transmittance", "transmittance"].map(|key| share(key, &range::TRANSMITTANCE));
    let [longwave_reflectance, reflectance] =
        ["longwave_reflectance", "reflectance"].map(|key| share(key, &range::REFLECTANCE));
    let water = context.catalogue.entry("water", "drops")?;
    note_figures(part, "water", water);
    let layer = Layer {
        name: entry.name.clone(),
        heat_capacity_j_m2k: heat_capacity?,
        resistance_m2k_w: 0.0,
        longwave_transmittance: longwave_transmittance?,
        longwave_reflectance: longwave_reflectance?,
        upper_longwave_reflectance: None,
        solar: SolarOptics::Diffusing {
            transmittance: transmittance?,
            reflectance: reflectance?,
        },
        haze: 1.0,
        wetting: wetting_of(water)?,
    };
    let sums = [
        (
            "longwave_reflectance",
            layer.longwave_transmittance + layer.longwave_reflectance,
        ),
        ("reflectance", transmittance? + reflectance?),
    ];
    let too_much = sums.iter().find(|(_, sum)| *sum > 1.0);
    if let Some((key, _)) = too_much {
        part.problem(key, "transmittance and reflectance together exceed 1");
        return None;
    }
    Some(layer)
}

fn space(part: &Part<'_>, entry: &'static Entry) -> Option<Space> {
    let leakage = figure(part, "leakage", &range::SCREEN_LEAK, Some(entry));
    let gap_m = part.quantity_or(
        "gap",
        &range::GAP,
        "1 m",
        "estimate: mean height above the screen",
    );
    let open_flow_m3_s_m2 = part.quantity_or(
        "open_flow_per_area",
        &range::GAP_FLOW_PER_AREA,
        "10 L/sm2",
        "estimate: an open screen does not part the air",
    );
    Some(Space::AboveScreen {
        gap_m,
        leakage_m3_s_m2_k066: leakage?,
        open_flow_m3_s_m2,
    })
}

fn rule(part: &Part<'_>) -> ScreenRule {
    ScreenRule {
        close_below_w_m2: part.quantity_or(
            "close_below",
            &range::SCREEN_LIGHT,
            "10 W/m2",
            "estimate: from dusk to dawn",
        ),
        open_above_k: part.quantity_or(
            "open_above",
            &range::SET_POINT,
            "50 degF",
            "estimate: no saving worth the humidity when it is warmer outside",
        ),
        needs_electricity: part.flag_or(
            "motor",
            true,
            "common practice: a motor draws it, and leaves it where it is when the power fails",
        ),
    }
}

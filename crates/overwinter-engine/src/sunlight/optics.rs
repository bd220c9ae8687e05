//! From a section's layers to its optics.

use overwinter_physics::film_optics::{Sheet, StackOptics};

use crate::house::{Layer, Section};

/// Optics of a stack of layers.
pub(crate) fn stack_optics(layers: &[Layer]) -> StackOptics {
    let sheets: Vec<Sheet> = layers.iter().map(|layer| layer.solar).collect();
    StackOptics::new(&sheets)
}

/// Layers in the light: all of them, or all but an open screen (layer 0).
pub(crate) fn lit_layers(section: &Section, screen_closed: bool) -> &[Layer] {
    let skip = usize::from(section.screen.is_some() && !screen_closed);
    section.layers.get(skip..).unwrap_or(&[])
}

/// Share of a beam that stays a beam through these layers.
pub(crate) fn beam_kept_share(layers: &[Layer]) -> f64 {
    layers
        .iter()
        .map(|layer| 1.0 - layer.haze.clamp(0.0, 1.0))
        .product()
}

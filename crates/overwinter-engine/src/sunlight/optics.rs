//! What of a house tells what becomes of the sun on its shell: from layers to their optics.

use overwinter_physics::film_optics::{Sheet, StackOptics};

use crate::house::{House, Layer, Outside, Section, Wall};

/// Everything of a house, but for its planes, that the light let in and absorbed depends on.
///
/// Houses in which this and [`super::ShellPlanes`] are the same have the same [`super::Sunlight`] in
/// the same climate, to the bit.
#[derive(Clone, Debug, PartialEq)]
pub struct ShellOptics {
    pub(super) sections: Vec<SectionOptics>,
    pub(super) walls: Vec<WallOptics>,
}

/// Optics of one section.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SectionOptics {
    /// From the house outwards.
    layers: Vec<LayerOptics>,
    /// True if the innermost layer is a movable screen.
    pub(super) has_screen: bool,
    pub(super) light_kept_share: f64,
}

/// Optics of one layer.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LayerOptics {
    sheet: Sheet,
    haze: f64,
}

/// Solar absorptance of a wall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct WallOptics {
    /// Outside; 0 for a wall that the sun does not reach.
    pub(super) outside: f64,
    pub(super) inside: f64,
}

impl ShellOptics {
    /// That of a house.
    pub fn of(house: &House) -> Self {
        Self {
            sections: house.sections.iter().map(SectionOptics::of).collect(),
            walls: house.walls.iter().map(WallOptics::of).collect(),
        }
    }
}

impl SectionOptics {
    pub(crate) fn of(section: &Section) -> Self {
        Self {
            layers: section.layers.iter().map(LayerOptics::of).collect(),
            has_screen: section.screen.is_some(),
            light_kept_share: section.light_kept_share,
        }
    }

    /// Number of layers, an open screen included.
    pub(super) fn layers(&self) -> usize {
        self.layers.len()
    }

    /// Layers in the light: all of them, or all but an open screen (layer 0).
    pub(crate) fn lit_layers(&self, screen_closed: bool) -> &[LayerOptics] {
        let skip = usize::from(self.has_screen && !screen_closed);
        self.layers.get(skip..).unwrap_or(&[])
    }
}

impl LayerOptics {
    fn of(layer: &Layer) -> Self {
        Self {
            sheet: layer.solar,
            haze: layer.haze,
        }
    }
}

impl WallOptics {
    fn of(wall: &Wall) -> Self {
        let [inside, outside] = wall.solar_absorptance;
        Self {
            outside: match wall.outside {
                Outside::Open => outside,
                Outside::Sheltered | Outside::Adiabatic | Outside::Held { .. } => 0.0,
            },
            inside,
        }
    }
}

/// Optics of a stack of layers.
pub(crate) fn stack_optics(layers: &[LayerOptics]) -> StackOptics {
    let sheets: Vec<Sheet> = layers.iter().map(|layer| layer.sheet).collect();
    StackOptics::new(&sheets)
}

/// Share of a beam that stays a beam through these layers.
pub(crate) fn beam_kept_share(layers: &[LayerOptics]) -> f64 {
    layers
        .iter()
        .map(|layer| 1.0 - layer.haze.clamp(0.0, 1.0))
        .product()
}

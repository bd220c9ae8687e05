//! Covers on their own: what one loses at stated conditions, without a house and a year around it.
//!
//! Left out: sun, air that is blown through a gap, movable screens, heat of condensation.

mod conditions;
mod heat_loss;
mod published;

use overwinter_engine::house::{AIR, ARGON, Gas, Layer, Section, Space};
use overwinter_physics::cover::{CoverLayer, CoverSpace};
use overwinter_physics::error::PhysicsError;
use overwinter_physics::longwave::LayerLongwave;

use crate::catalogue::{Catalogue, Entry, catalogue};
use crate::document::nearest;
use crate::scenario::Checked;
use crate::scenario::cover::SpaceKind;

pub use conditions::Conditions;
pub use heat_loss::{HeatLoss, Kindest, SKIES_BELOW_AIR_K, kindest};
pub use published::{PublishedU, published};

/// Why the loss of a cover cannot be told.
#[derive(Debug, PartialEq, thiserror::Error)]
pub enum CoverError {
    /// No such cover in the catalogue.
    #[error("\"{name}\" is {right}")]
    Unknown {
        /// The name.
        name: String,
        /// What would be right.
        right: String,
    },
    /// The house is not warmer than the outdoors.
    #[error(
        "inside less outside is {warmer_k:.2} K; at least {least_k} K is wanted, since U is the loss \
         divided by that difference"
    )]
    NotWarmer {
        /// Inside less outside.
        warmer_k: f64,
        /// Least difference.
        least_k: f64,
    },
    /// The cover has no steady state, or a value that no cover has.
    #[error("{cover}: {source}")]
    Physics {
        /// The cover.
        cover: String,
        /// What is wrong.
        source: PhysicsError,
    },
}

/// A cover with a name, as layers from the house outwards.
#[derive(Clone, Debug, PartialEq)]
pub struct Cover {
    /// Its name.
    pub name: String,
    /// What it is, in one line; empty for a cover that a scenario puts together itself.
    pub about: String,
    /// Parts of the houses that have it; empty for a cover of the catalogue.
    pub places: Vec<String>,
    /// Names of the layers, from the house outwards.
    pub layer_names: Vec<String>,
    /// What lies between the layers.
    pub gaps: Vec<Gap>,
    layers: Vec<CoverLayer>,
    spaces: Vec<CoverSpace>,
}

/// A space between two layers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Distance between the layers.
    pub gap_m: f64,
    /// What fills it, in a word.
    pub filling: &'static str,
}

/// A cover of a scenario by name, to recognise it by in a finished house.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedStack {
    pub(crate) name: String,
    pub(crate) layers: Vec<Layer>,
    pub(crate) spaces: Vec<SpaceKind>,
}

/// All covers of the catalogue, in its order.
///
/// # Errors
/// [`CoverError::Unknown`] never happens here; it is what [`of_catalogue`] gives.
pub fn all_of_catalogue() -> Result<Vec<Cover>, CoverError> {
    of_catalogue(&catalogue().names("cover"))
}

/// Covers of the catalogue by name.
///
/// # Errors
/// [`CoverError::Unknown`] with a name that would be right.
pub fn of_catalogue(names: &[String]) -> Result<Vec<Cover>, CoverError> {
    names.iter().map(|name| from_catalogue(name)).collect()
}

/// The different covers of all houses of a scenario, in the order in which they appear.
pub fn of_scenario(checked: &Checked) -> Vec<Cover> {
    let mut covers: Vec<Cover> = Vec::new();
    let study = &checked.study;
    // Of each design the first draw stands for all.
    let firsts = (0..study.cases.len()).step_by(study.draws.max(1));
    let houses = firsts.filter_map(|index| Some(study.cases.get(index).ok()?.house.clone()));
    let sections = houses.flat_map(|house| house.sections.clone());
    for section in sections {
        let section = &section;
        let cover = from_section(section, &checked.covers);
        let same = covers.iter_mut().find(|other| {
            (&other.name, &other.layers, &other.spaces)
                == (&cover.name, &cover.layers, &cover.spaces)
        });
        match same {
            Some(same) if same.places.contains(&section.name) => {}
            Some(same) => same.places.push(section.name.clone()),
            None => covers.push(cover),
        }
    }
    covers
}

fn from_catalogue(name: &str) -> Result<Cover, CoverError> {
    let catalogue = catalogue();
    let unknown = || CoverError::Unknown {
        name: name.to_owned(),
        right: right_name(name, catalogue),
    };
    let entry = catalogue.entry("cover", name).ok_or_else(unknown)?;
    catalogue_cover(catalogue, entry).ok_or_else(unknown)
}

/// The nearest name, or the names that have a word in common, or all of them.
fn right_name(name: &str, catalogue: &Catalogue) -> String {
    let names = || catalogue.list("cover").iter().map(|entry| &*entry.name);
    if let Some(near) = nearest(name, names()) {
        return format!("not known here; did you mean \"{near}\"?");
    }
    let name = name.to_lowercase();
    let words: Vec<&str> = name
        .split_whitespace()
        .filter(|word| word.len() > 2)
        .collect();
    let is_alike = |known: &&str| words.iter().any(|word| known.contains(word));
    let alike: Vec<&str> = names().filter(is_alike).collect();
    let offered = if alike.is_empty() {
        names().collect()
    } else {
        alike
    };
    format!("not known here; known are \"{}\"", offered.join("\", \""))
}

/// `None` only if the catalogue lacks a figure, which its tests refuse.
fn catalogue_cover(catalogue: &Catalogue, entry: &Entry) -> Option<Cover> {
    let layer_names = entry.lists.get("layers")?.clone();
    let layer = |name: &String| {
        let layer = catalogue.entry("layer", name)?;
        let of = |key: &str| layer.figure(key).map(|figure| figure.value);
        Some(CoverLayer::film(
            of("longwave_transmittance")?,
            of("longwave_reflectance")?,
        ))
    };
    let layers: Option<Vec<_>> = layer_names.iter().map(layer).collect();
    let space = |space: &Entry| {
        let of = |key: &str| space.figure(key).map(|figure| figure.value);
        Some(if space.word("kind") == "inflated" {
            still(conditions::INFLATED_GAP_M, AIR, 0.0)
        } else {
            still(of("gap")?, AIR, of("bridge")?)
        })
    };
    let spaces: Option<Vec<_>> = entry.parts.iter().map(space).collect();
    let spaces = spaces?;
    Some(Cover {
        name: entry.name.clone(),
        about: entry.about.clone(),
        places: Vec::new(),
        layer_names,
        gaps: spaces.iter().filter_map(gap).collect(),
        layers: layers?,
        spaces,
    })
}

fn from_section(section: &Section, named: &[NamedStack]) -> Cover {
    // A movable screen hangs below the cover and is open for most of the day.
    let screens = usize::from(section.screen.is_some());
    let layers = &section.layers[screens..];
    let spaces = &section.spaces[screens..];
    let known = named
        .iter()
        .find(|known| known.layers == layers && is_like(&known.spaces, spaces));
    let layer_names: Vec<String> = layers.iter().map(|layer| layer.name.clone()).collect();
    let name = known.map_or_else(|| layer_names.join(", "), |known| known.name.clone());
    let about = catalogue().entry("cover", &name);
    let spaces: Vec<CoverSpace> = spaces.iter().map(cover_space).collect();
    Cover {
        about: about.map_or_else(String::new, |entry| entry.about.clone()),
        name,
        places: vec![section.name.clone()],
        layer_names,
        gaps: spaces.iter().filter_map(gap).collect(),
        layers: layers.iter().map(cover_layer).collect(),
        spaces,
    }
}

fn is_like(kinds: &[SpaceKind], spaces: &[Space]) -> bool {
    let is_like = |(kind, space): (&SpaceKind, &Space)| match (kind, space) {
        (SpaceKind::Inflated, Space::Inflated { .. }) => true,
        (
            SpaceKind::Sealed {
                gap_m,
                gas,
                bridge_w_m2k,
            },
            Space::Sealed {
                gap_m: found_m,
                gas: found,
                bridge_w_m2k: found_w_m2k,
            },
        ) => (gap_m, gas, bridge_w_m2k) == (found_m, found, found_w_m2k),
        _ => false,
    };
    kinds.len() == spaces.len() && kinds.iter().zip(spaces).all(is_like)
}

fn cover_layer(layer: &Layer) -> CoverLayer {
    let lower = layer.longwave_reflectance;
    let upper = layer.upper_longwave_reflectance.unwrap_or(lower);
    CoverLayer {
        longwave: LayerLongwave::coated(layer.longwave_transmittance, lower, upper),
        wet_share: 0.0,
        resistance_m2k_w: layer.resistance_m2k_w,
    }
}

fn cover_space(space: &Space) -> CoverSpace {
    match *space {
        Space::Sealed {
            gap_m,
            gas,
            bridge_w_m2k,
        } => still(gap_m, gas, bridge_w_m2k),
        Space::Inflated { gap_m, .. } | Space::AboveScreen { gap_m, .. } => still(gap_m, AIR, 0.0),
    }
}

fn still(gap_m: f64, gas: Gas, bridge_w_m2k: f64) -> CoverSpace {
    CoverSpace::StillGas {
        gap_m,
        gas,
        bridge_w_m2k,
    }
}

fn gap(space: &CoverSpace) -> Option<Gap> {
    let CoverSpace::StillGas { gap_m, gas, .. } = *space else {
        return None;
    };
    let filling = if gas == ARGON { "argon" } else { "air" };
    Some(Gap { gap_m, filling })
}

#[cfg(test)]
mod tests;

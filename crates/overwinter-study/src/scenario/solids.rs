//! Layered solids of walls and floors.

use overwinter_engine::house::Solid;
use overwinter_units::constants::FUSION_HEAT_J_KG;
use overwinter_units::range;

use super::context::{Context, figure};
use crate::document::Part;

/// Conductivity written for a layer that is only known by its R-value.
const MASSLESS_CONDUCTIVITY_W_MK: f64 = 0.04;
/// Heat that freezing a volume of water sets free.
pub(crate) const WATER_FREEZING_J_M3: f64 = 1000.0 * FUSION_HEAT_J_KG;
const SECONDS_A_DAY: f64 = 86_400.0;
/// Pieces of a solid per depth that a daily wave reaches.
const PIECES_PER_DEPTH: f64 = 4.0;
const MOST_PIECES: f64 = 12.0;

/// Where a solid is: the water in a floor may freeze, walls are taken as dry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Whereabouts {
    /// In a wall.
    Wall,
    /// In a floor.
    Floor,
}

/// Reads the `layer` list of a wall or floor, from the house outwards (or downwards).
pub(crate) fn layers(
    context: &Context<'_>,
    part: &Part<'_>,
    whereabouts: Whereabouts,
) -> Option<Vec<Solid>> {
    let solids: Vec<_> = part
        .parts("layer")
        .iter()
        .map(|layer| read(context, layer, whereabouts))
        .collect();
    let read: Option<Vec<_>> = solids.into_iter().collect();
    Some(read?.into_iter().flat_map(split).collect())
}

fn read(context: &Context<'_>, part: &Part<'_>, whereabouts: Whereabouts) -> Option<Solid> {
    let solid = if part.has("r_value") {
        massless(part)
    } else {
        massive(context, part, whereabouts)
    };
    if solid.is_none() {
        part.know_all();
    }
    part.finish();
    solid
}

fn massless(part: &Part<'_>) -> Option<Solid> {
    let r_value = part.quantity("r_value", &range::R_VALUE)?;
    if r_value <= 0.0 {
        part.problem(
            "r_value",
            "an R-value above 0 is wanted; leave the layer out otherwise",
        );
        return None;
    }
    for key in [
        "solid",
        "thickness",
        "conductivity",
        "density",
        "specific_heat",
        "heat_capacity",
    ] {
        if part.has(key) {
            part.problem(
                key,
                "a layer has either `r_value` alone or a thickness with its material",
            );
        }
    }
    Some(Solid {
        thickness_m: r_value * MASSLESS_CONDUCTIVITY_W_MK,
        conductivity_w_mk: MASSLESS_CONDUCTIVITY_W_MK,
        heat_capacity_j_m3k: 0.0,
        freezing_heat_j_m3: 0.0,
    })
}

fn massive(context: &Context<'_>, part: &Part<'_>, whereabouts: Whereabouts) -> Option<Solid> {
    let entry = if part.has("solid") {
        Some(context.entry(part, "solid", "solid")?)
    } else {
        None
    };
    let thickness = part.required("thickness", &range::SOLID_THICKNESS);
    let conductivity = figure(part, "conductivity", &range::CONDUCTIVITY, entry);
    let heat_capacity = if part.has("density") || part.has("specific_heat") {
        let density = part.required("density", &range::DENSITY);
        let specific_heat = part.required("specific_heat", &range::SPECIFIC_HEAT);
        Some(density? * specific_heat?)
    } else {
        figure(part, "heat_capacity", &range::VOLUMETRIC_HEAT, entry)
    };
    let water_share = match (whereabouts, entry) {
        (Whereabouts::Wall, _) => Some(0.0),
        (Whereabouts::Floor, Some(_)) => figure(part, "water", &range::SOLID_WATER, entry),
        (Whereabouts::Floor, None) => {
            Some(part.quantity_or("water", &range::SOLID_WATER, "0 %", "estimate: dry"))
        }
    };
    Some(Solid {
        thickness_m: thickness?,
        conductivity_w_mk: conductivity?,
        heat_capacity_j_m3k: heat_capacity?,
        freezing_heat_j_m3: water_share? * WATER_FREEZING_J_M3,
    })
}

/// Cuts a solid so thin that a daily wave is followed: a quarter of its penetration depth.
pub(crate) fn split(solid: Solid) -> Vec<Solid> {
    if solid.heat_capacity_j_m3k <= 0.0 {
        return vec![solid];
    }
    let diffusivity_m2_s = solid.conductivity_w_mk / solid.heat_capacity_j_m3k;
    let depth_m = (diffusivity_m2_s * SECONDS_A_DAY / std::f64::consts::PI).sqrt();
    let pieces = (PIECES_PER_DEPTH * solid.thickness_m / depth_m)
        .ceil()
        .clamp(1.0, MOST_PIECES);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 1 and 12"
    )]
    let count = pieces as usize;
    let piece = Solid {
        thickness_m: solid.thickness_m / pieces,
        ..solid
    };
    vec![piece; count]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thick_solids_are_cut_and_keep_their_resistance_and_heat() {
        let slab = Solid {
            thickness_m: 0.2,
            conductivity_w_mk: 1.5,
            heat_capacity_j_m3k: 2e6,
            freezing_heat_j_m3: 5e7,
        };
        let pieces = split(slab);
        // Penetration depth of a day: sqrt(7.5e-7 m2/s x 86400 s / pi) = 0.144 m.
        assert_eq!(pieces.len(), 6);
        let thickness_m: f64 = pieces.iter().map(|piece| piece.thickness_m).sum();
        assert!((thickness_m - 0.2).abs() < 1e-12);
        let massless = Solid {
            heat_capacity_j_m3k: 0.0,
            ..slab
        };
        assert_eq!(split(massless), [massless]);
    }
}

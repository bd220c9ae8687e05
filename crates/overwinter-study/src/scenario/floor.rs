//! The `[floor]` table: ground in two columns, or a raised floor.

use std::f64::consts::PI;

use overwinter_engine::house::{Below, Floor, FloorColumn, SoilOutside, Solid};
use overwinter_units::range;

use super::context::{Context, figure};
use super::outline::Outline;
use super::solids;
use crate::document::Part;

/// Soil layers from the surface downwards; they grow with depth as the daily wave dies out.
const SOIL_LAYERS_M: [f64; 7] = [0.02, 0.04, 0.08, 0.16, 0.30, 0.60, 1.00];
const SECONDS_A_YEAR: f64 = 365.0 * 86_400.0;
const DAYS_A_YEAR: f64 = 365.0;
/// Distance from the wall to soil that the house does not warm, sideways (estimate).
const UNDISTURBED_AT_M: f64 = 0.5;

/// Reads `[floor]`: the floor and a coefficient of its own at its surface.
pub(crate) fn read(
    context: &Context<'_>,
    root: &Part<'_>,
    outline: &Outline,
) -> Option<(Floor, Option<f64>)> {
    let part = root.part("floor");
    let is_raised = part.word_or(
        "kind",
        &[("ground", false), ("raised", true)],
        false,
        "estimate: on the ground",
    );
    let solar_absorptance = part.quantity_or(
        "absorptance",
        &range::ABSORPTANCE,
        "0.75",
        "estimate: soil and paths reflect 0.1 to 0.35",
    );
    let emissivity = part.quantity_or(
        "emissivity",
        &range::EMISSIVITY,
        "0.95",
        "from memory: soil 0.94 to 0.97",
    );
    let usual_wet = if is_raised { "0 %" } else { "15 %" };
    let wet_share = part.quantity_or(
        "wet",
        &range::SHARE,
        usual_wet,
        "estimate: share of floor that evaporates like open water",
    );
    let soil = Soil::read(context, &part, is_raised);
    let top = solids::layers(context, &part);
    let columns = soil.as_ref().zip(top).and_then(|(soil, top)| {
        if is_raised {
            raised(&part, outline, top)
        } else {
            Some(ground(&part, outline, soil, top))
        }
    });
    let own_w_m2k = part.quantity("coefficient_inside", &range::SURFACE_COEFFICIENT);
    if columns.is_none() {
        part.know_all();
    }
    part.finish();
    let floor = Floor {
        columns: columns?,
        solar_absorptance,
        emissivity,
        wet_share,
        soil_outside: soil?.outside,
    };
    Some((floor, own_w_m2k))
}

/// Undisturbed soil.
struct Soil {
    conductivity_w_mk: f64,
    heat_capacity_j_m3k: f64,
    outside: SoilOutside,
}

impl Soil {
    fn read(context: &Context<'_>, part: &Part<'_>, is_raised: bool) -> Option<Self> {
        if is_raised {
            return Some(Self::unmet(context));
        }
        let entry =
            context.entry_or(part, "soil", "solid", "moist loam", "estimate: garden soil")?;
        let conductivity = figure(part, "conductivity", &range::CONDUCTIVITY, Some(entry));
        let heat_capacity = figure(part, "heat_capacity", &range::VOLUMETRIC_HEAT, Some(entry));
        let course = Self::course(context, part);
        let (conductivity_w_mk, heat_capacity_j_m3k) = (conductivity?, heat_capacity?);
        if heat_capacity_j_m3k <= 0.0 {
            part.problem("heat_capacity", "soil has a heat capacity above 0");
            return None;
        }
        Some(Self {
            conductivity_w_mk,
            heat_capacity_j_m3k,
            outside: SoilOutside {
                diffusivity_m2_s: conductivity_w_mk / heat_capacity_j_m3k,
                ..course
            },
        })
    }

    /// A raised floor meets no soil; the figures only fill the place.
    fn unmet(context: &Context<'_>) -> Self {
        Self {
            conductivity_w_mk: 1.0,
            heat_capacity_j_m3k: 2e6,
            outside: SoilOutside {
                mean_k: context.climate.mean_air_k,
                swing_k: 0.0,
                coldest_day: 0.0,
                diffusivity_m2_s: 5e-7,
            },
        }
    }

    /// The yearly course at the surface; the diffusivity is filled in with the soil.
    fn course(context: &Context<'_>, part: &Part<'_>) -> SoilOutside {
        let facts = context.climate;
        let harmonic = "yearly harmonic of the air temperature in the weather file";
        SoilOutside {
            mean_k: part.value_or(
                "soil_mean",
                &range::GROUND_TEMPERATURE,
                facts.mean_air_k + 1.0,
                "mean air temperature of the weather file and 1 K (1 to 2 K, estimate)",
            ),
            swing_k: part.value_or("soil_swing", &range::GROUND_SWING, facts.swing_k, harmonic),
            coldest_day: part.value_or(
                "soil_coldest_day",
                &range::DAY_OF_YEAR,
                facts.coldest_day,
                harmonic,
            ),
            diffusivity_m2_s: 0.0,
        }
    }
}

/// Middle column and edge strip over soil.
fn ground(part: &Part<'_>, outline: &Outline, soil: &Soil, top: Vec<Solid>) -> [FloorColumn; 2] {
    let strip_m = part.quantity_or("edge_strip", &range::STRIP_WIDTH, "1 m", "estimate");
    let edge = Edge {
        r_m2k_w: part.quantity_or("edge_insulation", &range::R_VALUE, "R 0", "estimate: none"),
        depth_m: part.quantity_or(
            "edge_insulation_depth",
            &range::INSULATION_DEPTH,
            "2 ft",
            "extension advice: 1.5 to 2 ft",
        ),
        distance_m: strip_m / 2.0 + UNDISTURBED_AT_M,
    };
    let mut solids = top;
    solids.extend(SOIL_LAYERS_M.map(|thickness_m| Solid {
        thickness_m,
        conductivity_w_mk: soil.conductivity_w_mk,
        heat_capacity_j_m3k: soil.heat_capacity_j_m3k,
    }));
    let below = below_ground(
        part,
        soil,
        solids.iter().map(|solid| solid.thickness_m).sum(),
    );
    let [width_m, length_m] = [outline.width_m, outline.length_m];
    let inner = |size_m: f64| (size_m - 2.0 * strip_m).max(0.0);
    let middle_m2 = inner(width_m) * inner(length_m);
    let strip_m2 = outline.envelope.floor_area_m2 - middle_m2;
    let sideways = edge.sideways_w_m2k(&solids, outline.envelope.perimeter_m / strip_m2);
    let column = |area_m2, sideways_w_m2k| FloorColumn {
        area_m2,
        solids: solids.clone(),
        sideways_w_m2k,
        below,
    };
    [
        column(middle_m2, vec![0.0; solids.len()]),
        column(strip_m2, sideways),
    ]
}

/// What the strip along the edge meets sideways.
struct Edge {
    r_m2k_w: f64,
    depth_m: f64,
    distance_m: f64,
}

impl Edge {
    /// Conductance of each solid sideways, per m2 of strip: its height times soil (and insulation
    /// down to its depth) in series, for `edge_per_area` metres of edge per m2.
    fn sideways_w_m2k(&self, solids: &[Solid], edge_per_area: f64) -> Vec<f64> {
        let mut top_m = 0.0;
        let conductance = |solid: &Solid| {
            let soil_r = self.distance_m / solid.conductivity_w_mk;
            let insulated_m = (self.depth_m - top_m).clamp(0.0, solid.thickness_m);
            let bare_m = solid.thickness_m - insulated_m;
            top_m += solid.thickness_m;
            edge_per_area * (bare_m / soil_r + insulated_m / (soil_r + self.r_m2k_w))
        };
        solids.iter().map(conductance).collect()
    }
}

/// The lower end of the ground columns: a stated temperature, or undisturbed soil at that depth.
///
/// # References
/// Kusuda and Achenbach 1965, Earth temperature and thermal diffusivity at selected stations in the
/// United States, ASHRAE Transactions 71(1) (from memory).
fn below_ground(part: &Part<'_>, soil: &Soil, depth_m: f64) -> Below {
    if part.has("deep_temp") {
        let mean_k = part.quantity("deep_temp", &range::GROUND_TEMPERATURE);
        return Below::DeepSoil {
            mean_k: mean_k.unwrap_or(soil.outside.mean_k),
            swing_k: 0.0,
            coldest_day: 0.0,
        };
    }
    undisturbed(&soil.outside, depth_m)
}

fn undisturbed(soil: &SoilOutside, depth_m: f64) -> Below {
    let damping_m = (soil.diffusivity_m2_s * SECONDS_A_YEAR / PI).sqrt();
    let phase = depth_m / damping_m;
    Below::DeepSoil {
        mean_k: soil.mean_k,
        swing_k: soil.swing_k * (-phase).exp(),
        coldest_day: (soil.coldest_day + phase / (2.0 * PI) * DAYS_A_YEAR).rem_euclid(DAYS_A_YEAR),
    }
}

/// A floor that does not lie on the ground.
fn raised(part: &Part<'_>, outline: &Outline, solids: Vec<Solid>) -> Option<[FloorColumn; 2]> {
    if solids.is_empty() {
        part.missing(
            "layer",
            "the layers of a raised floor, from the house downwards",
        );
        return None;
    }
    let below = underside(part);
    let whole = FloorColumn {
        area_m2: outline.envelope.floor_area_m2,
        sideways_w_m2k: vec![0.0; solids.len()],
        solids,
        below,
    };
    let no_strip = FloorColumn {
        area_m2: 0.0,
        ..whole.clone()
    };
    Some([whole, no_strip])
}

/// What a raised floor has below it.
fn underside(part: &Part<'_>) -> Below {
    if part.has("underside_temp") {
        if part.has("underside") {
            part.problem(
                "underside",
                "either `underside` or `underside_temp`, not both",
            );
        }
        let held = part.quantity("underside_temp", &range::GROUND_TEMPERATURE);
        return held.map_or(Below::Adiabatic, |mean_k| Below::DeepSoil {
            mean_k,
            swing_k: 0.0,
            coldest_day: 0.0,
        });
    }
    let words = [("outdoor air", false), ("adiabatic", true)];
    if part.word_or("underside", &words, false, "estimate") {
        return Below::Adiabatic;
    }
    Below::OutdoorAir {
        coefficient_w_m2k: part.quantity_or(
            "underside_coefficient",
            &range::SURFACE_COEFFICIENT,
            "8.3 W/m2K",
            "estimate: still air, convection and radiation together",
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOAM: Solid = Solid {
        thickness_m: 0.5,
        conductivity_w_mk: 1.4,
        heat_capacity_j_m3k: 2.2e6,
    };

    fn edge(r_m2k_w: f64, depth_m: f64) -> Edge {
        Edge {
            r_m2k_w,
            depth_m,
            distance_m: 1.0,
        }
    }

    /// By hand: 0.5 m of loam over 1 m to the soil outside passes 0.5 x 1.4 W/(m K).
    #[test]
    fn edge_insulation_stands_in_series_with_soil_down_to_its_depth() {
        let bare = edge(0.0, 0.6).sideways_w_m2k(&[LOAM, LOAM], 1.0);
        assert!((bare[0] - 0.7).abs() < 1e-12 && (bare[1] - 0.7).abs() < 1e-12);
        let insulated = edge(1.0, 0.6).sideways_w_m2k(&[LOAM, LOAM], 1.0);
        let behind = 1.0 / (1.0 / 1.4 + 1.0);
        assert!((insulated[0] - 0.5 * behind).abs() < 1e-12);
        assert!((insulated[1] - (0.1 * behind + 0.4 * 1.4)).abs() < 1e-12);
    }

    /// The strip's heat loss per metre of edge, deep and bare, follows a fin: k sqrt(strip / distance),
    /// near the published edge factor of an uninsulated slab, 1.2 to 1.4 W/(m K) (ASHRAE Handbook
    /// Fundamentals, from memory).
    #[test]
    fn a_bare_edge_loses_what_handbooks_say() {
        let solids = SOIL_LAYERS_M.map(|thickness_m| Solid {
            thickness_m,
            ..LOAM
        });
        let sideways = edge(0.0, 0.6).sideways_w_m2k(&solids, 1.0);
        // Ladder from the lowest node up: a 1 m strip whose surface is 1 K warmer than all soil.
        let node = |index: usize| {
            let of = |at: Option<usize>| at.and_then(|at| sideways.get(at)).copied().unwrap_or(0.0);
            (of(index.checked_sub(1)) + of(Some(index))) / 2.0
        };
        let mut loss_w_mk = node(solids.len());
        for (index, solid) in solids.iter().enumerate().rev() {
            let down = solid.conductivity_w_mk / solid.thickness_m;
            loss_w_mk = node(index) + down * loss_w_mk / (down + loss_w_mk);
        }
        assert!((1.2..=1.45).contains(&loss_w_mk), "{loss_w_mk}");
    }

    /// At a depth of one damping length the swing is 1/e and comes 365 / (2 pi) days later.
    #[test]
    fn deep_soil_is_damped_and_late() {
        let outside = SoilOutside {
            mean_k: 284.0,
            swing_k: 12.0,
            coldest_day: 20.0,
            diffusivity_m2_s: PI / SECONDS_A_YEAR,
        };
        let deep = undisturbed(&outside, 1.0);
        let Below::DeepSoil {
            mean_k,
            swing_k,
            coldest_day,
        } = deep
        else {
            panic!("deep soil");
        };
        assert!((mean_k - 284.0).abs() < 1e-12);
        assert!((swing_k - 12.0 / std::f64::consts::E).abs() < 1e-12);
        assert!((coldest_day - (20.0 + DAYS_A_YEAR / (2.0 * PI))).abs() < 1e-9);
    }
}

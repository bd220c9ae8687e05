//! The ground under a house in two columns: the middle, and a strip along the edge.

use std::collections::BTreeMap;
use std::f64::consts::PI;
use std::sync::{Mutex, PoisonError};

use overwinter_engine::house::{Below, FloorColumn, SoilOutside, Solid};
use overwinter_physics::ground::slab::half_space_floor_loss_w;
use overwinter_units::range;

use super::floor::Soil;
use super::outline::Outline;
use crate::document::Part;

/// Soil layers from the surface downwards; they grow with depth as the daily wave dies out.
const SOIL_LAYERS_M: [f64; 7] = [0.02, 0.04, 0.08, 0.16, 0.30, 0.60, 1.00];
const SECONDS_A_YEAR: f64 = 365.0 * 86_400.0;
const DAYS_A_YEAR: f64 = 365.0;
/// Distance from the wall to soil that the house does not warm, sideways (estimate).
const UNDISTURBED_AT_M: f64 = 0.5;
/// Least and greatest conductance from the lower end of the columns to undisturbed soil.
const BELOW_W_M2K: [f64; 2] = [1e-6, 1e3];

/// Middle column and edge strip: the layers of the floor over soil.
pub(super) fn columns(
    part: &Part<'_>,
    outline: &Outline,
    soil: &Soil,
    top: Vec<Solid>,
) -> [FloorColumn; 2] {
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
    let wall_m = part.quantity_or(
        "wall_thickness",
        &range::WALL_THICKNESS,
        "10 cm",
        "estimate: baseboard or footing between the floor and the ground outside",
    );
    let soil_solids = SOIL_LAYERS_M.map(|thickness_m| Solid {
        thickness_m,
        conductivity_w_mk: soil.conductivity_w_mk,
        heat_capacity_j_m3k: soil.heat_capacity_j_m3k,
        freezing_heat_j_m3: soil.freezing_heat_j_m3,
    });
    let [width_m, length_m] = [outline.width_m, outline.length_m];
    let inner = |size_m: f64| (size_m - 2.0 * strip_m).max(0.0);
    let middle_m2 = inner(width_m) * inner(length_m);
    let strip_m2 = outline.envelope.floor_area_m2 - middle_m2;
    let edge_per_area = outline.envelope.perimeter_m / strip_m2;
    let below = if part.has("deep_temp") {
        held_below(part, soil)
    } else {
        let bare = Edge {
            r_m2k_w: 0.0,
            ..edge
        }
        .sideways_w_m2k(&soil_solids, edge_per_area);
        let conductivity_w_mk = soil.conductivity_w_mk;
        // All that the resistance follows from: these and the sizes of the soil's layers.
        let sizes = [
            length_m,
            width_m,
            wall_m,
            conductivity_w_mk,
            middle_m2,
            strip_m2,
        ];
        let resistance_m2k_w = known_resistance_m2k_w(&[&sizes, &*bare].concat(), || {
            let floor_w_k =
                half_space_floor_loss_w(length_m, width_m, wall_m, conductivity_w_mk, 1.0);
            resistance_below_m2k_w(floor_w_k, |below_w_m2k| {
                middle_m2 * column_loss_w_m2k(&soil_solids, &[], below_w_m2k)
                    + strip_m2 * column_loss_w_m2k(&soil_solids, &bare, below_w_m2k)
            })
        });
        undisturbed(soil, &soil_solids, resistance_m2k_w)
    };
    let mut solids = top;
    solids.extend(soil_solids);
    let sideways = edge.sideways_w_m2k(&solids, edge_per_area);
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

/// Most resistances that are remembered.
const MOST_KNOWN: usize = 10_000;

/// A resistance worked out once for all cases that have the same floor on the same soil; `from` is all
/// that it follows from.
fn known_resistance_m2k_w(from: &[f64], resistance_m2k_w: impl FnOnce() -> f64) -> f64 {
    static KNOWN: Mutex<BTreeMap<Vec<u64>, f64>> = Mutex::new(BTreeMap::new());
    let known = || KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    let key: Vec<u64> = from.iter().map(|number| number.to_bits()).collect();
    if let Some(found) = known().get(&key) {
        return *found;
    }
    let found = resistance_m2k_w();
    let mut known = known();
    if known.len() >= MOST_KNOWN {
        known.clear();
    }
    known.insert(key, found);
    found
}

/// Resistance between the lower end of the columns and undisturbed soil with which the floor loses
/// `floor_w_k` in the steady state; 0 if it loses no more than that without.
///
/// Two columns alone would lose too much: the soil deep under a house is warmer than undisturbed soil,
/// the more so the wider the house. The loss aimed at is that of the bare floor on a half-space.
fn resistance_below_m2k_w(floor_w_k: f64, loss_w_k: impl Fn(f64) -> f64) -> f64 {
    let [mut low, mut high] = BELOW_W_M2K;
    if loss_w_k(high) <= floor_w_k {
        return 0.0;
    }
    if loss_w_k(low) >= floor_w_k {
        return 1.0 / low;
    }
    // By halves of the logarithm: 60 of them leave less than rounding.
    for _ in 0..60 {
        let middle = (low * high).sqrt();
        if loss_w_k(middle) < floor_w_k {
            low = middle;
        } else {
            high = middle;
        }
    }
    1.0 / (low * high).sqrt()
}

/// Steady loss of a column, W/m2, whose surface is 1 K warmer than all soil around and below.
fn column_loss_w_m2k(solids: &[Solid], sideways_w_m2k: &[f64], below_w_m2k: f64) -> f64 {
    // A layer's sideways conductance is shared by the nodes at its two faces, as in the engine.
    let beside = |node: usize| {
        let of = |at: Option<usize>| {
            let layer = at.and_then(|at| sideways_w_m2k.get(at));
            layer.copied().unwrap_or(0.0) / 2.0
        };
        of(node.checked_sub(1)) + of(Some(node))
    };
    let lowest_w_m2k = beside(solids.len()) + below_w_m2k;
    solids
        .iter()
        .enumerate()
        .rev()
        .fold(lowest_w_m2k, |loss_w_m2k, (node, solid)| {
            let down = solid.conductivity_w_mk / solid.thickness_m;
            beside(node) + down * loss_w_m2k / (down + loss_w_m2k)
        })
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

/// A stated temperature at the lower end of the columns.
fn held_below(part: &Part<'_>, soil: &Soil) -> Below {
    let mean_k = part.quantity("deep_temp", &range::GROUND_TEMPERATURE);
    Below::DeepSoil {
        mean_k: mean_k.unwrap_or(soil.outside.mean_k),
        swing_k: 0.0,
        coldest_day: 0.0,
        resistance_m2k_w: 0.0,
    }
}

/// Undisturbed soil behind a resistance, as deep as the columns and that much soil.
fn undisturbed(soil: &Soil, solids: &[Solid], resistance_m2k_w: f64) -> Below {
    let columns_m: f64 = solids.iter().map(|solid| solid.thickness_m).sum();
    let depth_m = columns_m + resistance_m2k_w * soil.conductivity_w_mk;
    undisturbed_at(&soil.outside, depth_m, resistance_m2k_w)
}

/// Undisturbed soil at a depth, behind a resistance.
///
/// # References
/// Kusuda and Achenbach 1965, Earth temperature and thermal diffusivity at selected stations in the
/// United States, ASHRAE Transactions 71(1) (from memory).
fn undisturbed_at(soil: &SoilOutside, depth_m: f64, resistance_m2k_w: f64) -> Below {
    let damping_m = (soil.diffusivity_m2_s * SECONDS_A_YEAR / PI).sqrt();
    let phase = depth_m / damping_m;
    Below::DeepSoil {
        mean_k: soil.mean_k,
        swing_k: soil.swing_k * (-phase).exp(),
        coldest_day: (soil.coldest_day + phase / (2.0 * PI) * DAYS_A_YEAR).rem_euclid(DAYS_A_YEAR),
        resistance_m2k_w,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOAM: Solid = Solid {
        thickness_m: 0.5,
        conductivity_w_mk: 1.4,
        heat_capacity_j_m3k: 2.2e6,
        freezing_heat_j_m3: 8e7,
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
        let loss_w_mk = column_loss_w_m2k(&solids, &sideways, 0.0);
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
        let deep = undisturbed_at(&outside, 1.0, 0.0);
        let Below::DeepSoil {
            mean_k,
            swing_k,
            coldest_day,
            ..
        } = deep
        else {
            panic!("deep soil");
        };
        assert!((mean_k - 284.0).abs() < 1e-12);
        assert!((swing_k - 12.0 / std::f64::consts::E).abs() < 1e-12);
        assert!((coldest_day - (20.0 + DAYS_A_YEAR / (2.0 * PI))).abs() < 1e-9);
    }

    /// The slab of test GC10a of IEA BESTEST (NREL/TP-550-43388): 12 m x 12 m, soil of 1.9 W/(m K), a
    /// wall of 0.24 m, 20 K: 2432.6 W (Delsante's solution, recomputed). Two columns that stood on
    /// undisturbed soil would lose half as much again.
    #[test]
    fn the_columns_lose_what_a_floor_on_a_half_space_does() {
        let solids = SOIL_LAYERS_M.map(|thickness_m| Solid {
            thickness_m,
            conductivity_w_mk: 1.9,
            ..LOAM
        });
        let bare = edge(0.0, 0.6).sideways_w_m2k(&solids, 48.0 / 44.0);
        let loss_w_k = |below_w_m2k: f64| {
            100.0 * column_loss_w_m2k(&solids, &[], below_w_m2k)
                + 44.0 * column_loss_w_m2k(&solids, &bare, below_w_m2k)
        };
        assert!(
            20.0 * loss_w_k(1e3) > 1.4 * 2432.6,
            "{}",
            20.0 * loss_w_k(1e3)
        );
        let floor_w_k = half_space_floor_loss_w(12.0, 12.0, 0.24, 1.9, 1.0);
        let resistance = resistance_below_m2k_w(floor_w_k, loss_w_k);
        assert!((20.0 * loss_w_k(1.0 / resistance) - 2432.6).abs() < 1.0);
        // A floor whose edge alone loses more keeps no way down.
        assert!(resistance_below_m2k_w(1.0, loss_w_k) > 1e5);
        // One that may lose more than the columns can stands on undisturbed soil.
        assert!(resistance_below_m2k_w(1e4, loss_w_k) <= 0.0);
    }
}

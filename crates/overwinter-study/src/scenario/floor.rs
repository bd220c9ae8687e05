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

/// Reads `[floor]`.
pub(crate) fn read(context: &Context<'_>, root: &Part<'_>, outline: &Outline) -> Option<Floor> {
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
    part.finish();
    Some(Floor {
        columns: columns?,
        solar_absorptance,
        emissivity,
        wet_share,
        soil_outside: soil?.outside,
    })
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
            // A raised floor meets no soil; the figures only fill the place.
            return Some(Self {
                conductivity_w_mk: 1.0,
                heat_capacity_j_m3k: 2e6,
                outside: SoilOutside {
                    mean_k: context.climate.mean_air_k,
                    swing_k: 0.0,
                    coldest_day: 0.0,
                    diffusivity_m2_s: 5e-7,
                },
            });
        }
        let entry =
            context.entry_or(part, "soil", "solid", "moist loam", "estimate: garden soil")?;
        let conductivity = figure(part, "conductivity", &range::CONDUCTIVITY, Some(entry));
        let heat_capacity = figure(part, "heat_capacity", &range::VOLUMETRIC_HEAT, Some(entry));
        let facts = context.climate;
        let mean_k = part.value_or(
            "soil_mean",
            &range::GROUND_TEMPERATURE,
            facts.mean_air_k + 1.0,
            "mean air temperature of the weather file and 1 K (1 to 2 K, estimate)",
        );
        let swing_k = part.value_or(
            "soil_swing",
            &range::GROUND_SWING,
            facts.swing_k,
            "yearly harmonic of the air temperature in the weather file",
        );
        let coldest_day = part.value_or(
            "soil_coldest_day",
            &range::DAY_OF_YEAR,
            facts.coldest_day,
            "yearly harmonic of the air temperature in the weather file",
        );
        let (conductivity_w_mk, heat_capacity_j_m3k) = (conductivity?, heat_capacity?);
        if heat_capacity_j_m3k <= 0.0 {
            part.problem("heat_capacity", "soil has a heat capacity above 0");
            return None;
        }
        Some(Self {
            conductivity_w_mk,
            heat_capacity_j_m3k,
            outside: SoilOutside {
                mean_k,
                swing_k,
                coldest_day,
                diffusivity_m2_s: conductivity_w_mk / heat_capacity_j_m3k,
            },
        })
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
        strip_m,
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
    strip_m: f64,
}

impl Edge {
    /// Conductance of each solid sideways, per m2 of strip: its height times soil (and insulation
    /// down to its depth) in series, for `edge_per_area` metres of edge per m2.
    fn sideways_w_m2k(&self, solids: &[Solid], edge_per_area: f64) -> Vec<f64> {
        debug_assert!(self.strip_m > 0.0, "the range of the strip starts above 0");
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
    let damping_m = (soil.outside.diffusivity_m2_s * SECONDS_A_YEAR / PI).sqrt();
    let phase = depth_m / damping_m;
    Below::DeepSoil {
        mean_k: soil.outside.mean_k,
        swing_k: soil.outside.swing_k * (-phase).exp(),
        coldest_day: (soil.outside.coldest_day + phase / (2.0 * PI) * DAYS_A_YEAR)
            .rem_euclid(DAYS_A_YEAR),
    }
}

/// A floor over outdoor air or over nothing that takes heat.
fn raised(part: &Part<'_>, outline: &Outline, solids: Vec<Solid>) -> Option<[FloorColumn; 2]> {
    if solids.is_empty() {
        part.missing(
            "layer",
            "the layers of a raised floor, from the house downwards",
        );
        return None;
    }
    let is_adiabatic = part.word_or(
        "underside",
        &[("outdoor air", false), ("adiabatic", true)],
        false,
        "estimate",
    );
    let below = if is_adiabatic {
        Below::Adiabatic
    } else {
        Below::OutdoorAir {
            coefficient_w_m2k: part.quantity_or(
                "underside_coefficient",
                &range::SURFACE_COEFFICIENT,
                "8.3 W/m2K",
                "estimate: still air, convection and radiation together",
            ),
        }
    };
    let empty = FloorColumn {
        area_m2: 0.0,
        solids: Vec::new(),
        sideways_w_m2k: Vec::new(),
        below: Below::Adiabatic,
    };
    let whole = FloorColumn {
        area_m2: outline.envelope.floor_area_m2,
        sideways_w_m2k: vec![0.0; solids.len()],
        solids,
        below,
    };
    Some([whole, empty])
}

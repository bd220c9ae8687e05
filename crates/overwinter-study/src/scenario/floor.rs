//! The `[floor]` table: ground in two columns, or a raised floor.

use overwinter_engine::house::{Below, Floor, FloorColumn, SoilOutside, Solid};
use overwinter_units::range;

use super::context::{Context, figure};
use super::ground;
use super::outline::Outline;
use super::solids::{self, WATER_FREEZING_J_M3, Whereabouts};
use crate::document::Part;

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
    let top = solids::layers(context, &part, Whereabouts::Floor);
    let columns = soil.as_ref().zip(top).and_then(|(soil, top)| {
        if is_raised {
            raised(&part, outline, top)
        } else {
            Some(ground::columns(&part, outline, soil, top))
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
pub(super) struct Soil {
    pub(super) conductivity_w_mk: f64,
    pub(super) heat_capacity_j_m3k: f64,
    pub(super) freezing_heat_j_m3: f64,
    pub(super) outside: SoilOutside,
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
        let water = figure(part, "water", &range::SOLID_WATER, Some(entry));
        let course = Self::course(context, part);
        let (conductivity_w_mk, heat_capacity_j_m3k) = (conductivity?, heat_capacity?);
        if heat_capacity_j_m3k <= 0.0 {
            part.problem("heat_capacity", "soil has a heat capacity above 0");
            return None;
        }
        Some(Self {
            conductivity_w_mk,
            heat_capacity_j_m3k,
            freezing_heat_j_m3: water? * WATER_FREEZING_J_M3,
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
            freezing_heat_j_m3: 0.0,
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
            resistance_m2k_w: 0.0,
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

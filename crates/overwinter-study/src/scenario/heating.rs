//! What heats and cools: `[hold]`, `[[heater]]`, `[cooling]`, `[gains]`, `[mass]`.

use overwinter_engine::control::{Cooler, Gains, Heater, Setting};
use overwinter_engine::house::ThermalMass;
use overwinter_units::range;

use super::air::ventilation;
use super::context::{Context, figure};
use super::schedule::{bounds, hours_in_which, setting, setting_or_off};
use super::solids::WATER_FREEZING_J_M3;
use crate::document::Part;

/// Most heaters a house can have.
const MOST_HEATERS: usize = 8;
/// The one fuel that is not burnt in the house.
pub(crate) const ELECTRICITY: &str = "electricity";
/// Hold temperature of a house without heaters: never called for.
pub(crate) const NEVER_K: f64 = 200.0;
/// Set point of cooling and vents that are switched off: never reached.
pub(crate) const NEVER_SO_HOT_K: f64 = 1000.0;
/// ASAE EP406.4, single plastic film, 1.2 Btu/(h ft2 F), from memory.
const SIZING_W_M2K: f64 = 6.8;
const SIZING_SOURCE: &str = "1.2 Btu/(h ft2 F) (single film, ASAE EP406.4, from memory) x shell x \
    (hold temperature less the coldest hour of the weather file), shared by the heaters";
/// Surface of water in barrels per volume (0.21 m3 barrels standing free).
const BARREL_AREA_PER_M: f64 = 9.0;
const WATER_J_M3K: f64 = 4.18e6;

/// What `[hold]` says.
pub(crate) struct Hold {
    /// What the grower sets.
    pub(crate) set: Option<Setting>,
    /// How far above it the thermostat holds the house.
    error_k: f64,
}

/// Reads `[hold]`.
pub(crate) fn hold(context: &Context<'_>, root: &Part<'_>) -> Hold {
    let part = root.part("hold");
    let has_heaters = !root.parts("heater").is_empty();
    let temp = if part.has("temp") || !has_heaters {
        setting_or_off(context, &part, "temp", &range::SET_POINT, NEVER_K)
    } else {
        usual_hold(context, root, &part)
    };
    if !has_heaters && part.has("temp") {
        let warning = "a hold temperature is given but no [[heater]]: the house is not heated";
        root.findings().borrow_mut().warning(warning.to_owned());
    }
    let error_k = if has_heaters || part.has("error") {
        part.quantity_or(
            "error",
            &range::THERMOSTAT_ERROR,
            "0 K",
            "estimate: the thermostat is right",
        )
    } else {
        0.0
    };
    part.finish();
    Hold { set: temp, error_k }
}

/// The usual night temperature of the crop where the file names no hold temperature.
fn usual_hold(context: &Context<'_>, root: &Part<'_>, part: &Part<'_>) -> Option<Setting> {
    let kind = if root.has("crop") {
        root.part("crop").text("kind")
    } else {
        None
    };
    let crop = kind.and_then(|kind| context.catalogue.entry("crop", kind));
    let Some((crop, night)) = crop.and_then(|crop| Some((crop, crop.figure("night_temp")?))) else {
        part.missing(
            "temp",
            "the temperature the heaters hold, such as \"40 degF\"",
        );
        return None;
    };
    let source = format!("usual night temperature of {}, {}", crop.name, night.source);
    let on_what = "usual night temperature of the crop";
    part.note_derived("temp", night.written.clone(), &source, on_what);
    Some(Setting::Constant(night.value))
}

/// The temperature that the thermostat holds, for the engine.
pub(crate) fn heat_set(hold: Hold, heaters: &[Heater]) -> Setting {
    let set = hold.set.filter(|_| !heaters.is_empty());
    let set = set.unwrap_or(Setting::Constant(NEVER_K));
    let held = |set_k: f64| {
        if set_k > NEVER_K {
            set_k + hold.error_k
        } else {
            set_k
        }
    };
    match set {
        set if hold.error_k.abs() < f64::MIN_POSITIVE => set,
        Setting::Constant(set_k) => Setting::Constant(held(set_k)),
        Setting::ByHour(hours) => {
            Setting::ByHour(hours.iter().map(|ends| ends.map(held)).collect())
        }
    }
}

/// Reads `[[heater]]`.
pub(crate) fn heaters(
    context: &Context<'_>,
    root: &Part<'_>,
    hold: Option<&Setting>,
    shell_area_m2: f64,
) -> Vec<Heater> {
    let parts = root.parts("heater");
    if parts.len() > MOST_HEATERS {
        root.problem(
            "heater",
            &format!("at most {MOST_HEATERS} heaters; add up the output of equal ones"),
        );
    }
    let count = parts.len().max(1) as f64;
    let warmest_k = hold.map_or(NEVER_K, |set| bounds(set).1);
    let difference_k = (warmest_k - context.climate.coldest_air_k).max(5.0);
    let usual_w = SIZING_W_M2K * shell_area_m2 * difference_k / count;
    let mut heaters: Vec<Heater> = Vec::new();
    for (stage, part) in parts.iter().enumerate() {
        let Some(heater) = heater(context, part, stage, usual_w) else {
            continue;
        };
        if heaters.iter().any(|other| other.name == heater.name) {
            let message = format!("two heaters have the name \"{}\"", heater.name);
            part.problem("name", &message);
        }
        heaters.push(heater);
    }
    heaters
}

fn heater(context: &Context<'_>, part: &Part<'_>, stage: usize, usual_w: f64) -> Option<Heater> {
    let fuel = context.entry(part, "fuel", "fuel");
    if !part.has("fuel") {
        part.missing("fuel", "a fuel of the catalogue, such as \"propane\"");
    }
    let usual_kind = match fuel.map(|fuel| fuel.name.as_str()) {
        Some(ELECTRICITY) => "electric heater",
        Some("heating oil" | "kerosene") => "oil heater",
        Some("hardwood") => "wood stove",
        _ => "unit heater",
    };
    let kind = context.entry_or(
        part,
        "kind",
        "heater",
        usual_kind,
        "estimate: usual for this fuel",
    );
    if kind.is_none() {
        // What an unknown kind of heater would bring along cannot be told to be missing.
        part.know_all();
        return None;
    }
    let efficiency = figure(part, "efficiency", &range::EFFICIENCY, kind);
    let burns = fuel.is_some_and(|fuel| fuel.name != ELECTRICITY);
    if burns && efficiency.is_some_and(|share| share > 1.0) {
        part.problem(
            "efficiency",
            "a heater that burns fuel gives at most 100 % of its heat content; only electricity \
             gives more, to a heat pump",
        );
    }
    let output_w = part.value_or("output", &range::HEAT_OUTPUT, usual_w, SIZING_SOURCE);
    let electric_share = kind.and_then(|kind| kind.figure("electric_share"));
    let electric_w = match electric_share {
        Some(share) if !part.has("electric") => part.value_or_by(
            "electric",
            &range::ELECTRIC_POWER,
            share.value * output_w,
            (
                &share.source,
                "the share of the output that the catalogue entry has",
            ),
        ),
        _ => part
            .quantity("electric", &range::ELECTRIC_POWER)
            .unwrap_or(0.0),
    };
    let is_vented = kind.is_none_or(|kind| kind.flag("vented"));
    let needs_electricity = part.flag_or(
        "needs_electricity",
        kind.is_none_or(|k| k.flag("needs_electricity")),
        "catalogue",
    );
    let offset_k = part.quantity_or(
        "offset",
        &range::OFFSET,
        &match stage {
            0 => "0 degF".to_owned(),
            later => format!("-{} degF", 2 * later),
        },
        "grower practice: each further stage starts 2 degF lower",
    );
    let band_k = part.quantity_or(
        "band",
        &range::BAND,
        "1 K",
        "estimate: thermostat dead band 0.5 to 2 K",
    );
    let convective_share = figure(part, "convective_share", &range::SHARE, kind);
    let name = part.text("name").map_or_else(
        || usual_name(kind.map(|k| k.name.as_str()), stage),
        str::to_owned,
    );
    part.finish();
    let (efficiency, fuel) = (efficiency?, fuel?);
    if !is_vented {
        warn_unvented(part, &name);
    }
    let water_kg_j = fuel
        .figure("water_made")
        .filter(|_| !is_vented)
        .map_or(0.0, |made| made.value / efficiency);
    Some(Heater {
        name,
        output_w,
        efficiency,
        fuel: fuel.name.clone(),
        electric_w,
        needs_electricity,
        offset_k,
        band_k,
        convective_share: convective_share?,
        water_kg_j,
    })
}

fn usual_name(kind: Option<&str>, stage: usize) -> String {
    let kind = kind.unwrap_or("heater");
    if stage == 0 {
        kind.to_owned()
    } else {
        format!("{kind} {}", stage + 1)
    }
}

fn warn_unvented(part: &Part<'_>, name: &str) {
    let warning = format!(
        "\"{name}\" leaves its flue gas in the house: carbon monoxide can kill, and fumes and water \
         harm crops; ask a licensed heating contractor before using one"
    );
    part.findings().borrow_mut().warning(warning);
}

/// Reads `[cooling]`.
pub(crate) fn cooling(
    context: &Context<'_>,
    root: &Part<'_>,
    hold: Option<&Setting>,
) -> Option<Cooler> {
    if !root.has("cooling") {
        return None;
    }
    let part = root.part("cooling");
    let set_k = setting_or_off(context, &part, "set", &range::SET_POINT, NEVER_SO_HOT_K);
    if !part.has("set") {
        part.missing("set", "the temperature above which the house is cooled");
    }
    let capacity = part.required("capacity", &range::COOLING_CAPACITY);
    let band_k = part.quantity_or("band", &range::BAND, "1 K", "estimate");
    part.finish();
    warn_if_cooled_below_hold(root, set_k.as_ref(), hold);
    Some(Cooler {
        set_k: set_k?,
        capacity_w: capacity?,
        band_k,
    })
}

/// Warns where cooling would start at a temperature that the heaters still hold; the engine then
/// lets each stop half way.
fn warn_if_cooled_below_hold(root: &Part<'_>, cool: Option<&Setting>, hold: Option<&Setting>) {
    let Some((cool, hold)) = cool.zip(hold) else {
        return;
    };
    let hours = hours_in_which(cool, hold, |cool_k, hold_k| cool_k < hold_k);
    if hours > 0 {
        let warning = format!(
            "`cooling.set` is below `hold.temp` for {hours} hours of the year: the house is held \
             half way between the two"
        );
        root.findings().borrow_mut().warning(warning);
    }
}

/// Reads `[gains]` and `[ventilation]`.
pub(crate) fn gains(context: &Context<'_>, root: &Part<'_>) -> Gains {
    let part = root.part("gains");
    let of =
        |key: &str| setting(context, &part, key, &range::GAIN).unwrap_or(Setting::Constant(0.0));
    let gains = Gains {
        convective_w: of("convective"),
        radiant_w: of("radiant"),
        ventilation_m3_s: ventilation(context, root),
    };
    part.finish();
    gains
}

/// Reads `[mass]`: water in barrels, or a heat capacity.
pub(crate) fn mass(root: &Part<'_>) -> Option<ThermalMass> {
    if !root.has("mass") {
        return None;
    }
    let part = root.part("mass");
    let volume = part.quantity("water", &range::WATER_VOLUME);
    let capacity = part.quantity("heat_capacity", &range::MASS_HEAT);
    if part.has("water") == part.has("heat_capacity") {
        part.problem(
            "",
            "give one of `water`, such as \"880 gal\", and `heat_capacity`",
        );
    }
    let area = match volume {
        Some(volume_m3) => Some(part.value_or(
            "area",
            &range::PART_AREA,
            BARREL_AREA_PER_M * volume_m3,
            "estimate: barrels of 55 gal standing free",
        )),
        None => part.required("area", &range::PART_AREA),
    };
    let coefficient_w_m2k = part.quantity_or(
        "coefficient",
        &range::SURFACE_COEFFICIENT,
        "4 W/m2K",
        "estimate: natural convection; radiation is counted by itself",
    );
    let emissivity = part.quantity_or(
        "emissivity",
        &range::EMISSIVITY,
        "0.9",
        "estimate: painted steel or plastic",
    );
    let solar_absorptance = part.quantity_or(
        "absorptance",
        &range::ABSORPTANCE,
        "0.8",
        "estimate: dark barrels",
    );
    part.finish();
    Some(ThermalMass {
        heat_capacity_j_k: capacity.or(volume.map(|volume_m3| volume_m3 * WATER_J_M3K))?,
        freezing_heat_j: volume.unwrap_or(0.0) * WATER_FREEZING_J_M3,
        area_m2: area?,
        coefficient_w_m2k,
        emissivity,
        solar_absorptance,
    })
}

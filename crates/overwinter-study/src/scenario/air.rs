//! How air gets in and out and moves about: `[leakage]`, `[vents]`, `[ventilation]`, `[fans]`.

use overwinter_engine::control::{Setting, Vents};
use overwinter_engine::house::{House, Leakage};
use overwinter_engine::shape::Profile;
use overwinter_units::range;

use super::context::{Context, figure};
use super::heating::NEVER_SO_HOT_K;
use super::outline::Outline;
use super::schedule::{bounds, hours_in_which, setting, setting_or_off};
use crate::document::Part;

const CM2_PER_M2: f64 = 1e4;
/// Sherman and Grimsrud 1980, one storey, (L/s)2/(cm4 K), from memory.
const STACK_COEFFICIENT: f64 = 1.45e-4;
const STACK_SOURCE: &str = "Sherman and Grimsrud 1980, one storey, from memory";

/// Reads `[leakage]`: a word for the tightness, a leak area, or an air change rate.
pub(crate) fn leakage(
    context: &Context<'_>,
    root: &Part<'_>,
    cover_area_m2: f64,
) -> Option<Leakage> {
    let part = root.part("leakage");
    let ways = ["tightness", "leak_area", "air_change"].map(|key| part.has(key));
    if ways.iter().filter(|given| **given).count() > 1 {
        part.problem(
            "",
            "give only one of `tightness`, `leak_area` and `air_change`",
        );
    }
    let leakage = if part.has("air_change") {
        setting(context, &part, "air_change", &range::AIR_CHANGE)
            .map(|per_hour| Leakage::AirChange { per_hour })
    } else {
        leak_area(context, &part, cover_area_m2)
    };
    part.finish();
    leakage
}

fn leak_area(context: &Context<'_>, part: &Part<'_>, cover_area_m2: f64) -> Option<Leakage> {
    let area_cm2 = if part.has("leak_area") {
        part.quantity("leak_area", &range::LEAK_AREA)
            .map(|area_m2| area_m2 * CM2_PER_M2)
    } else {
        let class = context.entry_or(
            part,
            "tightness",
            "tightness",
            "ordinary",
            "estimate: sound double film",
        );
        let per_cover = class
            .and_then(|class| figure(part, "leak_per_cover", &range::LEAK_PER_COVER, Some(class)));
        per_cover.map(|per_cover| per_cover * cover_area_m2)
    };
    let shelter = context.entry_or(
        part,
        "shelter",
        "shelter",
        "moderate",
        "estimate: some hedges or buildings",
    );
    let wind = shelter.and_then(|entry| {
        figure(
            part,
            "wind_coefficient",
            &range::WIND_COEFFICIENT,
            Some(entry),
        )
    });
    let stack = part.value_or(
        "stack_coefficient",
        &range::STACK_COEFFICIENT,
        STACK_COEFFICIENT,
        STACK_SOURCE,
    );
    Some(Leakage::Area {
        area_cm2: area_cm2?,
        stack,
        wind: wind?,
    })
}

/// Reads `[vents]`. A house with a crop shape has vents unless the file says otherwise; a box has
/// none unless the file names them.
pub(crate) fn vents(
    context: &Context<'_>,
    root: &Part<'_>,
    outline: &Outline,
    heat_set: Option<&Setting>,
) -> Option<Vents> {
    let part = root.part("vents");
    let usual = outline.profile != Profile::Box || root.has("vents");
    let is_wanted = part.flag_or(
        "present",
        usual,
        "estimate: a closed house overheats on sunny winter days",
    );
    if !is_wanted {
        part.finish();
        return None;
    }
    let warmest_hold_k = heat_set.map_or(0.0, |set| bounds(set).1);
    let usual_k = (warmest_hold_k + 8.0).max(273.15 + 25.0);
    let set_k = if part.has("set") {
        setting_or_off(context, &part, "set", &range::SET_POINT, NEVER_SO_HOT_K)
    } else {
        let source = "estimate: 77 degF, and 8 K above the warmest hold temperature";
        Some(Setting::Constant(part.value_or(
            "set",
            &range::SET_POINT,
            usual_k,
            source,
        )))
    };
    warn_if_they_meet(root, set_k.as_ref(), heat_set);
    let floor_m2 = outline.envelope.floor_area_m2;
    let area_m2 = part.value_or(
        "area",
        &range::VENT_AREA,
        0.10 * floor_m2,
        "estimate: 10 % of the floor",
    );
    let stack_height_m = part.value_or(
        "stack_height",
        &range::STACK_HEIGHT,
        outline.ridge_height_m / 2.0,
        "estimate: half the ridge height",
    );
    let vents = Vents {
        set_k: set_k.clone().unwrap_or(Setting::Constant(usual_k)),
        band_k: part.quantity_or(
            "band",
            &range::BAND,
            "4 K",
            "estimate: vents open step by step",
        ),
        area_m2,
        stack_height_m,
        discharge: part.quantity_or(
            "discharge",
            &range::DISCHARGE,
            "0.62",
            "Boulard and Baille 1995 (0.60 to 0.66), from memory",
        ),
        wind: part.quantity_or(
            "wind_effect",
            &range::WIND_EFFECT,
            "0.08",
            "Boulard and Baille 1995 (0.06 to 0.10), from memory",
        ),
        fan_flow_m3_s: part.quantity_or(
            "fan_flow",
            &range::AIR_FLOW,
            "0 m3/s",
            "estimate: openings without fans",
        ),
        fan_electric_w: part.quantity_or(
            "fan_power",
            &range::ELECTRIC_POWER,
            "0 W",
            "estimate: openings without fans",
        ),
    };
    part.finish();
    set_k.map(|_| vents)
}

/// Warns where vents open at a temperature that the heaters still hold.
fn warn_if_they_meet(root: &Part<'_>, vents: Option<&Setting>, hold: Option<&Setting>) {
    let Some((vents, hold)) = vents.zip(hold) else {
        return;
    };
    let hours = hours_in_which(vents, hold, |vents_k, hold_k| vents_k <= hold_k);
    if hours > 0 {
        let warning = format!(
            "vents open while the heaters run, for {hours} hours of the year: `vents.set` is not \
             above `hold.temp`"
        );
        root.findings().borrow_mut().warning(warning);
    }
}

/// Reads `[ventilation]`: outdoor air moved on purpose by the clock.
pub(crate) fn ventilation(context: &Context<'_>, root: &Part<'_>) -> Setting {
    let part = root.part("ventilation");
    let flow = setting(context, &part, "flow", &range::AIR_FLOW);
    if root.has("ventilation") && !part.has("flow") {
        part.missing("flow", "the air flow, such as \"200 cfm\"");
    }
    part.finish();
    flow.unwrap_or(Setting::Constant(0.0))
}

/// Reads `[fans]` into a house.
pub(crate) fn fans(root: &Part<'_>, house: &mut House) {
    let part = root.part("fans");
    house.fans.circulation_w = part.quantity_or(
        "circulation",
        &range::ELECTRIC_POWER,
        "0 W",
        "estimate: none",
    );
    let usual_speed = if house.fans.circulation_w > 0.0 {
        "0.3 m/s"
    } else {
        "0 m/s"
    };
    house.fans.air_speed_m_s = part.quantity_or(
        "air_speed",
        &range::AIR_SPEED,
        usual_speed,
        "from memory: circulation fans keep up 0.2 to 0.5 m/s",
    );
    part.finish();
}

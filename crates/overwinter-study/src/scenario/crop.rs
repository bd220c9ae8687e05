//! What grows in the house, and the temperatures on which frost risk is judged.

use overwinter_engine::house::Crop;
use overwinter_units::range;

use super::context::{Context, figure};
use crate::case::{DoseCurve, FrostLimit};
use crate::catalogue::Entry;
use crate::document::Part;

const HOUR_S: f64 = 3600.0;

/// The crop and the limits that come with it.
pub(crate) struct CropAndLimits {
    /// The canopy, if any.
    pub(crate) crop: Option<Crop>,
    /// Limits of the catalogue and of the file.
    pub(crate) limits: Vec<FrostLimit>,
}

/// Reads `[crop]` and `[[frost_limit]]`.
pub(crate) fn read(context: &Context<'_>, root: &Part<'_>) -> CropAndLimits {
    let entry = root.has("crop").then(|| canopy(context, root));
    let (crop, mut limits) = entry.unwrap_or_default();
    own_limits(root, &mut limits);
    if limits.is_empty() {
        let source = "estimate: no crop and no limit is named";
        root.note_default("frost_limit", "water freezes, 0 degC".to_owned(), source);
        limits.push(FrostLimit {
            name: "water freezes".to_owned(),
            limit_k: 273.15,
            dose: None,
            lag_h: 0.0,
            is_loss: false,
        });
    }
    CropAndLimits { crop, limits }
}

/// Adds the limits of the file; one that marks the loss of the crop takes the mark from the
/// catalogue's.
fn own_limits(root: &Part<'_>, limits: &mut Vec<FrostLimit>) {
    let from_catalogue = limits.len();
    for part in root.parts("frost_limit") {
        let limit = own_limit(&part);
        let same = |other: &FrostLimit| Some(&other.name) == limit.as_ref().map(|own| &own.name);
        if limits.iter().any(same) {
            part.problem("name", "two limits have this name");
        }
        if limit.as_ref().is_some_and(|own| own.is_loss) {
            let (catalogue, own) = limits.split_at_mut(from_catalogue);
            if own.iter().any(|other| other.is_loss) {
                part.problem(
                    "crop_lost",
                    "two limits are marked as that of the crop's loss",
                );
            }
            catalogue.iter_mut().for_each(|other| other.is_loss = false);
        }
        limits.extend(limit);
        part.finish();
    }
}

fn canopy(context: &Context<'_>, root: &Part<'_>) -> (Option<Crop>, Vec<FrostLimit>) {
    let part = root.part("crop");
    let entry = context.entry(&part, "kind", "crop");
    if !part.has("kind") {
        part.missing("kind", "a crop of the catalogue, such as \"salad greens\"");
    }
    let of = |key: &str, range| figure(&part, key, range, entry);
    let crop = entry.and_then(|_| {
        Some(Crop {
            leaf_area_index: of("leaf_area_index", &range::LEAF_AREA_INDEX)?,
            floor_share: of("floor_share", &range::CROP_FLOOR_SHARE)?,
            heat_capacity_j_m2k: of("heat_capacity", &range::CROP_HEAT)?,
            extinction: of("extinction", &range::CANOPY_EXTINCTION)?,
            solar_absorptance: of("solar_absorptance", &range::ABSORPTANCE)?,
            emissivity: of("emissivity", &range::EMISSIVITY)?,
            boundary_resistance_s_m: of("boundary_resistance", &range::LEAF_RESISTANCE)?,
            least_resistance_s_m: of("least_resistance", &range::LEAF_RESISTANCE)?,
            night_resistance_s_m: of("night_resistance", &range::LEAF_RESISTANCE)?,
        })
    });
    let limits = entry.map_or_else(Vec::new, |entry| catalogue_limits(&part, entry));
    if crop.is_some() || entry.is_none() {
        finish(&part, entry);
    }
    (crop, limits)
}

/// With an unknown crop the other keys cannot be judged.
fn finish(part: &Part<'_>, entry: Option<&Entry>) {
    if entry.is_some() {
        part.finish();
    }
}

fn catalogue_limits(part: &Part<'_>, entry: &Entry) -> Vec<FrostLimit> {
    let limit = |limit: &Entry| {
        let (temp, lag) = limit.figure("temp").zip(limit.figure("lag"))?;
        let is_loss = limit.flag("loses");
        let loss = if is_loss { ", crop lost" } else { "" };
        part.findings().borrow_mut().assumed(
            format!("frost_limit \"{}\"", limit.name),
            format!("{} for {}{loss}", temp.written, lag.written),
            format!(
                "catalogue, {}: {}; time: {}",
                entry.name, temp.source, lag.source
            ),
        );
        let dose = limit
            .figure("half_damage")
            .zip(limit.figure("damage_slope"));
        Some(FrostLimit {
            name: limit.name.clone(),
            limit_k: temp.value,
            dose: dose.map(|(half, slope)| DoseCurve {
                half_damage_k: half.value,
                slope_per_k: slope.value,
            }),
            lag_h: lag.value / HOUR_S,
            is_loss,
        })
    };
    entry.parts.iter().filter_map(limit).collect()
}

fn own_limit(part: &Part<'_>) -> Option<FrostLimit> {
    let name = part.text("name");
    if !part.has("name") {
        part.missing("name", "a name for the limit");
    }
    let temp = part.required("temp", &range::FROST_LIMIT);
    let half = part.quantity("half_damage", &range::FROST_LIMIT);
    let slope = part.quantity("damage_slope", &range::DOSE_SLOPE);
    if part.has("half_damage") != part.has("damage_slope") {
        part.problem(
            "",
            "a damage curve needs both `half_damage` and `damage_slope`",
        );
    }
    let lag_source = "estimate: harmed at once";
    let lag_s = part.quantity_or("lag", &range::FROST_LAG, "0 min", lag_source);
    let is_loss = part.flag_or("crop_lost", false, "estimate: that of the crop, if any");
    Some(FrostLimit {
        name: name?.to_owned(),
        limit_k: temp?,
        dose: half
            .zip(slope)
            .map(|(half_damage_k, slope_per_k)| DoseCurve {
                half_damage_k,
                slope_per_k,
            }),
        lag_h: lag_s / HOUR_S,
        is_loss,
    })
}

//! Opaque walls as layered mass, `[[wall]]`: kneewalls, insulated walls, doors, rooms.

use overwinter_engine::house::{Facet, Outside, Solid, Wall};
use overwinter_units::{Kind, System, print, range};

use super::context::Context;
use super::free_area::FreeArea;
use super::outline::{Face, Outline};
use super::solids::{self, Whereabouts};
use super::surfaces;
use crate::document::{Form, Part, not_among};

/// An opaque part and the face it is on, if it is on one.
pub(crate) struct Placed {
    /// The part.
    pub(crate) wall: Wall,
    /// Name of the `[[wall]]` it comes from.
    pub(crate) part_name: String,
    /// The face.
    pub(crate) face: Option<Face>,
    /// Coefficients of its own, inside and outside.
    pub(crate) own_w_m2k: [Option<f64>; 2],
}

/// Reads `[[wall]]`. Walls of a stated size take their part of a face first, whatever their place in
/// the file; a wall without takes what is left.
pub(crate) fn read(context: &Context<'_>, root: &Part<'_>, free: &mut FreeArea<'_>) -> Vec<Placed> {
    let outline = free.outline;
    let parts = root.parts("wall");
    let is_sized = |part: &Part<'_>| part.has("area") || part.has("height");
    let (sized, rest): (Vec<_>, Vec<_>) = parts.iter().enumerate().partition(|(_, p)| is_sized(p));
    let mut placed: Vec<(usize, Placed)> = Vec::new();
    for (order, part) in sized.into_iter().chain(rest) {
        let name = part.text("name").unwrap_or("wall").to_owned();
        let makeup = Makeup::read(context, part);
        let own_w_m2k = surfaces::own(part);
        let planes = if part.has("on") {
            on_faces(part, free)
        } else {
            free_standing(part)
                .into_iter()
                .map(|facet| (None, facet))
                .collect()
        };
        part.finish();
        let Some(makeup) = makeup else { continue };
        let is_single = planes.len() == 1;
        placed.extend(planes.into_iter().map(|(face, facet)| {
            let face_name = face.map(|face| outline.name(face));
            let placed = Placed {
                wall: makeup.wall(wall_name(&name, face_name, is_single), facet),
                part_name: name.clone(),
                face,
                own_w_m2k,
            };
            (order, placed)
        }));
    }
    placed.sort_by_key(|(order, _)| *order);
    placed.into_iter().map(|(_, placed)| placed).collect()
}

fn wall_name(name: &str, face: Option<String>, is_single: bool) -> String {
    match face {
        Some(face) if !is_single => format!("{name}, {face}"),
        _ => name.to_owned(),
    }
}

/// What a wall consists of.
struct Makeup {
    solids: Vec<Solid>,
    outside: Outside,
    solar_absorptance: [f64; 2],
    emissivity: [f64; 2],
}

impl Makeup {
    fn read(context: &Context<'_>, part: &Part<'_>) -> Option<Self> {
        let solids = solids::layers(context, part, Whereabouts::Wall);
        if solids.as_ref().is_some_and(Vec::is_empty) {
            part.problem(
                "layer",
                "at least one layer is wanted, from the house outwards",
            );
        }
        let outside = outside(part);
        let share = |key: &str, range, usual: &str| {
            part.quantity_or(
                key,
                range,
                usual,
                "estimate: painted or weathered building surface",
            )
        };
        let solar_absorptance = [
            share("absorptance_inside", &range::ABSORPTANCE, "0.5"),
            share("absorptance_outside", &range::ABSORPTANCE, "0.6"),
        ];
        let emissivity = [
            share("emissivity_inside", &range::EMISSIVITY, "0.9"),
            share("emissivity_outside", &range::EMISSIVITY, "0.9"),
        ];
        Some(Self {
            solids: solids.filter(|solids| !solids.is_empty())?,
            outside: outside?,
            solar_absorptance,
            emissivity,
        })
    }

    fn wall(&self, name: String, facet: Facet) -> Wall {
        Wall {
            name,
            facet,
            solids: self.solids.clone(),
            outside: self.outside,
            solar_absorptance: self.solar_absorptance,
            emissivity: self.emissivity,
        }
    }
}

fn outside(part: &Part<'_>) -> Option<Outside> {
    if part.has("outside_temp") {
        let temp_k = part.quantity("outside_temp", &range::GROUND_TEMPERATURE)?;
        if part.has("outside") {
            part.problem("outside", "either `outside` or `outside_temp`, not both");
        }
        return Some(Outside::Held { temp_k });
    }
    let words = [
        ("open", Outside::Open),
        ("sheltered", Outside::Sheltered),
        ("adiabatic", Outside::Adiabatic),
    ];
    Some(part.word_or(
        "outside",
        &words,
        Outside::Open,
        "estimate: sun, sky and wind",
    ))
}

/// Planes of a wall that stands in for faces of the outline.
fn on_faces(part: &Part<'_>, free: &mut FreeArea<'_>) -> Vec<(Option<Face>, Facet)> {
    let outline = free.outline;
    part.may_be("on", || Form::Names(outline.face_words()));
    let Some(word) = part.text("on") else {
        return Vec::new();
    };
    let Some(faces) = outline.faces(word) else {
        let words = outline.face_words();
        part.problem("on", &not_among(word, words.iter().map(String::as_str)));
        return Vec::new();
    };
    let height = part.quantity("height", &range::PART_HEIGHT);
    let area = part.quantity("area", &range::PART_AREA);
    if height.is_some() && area.is_some() {
        part.problem("area", "either `height` or `area`, not both");
    }
    let mut planes = Vec::new();
    let is_group = faces.len() > 1;
    for face in faces {
        let Some(mut area_m2) = face_area(part, outline, face, height, area) else {
            continue;
        };
        if height.is_none() && area.is_none() {
            let left_m2 = free.of(face);
            if left_m2 <= 0.0 && is_group {
                continue;
            }
            if left_m2 > 0.0 {
                area_m2 = left_m2;
            }
        }
        let key = if area.is_some() { "area" } else { "on" };
        if free.take(part, key, face, area_m2).is_some() {
            let facets = outline.part_of(face, area_m2).into_iter();
            planes.extend(facets.map(|facet| (Some(face), facet)));
        }
    }
    planes
}

/// Area that a wall takes of a face: a stated area, a band along the floor, or all of it.
fn face_area(
    part: &Part<'_>,
    outline: &Outline,
    face: Face,
    height: Option<f64>,
    area: Option<f64>,
) -> Option<f64> {
    let whole_m2 = outline.area_m2(face);
    if whole_m2 <= 0.0 {
        let message = format!(
            "the {} has no upright part; give `house.side_height`",
            outline.name(face)
        );
        part.problem("on", &message);
        return None;
    }
    let Some(height_m) = height else {
        return Some(area.unwrap_or(whole_m2));
    };
    let most_m = outline.face_height_m(face);
    if height_m > most_m * (1.0 + 1e-9) {
        let [si, us] = [System::Si, System::Us].map(|system| print(most_m, Kind::Length, system));
        let message = format!(
            "the {} is upright up to {si} ({us}) only",
            outline.name(face)
        );
        part.problem("height", &message);
        return None;
    }
    Some((height_m * outline.base_m(face)).min(whole_m2))
}

/// A wall beside the outline, by area, direction and tilt.
fn free_standing(part: &Part<'_>) -> Option<Facet> {
    if !part.has("area") && !part.has("facing") {
        part.missing(
            "on",
            "the faces it stands on (or `area` with `facing` for a wall of its own)",
        );
        return None;
    }
    let area = part.required("area", &range::PART_AREA);
    let azimuth = part.required("facing", &range::DIRECTION);
    let tilt_deg = part.quantity_or("tilt", &range::TILT, "90 deg", "estimate: upright");
    Some(Facet {
        area_m2: area?,
        tilt_deg,
        azimuth_deg: azimuth?.rem_euclid(360.0),
    })
}

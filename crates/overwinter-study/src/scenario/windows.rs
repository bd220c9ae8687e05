//! Windows: covers of their own in walls and faces, `[[window]]`.

use overwinter_engine::house::{Facet, Section, Shade, Shading};
use overwinter_units::range;

use super::context::Context;
use super::cover::{self, Cover};
use super::free_area::{FreeArea, too_large};
use super::inflation::Inflation;
use super::surfaces;
use super::walls::Placed;
use crate::document::{Form, Part, not_among};

/// A window of the scenario.
pub(crate) struct Window {
    name: String,
    /// Its layers.
    pub(crate) cover: Cover,
    facet: Facet,
    light_kept_share: f64,
    height_m: f64,
    shading: Option<Shading>,
    /// Coefficients of its own, inside and outside.
    pub(crate) own_w_m2k: [Option<f64>; 2],
}

impl Window {
    /// The window as a section of the cover.
    pub(crate) fn section(&self, inflation: &Inflation<'_>) -> Section {
        let facets = vec![self.facet];
        let section = self.cover.section(
            &self.name,
            facets,
            inflation,
            self.light_kept_share,
            self.height_m,
        );
        Section {
            shading: self.shading,
            ..section
        }
    }
}

/// Reads `[[window]]`.
pub(crate) fn read(
    context: &Context<'_>,
    root: &Part<'_>,
    own: &[Cover],
    placed: &mut [Placed],
    free: &mut FreeArea<'_>,
) -> Vec<Window> {
    let mut windows = Vec::new();
    for part in root.parts("window") {
        let name = part.text("name").unwrap_or("window").to_owned();
        let cover = cover::named(context, &part, "cover", own);
        if !part.has("cover") {
            part.missing("cover", "a cover, such as \"insulating glass\"");
        }
        let area = part.required("area", &range::PART_AREA);
        let light_kept_share = cover::light_kept(&part);
        let side_m = area.unwrap_or(1.0).sqrt();
        let height_m = part.value_or(
            "height",
            &range::PART_HEIGHT,
            side_m,
            "estimate: a square window",
        );
        let facet = area.and_then(|area_m2| place(&part, placed, free, area_m2));
        let own_w_m2k = surfaces::own(&part);
        let shading = shading(&part, area.unwrap_or(1.0), height_m);
        part.finish();
        if let (Some(cover), Some(facet)) = (cover, facet) {
            windows.push(Window {
                name,
                cover,
                facet,
                light_kept_share,
                height_m,
                shading,
                own_w_m2k,
            });
        }
    }
    windows
}

/// Reads the overhang and the fins of a window.
fn shading(part: &Part<'_>, area_m2: f64, height_m: f64) -> Option<Shading> {
    let overhang = shade(part, "overhang", "above");
    let fins = shade(part, "fins", "beside");
    if overhang.is_none() && fins.is_none() {
        return None;
    }
    Some(Shading {
        overhang,
        fins,
        width_m: area_m2 / height_m,
        height_m,
    })
}

fn shade(part: &Part<'_>, key: &str, distance_key: &str) -> Option<Shade> {
    if !part.has(key) {
        part.may_be(key, || Form::Table);
        return None;
    }
    let part = part.part(key);
    let depth_m = part.required("depth", &range::SHADE_DEPTH);
    let distance_m = part.quantity_or(
        distance_key,
        &range::SHADE_DISTANCE,
        "0 m",
        "estimate: at the edge of the window",
    );
    part.finish();
    Some(Shade {
        depth_m: depth_m?,
        distance_m,
    })
}

/// Takes a window out of the wall it names, or out of a face: of its cover if that is large enough,
/// else of the wall on it.
fn place(
    part: &Part<'_>,
    placed: &mut [Placed],
    free: &mut FreeArea<'_>,
    area_m2: f64,
) -> Option<Facet> {
    if !part.has("in") {
        part.missing("in", "the wall the window is in");
    }
    let outline = free.outline;
    part.may_be("in", || Form::Names(outline.face_words()));
    let word = part.text("in")?;
    let faces = outline.faces(word).filter(|faces| faces.len() == 1);
    let face = faces.and_then(|faces| faces.first().copied());
    let is_named = placed.iter().any(|placed| placed.part_name == word);
    if let Some(face) = face.filter(|face| !is_named && free.of(*face) >= area_m2) {
        let facet = outline.facets(face).first().copied()?;
        let taken = free.take(part, "area", face, area_m2);
        return taken.map(|area_m2| Facet { area_m2, ..facet });
    }
    let wall = placed
        .iter_mut()
        .filter(|placed| placed.part_name == word || (face.is_some() && placed.face == face))
        .max_by(|a, b| a.wall.facet.area_m2.total_cmp(&b.wall.facet.area_m2));
    match (wall, face) {
        (Some(wall), _) => cut(part, &mut wall.wall.facet, area_m2),
        (None, Some(face)) => {
            part.problem("area", &too_large(free.of(face)));
            None
        }
        (None, None) => {
            let words = outline.face_words();
            let names = placed.iter().map(|placed| placed.part_name.as_str());
            let known: Vec<_> = names.chain(words.iter().map(String::as_str)).collect();
            part.problem("in", &not_among(word, known.iter().copied()));
            None
        }
    }
}

/// Cuts a window out of a wall, of which something must be left.
fn cut(part: &Part<'_>, wall: &mut Facet, area_m2: f64) -> Option<Facet> {
    if area_m2 >= wall.area_m2 {
        part.problem("area", &too_large(wall.area_m2));
        return None;
    }
    wall.area_m2 -= area_m2;
    Some(Facet { area_m2, ..*wall })
}

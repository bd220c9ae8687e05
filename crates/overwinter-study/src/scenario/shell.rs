//! The shell: opaque walls and windows put on the faces of the outline, the cover on what is left.

use overwinter_engine::house::{Facet, Outside, Section, Solid, Wall};
use overwinter_units::{Kind, System, print, range};

use super::context::Context;
use super::cover::{self, Cover, Inflation, Screen};
use super::outline::{FACES, Face, Outline};
use super::solids;
use crate::document::{Part, not_among};

/// Everything between inside and outside but the floor.
#[derive(Debug)]
pub(crate) struct Shell {
    /// Cover sections and windows.
    pub(crate) sections: Vec<Section>,
    /// Opaque walls.
    pub(crate) walls: Vec<Wall>,
    /// Draw of the inflation blower.
    pub(crate) blower_w: f64,
}

/// Area that is still free on each face, in the order of [`FACES`].
type Free = [f64; FACES.len()];

/// An opaque part and the face it is on, if it is on one.
struct Placed {
    wall: Wall,
    part_name: String,
    face: Option<Face>,
}

impl Shell {
    /// Reads `[cover]`, `[[own_cover]]`, `[[wall]]`, `[[window]]`, `[inflation]` and `[screen]`.
    pub(crate) fn read(context: &Context<'_>, root: &Part<'_>, outline: &Outline) -> Option<Self> {
        let own = cover::own_covers(context, root);
        let mut free: Free = FACES.map(|face| outline.area_m2(face));
        let mut placed = walls(context, root, outline, &mut free);
        let covers = Covers::read(context, root, &own, &free);
        let windows = windows(context, root, outline, &own, &mut placed, &mut free);
        let screen = Screen::read(context, root);
        let is_inflated = |cover: &Cover| cover.is_inflated();
        let any_inflated =
            covers.all().any(is_inflated) || windows.iter().any(|w| w.cover.is_inflated());
        let inflation = if any_inflated || root.has("inflation") {
            Inflation::read(root)
        } else {
            Inflation::NONE
        };
        let mut sections = covers.sections(outline, &free, &inflation);
        sections.extend(windows.iter().map(|window| window.section(&inflation)));
        if let Some(screen) = screen {
            match sections
                .iter_mut()
                .find(|section| section.name.starts_with("roof"))
            {
                Some(roof) => screen.hang(roof, root),
                None => root.problem(
                    "screen",
                    "a screen hangs under a roof cover, and there is none",
                ),
            }
        }
        let blower_w = inflation.complete(&mut sections, root);
        let walls = placed.into_iter().map(|placed| placed.wall).collect();
        Some(Self {
            sections,
            walls,
            blower_w,
        })
    }
}

/// The covers of roof, sides and ends; `None` where nothing is left to cover or a name is wrong.
struct Covers {
    roof: Option<Cover>,
    sides: Option<Cover>,
    ends: Option<Cover>,
    light_kept_share: f64,
}

impl Covers {
    fn read(context: &Context<'_>, root: &Part<'_>, own: &[Cover], free: &Free) -> Self {
        let part = root.part("cover");
        let needs_cover = free.iter().any(|area_m2| *area_m2 > 1e-6);
        let roof = cover::named(context, &part, "roof", own);
        if needs_cover && !part.has("roof") && !part.has("sides") && !part.has("ends") {
            part.missing("roof", "a cover, such as \"inflated pair\"");
        }
        let or_roof = |key: &str| {
            if part.has(key) {
                return cover::named(context, &part, key, own);
            }
            if let (Some(cover), true) = (&roof, needs_cover) {
                part.note_default(key, cover.name.clone(), "as the roof");
            }
            roof.clone()
        };
        let (sides, ends) = (or_roof("sides"), or_roof("ends"));
        let light_kept_share = if needs_cover || part.has("light_kept") {
            cover::light_kept(&part)
        } else {
            1.0
        };
        part.finish();
        Self {
            roof,
            sides,
            ends,
            light_kept_share,
        }
    }

    fn all(&self) -> impl Iterator<Item = &Cover> {
        [&self.roof, &self.sides, &self.ends].into_iter().flatten()
    }

    /// Sections by cover: sides join the roof when they have the same cover.
    fn sections(&self, outline: &Outline, free: &Free, inflation: &Inflation) -> Vec<Section> {
        let same = |a: &Option<Cover>, b: &Option<Cover>| {
            a.as_ref().map(|cover| &cover.name) == b.as_ref().map(|cover| &cover.name)
        };
        let facets = |wanted: &dyn Fn(Face) -> bool| free_facets(outline, free, wanted);
        let is_roof = |face| face == Face::Roof;
        let is_side = |face| matches!(face, Face::Side(_));
        let is_end = |face| matches!(face, Face::End(_));
        let slant_m = outline.envelope.roof_area_m2() / outline.length_m / 2.0;
        let mut parts = Vec::new();
        if same(&self.roof, &self.sides) && free[0] > 0.0 {
            let together = facets(&|face| is_roof(face) || is_side(face));
            let name = if together.len() > outline.envelope.roof.len() {
                "roof and sides"
            } else {
                "roof"
            };
            parts.push((name, &self.roof, together, slant_m + outline.side_height_m));
        } else {
            parts.push(("roof", &self.roof, facets(&is_roof), slant_m));
            parts.push((
                "sides",
                &self.sides,
                facets(&is_side),
                outline.side_height_m,
            ));
        }
        parts.push(("ends", &self.ends, facets(&is_end), outline.ridge_height_m));
        parts
            .into_iter()
            .filter(|(_, _, facets, _)| !facets.is_empty())
            .filter_map(|(name, cover, facets, height_m)| {
                let cover = cover.as_ref()?;
                let light = self.light_kept_share;
                Some(cover.section(name, facets, inflation, light, height_m.max(0.1)))
            })
            .collect()
    }
}

/// Planes of the faces that are wanted, shrunk to what is free.
fn free_facets(outline: &Outline, free: &Free, wanted: &dyn Fn(Face) -> bool) -> Vec<Facet> {
    let mut facets = Vec::new();
    for (face, free_m2) in FACES.into_iter().zip(free) {
        let whole_m2 = outline.area_m2(face);
        if !wanted(face) || *free_m2 <= 1e-6 * whole_m2.max(1.0) {
            continue;
        }
        let share = free_m2 / whole_m2;
        facets.extend(outline.facets(face).into_iter().map(|facet| Facet {
            area_m2: facet.area_m2 * share,
            ..facet
        }));
    }
    facets
}

/// A window of the scenario.
struct Window {
    name: String,
    cover: Cover,
    facet: Facet,
    light_kept_share: f64,
    height_m: f64,
}

impl Window {
    fn section(&self, inflation: &Inflation) -> Section {
        let facets = vec![self.facet];
        self.cover.section(
            &self.name,
            facets,
            inflation,
            self.light_kept_share,
            self.height_m,
        )
    }
}

fn windows(
    context: &Context<'_>,
    root: &Part<'_>,
    outline: &Outline,
    own: &[Cover],
    placed: &mut [Placed],
    free: &mut Free,
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
        let facet = area.and_then(|area_m2| take_window(&part, outline, placed, free, area_m2));
        part.finish();
        if let (Some(cover), Some(facet)) = (cover, facet) {
            windows.push(Window {
                name,
                cover,
                facet,
                light_kept_share,
                height_m,
            });
        }
    }
    windows
}

/// Takes a window out of the wall or face it is in.
fn take_window(
    part: &Part<'_>,
    outline: &Outline,
    placed: &mut [Placed],
    free: &mut Free,
    area_m2: f64,
) -> Option<Facet> {
    if !part.has("in") {
        part.missing("in", "the wall the window is in");
    }
    let word = part.text("in")?;
    let faces = outline.faces(word).filter(|faces| faces.len() == 1);
    let face = faces.and_then(|faces| faces.first().copied());
    let wall = placed
        .iter_mut()
        .filter(|placed| placed.part_name == word || (face.is_some() && placed.face == face))
        .max_by(|a, b| a.wall.facet.area_m2.total_cmp(&b.wall.facet.area_m2));
    if let Some(placed) = wall {
        let facet = Facet {
            area_m2,
            ..placed.wall.facet
        };
        if area_m2 >= placed.wall.facet.area_m2 {
            part.problem("area", &too_large(placed.wall.facet.area_m2));
            return None;
        }
        placed.wall.facet.area_m2 -= area_m2;
        return Some(facet);
    }
    let Some(face) = face else {
        let words = outline.face_words();
        let names = placed.iter().map(|placed| placed.part_name.as_str());
        let known: Vec<_> = names.chain(words.iter().map(String::as_str)).collect();
        part.problem("in", &not_among(word, known.iter().copied()));
        return None;
    };
    let facet = outline.facets(face).first().copied()?;
    take(part, "area", face, area_m2, free).map(|area_m2| Facet { area_m2, ..facet })
}

fn too_large(area_m2: f64) -> String {
    let [si, us] = [System::Si, System::Us].map(|system| print(area_m2, Kind::Area, system));
    format!("larger than the part it is in, of which {si} ({us}) is left")
}

/// Takes an area from what is free on a face.
fn take(part: &Part<'_>, key: &str, face: Face, area_m2: f64, free: &mut Free) -> Option<f64> {
    let index = FACES.iter().position(|other| *other == face)?;
    if area_m2 > free[index] * (1.0 + 1e-9) {
        part.problem(key, &too_large(free[index].max(0.0)));
        return None;
    }
    free[index] -= area_m2;
    Some(area_m2)
}

fn walls(
    context: &Context<'_>,
    root: &Part<'_>,
    outline: &Outline,
    free: &mut Free,
) -> Vec<Placed> {
    let mut placed = Vec::new();
    for part in root.parts("wall") {
        let name = part.text("name").unwrap_or("wall").to_owned();
        let makeup = Makeup::read(context, &part);
        let planes = if part.has("on") {
            on_faces(&part, outline, free)
        } else {
            free_standing(&part)
                .into_iter()
                .map(|facet| (None, facet))
                .collect()
        };
        part.finish();
        let Some(makeup) = makeup else { continue };
        let is_single = planes.len() == 1;
        placed.extend(planes.into_iter().map(|(face, facet)| Placed {
            wall: makeup.wall(
                wall_name(&name, face.map(|face| outline.name(face)), is_single),
                facet,
            ),
            part_name: name.clone(),
            face,
        }));
    }
    placed
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
        let solids = solids::layers(context, part);
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
fn on_faces(part: &Part<'_>, outline: &Outline, free: &mut Free) -> Vec<(Option<Face>, Facet)> {
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
    for face in faces {
        let Some(area_m2) = face_area(part, outline, face, height, area) else {
            continue;
        };
        let key = if area.is_some() { "area" } else { "on" };
        if take(part, key, face, area_m2, free).is_some() {
            planes.extend(
                shrunk(outline, face, area_m2)
                    .into_iter()
                    .map(|facet| (Some(face), facet)),
            );
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

fn shrunk(outline: &Outline, face: Face, area_m2: f64) -> Vec<Facet> {
    let share = area_m2 / outline.area_m2(face);
    let facets = outline.facets(face).into_iter();
    facets
        .map(|facet| Facet {
            area_m2: facet.area_m2 * share,
            ..facet
        })
        .collect()
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

//! The shell: opaque walls and windows put on the faces of the outline, the cover on what is left.

use overwinter_engine::house::{OwnCoefficients, Section, Wall};
use overwinter_engine::inflated;

use super::context::Context;
use super::cover::{self, Cover};
use super::free_area::FreeArea;
use super::inflation::Inflation;
use super::outline::{FACES, Face, Outline};
use super::screen::Screen;
use super::{own_cover, surfaces, walls, windows};
use crate::document::Part;

/// Everything between inside and outside but the floor.
#[derive(Debug)]
pub(crate) struct Shell {
    /// Cover sections and windows.
    pub(crate) sections: Vec<Section>,
    /// Opaque walls.
    pub(crate) walls: Vec<Wall>,
    /// Draw of the inflation blowers.
    pub(crate) blower_w: f64,
    /// Draw of each.
    pub(crate) blower_draws_w: Vec<f64>,
    /// The inflated gaps with the ways between them.
    pub(crate) inflation: Option<inflated::Inflation>,
    /// Coefficients of single sections and walls.
    pub(crate) own_coefficients: OwnCoefficients,
}

impl Shell {
    /// Reads `[cover]`, `[[own_cover]]`, `[[wall]]`, `[[window]]`, `[inflation]` and `[screen]`.
    pub(crate) fn read(context: &Context<'_>, root: &Part<'_>, outline: &Outline) -> Option<Self> {
        let own = own_cover::read(context, root);
        let mut free = FreeArea::all(outline);
        let mut placed = walls::read(context, root, &mut free);
        let covers = Covers::read(context, root, &own, &free);
        let windows = windows::read(context, root, &own, &mut placed, &mut free);
        let screen = Screen::read(context, root);
        let is_inflated = |cover: &Cover| cover.is_inflated();
        let any_inflated =
            covers.all().any(is_inflated) || windows.iter().any(|w| w.cover.is_inflated());
        let inflation = if any_inflated || root.has("inflation") {
            Inflation::read(root)
        } else {
            Inflation::none()
        };
        let mut sections = covers.sections(&free, &inflation);
        let mut own_coefficients = OwnCoefficients {
            sections: vec![covers.own_w_m2k; sections.len()],
            walls: placed.iter().map(|placed| placed.own_w_m2k).collect(),
            floor: None,
        };
        let of_windows = windows.iter().map(|window| window.own_w_m2k);
        own_coefficients.sections.extend(of_windows);
        sections.extend(windows.iter().map(|window| window.section(&inflation)));
        if let Some(screen) = screen {
            screen.hang_under_roof(&mut sections, root);
        }
        let roof_planes = free.facets(is_roof).len();
        let fed = inflation.complete(context, &mut sections, (outline, roof_planes));
        let walls = placed.into_iter().map(|placed| placed.wall).collect();
        Some(Self {
            sections,
            walls,
            blower_w: fed.blower_w,
            blower_draws_w: fed.draws_w,
            inflation: fed.inflation,
            own_coefficients,
        })
    }
}

/// The covers of roof, sides and ends; `None` where nothing is left to cover or a name is wrong.
struct Covers {
    roof: Option<Cover>,
    sides: Option<Cover>,
    ends: Option<Cover>,
    light_kept_share: f64,
    own_w_m2k: [Option<f64>; 2],
}

impl Covers {
    fn read(context: &Context<'_>, root: &Part<'_>, own: &[Cover], free: &FreeArea<'_>) -> Self {
        let part = root.part("cover");
        let is_free = |wanted: fn(Face) -> bool| {
            FACES
                .into_iter()
                .any(|face| wanted(face) && free.of(face) > 0.0)
        };
        let roof = Self::of(context, &part, "roof", own, is_free(is_roof), None);
        let sides = Self::of(
            context,
            &part,
            "sides",
            own,
            is_free(is_side),
            roof.as_ref(),
        );
        let ends = Self::of(context, &part, "ends", own, is_free(is_end), roof.as_ref());
        let light_kept_share = if is_free(|_| true) || part.has("light_kept") {
            cover::light_kept(&part)
        } else {
            1.0
        };
        let longwave_times = if is_free(|_| true) || part.has("longwave_times") {
            cover::longwave_times(&part)
        } else {
            1.0
        };
        let changed = |cover: Option<Cover>| {
            cover.map(|cover| cover.with_longwave_times(longwave_times, &part))
        };
        let [roof, sides, ends] = [roof, sides, ends].map(changed);
        let own_w_m2k = surfaces::own(&part);
        part.finish();
        Self {
            roof,
            sides,
            ends,
            light_kept_share,
            own_w_m2k,
        }
    }

    /// The cover of one group of faces: as given, else as the roof; missed where it is needed.
    fn of(
        context: &Context<'_>,
        part: &Part<'_>,
        key: &str,
        own: &[Cover],
        is_needed: bool,
        roof: Option<&Cover>,
    ) -> Option<Cover> {
        if part.has(key) {
            return cover::named(context, part, key, own);
        }
        match roof {
            Some(roof) if is_needed => {
                let source = "as the roof";
                part.note_derived(key, roof.name.clone(), source, source);
            }
            // A wrong name of the roof is a problem of its own.
            None if is_needed && (key == "roof" || !part.has("roof")) => {
                part.missing(key, "a cover, such as \"inflated pair\"");
            }
            _ => {}
        }
        roof.cloned()
    }

    fn all(&self) -> impl Iterator<Item = &Cover> {
        [&self.roof, &self.sides, &self.ends].into_iter().flatten()
    }

    /// Sections by cover: sides join the roof when they have the same cover.
    fn sections(&self, free: &FreeArea<'_>, inflation: &Inflation<'_>) -> Vec<Section> {
        let outline = free.outline;
        let name = |cover: &Option<Cover>| cover.as_ref().map(|cover| cover.name.clone());
        let slant_m = outline.envelope.roof_area_m2() / outline.length_m / 2.0;
        let mut parts = Vec::new();
        if name(&self.roof) == name(&self.sides) && free.of(Face::Roof) > 0.0 {
            let together = free.facets(|face| is_roof(face) || is_side(face));
            let name = if together.len() > outline.envelope.roof.len() {
                "roof and sides"
            } else {
                "roof"
            };
            parts.push((name, &self.roof, together, slant_m + outline.side_height_m));
        } else {
            parts.push(("roof", &self.roof, free.facets(is_roof), slant_m));
            parts.push((
                "sides",
                &self.sides,
                free.facets(is_side),
                outline.side_height_m,
            ));
        }
        parts.push((
            "ends",
            &self.ends,
            free.facets(is_end),
            outline.ridge_height_m,
        ));
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

fn is_roof(face: Face) -> bool {
    face == Face::Roof
}

fn is_side(face: Face) -> bool {
    matches!(face, Face::Side(_))
}

fn is_end(face: Face) -> bool {
    matches!(face, Face::End(_))
}

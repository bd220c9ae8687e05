//! What is still free on each face of the outline.

use overwinter_engine::house::Facet;
use overwinter_units::{Kind, System, print};

use super::outline::{FACES, Face, Outline};
use crate::document::Part;

/// Area that no wall or window has taken yet.
#[derive(Clone, Debug)]
pub(crate) struct FreeArea<'a> {
    /// The outline the faces belong to.
    pub(crate) outline: &'a Outline,
    free_m2: [f64; FACES.len()],
}

impl<'a> FreeArea<'a> {
    /// All of an outline.
    pub(crate) fn all(outline: &'a Outline) -> Self {
        let free_m2 = FACES.map(|face| outline.area_m2(face));
        Self { outline, free_m2 }
    }

    /// Free area of a face; what rounding leaves counts as nothing.
    pub(crate) fn of(&self, face: Face) -> f64 {
        let index = FACES.iter().position(|other| *other == face);
        let free_m2 = index.map_or(0.0, |index| self.free_m2[index]);
        if free_m2 > 1e-6 * self.outline.area_m2(face).max(1.0) {
            free_m2
        } else {
            0.0
        }
    }

    /// Takes an area of a face; too large a one is a problem of `key`.
    pub(crate) fn take(
        &mut self,
        part: &Part<'_>,
        key: &str,
        face: Face,
        area_m2: f64,
    ) -> Option<f64> {
        let index = FACES.iter().position(|other| *other == face)?;
        if area_m2 > self.free_m2[index] * (1.0 + 1e-9) {
            part.problem(key, &too_large(self.of(face)));
            return None;
        }
        self.free_m2[index] -= area_m2;
        Some(area_m2)
    }

    /// Planes of the faces that are wanted, shrunk to what is free.
    pub(crate) fn facets(&self, wanted: impl Fn(Face) -> bool) -> Vec<Facet> {
        let free = FACES
            .into_iter()
            .filter(|face| wanted(*face) && self.of(*face) > 0.0);
        free.flat_map(|face| self.outline.part_of(face, self.of(face)))
            .collect()
    }
}

/// Says how much is left.
pub(crate) fn too_large(left_m2: f64) -> String {
    let [si, us] = [System::Si, System::Us].map(|system| print(left_m2, Kind::Area, system));
    format!("larger than the part it is in, of which {si} ({us}) is left")
}

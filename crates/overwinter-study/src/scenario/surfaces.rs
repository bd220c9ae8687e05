//! Surface coefficients inside and outside, `[surfaces]`, and those of single parts.

use overwinter_engine::house::{House, Layer, SurfaceRule};
use overwinter_units::range;

use crate::document::{Form, Node, Part, Value};

/// Emissivity of a face whose radiation is part of its coefficient: as good as none, but enough that
/// the exchange of radiation inside stays determined.
const AS_GOOD_AS_NO_EMISSIVITY: f64 = 1e-4;

/// Keys of a part's own coefficients.
const OWN_KEYS: [&str; 2] = ["coefficient_inside", "coefficient_outside"];

/// The rules of a house.
pub(crate) struct Surfaces {
    sides: [Side; 2],
}

/// One side of the shell, inside or outside.
#[derive(Clone, Copy)]
struct Side {
    rule: SurfaceRule,
    /// True if the coefficients stand for convection and radiation together.
    has_radiation: bool,
}

/// The coefficients that a wall, a window or the cover has of its own.
pub(crate) fn own(part: &Part<'_>) -> [Option<f64>; 2] {
    OWN_KEYS.map(|key| part.quantity(key, &range::SURFACE_COEFFICIENT))
}

impl Surfaces {
    /// Reads `[surfaces]`.
    pub(crate) fn read(root: &Part<'_>) -> Self {
        let part = root.part("surfaces");
        let sides = ["inside", "outside"].map(|key| Side::read(&part, key));
        part.finish();
        Self { sides }
    }

    /// The rules for inside and outside.
    pub(crate) fn rules(&self) -> [SurfaceRule; 2] {
        self.sides.map(|side| side.rule)
    }

    /// Takes radiation away from the faces whose coefficients stand for it too.
    pub(crate) fn put_into(&self, house: &mut House, root: &Part<'_>) {
        let [inside, outside] = self.sides.map(|side| side.has_radiation);
        let dull = AS_GOOD_AS_NO_EMISSIVITY;
        for wall in &mut house.walls {
            for (emissivity, is_dull) in wall.emissivity.iter_mut().zip([inside, outside]) {
                if is_dull {
                    *emissivity = dull;
                }
            }
        }
        if inside {
            house.floor.emissivity = dull;
            if let Some(mass) = &mut house.mass {
                mass.emissivity = dull;
            }
        }
        for section in &mut house.sections {
            let lets_through = |layer: Option<&Layer>, is_dull: bool| {
                is_dull && layer.is_some_and(|layer| layer.longwave_transmittance > 0.0)
            };
            if lets_through(section.layers.first(), inside)
                || lets_through(section.layers.last(), outside)
            {
                let message = format!(
                    "\"{}\" lets thermal radiation through, which no coefficient can stand for; \
                     leave radiation to be calculated",
                    section.name
                );
                root.problem("surfaces", &message);
                return;
            }
            if let Some(layer) = section.layers.first_mut().filter(|_| inside) {
                dull_inside(layer);
            }
            if let Some(layer) = section.layers.last_mut().filter(|_| outside) {
                dull_outside(layer);
            }
        }
    }
}

fn dull_inside(layer: &mut Layer) {
    let upper = layer.upper_longwave_reflectance;
    layer.upper_longwave_reflectance = upper.or(Some(layer.longwave_reflectance));
    layer.longwave_reflectance = 1.0 - layer.longwave_transmittance - AS_GOOD_AS_NO_EMISSIVITY;
}

fn dull_outside(layer: &mut Layer) {
    layer.upper_longwave_reflectance =
        Some(1.0 - layer.longwave_transmittance - AS_GOOD_AS_NO_EMISSIVITY);
}

impl Side {
    fn read(part: &Part<'_>, key: &str) -> Self {
        let rule = rule(part, key);
        let includes = format!("{key}_includes");
        let words = [("convection", false), ("convection and radiation", true)];
        let has_radiation = part.word_or(
            &includes,
            &words,
            false,
            "usual: radiation is calculated by itself",
        );
        if has_radiation && rule == SurfaceRule::Calculated {
            let message = format!("a coefficient is needed for that: give `{key}` in W/m2K");
            part.problem(&includes, &message);
        }
        Self {
            rule,
            has_radiation,
        }
    }
}

fn rule(part: &Part<'_>, key: &str) -> SurfaceRule {
    part.may_be(key, || Form::Words(vec!["calculated".to_owned()]));
    part.may_be(key, || Form::Quantity(range::SURFACE_COEFFICIENT));
    match part.node(key) {
        None => part.note_default(key, "calculated".to_owned(), "published correlations"),
        Some(Node {
            value: Value::Text(text),
            ..
        }) if text == "calculated" => {}
        Some(_) => {
            if let Some(coefficient_w_m2k) = part.quantity(key, &range::SURFACE_COEFFICIENT) {
                return SurfaceRule::Fixed { coefficient_w_m2k };
            }
        }
    }
    SurfaceRule::Calculated
}

//! The house of a case, from all the tables that describe it.

use overwinter_engine::control::Fans;
use overwinter_engine::house::{Crop, House, OwnCoefficients};
use overwinter_engine::model::shell_area_m2;

use super::context::Context;
use super::failures::Fitted;
use super::outline::Outline;
use super::shell::Shell;
use super::surfaces::Surfaces;
use super::{air, floor, heating};
use crate::case::FrostLimit;
use crate::document::Part;

/// A house with what it takes to tell what of it may fail.
pub(crate) struct Built {
    /// The house.
    pub(crate) house: House,
    blower_draws_w: Vec<f64>,
}

impl Built {
    /// With the limits of its crop.
    pub(crate) fn fitted<'a>(&'a self, limits: &'a [FrostLimit]) -> Fitted<'a> {
        Fitted {
            house: &self.house,
            blower_draws_w: &self.blower_draws_w,
            limits,
        }
    }
}

/// Reads everything that makes up the house.
pub(crate) fn house(context: &Context<'_>, root: &Part<'_>, crop: Option<Crop>) -> Option<Built> {
    let outline = Outline::read(root);
    let hold = heating::hold(context, root);
    let Some(outline) = outline else {
        root.know(&HOUSE_KEYS);
        return None;
    };
    let shell = Shell::read(context, root, &outline)?;
    let floor = floor::read(context, root, &outline);
    let shell_m2 = outline.envelope.cover_area_m2();
    let heaters = heating::heaters(context, root, hold.set.as_ref(), shell_m2);
    let vents = air::vents(context, root, &outline, hold.set.as_ref());
    let leakage = air::leakage(context, root, shell_m2);
    let surfaces = Surfaces::read(root);
    let [inside_surface, outside_surface] = surfaces.rules();
    let mass = heating::mass(root);
    let cooler = heating::cooling(context, root, hold.set.as_ref());
    let gains = heating::gains(context, root);
    let (floor, floor_coefficient_w_m2k) = floor?;
    let mut house = House {
        volume_m3: outline.volume_m3,
        floor_area_m2: outline.envelope.floor_area_m2,
        height_m: outline.ridge_height_m,
        wind_at_cover_share: outline.wind_share,
        sections: shell.sections,
        walls: shell.walls,
        floor,
        crop,
        mass,
        leakage: leakage?,
        frame_shade: outline.frame_shade,
        ground_reflectance: outline.ground_reflectance,
        ground_reflectance_holds: outline.ground_reflectance_holds,
        inside_surface,
        outside_surface,
        own_coefficients: OwnCoefficients {
            floor: floor_coefficient_w_m2k,
            ..shell.own_coefficients
        },
        heat_set_k: heating::heat_set(hold, &heaters),
        heaters,
        vents,
        cooler,
        fans: Fans {
            blower_w: shell.blower_w,
            ..Fans::default()
        },
        gains,
        inflation: shell.inflation,
    };
    air::fans(root, &mut house);
    surfaces.put_into(&mut house, root);
    (shell_area_m2(&house) > 0.0).then_some(Built {
        house,
        blower_draws_w: shell.blower_draws_w,
    })
}

/// Keys that are not read when the outline of the house is wrong.
const HOUSE_KEYS: [&str; 18] = [
    "cover",
    "own_cover",
    "wall",
    "window",
    "inflation",
    "screen",
    "floor",
    "heater",
    "vents",
    "leakage",
    "surfaces",
    "mass",
    "cooling",
    "gains",
    "ventilation",
    "fans",
    "hold",
    "crop",
];

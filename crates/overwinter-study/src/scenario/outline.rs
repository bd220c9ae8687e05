//! The `[house]` table: shape, size, and the faces that covers and walls are put on.

use overwinter_engine::house::Facet;
use overwinter_engine::shape::{Envelope, Profile, Shape, ShapeError};
use overwinter_units::{System, print, range};

use crate::document::Part;

const COMPASS: [&str; 8] = [
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
];

/// The house as a shell without layers.
#[derive(Clone, Debug)]
pub(crate) struct Outline {
    /// Cross-section.
    pub(crate) profile: Profile,
    /// Across the ridge.
    pub(crate) width_m: f64,
    /// Along the ridge.
    pub(crate) length_m: f64,
    /// Planes and volume.
    pub(crate) envelope: Envelope,
    /// Upright height of the long sides.
    pub(crate) side_height_m: f64,
    /// Highest point above the floor.
    pub(crate) ridge_height_m: f64,
    /// Air volume.
    pub(crate) volume_m3: f64,
    /// Share of light caught by the frame.
    pub(crate) frame_shade: f64,
    /// Share of the wind at 10 m that reaches the cover.
    pub(crate) wind_share: f64,
    /// Ground reflectance, of all the year if it is stated, else where the weather has none.
    pub(crate) ground_reflectance: f64,
    /// True if it is stated.
    pub(crate) ground_reflectance_holds: bool,
}

/// A part of the shell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Face {
    /// The whole roof.
    Roof,
    /// A long side, 0 or 1 as in [`Envelope::sides`].
    Side(usize),
    /// An end, 0 or 1 as in [`Envelope::ends`].
    End(usize),
}

/// All faces.
pub(crate) const FACES: [Face; 5] = [
    Face::Roof,
    Face::Side(0),
    Face::Side(1),
    Face::End(0),
    Face::End(1),
];

impl Outline {
    /// Reads `[house]`.
    pub(crate) fn read(root: &Part<'_>) -> Option<Self> {
        let part = root.part("house");
        let profiles = [
            ("round", Profile::Round),
            ("gothic", Profile::Gothic),
            ("gable", Profile::Gable),
            ("lean-to", Profile::LeanTo),
            ("box", Profile::Box),
        ];
        let profile = part.word_or(
            "shape",
            &profiles,
            Profile::Gothic,
            "estimate: a common cold-climate house",
        );
        let width_m = part.required("width", &range::HOUSE_WIDTH);
        let length_m = part.required("length", &range::HOUSE_LENGTH);
        let heights = Heights::read(&part, profile, width_m.unwrap_or(9.0));
        let ridge_azimuth_deg = part.quantity_or(
            "ridge_direction",
            &range::DIRECTION,
            "90 deg",
            "estimate: ridge from east to west, which lets in most winter sun",
        );
        let outline = width_m.zip(length_m).and_then(|size| {
            let envelope = shell(&part, profile, size, &heights, ridge_azimuth_deg)?;
            Some(Self::finished(&part, profile, envelope, &heights, size))
        });
        if outline.is_none() {
            // The other keys are still known ones.
            part.know(&[
                "volume",
                "frame_shade",
                "wind_at_cover",
                "ground_reflectance",
            ]);
        }
        part.finish();
        outline
    }

    fn finished(
        part: &Part<'_>,
        profile: Profile,
        envelope: Envelope,
        heights: &Heights,
        (width_m, length_m): (f64, f64),
    ) -> Self {
        let volume_m3 = part.quantity("volume", &range::HOUSE_VOLUME);
        let frame_shade = part.quantity_or(
            "frame_shade",
            &range::FRAME_SHADE,
            "7 %",
            "estimate: 5 to 10 % of the light",
        );
        // Wind falls towards the ground by a power law.
        let reaching = (heights.ridge_m / 10.0).powf(0.2).min(1.0);
        let wind_share = part.value_or(
            "wind_at_cover",
            &range::WIND_SHARE,
            reaching,
            "power law from 10 m to the ridge, exponent 0.2 (0.14 open to 0.25 rough), from memory",
        );
        let ground_reflectance = part.quantity_or(
            "ground_reflectance",
            &range::REFLECTANCE,
            "0.2",
            "common practice, no source; used where the weather file has none, 0.7 under snow; a \
             stated value holds all year",
        );
        Self {
            profile,
            width_m,
            length_m,
            volume_m3: volume_m3.unwrap_or(envelope.volume_m3),
            envelope,
            side_height_m: heights.side_m,
            ridge_height_m: heights.ridge_m,
            frame_shade,
            wind_share,
            ground_reflectance,
            ground_reflectance_holds: part.has("ground_reflectance"),
        }
    }

    /// The planes of a face.
    pub(crate) fn facets(&self, face: Face) -> Vec<Facet> {
        match face {
            Face::Roof => self.envelope.roof.clone(),
            Face::Side(index) => vec![self.envelope.sides[index]],
            Face::End(index) => vec![self.envelope.ends[index]],
        }
    }

    /// Area of a face.
    pub(crate) fn area_m2(&self, face: Face) -> f64 {
        self.facets(face).iter().map(|facet| facet.area_m2).sum()
    }

    /// The planes of a face, shrunk to a part of its area.
    pub(crate) fn part_of(&self, face: Face, area_m2: f64) -> Vec<Facet> {
        let share = area_m2 / self.area_m2(face);
        let shrunk = |facet: Facet| Facet {
            area_m2: facet.area_m2 * share,
            ..facet
        };
        self.facets(face).into_iter().map(shrunk).collect()
    }

    /// What a face is called: `roof`, or a wall by the nearest of eight directions.
    pub(crate) fn name(&self, face: Face) -> String {
        match (face, self.facets(face).first()) {
            (Face::Roof, _) | (_, None) => "roof".to_owned(),
            (_, Some(facet)) => format!("{} wall", compass(facet.azimuth_deg)),
        }
    }

    /// The faces that a word means.
    pub(crate) fn faces(&self, word: &str) -> Option<Vec<Face>> {
        let sides = [Face::Side(0), Face::Side(1)];
        let ends = [Face::End(0), Face::End(1)];
        match word {
            "roof" => Some(vec![Face::Roof]),
            "sides" => Some(sides.to_vec()),
            "ends" => Some(ends.to_vec()),
            "all walls" => Some([sides, ends].concat()),
            _ => FACES
                .iter()
                .find(|face| self.name(**face) == word)
                .map(|face| vec![*face]),
        }
    }

    /// Words that [`Self::faces`] knows.
    pub(crate) fn face_words(&self) -> Vec<String> {
        let groups = ["sides", "ends", "all walls"].map(str::to_owned);
        FACES
            .iter()
            .map(|face| self.name(*face))
            .chain(groups)
            .collect()
    }

    /// Width of the base of a face, 0 for the roof.
    pub(crate) fn base_m(&self, face: Face) -> f64 {
        match face {
            Face::Roof => 0.0,
            Face::Side(_) => self.length_m,
            Face::End(_) => self.width_m,
        }
    }

    /// Upright height of a face from the floor: of an end, the part below the eaves.
    pub(crate) fn face_height_m(&self, face: Face) -> f64 {
        match (face, self.profile) {
            (Face::Roof, _) => 0.0,
            (Face::Side(1), Profile::LeanTo) => self.ridge_height_m,
            _ => self.side_height_m,
        }
    }
}

/// Heights with their defaults.
struct Heights {
    side_m: f64,
    ridge_m: f64,
}

impl Heights {
    fn read(part: &Part<'_>, profile: Profile, width_m: f64) -> Self {
        let source = "estimate: common proportions";
        let usual_side = if profile == Profile::Box {
            "8 ft"
        } else {
            "4 ft"
        };
        let side_m = part.quantity_or("side_height", &range::SIDE_HEIGHT, usual_side, source);
        let rise_per_width = match profile {
            Profile::Box => 0.0,
            Profile::Round => 0.30,
            Profile::Gothic => 0.33,
            Profile::Gable => 0.25,
            Profile::LeanTo => 0.35,
        };
        let usual_ridge_m = side_m + rise_per_width * width_m;
        let ridge_m = part.value_or("ridge_height", &range::RIDGE_HEIGHT, usual_ridge_m, source);
        Self { side_m, ridge_m }
    }
}

fn shell(
    part: &Part<'_>,
    profile: Profile,
    (width_m, length_m): (f64, f64),
    heights: &Heights,
    ridge_azimuth_deg: f64,
) -> Option<Envelope> {
    let shape = Shape {
        profile,
        width_m,
        length_m,
        side_wall_height_m: heights.side_m,
        ridge_height_m: heights.ridge_m,
        ridge_azimuth_deg,
    };
    match shape.envelope() {
        Ok(envelope) => Some(envelope),
        Err(ShapeError::RidgeOutOfRange {
            least_m, most_m, ..
        }) => {
            let both = |metres: f64| {
                let [si, us] = [System::Si, System::Us]
                    .map(|system| print(metres, overwinter_units::Kind::Length, system));
                format!("{si} ({us})")
            };
            let upper = if most_m < 1e3 {
                format!(" and at most {}", both(most_m))
            } else {
                String::new()
            };
            let message = format!(
                "with this shape, width and side height the ridge must be at least {}{upper}",
                both(least_m)
            );
            part.problem("ridge_height", &message);
            None
        }
        Err(other) => {
            part.problem("", &other.to_string());
            None
        }
    }
}

fn compass(azimuth_deg: f64) -> &'static str {
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "an azimuth over 45 degrees, rounded, is 0 to 8"
    )]
    let index = (azimuth_deg.rem_euclid(360.0) / 45.0).round() as usize;
    COMPASS[index % COMPASS.len()]
}

//! The shape of a house: from a few measures to planes, areas and volume.
//!
//! Pure geometry of one free-standing span: a profile drawn along a ridge. Left out: gutters,
//! overhangs, doors, several spans.

use thiserror::Error;

use crate::house::Facet;

/// Planes that stand for the curved half of a roof, each of the same arc.
const PLANES_PER_ARC: usize = 12;

/// Highest roof above the eaves, as a multiple of the width: beyond it a measure is mistyped
/// (estimate; steep gothic frames have 0.8).
const MOST_RISE: f64 = 2.0;

/// Cross-section of a house.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Profile {
    /// One circular arc from eave to eave.
    Round,
    /// Two equal circular arcs that meet at the ridge. A high one rises upright from the eaves; a
    /// low one has half the mean roof slope at the ridge (estimate: frames differ).
    Gothic,
    /// Two straight slopes.
    Gable,
    /// One straight slope from a wall of ridge height down to a wall of side height.
    LeanTo,
    /// A flat roof.
    Box,
}

/// Outer measures of a house.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shape {
    /// Cross-section.
    pub profile: Profile,
    /// Across the ridge.
    pub width_m: f64,
    /// Along the ridge.
    pub length_m: f64,
    /// Upright part of the long sides, floor to eave; 0 for a hoop that starts at the ground.
    pub side_wall_height_m: f64,
    /// Floor to highest point; the side wall height for [`Profile::Box`].
    pub ridge_height_m: f64,
    /// Direction in which the ridge runs, clockwise from north: 0 north to south, 90 east to west.
    pub ridge_azimuth_deg: f64,
}

/// Why a shape cannot be built.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum ShapeError {
    /// A measure is not a number above 0.
    #[error("{measure} is {value_m} m, which is not a length above 0 m")]
    NotALength {
        /// Which measure.
        measure: &'static str,
        /// What it was.
        value_m: f64,
    },
    /// The side wall height is negative or not a number.
    #[error("side wall height is {value_m} m, which is not a height of 0 m or more")]
    NotAHeight {
        /// What it was.
        value_m: f64,
    },
    /// The ridge does not suit the eaves.
    #[error(
        "ridge height is {ridge_m} m; with side walls of {side_m} m and this profile it must lie \
         between {least_m} m and {most_m} m"
    )]
    RidgeOutOfRange {
        /// Ridge height given.
        ridge_m: f64,
        /// Side wall height given.
        side_m: f64,
        /// Lowest possible ridge.
        least_m: f64,
        /// Highest possible ridge.
        most_m: f64,
    },
    /// The ridge direction is not a number.
    #[error("ridge azimuth is {value_deg} degrees, which is not a direction")]
    NotADirection {
        /// What it was.
        value_deg: f64,
    },
}

/// The planes and sizes of a house.
#[derive(Clone, Debug, PartialEq)]
pub struct Envelope {
    /// Roof, from eave to eave.
    pub roof: Vec<Facet>,
    /// Upright parts of the two long sides: first the one that faces 90 degrees clockwise from the
    /// ridge (the low side of a lean-to; south for a ridge at 90), then the opposite one. The area
    /// is 0 where there is none.
    pub sides: [Facet; 2],
    /// The two ends, first the one that faces along the ridge.
    pub ends: [Facet; 2],
    /// Air volume.
    pub volume_m3: f64,
    /// Plan area.
    pub floor_area_m2: f64,
    /// Length of the edge of the floor.
    pub perimeter_m: f64,
}

impl Envelope {
    /// Area of the roof, m2.
    pub fn roof_area_m2(&self) -> f64 {
        area(&self.roof)
    }

    /// Area of the upright sides, m2.
    pub fn side_area_m2(&self) -> f64 {
        area(&self.sides)
    }

    /// Area of both ends, m2.
    pub fn end_area_m2(&self) -> f64 {
        area(&self.ends)
    }

    /// Area of everything above the floor, m2.
    pub fn cover_area_m2(&self) -> f64 {
        self.roof_area_m2() + self.side_area_m2() + self.end_area_m2()
    }

    /// Roof and upright sides as one list without empty planes.
    pub fn roof_and_sides(&self) -> Vec<Facet> {
        let sides = self.sides.iter().filter(|side| side.area_m2 > 0.0);
        self.roof.iter().chain(sides).copied().collect()
    }
}

fn area(facets: &[Facet]) -> f64 {
    facets.iter().map(|facet| facet.area_m2).sum()
}

impl Shape {
    /// Planes, volume and areas of this shape.
    ///
    /// A curved roof becomes planes of equal arc. Each has the true area of its strip of film and
    /// the slope in its middle, so that areas and volume are exact, while the planes together look
    /// up to 0.1 % too large from above.
    ///
    /// # Errors
    /// [`ShapeError`] if a measure is not a length, or the ridge does not suit profile and eaves: a
    /// round roof is at most a semicircle, a box has its ridge at the eaves.
    pub fn envelope(&self) -> Result<Envelope, ShapeError> {
        self.check()?;
        let Section {
            slopes,
            area_m2,
            sides_m,
        } = self.section();
        let facing = |turn_deg: f64| (self.ridge_azimuth_deg + turn_deg).rem_euclid(360.0);
        let wall = |area_m2: f64, turn_deg: f64| Facet {
            area_m2,
            tilt_deg: 90.0,
            azimuth_deg: facing(turn_deg),
        };
        let roof = slopes.into_iter().map(|slope| Facet {
            area_m2: slope.run_m * self.length_m,
            tilt_deg: slope.tilt_deg,
            azimuth_deg: facing(slope.turn_deg),
        });
        Ok(Envelope {
            roof: roof.collect(),
            sides: [
                wall(sides_m[0] * self.length_m, 90.0),
                wall(sides_m[1] * self.length_m, -90.0),
            ],
            ends: [wall(area_m2, 0.0), wall(area_m2, 180.0)],
            volume_m3: area_m2 * self.length_m,
            floor_area_m2: self.width_m * self.length_m,
            perimeter_m: 2.0 * (self.width_m + self.length_m),
        })
    }

    fn check(&self) -> Result<(), ShapeError> {
        for (measure, value_m) in [("width", self.width_m), ("length", self.length_m)] {
            if !(value_m > 0.0 && value_m.is_finite()) {
                return Err(ShapeError::NotALength { measure, value_m });
            }
        }
        let side_m = self.side_wall_height_m;
        if !(side_m >= 0.0 && side_m.is_finite()) {
            return Err(ShapeError::NotAHeight { value_m: side_m });
        }
        if !self.ridge_azimuth_deg.is_finite() {
            return Err(ShapeError::NotADirection {
                value_deg: self.ridge_azimuth_deg,
            });
        }
        let (least_m, most_m) = match self.profile {
            Profile::Round => (side_m, side_m + 0.5 * self.width_m),
            Profile::Box => (side_m, side_m),
            Profile::Gothic | Profile::Gable | Profile::LeanTo => {
                (side_m, side_m + MOST_RISE * self.width_m)
            }
        };
        let ridge_m = self.ridge_height_m;
        let slack_m = 1e-9 * (1.0 + side_m + self.width_m);
        let is_near = ridge_m >= least_m - slack_m && ridge_m <= most_m + slack_m;
        if !(is_near && ridge_m > 0.0) {
            return Err(ShapeError::RidgeOutOfRange {
                ridge_m,
                side_m,
                least_m,
                most_m,
            });
        }
        Ok(())
    }

    fn section(&self) -> Section {
        let (width_m, side_m) = (self.width_m, self.side_wall_height_m);
        let rise_m = (self.ridge_height_m - side_m).max(0.0);
        let half_m = 0.5 * width_m;
        match self.profile {
            Profile::Box => Section {
                slopes: vec![Slope {
                    run_m: width_m,
                    tilt_deg: 0.0,
                    turn_deg: 90.0,
                }],
                area_m2: width_m * side_m,
                sides_m: [side_m; 2],
            },
            Profile::LeanTo => Section {
                slopes: vec![Slope {
                    run_m: width_m.hypot(rise_m),
                    tilt_deg: rise_m.atan2(width_m).to_degrees(),
                    turn_deg: 90.0,
                }],
                area_m2: width_m * (side_m + 0.5 * rise_m),
                sides_m: [side_m, side_m + rise_m],
            },
            Profile::Round | Profile::Gothic | Profile::Gable => {
                let half = HalfRoof::new(self.profile, half_m, rise_m);
                Section {
                    slopes: half.both_sides(),
                    area_m2: width_m * side_m + 2.0 * half.area_m2(),
                    sides_m: [side_m; 2],
                }
            }
        }
    }
}

/// A cross-section: the slopes of the roof, the area, the upright sides.
struct Section {
    slopes: Vec<Slope>,
    area_m2: f64,
    sides_m: [f64; 2],
}

/// A straight piece of the roof in cross-section.
#[derive(Clone, Copy)]
struct Slope {
    run_m: f64,
    tilt_deg: f64,
    /// From the direction of the ridge to the one it faces.
    turn_deg: f64,
}

/// A circular arc (or a straight line) from eave to ridge.
struct HalfRoof {
    half_width_m: f64,
    rise_m: f64,
    eave_slope_rad: f64,
    ridge_slope_rad: f64,
}

impl HalfRoof {
    fn new(profile: Profile, half_width_m: f64, rise_m: f64) -> Self {
        let mean = rise_m.atan2(half_width_m);
        let upright = std::f64::consts::FRAC_PI_2;
        let ridge_slope_rad = match profile {
            Profile::Round => 0.0,
            Profile::Gothic => (0.5 * mean).max(2.0 * mean - upright),
            Profile::Gable | Profile::LeanTo | Profile::Box => mean,
        };
        // An arc turns as much above its chord as below it.
        let eave_slope_rad = 2.0 * mean - ridge_slope_rad;
        Self {
            half_width_m,
            rise_m,
            eave_slope_rad,
            ridge_slope_rad,
        }
    }

    fn turn_rad(&self) -> f64 {
        self.eave_slope_rad - self.ridge_slope_rad
    }

    fn radius_m(&self) -> f64 {
        self.half_width_m.hypot(self.rise_m) / (2.0 * (0.5 * self.turn_rad()).sin())
    }

    fn is_straight(&self) -> bool {
        self.turn_rad() < 1e-6
    }

    fn length_m(&self) -> f64 {
        if self.is_straight() {
            self.half_width_m.hypot(self.rise_m)
        } else {
            self.radius_m() * self.turn_rad()
        }
    }

    /// Area between the arc and the level of the eaves: a triangle and the segment above it.
    fn area_m2(&self) -> f64 {
        let triangle = 0.5 * self.half_width_m * self.rise_m;
        if self.is_straight() {
            return triangle;
        }
        let turn = self.turn_rad();
        triangle + 0.5 * self.radius_m().powi(2) * (turn - turn.sin())
    }

    /// The pieces of this half and of its mirror image, from eave to eave.
    fn both_sides(&self) -> Vec<Slope> {
        let pieces = if self.is_straight() {
            1
        } else {
            PLANES_PER_ARC
        };
        let run_m = self.length_m() / pieces as f64;
        let piece = |at: usize, turn_deg: f64| {
            let way = (at as f64 + 0.5) / pieces as f64;
            let slope_rad = self.eave_slope_rad - way * self.turn_rad();
            Slope {
                run_m,
                tilt_deg: slope_rad.to_degrees(),
                turn_deg,
            }
        };
        let up = (0..pieces).map(|at| piece(at, 90.0));
        let down = (0..pieces).rev().map(|at| piece(at, -90.0));
        up.chain(down).collect()
    }
}

#[cfg(test)]
mod tests;

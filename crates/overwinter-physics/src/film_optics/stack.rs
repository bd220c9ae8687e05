//! A stack of sheets, tabulated by angle.

use super::sheet::{Course, Sheet, SheetOptics};
use std::f64::consts::{FRAC_PI_2, PI};
use std::sync::LazyLock;

/// Cells of the tables, of equal cosine: everything is smooth in the cosine down to grazing light.
const CELLS: usize = 256;
const ROWS: usize = CELLS + 1;
/// Every so many rows serve for the mean over a part of the hemisphere.
const MEAN_STRIDE: usize = 4;
/// Columns before the absorptances: transmittance and reflectance.
const SHARED_COLUMNS: usize = 2;
/// Most sheets a stack can have.
pub const MAX_SHEETS: usize = 4;

/// Transmittance, reflectance and one absorptance a sheet, 0 beyond the last.
type Row = [f64; SHARED_COLUMNS + MAX_SHEETS];
/// Steps along a quarter of the horizon.
const HORIZON_STEPS: usize = 45;

/// Shares of the light that falls on a stack.
#[derive(Clone, Debug, PartialEq)]
pub struct StackShares {
    /// Let through to the far side.
    pub transmittance: f64,
    /// Turned back.
    pub reflectance: f64,
    /// Absorbed in each sheet, in the order in which the stack was given.
    pub absorptance: Vec<f64>,
}

impl StackShares {
    /// From weighted sums of the columns of a table.
    fn of_sums(sums: &Row, sheets: usize, weights: f64) -> Self {
        let absorptance = sums.iter().skip(SHARED_COLUMNS).take(sheets);
        Self {
            transmittance: sums[0] / weights,
            reflectance: sums[1] / weights,
            absorptance: absorptance.map(|sum| sum / weights).collect(),
        }
    }
}

/// Place of an angle of incidence in the tables of every [`StackOptics`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AnglePlace {
    row: usize,
    share: f64,
}

impl AnglePlace {
    /// Place of an angle of incidence given by its cosine; outside 0 to 1 the bound is taken.
    #[inline]
    pub fn of_cos(cos_incidence: f64) -> Self {
        let cells = cos_incidence.clamp(0.0, 1.0) * CELLS as f64;
        let row = (cells as usize).min(CELLS - 1);
        Self {
            row,
            share: cells - row as f64,
        }
    }
}

/// What a stack does with a beam at one angle, as shares of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeamShares {
    /// Let through to the far side; the same from both sides.
    pub transmittance: f64,
    /// Turned back.
    pub reflectance: f64,
    /// Absorbed in each sheet, in the order in which the stack was given; 0 beyond the last.
    pub absorptance: [f64; MAX_SHEETS],
}

impl BeamShares {
    #[inline]
    fn between(table: &[Row], place: AnglePlace) -> Self {
        let (low, high) = (&table[place.row], &table[place.row + 1]);
        let along = |column: usize| low[column] + (high[column] - low[column]) * place.share;
        Self {
            transmittance: along(0),
            reflectance: along(1),
            absorptance: std::array::from_fn(|sheet| along(SHARED_COLUMNS + sheet)),
        }
    }
}

/// Optics of a stack of sheets, tabulated by the cosine of the angle of incidence.
///
/// Sheets count from the house outwards: sheet 0 is the innermost. Between the rows of the tables
/// values are interpolated linearly (off by less than 1e-4).
#[derive(Clone, Debug)]
pub struct StackOptics {
    sheets: usize,
    from_outside: Vec<Row>,
    /// The same for light from the house side.
    from_inside: Vec<Row>,
    diffuse_from_inside: StackShares,
}

impl StackOptics {
    /// Builds the tables; an empty stack lets everything through. Only the first [`MAX_SHEETS`] sheets
    /// count.
    pub fn new(sheets: &[Sheet]) -> Self {
        debug_assert!(
            sheets.len() <= MAX_SHEETS,
            "a stack has at most {MAX_SHEETS} sheets"
        );
        let sheets = sheets.get(..MAX_SHEETS).unwrap_or(sheets);
        let [from_outside, from_inside] = tables(sheets);
        Self {
            sheets: sheets.len(),
            from_outside,
            diffuse_from_inside: mean(&from_inside, sheets.len(), 1, &|_| 1.0),
            from_inside,
        }
    }

    /// Number of sheets.
    pub fn sheets(&self) -> usize {
        self.sheets
    }

    /// What becomes of a beam from outside.
    #[inline]
    pub fn beam_from_outside(&self, place: AnglePlace) -> BeamShares {
        BeamShares::between(&self.from_outside, place)
    }

    /// What becomes of a beam from the house side.
    #[inline]
    pub fn beam_from_inside(&self, place: AnglePlace) -> BeamShares {
        BeamShares::between(&self.from_inside, place)
    }

    /// Share of a beam from outside that is let through.
    #[inline]
    pub fn transmittance(&self, place: AnglePlace) -> f64 {
        self.beam_from_outside(place).transmittance
    }

    /// Share of a beam from outside that is turned back.
    #[inline]
    pub fn reflectance(&self, place: AnglePlace) -> f64 {
        self.beam_from_outside(place).reflectance
    }

    /// Share of a beam from outside that a sheet absorbs; panics if there is no such sheet.
    #[inline]
    pub fn absorptance(&self, place: AnglePlace, sheet: usize) -> f64 {
        assert!(sheet < self.sheets, "sheet {sheet} of {}", self.sheets);
        self.beam_from_outside(place).absorptance[sheet]
    }

    /// Share of a beam from the house side that is turned back. What is let through is the same
    /// from both sides, [`StackOptics::transmittance`].
    #[inline]
    pub fn reflectance_from_inside(&self, place: AnglePlace) -> f64 {
        self.beam_from_inside(place).reflectance
    }

    /// Share of a beam from the house side that a sheet absorbs; panics if there is no such sheet.
    #[inline]
    pub fn absorptance_from_inside(&self, place: AnglePlace, sheet: usize) -> f64 {
        assert!(sheet < self.sheets, "sheet {sheet} of {}", self.sheets);
        self.beam_from_inside(place).absorptance[sheet]
    }

    /// Shares of even light from the whole hemisphere outside.
    ///
    /// ```text
    /// share = integral of share(t) sin(2 t) dt, t from 0 to 90 deg
    /// ```
    pub fn diffuse_from_outside(&self) -> StackShares {
        mean(&self.from_outside, self.sheets, 1, &|_| 1.0)
    }

    /// Shares of even light from the whole hemisphere on the house side.
    pub fn diffuse_from_inside(&self) -> &StackShares {
        &self.diffuse_from_inside
    }

    /// Shares of even light from the part of the sky that a plane of this tilt sees.
    ///
    /// Each ring of directions around the normal counts by the part of it above the horizon,
    /// `acos(-cot t cot tilt) / pi`. A plane that sees no sky answers for the whole hemisphere.
    pub fn diffuse_from_sky(&self, tilt_deg: f64) -> StackShares {
        mean(&self.from_outside, self.sheets, MEAN_STRIDE, &|cos| {
            share_above_horizon(cos, tilt_deg)
        })
    }

    /// Shares of even light from the part of the ground that a plane of this tilt sees.
    ///
    /// As [`StackOptics::diffuse_from_sky`], with the parts below the horizon.
    pub fn diffuse_from_ground(&self, tilt_deg: f64) -> StackShares {
        mean(&self.from_outside, self.sheets, MEAN_STRIDE, &|cos| {
            1.0 - share_above_horizon(cos, tilt_deg)
        })
    }

    /// Shares of light from an even narrow band along the horizon, in front of a tilted plane.
    ///
    /// ```text
    /// share = integral of share(t) cos(a) da / integral of cos(a) da,  cos t = sin tilt cos a
    /// ```
    ///
    /// with a the direction along the horizon from the one the plane faces, -90 to 90 degrees. A
    /// flat plane meets the band at grazing incidence.
    pub fn diffuse_from_horizon(&self, tilt_deg: f64) -> StackShares {
        let sin_tilt = tilt_deg.to_radians().sin().abs();
        let mut sums = Row::default();
        let mut weights = 0.0;
        for cos_along in horizon_cosines() {
            let place = AnglePlace::of_cos(sin_tilt * cos_along);
            let shares = BeamShares::between(&self.from_outside, place);
            weights += cos_along;
            sums[0] += cos_along * shares.transmittance;
            sums[1] += cos_along * shares.reflectance;
            for (sum, share) in sums[SHARED_COLUMNS..].iter_mut().zip(shares.absorptance) {
                *sum += cos_along * share;
            }
        }
        StackShares::of_sums(&sums, self.sheets, weights)
    }
}

/// Cosines of the angles along the horizon at which the band there is taken.
fn horizon_cosines() -> &'static [f64; HORIZON_STEPS] {
    static COSINES: LazyLock<[f64; HORIZON_STEPS]> = LazyLock::new(|| {
        std::array::from_fn(|step| (FRAC_PI_2 * (step as f64 + 0.5) / HORIZON_STEPS as f64).cos())
    });
    &COSINES
}

fn share_above_horizon(cos: f64, tilt_deg: f64) -> f64 {
    let (sin_tilt, cos_tilt) = tilt_deg.to_radians().sin_cos();
    let across = (1.0 - cos * cos).max(0.0).sqrt() * sin_tilt;
    let along = cos * cos_tilt;
    if across <= 1e-12 {
        return if along >= 0.0 { 1.0 } else { 0.0 };
    }
    (-along / across).clamp(-1.0, 1.0).acos() / PI
}

/// Mean of every column over the hemisphere, each ring weighted by its projected solid angle and by
/// `visible` of its cosine; over the whole hemisphere if nothing is visible.
fn mean(rows: &[Row], sheets: usize, stride: usize, visible: &dyn Fn(f64) -> f64) -> StackShares {
    let mut sums = Row::default();
    let mut weights = 0.0;
    for (row, values) in rows.iter().enumerate().step_by(stride) {
        let cos = row as f64 / CELLS as f64;
        let end = if row == CELLS { 0.5 } else { 1.0 };
        let weight = end * cos * visible(cos);
        weights += weight;
        for (sum, value) in sums.iter_mut().zip(values) {
            *sum += weight * value;
        }
    }
    if weights < 1e-9 {
        return mean(rows, sheets, stride, &|_| 1.0);
    }
    StackShares::of_sums(&sums, sheets, weights)
}

/// Tables for light from outside and from the house side.
fn tables(sheets: &[Sheet]) -> [Vec<Row>; 2] {
    let courses: Vec<Course> = sheets.iter().map(Sheet::course).collect();
    let width = SHARED_COLUMNS + sheets.len();
    let mut tables = [vec![Row::default(); ROWS], vec![Row::default(); ROWS]];
    let mut optics = Vec::with_capacity(sheets.len());
    let mut one_way = Vec::with_capacity(sheets.len());
    let mut mirrors = Vec::with_capacity(sheets.len());
    for row in 0..ROWS {
        let cos = row as f64 / CELLS as f64;
        optics.clear();
        optics.extend(courses.iter().map(|course| course.polarised(cos)));
        for (from_inside, table) in tables.iter_mut().enumerate() {
            let shares = &mut table[row][..width];
            for polarisation in 0..2 {
                one_way.clear();
                one_way.extend(optics.iter().map(|both| both[polarisation]));
                if from_inside == 1 {
                    one_way.reverse();
                }
                add_polarisation(&one_way, &mut mirrors, shares);
            }
            if from_inside == 1 {
                shares[SHARED_COLUMNS..].reverse();
            }
        }
    }
    tables
}

/// Adds the half of natural light that has one polarisation, on a stack lit from the side of the
/// last sheet.
///
/// Below each sheet everything further in acts as one mirror, built up from the house outwards; the
/// light then goes down from sheet to sheet.
fn add_polarisation(sheets: &[SheetOptics], mirrors: &mut Vec<f64>, shares: &mut [f64]) {
    mirrors.clear();
    let mut mirror = 0.0;
    for sheet in sheets {
        mirrors.push(mirror);
        let bounces = 1.0 - sheet.reflectance * mirror;
        mirror = if bounces > 0.0 {
            sheet.reflectance + sheet.transmittance * sheet.transmittance * mirror / bounces
        } else {
            1.0
        };
    }
    let mut down = 0.5;
    let absorbed = &mut shares[SHARED_COLUMNS..];
    for ((sheet, mirror), absorbed) in sheets.iter().zip(mirrors).zip(absorbed).rev() {
        let bounces = 1.0 - sheet.reflectance * *mirror;
        let below = if bounces > 0.0 {
            down * sheet.transmittance / bounces
        } else {
            0.0
        };
        *absorbed += sheet.absorptance() * (down + below * *mirror);
        down = below;
    }
    shares[0] += down;
    shares[1] += 0.5 * mirror;
}

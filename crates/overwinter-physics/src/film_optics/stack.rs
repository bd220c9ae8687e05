//! A stack of sheets, tabulated by angle.

use super::sheet::{Sheet, SheetOptics};
use std::f64::consts::{FRAC_PI_2, PI};

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
    fn of_sums(sums: &[f64], weights: f64) -> Self {
        let absorptance = sums.iter().skip(SHARED_COLUMNS);
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
    pub fn of_cos(cos_incidence: f64) -> Self {
        let degrees = cos_incidence.clamp(0.0, 1.0).acos().to_degrees();
        let row = (degrees as usize).min(ROWS - 2);
        Self {
            row,
            share: (degrees - row as f64).clamp(0.0, 1.0),
        }
    }
}

/// One row a degree, 0 to 90.
const ROWS: usize = 91;
/// Columns before the absorptances: transmittance and reflectance.
const SHARED_COLUMNS: usize = 2;
/// Steps along a quarter of the horizon.
const HORIZON_STEPS: usize = 45;

/// Optics of a stack of sheets, tabulated by angle of incidence from the outside.
///
/// Sheets count from the house outwards: sheet 0 is the innermost. Between the degrees of the table
/// values are interpolated linearly (off by less than 5e-4).
#[derive(Clone, Debug)]
pub struct StackOptics {
    sheets: usize,
    /// `ROWS` rows of transmittance, reflectance and one absorptance a sheet.
    from_outside: Vec<f64>,
    /// The same for light from the house side.
    from_inside: Vec<f64>,
    diffuse_from_inside: StackShares,
}

impl StackOptics {
    /// Builds the tables; an empty stack lets everything through.
    pub fn new(sheets: &[Sheet]) -> Self {
        let turned: Vec<Sheet> = sheets.iter().rev().copied().collect();
        let mut from_inside = table(&turned);
        for row in from_inside.chunks_exact_mut(SHARED_COLUMNS + sheets.len()) {
            row[SHARED_COLUMNS..].reverse();
        }
        Self {
            sheets: sheets.len(),
            from_outside: table(sheets),
            diffuse_from_inside: hemispherical(&from_inside, sheets.len(), &|_| 1.0),
            from_inside,
        }
    }

    /// Number of sheets.
    pub fn sheets(&self) -> usize {
        self.sheets
    }

    /// Share of a beam from outside that is let through.
    #[inline]
    pub fn transmittance(&self, place: AnglePlace) -> f64 {
        interpolated(&self.from_outside, self.width(), place, 0)
    }

    /// Share of a beam from outside that is turned back.
    #[inline]
    pub fn reflectance(&self, place: AnglePlace) -> f64 {
        interpolated(&self.from_outside, self.width(), place, 1)
    }

    /// Share of a beam from outside that a sheet absorbs; panics if there is no such sheet.
    #[inline]
    pub fn absorptance(&self, place: AnglePlace, sheet: usize) -> f64 {
        assert!(sheet < self.sheets, "sheet {sheet} of {}", self.sheets);
        interpolated(
            &self.from_outside,
            self.width(),
            place,
            SHARED_COLUMNS + sheet,
        )
    }

    /// Share of a beam from the house side that is turned back. What is let through is the same
    /// from both sides, [`StackOptics::transmittance`].
    #[inline]
    pub fn reflectance_from_inside(&self, place: AnglePlace) -> f64 {
        interpolated(&self.from_inside, self.width(), place, 1)
    }

    /// Share of a beam from the house side that a sheet absorbs; panics if there is no such sheet.
    #[inline]
    pub fn absorptance_from_inside(&self, place: AnglePlace, sheet: usize) -> f64 {
        assert!(sheet < self.sheets, "sheet {sheet} of {}", self.sheets);
        interpolated(
            &self.from_inside,
            self.width(),
            place,
            SHARED_COLUMNS + sheet,
        )
    }

    /// Shares of even light from the whole hemisphere outside.
    ///
    /// ```text
    /// share = integral of share(t) sin(2 t) dt, t from 0 to 90 deg
    /// ```
    pub fn diffuse_from_outside(&self) -> StackShares {
        hemispherical(&self.from_outside, self.sheets, &|_| 1.0)
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
        hemispherical(&self.from_outside, self.sheets, &|angle| {
            share_above_horizon(angle, tilt_deg)
        })
    }

    /// Shares of even light from the part of the ground that a plane of this tilt sees.
    ///
    /// As [`StackOptics::diffuse_from_sky`], with the parts below the horizon.
    pub fn diffuse_from_ground(&self, tilt_deg: f64) -> StackShares {
        hemispherical(&self.from_outside, self.sheets, &|angle| {
            1.0 - share_above_horizon(angle, tilt_deg)
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
        let mut sums = vec![0.0; SHARED_COLUMNS + self.sheets];
        let mut weights = 0.0;
        for step in 0..HORIZON_STEPS {
            let along = FRAC_PI_2 * (step as f64 + 0.5) / HORIZON_STEPS as f64;
            let place = AnglePlace::of_cos(sin_tilt * along.cos());
            weights += along.cos();
            for (column, sum) in sums.iter_mut().enumerate() {
                *sum += along.cos() * interpolated(&self.from_outside, self.width(), place, column);
            }
        }
        StackShares::of_sums(&sums, weights)
    }

    #[inline]
    fn width(&self) -> usize {
        SHARED_COLUMNS + self.sheets
    }
}

#[inline]
fn interpolated(rows: &[f64], width: usize, place: AnglePlace, column: usize) -> f64 {
    let at = place.row * width + column;
    let (low, high) = (rows[at], rows[at + width]);
    low + (high - low) * place.share
}

fn share_above_horizon(angle_rad: f64, tilt_deg: f64) -> f64 {
    let tilt_rad = tilt_deg.to_radians();
    let (across, along) = (
        angle_rad.sin() * tilt_rad.sin(),
        angle_rad.cos() * tilt_rad.cos(),
    );
    if across <= 1e-12 {
        return if along >= 0.0 { 1.0 } else { 0.0 };
    }
    (-along / across).clamp(-1.0, 1.0).acos() / PI
}

fn table(sheets: &[Sheet]) -> Vec<f64> {
    let mut rows = Vec::with_capacity(ROWS * (SHARED_COLUMNS + sheets.len()));
    for degree in 0..ROWS {
        let cos_incidence = if degree + 1 == ROWS {
            0.0
        } else {
            (degree as f64).to_radians().cos()
        };
        let shares = stack_at(sheets, cos_incidence);
        rows.extend([shares.transmittance, shares.reflectance]);
        rows.extend(shares.absorptance);
    }
    rows
}

/// A stack under a beam from the side of the last sheet.
fn stack_at(sheets: &[Sheet], cos_incidence: f64) -> StackShares {
    let polarised: Vec<[SheetOptics; 2]> = sheets
        .iter()
        .map(|sheet| sheet.polarised(cos_incidence))
        .collect();
    let [mut across, along] = [0, 1].map(|direction| {
        let sheets: Vec<SheetOptics> = polarised.iter().map(|both| both[direction]).collect();
        embed(&sheets)
    });
    across.transmittance = 0.5 * (across.transmittance + along.transmittance);
    across.reflectance = 0.5 * (across.reflectance + along.reflectance);
    for (mean, other) in across.absorptance.iter_mut().zip(along.absorptance) {
        *mean = 0.5 * (*mean + other);
    }
    across
}

/// Follows one polarisation through a stack lit from the side of the last sheet.
///
/// Below each sheet everything further in acts as one mirror, built up from the house outwards; the
/// light then goes down from sheet to sheet.
fn embed(sheets: &[SheetOptics]) -> StackShares {
    let mut mirrors = Vec::with_capacity(sheets.len());
    let mut mirror = 0.0;
    for sheet in sheets {
        mirrors.push(mirror);
        let bounces = 1.0 - sheet.reflectance * mirror;
        mirror = if bounces > 0.0 {
            sheet.reflectance + sheet.transmittance.powi(2) * mirror / bounces
        } else {
            1.0
        };
    }
    let mut absorptance = vec![0.0; sheets.len()];
    let mut down = 1.0;
    for ((sheet, mirror), absorbed) in sheets.iter().zip(mirrors).zip(&mut absorptance).rev() {
        let bounces = 1.0 - sheet.reflectance * mirror;
        let below = if bounces > 0.0 {
            down * sheet.transmittance / bounces
        } else {
            0.0
        };
        *absorbed = sheet.absorptance() * (down + below * mirror);
        down = below;
    }
    StackShares {
        transmittance: down,
        reflectance: mirror,
        absorptance,
    }
}

/// Mean of every column over the hemisphere, each ring weighted by its projected solid angle and by
/// `visible` of its angle in rad; over the whole hemisphere if nothing is visible.
fn hemispherical(rows: &[f64], sheets: usize, visible: &dyn Fn(f64) -> f64) -> StackShares {
    let width = SHARED_COLUMNS + sheets;
    let mut sums = vec![0.0; width];
    let mut weights = 0.0;
    for (row, values) in rows.chunks_exact(width).enumerate() {
        let angle = FRAC_PI_2 * row as f64 / (ROWS - 1) as f64;
        let weight = (2.0 * angle).sin() * visible(angle);
        weights += weight;
        for (sum, value) in sums.iter_mut().zip(values) {
            *sum += weight * value;
        }
    }
    if weights < 1e-9 {
        return hemispherical(rows, sheets, &|_| 1.0);
    }
    StackShares::of_sums(&sums, weights)
}

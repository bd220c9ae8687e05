//! Sunlight through films, panes and screens: one sheet, then stacks of sheets, by angle.
//!
//! A [`StackOptics`] is built once and asked for every hour. It follows both polarisations through
//! the stack and averages at the end. Left out: spectra, edges and frames, water on the sheets.

use std::f64::consts::{FRAC_PI_2, PI};

/// Refractive index of the clear slab whose angular course a measured sheet follows (window glass;
/// Duffie and Beckman, "Solar Engineering of Thermal Processes", table 5.1.1).
const GLASS_REFRACTIVE_INDEX: f64 = 1.526;

/// What is known of one sheet; each has the same two sides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sheet {
    /// A smooth slab, by Fresnel and absorption.
    Slab {
        /// Refractive index against air, 1 or more.
        refractive_index: f64,
        /// Extinction coefficient times thickness, 0 or more.
        extinction_thickness: f64,
    },
    /// Measured at normal incidence; its angular course is that of a slab of window glass which
    /// absorbs the same part of the light that it does not reflect.
    Measured {
        /// Transmittance at normal incidence.
        transmittance: f64,
        /// Reflectance at normal incidence.
        reflectance: f64,
    },
    /// The same at all angles (cloth).
    Diffusing {
        /// Transmittance.
        transmittance: f64,
        /// Reflectance.
        reflectance: f64,
    },
}

/// What a sheet lets through and turns back; it absorbs the rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetOptics {
    /// Share of incident light let through.
    pub transmittance: f64,
    /// Share of incident light turned back.
    pub reflectance: f64,
}

impl SheetOptics {
    /// Share of incident light absorbed.
    pub fn absorptance(&self) -> f64 {
        (1.0 - self.transmittance - self.reflectance).max(0.0)
    }

    fn of_shares(transmittance: f64, reflectance: f64) -> Self {
        let reflectance = reflectance.clamp(0.0, 1.0);
        Self {
            transmittance: transmittance.clamp(0.0, 1.0 - reflectance),
            reflectance,
        }
    }

    fn mean([a, b]: [Self; 2]) -> Self {
        Self {
            transmittance: 0.5 * (a.transmittance + b.transmittance),
            reflectance: 0.5 * (a.reflectance + b.reflectance),
        }
    }
}

/// Reflectance of one smooth surface for light polarised across and along the plane of incidence.
///
/// ```text
/// sin t2 = sin t1 / n
/// across = (cos t1 - n cos t2)^2 / (cos t1 + n cos t2)^2
/// along  = (n cos t1 - cos t2)^2 / (n cos t1 + cos t2)^2
/// ```
///
/// `cos_incidence` outside 0 to 1 and `refractive_index` below 1 are held at the bounds.
///
/// # References
/// J. A. Duffie and W. A. Beckman, "Solar Engineering of Thermal Processes", equations 5.1.1 to
/// 5.1.4, example 5.1.1.
///
/// ```
/// use overwinter_physics::film_optics::fresnel_reflectance;
/// let [across, along] = fresnel_reflectance(1.526, 60f64.to_radians().cos());
/// assert!((across - 0.185).abs() < 6e-4 && (along - 0.001).abs() < 6e-4);
/// ```
pub fn fresnel_reflectance(refractive_index: f64, cos_incidence: f64) -> [f64; 2] {
    let index = refractive_index.max(1.0);
    let cos_1 = cos_incidence.clamp(0.0, 1.0);
    let cos_2 = cos_refracted(index, cos_1);
    let squared_ratio = |a: f64, b: f64| ((a - b) / (a + b)).powi(2);
    if cos_1 <= 0.0 {
        return [1.0, 1.0];
    }
    [
        squared_ratio(cos_1, index * cos_2),
        squared_ratio(index * cos_1, cos_2),
    ]
}

fn cos_refracted(index: f64, cos_1: f64) -> f64 {
    (1.0 - (1.0 - cos_1 * cos_1) / (index * index))
        .max(0.0)
        .sqrt()
}

impl Sheet {
    /// Optics for light polarised across and along the plane of incidence.
    ///
    /// ```text
    /// a   = exp(-extinction_thickness / cos t2)
    /// tau = a (1 - r)^2 / (1 - r^2 a^2)
    /// rho = r (1 + a tau)
    /// ```
    ///
    /// with r of [`fresnel_reflectance`]. At grazing incidence a slab reflects everything. Shares
    /// of a measured sheet outside 0 to 1, or together above 1, are held at the bounds.
    ///
    /// # References
    /// J. A. Duffie and W. A. Beckman, "Solar Engineering of Thermal Processes", equations 5.3.1 to
    /// 5.3.3, example 5.3.1.
    ///
    /// ```
    /// use overwinter_physics::film_optics::Sheet;
    /// // One 2.3 mm pane of extinction 32 1/m at 60 degrees.
    /// let pane = Sheet::Slab { refractive_index: 1.526, extinction_thickness: 0.0736 };
    /// let [across, along] = pane.polarised(0.5);
    /// assert!((across.transmittance - 0.6247).abs() < 1e-4);
    /// assert!((along.transmittance - 0.9118).abs() < 1e-4);
    /// ```
    pub fn polarised(&self, cos_incidence: f64) -> [SheetOptics; 2] {
        match *self {
            Self::Slab {
                refractive_index,
                extinction_thickness,
            } => slab(
                refractive_index,
                extinction_thickness.max(0.0),
                cos_incidence,
            ),
            Self::Measured {
                transmittance,
                reflectance,
            } => measured(
                SheetOptics::of_shares(transmittance, reflectance),
                cos_incidence,
            ),
            Self::Diffusing {
                transmittance,
                reflectance,
            } => [SheetOptics::of_shares(transmittance, reflectance); 2],
        }
    }

    /// Optics for natural light.
    pub fn unpolarised(&self, cos_incidence: f64) -> SheetOptics {
        SheetOptics::mean(self.polarised(cos_incidence))
    }
}

fn slab(index: f64, extinction_thickness: f64, cos_incidence: f64) -> [SheetOptics; 2] {
    let cos_2 = cos_refracted(index.max(1.0), cos_incidence.clamp(0.0, 1.0));
    let kept = (-extinction_thickness / cos_2.max(1e-9)).exp();
    fresnel_reflectance(index, cos_incidence).map(|surface| {
        if surface >= 1.0 {
            return SheetOptics::of_shares(0.0, 1.0);
        }
        let transmittance =
            kept * (1.0 - surface).powi(2) / (1.0 - (surface * kept) * (surface * kept));
        SheetOptics::of_shares(transmittance, surface * (1.0 + kept * transmittance))
    })
}

/// The measured shares, carried to another angle as in a slab of glass that lets through the same
/// part of what it does not reflect.
fn measured(normal: SheetOptics, cos_incidence: f64) -> [SheetOptics; 2] {
    let entered = 1.0 - normal.reflectance;
    if entered <= 0.0 {
        return [normal; 2];
    }
    let extinction = glass_extinction_thickness(normal.transmittance / entered);
    let glass_normal = SheetOptics::mean(slab(GLASS_REFRACTIVE_INDEX, extinction, 1.0));
    slab(GLASS_REFRACTIVE_INDEX, extinction, cos_incidence).map(|glass| {
        let glass_entered = 1.0 - glass.reflectance;
        if glass_entered <= 0.0 {
            return glass;
        }
        let entered = entered * glass_entered / (1.0 - glass_normal.reflectance);
        SheetOptics::of_shares(entered * glass.transmittance / glass_entered, 1.0 - entered)
    })
}

/// Extinction times thickness of the glass slab that lets `passed_share` of the light it does not
/// reflect through at normal incidence: the positive root of
/// `passed r a^2 + (1 - r) a - passed = 0` in `a = exp(-extinction_thickness)`.
fn glass_extinction_thickness(passed_share: f64) -> f64 {
    let [surface, _] = fresnel_reflectance(GLASS_REFRACTIVE_INDEX, 1.0);
    let passed = passed_share.clamp(0.0, 1.0);
    let root = ((1.0 - surface).powi(2) + 4.0 * passed * passed * surface).sqrt();
    // Twice the constant over the sum: no loss of digits as `passed` goes to 0.
    let kept = 2.0 * passed / (1.0 - surface + root);
    -kept.clamp(1e-30, 1.0).ln()
}

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
    diffuse_from_inside: StackShares,
}

impl StackOptics {
    /// Builds the tables; an empty stack lets everything through.
    pub fn new(sheets: &[Sheet]) -> Self {
        let from_outside = table(sheets);
        let turned: Vec<Sheet> = sheets.iter().rev().copied().collect();
        let mut diffuse_from_inside = hemispherical(&table(&turned), sheets.len(), &|_| 1.0);
        diffuse_from_inside.absorptance.reverse();
        Self {
            sheets: sheets.len(),
            from_outside,
            diffuse_from_inside,
        }
    }

    /// Number of sheets.
    pub fn sheets(&self) -> usize {
        self.sheets
    }

    /// Share of a beam from outside that is let through.
    #[inline]
    pub fn transmittance(&self, place: AnglePlace) -> f64 {
        self.interpolated(place, 0)
    }

    /// Share of a beam from outside that is turned back.
    #[inline]
    pub fn reflectance(&self, place: AnglePlace) -> f64 {
        self.interpolated(place, 1)
    }

    /// Share of a beam from outside that a sheet absorbs; panics if there is no such sheet.
    #[inline]
    pub fn absorptance(&self, place: AnglePlace, sheet: usize) -> f64 {
        assert!(sheet < self.sheets, "sheet {sheet} of {}", self.sheets);
        self.interpolated(place, SHARED_COLUMNS + sheet)
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
                *sum += along.cos() * self.interpolated(place, column);
            }
        }
        StackShares::of_sums(&sums, weights)
    }

    #[inline]
    fn interpolated(&self, place: AnglePlace, column: usize) -> f64 {
        let width = SHARED_COLUMNS + self.sheets;
        let at = place.row * width + column;
        let (low, high) = (self.from_outside[at], self.from_outside[at + width]);
        low + (high - low) * place.share
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    fn clear_glass(extinction_thickness: f64) -> Sheet {
        Sheet::Slab {
            refractive_index: 1.526,
            extinction_thickness,
        }
    }

    fn cos_deg(angle: f64) -> f64 {
        angle.to_radians().cos()
    }

    fn place(angle_deg: f64) -> AnglePlace {
        AnglePlace::of_cos(cos_deg(angle_deg))
    }

    #[test]
    fn one_surface_follows_the_textbook() {
        // Duffie and Beckman, example 5.1.1, n = 1.526.
        let [normal, _] = fresnel_reflectance(1.526, 1.0);
        let [across, along] = fresnel_reflectance(1.526, 0.5);
        assert!((normal - 0.0434).abs() < 5e-5);
        assert!((across - 0.1855).abs() < 1e-4 && (along - 0.0014).abs() < 1e-4);
        assert!((0.5 * (across + along) - 0.0935).abs() < 1e-4);
    }

    #[test]
    fn absorbing_cover_follows_the_textbook() {
        // Duffie and Beckman, example 5.3.1: 2.3 mm, 32 1/m, 60 deg.
        let pane = clear_glass(0.0736).unpolarised(0.5);
        assert!((pane.transmittance - 0.768).abs() < 6e-4);
        assert!((pane.reflectance - 0.147).abs() < 6e-4);
        assert!((pane.absorptance() - 0.085).abs() < 6e-4);
    }

    #[test]
    fn clear_covers_follow_the_closed_form() {
        // Half the sum over polarisations of (1 - r) / (1 + (2 N - 1) r), Duffie and Beckman,
        // equation 5.1.9, n = 1.526, evaluated apart from this code for N = 1 to 4 covers.
        for (angle_deg, expected) in [
            (0.0, [0.9169, 0.8465, 0.7862, 0.7339]),
            (30.0, [0.9145, 0.8441, 0.7848, 0.7340]),
            (50.0, [0.8897, 0.8168, 0.7646, 0.7249]),
            (60.0, [0.8421, 0.7588, 0.7070, 0.6715]),
            (70.0, [0.7236, 0.6052, 0.5326, 0.4807]),
            (80.0, [0.4554, 0.3096, 0.2361, 0.1912]),
        ] {
            for (covers, wanted) in (1..).zip(expected) {
                let stack = StackOptics::new(&vec![clear_glass(0.0); covers]);
                let got = stack.transmittance(place(angle_deg));
                assert!((got - wanted).abs() < 6e-5, "{angle_deg} {covers} {got}");
            }
        }
    }

    #[test]
    fn two_absorbing_covers_share_out_what_they_absorb() {
        // Two covers of extinction times thickness 0.0370 at 60 deg, both polarisations kept apart,
        // evaluated apart from this code.
        let stack = StackOptics::new(&[clear_glass(0.0370), clear_glass(0.0370)]);
        let at = place(60.0);
        assert!((stack.transmittance(at) - 0.6903).abs() < 6e-5);
        assert!((stack.reflectance(at) - 0.2246).abs() < 6e-5);
        assert!((stack.absorptance(at, 1) - 0.0485).abs() < 6e-5);
        assert!((stack.absorptance(at, 0) - 0.0366).abs() < 6e-5);
    }

    #[test]
    fn double_pane_of_the_building_fabric_test() {
        // Optics of the double window of ASHRAE Standard 140-2017 (n 1.526, 0.0196 1/mm, 3.175 mm),
        // exact two-pane sums evaluated apart from this code: angle, transmittance, outer and inner
        // absorptance, reflectance, transmittance of one pane.
        const ROWS: [[f64; 6]; 9] = [
            [0.0, 0.747, 0.064, 0.052, 0.137, 0.861],
            [10.0, 0.746, 0.065, 0.052, 0.137, 0.861],
            [20.0, 0.744, 0.066, 0.053, 0.137, 0.860],
            [30.0, 0.739, 0.068, 0.055, 0.138, 0.856],
            [40.0, 0.728, 0.071, 0.057, 0.144, 0.847],
            [50.0, 0.705, 0.075, 0.058, 0.162, 0.827],
            [60.0, 0.647, 0.080, 0.058, 0.215, 0.779],
            [70.0, 0.507, 0.087, 0.054, 0.352, 0.665],
            [80.0, 0.242, 0.094, 0.041, 0.622, 0.409],
        ];
        let pane = clear_glass(0.0196 * 3.175);
        let stack = StackOptics::new(&[pane, pane]);
        for [angle, transmittance, outer, inner, reflectance, single] in ROWS {
            let at = place(angle);
            assert!(
                (stack.transmittance(at) - transmittance).abs() < 6e-4,
                "{angle}"
            );
            assert!((stack.absorptance(at, 1) - outer).abs() < 6e-4, "{angle}");
            assert!((stack.absorptance(at, 0) - inner).abs() < 6e-4, "{angle}");
            assert!(
                (stack.reflectance(at) - reflectance).abs() < 6e-4,
                "{angle}"
            );
            let one = pane.unpolarised(cos_deg(angle)).transmittance;
            assert!((one - single).abs() < 6e-4, "{angle}");
        }
        // The same sums over the hemisphere in 20,000 rings, evaluated apart from this code.
        assert!((stack.diffuse_from_outside().transmittance - 0.65879).abs() < 2e-4);
    }

    #[test]
    fn measured_pane_turns_into_the_slab_it_was_measured_on() {
        // A pane of 3.175 mm: transmittance 0.8614 and reflectance 0.0785 at normal incidence
        // (ASHRAE Standard 140-2017, optics evaluated apart from this code).
        let measured = Sheet::Measured {
            transmittance: 0.8614,
            reflectance: 0.0785,
        };
        for angle in [0.0, 30.0, 60.0, 80.0, 88.0] {
            let slab = clear_glass(0.0196 * 3.175).unpolarised(cos_deg(angle));
            let got = measured.unpolarised(cos_deg(angle));
            assert!((got.transmittance - slab.transmittance).abs() < 2e-4);
            assert!((got.reflectance - slab.reflectance).abs() < 2e-4);
        }
    }

    #[test]
    fn polyethylene_pair_lets_through_what_growers_are_told() {
        // Extension figures: about 80 percent for a double film, about 90 percent for a single one;
        // film of index 1.51 with 2.5 percent absorbed along 150 um; diffuse near 0.75 (from memory).
        let film = Sheet::Slab {
            refractive_index: 1.51,
            extinction_thickness: 0.025,
        };
        let [one, two] = [1, 2].map(|films| StackOptics::new(&vec![film; films]));
        assert!((one.transmittance(place(0.0)) - 0.90).abs() < 0.01);
        assert!((two.transmittance(place(0.0)) - 0.82).abs() < 0.015);
        let diffuse = two.diffuse_from_outside().transmittance;
        assert!((diffuse - 0.75).abs() < 0.03, "{diffuse}");
    }

    #[test]
    fn tilted_diffuse_agrees_with_effective_angles() {
        // Brandemuehl and Beckman (1980), "Transmission of diffuse radiation through CPC and flat
        // plate collector glazings", Solar Energy 24, 511-513 (from memory), fitted on covers of
        // n 1.34 to 1.526, stated to hold within a few hundredths.
        let pane = clear_glass(0.0125);
        let stack = StackOptics::new(&[pane, pane]);
        for tilt in [0.0_f64, 30.0, 60.0, 90.0] {
            let sky = 59.7 - 0.1388 * tilt + 0.001497 * tilt * tilt;
            let got = stack.diffuse_from_sky(tilt).transmittance;
            let fit = stack.transmittance(place(sky));
            assert!((got - fit).abs() < 0.02, "sky {tilt}: {got} {fit}");
        }
        for tilt in [45.0_f64, 60.0, 90.0] {
            let ground = 90.0 - 0.5788 * tilt + 0.002693 * tilt * tilt;
            let got = stack.diffuse_from_ground(tilt).transmittance;
            let fit = stack.transmittance(place(ground));
            assert!((got - fit).abs() < 0.04, "ground {tilt}: {got} {fit}");
        }
    }

    #[test]
    fn sky_and_ground_parts_make_the_whole() {
        let stack = StackOptics::new(&[clear_glass(0.05), clear_glass(0.02)]);
        let whole = stack.diffuse_from_outside().transmittance;
        for tilt in [10.0_f64, 45.0, 90.0, 120.0] {
            let sky_view = 0.5 * (1.0 + cos_deg(tilt));
            let parts = sky_view * stack.diffuse_from_sky(tilt).transmittance
                + (1.0 - sky_view) * stack.diffuse_from_ground(tilt).transmittance;
            assert!((parts - whole).abs() < 3e-4, "{tilt}");
        }
    }

    #[test]
    fn a_band_at_the_horizon_meets_a_wall_frontally_and_a_roof_at_a_glance() {
        let pane = clear_glass(0.0);
        let stack = StackOptics::new(&[pane]);
        let at = |tilt| stack.diffuse_from_horizon(tilt).transmittance;
        // One clear cover, upright: the closed form (1 - r) / (1 + r), Duffie and Beckman, equation
        // 5.1.8, weighted by cos a in 20,000 steps, evaluated apart from this code.
        assert!((at(90.0) - 0.87784).abs() < 2e-4, "{}", at(90.0));
        assert!(at(0.0) < 1e-12);
        assert!(at(30.0) < at(60.0) && at(60.0) < at(90.0));
    }

    #[test]
    fn light_is_accounted_for_and_reciprocal() {
        let cloth = Sheet::Diffusing {
            transmittance: 0.4,
            reflectance: 0.35,
        };
        let stack = StackOptics::new(&[cloth, clear_glass(0.03), clear_glass(0.2)]);
        let inside = stack.diffuse_from_inside();
        let outside = stack.diffuse_from_outside();
        for shares in [inside, &outside, &stack.diffuse_from_sky(35.0)] {
            let absorbed: f64 = shares.absorptance.iter().sum();
            assert!((shares.transmittance + shares.reflectance + absorbed - 1.0).abs() < 1e-12);
        }
        assert!((inside.transmittance - outside.transmittance).abs() < 1e-12);
        assert!(inside.absorptance[0] > outside.absorptance[0]);
    }

    #[test]
    fn odd_stacks_do_not_break() {
        assert!((StackOptics::new(&[]).transmittance(place(40.0)) - 1.0).abs() < 1e-12);
        let mirror = Sheet::Measured {
            transmittance: 0.5,
            reflectance: 1.5,
        };
        let black = Sheet::Measured {
            transmittance: 0.0,
            reflectance: 0.1,
        };
        let stack = StackOptics::new(&[mirror, mirror, black]);
        assert!(stack.transmittance(place(0.0)).abs() < 1e-12);
        assert!((stack.absorptance(place(0.0), 2) - 0.9).abs() < 1e-9);
        let odd = StackOptics::new(&[Sheet::Slab {
            refractive_index: 0.2,
            extinction_thickness: -3.0,
        }]);
        assert!((odd.transmittance(place(20.0)) - 1.0).abs() < 1e-12);
    }
}

//! One sheet: two surfaces and what lies between, for each polarisation.

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
        self.course().polarised(cos_incidence)
    }

    /// Optics for natural light.
    pub fn unpolarised(&self, cos_incidence: f64) -> SheetOptics {
        SheetOptics::mean(self.polarised(cos_incidence))
    }

    /// What does not depend on the angle, worked out once.
    pub(super) fn course(&self) -> Course {
        match *self {
            Self::Slab {
                refractive_index,
                extinction_thickness,
            } => Course::Slab {
                refractive_index: refractive_index.max(1.0),
                extinction_thickness: extinction_thickness.max(0.0),
            },
            Self::Measured {
                transmittance,
                reflectance,
            } => Course::measured(SheetOptics::of_shares(transmittance, reflectance)),
            Self::Diffusing {
                transmittance,
                reflectance,
            } => Course::Even(SheetOptics::of_shares(transmittance, reflectance)),
        }
    }
}

/// A sheet ready to be asked at many angles.
#[derive(Clone, Copy, Debug)]
pub(super) enum Course {
    /// A smooth slab.
    Slab {
        refractive_index: f64,
        extinction_thickness: f64,
    },
    /// As a slab of glass that lets through the same part of what it does not reflect, with the
    /// part that enters scaled to the one measured.
    LikeGlass {
        extinction_thickness: f64,
        entered_per_glass: f64,
    },
    /// The same at all angles.
    Even(SheetOptics),
}

impl Course {
    fn measured(normal: SheetOptics) -> Self {
        let entered = 1.0 - normal.reflectance;
        if entered <= 0.0 {
            return Self::Even(normal);
        }
        let extinction_thickness = glass_extinction_thickness(normal.transmittance / entered);
        let glass = SheetOptics::mean(slab(GLASS_REFRACTIVE_INDEX, extinction_thickness, 1.0));
        Self::LikeGlass {
            extinction_thickness,
            entered_per_glass: entered / (1.0 - glass.reflectance),
        }
    }

    pub(super) fn polarised(&self, cos_incidence: f64) -> [SheetOptics; 2] {
        match *self {
            Self::Slab {
                refractive_index,
                extinction_thickness,
            } => slab(refractive_index, extinction_thickness, cos_incidence),
            Self::LikeGlass {
                extinction_thickness,
                entered_per_glass,
            } => slab(GLASS_REFRACTIVE_INDEX, extinction_thickness, cos_incidence)
                .map(|glass| like_glass(glass, entered_per_glass)),
            Self::Even(optics) => [optics; 2],
        }
    }
}

fn like_glass(glass: SheetOptics, entered_per_glass: f64) -> SheetOptics {
    let entered = (1.0 - glass.reflectance) * entered_per_glass;
    SheetOptics::of_shares(glass.transmittance * entered_per_glass, 1.0 - entered)
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

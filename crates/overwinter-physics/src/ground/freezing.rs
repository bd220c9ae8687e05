//! Water that freezes in soil or in a barrel, over a span of temperature.

use crate::number::Real;

/// A solid or a vessel whose water freezes evenly over a span of temperature.
///
/// Heat content is told as a temperature: what the thing would have if its water never froze,
/// `heat = T - latent f(T)`, with the frozen share `f(T) = (from - T) / over`, held between 0 and 1.
/// Above the span it is the temperature itself. In moist soil most of the water freezes within a
/// kelvin or two below 0 degC, since salts and fine pores hold the rest back (from memory).
///
/// # Examples
/// ```
/// use overwinter_physics::ground::freezing::Freezing;
/// // Water alone: 334 kJ/kg over 4.19 kJ/(kg K) are 80 K.
/// let water = Freezing { latent_k: 79.7, from_k: 273.15, over_k: 0.5 };
/// assert_eq!(water.heat_k(280.0), 280.0);
/// let half_frozen_k = water.temp_k(water.heat_k(272.9));
/// assert!((half_frozen_k - 272.9).abs() < 1e-9);
/// assert!((water.frozen_share(272.9) - 0.5).abs() < 1e-9);
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Freezing<R> {
    /// Heat that freezing sets free over the heat capacity, K; 0 for a dry thing.
    pub latent_k: R,
    /// Where freezing begins, K.
    pub from_k: f64,
    /// Span below it in which all freezes, K; above 0.
    pub over_k: f64,
}

impl<R: Real> Freezing<R> {
    /// Share of the water that is ice, 0 to 1.
    #[inline(always)]
    pub fn frozen_share(&self, temp_k: R) -> R {
        ((-temp_k + self.from_k) / self.over_k).clamp_between(0.0, 1.0)
    }

    /// Heat content as a temperature, K.
    #[inline(always)]
    pub fn heat_k(&self, temp_k: R) -> R {
        temp_k - self.latent_k * self.frozen_share(temp_k)
    }

    /// Temperature for a heat content, K: the inverse of [`Freezing::heat_k`].
    #[inline(always)]
    pub fn temp_k(&self, heat_k: R) -> R {
        let above = heat_k - self.from_k;
        let within = above / (self.latent_k / self.over_k + 1.0);
        above.max(within).min(above + self.latent_k) + self.from_k
    }

    /// Heat content gained for each kelvin between two temperatures, 1 where no water freezes or
    /// melts; where they meet, that of the span around them.
    #[inline(always)]
    pub fn heat_per_k(&self, start_k: R, end_k: R) -> R {
        let (start, end) = (self.frozen_share(start_k), self.frozen_share(end_k));
        let step = end_k - start_k;
        let is_short = step.abs().lt(R::splat(SHORT_K));
        let around = self.frozen_share(start_k - SHORT_K) - self.frozen_share(start_k + SHORT_K);
        let slope = R::select(
            is_short,
            around / (2.0 * SHORT_K),
            (start - end) / R::select(is_short, R::one(), step),
        );
        self.latent_k * slope + 1.0
    }
}

/// Steps shorter than this take the slope around them.
const SHORT_K: f64 = 1e-4;

#[cfg(test)]
mod tests {
    use super::Freezing;

    const SOIL: Freezing<f64> = Freezing {
        latent_k: 38.0,
        from_k: 273.15,
        over_k: 1.0,
    };

    #[test]
    fn heat_and_temperature_are_each_other_s_inverse() {
        for temp_k in [250.0, 272.1, 272.15, 272.2, 272.9, 273.15, 273.2, 300.0] {
            let back_k = SOIL.temp_k(SOIL.heat_k(temp_k));
            assert!((back_k - temp_k).abs() < 1e-10, "{temp_k} {back_k}");
        }
    }

    #[test]
    fn freezing_sets_free_its_heat_once() {
        assert!((SOIL.heat_k(273.15) - SOIL.heat_k(272.15) - 39.0).abs() < 1e-12);
        assert!((SOIL.heat_k(272.15) - SOIL.heat_k(262.15) - 10.0).abs() < 1e-12);
    }

    #[test]
    fn slopes_are_those_of_the_heat_content() {
        for (start_k, end_k) in [
            (275.0, 274.0),
            (273.65, 272.65),
            (272.5, 272.6),
            (271.0, 270.0),
        ] {
            let wanted = (SOIL.heat_k(end_k) - SOIL.heat_k(start_k)) / (end_k - start_k);
            assert!((SOIL.heat_per_k(start_k, end_k) - wanted).abs() < 1e-9);
        }
        // Rounding of temperatures over 2e-4 K.
        assert!((SOIL.heat_per_k(272.6, 272.6) - 39.0).abs() < 1e-6);
        assert!((SOIL.heat_per_k(280.0, 280.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_dry_thing_has_nothing_to_freeze() {
        let dry = Freezing {
            latent_k: 0.0,
            ..SOIL
        };
        assert!((dry.temp_k(dry.heat_k(260.0)) - 260.0).abs() < 1e-12);
        assert!((dry.heat_per_k(274.0, 260.0) - 1.0).abs() < 1e-12);
    }
}

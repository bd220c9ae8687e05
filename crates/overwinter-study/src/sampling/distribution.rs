//! Distributions of sampled inputs by the inverse of their distribution functions, in whatever unit
//! their numbers are in.

use statrs::distribution::{ContinuousCDF, LogNormal, Normal, Triangular, Uniform};

/// Least share of a distribution that has to lie between its bounds.
const LEAST_SHARE: f64 = 1e-3;

/// A distribution, cut off at its bounds if it has any.
#[derive(Clone, Debug)]
pub(super) struct Distribution {
    shape: Shape,
    bounds: Bounds,
    /// Probabilities of the bounds.
    share: [f64; 2],
}

/// Bounds beyond which nothing is drawn.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Bounds {
    pub(super) low: Option<f64>,
    pub(super) high: Option<f64>,
}

#[derive(Clone, Copy, Debug)]
enum Shape {
    Uniform(Uniform),
    Triangular(Triangular),
    Normal(Normal),
    LogNormal(LogNormal),
}

/// What is wrong with a distribution: the key at fault and why.
pub(super) type Wrong = (&'static str, String);

impl Distribution {
    /// Every value from `low` to `high` is as likely as any other.
    pub(super) fn uniform(low: f64, high: f64) -> Result<Self, Wrong> {
        ordered(low, high)?;
        let shape = Uniform::new(low, high).map_err(|error| ("low", error.to_string()))?;
        Ok(Self::whole(Shape::Uniform(shape)))
    }

    /// Straight up from `low` to `likely` and down to `high`.
    pub(super) fn triangular(low: f64, likely: f64, high: f64) -> Result<Self, Wrong> {
        ordered(low, high)?;
        if !(low..=high).contains(&likely) {
            return Err((
                "likely",
                "`likely` has to lie from `low` to `high`".to_owned(),
            ));
        }
        let shape =
            Triangular::new(low, high, likely).map_err(|error| ("low", error.to_string()))?;
        Ok(Self::whole(Shape::Triangular(shape)))
    }

    /// Normal, cut off at the bounds.
    pub(super) fn normal(mean: f64, deviation: f64, bounds: Bounds) -> Result<Self, Wrong> {
        if deviation <= 0.0 {
            return Err(("deviation", "the deviation has to be above 0".to_owned()));
        }
        let shape =
            Normal::new(mean, deviation).map_err(|error| ("deviation", error.to_string()))?;
        Self::cut(Shape::Normal(shape), bounds)
    }

    /// Log-normal, cut off at the bounds: 68.27 % of the whole lie between `median / factor` and
    /// `median * factor`.
    pub(super) fn log_normal(median: f64, factor: f64, bounds: Bounds) -> Result<Self, Wrong> {
        if median <= 0.0 {
            return Err(("median", "the median has to be above 0".to_owned()));
        }
        if factor <= 1.0 {
            return Err(("factor", "the factor has to be above 1".to_owned()));
        }
        let shape = LogNormal::new(median.ln(), factor.ln())
            .map_err(|error| ("factor", error.to_string()))?;
        Self::cut(Shape::LogNormal(shape), bounds)
    }

    /// The value that a share `probability` of the draws, from 0 to 1, lies below.
    pub(super) fn value(&self, probability: f64) -> f64 {
        let [from, to] = self.share;
        let probability = (from + probability * (to - from)).clamp(0.0, 1.0);
        let value = match &self.shape {
            Shape::Uniform(shape) => shape.inverse_cdf(probability),
            Shape::Triangular(shape) => shape.inverse_cdf(probability),
            Shape::Normal(shape) => shape.inverse_cdf(probability),
            Shape::LogNormal(shape) => shape.inverse_cdf(probability),
        };
        // Rounding must not lead out of the bounds.
        let value = self.bounds.low.map_or(value, |low| value.max(low));
        self.bounds.high.map_or(value, |high| value.min(high))
    }

    fn whole(shape: Shape) -> Self {
        Self {
            shape,
            bounds: Bounds::default(),
            share: [0.0, 1.0],
        }
    }

    fn cut(shape: Shape, bounds: Bounds) -> Result<Self, Wrong> {
        if let (Some(low), Some(high)) = (bounds.low, bounds.high) {
            ordered(low, high)?;
        }
        let below = |value: f64| match &shape {
            Shape::Uniform(shape) => shape.cdf(value),
            Shape::Triangular(shape) => shape.cdf(value),
            Shape::Normal(shape) => shape.cdf(value),
            Shape::LogNormal(shape) => shape.cdf(value),
        };
        let share = [
            bounds.low.map_or(0.0, below),
            bounds.high.map_or(1.0, below),
        ];
        if share[1] - share[0] < LEAST_SHARE {
            let key = if bounds.low.is_some() { "low" } else { "high" };
            let message = "the bounds leave less than 0.1 % of the distribution: it was meant to \
                           lie elsewhere, or they were";
            return Err((key, message.to_owned()));
        }
        Ok(Self {
            shape,
            bounds,
            share,
        })
    }
}

fn ordered(low: f64, high: f64) -> Result<(), Wrong> {
    if low < high {
        Ok(())
    } else {
        Err(("high", "`high` has to lie above `low`".to_owned()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(value: f64, wanted: f64, within: f64) {
        assert!((value - wanted).abs() < within, "{value} against {wanted}");
    }

    /// Critical values of the standard normal distribution, to six digits in Abramowitz, M. and
    /// Stegun, I. A. (1964): Handbook of Mathematical Functions, table 26.5; 0.8413 at 1 and 0.9772 at
    /// 2 in NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.1; both from memory.
    #[test]
    fn normal_quantiles_are_the_published_ones() {
        let standard = Distribution::normal(0.0, 1.0, Bounds::default()).expect("valid");
        for (probability, published) in [
            (0.5, 0.0),
            (0.9, 1.281_552),
            (0.95, 1.644_854),
            (0.975, 1.959_964),
            (0.99, 2.326_348),
            (0.995, 2.575_829),
            (0.999, 3.090_232),
        ] {
            close(standard.value(probability), published, 5e-7);
            close(standard.value(1.0 - probability), -published, 5e-7);
        }
        // Four digits of probability are half a unit of the last at a slope of 4 and 19 units.
        close(standard.value(0.8413), 1.0, 0.5e-4 / 0.242);
        close(standard.value(0.9772), 2.0, 0.5e-4 / 0.054);
        let moved = Distribution::normal(40.0, 2.0, Bounds::default()).expect("valid");
        close(moved.value(0.975), 40.0 + 2.0 * 1.959_964, 1e-6);
    }

    /// Inverses by hand from the straight sides of the density.
    #[test]
    fn uniform_and_triangular_quantiles_follow_from_their_sides() {
        let uniform = Distribution::uniform(2.0, 6.0).expect("valid");
        close(uniform.value(0.25), 3.0, 1e-12);
        // Half of 1 * 0.5 and of 1 * 1.5 on both sides of 1 in 0.5 to 2.5.
        let triangular = Distribution::triangular(0.5, 1.0, 2.5).expect("valid");
        close(triangular.value(0.25), 1.0, 1e-12);
        close(triangular.value(0.0625), 0.75, 1e-12);
        close(triangular.value(0.25 + 0.75 * 0.75), 1.75, 1e-12);
        let one_sided = Distribution::triangular(0.0, 0.0, 1.0).expect("valid");
        close(one_sided.value(0.75), 0.5, 1e-12);
    }

    /// 15.865525 % of a normal distribution lie below one deviation less than its mean (as above).
    #[test]
    fn a_factor_holds_two_thirds_of_a_log_normal_input() {
        let leak = Distribution::log_normal(3.0, 2.0, Bounds::default()).expect("valid");
        close(leak.value(0.5), 3.0, 1e-9);
        close(leak.value(0.158_655_25), 1.5, 1e-6);
        close(leak.value(0.841_344_75), 6.0, 1e-6);
    }

    #[test]
    fn what_is_cut_off_is_spread_over_the_rest() {
        let bounds = Bounds {
            low: Some(0.0),
            high: None,
        };
        let upper_half = Distribution::normal(0.0, 1.0, bounds).expect("valid");
        close(upper_half.value(0.0), 0.0, 1e-12);
        close(upper_half.value(0.95), 1.959_964, 5e-7);
        let both = Bounds {
            low: Some(-1.281_552),
            high: Some(1.281_552),
        };
        let middle = Distribution::normal(0.0, 1.0, both).expect("valid");
        close(middle.value(0.5), 0.0, 1e-9);
        assert!(middle.value(1e-12) >= -1.281_552 && middle.value(1.0 - 1e-12) <= 1.281_552);
        // 0.5 + 0.8 * 0.475 lies below.
        let standard = Distribution::normal(0.0, 1.0, Bounds::default()).expect("valid");
        close(middle.value(0.975), standard.value(0.88), 1e-6);
    }

    #[test]
    fn what_makes_no_distribution_is_told() {
        let open = Bounds::default();
        let of = |low: f64, high: f64| Bounds {
            low: Some(low),
            high: Some(high),
        };
        for (made, key, wanted) in [
            (Distribution::uniform(2.0, 2.0), "high", "above `low`"),
            (
                Distribution::triangular(2.0, 1.0, 3.0),
                "likely",
                "from `low`",
            ),
            (
                Distribution::triangular(2.0, 2.5, 1.0),
                "high",
                "above `low`",
            ),
            (Distribution::normal(1.0, 0.0, open), "deviation", "above 0"),
            (
                Distribution::normal(1.0, 1.0, of(2.0, 1.0)),
                "high",
                "above `low`",
            ),
            (
                Distribution::normal(1.0, 1.0, of(9.0, 10.0)),
                "low",
                "less than 0.1 %",
            ),
            (
                Distribution::log_normal(0.0, 2.0, open),
                "median",
                "above 0",
            ),
            (
                Distribution::log_normal(1.0, 1.0, open),
                "factor",
                "above 1",
            ),
        ] {
            let (at, message) = made.expect_err(wanted);
            assert_eq!(at, key);
            assert!(message.contains(wanted), "{message}");
        }
    }
}

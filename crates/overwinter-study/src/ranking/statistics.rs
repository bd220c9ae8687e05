//! Quantiles, shares and rank correlations of a few numbers.

use std::cmp::Ordering;

use statrs::distribution::{ContinuousCDF, Normal};
use statrs::statistics::{Data, OrderStatistics, RankTieBreaker};

/// Draws below which neither a range nor a driver is told: the outer twentieths of nine values are
/// not among them.
pub const LEAST_DRAWS: usize = 10;
/// Two-sided 5 % point of the standard normal distribution (NIST/SEMATECH e-Handbook of Statistical
/// Methods, section 1.3.6.7.1, table of the cumulative distribution: 0.975 at 1.96; from memory).
const NORMAL_975: f64 = 1.96;

/// Numbers in order of size.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sorted(Vec<f64>);

impl Sorted {
    /// Sorts them.
    pub(super) fn of(values: impl IntoIterator<Item = f64>) -> Self {
        let mut values: Vec<f64> = values.into_iter().collect();
        values.sort_by(f64::total_cmp);
        Self(values)
    }

    /// The value below which the share `p`, 0 to 1, of them lies; `None` of no numbers.
    ///
    /// Position 1 + (n - 1) p in their order, straight between neighbours. Infinite values stand at the
    /// ends: next to one it is infinite.
    ///
    /// # References
    /// R. J. Hyndman and Y. Fan, 1996: Sample quantiles in statistical packages. The American
    /// Statistician 50 (4), 361-365, definition 7 (from memory).
    pub(super) fn quantile(&self, p: f64) -> Option<f64> {
        let last = self.0.len().checked_sub(1)?;
        let position = p.clamp(0.0, 1.0) * last as f64;
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a position in a list"
        )]
        let below = (position.floor() as usize).min(last);
        let low = self.0[below];
        let high = self.0[(below + 1).min(last)];
        // On a value it is that value, even beside an infinite one.
        let share = position - below as f64;
        if share <= 0.0 || low.total_cmp(&high).is_eq() {
            return Some(low);
        }
        Some(low + share * (high - low))
    }

    /// The middle value, or the mean of the two in the middle.
    pub(super) fn median(&self) -> Option<f64> {
        self.quantile(0.5)
    }
}

/// Where a sample lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// How many values it has.
    pub count: usize,
    /// Median.
    pub median: f64,
    /// Mean.
    pub mean: f64,
    /// Its 5 % and 95 % points, of at least [`LEAST_DRAWS`] values.
    pub range: Option<[f64; 2]>,
}

impl Spread {
    /// That of some values; `None` of none.
    pub(crate) fn of(values: &[f64]) -> Option<Self> {
        let sorted = Sorted::of(values.iter().copied());
        let range = || Some([sorted.quantile(0.05)?, sorted.quantile(0.95)?]);
        Some(Self {
            count: values.len(),
            median: sorted.median()?,
            mean: values.iter().sum::<f64>() / values.len() as f64,
            range: range().filter(|_| values.len() >= LEAST_DRAWS),
        })
    }
}

/// Spearman's coefficient of rank correlation, -1 to 1, of pairs of numbers; tied numbers share their
/// mean rank. `None` if one side does not vary, or of fewer than two pairs.
///
/// The product-moment correlation of the ranks, which is 1 - 6 sum(d^2) / (n (n^2 - 1)) without ties.
///
/// # References
/// C. Spearman, 1904: The proof and measurement of association between two things. American Journal
/// of Psychology 15, 72-101 (from memory).
pub(super) fn rank_correlation(x: &[f64], y: &[f64]) -> Option<f64> {
    if x.len() < 2 || x.len() != y.len() {
        return None;
    }
    let (x, y) = (ranks(x), ranks(y));
    let mean = (x.len() + 1) as f64 / 2.0;
    let sum = |a: &[f64], b: &[f64]| -> f64 {
        let product = |(a, b): (&f64, &f64)| (a - mean) * (b - mean);
        a.iter().zip(b).map(product).sum()
    };
    let (xx, yy) = (sum(&x, &x), sum(&y, &y));
    (xx > 0.0 && yy > 0.0).then(|| (sum(&x, &y) / (xx * yy).sqrt()).clamp(-1.0, 1.0))
}

/// The rank correlation that any of so many unrelated inputs exceeds in at most one of twenty samples of
/// `n` draws: z / sqrt(n - 1), with z the point that a standard normal number exceeds, whichever its
/// sign, with a chance of 5 % / `inputs`.
///
/// # References
/// As [`chance_correlation`], with Bonferroni's inequality (from memory).
pub(super) fn chance_correlation_of_any(n: usize, inputs: usize) -> f64 {
    let chance = 0.05 / inputs.max(1) as f64;
    Normal::standard().inverse_cdf(1.0 - chance / 2.0) / ((n.max(2) - 1) as f64).sqrt()
}

/// The rank correlation that unrelated numbers exceed in one of twenty samples of `n` pairs,
/// whichever its sign: 1.96 / sqrt(n - 1), from `n` = [`LEAST_DRAWS`] on within 0.006 of the exact
/// value.
///
/// # References
/// W. J. Conover, 1999: Practical Nonparametric Statistics, 3rd ed., Wiley, section 5.4 (from memory).
pub fn chance_correlation(n: usize) -> f64 {
    NORMAL_975 / ((n.max(2) - 1) as f64).sqrt()
}

fn ranks(values: &[f64]) -> Vec<f64> {
    Data::new(values.to_vec()).ranks(RankTieBreaker::Average)
}

/// Share of pairs in which `is_better(a, b)`; pairs that are equal count half. `None` of no pairs.
pub(super) fn share_better(
    pairs: &[(f64, f64)],
    is_better: impl Fn(f64, f64) -> Option<bool>,
) -> Option<f64> {
    let points = |&(a, b): &(f64, f64)| match is_better(a, b) {
        Some(true) => 1.0,
        Some(false) => 0.0,
        None => 0.5,
    };
    let count = pairs.len();
    (count > 0).then(|| pairs.iter().map(points).sum::<f64>() / count as f64)
}

/// `a` against `b`: whether it is less, or `None` if they are equal.
pub(super) fn is_less(a: f64, b: f64) -> Option<bool> {
    match a.partial_cmp(&b) {
        Some(Ordering::Less) => Some(true),
        Some(Ordering::Greater) => Some(false),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(found: Option<f64>, expected: f64) {
        let found = found.expect("a number");
        assert!((found - expected).abs() < 1e-12, "{found} for {expected}");
    }

    /// By hand: position 1 + (n - 1) p. Of 10, 20, 30, 40 the 5 % point stands at 1.15, which is
    /// 11.5, the median at 2.5, which is 25.
    #[test]
    fn quantiles_are_of_definition_7() {
        let sorted = Sorted::of([30.0, 10.0, 40.0, 20.0]);
        near(sorted.quantile(0.05), 11.5);
        near(sorted.quantile(0.25), 17.5);
        near(sorted.median(), 25.0);
        near(sorted.quantile(0.95), 38.5);
        near(sorted.quantile(0.0), 10.0);
        near(sorted.quantile(1.0), 40.0);
        near(Sorted::of([7.0]).quantile(0.95), 7.0);
        assert_eq!(Sorted::of([]).median(), None);
    }

    /// By hand: 0, 1, .. 20 has its 5 % point at 1 and its 95 % point at 19; nine values have no range.
    #[test]
    fn a_range_needs_ten_values() {
        let numbers = |n: u32| (0..n).map(f64::from).collect::<Vec<_>>();
        let spread = Spread::of(&numbers(21)).expect("values");
        let [low, high] = spread.range.expect("a range");
        near(Some(low), 1.0);
        near(Some(high), 19.0);
        near(Some(spread.mean), 10.0);
        assert_eq!(Spread::of(&numbers(9)).expect("values").range, None);
        assert!(Spread::of(&numbers(10)).expect("values").range.is_some());
        assert_eq!(Spread::of(&[]), None);
    }

    /// S. Siegel, 1956: Nonparametric Statistics for the Behavioral Sciences, McGraw-Hill, chapter 9,
    /// table 9.2: twelve students by authoritarianism and by social status strivings, sum of squared
    /// differences of ranks 52, coefficient 0.82 (from memory).
    #[test]
    fn ranks_correlate_as_in_the_textbook() {
        let authoritarianism = [
            82.0, 98.0, 87.0, 40.0, 116.0, 113.0, 111.0, 83.0, 85.0, 126.0, 106.0, 117.0,
        ];
        let strivings = [
            42.0, 46.0, 39.0, 37.0, 65.0, 88.0, 86.0, 56.0, 62.0, 92.0, 54.0, 81.0,
        ];
        let found = rank_correlation(&authoritarianism, &strivings);
        near(found, 1.0 - 6.0 * 52.0 / (12.0 * 143.0));
        assert_eq!(format!("{:.2}", found.expect("a number")), "0.82");
    }

    /// By hand: ranks 1, 2.5, 2.5, 4 against 1, 3, 2, 4 have sum(xx) = 4.5, sum(yy) = 5 and sum(xy) =
    /// 4.5.
    #[test]
    fn tied_numbers_share_their_mean_rank() {
        let (x, y) = ([1.0, 2.0, 2.0, 9.0], [10.0, 30.0, 20.0, 40.0]);
        near(rank_correlation(&x, &y), 4.5 / (4.5_f64 * 5.0).sqrt());
        near(rank_correlation(&x, &x.map(|x| -x)), -1.0);
        assert_eq!(rank_correlation(&x, &[5.0; 4]), None);
        assert_eq!(rank_correlation(&[1.0], &[2.0]), None);
    }

    /// J. H. Zar, 1972: Significance testing of the Spearman rank correlation coefficient. Journal of
    /// the American Statistical Association 67, 578-580, two-sided 5 % points: 0.648, 0.362, 0.279 and
    /// 0.197 of 10, 30, 50 and 100 pairs (from memory).
    #[test]
    fn chance_reaches_what_the_table_says() {
        for (n, exact) in [(10, 0.648), (30, 0.362), (50, 0.279), (100, 0.197)] {
            let found = chance_correlation(n);
            assert!((found - exact).abs() < 0.006, "{found} of {n}");
        }
    }

    #[test]
    fn equal_pairs_count_half() {
        let pairs = [(1.0, 2.0), (3.0, 2.0), (0.0, -0.0), (5.0, 9.0)];
        near(share_better(&pairs, is_less), 2.5 / 4.0);
        assert_eq!(share_better(&[], is_less), None);
    }
}

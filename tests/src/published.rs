//! Published figures beside ours: what is compared, how near it has to be, and whether it is.
//!
//! A [`Check`] holds numbers, never a verdict: whether it holds follows from them. One that does not
//! hold has to say why, and one that says why must not hold, so that an excuse goes when the fault
//! does. [`readme::assert_current`] keeps the table of the README to the figures of today.

pub mod readme;

/// How far ours may stand from a published value.
#[derive(Clone, Copy, Debug)]
pub enum Tolerance {
    /// In the unit of the figure.
    Absolute(f64),
    /// As a share of the published value.
    Relative(f64),
}

/// What a source says.
#[derive(Clone, Debug)]
pub enum Published {
    /// One value.
    Value {
        /// As published.
        value: f64,
        /// How near ours has to be.
        tolerance: Tolerance,
    },
    /// A band that ours has to lie in.
    Band {
        /// Its lower end.
        low: f64,
        /// Its upper end.
        high: f64,
    },
    /// Many values of one table; `ours` is the greatest distance of any of them.
    Table {
        /// How many values.
        count: usize,
        /// How near each has to be, in the unit of `ours`.
        tolerance: f64,
    },
}

/// One published figure beside ours.
#[derive(Clone, Debug)]
pub struct Check {
    /// What is compared, with the conditions it holds for.
    pub case: String,
    /// Author, year, title, table; or "from memory", "common practice, no source", "computed from
    /// the formula".
    pub source: String,
    /// Unit of the figures, as printed; empty for a plain number.
    pub unit: &'static str,
    /// Decimals to print.
    pub decimals: usize,
    /// What this program gives.
    pub ours: f64,
    /// What the source gives.
    pub published: Published,
    /// Why it does not hold, for one that does not.
    pub falls_short: Option<String>,
}

impl Check {
    /// A published value with an absolute tolerance.
    pub fn value(case: &str, source: &str, ours: f64, value: f64, tolerance: f64) -> Self {
        let tolerance = Tolerance::Absolute(tolerance);
        Self::new(case, source, ours, Published::Value { value, tolerance })
    }

    /// A published value with a tolerance that is a share of it.
    pub fn share_of(case: &str, source: &str, ours: f64, value: f64, share: f64) -> Self {
        let tolerance = Tolerance::Relative(share);
        Self::new(case, source, ours, Published::Value { value, tolerance })
    }

    /// A published band.
    pub fn band(case: &str, source: &str, ours: f64, [low, high]: [f64; 2]) -> Self {
        Self::new(case, source, ours, Published::Band { low, high })
    }

    /// Pairs of ours and published of one table, told by the one farthest apart.
    pub fn table(case: &str, source: &str, pairs: &[[f64; 2]], tolerance: f64) -> Self {
        let apart = pairs
            .iter()
            .map(|[ours, published]| (ours - published).abs());
        // `f64::max` would pass over a figure that is not a number.
        let worst = apart.fold(
            0.0_f64,
            |worst, apart| {
                if apart <= worst { worst } else { apart }
            },
        );
        let count = pairs.len();
        Self::new(case, source, worst, Published::Table { count, tolerance })
    }

    /// The same with a unit.
    #[must_use]
    pub fn unit(mut self, unit: &'static str) -> Self {
        self.unit = unit;
        self
    }

    /// The same, printed with a number of decimals.
    #[must_use]
    pub fn decimals(mut self, decimals: usize) -> Self {
        self.decimals = decimals;
        self
    }

    /// The same, with the reason why it does not hold.
    #[must_use]
    pub fn falls_short(mut self, reason: &str) -> Self {
        self.falls_short = Some(reason.to_owned());
        self
    }

    /// True if ours is as near as it has to be.
    pub fn holds(&self) -> bool {
        match self.published {
            Published::Value { value, tolerance } => {
                let allowed = match tolerance {
                    Tolerance::Absolute(allowed) => allowed,
                    Tolerance::Relative(share) => share * value.abs(),
                };
                (self.ours - value).abs() <= allowed
            }
            Published::Band { low, high } => (low..=high).contains(&self.ours),
            Published::Table { count, tolerance } => count > 0 && self.ours <= tolerance,
        }
    }

    fn new(case: &str, source: &str, ours: f64, published: Published) -> Self {
        Self {
            case: case.to_owned(),
            source: source.to_owned(),
            unit: "",
            decimals: 3,
            ours,
            published,
            falls_short: None,
        }
    }
}

/// Panics with every check that does not hold and gives no reason, or gives one and holds.
///
/// # Panics
/// As said.
pub fn assert_all_hold(checks: &[Check]) {
    assert!(!checks.is_empty(), "no checks");
    let wrong: Vec<String> = checks
        .iter()
        .filter(|check| check.holds() == check.falls_short.is_some())
        .map(|check| format!("{} | holds: {}", readme::row(check), check.holds()))
        .collect();
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_check_holds_by_its_numbers_alone() {
        assert!(Check::value("", "", 1.0, 1.1, 0.11).holds());
        assert!(!Check::value("", "", 1.0, 1.1, 0.09).holds());
        assert!(Check::share_of("", "", 98.0, 100.0, 0.021).holds());
        assert!(!Check::share_of("", "", -98.0, -100.0, 0.019).holds());
        assert!(Check::band("", "", 2.0, [2.0, 3.0]).holds());
        assert!(!Check::band("", "", 3.1, [2.0, 3.0]).holds());
        assert!(!Check::value("", "", f64::NAN, 1.0, 1.0).holds());
    }

    #[test]
    fn a_table_is_told_by_its_worst_pair() {
        let check = Check::table("", "", &[[1.0, 1.0], [2.0, 2.5], [3.0, 2.9]], 0.5);
        assert!((check.ours - 0.5).abs() < 1e-12 && check.holds());
        assert!(!Check::table("", "", &[[1.0, 1.0], [f64::NAN, 2.5]], 0.5).holds());
        assert!(!Check::table("", "", &[], 0.5).holds());
    }

    #[test]
    #[should_panic(expected = "holds: false")]
    fn a_check_that_fails_is_told() {
        assert_all_hold(&[Check::value("", "", 1.0, 2.0, 0.1)]);
    }

    #[test]
    #[should_panic(expected = "holds: true")]
    fn an_excuse_without_a_fault_is_told() {
        assert_all_hold(&[Check::value("", "", 1.0, 1.0, 0.1).falls_short("no reason")]);
    }
}

//! Whether a year was, or was put together from the months of several.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::year::Year;

/// What year a file holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum YearKind {
    /// Months of different years put together: extremes are hidden.
    Typical,
    /// The twelve months of one calendar year.
    Real(i32),
    /// The file does not say from which year its months are.
    Unstated,
}

impl Year {
    /// What year this is, by the years its file gives for the months.
    ///
    /// A file that puts one made-up year before every row counts as that year.
    pub fn kind(&self) -> YearKind {
        match self.source_years {
            None => YearKind::Unstated,
            Some([first, rest @ ..]) if rest.iter().all(|&year| year == first) => {
                YearKind::Real(first)
            }
            Some(_) => YearKind::Typical,
        }
    }
}

/// `typical`, the number of the year, or `unstated`.
impl fmt::Display for YearKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Typical => f.write_str("typical"),
            Self::Real(year) => write!(f, "{year}"),
            Self::Unstated => f.write_str("unstated"),
        }
    }
}

//! A row of the table `savings`, and the ways in which its numbers come about.

use std::sync::Arc;

use crate::money::paired::{Drawn, Paired};
use crate::ranking::{Cell, Spread};

/// The carrier that stands for all of them.
pub(super) const ALL_CARRIERS: &str = "all carriers";

/// One measure of a design against another in a setting. Values are in [`Units::unit`].
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct SavingsRow {
    pub(crate) setting: usize,
    pub(crate) cell: Cell,
    pub(crate) against: Cell,
    pub(crate) measure: &'static str,
    pub(crate) carrier: Option<Arc<str>>,
    pub(crate) units: Units,
    pub(crate) draws: usize,
    pub(crate) against_median: Option<f64>,
    pub(crate) design_median: Option<f64>,
    pub(crate) median: Option<f64>,
    pub(crate) range: Option<[f64; 2]>,
    pub(crate) reached_share: Option<f64>,
    pub(crate) holds_share: Option<f64>,
    pub(crate) band: Option<&'static str>,
    pub(crate) points: Option<f64>,
    pub(crate) share_of_draws: Option<f64>,
    pub(crate) note: Option<Arc<str>>,
}

/// The unit of a row, and what a value is times in its twin.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Units {
    pub(crate) unit: Option<Arc<str>>,
    pub(crate) us_unit: Option<Arc<str>>,
    pub(crate) us_times: f64,
}

impl Units {
    /// A unit that is the same in both systems.
    pub(super) fn same(unit: &str) -> Self {
        Self::twins(unit, unit, 1.0)
    }

    /// A unit and its twin.
    pub(super) fn twins(unit: &str, us_unit: &str, us_times: f64) -> Self {
        Self {
            unit: Some(Arc::from(unit)),
            us_unit: Some(Arc::from(us_unit)),
            us_times,
        }
    }
}

impl SavingsRow {
    /// A row without numbers.
    pub(super) fn blank(paired: &Paired<'_>, measure: &'static str) -> Self {
        Self {
            setting: paired.setting,
            cell: paired.cell,
            against: paired.against,
            measure,
            carrier: None,
            units: Units::default(),
            draws: paired.draws.len(),
            against_median: None,
            design_median: None,
            median: None,
            range: None,
            reached_share: None,
            holds_share: None,
            band: None,
            points: None,
            share_of_draws: None,
            note: None,
        }
    }

    /// What the other has more of than the design, draw by draw.
    pub(super) fn saved(
        paired: &Paired<'_>,
        measure: &'static str,
        units: Units,
        of: impl Fn(&Drawn<'_>) -> Option<[f64; 2]>,
    ) -> Option<Self> {
        Self::both(paired, measure, units, of, |[base, design]| base - design)
    }

    /// What the design has more of than the other, draw by draw.
    pub(super) fn extra(
        paired: &Paired<'_>,
        measure: &'static str,
        units: Units,
        of: impl Fn(&Drawn<'_>) -> Option<[f64; 2]>,
    ) -> Option<Self> {
        Self::both(paired, measure, units, of, |[base, design]| design - base)
    }

    /// Numbers of both, that of the other first, and a difference of them.
    fn both(
        paired: &Paired<'_>,
        measure: &'static str,
        units: Units,
        of: impl Fn(&Drawn<'_>) -> Option<[f64; 2]>,
        difference: fn(&[f64; 2]) -> f64,
    ) -> Option<Self> {
        let both: Vec<[f64; 2]> = paired.draws.iter().filter_map(of).collect();
        let list = |of: fn(&[f64; 2]) -> f64| both.iter().map(of).collect::<Vec<f64>>();
        let spread = Spread::of(&list(difference))?;
        let median = |values: Vec<f64>| Spread::of(&values).map(|spread| spread.median);
        Some(Self {
            units,
            draws: both.len(),
            against_median: median(list(|[base, _]| *base)),
            design_median: median(list(|[_, design]| *design)),
            median: Some(spread.median),
            range: spread.range,
            ..Self::blank(paired, measure)
        })
    }

    /// A number of each draw.
    pub(super) fn one(
        paired: &Paired<'_>,
        measure: &'static str,
        units: Units,
        of: impl Fn(&Drawn<'_>) -> f64,
    ) -> Option<Self> {
        let values: Vec<f64> = paired.draws.iter().map(of).collect();
        let spread = Spread::of(&values)?;
        Some(Self {
            units,
            median: Some(spread.median),
            range: spread.range,
            ..Self::blank(paired, measure)
        })
    }

    /// A number that not every draw has, with the share of those that do: median and range are those
    /// of the draws that have it. An infinite one stands beyond the others and is not told.
    pub(super) fn where_there(
        paired: &Paired<'_>,
        measure: &'static str,
        units: Units,
        of: impl Fn(&Drawn<'_>) -> Option<f64>,
    ) -> Self {
        let values: Vec<f64> = paired.draws.iter().filter_map(of).collect();
        let spread = Spread::of(&values);
        let told = values.iter().filter(|value| value.is_finite());
        Self {
            units,
            median: spread
                .map(|spread| spread.median)
                .filter(|median| median.is_finite()),
            range: spread.and_then(|spread| spread.range),
            reached_share: Some(share(told.count(), paired)),
            ..Self::blank(paired, measure)
        }
    }

    pub(super) fn carrier(self, carrier: &str) -> Self {
        Self {
            carrier: Some(Arc::from(carrier)),
            ..self
        }
    }
}

/// A number of draws as a share of them.
pub(super) fn share(count: usize, paired: &Paired<'_>) -> f64 {
    count as f64 / paired.draws.len().max(1) as f64
}

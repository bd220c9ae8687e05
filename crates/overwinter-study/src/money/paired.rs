//! Each design beside the one that it is compared with, draw by draw.

use overwinter_economics::{CashFlow, Comparison, EconomicsError};

use super::used::CaseMoney;
use crate::ranking::{Cell, Grid, RankingPlan};

/// The money of every case, in order; `None` of one that failed or counts none.
pub(crate) type Cases<'a> = &'a [Option<&'a CaseMoney>];

/// A design in a setting against another.
pub(crate) struct Paired<'a> {
    /// Index of the setting.
    pub(crate) setting: usize,
    /// The design.
    pub(crate) cell: Cell,
    /// What it is compared with.
    pub(crate) against: Cell,
    /// The draws that ran with both and are counted in one currency.
    pub(crate) draws: Vec<Drawn<'a>>,
    /// Why a draw cannot be counted, of the first one that cannot.
    pub(crate) refused: Option<String>,
}

/// One draw of both.
pub(crate) struct Drawn<'a> {
    /// Its number, from 0.
    pub(crate) draw: usize,
    /// Money of the one that it is compared with.
    pub(crate) base: &'a CaseMoney,
    /// Money of the design.
    pub(crate) design: &'a CaseMoney,
    /// What the design saves.
    pub(crate) comparison: Comparison,
}

/// All designs that are compared with another, setting by setting.
pub(crate) fn all<'a>(grid: &Grid, plan: &RankingPlan, cases: Cases<'a>) -> Vec<Paired<'a>> {
    let mut found = Vec::new();
    for (setting, of) in grid.settings.iter().enumerate() {
        let Some(against) = of.baseline(grid) else {
            continue;
        };
        let others = of.cells.iter().filter(|cell| **cell != against);
        found.extend(others.map(|cell| paired(setting, *cell, against, plan.draws(), cases)));
    }
    found
}

fn paired<'a>(
    setting: usize,
    cell: Cell,
    against: Cell,
    draws: usize,
    cases: Cases<'a>,
) -> Paired<'a> {
    let mut paired = Paired {
        setting,
        cell,
        against,
        draws: Vec::new(),
        refused: None,
    };
    let of = |cell: Cell, draw: usize| cases.get(cell.first_case + draw).copied().flatten();
    for draw in 0..draws {
        let (Some(base), Some(design)) = (of(against, draw), of(cell, draw)) else {
            continue;
        };
        let compared = compared(base, design).map(|comparison| Drawn {
            draw,
            base,
            design,
            comparison,
        });
        match compared {
            Ok(drawn) => paired.draws.push(drawn),
            Err(reason) => {
                paired.refused.get_or_insert(reason);
            }
        }
    }
    paired
}

/// What a design saves, or why that cannot be told.
fn compared(base: &CaseMoney, design: &CaseMoney) -> Result<Comparison, String> {
    let [ours, theirs] = [design, base].map(|money| &money.stated);
    if ours.currency != theirs.currency {
        return Err(format!(
            "prices in {} and in {} cannot be compared",
            ours.currency, theirs.currency
        ));
    }
    if ours.terms != theirs.terms {
        return Err("the two designs are judged over other years or at another rate".to_owned());
    }
    comparison(base, design).map_err(|error| error.to_string())
}

fn comparison(base: &CaseMoney, design: &CaseMoney) -> Result<Comparison, EconomicsError> {
    let light = design.light_value_against(base);
    Comparison::new(
        &base.plan("", None),
        &design.plan("", light),
        &design.terms()?,
    )
}

impl Drawn<'_> {
    /// The years of the design, with the value of its light.
    pub(crate) fn cash_flow(&self) -> Result<CashFlow, EconomicsError> {
        let light = self.design.light_value_against(self.base);
        CashFlow::new(&self.design.plan("", light), &self.design.terms()?)
    }
}

impl<'a> Paired<'a> {
    /// The draw in the middle by net saving; of two in the middle the one that saves less.
    pub(crate) fn middle(&self) -> Option<&Drawn<'a>> {
        let mut order: Vec<&Drawn<'_>> = self.draws.iter().collect();
        let saving = |drawn: &Drawn<'_>| drawn.comparison.net_saving;
        order.sort_by(|a, b| saving(a).total_cmp(&saving(b)).then(a.draw.cmp(&b.draw)));
        let middle = order.len().checked_sub(1)? / 2;
        order.get(middle).copied()
    }
}

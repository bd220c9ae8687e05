//! Which tables a run has.

use serde::{Deserialize, Serialize};

use super::{Table, balance, cases, frost_risk, fuel_use, hourly, moisture, night, outages};
use crate::case::Study;
use crate::money::costs;
use crate::run::CaseRows;
use crate::sampling::Sampled;

/// Which tables a run has, whatever becomes of its cases.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Wanted {
    /// Names of the axes, which are columns.
    pub axis_names: Vec<String>,
    /// The sampled inputs, which are columns.
    pub sampled: Vec<Sampled>,
    /// True if some case tries failures.
    pub failures: bool,
    /// True if some case counts money.
    pub money: bool,
    /// True if every hour is kept.
    pub hourly: bool,
}

impl Wanted {
    /// Those of a study.
    pub fn of(study: &Study) -> Self {
        Self {
            axis_names: study.axis_names.clone(),
            sampled: study.sampled.clone(),
            failures: study.cases.features().tries_failures,
            money: study.cases.features().counts_money,
            hourly: study.wants_hourly,
        }
    }

    /// The tables of some cases, in the order of [`Self::names`]; without cases they have no rows.
    pub fn tables(&self, rows: &[CaseRows]) -> Vec<Table> {
        let cases = || rows.iter();
        let mut tables = vec![
            cases::table(
                cases().map(|rows| &rows.case),
                &self.axis_names,
                &self.sampled,
            ),
            fuel_use::table(cases().flat_map(|rows| &rows.fuel_use)),
            frost_risk::table(cases().flat_map(|rows| &rows.frost_risk)),
            moisture::table(cases().flat_map(|rows| &rows.moisture)),
            balance::table(cases().flat_map(|rows| &rows.balance)),
        ];
        if self.money {
            let costs =
                cases().flat_map(|rows| costs::rows(rows.case.case_id, rows.money.as_ref()));
            tables.push(costs::table(&costs.collect::<Vec<_>>()));
        }
        if self.failures {
            let tried = || cases().filter_map(|rows| rows.outages.as_ref());
            tables.push(outages::table(tried().flat_map(|tried| &tried.rows)));
            tables.push(night::table(tried().flat_map(|tried| &tried.curves)));
        }
        if self.hourly {
            tables.push(hourly::table(
                cases().filter_map(|rows| rows.hourly.as_ref()),
            ));
        }
        tables
    }

    /// Their names.
    pub fn names(&self) -> impl Iterator<Item = &'static str> {
        let failures = self.failures.then_some(["outages", "night"]);
        ["cases", "fuel_use", "frost_risk", "moisture", "balance"]
            .into_iter()
            .chain(self.money.then_some("costs"))
            .chain(failures.into_iter().flatten())
            .chain(self.hourly.then_some("hourly"))
    }
}

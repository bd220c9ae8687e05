//! What is noted of a part beside its tables.

use std::ops::Range;

use serde::{Deserialize, Serialize};

use super::TOLD_CASES;
use crate::case::Study;
use crate::money::CaseMoney;
use crate::ranking::{Measures, RankingPlan};
use crate::run::CaseRows;
use crate::summary::{self, CaseSummary};

/// A part: some cases in a row.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct Part {
    /// SHA-256 of the plan of its run.
    pub(super) plan_sha256: String,
    /// Number of its first case, from 1.
    pub(super) first_case: usize,
    /// One entry a case.
    pub(super) cases: Vec<CaseNote>,
    /// Its files; none before it is written.
    pub(super) files: Vec<TableFile>,
}

/// What is noted of a case.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CaseNote {
    /// Why it failed, if it did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub failed: Option<String>,
    /// What the screen tells of it, for the first cases.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub summary: Option<CaseSummary>,
    /// What designs are compared by, if it ran and there is something to compare.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measures: Option<Measures>,
    /// What it costs, if it ran and its scenario counts money.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub money: Option<CaseMoney>,
}

impl CaseNote {
    pub(super) fn of(study: &Study, plan: &RankingPlan, rows: &CaseRows) -> Self {
        let is_told = rows.case.case_id <= TOLD_CASES;
        Self {
            failed: rows.case.reason().map(str::to_owned),
            summary: is_told.then(|| summary::summary(study, rows)),
            measures: plan
                .has_tables()
                .then(|| Measures::of(rows, plan))
                .flatten(),
            money: rows.money.clone(),
        }
    }
}

/// A file of a part.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub(super) struct TableFile {
    /// Its table.
    pub(super) table: String,
    /// Rows.
    pub(super) rows: usize,
    /// SHA-256 of its bytes.
    pub(super) sha256: String,
}

impl Part {
    pub(super) fn new(plan_sha256: &str, block: &Range<usize>, cases: Vec<CaseNote>) -> Self {
        Self {
            plan_sha256: plan_sha256.to_owned(),
            first_case: block.start + 1,
            cases,
            files: Vec::new(),
        }
    }

    /// Its cases, counted from 0.
    pub(super) fn block(&self) -> Range<usize> {
        let start = self.first_case.saturating_sub(1);
        start..start.saturating_add(self.cases.len())
    }

    /// How many of its cases failed.
    pub(super) fn failed(&self) -> usize {
        self.cases
            .iter()
            .filter(|case| case.failed.is_some())
            .count()
    }
}

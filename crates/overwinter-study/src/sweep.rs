//! A run of many cases into a folder: in parts that are complete once they are there, so that a run
//! that was stopped at any moment goes on where it was, and in shares that several machines take.
//!
//! ```text
//! Study ─> blocks of cases ─> DIR/parts/cases-000001-000064/ (tables, part.json) ─> gather ─> DIR
//! ```
//! The blocks follow from the study alone, and a block is computed by one thread from start to end, so
//! that the tables are the same to the bit for any number of threads, shares and interruptions.

mod blocks;
mod estimate;
mod gather;
mod part;
mod parts;
mod plan;

use std::fmt::Display;
use std::ops::Range;
use std::path::Path;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use overwinter_weather::Year;

use crate::case::{Case, Study};
use crate::output::{OutputError, OutputFolder};
use crate::run::{self, CaseRows, Seasons, Stepped, TOGETHER};
use crate::suns::SunStore;

pub use blocks::Shard;
pub use estimate::{Estimate, estimate};
pub use gather::{GatherError, Gathered, gather};
pub use part::CaseNote;
pub use plan::{Plan, Remarks};

use part::Part;
use parts::PartsFolder;

/// Cases of which the screen tells one by one.
pub const TOLD_CASES: usize = 100;

/// How far a run is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Progress {
    /// Cases that have ended, those of an earlier run included.
    pub done: usize,
    /// Cases in all.
    pub total: usize,
    /// Of those that ended, the cases that failed.
    pub failed: usize,
    /// Of those that ended, the cases that an earlier run had left.
    pub kept: usize,
}

/// How to run.
#[derive(Debug)]
pub struct How<'a> {
    /// Threads, one for each core if `None`.
    pub threads: Option<usize>,
    /// The share of the cases to run.
    pub shard: Shard,
    /// Set from outside to end the run early.
    pub stop: &'a AtomicBool,
}

/// A study on its way into a folder.
#[derive(Debug)]
pub struct Sweep<'a> {
    study: &'a Study,
    plan: Plan,
    plan_sha256: String,
    folder: OutputFolder,
    parts: PartsFolder,
}

impl<'a> Sweep<'a> {
    /// Makes sure that the results of a study can be written to a folder. A folder with parts of the
    /// same run is gone on with; one with finished results is refused unless `replace`.
    ///
    /// # Errors
    /// [`OutputError`] if the folder takes no files, holds results, or holds parts of another run.
    pub fn open(study: &'a Study, path: &Path, replace: bool) -> Result<Self, OutputError> {
        let plan = Plan::of(study);
        let plan_sha256 = plan.sha256()?;
        let started = PartsFolder::in_folder(path);
        let goes_on = started.holds(&plan);
        if !goes_on && !replace && started.is_begun() {
            return Err(OutputError::AnotherRun { path: path.into() });
        }
        let folder = OutputFolder::prepare(path, replace || goes_on)?;
        // Shares begin at the same time in one folder: what another has begun of this run stays.
        if started.is_begun() && !started.holds(&plan) {
            started.remove()?;
        }
        Ok(Self {
            study,
            parts: started,
            plan,
            plan_sha256,
            folder,
        })
    }

    /// What is run.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// The folder.
    pub fn folder(&self) -> &OutputFolder {
        &self.folder
    }

    /// Runs the cases that are not there yet and returns how far it came. `progress` is called from
    /// any thread, first with what an earlier run had left.
    ///
    /// # Errors
    /// [`OutputError`] if a part cannot be written; the parts that are there stay.
    pub fn run(
        &self,
        how: &How<'_>,
        progress: &(dyn Fn(Progress) + Sync),
    ) -> Result<Progress, OutputError> {
        let suns = SunStore::new(&self.study.climates);
        self.run_seasons(how, progress, &|cases| run::step(&suns, cases))
    }

    /// As [`Self::run`], with `season`, which steps one case through one year.
    ///
    /// # Errors
    /// As [`Self::run`].
    pub fn run_with<E: Display>(
        &self,
        how: &How<'_>,
        progress: &(dyn Fn(Progress) + Sync),
        season: &(dyn Fn(&Case, &Year) -> Result<Stepped, E> + Sync),
    ) -> Result<Progress, OutputError> {
        self.run_seasons(how, progress, &run::one_by_one(season))
    }

    fn run_seasons(
        &self,
        how: &How<'_>,
        progress: &(dyn Fn(Progress) + Sync),
        seasons: &Seasons<'_>,
    ) -> Result<Progress, OutputError> {
        self.parts.begin(&self.plan)?;
        let _lock = self.parts.lock(how.shard != Shard::ALL)?;
        let (missing, kept) = self.missing(how.shard)?;
        let count = Mutex::new(kept);
        progress(kept);
        let next = AtomicUsize::new(0);
        let wrong: Mutex<Option<OutputError>> = Mutex::new(None);
        let is_over = || how.stop.load(Ordering::Relaxed) || held(&wrong).is_some();
        let work = || {
            while let Some(block) = missing.get(next.fetch_add(1, Ordering::Relaxed)) {
                let Some(rows) = self.block(block, seasons, &is_over, &|failed| {
                    let mut count = held(&count);
                    count.done += 1;
                    count.failed += usize::from(failed);
                    progress(*count);
                }) else {
                    return;
                };
                if let Err(error) = self.keep(block, &rows) {
                    held(&wrong).get_or_insert(error);
                    return;
                }
            }
        };
        run::on_threads(how.threads, missing.len(), &work);
        match held(&wrong).take() {
            Some(error) => Err(error),
            None => self.missing(how.shard).map(|(_, kept)| kept),
        }
    }

    /// Joins the parts into the tables of the folder, writes the manifest and takes the parts away.
    ///
    /// # Errors
    /// [`GatherError`] if parts are missing or the tables cannot be written.
    pub fn finish(&self, threads: Option<usize>) -> Result<Gathered, GatherError> {
        let lock = self.parts.lock(false)?;
        let gathered = gather::into(
            &self.plan,
            std::slice::from_ref(&self.parts),
            &self.folder,
            threads,
        )?;
        drop(lock);
        self.parts.remove()?;
        Ok(gathered)
    }

    /// The blocks of a share that are not there yet, and what is.
    fn missing(&self, shard: Shard) -> Result<(Vec<Range<usize>>, Progress), OutputError> {
        let blocks: Vec<_> = self.plan.blocks(shard).collect();
        let mut progress = Progress {
            total: blocks.iter().map(ExactSizeIterator::len).sum(),
            ..Progress::default()
        };
        let mut missing = Vec::new();
        for block in blocks {
            match self.parts.read(&self.plan, &self.plan_sha256, &block)? {
                Some(part) => {
                    progress.done += block.len();
                    progress.kept += block.len();
                    progress.failed += part.failed();
                }
                None => missing.push(block),
            }
        }
        Ok((missing, progress))
    }

    /// The rows of a block, or `None` if the run is to end.
    fn block(
        &self,
        block: &Range<usize>,
        seasons: &Seasons<'_>,
        is_over: &dyn Fn() -> bool,
        ended: &dyn Fn(bool),
    ) -> Option<Vec<CaseRows>> {
        let mut all: Vec<CaseRows> = Vec::with_capacity(block.len());
        for start in block.clone().step_by(TOGETHER) {
            if is_over() {
                return None;
            }
            let rows = run::run_cases(self.study, start..block.end.min(start + TOGETHER), seasons);
            rows.iter()
                .for_each(|rows| ended(rows.case.reason().is_some()));
            all.extend(rows);
        }
        Some(all)
    }

    fn keep(&self, block: &Range<usize>, rows: &[CaseRows]) -> Result<(), OutputError> {
        let note = |rows| CaseNote::of(self.study, &self.plan.ranking, rows);
        let notes = rows.iter().map(note).collect();
        let tables = self.plan.wanted().tables(rows);
        let part = Part::new(&self.plan_sha256, block, notes);
        self.parts.write(&self.plan, &part, &tables)
    }
}

fn held<T>(mutex: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    // A count or an error is whole whatever happened to the thread that set it.
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests;

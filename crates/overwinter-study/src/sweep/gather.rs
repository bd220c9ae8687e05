//! From parts to the tables of a folder.

use std::ops::Range;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use super::blocks::Shard;
use super::held;
use super::part::{CaseNote, Part};
use super::parts::PartsFolder;
use super::plan::Plan;
use crate::manifest::TableEntry;
use crate::money::{self, CaseMoney, MoneyDigest};
use crate::output::{OutputError, OutputFolder, TableFiles, parquet_bytes};
use crate::ranking::{self, Digest, Measures, WorstYears};
use crate::run::on_threads;
use crate::tables::Table;

/// What was joined.
#[derive(Debug)]
pub struct Gathered {
    /// The plan of the run.
    pub plan: Plan,
    /// Every case, in order.
    pub notes: Vec<CaseNote>,
    /// What the draws gave in short, where there are several.
    pub digest: Option<Digest>,
    /// The worst of the calendar years of a place, where there are several.
    pub worst_years: Vec<WorstYears>,
    /// What designs cost and save over the years, where the scenario counts money.
    pub money: Option<MoneyDigest>,
    /// The tables written.
    pub tables: Vec<TableEntry>,
}

impl Gathered {
    /// Number of cases that failed.
    pub fn failed(&self) -> usize {
        self.notes
            .iter()
            .filter(|note| note.failed.is_some())
            .count()
    }
}

/// Why parts cannot be joined.
#[derive(Debug, thiserror::Error)]
pub enum GatherError {
    /// A folder is not there.
    #[error("{} is no folder", path.display())]
    NoFolder {
        /// Its path.
        path: PathBuf,
    },
    /// The plan in a folder of parts cannot be read.
    #[error("the plan of the run in {} cannot be read", path.display())]
    NoPlan {
        /// The folder.
        path: PathBuf,
    },
    /// A folder has no parts.
    #[error("{} holds no parts of a run", path.display())]
    NoParts {
        /// The folder.
        path: PathBuf,
    },
    /// Two folders hold parts of different runs.
    #[error("{} and {} hold parts of different runs", first.display(), second.display())]
    Different {
        /// A folder.
        first: PathBuf,
        /// Another.
        second: PathBuf,
    },
    /// Cases are missing.
    #[error("{missing} of {cases} cases are missing, the first of them case {first}")]
    Missing {
        /// Cases without a part.
        missing: usize,
        /// Cases in all.
        cases: usize,
        /// The first one missing, from 1.
        first: usize,
    },
    /// Reading or writing failed.
    #[error(transparent)]
    Output(#[from] OutputError),
}

/// Joins the parts in the folders of several shares of one run into `out`; the folders stay as they are.
///
/// # Errors
/// [`GatherError`]
pub fn gather(
    folders: &[PathBuf],
    out: &Path,
    replace: bool,
    threads: Option<usize>,
) -> Result<(Gathered, OutputFolder), GatherError> {
    let mut plan: Option<(Plan, &PathBuf)> = None;
    let mut all = Vec::new();
    for path in folders {
        let parts = PartsFolder::in_folder(path);
        let Some(found) = parts.plan() else {
            return Err(without_plan(path, &parts));
        };
        match &plan {
            Some((first, of)) if *first != found => {
                return Err(GatherError::Different {
                    first: (*of).clone(),
                    second: path.clone(),
                });
            }
            Some(_) => {}
            None => plan = Some((found, path)),
        }
        all.push(parts);
    }
    let Some((plan, _)) = plan else {
        return Err(GatherError::NoParts { path: out.into() });
    };
    let placed = placed(&plan, &all)?;
    let there = PartsFolder::in_folder(out);
    let is_of_another = there.is_begun() && !there.holds(&plan);
    if is_of_another && !replace {
        return Err(OutputError::AnotherRun { path: out.into() }.into());
    }
    let folder = OutputFolder::prepare(out, replace)?;
    if is_of_another {
        there.remove()?;
    }
    match join(&plan, &all, placed, &folder, threads) {
        Ok(gathered) => Ok((gathered, folder)),
        Err(error) => {
            folder.discard_empty();
            Err(error)
        }
    }
}

/// Why a folder has no plan.
fn without_plan(path: &Path, parts: &PartsFolder) -> GatherError {
    let path = path.to_owned();
    if !path.is_dir() {
        GatherError::NoFolder { path }
    } else if parts.is_begun() {
        GatherError::NoPlan { path }
    } else {
        GatherError::NoParts { path }
    }
}

/// Joins the parts of a plan into a folder.
pub(super) fn into(
    plan: &Plan,
    all: &[PartsFolder],
    folder: &OutputFolder,
    threads: Option<usize>,
) -> Result<Gathered, GatherError> {
    let placed = placed(plan, all)?;
    join(plan, all, placed, folder, threads)
}

/// A part and the folder, by index, in which it is.
struct Placed {
    block: Range<usize>,
    part: Part,
    folder: usize,
}

/// All parts in order, each in the first folder that has it whole.
fn placed(plan: &Plan, all: &[PartsFolder]) -> Result<Vec<Placed>, GatherError> {
    let plan_sha256 = plan.sha256()?;
    let mut found = Vec::new();
    let mut missing: Vec<Range<usize>> = Vec::new();
    for block in plan.blocks(Shard::ALL) {
        let mut place = None;
        for (folder, parts) in all.iter().enumerate() {
            if let Some(part) = parts.read(plan, &plan_sha256, &block)? {
                place = Some((part, folder));
                break;
            }
        }
        match place {
            Some((part, folder)) => found.push(Placed {
                block,
                part,
                folder,
            }),
            None => missing.push(block),
        }
    }
    match missing.first() {
        Some(first) => Err(GatherError::Missing {
            missing: missing.iter().map(ExactSizeIterator::len).sum(),
            cases: plan.cases(),
            first: first.start + 1,
        }),
        None => Ok(found),
    }
}

fn join(
    plan: &Plan,
    all: &[PartsFolder],
    placed: Vec<Placed>,
    folder: &OutputFolder,
    threads: Option<usize>,
) -> Result<Gathered, GatherError> {
    // Tables without rows: their columns and what they mean.
    let tables = plan.wanted().tables(&[]);
    let done: Mutex<Vec<(usize, Result<TableFiles, OutputError>)>> = Mutex::default();
    let next = AtomicUsize::new(0);
    let work = || {
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(table) = tables.get(at) else { return };
            let joined = join_one(table, all, &placed, folder);
            held(&done).push((at, joined));
        }
    };
    on_threads(threads, tables.len(), &work);
    let mut done = done.into_inner().unwrap_or_else(PoisonError::into_inner);
    done.sort_by_key(|(at, _)| *at);
    let mut files: Vec<TableFiles> = done
        .into_iter()
        .map(|(_, files)| files)
        .collect::<Result<_, _>>()?;
    let notes: Vec<CaseNote> = placed
        .into_iter()
        .flat_map(|placed| placed.part.cases)
        .collect();
    let measures: Vec<Option<&Measures>> =
        notes.iter().map(|note| note.measures.as_ref()).collect();
    let mut compared = ranking::tables(&plan.ranking, &measures);
    let mut money = None;
    if plan.wanted().money {
        let cases: Vec<Option<&CaseMoney>> = notes.iter().map(|note| note.money.as_ref()).collect();
        let (tables, digest) = money::joined(&plan.ranking, &cases);
        compared.extend(tables);
        money = digest;
    }
    let digest = ranking::digest(&plan.ranking, &measures);
    let worst_years = ranking::worst_years(&plan.ranking, &measures);
    for table in &compared {
        files.push(written_at_once(table, folder)?);
    }
    let entries: Vec<TableEntry> = tables
        .iter()
        .chain(&compared)
        .zip(&files)
        .map(|(table, files)| TableEntry::of(table, files.rows()))
        .collect();
    let manifest = plan.manifest.with_tables(entries.clone());
    folder.complete(files, &manifest)?;
    Ok(Gathered {
        plan: plan.clone(),
        notes,
        digest,
        worst_years,
        money,
        tables: entries,
    })
}

/// A table that is there as a whole.
fn written_at_once(table: &Table, folder: &OutputFolder) -> Result<TableFiles, OutputError> {
    let mut files = folder.begin(table)?;
    files.add(parquet_bytes(table, folder.path())?)?;
    files.finish()?;
    Ok(files)
}

fn join_one(
    table: &Table,
    all: &[PartsFolder],
    placed: &[Placed],
    folder: &OutputFolder,
) -> Result<TableFiles, OutputError> {
    let mut files = folder.begin(table)?;
    for Placed { block, folder, .. } in placed {
        files.add(all[*folder].table(block, table.name)?)?;
    }
    files.finish()?;
    Ok(files)
}

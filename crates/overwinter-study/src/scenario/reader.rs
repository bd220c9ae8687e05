//! From the tree of a scenario to its cases, one by one and from any thread.

use std::cell::RefCell;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use overwinter_engine::events::EventPlan;
use rayon::iter::{IntoParallelIterator, ParallelIterator};

use super::context::Context;
use super::inflation::Dampers;
use super::schedule::Schedules;
use super::{HEADER_KEYS, building, crop, failures, money, prices, weather};
use crate::case::{Case, Climate};
use crate::case_list::{CaseList, NotSet};
use crate::cases::MOST_HELD;
use crate::catalogue::catalogue;
use crate::climate::{Shelf, UNKNOWN_CLIMATE};
use crate::document::{Bringers, Findings, Node, Part};
use crate::error::Problem;
use crate::features::Features;

/// Problems after which reading further cases adds nothing a user would want.
const ENOUGH_PROBLEMS: usize = 25;
/// Cases that one thread checks at a time.
const CHUNK: usize = 256;

/// All that is needed to build any case of a scenario.
#[derive(Debug)]
pub(crate) struct CaseReader {
    document: Node,
    list: CaseList,
    bringers: Arc<Bringers>,
    shelf: Mutex<Shelf>,
    schedules: Mutex<Schedules>,
    dampers: Mutex<Dampers>,
    features: Features,
}

/// What checking some cases gave.
#[derive(Default)]
struct Looked {
    cases: Vec<Case>,
    climates: Vec<usize>,
    features: Features,
}

impl CaseReader {
    pub(crate) fn new(document: Node, list: CaseList, shelf: Shelf) -> Self {
        Self {
            bringers: list.bringers(),
            document,
            list,
            shelf: Mutex::new(shelf),
            schedules: Mutex::default(),
            dampers: Mutex::default(),
            features: Features::default(),
        }
    }

    /// How many cases there are.
    pub(crate) fn len(&self) -> usize {
        self.list.len()
    }

    /// Which cases there are.
    pub(crate) fn list(&self) -> &CaseList {
        &self.list
    }

    /// What the cases have among them; nothing before [`Self::check`].
    pub(crate) fn features(&self) -> &Features {
        &self.features
    }

    /// The climates read so far.
    pub(crate) fn climates(&self) -> Vec<Climate> {
        self.shelf().climates()
    }

    /// Builds a case, counted from 0.
    pub(crate) fn case(&self, index: usize) -> Result<Case, Vec<Problem>> {
        let findings = RefCell::new(Findings::only_problems(&self.bringers));
        let case = self.read(index, &findings);
        case.ok_or_else(|| findings.into_inner().problems)
    }

    /// Reads every case, adds what is found to `findings`, and gives the cases if they are few. Of many
    /// cases with sampled inputs, every design is read at the ends of the inputs.
    ///
    /// Climates are numbered in the order of the cases, whichever thread reads them first.
    pub(crate) fn check(&mut self, findings: &mut Findings) -> Option<Vec<Case>> {
        let count = self.readings();
        let first = RefCell::new(std::mem::take(findings));
        let mut looked = vec![self.look(0..count.min(CHUNK), &first)];
        *findings = first.into_inner();
        let chunks = (1..count.div_ceil(CHUNK)).into_par_iter().map(|chunk| {
            let found = RefCell::new(Findings::beside(&self.bringers));
            let start = chunk * CHUNK;
            let looked = self.look(start..count.min(start + CHUNK), &found);
            (looked, found.into_inner())
        });
        for (more, found) in chunks.collect::<Vec<_>>() {
            if findings.problems.len() >= ENOUGH_PROBLEMS {
                break;
            }
            looked.push(more);
            findings.add(found);
        }
        let used = looked.iter().flat_map(|looked| &looked.climates).copied();
        let used: Vec<usize> = used.collect();
        let order = self.shelf().put_in_order(&used);
        let features = looked
            .iter_mut()
            .map(|looked| std::mem::take(&mut looked.features));
        self.features = features.fold(Features::default(), Features::with);
        self.features.renumber(&order);
        self.holds().then(|| looked.swap_remove(0).cases)
    }

    /// True if all cases are built once and held.
    fn holds(&self) -> bool {
        self.len() <= MOST_HELD
    }

    /// How many scenarios are read to find every mistake.
    fn readings(&self) -> usize {
        if self.holds() {
            self.len()
        } else {
            self.list.probes()
        }
    }

    fn look(&self, readings: std::ops::Range<usize>, findings: &RefCell<Findings>) -> Looked {
        let mut looked = Looked::default();
        for reading in readings {
            if findings.borrow().problems.len() >= ENOUGH_PROBLEMS {
                break;
            }
            let case = if self.holds() {
                self.read(reading, findings)
            } else {
                let (index, tree) = self.list.probe(&self.document, reading);
                self.read_tree(index, tree, findings)
            };
            if let Some(case) = case {
                looked.features.add(&case);
                if !looked.climates.contains(&case.climate) {
                    looked.climates.push(case.climate);
                }
                if self.holds() {
                    looked.cases.push(case);
                }
            }
        }
        looked
    }

    fn shelf(&self) -> MutexGuard<'_, Shelf> {
        // A thread that panicked while it read a file has left the shelf as it was.
        self.shelf.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn read(&self, index: usize, findings: &RefCell<Findings>) -> Option<Case> {
        let tree = self.list.document(&self.document, index);
        self.read_tree(index, tree, findings)
    }

    fn read_tree(
        &self,
        index: usize,
        tree: Result<Node, Vec<NotSet>>,
        findings: &RefCell<Findings>,
    ) -> Option<Case> {
        match tree {
            Ok(document) => {
                let root = Part::root(&document, findings);
                self.build(&root, index)
            }
            Err(problems) => {
                for (place, key, message) in problems {
                    findings.borrow_mut().problem(place, &key, None, message);
                }
                None
            }
        }
    }

    fn build(&self, root: &Part<'_>, index: usize) -> Option<Case> {
        let weather = weather::read(root, &mut self.shelf());
        let facts = weather.as_ref().map(|weather| Arc::clone(&weather.facts));
        let context = Context {
            catalogue: catalogue(),
            climate: facts
                .as_ref()
                .map_or(UNKNOWN_CLIMATE, |facts| facts.climate),
            nights: facts.as_ref().map(|facts| &facts.nights),
            cases: self.len(),
            schedules: &self.schedules,
            dampers: &self.dampers,
        };
        let crop = crop::read(&context, root);
        let built = building::house(&context, root, crop.crop);
        let house = built.as_ref().map(|built| &built.house);
        let heaters = house.map_or(&[][..], |house| house.heaters.as_slice());
        let mut prices = prices::read(&context, root, heaters);
        let money = money::read(&context, root, &mut prices, house);
        let (events, outages) = built.as_ref().map_or_else(
            || {
                root.know(&failures::FAILURE_KEYS);
                (EventPlan::default(), None)
            },
            |built| failures::read(&context, root, built.fitted(&crop.limits)),
        );
        root.know(&HEADER_KEYS);
        root.finish();
        let weather = weather?;
        Some(Case {
            id: index + 1,
            axis_labels: self.list.labels(index),
            draw: self.list.draw(index),
            climate: weather.climate,
            stress: weather.stress,
            house: Arc::new(built?.house),
            fuels: prices.fuels,
            electricity_price_per_kwh: prices.electricity_price_per_kwh,
            currency: prices.currency,
            money: money.map(Arc::new),
            frost_limits: crop.limits,
            events,
            outages,
        })
    }
}

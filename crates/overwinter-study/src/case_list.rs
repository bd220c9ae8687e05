//! Which cases a scenario asks for: what each is called and the tree it is read from.
//!
//! A combination is one alternative of each axis that the rules keep, the last axis running fastest.
//! A case is a combination under one draw of the sampled inputs, draws running fastest of all.

use std::path::Path;
use std::sync::Arc;

use crate::axes::{self, Axis, rules::Rules};
use crate::document::{Bringers, Node, Part, Place};
use crate::ranking::{self, PlannedInput, RankingPlan};
use crate::sampling::{Draw, Sampled, Sampling};

/// Most cases a scenario may ask for.
pub(crate) const MOST_CASES: usize = 200_000;
/// Most combinations of axes that rules may choose from.
const MOST_COMBINATIONS: usize = 10_000_000;

/// The cases of a scenario, numbered from 0.
#[derive(Clone, Debug, Default)]
pub(crate) struct CaseList {
    axes: Vec<Axis>,
    /// Combinations that the rules keep, where there are rules.
    kept: Option<Vec<usize>>,
    combinations: usize,
    sampling: Option<Sampling>,
}

/// A key that cannot be set: where that is asked for, the key, why.
pub(crate) type NotSet = (Place, String, String);

impl CaseList {
    /// Reads what asks for several cases; without it there is one. After a problem there may be none.
    ///
    /// Weather files are looked for in `folder`; draws follow from `seed`.
    pub(crate) fn read(root: &Part<'_>, folder: &Path, seed: u64) -> Self {
        let axes = axes::read(root, folder);
        let rules = Rules::read(root, &axes);
        let sampling = Sampling::read(root, seed);
        let kept = (!rules.is_empty()).then(|| kept(root, &axes, &rules));
        let combinations = match &kept {
            Some(kept) => Some(kept.len()),
            None => axes::case_count(&axes),
        };
        let mut list = Self {
            axes,
            kept,
            combinations: 0,
            sampling,
        };
        let draws = list.draws();
        let count = combinations.and_then(|combinations| combinations.checked_mul(draws));
        match (combinations, count) {
            (Some(combinations), Some(count)) if count <= MOST_CASES => {
                list.combinations = combinations
            }
            _ => root.problem("axis", &too_many(combinations, draws)),
        }
        list
    }

    /// How many there are.
    pub(crate) fn len(&self) -> usize {
        self.combinations * self.draws()
    }

    /// How many draws each combination is run with; 1 where nothing is sampled.
    pub(crate) fn draws(&self) -> usize {
        self.sampling.as_ref().map_or(1, Sampling::draws)
    }

    /// The sampled inputs.
    pub(crate) fn sampled(&self) -> Vec<Sampled> {
        self.sampling
            .as_ref()
            .map_or_else(Vec::new, Sampling::sampled)
    }

    /// The draw of a case, where inputs are sampled.
    pub(crate) fn draw(&self, case: usize) -> Option<Draw> {
        let sampling = self.sampling.as_ref()?;
        Some(sampling.draw(case % self.draws()))
    }

    /// What is compared with what, as `[compare]` asks for it.
    pub(crate) fn ranking(&self, root: &Part<'_>) -> RankingPlan {
        let mut plan = ranking::read(root, &self.axes, self.kept.as_deref());
        plan.draws = self.draws();
        if let Some(sampling) = &self.sampling {
            let draws: Vec<Draw> = (0..plan.draws).map(|draw| sampling.draw(draw)).collect();
            let planned = |(at, input): (usize, Sampled)| PlannedInput {
                name: input.name,
                unit: input.unit,
                values: draws
                    .iter()
                    .filter_map(|draw| draw.values.get(at).copied())
                    .collect(),
            };
            plan.inputs = self
                .sampled()
                .into_iter()
                .enumerate()
                .map(planned)
                .collect();
        }
        plan
    }

    /// The axes, in file order.
    pub(crate) fn axes(&self) -> &[Axis] {
        &self.axes
    }

    /// Names of the axes, in file order.
    pub(crate) fn axis_names(&self) -> Vec<String> {
        self.axes.iter().map(|axis| axis.name.clone()).collect()
    }

    /// What a value in the tree of a case may come from.
    pub(crate) fn bringers(&self) -> Arc<Bringers> {
        let labels = |axis: &Axis| {
            axis.alternatives
                .iter()
                .map(|one| one.label.clone())
                .collect()
        };
        let named = |axis: &Axis| (axis.name.clone(), labels(axis));
        Arc::new(Bringers {
            alternatives: self.axes.iter().map(named).collect(),
            sampled: self
                .sampling
                .as_ref()
                .map_or_else(Vec::new, Sampling::names),
        })
    }

    /// Label of the alternative of a case on each axis.
    pub(crate) fn labels(&self, case: usize) -> Vec<String> {
        let chosen = self.axes.iter().zip(self.choice(case / self.draws()));
        chosen
            .map(|(axis, at)| axis.alternatives[at].label.clone())
            .collect()
    }

    /// The scenario of one case.
    ///
    /// # Errors
    /// Every key that cannot be set.
    pub(crate) fn document(&self, document: &Node, case: usize) -> Result<Node, Vec<NotSet>> {
        let draws = self.draws();
        let mut combination = self.combination(document, case / draws)?;
        if let Some(sampling) = &self.sampling {
            sampling.put(&mut combination, case % draws)?;
        }
        Ok(combination)
    }

    /// How many scenarios show every mistake: each combination with its inputs at their middle, and each
    /// input at its ends.
    pub(crate) fn probes(&self) -> usize {
        self.combinations * self.probes_of_one()
    }

    /// The scenario of one of [`Self::probes`], and a case of the same combination.
    ///
    /// # Errors
    /// Every key that cannot be set.
    pub(crate) fn probe(
        &self,
        document: &Node,
        probe: usize,
    ) -> (usize, Result<Node, Vec<NotSet>>) {
        let each = self.probes_of_one();
        let case = probe / each * self.draws();
        let tree = self
            .combination(document, probe / each)
            .and_then(|mut combination| {
                if let Some(sampling) = &self.sampling {
                    sampling.put_probe(&mut combination, probe % each)?;
                }
                Ok(combination)
            });
        (case, tree)
    }

    fn probes_of_one(&self) -> usize {
        self.sampling.as_ref().map_or(1, Sampling::probes)
    }

    fn combination(&self, document: &Node, combination: usize) -> Result<Node, Vec<NotSet>> {
        axes::chosen(document, &self.axes, &self.choice(combination))
    }

    fn choice(&self, combination: usize) -> Vec<usize> {
        let combination = match &self.kept {
            Some(kept) => kept.get(combination).copied().unwrap_or(0),
            None => combination,
        };
        axes::choice(&self.axes, combination)
    }
}

/// The combinations that the rules keep; a problem if there is none.
fn kept(root: &Part<'_>, axes: &[Axis], rules: &Rules) -> Vec<usize> {
    let combinations = axes::case_count(axes).unwrap_or(usize::MAX);
    if combinations > MOST_COMBINATIONS {
        let message = format!(
            "the axes have more than {MOST_COMBINATIONS} combinations to choose from; shorten or \
             drop one"
        );
        root.problem("axis", &message);
        return Vec::new();
    }
    let is_kept = |combination: &usize| rules.keep(&axes::choice(axes, *combination));
    let kept: Vec<_> = (0..combinations).filter(is_kept).collect();
    if kept.is_empty() && combinations > 0 {
        let key = if root.has("exclude") {
            "exclude"
        } else {
            "include"
        };
        let message =
            format!("the rules leave none of the {combinations} combinations of the axes");
        root.problem(key, &message);
    }
    kept
}

fn too_many(combinations: Option<usize>, draws: usize) -> String {
    match combinations {
        Some(combinations) if combinations <= MOST_CASES => format!(
            "{combinations} combinations with {draws} draws each are more than {MOST_CASES} cases; take fewer \
             draws, or shorten or drop an axis"
        ),
        _ => format!("the axes ask for more than {MOST_CASES} cases; shorten or drop one"),
    }
}

#[cfg(test)]
mod tests;

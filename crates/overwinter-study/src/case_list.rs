//! Which cases a scenario asks for: what each is called and the tree it is read from.

use crate::axes::{self, Axis};
use crate::document::{Node, Part, Place};

/// Most cases a scenario may ask for.
pub(crate) const MOST_CASES: usize = 200_000;

/// The cases of a scenario, numbered from 0.
#[derive(Clone, Debug, Default)]
pub(crate) struct CaseList {
    axes: Vec<Axis>,
    count: usize,
}

/// A key that cannot be set: where that is asked for, the key, why.
pub(crate) type NotSet = (Place, String, String);

impl CaseList {
    /// Reads what asks for several cases; without it there is one. After a problem there may be none.
    pub(crate) fn read(root: &Part<'_>) -> Self {
        let axes = axes::read(root);
        let count = axes::case_count(&axes).filter(|count| *count <= MOST_CASES);
        if count.is_none() {
            root.problem(
                "axis",
                &format!("the axes ask for more than {MOST_CASES} cases; shorten or drop one"),
            );
        }
        Self {
            axes,
            count: count.unwrap_or(0),
        }
    }

    /// How many there are.
    pub(crate) fn len(&self) -> usize {
        self.count
    }

    /// Names of the axes, in file order.
    pub(crate) fn axis_names(&self) -> Vec<String> {
        self.axes.iter().map(|axis| axis.name.clone()).collect()
    }

    /// Each axis with the labels of its alternatives.
    pub(crate) fn alternatives(&self) -> Vec<(String, Vec<String>)> {
        let labels = |axis: &Axis| {
            axis.alternatives
                .iter()
                .map(|one| one.label.clone())
                .collect()
        };
        let named = |axis: &Axis| (axis.name.clone(), labels(axis));
        self.axes.iter().map(named).collect()
    }

    /// Label of the alternative of a case on each axis.
    pub(crate) fn labels(&self, case: usize) -> Vec<String> {
        let choice = axes::choice(&self.axes, case);
        let chosen = self.axes.iter().zip(choice);
        chosen
            .map(|(axis, at)| axis.alternatives[at].label.clone())
            .collect()
    }

    /// The scenario of one case.
    ///
    /// # Errors
    /// Every key that cannot be set.
    pub(crate) fn document(&self, document: &Node, case: usize) -> Result<Node, Vec<NotSet>> {
        let choice = axes::choice(&self.axes, case);
        axes::chosen(document, &self.axes, &choice)
    }
}

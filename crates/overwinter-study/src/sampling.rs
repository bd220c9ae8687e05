//! Sampled inputs: the same draws for every design, so that designs are compared in pairs.
//!
//! The draws of all inputs make a Latin hypercube. They follow from the seed of the scenario alone and
//! are made once, before any case is built.

mod change;
mod distribution;
mod hypercube;
mod input;

use overwinter_units::range;
use serde::{Deserialize, Serialize};

use crate::axes::put;
use crate::document::{Node, Part, Place};
use input::Input;

/// A key that cannot be set: where that is asked for, the key, why.
type NotSet = (Place, String, String);

/// What `[sampling]` asks for.
#[derive(Clone, Debug)]
pub(crate) struct Sampling {
    draws: usize,
    inputs: Vec<Input>,
}

/// A sampled input, for tables and people.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Sampled {
    /// Its name.
    pub name: String,
    /// The unit in which it is written, `times` for a factor, or nothing.
    pub unit: String,
    /// The keys that it sets or changes.
    pub keys: Vec<String>,
    /// What 5, 50 and 95 % of the draws are below, as a user would write it.
    pub quantiles: [String; 3],
}

/// One draw of all sampled inputs.
#[derive(Clone, Debug, PartialEq)]
pub struct Draw {
    /// Number from 1.
    pub number: usize,
    /// Value of each input, in its unit.
    pub values: Vec<f64>,
}

impl Sampling {
    /// Reads `[sampling]`; without it nothing is sampled.
    pub(crate) fn read(root: &Part<'_>, seed: u64) -> Option<Self> {
        if !root.has("sampling") {
            return None;
        }
        let part = root.part("sampling");
        let draws = if part.has("draws") {
            part.count_or("draws", &range::DRAWS, "1", "given")
        } else {
            part.missing("draws", "the number of draws, such as 200");
            1
        };
        let parts = part.parts("input");
        if parts.is_empty() {
            part.missing("input", "[[sampling.input]] with what is drawn");
        }
        let mut inputs: Vec<Input> = Vec::new();
        for part in &parts {
            let Some(input) = Input::read(part, seed, draws as usize, &inputs) else {
                continue;
            };
            if inputs.iter().any(|other| other.name == input.name) {
                let message = format!("two sampled inputs have the name \"{}\"", input.name);
                part.problem("name", &message);
            }
            inputs.push(input);
        }
        part.finish();
        Some(Self {
            draws: draws as usize,
            inputs,
        })
    }

    /// Number of draws.
    pub(crate) fn draws(&self) -> usize {
        self.draws
    }

    /// The inputs in words.
    pub(crate) fn sampled(&self) -> Vec<Sampled> {
        self.inputs.iter().map(Input::sampled).collect()
    }

    /// Names of the inputs.
    pub(crate) fn names(&self) -> Vec<String> {
        self.inputs.iter().map(|input| input.name.clone()).collect()
    }

    /// A draw, counted from 0.
    pub(crate) fn draw(&self, draw: usize) -> Draw {
        let values = self.inputs.iter().map(|input| input.value(draw));
        Draw {
            number: draw + 1,
            values: values.collect(),
        }
    }

    /// Puts a draw, counted from 0, into the tree of a design.
    pub(crate) fn put(&self, design: &mut Node, draw: usize) -> Result<(), Vec<NotSet>> {
        self.put_each(design, |_| draw)
    }

    /// Number of draws that show what range the inputs have: all at their middle, each at its ends.
    pub(crate) fn probes(&self) -> usize {
        1 + 2 * self.inputs.len()
    }

    /// Puts one of [`Self::probes`] into the tree of a design.
    pub(crate) fn put_probe(&self, design: &mut Node, probe: usize) -> Result<(), Vec<NotSet>> {
        let at_end = probe.checked_sub(1).map(|end| (end / 2, end % 2));
        self.put_each(design, |input| {
            let [lowest, middle, highest] = self.inputs[input].marks;
            match at_end {
                Some((moved, 0)) if moved == input => lowest,
                Some((moved, _)) if moved == input => highest,
                _ => middle,
            }
        })
    }

    fn put_each(
        &self,
        design: &mut Node,
        draw: impl Fn(usize) -> usize,
    ) -> Result<(), Vec<NotSet>> {
        let mut problems = Vec::new();
        for (index, input) in self.inputs.iter().enumerate() {
            for key in &input.keys {
                let place = Place {
                    draw: Some((index, draw(index))),
                    ..input.place
                };
                if let Err((place, message)) = put_one(design, key, input, place) {
                    problems.push((place, key.clone(), message));
                }
            }
        }
        if problems.is_empty() {
            Ok(())
        } else {
            Err(problems)
        }
    }
}

/// Sets or changes one key.
fn put_one(
    design: &mut Node,
    key: &str,
    input: &Input,
    place: Place,
) -> Result<(), (Place, String)> {
    let steps: Vec<_> = key.split('.').collect();
    let there = put::found(design, &steps);
    let value = match there {
        Some(node) => input.value_beside(node, place)?,
        None => input.value_alone(place)?,
    };
    put::set(design, &steps, &Node { value, place }).map_err(|message| (place, message))
}

#[cfg(test)]
mod tests;

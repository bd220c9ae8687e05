//! One sampled input: `[[sampling.input]]`.

use super::Sampled;
use super::change::Change;
use super::distribution::{Bounds, Distribution, Wrong};
use super::hypercube;
use crate::axes::check_key;
use crate::document::{Amount, Form, Node, Part, Place, Value};

/// A sampled input.
#[derive(Clone, Debug)]
pub(super) struct Input {
    /// Name in tables.
    pub(super) name: String,
    /// Keys that it sets or changes.
    pub(super) keys: Vec<String>,
    /// Where its distribution stands.
    pub(super) place: Place,
    change: Change,
    unit: Amount,
    distribution: Distribution,
    /// Probability of each draw.
    probabilities: Vec<f64>,
    /// The draws with the lowest, the middle and the highest value.
    pub(super) marks: [usize; 3],
}

impl Input {
    /// Reads an input that follows the inputs `before`.
    pub(super) fn read(part: &Part<'_>, seed: u64, draws: usize, before: &[Self]) -> Option<Self> {
        let keys = keys(part);
        let name = part.text("name").map(str::to_owned);
        let changes = [("times", Change::Times), ("plus", Change::Plus)];
        let change = if part.has("change") {
            part.word("change", &changes)
        } else {
            part.word::<Change>("change", &changes)
                .or(Some(Change::Set))
        };
        let shape = shape(part);
        part.finish();
        let (keys, change, (word, unit, distribution)) = (keys?, change?, shape?);
        if change == Change::Times && !["", "%"].contains(&unit.unit().as_str()) {
            part.problem(
                word,
                "what multiplies a value is a plain number or a percentage",
            );
            return None;
        }
        let others: Vec<&[f64]> = before.iter().map(|input| &*input.probabilities).collect();
        let probabilities = hypercube::probabilities(seed, before.len(), draws, &others);
        Some(Self {
            name: name.or_else(|| keys.first().cloned())?,
            keys,
            place: part.place_of(word),
            change,
            unit,
            distribution,
            marks: marks(&probabilities),
            probabilities,
        })
    }

    /// The value of a draw, in the unit of the input.
    pub(super) fn value(&self, draw: usize) -> f64 {
        let probability = self.probabilities.get(draw).copied().unwrap_or(0.5);
        Amount::rounded(self.distribution.value(probability))
    }

    /// In words.
    pub(super) fn sampled(&self) -> Sampled {
        let shares = [0.05, 0.5, 0.95];
        let [low, _, high] = shares.map(|share| self.distribution.value(share));
        let written = |probability| {
            let amount = self.distribution.value(probability);
            // What is left of nothing by rounding is nothing.
            let is_none = amount.abs() < (high - low).abs() * 1e-9;
            self.unit.written(short(if is_none { 0.0 } else { amount }))
        };
        let (before, unit) = match (self.change, self.unit.unit().as_str()) {
            (Change::Times, "") => ("times ", "times".to_owned()),
            (Change::Times, unit) => ("times ", unit.to_owned()),
            (Change::Plus, unit) => ("plus ", unit.to_owned()),
            (Change::Set, unit) => ("", unit.to_owned()),
        };
        Sampled {
            name: self.name.clone(),
            unit,
            keys: self.keys.clone(),
            quantiles: shares.map(|share| format!("{before}{}", written(share))),
        }
    }

    /// The value of the draw that `place` names for a key that a design has.
    pub(super) fn value_beside(
        &self,
        there: &Node,
        place: Place,
    ) -> Result<Value, (Place, String)> {
        if self.change == Change::Set {
            if there.place.alternative.is_some() {
                let at = Place {
                    alternative: there.place.alternative,
                    ..self.place
                };
                return Err((at, UNDONE_AXIS.to_owned()));
            }
            if there.place.draw.is_some() {
                return Err((self.place, UNDONE_DRAW.to_owned()));
            }
        }
        let changed = self.change.of(&there.value, &self.drawn(place));
        changed.map(Value::Text).map_err(|message| (place, message))
    }

    /// The value of the draw that `place` names for a key that a design does not have.
    pub(super) fn value_alone(&self, place: Place) -> Result<Value, (Place, String)> {
        if self.change == Change::Set {
            let drawn = self.drawn(place);
            return Ok(Value::Text(drawn.written(drawn.number)));
        }
        Err((self.place, NOT_THERE.to_owned()))
    }

    fn drawn(&self, place: Place) -> Amount {
        let number = place.draw.map_or(0.0, |(_, draw)| self.value(draw));
        self.unit.with(number)
    }
}

const UNDONE_AXIS: &str = "an axis sets this key and the drawn value would undo it: give the input \
    `change = \"times\"` or `change = \"plus\"`, or leave one of them out";
const UNDONE_DRAW: &str = "two sampled inputs set this key and one would undo the other: leave one \
    of them out, or give the later one `change = \"times\"` or `change = \"plus\"`";
const NOT_THERE: &str = "the scenario has no value here that a drawn number could change: write the \
    value, or leave `change` out and draw the value itself";

/// Where the lowest, the middle and the highest of some numbers stand.
fn marks(numbers: &[f64]) -> [usize; 3] {
    let mut order: Vec<usize> = (0..numbers.len()).collect();
    order.sort_by(|a, b| numbers[*a].total_cmp(&numbers[*b]));
    let last = order.len().saturating_sub(1);
    [0, last / 2, last].map(|at| order.get(at).copied().unwrap_or(0))
}

/// Four digits show where the draws lie.
fn short(number: f64) -> f64 {
    overwinter_units::significant(number, 4)
        .parse()
        .unwrap_or(number)
}

fn keys(part: &Part<'_>) -> Option<Vec<String>> {
    if !part.has("key") {
        part.missing(
            "key",
            "the key that is sampled, such as \"leakage.air_change\"",
        );
        return None;
    }
    part.may_be("key", || Form::Text);
    part.may_be("key", || Form::Listed(Box::new(Form::Text)));
    let keys = part.texts("key")?;
    for (_, key) in &keys {
        check_key(part, "key", key);
    }
    Some(keys.into_iter().map(|(_, key)| key.to_owned()).collect())
}

/// The words for shapes and how each is read.
type Read = fn(&Part<'_>) -> Option<(Amount, Result<Distribution, Wrong>)>;
const SHAPES: [(&str, Read); 4] = [
    ("triangular", triangular),
    ("uniform", uniform),
    ("normal", normal),
    ("log_normal", log_normal),
];

/// The distribution of an input, with its word and its unit.
fn shape(part: &Part<'_>) -> Option<(&'static str, Amount, Distribution)> {
    let mut given = SHAPES.iter().filter(|(word, _)| part.has(word));
    let first = given.next();
    let others: Vec<_> = given.collect();
    let one_of = "one of `triangular`, `uniform`, `normal` and `log_normal`";
    let Some((word, read)) = first else {
        part.missing(SHAPES[0].0, one_of);
        return None;
    };
    if let [(second, _), ..] = others.as_slice() {
        part.problem(second, &format!("an input has {one_of}"));
        return None;
    }
    let inner = part.part(word);
    let read = read(&inner);
    inner.finish();
    let (unit, made) = read?;
    match made {
        Ok(distribution) => Some((word, unit, distribution)),
        Err((key, message)) => {
            inner.problem(key, &message);
            None
        }
    }
}

fn uniform(part: &Part<'_>) -> Option<(Amount, Result<Distribution, Wrong>)> {
    let low = part.required_amount("low", "the least value");
    let high = part.required_amount("high", "the greatest value");
    let unit = part.one_unit(&[("low", low.as_ref()), ("high", high.as_ref())])?;
    Some((unit, Distribution::uniform(low?.number, high?.number)))
}

fn triangular(part: &Part<'_>) -> Option<(Amount, Result<Distribution, Wrong>)> {
    let low = part.required_amount("low", "the least value");
    let likely = part.required_amount("likely", "the most likely value");
    let high = part.required_amount("high", "the greatest value");
    let all = [
        ("low", low.as_ref()),
        ("likely", likely.as_ref()),
        ("high", high.as_ref()),
    ];
    let unit = part.one_unit(&all)?;
    let made = Distribution::triangular(low?.number, likely?.number, high?.number);
    Some((unit, made))
}

fn normal(part: &Part<'_>) -> Option<(Amount, Result<Distribution, Wrong>)> {
    let mean = part.required_amount("mean", "the mean");
    let deviation = part.required_amount("deviation", "the standard deviation");
    let (low, high) = (part.amount("low"), part.amount("high"));
    let all = [
        ("mean", mean.as_ref()),
        ("deviation", deviation.as_ref()),
        ("low", low.as_ref()),
        ("high", high.as_ref()),
    ];
    let unit = part.one_unit(&all)?;
    let made = Distribution::normal(mean?.number, deviation?.number, bounds(low, high));
    Some((unit, made))
}

fn log_normal(part: &Part<'_>) -> Option<(Amount, Result<Distribution, Wrong>)> {
    let median = part.required_amount("median", "the median");
    let factor = part.required("factor", &overwinter_units::range::SPREAD_FACTOR);
    let (low, high) = (part.amount("low"), part.amount("high"));
    let all = [
        ("median", median.as_ref()),
        ("low", low.as_ref()),
        ("high", high.as_ref()),
    ];
    let unit = part.one_unit(&all)?;
    let made = Distribution::log_normal(median?.number, factor?, bounds(low, high));
    Some((unit, made))
}

fn bounds(low: Option<Amount>, high: Option<Amount>) -> Bounds {
    Bounds {
        low: low.map(|low| low.number),
        high: high.map(|high| high.number),
    }
}

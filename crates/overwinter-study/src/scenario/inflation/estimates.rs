//! What nobody has measured of gaps that empty: one value, or a low, a likely and a high one.

use overwinter_physics::inflation::gap::Ranged;
use overwinter_units::{Kind, Range, System, print};

use crate::document::{Form, Part, Value};

const SOURCE: &str = "estimate: never measured";

/// Reads an estimate; one value stands for all three.
pub(super) fn ranged(part: &Part<'_>, key: &str, range: &Range, usual: Ranged) -> Ranged {
    part.may_be(key, || Form::Table);
    part.may_be(key, || Form::Quantity(*range));
    let Some(node) = part.node(key) else {
        part.note_default(key, written(usual, range.kind), SOURCE);
        return usual;
    };
    if !matches!(node.value, Value::Table(_)) {
        let value = part.quantity(key, range);
        return value.map_or(usual, |value| Ranged {
            low: value,
            likely: value,
            high: value,
        });
    }
    let table = part.part(key);
    let [low, likely, high] = ["low", "likely", "high"].map(|end| table.required(end, range));
    table.finish();
    let Some(((low, likely), high)) = low.zip(likely).zip(high) else {
        return usual;
    };
    if low > likely || likely > high {
        let message = "`low`, `likely` and `high` must rise: write the three values in this order";
        part.problem(key, message);
        return usual;
    }
    Ranged { low, likely, high }
}

fn written(estimate: Ranged, kind: Kind) -> String {
    let of = |value| print(value, kind, System::Si);
    let Ranged { low, likely, high } = estimate;
    format!("{} likely, {} low, {} high", of(likely), of(low), of(high))
}

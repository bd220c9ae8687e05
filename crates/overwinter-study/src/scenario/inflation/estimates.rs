//! What nobody has measured of gaps that empty: one value, or a low, a likely and a high one.

use overwinter_physics::inflation::gap::Ranged;
use overwinter_units::{Kind, Range, System, print};

use crate::document::{Form, Part, Value};

const SOURCE: &str = "estimate: never measured (low / likely / high)";

/// Reads an estimate; one value stands for all three.
pub(super) fn ranged(part: &Part<'_>, key: &str, range: &Range, usual: Ranged) -> Ranged {
    part.may_be(key, || Form::Table);
    part.may_be(key, || Form::Quantity(*range));
    let Some(node) = part.node(key) else {
        note_usual(part, key, range.kind, usual);
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

/// Notes a default, which is always the same for a key, in words only the first time.
fn note_usual(part: &Part<'_>, key: &str, kind: Kind, usual: Ranged) {
    let Ranged { low, likely, high } = usual;
    let path = part.path_of(key);
    let is_new = part
        .findings()
        .borrow_mut()
        .are_new(&path, &[low, likely, high]);
    if is_new {
        part.note_default(key, written(usual, kind), SOURCE);
    }
}

/// The three values with the unit of the last, where they share it.
fn written(estimate: Ranged, kind: Kind) -> String {
    let Ranged { low, likely, high } = estimate;
    let [low, likely, high] = [low, likely, high].map(|value| print(value, kind, System::Si));
    let unit = high.split_once(' ').map_or("", |(_, unit)| unit);
    let bare = |text: &str| {
        text.strip_suffix(unit)
            .unwrap_or(text)
            .trim_end()
            .to_owned()
    };
    format!("{} / {} / {high}", bare(&low), bare(&likely))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_values_are_written_with_one_unit() {
        let of = |low, likely, high| Ranged { low, likely, high };
        let gap = of(0.02, 0.025, 0.03);
        assert_eq!(written(gap, Kind::Length), "20 / 25 / 30 mm");
        assert_eq!(written(of(0.5, 1.0, 2.0), Kind::Number), "0.5 / 1 / 2");
        let wide = of(5e-4, 0.02, 0.03);
        assert_eq!(written(wide, Kind::Length), "500 um / 20 / 30 mm");
    }
}

//! What is bought: `[money.parts.NAME]`.

use overwinter_units::{Range, range};

use super::rise;
use super::sums::Sums;
use crate::document::{Form, Part};
use crate::money::StatedPart;

/// The word for a residual value by the share of the life that is left.
const STRAIGHT_LINE: &str = "straight line";

/// Reads the parts, in the order of the file.
pub(super) fn read(money: &Part<'_>, sums: &Sums) -> Vec<StatedPart> {
    money.may_be("parts", || Form::Named);
    let all = money.part_of_names("parts");
    let one = |name: &str| {
        let part = all.part(name);
        let read = read_one(&part, name, sums);
        part.finish();
        read
    };
    let parts: Vec<StatedPart> = all.keys().filter_map(one).collect();
    if all.keys().next().is_none() {
        let warning =
            "[money] has no [money.parts.NAME] with a cost: only energy and upkeep are counted";
        money.findings().borrow_mut().warning(warning.to_owned());
    }
    parts
}

/// A whole number that the file must have.
pub(super) fn required_count(part: &Part<'_>, key: &str, range: &Range) -> Option<u32> {
    part.required(key, range)?;
    Some(part.count_or(key, range, "1", "given"))
}

fn read_one(part: &Part<'_>, name: &str, sums: &Sums) -> Option<StatedPart> {
    let cost = sums.required(part, "cost", "its first cost, such as \"3400 USD\"");
    let life = required_count(part, "life", &range::LIFE_YEARS);
    let age = part.count_or("age", &range::AGE_YEARS, "0", "bought new in year 0");
    if let Some(life) = life
        && age >= life
    {
        let message = format!(
            "a part in place is younger than its life of {life} years; one that is due is bought in \
             year 0, with a cost and without an age"
        );
        part.problem("age", &message);
    } else if age > 0 && cost.is_some_and(|cost| cost > 0.0) {
        let message = "a part in place is paid for: its cost is 0, and what buying it again costs is its \
             replacement; one that is bought instead has age = 0 and a replacement of its own";
        part.problem("age", message);
    }
    let replacement = replacement(part, cost, age, sums);
    let eligible = part.flag_or(
        "eligible",
        true,
        "estimate: a grant office or lender accepts all of it",
    );
    let rise = rise(part, "rise", true);
    Some(StatedPart {
        name: name.to_owned(),
        residual: residual(part, sums),
        cost: cost?,
        is_eligible: eligible,
        life_years: life?,
        age_years: age,
        replacement: replacement?,
        rise,
    })
}

fn replacement(part: &Part<'_>, cost: Option<f64>, age_years: u32, sums: &Sums) -> Option<f64> {
    let key = "replacement";
    if part.has(key) {
        return sums.sum(part, key);
    }
    part.may_be(key, || Form::Money);
    if age_years > 0 {
        part.missing(
            key,
            "what buying a part again costs that is in place in year 0",
        );
        return None;
    }
    if let Some(written) = part.text("cost") {
        part.note_derived(
            key,
            written.to_owned(),
            "as its first cost",
            "as its first cost",
        );
    }
    cost
}

/// The value at the end, if one is stated.
fn residual(part: &Part<'_>, sums: &Sums) -> Option<f64> {
    let key = "residual";
    part.may_be(key, || Form::Words(vec![STRAIGHT_LINE.to_owned()]));
    if !part.has(key) {
        let source = "the share of its life that is left at the end, of what it last cost";
        part.note_default(key, STRAIGHT_LINE.to_owned(), source);
        return None;
    }
    if part.text(key) == Some(STRAIGHT_LINE) {
        return None;
    }
    sums.gain_or_loss(part, key)
}

//! No text may make the quantity parser panic, and every printed value reads back.

#![allow(missing_docs, reason = "a test target")]

use overwinter_units::{Kind, System, parse, parse_price, print_to, unit};
use proptest::prelude::*;

fn any_kind() -> impl Strategy<Value = Kind> {
    proptest::sample::select(Kind::ALL.to_vec())
}

proptest! {
    #[test]
    fn any_text_is_read_or_refused(text in "\\PC{0,24}", kind in any_kind()) {
        if let Ok(value) = parse(&text, kind) {
            prop_assert!(value.is_finite());
        }
        if let Err(error) = parse(&text, kind) {
            prop_assert!(!error.to_string().is_empty());
        }
    }

    #[test]
    fn number_like_text_is_read_or_refused(
        text in "[-+−]?[0-9]{0,3}[.]?[0-9]{0,2}(e[-+]?[0-9]{0,3})?[ ]?(ft|in|R|m2K/W|%|degF|°|²)?( [0-9]{1,2} in)?",
        kind in any_kind(),
    ) {
        if let Ok(value) = parse(&text, kind) {
            prop_assert!(value.is_finite());
        }
    }

    #[test]
    fn any_price_is_read_or_refused(text in "[$€]?[0-9.eE+-]{0,6} ?[A-Z$€]{0,3}/?[a-zA-Z²3]{0,5}") {
        if let Ok(price) = parse_price(&text) {
            prop_assert!(price.amount >= 0.0 && !price.currency.is_empty());
        }
    }

    #[test]
    fn printed_values_read_back(
        mantissa in 1.0_f64..10.0,
        exponent in -3_i32..6,
        kind in any_kind(),
        system in proptest::sample::select(vec![System::Si, System::Us]),
    ) {
        let value = mantissa * 10_f64.powi(exponent);
        let text = print_to(value, kind, system, 15);
        let back = parse(&text, kind).map_err(|error| TestCaseError::fail(error.to_string()))?;
        let scale = if kind == Kind::Temperature { 300.0 + value } else { value };
        prop_assert!((back - value).abs() < 1e-11 * scale, "{text}");
    }
}

#[test]
fn every_symbol_and_alias_is_found_in_its_kind() {
    for entry in unit::UNITS {
        for name in std::iter::once(&entry.symbol).chain(entry.aliases) {
            let found = unit::find(name, entry.kind).map(|unit| unit.symbol);
            assert_eq!(found, Some(entry.symbol), "{name}");
        }
    }
}

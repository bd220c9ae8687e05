use std::cell::RefCell;

use super::*;
use crate::document::{Findings, Value, parse};

/// A document and its sampling, or the problems.
fn read(text: &str) -> Result<(Node, Sampling), Vec<String>> {
    let document = parse(text).expect("valid TOML");
    let findings = RefCell::new(Findings::default());
    let sampling = Sampling::read(&Part::root(&document, &findings), 1);
    let problems = findings.into_inner().problems;
    match sampling {
        Some(sampling) if problems.is_empty() => Ok((document, sampling)),
        _ => Err(problems
            .iter()
            .map(|problem| format!("{}: {problem}", problem.line))
            .collect()),
    }
}

fn sound(text: &str) -> (Node, Sampling) {
    read(text).unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn at<'a>(document: &'a Node, key: &str) -> &'a Node {
    let steps: Vec<_> = key.split('.').collect();
    put::found(document, &steps).unwrap_or_else(|| panic!("{key}"))
}

fn text_at<'a>(document: &'a Node, key: &str) -> &'a str {
    match &at(document, key).value {
        Value::Text(text) => text,
        other => panic!("{key}: {other:?}"),
    }
}

const FOUR_INPUTS: &str = r#"
hold.temp = "40 degF"
prices.propane = "2.00 USD/gal"
[[heater]]
efficiency = "80 %"
[sampling]
draws = 500
[[sampling.input]]
name = "leaks"
key = "leakage.air_change"
triangular = { low = "0.5 /h", likely = "1 /h", high = "3 /h" }
[[sampling.input]]
key = "hold.temp"
change = "plus"
normal = { mean = "0 K", deviation = "0.5 K", low = "-1 K", high = "1 K" }
[[sampling.input]]
key = "prices.propane"
change = "times"
log_normal = { median = 1, factor = 1.2 }
[[sampling.input]]
key = ["heater.1.efficiency", "heater.1.part_load"]
uniform = { low = "75 %", high = "85 %" }
"#;

#[test]
fn draws_are_put_into_the_tree_with_their_unit() {
    let (document, sampling) = sound(FOUR_INPUTS);
    assert_eq!(
        sampling.names(),
        [
            "leaks",
            "hold.temp",
            "prices.propane",
            "heater.1.efficiency"
        ]
    );
    let draw = sampling.draw(17);
    assert_eq!(draw.number, 18);
    let mut design = document;
    sampling.put(&mut design, 17).expect("the keys exist");
    let leaks = format!("{} /h", draw.values[0]);
    assert_eq!(text_at(&design, "leakage.air_change"), leaks);
    assert_eq!(at(&design, "leakage.air_change").place.draw, Some((0, 17)));
    // 1.8 degF to a kelvin.
    let held: f64 = text_at(&design, "hold.temp")
        .trim_end_matches(" degF")
        .parse()
        .expect("a number");
    assert!((held - 40.0 - 1.8 * draw.values[1]).abs() < 1e-7);
    let price = text_at(&design, "prices.propane").trim_end_matches(" USD/gal");
    let price: f64 = price.parse().expect("a number");
    assert!((price - 2.0 * draw.values[2]).abs() < 1e-7);
    let efficiency = format!("{} %", draw.values[3]);
    for key in ["heater.1.efficiency", "heater.1.part_load"] {
        assert_eq!(text_at(&design, key), efficiency);
    }
}

/// The mean of a Latin hypercube of n draws is off by about a share 1/n of the deviation, since one
/// draw stands in every n-th (McKay, Beckman and Conover 1979, section 2, from memory).
#[test]
fn means_and_quantiles_are_those_of_the_distributions() {
    let (_, sampling) = sound(FOUR_INPUTS);
    let values = |input: usize| -> Vec<f64> {
        let mut values: Vec<f64> = (0..500)
            .map(|draw| sampling.draw(draw).values[input])
            .collect();
        values.sort_by(f64::total_cmp);
        values
    };
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    // (low + likely + high) / 3, the middle of a symmetric one, median exp(ln(factor)^2 / 2).
    let log_mean = (1.2_f64.ln().powi(2) / 2.0).exp();
    for (input, wanted) in [(0, 1.5), (1, 0.0), (2, log_mean), (3, 80.0)] {
        let values = values(input);
        let spread = values[499] - values[0];
        let error = (mean(&values) - wanted).abs();
        assert!(error < spread / 500.0, "{input}: {error} of {spread}");
    }
    // Uniform: draw k of the sorted ones lies in share k.
    for (share, value) in (0_u32..).zip(values(3)) {
        let least = 75.0 + 10.0 * f64::from(share) / 500.0;
        assert!((least - 1e-7..=least + 0.02 + 1e-7).contains(&value));
    }
}

#[test]
fn probes_move_one_input_at_a_time() {
    let (document, sampling) = sound(FOUR_INPUTS);
    assert_eq!(sampling.probes(), 9);
    let of = |probe: usize| {
        let mut design = document.clone();
        sampling
            .put_probe(&mut design, probe)
            .expect("the keys exist");
        let place = |key: &str| at(&design, key).place.draw.expect("drawn").1;
        [place("leakage.air_change"), place("hold.temp")]
    };
    let value = |draw: usize, input: usize| sampling.draw(draw).values[input];
    let middle = of(0);
    assert_eq!([of(1)[1], of(2)[1]], [middle[1]; 2]);
    assert_eq!([of(3)[0], of(4)[0]], [middle[0]; 2]);
    let all = || 0..500;
    let least = all()
        .map(|draw| value(draw, 0))
        .fold(f64::INFINITY, f64::min);
    let most = all()
        .map(|draw| value(draw, 1))
        .fold(f64::NEG_INFINITY, f64::max);
    assert_eq!(value(of(1)[0], 0).to_bits(), least.to_bits());
    assert_eq!(value(of(4)[1], 1).to_bits(), most.to_bits());
    let below = all().filter(|draw| value(*draw, 0) < value(middle[0], 0));
    assert_eq!(below.count(), 249);
}

/// The middle of a distribution cut off alike on both sides is no more than a rounding away from nothing.
#[test]
fn what_rounding_leaves_of_nothing_is_not_told() {
    for (deviation, bound) in [("0.6", "1.5"), ("0.7", "1.1"), ("0.3", "0.9")] {
        let (_, sampling) = sound(&format!(
            "hold.error = \"0 K\"\n[sampling]\ndraws = 10\n[[sampling.input]]\nkey = \"hold.error\"\n\
             normal = {{ mean = \"0 K\", deviation = \"{deviation} K\", \
             low = \"-{bound} K\", high = \"{bound} K\" }}\n"
        ));
        assert_eq!(sampling.sampled()[0].quantiles[1], "0 K");
    }
}

#[test]
fn inputs_are_told_with_their_quantiles() {
    let (_, sampling) = sound(FOUR_INPUTS);
    let sampled = sampling.sampled();
    // By hand: 0.5 + sqrt(0.05 * 0.5 * 2.5), 3 - sqrt(0.5 * 2.5 * 2), 3 - sqrt(0.05 * 2.5 * 2).
    assert_eq!(sampled[0].quantiles, ["0.75 /h", "1.419 /h", "2.5 /h"]);
    // Uniform: 75 + 10 * share.
    assert_eq!(sampled[3].quantiles, ["75.5 %", "80 %", "84.5 %"]);
    assert_eq!(sampled[2].unit, "times");
    assert_eq!(sampled[2].quantiles[1], "times 1");
    assert_eq!(sampled[1].quantiles[1], "plus 0 K");
    assert_eq!(
        sampled[3].keys,
        ["heater.1.efficiency", "heater.1.part_load"]
    );
}

#[test]
fn draws_of_an_input_do_not_depend_on_those_after_it() {
    let (_, sampling) = sound(FOUR_INPUTS);
    let shorter = &FOUR_INPUTS[..FOUR_INPUTS.rfind("[[sampling.input]]").expect("there")];
    let (_, fewer) = sound(shorter);
    for draw in 0..500 {
        assert_eq!(fewer.draw(draw).values, sampling.draw(draw).values[..3]);
    }
}

#[test]
fn mistakes_are_named_with_their_line() {
    let input =
        |rest: &str| format!("[sampling]\ndraws = 9\n[[sampling.input]]\nkey = \"a.b\"\n{rest}");
    for (text, line, wanted) in [
        ("[sampling]\n".to_owned(), 1, "missing: give the number of draws"),
        ("[sampling]\ndraws = 0\n".to_owned(), 2, "outside the range of number of draws"),
        ("[sampling]\ndraws = 1.5\n".to_owned(), 2, "whole number"),
        ("[sampling]\ndraws = 9\n".to_owned(), 1, "missing: give [[sampling.input]]"),
        ("[sampling]\ndraws = 9\n[[sampling.input]]\nuniform = { low = 1, high = 2 }".to_owned(), 3, "missing: give the key"),
        ("[sampling]\ndraws = 9\n[[sampling.input]]\nkey = \"title\"\nuniform = { low = 1, high = 2 }".to_owned(), 4, "belongs to the whole file"),
        (input(""), 3, "missing: give one of `triangular`"),
        (input("uniform = { low = 1, high = 2 }\nnormal = { mean = 1, deviation = 2 }"), 6, "an input has one of"),
        (input("uniform = { low = 1 }"), 5, "missing: give the greatest value"),
        (input("uniform = { low = \"2 /h\", high = \"1 /h\" }"), 5, "`high` has to lie above `low`"),
        (input("uniform = { low = \"1 /h\", high = \"2 m\" }"), 5, "write `low` and `high` in one unit, here \"/h\" and \"m\""),
        (input("uniform = { low = 1, high = \"2 m\" }"), 5, "here no unit and \"m\""),
        (input("uniform = { low = \"few\", high = \"2 m\" }"), 5, "one number with its unit"),
        (input("triangular = { low = 1, likely = 3, high = 2 }"), 5, "from `low` to `high`"),
        (input("normal = { mean = 1, deviation = 0 }"), 5, "the deviation has to be above 0"),
        (input("normal = { mean = 1, deviation = 1, low = 30 }"), 5, "less than 0.1 %"),
        (input("log_normal = { median = -1, factor = 2 }"), 5, "the median has to be above 0"),
        (input("log_normal = { median = 1, factor = 1 }"), 5, "the factor has to be above 1"),
        (input("log_normal = { median = 1, factor = \"2 m\" }"), 5, "plain number"),
        (input("uniform = { low = 1, high = 2, likely = 1 }"), 5, "unknown key"),
        (input("change = \"time\"\nuniform = { low = 1, high = 2 }"), 5, "did you mean \"times\"?"),
        (input("change = \"times\"\nuniform = { low = \"1 K\", high = \"2 K\" }"), 6, "plain number or a percentage"),
        (input("even = 1\nuniform = { low = 1, high = 2 }"), 5, "unknown key"),
        (input("uniform = { low = 1, high = 2 }\n[[sampling.input]]\nkey = \"a.b\"\nuniform = { low = 1, high = 2 }"), 6, "two sampled inputs have the name \"a.b\""),
    ] {
        let problems = read(&text).expect_err(&text);
        let line = format!("{line}: ");
        let found = problems.iter().any(|one| one.starts_with(&line) && one.contains(wanted));
        assert!(found, "{text}\n{problems:?}");
    }
}

#[test]
fn a_key_that_cannot_take_a_draw_is_named() {
    let input = |rest: &str| {
        format!("a.b = \"1 m\"\na.c = \"wide\"\n[sampling]\ndraws = 9\n[[sampling.input]]\n{rest}")
    };
    for (rest, wanted) in [
        (
            "key = \"a.d\"\nchange = \"times\"\nuniform = { low = 1, high = 2 }",
            "no value here",
        ),
        (
            "key = \"a.c\"\nchange = \"times\"\nuniform = { low = 1, high = 2 }",
            "no single number",
        ),
        (
            "key = \"a.b\"\nchange = \"plus\"\nuniform = { low = \"1 W\", high = \"2 W\" }",
            "units do not fit",
        ),
        (
            "key = \"a.b.c\"\nuniform = { low = 1, high = 2 }",
            "has no keys",
        ),
        (
            "key = \"a.b\"\nuniform = { low = \"1 m\", high = \"2 m\" }\n[[sampling.input]]\nname = \"again\"\nkey = \"a.b\"\nuniform = { low = \"1 m\", high = \"2 m\" }",
            "two sampled inputs set this key",
        ),
    ] {
        let (document, sampling) = sound(&input(rest));
        let mut design = document;
        let problems = sampling.put_probe(&mut design, 0).expect_err(rest);
        assert!(problems[0].2.contains(wanted), "{problems:?}");
    }
}

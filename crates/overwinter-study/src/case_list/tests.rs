use std::cell::RefCell;

use super::*;
use crate::document::{Findings, parse};

fn read(text: &str) -> (Node, CaseList, Vec<String>) {
    let document = parse(text).expect("valid TOML");
    let findings = RefCell::new(Findings::default());
    let list = CaseList::read(&Part::root(&document, &findings), Path::new(""), 1);
    let problems = findings.into_inner().problems.into_iter();
    let problems = problems.map(|problem| format!("{}: {problem}", problem.line));
    (document, list, problems.collect())
}

const AXES: &str = r#"
[hold]
temp = "40 degF"
[[axis]]
name = "cover"
key = "cover.roof"
values = ["twin-wall sheet", "inflated pair", "Inflated pair, infrared"]
[[axis]]
name = "hold"
key = "hold.temp"
range = { from = "38 degF", to = "50 degF", step = "4 degF" }
"#;

const SAMPLING: &str = r#"
[sampling]
draws = 5
[[sampling.input]]
key = "leakage.air_change"
uniform = { low = "0.5 /h", high = "1.5 /h" }
[[sampling.input]]
key = "hold.temp"
change = "plus"
uniform = { low = "-1 degF", high = "1 degF" }
"#;

fn designs(rules: &str) -> Vec<String> {
    let (_, list, problems) = read(&format!("{AXES}{rules}"));
    assert_eq!(problems, Vec::<String>::new(), "{rules}");
    (0..list.len())
        .map(|case| list.labels(case).join(" / "))
        .collect()
}

#[test]
fn without_rules_the_product_stays() {
    let all = designs("");
    assert_eq!(all.len(), 12);
    assert_eq!(all[0], "twin-wall sheet / 38 degF");
    assert_eq!(all[1], "twin-wall sheet / 42 degF");
    assert_eq!(all[11], "Inflated pair, infrared / 50 degF");
}

#[test]
fn rules_keep_what_they_match() {
    for (rules, count) in [
        ("[[include]]\ncover = \"inflated pair\"", 4),
        // Wildcards look past capitals.
        ("[[include]]\ncover = \"inflated*\"", 8),
        (
            "[[include]]\ncover = [\"twin*\", \"*infra*\"]\nhold = \"4? degF\"",
            4,
        ),
        (
            "[[include]]\ncover = \"twin*\"\n[[include]]\nhold = \"38*\"",
            6,
        ),
        ("[[exclude]]\ncover = \"twin*\"", 8),
        (
            "[[exclude]]\ncover = \"twin*\"\nhold = [\"38 degF\", \"50 degF\"]",
            10,
        ),
        // Leaving out wins.
        (
            "[[include]]\ncover = \"inflated*\"\n[[exclude]]\nhold = \"38 degF\"",
            6,
        ),
        ("[[include]]\ncover = \"**pair**\"", 8),
    ] {
        assert_eq!(designs(rules).len(), count, "{rules}");
    }
    let left = designs("[[include]]\ncover = \"twin*\"\n[[exclude]]\nhold = \"42 degF\"");
    let wanted = ["38 degF", "46 degF", "50 degF"].map(|hold| format!("twin-wall sheet / {hold}"));
    assert_eq!(left, wanted);
}

#[test]
fn rules_that_cannot_be_are_told() {
    for (rules, line, wanted) in [
        (
            "[[include]]\ncovr = \"twin*\"",
            13,
            "did you mean \"cover\"?",
        ),
        (
            "[[include]]\ncover = \"triple*\"",
            13,
            "no alternative of this axis has this label",
        ),
        (
            "[[include]]\ncover = \"[a\"",
            13,
            "no alternative of this axis has this label",
        ),
        (
            "[[include]]\ncover = \"inflated pare\"",
            13,
            "did you mean \"inflated pair\"?",
        ),
        (
            "[[exclude]]\nhold = \"*\"",
            12,
            "leave none of the 12 combinations",
        ),
        (
            "[[include]]\ncover = \"twin*\"\n[[exclude]]\ncover = \"t*\"",
            14,
            "leave none",
        ),
        ("[[exclude]]", 12, "at least one axis"),
        ("[[exclude]]\ncover = 3", 13, "a text in quotes"),
        ("[[exclude]]\ncover = []", 13, "at least one entry"),
    ] {
        let (_, _, problems) = read(&format!("{AXES}{rules}"));
        let line = format!("{line}: ");
        let found = problems
            .iter()
            .any(|one| one.starts_with(&line) && one.contains(wanted));
        assert!(found, "{rules}: {problems:?}");
    }
}

#[test]
fn every_design_has_the_same_draws() {
    let rule = "[[exclude]]\ncover = \"twin*\"";
    let (document, list, problems) = read(&format!("{AXES}{rule}{SAMPLING}"));
    assert_eq!(problems, Vec::<String>::new());
    assert_eq!((list.len(), list.draws()), (40, 5));
    let leakage = |case: usize| {
        let tree = list.document(&document, case).expect("keys exist");
        let node = crate::axes::put::found(&tree, &["leakage", "air_change"]);
        node.expect("drawn").value.clone()
    };
    for case in 0..40 {
        assert_eq!(list.labels(case), list.labels(case / 5 * 5));
        assert_eq!(list.draw(case), list.draw(case % 5));
        assert_eq!(list.draw(case).expect("sampled").number, case % 5 + 1);
        assert_eq!(leakage(case), leakage(case % 5));
    }
    assert_ne!(leakage(0), leakage(1));
    assert_ne!(list.labels(4), list.labels(5));
}

#[test]
fn probes_go_through_every_design() {
    let (document, list, _) = read(&format!("{AXES}{SAMPLING}"));
    assert_eq!(list.probes(), 12 * 5);
    let mut cases = Vec::new();
    for probe in 0..list.probes() {
        let (case, tree) = list.probe(&document, probe);
        tree.expect("keys exist");
        cases.push(case);
    }
    cases.dedup();
    assert_eq!(cases, (0..12).map(|design| design * 5).collect::<Vec<_>>());
}

#[test]
fn a_key_of_an_axis_is_not_drawn_beside_it() {
    let sampling = SAMPLING.replace("change = \"plus\"\n", "");
    let (document, list, _) = read(&format!("{AXES}{sampling}"));
    let problems = list.probe(&document, 0).1.expect_err("the axis sets it");
    let (place, key, message) = &problems[0];
    assert_eq!((place.line, key.as_str()), (20, "hold.temp"));
    assert_eq!(place.alternative, Some((1, 0)));
    assert!(message.contains("would undo it"), "{message}");
}

#[test]
fn too_many_cases_are_told() {
    let values: Vec<_> = (0..500).map(|value| value.to_string()).collect();
    let axis = |name: &str| {
        format!(
            "[[axis]]\nname=\"{name}\"\nkey=\"{name}\"\nvalues=[{}]\n",
            values.join(",")
        )
    };
    let sampling = SAMPLING.replace("draws = 5", "draws = 500");
    for (text, wanted) in [
        (axis("a") + &axis("b"), "more than 200000 cases"),
        (
            axis("a") + &sampling,
            "500 combinations with 500 draws each",
        ),
        (
            axis("a") + &axis("b") + &axis("c") + "[[include]]\na = \"1\"",
            "more than 10000000 combinations",
        ),
    ] {
        let (_, list, problems) = read(&text);
        assert_eq!(list.len(), 0);
        assert!(
            problems.iter().any(|one| one.contains(wanted)),
            "{problems:?}"
        );
    }
    // Rules bring 250,000 down to 500.
    let (_, list, problems) = read(&(axis("a") + &axis("b") + "[[include]]\na = \"1\""));
    assert_eq!((list.len(), problems), (500, Vec::new()));
}

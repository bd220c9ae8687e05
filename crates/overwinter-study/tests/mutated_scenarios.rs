//! No bytes given as a scenario may make the reader panic: it loads, or says where it is wrong.

#![allow(missing_docs, reason = "a test target")]

use overwinter_study::error::StudyError;
use overwinter_study::scenario::load;
use proptest::prelude::*;

const SHIPPED: [&str; 6] = [
    include_str!("../../../scenarios/first-winter.toml"),
    include_str!("../../../scenarios/four-covers.toml"),
    include_str!("../../../scenarios/unheated-tunnel.toml"),
    include_str!("../../../scenarios/warm-crop-screen.toml"),
    include_str!("../../../scenarios/plain-room.toml"),
    include_str!("every_key.toml"),
];

/// Pieces that are likely to meet a weak spot.
const PIECES: [&str; 22] = [
    "0",
    "-1",
    "1e308",
    "nan",
    "inf",
    "\"\"",
    "\"R 0\"",
    "\"0 m\"",
    "\"-5 degF\"",
    "[]",
    "{}",
    "true",
    "[[heater]]",
    "[[axis]]",
    "[house]",
    "\n",
    "\"",
    "=",
    ".",
    "\u{b0}",
    "2020-01-01",
    "\"1e400 ft\"",
];

#[derive(Clone, Debug)]
enum Mutation {
    DropLine(prop::sample::Index),
    DoubleLine(prop::sample::Index),
    SwapLines(prop::sample::Index, prop::sample::Index),
    ReplaceValue(prop::sample::Index, &'static str),
    Insert(prop::sample::Index, &'static str),
    Cut(prop::sample::Index),
    DropLetter(prop::sample::Index),
}

fn mutation() -> impl Strategy<Value = Mutation> {
    let index = any::<prop::sample::Index>;
    let piece = || prop::sample::select(PIECES.to_vec());
    prop_oneof![
        index().prop_map(Mutation::DropLine),
        index().prop_map(Mutation::DoubleLine),
        (index(), index()).prop_map(|(a, b)| Mutation::SwapLines(a, b)),
        (index(), piece()).prop_map(|(at, piece)| Mutation::ReplaceValue(at, piece)),
        (index(), piece()).prop_map(|(at, piece)| Mutation::Insert(at, piece)),
        index().prop_map(Mutation::Cut),
        index().prop_map(Mutation::DropLetter),
    ]
}

fn mutated(text: &str, mutation: &Mutation) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    if lines.is_empty() {
        return String::new();
    }
    let boundaries: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
    let letter = |at: &prop::sample::Index| boundaries[at.index(boundaries.len())];
    match mutation {
        Mutation::DropLine(at) => drop(lines.remove(at.index(lines.len()))),
        Mutation::DoubleLine(at) => {
            let at = at.index(lines.len());
            lines.insert(at, lines[at].clone());
        }
        Mutation::SwapLines(a, b) => {
            let (a, b) = (a.index(lines.len()), b.index(lines.len()));
            lines.swap(a, b);
        }
        Mutation::ReplaceValue(at, piece) => {
            let at = at.index(lines.len());
            if let Some((key, _)) = lines[at].clone().split_once('=') {
                lines[at] = format!("{key}= {piece}");
            }
        }
        Mutation::Insert(at, piece) => {
            let at = letter(at);
            return format!("{}{piece}{}", &text[..at], &text[at..]);
        }
        Mutation::Cut(at) => return text[..letter(at)].to_owned(),
        Mutation::DropLetter(at) => {
            let at = letter(at);
            let after = text[at..].chars().next().map_or(0, char::len_utf8);
            return format!("{}{}", &text[..at], &text[at + after..]);
        }
    }
    lines.join("\n")
}

fn check_bytes(bytes: &[u8]) -> Result<(), TestCaseError> {
    let told = |error: std::io::Error| TestCaseError::fail(error.to_string());
    let folder = tempfile::tempdir().map_err(told)?;
    let path = folder.path().join("mutated.toml");
    std::fs::write(&path, bytes).map_err(told)?;
    match load(&path) {
        Ok(study) => prop_assert!(!study.cases.is_empty()),
        Err(StudyError::Scenario { problems, .. }) => {
            prop_assert!(!problems.is_empty());
            let last = bytes.iter().filter(|byte| **byte == b'\n').count() + 1;
            for problem in problems {
                prop_assert!((1..=last).contains(&problem.line), "{problem:?}");
                prop_assert!(!problem.message.is_empty());
            }
        }
        Err(StudyError::NotText { line, .. }) => prop_assert!(line >= 1),
        Err(other) => return Err(TestCaseError::fail(other.to_string())),
    }
    Ok(())
}

fn mutated_often(text: &str, mutations: &[Mutation]) -> String {
    mutations
        .iter()
        .fold(text.to_owned(), |text, mutation| mutated(&text, mutation))
}

proptest! {
    // Few, because each reads a year of weather.
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn mutated_scenarios_with_weather_load_or_tell_the_line(
        mutations in prop::collection::vec(mutation(), 1..3),
    ) {
        let weather = concat!(env!("CARGO_MANIFEST_DIR"), "/../../weather/");
        let text = SHIPPED[0].replace("../weather/", weather);
        check_bytes(mutated_often(&text, &mutations).as_bytes())?;
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn mutated_scenarios_load_or_tell_the_line(
        which in 0..SHIPPED.len(),
        mutations in prop::collection::vec(mutation(), 1..6),
    ) {
        check_bytes(mutated_often(SHIPPED[which], &mutations).as_bytes())?;
    }

    #[test]
    fn any_bytes_load_or_tell_the_line(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        check_bytes(&bytes)?;
    }

    #[test]
    fn any_toml_like_text_loads_or_tells_the_line(text in "([a-z_.]{1,8} = [\\[{\"0-9a-z., }\\]]{0,12}\n|\\[\\[?[a-z]{1,7}\\]?\\]\n){0,12}") {
        check_bytes(text.as_bytes())?;
    }
}

#[test]
fn unmutated_scenarios_only_miss_their_weather() {
    for text in SHIPPED {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let path = folder.path().join("lone.toml");
        std::fs::write(&path, text).expect("written");
        let Err(StudyError::Scenario { problems, .. }) = load(&path) else {
            panic!("the weather is not there");
        };
        assert!(
            problems
                .iter()
                .all(|problem| problem.key == "weather.file" || problem.key.ends_with(".files")),
            "{problems:?}"
        );
    }
}

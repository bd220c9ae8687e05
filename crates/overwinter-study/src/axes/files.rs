//! An axis of weather files: `files = ["../weather/*.epw", "../more-weather"]`.
//!
//! A pattern has `*` and `?` for letters of a name and `**` for folders of any depth; a folder stands
//! for the weather files in it.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use glob::Pattern;

use super::{Alternative, text_node};
use crate::climate::{is_weather, offer};
use crate::document::{Form, Node, Part};

/// Most files and folders that a pattern may stand for: one that starts high up takes in a whole disk.
const MOST_PATHS: usize = 20_000;
/// The key of such an axis.
const KEY: &str = "weather.file";

/// One alternative for each weather file, sorted by path, each once.
pub(super) fn read(part: &Part<'_>, axis: usize, folder: &Path) -> Vec<Alternative> {
    if part.has("key") && part.text("key").is_some_and(|key| key != KEY) {
        part.problem("key", "`files` are alternatives of `weather.file`");
    }
    if part.has("labels") {
        part.problem("labels", "files are labelled by their names");
    }
    part.may_be("files", || Form::Listed(Box::new(Form::Text)));
    part.may_be("files", || Form::Text);
    let mut files: BTreeMap<String, &Node> = BTreeMap::new();
    let mut seen: BTreeSet<PathBuf> = BTreeSet::new();
    for (node, pattern) in part.texts("files").unwrap_or_default() {
        match matching(pattern, folder) {
            Ok(found) => {
                for (written, path) in found {
                    let once = path.canonicalize().unwrap_or(path);
                    if seen.insert(once) {
                        files.insert(written, node);
                    }
                }
            }
            Err(message) => part.refuse("files", node, &message),
        }
    }
    let labels = labels(files.keys());
    let alternative = |(index, ((written, node), label)): (usize, ((String, &Node), String))| {
        let change = text_node(written, node.place, (axis, index));
        Alternative {
            label,
            place: node.place,
            changes: vec![(KEY.to_owned(), change)],
        }
    };
    files
        .into_iter()
        .zip(labels)
        .enumerate()
        .map(alternative)
        .collect()
}

/// Weather files that a path or pattern stands for, as a scenario would write them and as found. As
/// one file is, they are looked for beside the scenario first and then from here.
fn matching(pattern: &str, folder: &Path) -> Result<Vec<(String, PathBuf)>, String> {
    let pattern = pattern.trim_end_matches('/');
    let tried = [folder, Path::new("")];
    for folder in tried {
        let found = matching_in(pattern, folder)?;
        if !found.is_empty() {
            return Ok(found);
        }
    }
    let tried = tried.map(|folder| folder.join(fixed_folder(pattern)));
    let offered = tried.iter().find_map(|folder| offer(folder));
    Err(format!(
        "matches no weather file{}",
        offered.unwrap_or_else(|| format!("; there is none in {}", tried[0].display()))
    ))
}

fn matching_in(pattern: &str, folder: &Path) -> Result<Vec<(String, PathBuf)>, String> {
    let plain = folder.join(pattern);
    if plain.is_file() {
        return Ok(vec![(pattern.to_owned(), plain)]);
    }
    // Letters that mean something in a pattern may stand in the name of a folder.
    let found = if plain.is_dir() {
        vec![plain]
    } else {
        matched(pattern, folder)?
    };
    let mut files = Vec::new();
    for path in found {
        if path.is_dir() {
            let entries = std::fs::read_dir(&path).into_iter().flatten();
            files.extend(entries.filter_map(|entry| Some(entry.ok()?.path())));
        } else {
            files.push(path);
        }
    }
    files.retain(|file| is_weather(file));
    let written = |path: PathBuf| {
        let short = path.strip_prefix(folder).unwrap_or(&path);
        (short.display().to_string().replace('\\', "/"), path)
    };
    Ok(files.into_iter().map(written).collect())
}

/// Files and folders that a pattern stands for; a folder that may not be read has none.
fn matched(pattern: &str, folder: &Path) -> Result<Vec<PathBuf>, String> {
    let start = Pattern::escape(&folder.display().to_string());
    let whole = Path::new(&start).join(pattern).display().to_string();
    match glob::glob(&whole) {
        Ok(found) => {
            let found: Vec<PathBuf> = found.take(MOST_PATHS + 1).filter_map(Result::ok).collect();
            if found.len() > MOST_PATHS {
                return Err(format!(
                    "stands for more than {MOST_PATHS} files and folders; start from a folder further down"
                ));
            }
            Ok(found)
        }
        Err(error) => Err(format!("is no pattern of paths: {}", error.msg)),
    }
}

/// The folders of a pattern before its first wildcard.
fn fixed_folder(pattern: &str) -> PathBuf {
    let path = Path::new(pattern);
    let is_fixed = |step: &std::path::Component<'_>| {
        let step = step.as_os_str().to_string_lossy();
        !step.contains(['*', '?', '['])
    };
    let fixed: PathBuf = path.components().take_while(is_fixed).collect();
    if fixed == path {
        fixed.parent().map(Path::to_owned).unwrap_or_default()
    } else {
        fixed
    }
}

/// Names without folder and ending, or the whole path where two have the same.
fn labels<'a>(paths: impl Iterator<Item = &'a String> + Clone) -> Vec<String> {
    let stem = |path: &String| {
        let stem = Path::new(path).file_stem();
        stem.map_or_else(|| path.clone(), |stem| stem.to_string_lossy().into_owned())
    };
    let mut times: BTreeMap<String, usize> = BTreeMap::new();
    for path in paths.clone() {
        *times.entry(stem(path)).or_default() += 1;
    }
    let label = |path: &String| {
        let stem = stem(path);
        if times[&stem] > 1 { path.clone() } else { stem }
    };
    paths.map(label).collect()
}

#[cfg(test)]
mod tests {
    use std::cell::RefCell;

    use super::*;
    use crate::document::{Findings, parse};

    /// A folder with a scenario's place `plans` and weather beside it.
    fn place() -> tempfile::TempDir {
        let folder = tempfile::tempdir().expect("a folder");
        for path in [
            "plans/near.epw",
            "weather [old]/b.epw",
            "weather [old]/a.epw",
            "weather [old]/notes.txt",
            "weather [old]/deep/er/c.EPW",
            "more/a.epw",
            "more/d.csv",
        ] {
            let path = folder.path().join(path);
            std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
            std::fs::write(path, "").expect("written");
        }
        folder
    }

    fn files(list: &str) -> Result<Vec<(String, String)>, String> {
        let folder = place();
        let document = parse(&format!("files = {list}")).expect("valid TOML");
        let findings = RefCell::new(Findings::default());
        let part = Part::root(&document, &findings);
        let found = read(&part, 0, &folder.path().join("plans"));
        let pair = |one: Alternative| {
            let crate::document::Value::Text(path) = &one.changes[0].1.value else {
                panic!("a text")
            };
            (one.label, path.clone())
        };
        match findings.into_inner().problems.first() {
            None => Ok(found.into_iter().map(pair).collect()),
            Some(problem) => Err(problem.to_string()),
        }
    }

    fn check(list: &str, wanted: &[(&str, &str)]) {
        let wanted: Vec<_> = wanted
            .iter()
            .map(|(label, path)| ((*label).to_owned(), (*path).to_owned()))
            .collect();
        assert_eq!(files(list), Ok(wanted), "{list}");
    }

    #[test]
    fn files_are_found_beside_the_scenario_and_sorted() {
        let [a, b, c] = [
            ("a", "../weather [old]/a.epw"),
            ("b", "../weather [old]/b.epw"),
            ("c", "../weather [old]/deep/er/c.EPW"),
        ];
        check(r#""near.epw""#, &[("near", "near.epw")]);
        check(r#""*.epw""#, &[("near", "near.epw")]);
        check(r#"["../weather [[]old]/*.epw"]"#, &[a, b]);
        check(r#"["../weather [old]"]"#, &[a, b]);
        check(r#"["../w*/?.epw"]"#, &[a, b]);
        check(r#"["../w*/**/*"]"#, &[a, b, c]);
        check(
            r#"["../weather*", "../more"]"#,
            &[
                ("../more/a.epw", "../more/a.epw"),
                ("d", "../more/d.csv"),
                ("../weather [old]/a.epw", a.1),
                b,
            ],
        );
    }

    #[test]
    fn a_file_counts_once_however_it_is_written() {
        let list = r#"["../more/d.csv", "../plans/../more/*.csv", "../more/d.csv"]"#;
        check(list, &[("d", "../more/d.csv")]);
    }

    #[test]
    fn a_pattern_without_files_is_answered_with_those_there_are() {
        for (list, wanted) in [
            (r#"["../more/*.tm2"]"#, "more are a.epw, d.csv"),
            (r#"["../more/x?.epw"]"#, "matches no weather file"),
            (r#"["../nowhere/*.epw"]"#, "there is none in"),
            (r#"["../nowhere"]"#, "matches no weather file"),
            (r#"["../more/***"]"#, "is no pattern"),
            ("[]", "at least one entry"),
            ("[1]", "a text in quotes"),
        ] {
            let message = files(list).expect_err(list);
            assert!(message.contains(wanted), "{list}: {message}");
        }
    }
}

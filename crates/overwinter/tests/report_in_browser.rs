//! The page as a browser shows and prints it, where one is installed: nothing is fetched, nothing goes
//! wrong, nothing is cut off, and it takes the sheets that its length asks for.

mod support;

use std::fs;
use std::path::{Path, PathBuf};

use overwinter::Exit;
use serde_json::Value;
use support::browser::Browser;
use support::{overwinter, scenario, weather};
use tempfile::TempDir;

/// Pixels of a millimetre (W3C, CSS Values and Units Level 3, section 6.2: 96 px are 25.4 mm).
const PX_PER_MM: f64 = 96.0 / 25.4;
/// Margins of the printed page in `style.rs`: above and below, left and right.
const MARGINS_MM: (f64, f64) = (16.0, 14.0);
/// Paper in mm: Letter is 8.5 by 11 in, A4 is 210 by 297 mm (ISO 216).
const PAPERS: [(&str, f64, f64); 2] = [("letter", 215.9, 279.4), ("A4", 210.0, 297.0)];
/// A narrow telephone.
const NARROW_PX: f64 = 390.0;

/// The browser, or a word that there is none.
fn browser() -> Option<Browser> {
    let found = Browser::found();
    if found.is_none() {
        // Nothing to test with: `.ci/run` says so.
        eprintln!("no Chromium is installed; set OVERWINTER_BROWSER to a browser of that kind");
    }
    found
}

/// A run of this scenario and its page.
fn page_of(folder: &TempDir, file: &str) -> PathBuf {
    let out = folder.path().join("out");
    let place = out.display().to_string();
    let ran = overwinter(&["run", file, "--out", &place, "--quiet", "--report"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    out.join("report.html")
}

#[test]
fn what_a_page_does_wrong_is_seen() {
    let Some(browser) = browser() else { return };
    let folder = tempfile::tempdir().expect("a folder");
    let page = folder.path().join("wrong.html");
    fs::write(
        &page,
        "<!DOCTYPE html><title>Wrong</title><style>p{break-before:page}</style>one<p>two<p>three\
         <img src='http://outside.invalid/a.png'><script>console.error('so it is')</script>",
    )
    .expect("written");
    let (seen, sheets) = browser.print(&page);
    assert_eq!(sheets, 3);
    assert!(
        seen.requests
            .iter()
            .any(|url| url == "http://outside.invalid/a.png"),
        "{seen:?}"
    );
    assert!(
        seen.console.iter().any(|line| line.contains("so it is")),
        "{seen:?}"
    );
    let cut = measured(
        &browser,
        &folder,
        "<!DOCTYPE html><html><head><style>@media print{}</style></head><body><div id=charts>\
         <svg viewBox='0 0 680 40'><text x='600' y='20'>a name that does not fit</text></svg></div>\
         <div id=annex style='width:900px'>wide</div></body></html>",
    );
    for frame in &cut {
        assert!(
            frame.cut.iter().any(|words| words.contains("does not fit")),
            "{frame:?}"
        );
        assert!(frame.scroll_px > frame.wide_px + 1.0, "{frame:?}");
    }
}

#[test]
fn the_page_of_one_house_is_whole_on_screen_and_on_paper() {
    let Some(browser) = browser() else { return };
    let folder = tempfile::tempdir().expect("a folder");
    let page = page_of(&folder, &scenario("first-winter.toml"));
    assert_whole(&browser, &folder, &page);
}

#[test]
fn the_page_of_many_draws_is_whole_on_screen_and_on_paper() {
    let Some(browser) = browser() else { return };
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("covers.toml");
    let text = fs::read_to_string(scenario("which-cover.toml")).expect("a scenario");
    let text = text
        .replace("draws = 40", "draws = 10")
        .replace("../weather/", &weather(""));
    fs::write(&file, text).expect("written");
    let page = page_of(&folder, &file.display().to_string());
    assert_whole(&browser, &folder, &page);
}

fn assert_whole(browser: &Browser, folder: &TempDir, page: &Path) {
    let html = fs::read_to_string(page).expect("a page");
    let frames = measured(browser, folder, &html);
    for frame in &frames {
        assert!(
            frame.scroll_px <= frame.wide_px + 0.5,
            "wider than the screen: {frame:?}"
        );
        assert_eq!(frame.cut, Vec::<String>::new(), "{}", frame.name);
    }
    for (paper, _, high_mm) in PAPERS {
        let sized = page.with_file_name(format!("{paper}.html"));
        let size = format!("@page{{size:{paper}}}</style>");
        fs::write(&sized, html.replace("</style>", &size)).expect("written");
        let (seen, sheets) = browser.print(&sized);
        assert_eq!(seen.console, Vec::<String>::new());
        assert_eq!(seen.requests, Vec::<String>::new());
        let frame = frames.iter().find(|frame| frame.name == paper);
        let sheet_px = (high_mm - 2.0 * MARGINS_MM.0) * PX_PER_MM;
        let parts = frame.expect("a frame for each paper").parts_px;
        assert!(
            parts[0] <= sheet_px,
            "the first page takes more than one sheet"
        );
        // The charts and the annex begin on a new sheet. What is not to be torn leaves room on some
        // sheets, but of all of them at least half is used.
        let least: f64 = parts.iter().map(|px| (px / sheet_px).ceil()).sum();
        let least = least as usize;
        eprintln!("{paper}: {sheets} sheets, {least} by length");
        assert!(
            (least..=2 * least).contains(&sheets),
            "{sheets} sheets of {paper}, {least} by length"
        );
    }
}

/// What a page looks like in a frame.
#[derive(Debug)]
struct Frame {
    name: String,
    wide_px: f64,
    scroll_px: f64,
    /// Heights of first page, charts and annex.
    parts_px: [f64; 3],
    /// Texts that reach out of the page or of their drawing.
    cut: Vec<String>,
}

/// The page in frames of the width of a telephone and of the two papers.
fn measured(browser: &Browser, folder: &TempDir, html: &str) -> Vec<Frame> {
    let as_printed = html.replace("@media print{", "@media all{");
    let mut frames = vec![("narrow", NARROW_PX, html)];
    for (paper, wide_mm, _) in PAPERS {
        let wide_px = (wide_mm - 2.0 * MARGINS_MM.1) * PX_PER_MM;
        frames.push((paper, wide_px.floor(), as_printed.as_str()));
    }
    let frame = |(name, wide_px, html): &(&str, f64, &str)| {
        let html = html.replace('&', "&amp;").replace('"', "&quot;");
        format!(
            "<iframe name='{name}' srcdoc=\"{html}\" style='width:{wide_px}px;height:900px;border:0'></iframe>"
        )
    };
    let frames: String = frames.iter().map(frame).collect();
    let path = folder.path().join("frames.html");
    let script = include_str!("support/measure.js");
    fs::write(
        &path,
        format!("<!DOCTYPE html><title>Frames</title>{frames}<script>{script}</script>"),
    )
    .expect("written");
    let seen = browser.open(&path);
    let (_, from) = seen.out.split_once("MEASURED").expect("measured");
    let (json, _) = from.split_once("END").expect("all of it");
    let json = json.replace("&lt;", "<").replace("&gt;", ">");
    let found: Value = serde_json::from_str(&json.replace("&amp;", "&")).expect("numbers");
    let found = found.as_array().expect("frames").iter();
    found.map(read_frame).collect()
}

fn read_frame(frame: &Value) -> Frame {
    let number = |value: &Value| value.as_f64().expect("a number");
    let texts = frame["cut"].as_array().expect("texts").iter();
    Frame {
        name: frame["name"].as_str().expect("a name").to_owned(),
        wide_px: number(&frame["wide"]),
        scroll_px: number(&frame["scroll"]),
        parts_px: [0, 1, 2].map(|part| number(&frame["parts"][part])),
        cut: texts.map(ToString::to_string).collect(),
    }
}

//! A browser without a window, where one is installed, and what it makes of a page.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::Value;

/// Names under which a browser of this kind is installed.
const NAMES: [&str; 4] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
];

/// A browser that was found.
pub(crate) struct Browser {
    program: String,
}

/// What a page did while it was open.
#[derive(Debug)]
pub(crate) struct Seen {
    /// What was asked for: the document as it stood in the end.
    pub(crate) out: String,
    /// Lines of the console.
    pub(crate) console: Vec<String>,
    /// Addresses that the page asked for, other than those of files.
    pub(crate) requests: Vec<String>,
}

impl Browser {
    /// That of `OVERWINTER_BROWSER`, else the first of the usual names that starts.
    pub(crate) fn found() -> Option<Self> {
        let named = std::env::var("OVERWINTER_BROWSER").ok();
        let names = named
            .into_iter()
            .chain(NAMES.iter().map(|&name| name.to_owned()));
        let starts = |program: &String| {
            let ran = Command::new(program)
                .arg("--version")
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .status();
            ran.is_ok_and(|status| status.success())
        };
        let program = names.into_iter().find(starts)?;
        Some(Self { program })
    }

    /// Opens the page and gives the document as it stands in the end.
    pub(crate) fn open(&self, page: &Path) -> Seen {
        self.run(page, "--dump-dom".to_owned())
    }

    /// Prints the page and counts the sheets.
    pub(crate) fn print(&self, page: &Path) -> (Seen, usize) {
        let paper = page.with_extension("pdf");
        let seen = self.run(page, format!("--print-to-pdf={}", paper.display()));
        let printed = fs::read(&paper).unwrap_or_else(|error| panic!("{error}\n{seen:?}"));
        (seen, sheets(&printed))
    }

    fn run(&self, page: &Path, what: String) -> Seen {
        let profile = page.with_file_name("profile");
        let log = page.with_extension("requests.json");
        let ran = Command::new(&self.program)
            .args([
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--no-first-run",
                "--disable-background-networking",
                "--disable-component-update",
                "--host-resolver-rules=MAP * ~NOTFOUND",
                "--no-pdf-header-footer",
                "--enable-logging=stderr",
            ])
            .arg(format!("--user-data-dir={}", profile.display()))
            .arg(format!("--log-net-log={}", log.display()))
            .arg(what)
            .arg(format!("file://{}", page.display()))
            .output()
            .expect("the browser starts");
        let err = String::from_utf8_lossy(&ran.stderr);
        assert!(ran.status.success(), "{err}");
        let log = fs::read_to_string(&log).expect("a log of requests");
        Seen {
            out: String::from_utf8_lossy(&ran.stdout).into_owned(),
            console: err
                .lines()
                .filter(|line| line.contains(":CONSOLE"))
                .map(str::to_owned)
                .collect(),
            requests: requests(&log),
        }
    }
}

/// What a page of a file asked for. A browser asks for things of its own as well; those do not belong
/// to a page, which is to be seen from their key.
fn requests(log: &str) -> Vec<String> {
    let log: Value = serde_json::from_str(log).expect("a log that was ended");
    let events = log["events"].as_array().expect("events");
    assert!(events.len() > 10, "nothing was logged");
    let asked = |event: &Value| {
        let key = event["params"]["network_isolation_key"].as_str()?;
        let url = event["params"]["url"].as_str()?;
        (key.contains("file://") && !url.starts_with("file:")).then(|| url.to_owned())
    };
    events.iter().filter_map(asked).collect()
}

/// Sheets of a printed file: objects of type `Page` (ISO 32000-1, 2008, 7.7.3.3), which this browser
/// does not pack.
fn sheets(printed: &[u8]) -> usize {
    let text = String::from_utf8_lossy(printed);
    let pages = text.matches("/Type /Page").count() - text.matches("/Type /Pages").count();
    assert!(text.starts_with("%PDF-"), "not a printed file");
    pages
}

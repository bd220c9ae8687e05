//! `inflate`: what is shown of inflated covers, and what is refused.

mod support;

use std::fs;

use overwinter::Exit;
use support::{Ended, overwinter, scenario};

/// Two halves of a roof on a narrow hose, and ends behind them.
const NETWORK: &str = "
[inflation]
air = \"inside\"
flap = \"shuts by itself\"
[[inflation.section]]
name = \"south half\"
part = \"roof and sides\"
share = \"50 %\"
[[inflation.section]]
name = \"north half\"
part = \"roof and sides\"
[[inflation.section]]
name = \"ends\"
part = \"ends\"
[[inflation.jumper]]
from = \"south half\"
to = \"north half\"
diameter = \"1 in\"
[[inflation.jumper]]
from = \"north half\"
to = \"ends\"
";

fn shown(arguments: &[&str]) -> Ended {
    let mut all = vec!["inflate"];
    all.extend(arguments);
    let ended = overwinter(&all);
    assert_eq!(ended.exit, Exit::Done, "{arguments:?}\n{}", ended.err);
    let too_wide = |line: &&str| line.chars().count() > 100;
    assert_eq!(ended.out.lines().find(too_wide), None, "{arguments:?}");
    assert!(!ended.out.contains("NaN") && !ended.out.contains("inf "));
    ended
}

fn refused(arguments: &[&str], wanted: &[&str]) {
    let mut all = vec!["inflate"];
    all.extend(arguments);
    let ended = overwinter(&all);
    assert_eq!(ended.exit, Exit::BadInput, "{arguments:?}\n{}", ended.out);
    assert_eq!(ended.out, "", "{arguments:?}");
    for wanted in wanted {
        assert!(ended.err.contains(wanted), "{arguments:?}: {}", ended.err);
    }
}

fn written(folder: &tempfile::TempDir, more: &str) -> String {
    let text = fs::read_to_string(scenario("first-winter.toml")).expect("a shipped file");
    let text = text
        .replace("../weather/", &support::weather(""))
        .replace("\"twin-wall sheet 8 mm\"", "\"inflated pair\"");
    let file = folder.path().join("house.toml");
    fs::write(&file, text + more).expect("written");
    file.display().to_string()
}

/// The usual damper gives the pressure asked for: 0.22 inH2O, 55 Pa.
#[test]
fn a_plain_house_holds_its_pressure() {
    for (units, row) in [("us", "0.22     55"), ("si", "55   0.22")] {
        let ended = shown(&[&scenario("first-winter.toml"), "--units", units]);
        assert_eq!(ended.err, "");
        let line = ended
            .out
            .lines()
            .find(|line| line.starts_with("  roof and sides"));
        assert!(line.expect("the section").contains(row), "{}", ended.out);
        for wanted in [
            "nothing: every section",
            "Nobody has measured these times",
            "shut by hand",
            "85 % humidity",
            "USD",
            "1 kWh of a battery",
            "GFCI",
            "Ask the",
            "never measured",
        ] {
            assert!(ended.out.contains(wanted), "no {wanted} in\n{}", ended.out);
        }
    }
}

#[test]
fn sections_under_the_pressure_are_flagged_and_mended() {
    let temp = tempfile::tempdir().expect("a folder");
    let ended = shown(&[&written(&temp, NETWORK)]);
    let under = ended.out.lines().filter(|line| line.contains("UNDER"));
    assert_eq!(under.count(), 2, "{}", ended.out);
    for wanted in [
        "north half: ",
        "ends: ",
        " in hose",
        "from the house",
        "flap shuts by itself",
    ] {
        assert!(ended.out.contains(wanted), "no {wanted} in\n{}", ended.out);
    }
    assert!(!ended.out.contains("shut by hand"), "{}", ended.out);
}

#[test]
fn a_case_is_chosen_by_its_number() {
    let file = scenario("four-covers.toml");
    refused(
        &[&file],
        &[
            "case 1 has no inflated cover",
            "\"single film\" (roof and sides, ends)",
            "give --case 4",
        ],
    );
    let ended = shown(&[&file, "--case", "4"]);
    assert!(ended.out.contains("4 of "), "{}", ended.out);
    refused(
        &[&file, "--case", "99"],
        &["there is no case 99", "from 1 to"],
    );
    refused(&[&file, "--case", "0"], &["there is no case 0"]);
    refused(&[&file, "--case", "two"], &["invalid value"]);
}

#[test]
fn what_cannot_be_answered_is_refused() {
    refused(&["gone.toml"], &["gone.toml"]);
    refused(&[&scenario("plain-room.toml")], &["no inflated cover"]);
    let temp = tempfile::tempdir().expect("a folder");
    let file = written(&temp, "[inflation]\npressure = \"60\"\n");
    refused(&[&file], &["inflation.pressure", "has no unit"]);
}

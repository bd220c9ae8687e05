//! `cover`: what is shown of covers, and what is refused.

mod support;

use std::fs;

use overwinter::Exit;
use support::{Ended, overwinter, scenario};

fn shown(arguments: &[&str]) -> Ended {
    let mut all = vec!["cover"];
    all.extend(arguments);
    let ended = overwinter(&all);
    assert_eq!((ended.exit, &*ended.err), (Exit::Done, ""), "{arguments:?}");
    let too_wide = |line: &&str| line.chars().count() > 100;
    assert_eq!(ended.out.lines().find(too_wide), None, "{arguments:?}");
    ended
}

fn refused(arguments: &[&str], wanted: &str) {
    let mut all = vec!["cover"];
    all.extend(arguments);
    let ended = overwinter(&all);
    assert_eq!(ended.exit, Exit::BadInput, "{arguments:?}\n{}", ended.out);
    assert_eq!(ended.out, "", "{arguments:?}");
    assert!(ended.err.contains(wanted), "{arguments:?}: {}", ended.err);
}

/// The number that stands after a label at the start of a line.
fn number_after(text: &str, label: &str) -> f64 {
    let lines = text.lines().map(str::trim_start);
    let mut rest = lines.filter_map(|line| line.strip_prefix(label));
    let rest = rest
        .next()
        .unwrap_or_else(|| panic!("no {label} in\n{text}"));
    let word = rest
        .split_whitespace()
        .find(|word| word.parse::<f64>().is_ok());
    word.and_then(|word| word.parse().ok()).expect(label)
}

#[test]
fn the_catalogue_is_one_table() {
    for units in ["us", "si"] {
        let ended = shown(&["--units", units]);
        for cover in ["single film", "insulating glass", "triple-wall sheet 16 mm"] {
            assert!(ended.out.contains(cover), "{}", ended.out);
        }
        assert!(ended.out.contains("not a season's saving"));
    }
}

/// An extension guide gives 0.6 to 0.7 Btu/(h ft2 F) for any double glazing and 1.0 to 1.2 for any
/// single one (U.S. Cooperative Extension, Glazing Materials).
#[test]
fn a_wet_cover_loses_what_handbooks_say() {
    for (name, [low, high]) in [("inflated pair", [0.6, 0.7]), ("single film", [1.0, 1.2])] {
        let ended = shown(&["--of", name]);
        let u = number_after(&ended.out, "U ");
        assert!((low..=high).contains(&u), "{name}: {u}");
    }
}

/// R 5 is U 0.2 by definition; tables give double film about 0.7, 3.5 times as much.
#[test]
fn a_claim_stands_beside_the_physics() {
    let ended = shown(&["--of", "inflated pair", "--claim", "R 5"]);
    let out = &ended.out;
    assert!(
        out.contains("R 5.00 (0.881 m2K/W) means U 0.20 Btu/hft2F (1.14"),
        "{out}"
    );
    assert!(
        out.contains("sky as warm as the air, inner face wet: R "),
        "{out}"
    );
    let [dry, wet] = [
        "claim over R, inner face dry",
        "claim over R, inner face wet",
    ]
    .map(|label| number_after(out, label));
    assert!(wet > 2.0 && dry > wet && dry < 6.0, "{dry} {wet}\n{out}");
    let claimed_in_si = shown(&["--of", "inflated pair", "--claim", "0.88055 m2K/W"]);
    assert_eq!(&claimed_in_si.out, out);
}

#[test]
fn conditions_given_are_told_from_defaults() {
    let given = [
        "--inside",
        "60 degF",
        "--outside=-18 degC",
        "--sky-below",
        "0 K",
        "--wind",
        "15 mph",
    ];
    let more = ["--tilt", "90 deg", "--wet", "0", "--of", "single glass"];
    let ended = shown(&[&given[..], &more[..]].concat());
    assert_eq!(ended.out.matches("as given").count(), 6, "{}", ended.out);
    assert!(!ended.out.contains("default;"));
    assert!(ended.out.contains("60.0 degF (15.6 degC)"), "{}", ended.out);
    assert!(
        ended.out.contains("-0.4 degF (-18.0 degC)"),
        "{}",
        ended.out
    );
}

#[test]
fn every_shipped_scenario_shows_its_covers() {
    for (file, covers) in [
        ("first-winter.toml", vec!["inflated pair"]),
        (
            "four-covers.toml",
            vec!["single film", "twin-wall sheet 8 mm"],
        ),
        ("plain-room.toml", vec!["two clear panes"]),
        (
            "warm-crop-screen.toml",
            vec!["inflated pair, anti-drip inside"],
        ),
        ("unheated-tunnel.toml", vec![]),
    ] {
        let ended = shown(&[&scenario(file)]);
        for cover in covers {
            let heads = |line: &str| line == cover || line.starts_with(&format!("{cover}: "));
            assert!(ended.out.lines().any(heads), "no {cover} in\n{}", ended.out);
        }
    }
}

/// Sheets of 6 and 8 mm are the same skins with another gap between them.
#[test]
fn covers_that_differ_in_the_gap_alone_are_told_apart() {
    let temp = tempfile::tempdir().expect("a folder");
    let file = temp.path().join("sheets.toml");
    let text = fs::read_to_string(scenario("four-covers.toml")).expect("a shipped file");
    let weather = support::weather("");
    let text = text
        .replace("../weather/", &weather)
        .replace("\"single film\"", "\"twin-wall sheet 6 mm\"");
    fs::write(&file, text).expect("written");
    let ended = shown(&[&file.display().to_string()]);
    let [six, eight] = ["twin-wall sheet 6 mm: ", "twin-wall sheet 8 mm: "].map(|name| {
        let from = ended.out.find(name).unwrap_or_else(|| panic!("no {name}"));
        number_after(&ended.out[from..], "U ")
    });
    assert!(six > eight, "{six} {eight}");
}

#[test]
fn what_cannot_be_answered_is_refused_with_what_would_be_right() {
    refused(
        &["--of", "inflated pare"],
        "did you mean \"inflated pair\"?",
    );
    refused(&["--of", "thatch"], "`overwinter cover` alone lists");
    refused(&["--inside", "50"], "has no unit");
    refused(&["--inside", "50 mph"], "a temperature is wanted");
    refused(&["--inside", "500 degF"], "outside the range of house air");
    refused(
        &["--outside", "-200 degC"],
        "outside the range of outdoor air",
    );
    refused(&["--sky-below", "-3 K"], "outside the range of sky");
    refused(&["--wind", "-1 m/s"], "outside the range of wind");
    refused(&["--tilt", "120 deg"], "outside the range of tilt");
    refused(&["--wet", "80"], "did you mean \"80 %\"?");
    refused(&["--claim", "5"], "units are m2K/W, hft2F/Btu");
    refused(&["--claim", "R 0"], "outside the range of claimed R-value");
    refused(&["--claim", "R nan"], "no number");
    refused(
        &["--inside", "5 degC", "--outside", "5 degC"],
        "at least 1 K",
    );
    refused(&["--inside", "0 degC", "--outside", "10 degC"], "-10.00 K");
    refused(&["--inside", "1e999 degC"], "too large");
    refused(&["gone.toml"], "gone.toml");
    refused(&["gone.toml", "--of", "single film"], "cannot be used with");
}

/// The ends of what may be asked, in every combination.
#[test]
fn extremes_have_an_answer() {
    for outside in ["-70 degC", "-41 degC"] {
        for sky in ["0 K", "60 K"] {
            for wind in ["0 m/s", "60 m/s"] {
                for tilt in ["0 deg", "90 deg"] {
                    let outside = format!("--outside={outside}");
                    let rest = [&outside, "--inside", "60 degC", "--sky-below", sky];
                    let more = ["--wind", wind, "--tilt", tilt, "--wet", "50 %"];
                    let ended = shown(&[&rest[..], &more[..]].concat());
                    assert!(!ended.out.contains("NaN") && !ended.out.contains("inf "));
                }
            }
        }
    }
}

/// A film that neither absorbs nor emits has no temperature of its own.
#[test]
fn a_cover_that_cannot_be_is_refused_by_name() {
    let temp = tempfile::tempdir().expect("a folder");
    let file = temp.path().join("ghost.toml");
    let text = fs::read_to_string(scenario("first-winter.toml")).expect("a shipped file");
    let text = text
        .replace("../weather/", &support::weather(""))
        .replace("\"inflated pair\"", "\"ghost\"");
    let ghost = "
[[own_cover]]
name = \"ghost\"
[[own_cover.layer]]
like = \"plain film\"
longwave_transmittance = 0.92
longwave_reflectance = 0.08
";
    fs::write(&file, text + ghost).expect("written");
    refused(
        &[&file.display().to_string()],
        "ghost: layer 1 from the house: longwave emissivity",
    );
}

#[test]
fn any_text_is_answered_or_refused() {
    let texts = [
        "",
        " ",
        "-",
        "+.",
        "NaN",
        "inf K",
        "1e308 degC",
        "-1e308 m/s",
        "\u{661} K",
        "\u{1b}[2J",
        "R",
        "R-",
        "RSI 0",
        "50 %%",
        "0 K 0 K",
        "--",
        "\"",
    ];
    let options = [
        "--of",
        "--inside",
        "--outside",
        "--sky-below",
        "--wind",
        "--tilt",
        "--wet",
        "--claim",
        "--units",
    ];
    for option in options {
        for text in texts {
            let ended = overwinter(&["cover", &format!("{option}={text}")]);
            assert_eq!(
                ended.exit,
                Exit::BadInput,
                "{option} {text:?}\n{}",
                ended.out
            );
            assert!(!ended.err.is_empty(), "{option} {text:?}");
        }
    }
}

//! Every kind of bad input is refused with its line, key, value and what would be right.

#![allow(missing_docs, reason = "a test target")]

mod support;

use std::path::PathBuf;

use overwinter_study::error::{Problem, StudyError};
use overwinter_study::scenario::load;
use support::{checked, problems, read};

/// A sound scenario; the weather line is line 3.
const GOOD: &str = r#"title = "Sound"
[weather]
file = "WEATHER"
[house]
shape = "gothic"
width = "30 ft"
length = "96 ft"
[cover]
roof = "inflated pair"
[hold]
temp = "40 degF"
[[heater]]
fuel = "propane"
"#;

/// The sound scenario with one line changed gives a problem on that line with these words.
fn check_line(old: &str, new: &str, key: &str, wanted: &[&str]) {
    assert!(GOOD.contains(old), "{old}");
    let text = GOOD.replacen(old, new, 1);
    let line = GOOD[..GOOD.find(old).expect("checked")]
        .matches('\n')
        .count()
        + 1;
    let problems = problems(&text);
    let problem = problems
        .iter()
        .find(|problem| problem.key == key)
        .unwrap_or_else(|| panic!("{new}: {problems:?}"));
    let message = problem.to_string();
    for word in wanted {
        assert!(message.contains(word), "{new}: {message}");
    }
    let last = line + new.matches('\n').count();
    assert!(
        (line..=last).contains(&problem.line),
        "{new}: line {}",
        problem.line
    );
}

/// The sound scenario without one line misses a key of the table that begins on `table_line`.
fn check_missing(gone: &str, instead: &str, key: &str, table_line: usize) {
    let problems = problems(&GOOD.replacen(gone, instead, 1));
    let problem = problems.iter().find(|problem| problem.key == key);
    let problem = problem.unwrap_or_else(|| panic!("{gone}: {problems:?}"));
    assert!(
        problem.message.starts_with("missing: give "),
        "{gone}: {problem}"
    );
    assert_eq!(problem.line, table_line, "{gone}");
}

#[test]
fn missing_inputs_are_asked_for_where_they_belong() {
    check_missing("width = \"30 ft\"\n", "", "house.width", 4);
    check_missing("file = \"WEATHER\"\n", "", "weather.file", 2);
    check_missing("temp = \"40 degF\"\n", "", "hold.temp", 10);
    check_missing("roof = \"inflated pair\"\n", "", "cover.roof", 8);
    check_missing(
        "fuel = \"propane\"",
        "output = \"9 kW\"",
        "heater.1.fuel",
        12,
    );
}

#[test]
fn the_sound_scenario_is_sound() {
    let checked = checked(GOOD);
    assert_eq!(checked.warnings, Vec::<String>::new());
    assert_eq!(checked.study.cases.len(), 1);
}

#[test]
fn quantities_are_refused_with_their_reason() {
    let width = "width = \"30 ft\"";
    check_line(
        width,
        "width = \"30\"",
        "house.width",
        &["has no unit", "a length", "m, km", "ft"],
    );
    check_line(
        width,
        "width = 30",
        "house.width",
        &["has no unit", "a length"],
    );
    check_line(
        width,
        "width = \"30 degF\"",
        "house.width",
        &["is a temperature", "a length is wanted"],
    );
    check_line(
        width,
        "width = \"30 fet\"",
        "house.width",
        &["no unit known", "fet"],
    );
    check_line(
        width,
        "width = \"1 in\"",
        "house.width",
        &["outside the range", "1 m to 200 m"],
    );
    check_line(width, "width = true", "house.width", &["true or false"]);
    check_line(width, "width = [\"30 ft\"]", "house.width", &["a list"]);
    check_line(
        width,
        "width = \"\"",
        "house.width",
        &["nothing is written"],
    );
    check_line(width, "width = \"nan ft\"", "house.width", &["no number"]);
    check_line(
        "fuel = \"propane\"",
        "fuel = \"propane\"\nefficiency = \"80\"",
        "heater.1.efficiency",
        &["80 %"],
    );
    check_line(
        "fuel = \"propane\"",
        "fuel = \"propane\"\nefficiency = 80",
        "heater.1.efficiency",
        &["outside"],
    );
}

#[test]
fn unknown_keys_and_names_suggest_the_nearest() {
    check_line(
        "width =",
        "widht = \"1 m\"\nwidth =",
        "house.widht",
        &["did you mean `width`"],
    );
    check_line(
        "[hold]",
        "[holt]\ntemp = \"40 degF\"\n[hold]",
        "holt",
        &["did you mean `hold`"],
    );
    check_line(
        "\"propane\"",
        "\"propan\"",
        "heater.1.fuel",
        &["did you mean \"propane\""],
    );
    check_line(
        "\"inflated pair\"",
        "\"inflated pear\"",
        "cover.roof",
        &["did you mean \"inflated pair\""],
    );
    check_line(
        "\"gothic\"",
        "\"pyramid\"",
        "house.shape",
        &["known are box, gable, gothic"],
    );
    check_line(
        "[hold]",
        "[purple]\nx = 1\n[hold]",
        "purple",
        &["unknown key; known here are"],
    );
}

#[test]
fn shapes_that_cannot_stand_are_refused() {
    check_line(
        "width =",
        "ridge_height = \"3 ft\"\nwidth =",
        "house.ridge_height",
        &["at least", "4 ft"],
    );
    check_line(
        "shape = \"gothic\"",
        "shape = \"round\"\nridge_height = \"40 ft\"",
        "house.ridge_height",
        &["at most", "19 ft"],
    );
}

#[test]
fn weather_problems_name_the_path_tried() {
    let file = "file = \"WEATHER\"";
    check_line(
        file,
        "file = \"nowhere.epw\"",
        "weather.file",
        &["no such weather file", "nowhere.epw"],
    );
    check_line(file, "file = 3", "weather.file", &["a text in quotes"]);
    let with = |more: &str| format!("{file}\n{more}");
    check_line(
        file,
        &with("cloudier_nights = -50"),
        "weather.cloudier_nights",
        &["-100 % to 100 %", "write \"-50 %\""],
    );
    // The lowest hour of this file is -23.3 degC.
    check_line(
        file,
        &with("coldest = \"-26 degC\"\nwarmer = \"-5 K\""),
        "weather.coldest",
        &["is not below the lowest air of the year when it is 5 K (9 degF) colder"],
    );
    let folder = tempfile::tempdir().expect("a temporary folder");
    let broken = folder.path().join("broken.epw");
    std::fs::write(&broken, "not weather at all\n").expect("written");
    let text = GOOD.replace("WEATHER", &broken.display().to_string());
    let problems = problems(&text);
    assert_eq!(
        (problems[0].line, problems[0].key.as_str()),
        (3, "weather.file")
    );
    assert!(
        problems[0].message.contains("no known weather format"),
        "{}",
        problems[0]
    );
}

/// More heat than the fuel holds can come from a heat pump alone.
#[test]
fn only_electricity_gives_more_heat_than_it_holds() {
    check_line(
        "fuel = \"propane\"",
        "fuel = \"propane\"\nefficiency = \"101 %\"",
        "heater.1.efficiency",
        &["101 %", "at most 100 %"],
    );
    for heater in [
        "\"electricity\"\nefficiency = \"300 %\"",
        "\"propane\"\nefficiency = \"100 %\"",
    ] {
        assert!(
            read(&GOOD.replace("\"propane\"", heater)).is_ok(),
            "{heater}"
        );
    }
}

#[test]
fn what_belongs_together_is_checked() {
    check_line(
        "[hold]",
        "[leakage]\ntightness = \"tight\"\nair_change = \"1 /h\"\n[hold]",
        "leakage",
        &["only one"],
    );
    check_line(
        "[hold]",
        "[[wall]]\non = \"south wall\"\nheight = \"9 ft\"\n[[wall.layer]]\nr_value = \"R 10\"\n[hold]",
        "wall.1.height",
        &["upright up to 1.22 m (4 ft)"],
    );
    check_line(
        "[hold]",
        "[[wall]]\non = \"upper wall\"\n[[wall.layer]]\nr_value = \"R 10\"\n[hold]",
        "wall.1.on",
        &["south wall"],
    );
    check_line(
        "[hold]",
        "[[window]]\nin = \"south wall\"\narea = \"9000 ft2\"\ncover = \"single glass\"\n[hold]",
        "window.1.area",
        &["larger than the part"],
    );
    check_line(
        "[hold]",
        "[prices]\npropane = \"2.10\"\n[hold]",
        "prices.propane",
        &["not a price"],
    );
    check_line(
        "[hold]",
        "[prices]\npropane = \"2 USD/ft\"\n[hold]",
        "prices.propane",
        &["not a price"],
    );
    check_line(
        "[hold]",
        "[prices]\npropane = \"2 USD/gal\"\nelectricity = \"0.3 EUR/kWh\"\n[hold]",
        "prices.electricity",
        &["one currency"],
    );
    check_line(
        "[hold]",
        "[prices]\nwood_pellets = \"2 USD/gal\"\n[hold]",
        "prices.wood_pellets",
        &["per ton"],
    );
    check_line(
        "[hold]",
        "[crop]\nkind = \"tomato\"\nfloor_share = \"0 %\"\n[hold]",
        "crop.floor_share",
        &["outside the range", "1 % to 100 %"],
    );
    check_line(
        "title = \"Sound\"",
        "title = \"Sound\"\nseed = 1.5",
        "seed",
        &["whole number"],
    );
}

/// University of Georgia Extension B792: lettuce in cool houses at 50 degF by night.
#[test]
fn a_crop_stands_in_for_a_hold_temperature() {
    let text = GOOD.replace("temp = \"40 degF\"", "") + "[crop]\nkind = \"salad greens\"\n";
    let study = checked(&text).study;
    let set = study.cases.held()[0].house.heat_set_k.at(0, 0.0);
    assert!((set - (50.0 + 459.67) * 5.0 / 9.0).abs() < 1e-9, "{set}");
    assert!(
        study
            .defaults
            .iter()
            .any(|used| used.key == "hold.temp" && used.value == "50 degF")
    );
}

#[test]
fn every_part_of_the_shell_needs_a_cover() {
    check_missing(
        "roof = \"inflated pair\"",
        "ends = \"single film\"",
        "cover.roof",
        8,
    );
    check_missing(
        "roof = \"inflated pair\"",
        "ends = \"single film\"",
        "cover.sides",
        8,
    );
    let covered = GOOD.replace(
        "roof = \"inflated pair\"",
        "roof = \"inflated pair\"\nends = \"single film\"",
    );
    assert!(read(&covered).is_ok());
}

#[test]
fn inputs_that_exclude_each_other_are_refused() {
    check_line(
        "[hold]",
        "[inflation]\nflow = \"40 cfm\"\nflow_per_area = \"0.04 L/sm2\"\n[hold]",
        "inflation.flow",
        &["not both"],
    );
    check_line(
        "[hold]",
        "[floor]\nkind = \"raised\"\nunderside = \"adiabatic\"\nunderside_temp = \"10 degC\"\n\
         [[floor.layer]]\nr_value = \"R 20\"\n[hold]",
        "floor.underside",
        &["not both"],
    );
    check_line(
        "[hold]",
        "[mass]\nwater = \"100 gal\"\nheat_capacity = \"1 MJ/K\"\n[hold]",
        "mass",
        &["give one of"],
    );
    check_line(
        "[hold]",
        "[screen]\nkind = \"velvet\"\n[hold]",
        "screen.kind",
        &["known are"],
    );
    check_line(
        "[hold]",
        "[[own_cover]]\nname = \"mine\"\n[[own_cover.layer]]\nlike = \"clear pane\"\n\
         [[own_cover.layer]]\nlike = \"clear pane\"\n[hold]",
        "own_cover.1.layer.1.space",
        &["missing"],
    );
    check_line(
        "[hold]",
        "[[own_cover]]\nname = \"mine\"\n[[own_cover.layer]]\nlike = \"clear pane\"\n\
         longwave_transmittance = 0.95\n[hold]",
        "own_cover.1.layer.1.longwave_reflectance",
        &["exceed 1"],
    );
}

/// A mistake in one key does not make its sound neighbours unknown.
#[test]
fn one_mistake_is_one_problem() {
    let tables = [
        "[screen]\nkind = \"clear energy cloth\"\nheat_capacity = \"1 m\"\ngap = \"1 m\"\n",
        "[screen]\nkind = \"velvet\"\ngap = \"1 m\"\n",
        "[screen]\nkind = \"clear energy cloth\"\nreflectance = 0.9\ngap = \"1 m\"\n",
        "[floor]\nsoil = \"cheese\"\nedge_insulation = \"R 10\"\n",
        "[floor]\nconductivity = \"1 m\"\nedge_insulation = \"R 10\"\n",
        "[crop]\nkind = \"tomato\"\nleaf_area_index = \"x\"\nemissivity = 0.95\n",
        "[[own_cover]]\nname = \"a\"\n[[own_cover.layer]]\nlike = \"b\"\nhaze = 0.1\n",
        "[[wall]]\non = \"ends\"\n[[wall.layer]]\nsolid = \"cheese\"\nthickness = \"1 m\"\n",
        "[leakage]\ntightness = \"open\"\nshelter = \"heavy\"\n",
        "kind = \"campfire\"\n",
        "[[heater]]\nfuel = \"peat\"\n",
        "[[heater]]\nfuel = 3\n",
        "[[heater]]\nfuel = \"propane\"\nname = \"unit heater\"\n",
        "[[frost_limit]]\nname = \"a\"\ntemp = \"1 degC\"\n\
         [[frost_limit]]\nname = \"a\"\ntemp = \"2 degC\"\n",
        "[[frost_limit]]\nname = \"a\"\ntemp = \"1 degC\"\nlag = 20\n",
        "[[frost_limit]]\nname = \"a\"\ntemp = \"1 degC\"\nlag = \"31 d\"\n",
        "[[frost_limit]]\nname = \"a\"\ntemp = \"1 degC\"\ncrop_lost = \"yes\"\n",
        "[[frost_limit]]\nname = \"a\"\ntemp = \"1 degC\"\ncrop_lost = true\n\
         [[frost_limit]]\nname = \"b\"\ntemp = \"2 degC\"\ncrop_lost = true\n",
    ];
    for table in tables {
        let found = problems(&format!("{GOOD}{table}"));
        assert_eq!(found.len(), 1, "{table}: {found:?}");
    }
}

#[test]
fn doubtful_inputs_are_warned_about() {
    let cases = [
        (
            "[inflation]\ngap = \"4 in\"\n",
            "no cover of this house is inflated",
        ),
        (
            "[vents]\nset = \"38 degF\"\n",
            "vents open while the heaters run",
        ),
        (
            "[prices]\nelectricity = \"0.15 USD/kWh\"\n",
            "prices.propane is missing",
        ),
    ];
    for (more, wanted) in cases {
        let text = format!("{}{more}", GOOD.replace("inflated pair", "single film"));
        let checked = checked(&text);
        let warnings = checked.warnings;
        assert!(
            warnings.iter().any(|warning| warning.contains(wanted)),
            "{warnings:?}"
        );
    }
}

#[test]
fn schedules_are_checked_with_their_lines() {
    let temp = "temp = \"40 degF\"";
    check_line(
        temp,
        "temp = { day = [\"6 am 40 degF\"] }",
        "hold.temp",
        &["06:00 65 degF"],
    );
    check_line(
        temp,
        "[hold.temp]\nday = \"40 degF\"\n[[hold.temp.period]]\nfrom = \"Feb 30\"\nto = \"Mar 1\"\nday = \"50 degF\"",
        "hold.temp.period.1.from",
        &["Feb has 28 days", "\"Feb 30\""],
    );
}

#[test]
fn axes_are_checked_and_named() {
    let axis = |body: &str| format!("{GOOD}[[axis]]\nname = \"a\"\n{body}\n");
    let cases = [
        (
            "key = \"cover.roof\"\nvalues = []",
            17,
            "axis.1.values",
            "at least one value",
        ),
        (
            "key = \"cover.roof\"\nvalues = \"single film\"",
            17,
            "axis.1.values",
            "a list",
        ),
        (
            "key = \"cover.roof\"\nvalues = [\"single film\", \"single film\"]",
            17,
            "axis.1",
            "have the label",
        ),
        (
            "key = \"cover.rof\"\nvalues = [\"single film\"]",
            17,
            "cover.rof",
            "did you mean `roof`",
        ),
        (
            "key = \"heater.2.fuel\"\nvalues = [\"propane\"]",
            17,
            "heater.2.fuel",
            "items are 1 to 1",
        ),
        (
            "key = \"house.width\"\nvalues = [\"30 ft\", \"900 ft\"]",
            17,
            "house.width",
            "outside the range",
        ),
        ("values = [\"30 ft\"]", 14, "axis.1.key", "missing"),
    ];
    for (body, line, key, wanted) in cases {
        let problems = problems(&axis(body));
        let problem = problems.iter().find(|problem| problem.key == key);
        let problem = problem.unwrap_or_else(|| panic!("{body}: {problems:?}"));
        assert!(problem.to_string().contains(wanted), "{body}: {problem}");
        assert!(
            (14..=line).contains(&problem.line),
            "{body}: line {}",
            problem.line
        );
    }
    let second = axis("key = \"house.width\"\nvalues = [\"30 ft\", \"900 ft\"]");
    let message = problems(&second)[0].to_string();
    assert!(
        message.contains("axis \"a\", alternative 2 \"900 ft\""),
        "{message}"
    );
    let twice = axis(
        "key = \"house.width\"\nvalues = [\"30 ft\"]\n[[axis]]\nname = \"a\"\nkey = \"house.length\"\nvalues = [\"9 m\"]",
    );
    assert!(
        problems(&twice)[0]
            .to_string()
            .contains("two axes have this name")
    );
    let many: String = (0..18)
        .map(|n| {
            format!(
                "[[axis]]\nname = \"{n}\"\nkey = \"house.{n}\"\nvalues = [\"20 ft\", \"30 ft\"]\n"
            )
        })
        .collect();
    let too_many = problems(&format!("{GOOD}{many}"));
    assert_eq!(too_many.len(), 1, "{too_many:?}");
    assert!(too_many[0].to_string().contains("more than 200000 cases"));
}

/// Each label would name a value that the other axis had replaced.
#[test]
fn axes_that_undo_each_other_are_refused() {
    let first = "[[axis]]\nname = \"covers\"\nkey = \"cover.roof\"\nvalues = [\"single film\"]\n";
    let cases = [
        (
            "[[axis]]\nname = \"roofs\"\nkey = \"cover.roof\"\nvalues = [\"inflated pair\"]\n",
            "`cover.roof`: axis \"covers\" (line 14) and axis \"roofs\" (line 18) both set it",
        ),
        (
            "[[axis]]\nname = \"plans\"\n[[axis.alternative]]\nlabel = \"a\"\n\
             set.cover.roof = \"inflated pair\"\nset.hold.temp = \"50 degF\"\n",
            "axis \"plans\" (line 18) both set it",
        ),
        (
            "[[axis]]\nname = \"all\"\nkey = \"cover\"\nvalues = [{ roof = \"inflated pair\" }]\n",
            "axis \"all\" (line 18) both set it",
        ),
        (
            "[[axis]]\nname = \"x\"\nkey = \"cover\"\nvalues = [\"inflated pair\"]\n",
            "sets `cover.roof` and axis \"x\" (line 18) sets `cover`, which holds it",
        ),
        (
            "[[axis]]\nname = \"x\"\n[[axis.alternative]]\nlabel = \"a\"\n\
             set = { \"hold.temp\" = \"50 degF\", hold.temp = \"60 degF\" }\n",
            "sets `hold.temp` and `hold.temp`; a key is set once",
        ),
    ];
    for (second, wanted) in cases {
        let found = problems(&format!("{GOOD}{first}{second}"));
        let told = found
            .iter()
            .any(|problem| problem.to_string().contains(wanted));
        assert!(told, "{second}: {found:?}");
    }
    let apart = "[[axis]]\nname = \"x\"\nkey = \"cover\"\nvalues = [{ ends = \"single film\" }]\n";
    assert!(read(&format!("{GOOD}{first}{apart}")).is_ok());
}

#[test]
fn several_problems_are_told_at_once_in_file_order() {
    let text = GOOD
        .replace("\"30 ft\"", "\"30\"")
        .replace("\"inflated pair\"", "\"paper\"")
        .replace("\"40 degF\"", "\"40 ft\"")
        .replace("\"propane\"", "\"peat\"");
    let keys: Vec<_> = problems(&text)
        .into_iter()
        .map(|problem| (problem.line, problem.key))
        .collect();
    assert!(keys.contains(&(6, "house.width".to_owned())), "{keys:?}");
    assert!(keys.contains(&(11, "hold.temp".to_owned())), "{keys:?}");
    assert!(keys.is_sorted(), "{keys:?}");
    let text = text.replace("\"30\"", "\"30 ft\"");
    assert_eq!(problems(&text).len(), 3);
}

#[test]
fn syntax_and_encoding_are_told_with_their_line() {
    let problems = problems(&GOOD.replace("width = \"30 ft\"", "width = \"30 ft"));
    assert_eq!(problems[0].line, 6, "{problems:?}");
    assert!(problems[0].message.contains("TOML"));
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("latin.toml");
    std::fs::write(&path, b"title = \"x\"\n# caf\xe9\n").expect("written");
    assert!(matches!(
        load(&path),
        Err(StudyError::NotText { line: 2, .. })
    ));
    let missing: PathBuf = folder.path().join("missing.toml");
    assert!(matches!(load(&missing), Err(StudyError::Unreadable { .. })));
}

#[test]
fn a_message_reads_as_file_line_key_value_reason() {
    let text = GOOD.replace("\"gothic\"", "\"pyramid\"");
    let error = read(&text).expect_err("an unknown shape").to_string();
    let tail = error.split("house.toml").nth(1).expect("the file is named");
    assert!(
        tail.starts_with(":5: `house.shape` = \"pyramid\": not known here"),
        "{tail}"
    );
}

#[test]
fn an_unvented_heater_is_warned_about_and_never_a_default() {
    let text = format!("{GOOD}kind = \"unvented heater\"\n");
    let unvented = checked(&text);
    assert!(
        unvented
            .warnings
            .iter()
            .any(|warning| warning.contains("carbon monoxide"))
    );
    assert!(unvented.study.cases.held()[0].house.heaters[0].water_kg_j > 0.0);
    let usual = checked(GOOD).study;
    assert_eq!(usual.cases.held()[0].house.heaters[0].name, "unit heater");
    assert!(usual.cases.held()[0].house.heaters[0].water_kg_j.abs() < f64::MIN_POSITIVE);
}

#[test]
fn surfaces_and_shades_are_told_what_they_lack() {
    let cases = [
        (
            "[surfaces]\ninside_includes = \"convection and radiation\"\n",
            "surfaces.inside_includes",
            "give `inside` in W/m2K",
        ),
        (
            "[surfaces]\ninside = \"8 W/m2K\"\ninside_includes = \"convection and radiation\"\n",
            "surfaces",
            "lets thermal radiation through",
        ),
        (
            "[surfaces]\ninside = \"8 W/m2K\"\ninside_includes = \"radiation\"\n",
            "surfaces.inside_includes",
            "known are convection, convection and radiation",
        ),
        (
            "[[window]]\nin = \"south wall\"\narea = \"1 m2\"\ncover = \"single glass\"\n\
             overhang = { above = \"1 m\" }\n",
            "window.1.overhang.depth",
            "missing",
        ),
        (
            "[[window]]\nin = \"south wall\"\narea = \"1 m2\"\ncover = \"single glass\"\n\
             fins = { depth = \"1 m\", above = \"1 m\" }\n",
            "window.1.fins.above",
            "unknown key",
        ),
        (
            "[[own_cover]]\nname = \"mine\"\n[[own_cover.layer]]\nlike = \"clear pane\"\n\
             space = { kind = \"sealed\", gap = \"12 mm\", gas = \"xenon\" }\n\
             [[own_cover.layer]]\nlike = \"clear pane\"\n",
            "own_cover.1.layer.1.space.gas",
            "air, argon",
        ),
        (
            "[[own_cover]]\nname = \"mine\"\n[[own_cover.layer]]\nlike = \"plain film\"\n\
             longwave_reflectance_outside = 0.9\n",
            "own_cover.1.layer.1.longwave_reflectance_outside",
            "together exceed 1",
        ),
        (
            "[cooling]\ncapacity = \"1 kW\"\nset = { day = [\"06:00 off\", \"18:00 30 degC over 1 h\"] }\n",
            "cooling.set.day",
            "nothing can rise or fall from or to off",
        ),
    ];
    for (more, key, wanted) in cases {
        let problems = problems(&format!("{GOOD}{more}"));
        let told = |problem: &&Problem| problem.key == key;
        let problem = problems.iter().find(told);
        let problem = problem.unwrap_or_else(|| panic!("{more}: {problems:?}"));
        assert!(problem.to_string().contains(wanted), "{problem}");
    }
}

#[test]
fn cooling_below_the_hold_temperature_is_told() {
    let text = format!("{GOOD}[cooling]\nset = \"35 degF\"\ncapacity = \"1 kW\"\n");
    let warnings = checked(&text).warnings;
    let told = |warning: &String| warning.contains("`cooling.set` is below `hold.temp` for 8760");
    assert!(warnings.iter().any(told), "{warnings:?}");
}

/// Walls of a stated size take their part first, the rest of a face goes to the wall without.
#[test]
fn a_wall_takes_what_others_leave_of_a_face() {
    let walls = "[[wall]]\nname = \"rest\"\non = \"south wall\"\n[[wall.layer]]\nr_value = \"R 5\"\n\
                 [[wall]]\nname = \"panel\"\non = \"south wall\"\narea = \"2 m2\"\n\
                 [[wall.layer]]\nr_value = \"R 1\"\n";
    let study = checked(&format!("{GOOD}{walls}")).study;
    let walls = &study.cases.held()[0].house.walls;
    let names: Vec<&str> = walls.iter().map(|wall| wall.name.as_str()).collect();
    assert_eq!(names, ["rest", "panel"]);
    assert!((walls[1].facet.area_m2 - 2.0).abs() < 1e-9);
    // 96 ft x 4 ft of upright side in all.
    let whole_m2 = 96.0 * 4.0 * 0.092_903_04;
    assert!((walls[0].facet.area_m2 - (whole_m2 - 2.0)).abs() < 1e-6);
}

use std::cell::RefCell;
use std::sync::Mutex;

use super::*;
use crate::catalogue::catalogue;
use crate::climate::UNKNOWN_CLIMATE;
use crate::document::{Findings, parse};

fn read(text: &str) -> (Option<Setting>, Vec<String>) {
    let document = parse(text).expect("valid TOML");
    let findings = RefCell::new(Findings::default());
    let schedules = Mutex::new(Schedules::default());
    let context = Context {
        catalogue: catalogue(),
        climate: UNKNOWN_CLIMATE,
        nights: None,
        cases: 1,
        schedules: &schedules,
        dampers: &Mutex::default(),
    };
    let root = Part::root(&document, &findings);
    let setting = setting(&context, &root, "temp", &range::SET_POINT);
    drop(root);
    let problems = findings.into_inner().problems;
    (setting, problems.iter().map(ToString::to_string).collect())
}

fn celsius(setting: &Setting, day: usize, hour: usize, share: f64) -> f64 {
    setting.at(day * 24 + hour, share) - 273.15
}

#[test]
fn one_value_is_constant() {
    let (setting, problems) = read("temp = \"10 degC\"");
    assert_eq!(problems, Vec::<String>::new());
    let setting = setting.expect("readable");
    assert!(matches!(setting, Setting::Constant(_)));
    assert!((celsius(&setting, 0, 0, 0.0) - 10.0).abs() < 1e-9);
}

#[test]
fn changes_step_on_their_hour_or_ramp_over_hours() {
    let text = "temp = { day = [\"06:00 20 degC\", \"18:00 10 degC\"], ramp = \"2 h\" }";
    let setting = read(text).0.expect("readable");
    let expected = [
        (5, 0.5, 10.0),
        (6, 0.0, 10.0),
        (6, 0.5, 12.5),
        (7, 1.0, 20.0),
        (12, 0.0, 20.0),
    ];
    for (hour, share, value) in expected {
        assert!(
            (celsius(&setting, 100, hour, share) - value).abs() < 1e-9,
            "{hour}"
        );
    }
    assert!((celsius(&setting, 100, 19, 1.0) - 10.0).abs() < 1e-9);
}

#[test]
fn one_change_may_ramp_where_the_other_steps() {
    let text = "temp = { day = [\"07:00 20 degC over 1 h\", \"23:00 10 degC\"] }";
    let (setting, problems) = read(text);
    assert_eq!(problems, Vec::<String>::new());
    let setting = setting.expect("readable");
    for (hour, share, value) in [
        (6, 1.0, 10.0),
        (7, 0.0, 10.0),
        (7, 0.25, 12.5),
        (7, 1.0, 20.0),
        (22, 1.0, 20.0),
        (23, 0.0, 10.0),
    ] {
        let found = celsius(&setting, 5, hour, share);
        assert!((found - value).abs() < 1e-9, "{hour}: {found}");
    }
    // A change may also leave out the ramp that the others have.
    let text = "temp = { day = [\"07:00 20 degC\", \"23:00 10 degC over 0 h\"], ramp = \"2 h\" }";
    let setting = read(text).0.expect("readable");
    assert!((celsius(&setting, 5, 7, 1.0) - 15.0).abs() < 1e-9);
    assert!((celsius(&setting, 5, 23, 0.0) - 10.0).abs() < 1e-9);
}

#[test]
fn what_can_be_switched_off_has_a_word_for_it() {
    let document = parse("temp = { day = [\"07:00 27 degC\", \"18:00 off\"] }").expect("TOML");
    let findings = RefCell::new(Findings::default());
    let schedules = Mutex::new(Schedules::default());
    let context = Context {
        catalogue: catalogue(),
        climate: UNKNOWN_CLIMATE,
        nights: None,
        cases: 1,
        schedules: &schedules,
        dampers: &Mutex::default(),
    };
    let root = Part::root(&document, &findings);
    let set = setting_or_off(&context, &root, "temp", &range::SET_POINT, 1000.0);
    let set = set.expect("readable");
    assert!((celsius(&set, 0, 7, 0.0) - 27.0).abs() < 1e-9);
    for hour in [0, 6, 18, 23] {
        assert!((set.at(hour, 0.5) - 1000.0).abs() < 1e-9, "{hour}");
    }
}

#[test]
fn periods_may_pass_the_turn_of_the_year() {
    let text = "[temp]\nday = \"20 degC\"\n[[temp.period]]\nfrom = \"Dec 1\"\nto = \"28 February\"\n\
                day = \"5 degC\"";
    let (setting, problems) = read(text);
    assert_eq!(problems, Vec::<String>::new());
    let setting = setting.expect("readable");
    for (day, value) in [
        (0, 5.0),
        (58, 5.0),
        (59, 20.0),
        (333, 20.0),
        (334, 5.0),
        (364, 5.0),
    ] {
        assert!(
            (celsius(&setting, day, 12, 0.0) - value).abs() < 1e-9,
            "day {day}"
        );
    }
}

#[test]
fn mistakes_are_named() {
    let cases = [
        ("temp = { day = [\"6 20 degC\"] }", "\"6 20 degC\""),
        ("temp = { day = [\"06:30 20 degC\"] }", "full hour"),
        ("temp = { day = [\"06:00 20\"] }", "no unit"),
        (
            "temp = { day = [\"06:00 20 degC\", \"05:00 1 degC\"] }",
            "in order",
        ),
        (
            "temp = { day = [\"06:00 2 degC\", \"07:00 1 degC\"], ramp = \"3 h\" }",
            "ramp of 3 h",
        ),
        (
            "temp = { day = \"20 degC\", ramp = \"90 min\" }",
            "full hours",
        ),
        (
            "temp = { day = [\"06:00 2 degC\", \"07:00 1 degC over 90 min\"] }",
            "full hours",
        ),
        (
            "temp = { day = [\"06:00 2 degC over 2\"] }",
            "\"06:00 2 degC over 2\"",
        ),
        ("temp = { day = [\"06:00 off\"] }", "\"06:00 off\""),
        ("temp = { days = \"20 degC\" }", "did you mean `day`"),
        ("temp = { day = [] }", "at least one change"),
        (
            "temp = { day = \"1 degC\", period = [{ from = \"Feb 30\", to = \"May 1\", day = \"2 degC\" }] }",
            "Feb has 28 days",
        ),
        (
            "temp = { day = \"1 degC\", period = [{ from = \"soon\", to = \"May 1\", day = \"2 degC\" }] }",
            "\"Feb 15\"",
        ),
    ];
    for (text, wanted) in cases {
        let (setting, problems) = read(text);
        assert_eq!(setting, None, "{text}");
        assert!(
            problems.iter().any(|problem| problem.contains(wanted)),
            "{text}: {problems:?}"
        );
    }
}

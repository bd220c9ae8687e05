//! What `[generator]`, `[[event]]` and `[outages]` say reaches the case, by hand.

#![allow(missing_docs, reason = "a test target")]
#![allow(clippy::unwrap_used, reason = "a failed reading fails the test")]

mod support;

use overwinter_engine::failure::{Failure, TornFilm};
use overwinter_study::case::{Case, NightStart, OutagePlan};
use overwinter_study::scenario::Checked;
use support::checked;

/// A heated house under this cover.
fn house(cover: &str, rest: &str) -> Checked {
    checked(&format!(
        r#"
weather.file = "WEATHER"
hold.temp = "45 degF"
cover.roof = "{cover}"
house = {{ width = "10 m", length = "20 m" }}
heater = [
    {{ name = "main", fuel = "propane", output = "40 kW", electric = "300 W" }},
    {{ name = "stove", fuel = "hardwood", kind = "wood stove", output = "10 kW" }},
]
{rest}"#
    ))
}

fn case(checked: &Checked) -> &Case {
    &checked.study.cases.held()[0]
}

fn outages(checked: &Checked) -> &OutagePlan {
    case(checked).outages.as_ref().unwrap()
}

fn names(plan: &OutagePlan) -> Vec<&str> {
    plan.failures
        .iter()
        .map(|tried| tried.name.as_str())
        .collect()
}

fn near(value: f64, expected: f64) {
    assert!(
        (value - expected).abs() < 1e-9,
        "{value} against {expected}"
    );
}

/// Kelvin of a temperature in degrees Fahrenheit.
fn f(degrees: f64) -> f64 {
    (degrees + 459.67) / 1.8
}

/// Hour of the year of a day of January, counted from 1, and an hour.
fn january(day: f64, hour: f64) -> f64 {
    24.0 * (day - 1.0) + hour
}

#[test]
fn every_house_with_something_to_fail_answers_without_being_asked() {
    let checked = house("inflated pair", "");
    let plan = outages(&checked);
    assert_eq!(names(plan), ["blower", "heaters", "power"]);
    assert_eq!(
        plan.failures[1].failures,
        [Failure::Heater(0), Failure::Heater(1)]
    );
    assert_eq!(plan.failures[2].failures, [Failure::Power]);
    assert!(plan.failures.iter().all(|tried| tried.generator.is_none()));
    assert_eq!(plan.lengths_h, [2.0, 4.0, 8.0, 24.0, 72.0, 144.0]);
    let all = [
        NightStart::Dusk,
        NightStart::Midnight,
        NightStart::BeforeDawn,
    ];
    assert_eq!(plan.starts, all);
    // Water freezes at 32 degF; held at 45 degF the alarm is 5 degF lower, help holds 37 degF.
    assert_eq!(
        case(&checked).frost_limits[plan.limit].name,
        "water freezes"
    );
    near(plan.alarm_k, f(40.0));
    near(plan.emergency_hold_k, f(37.0));
    near(plan.travel_h, 0.5);
    assert_eq!(plan.generator_w, None);
    let loads: Vec<_> = plan.loads.iter().map(|load| load.name.as_str()).collect();
    assert_eq!(loads, ["blower", "main"]);
    let blower = &plan.loads[0];
    near(blower.running_w, case(&checked).house.fans.blower_w);
    near(blower.starting_w, 3.0 * blower.running_w);
    near(plan.loads[1].starting_w, 900.0);
    assert!(plan.loads.iter().all(|load| !load.carried));
    assert!(case(&checked).events.events.is_empty());
    assert_eq!(checked.warnings, Vec::<String>::new());
    for key in [
        "alarm", "limit", "lengths", "starts", "failures", "run", "travel",
    ] {
        let key = format!("outages.{key}");
        assert!(
            checked.study.defaults.iter().any(|used| used.key == key),
            "{key}"
        );
    }
}

#[test]
fn what_a_house_does_not_have_does_not_fail() {
    let checked = house("single film", "");
    assert_eq!(names(outages(&checked)), ["heaters", "power"]);
    let checked = house("inflated pair", "outages.run = false\n");
    assert_eq!(case(&checked).outages, None);
    let unheated = support::checked(
        "weather.file = \"WEATHER\"\ncover.roof = \"single film\"\n\
         house = { width = \"10 m\", length = \"20 m\" }\n",
    );
    assert_eq!(case(&unheated).outages, None);
    let checked = house(
        "single film",
        "outages.failures = [\"blower\", \"heaters\"]\n",
    );
    assert_eq!(names(outages(&checked)), ["heaters"]);
    assert!(
        checked.warnings[0].contains("\"blower\" is left out"),
        "{:?}",
        checked.warnings
    );
}

/// The alarm stays half way from the limit to the hold temperature where that is nearer than 5 degF.
#[test]
fn the_usual_alarm_lies_between_limit_and_hold() {
    let near_the_limit = house("single film", "").study.cases.len();
    assert_eq!(near_the_limit, 1);
    let cold = checked(
        "weather.file = \"WEATHER\"\nhold.temp = \"36 degF\"\ncover.roof = \"single film\"\n\
         house = { width = \"10 m\", length = \"20 m\" }\nheater = { fuel = \"propane\" }\n",
    );
    near(outages(&cold).alarm_k, f(34.0));
    let changing = checked(
        "weather.file = \"WEATHER\"\ncover.roof = \"single film\"\n\
         hold.temp = { day = [\"06:00 65 degF\", \"18:00 55 degF\"] }\n\
         house = { width = \"10 m\", length = \"20 m\" }\nheater = { fuel = \"propane\" }\n",
    );
    near(outages(&changing).alarm_k, f(50.0));
    let chilly = checked(
        "weather.file = \"WEATHER\"\nhold.temp = \"60 degF\"\ncover.roof = \"single film\"\n\
         crop.kind = \"tomato\"\n\
         house = { width = \"10 m\", length = \"20 m\" }\nheater = { fuel = \"propane\" }\n",
    );
    // The first limit at 0 degC or below, not the one for chilling.
    let limit = &case(&chilly).frost_limits[outages(&chilly).limit];
    assert!(
        limit.limit_k <= 273.15 && limit.limit_k > 271.0,
        "{limit:?}"
    );
}

#[test]
fn alarms_that_ring_too_late_or_always_are_warned_about() {
    let late = house("single film", "outages.alarm = \"30 degF\"\n");
    assert!(
        late.warnings[0].contains("at its limit"),
        "{:?}",
        late.warnings
    );
    let always = house("single film", "outages.alarm = \"46 degF\"\n");
    assert!(
        always.warnings[0].contains("while the heaters hold"),
        "{:?}",
        always.warnings
    );
}

/// 300 W and 40 W run, the motor of 300 W starts at 900 W: 40 + 900 W are needed.
#[test]
fn a_generator_just_large_enough_carries_its_list() {
    let words = "inflation.blower = \"40 W\"\n[generator]\noutput = \"940 W\"\n";
    let checked = house("inflated pair", words);
    let generator = case(&checked).events.generator.as_ref().unwrap();
    assert!(generator.carries.blowers && !generator.carries.fans);
    assert_eq!(generator.carries.heaters, [0], "a wood stove needs none");
    near(generator.start_after_h, 1.0 / 6.0);
    let plan = outages(&checked);
    assert_eq!(
        names(plan),
        ["blower", "heaters", "power", "power with generator"]
    );
    assert_eq!(plan.failures[3].generator.as_ref(), Some(generator));
    assert_eq!(plan.generator_w, Some(940.0));
    assert!(plan.loads.iter().all(|load| load.carried));
}

#[test]
fn events_begin_where_the_calendar_says() {
    let checked = house(
        "inflated pair",
        r#"
event = [
    { what = "blower stops", at = "26 Jan 22:00", length = "8 h" },
    { what = "heater stops", at = "Jan 2 00:05", length = "90 min" },
    { what = "heater stops", heater = "stove", at = "31 Dec 23:55", length = "5 min" },
    { what = "power fails", at = "1 Jan 00:00", length = "365 d" },
    { what = "film torn", film = "both", area = "1 m2", at = "1 Jan 00:00", length = "0 h" },
]
"#,
    );
    let events = &case(&checked).events.events;
    let found: Vec<_> = events
        .iter()
        .map(|event| (event.failure, event.start_h, event.length_h))
        .collect();
    let expected = [
        (Failure::Blower, january(26.0, 22.0), 8.0),
        (Failure::Heater(0), january(2.0, 1.0 / 12.0), 1.5),
        (Failure::Heater(1), january(2.0, 1.0 / 12.0), 1.5),
        (Failure::Heater(1), 8760.0 - 1.0 / 12.0, 1.0 / 12.0),
        (Failure::Power, 0.0, 8760.0),
    ];
    for (found, expected) in found.iter().zip(expected) {
        assert_eq!(found.0, expected.0);
        near(found.1, expected.1);
        near(found.2, expected.2);
    }
    let Failure::Tear(tear) = events[5].failure else {
        panic!("a tear");
    };
    assert_eq!((tear.film, tear.gap), (TornFilm::Both, 0));
    assert!(events[5].length_h.abs() < 1e-12);
}

/// Nights by the weather file itself, noon to noon.
#[test]
fn nights_are_found_by_their_cold() {
    let checked = house(
        "inflated pair",
        r#"
event = [
    { what = "blower stops", night = "coldest", from = "21:30", length = "8 h" },
    { what = "power fails", nights_below = "-15 degC", from = "03:00", length = "2 h" },
]
"#,
    );
    let air_k = &checked.study.climates[0].year.air_temp_k;
    let low_k = |night: usize| {
        let marks = &air_k[24 * night + 12..=24 * night + 36];
        marks.iter().copied().fold(f64::INFINITY, f64::min)
    };
    let coldest = (0..364)
        .min_by(|a, b| low_k(*a).total_cmp(&low_k(*b)))
        .unwrap();
    let events = &case(&checked).events.events;
    near(events[0].start_h, 24.0 * coldest as f64 + 21.5);
    let cold: Vec<usize> = (0..364)
        .filter(|night| low_k(*night) < 273.15 - 15.0)
        .collect();
    assert!(cold.len() > 3, "{cold:?}");
    assert_eq!(events.len(), 1 + cold.len());
    for (event, night) in events[1..].iter().zip(cold) {
        assert_eq!(event.failure, Failure::Power);
        // In the morning after.
        near(event.start_h, 24.0 * (night + 1) as f64 + 3.0);
    }
}

#[test]
fn events_without_effect_are_warned_about() {
    for (cover, event, wanted) in [
        (
            "single film",
            "what = \"blower stops\"",
            "no cover of this house is inflated",
        ),
        (
            "single film",
            "what = \"film torn\", area = \"1 m2\"",
            "nothing comes of it",
        ),
        (
            "single film",
            "what = \"screen stuck\", stuck = \"open\"",
            "has none",
        ),
    ] {
        let words = format!("event = {{ {event}, at = \"1 Feb 22:00\", length = \"8 h\" }}\n");
        let checked = house(cover, &words);
        assert!(
            checked.warnings[0].contains(wanted),
            "{event}: {:?}",
            checked.warnings
        );
    }
    let never =
        "event = { what = \"power fails\", nights_below = \"-60 degC\", length = \"8 h\" }\n";
    let checked = house("single film", never);
    assert!(
        checked.warnings[0].contains("no night of this climate"),
        "{:?}",
        checked.warnings
    );
    assert!(case(&checked).events.events.is_empty());
}

/// A rule that runs past the year leaves out what does not fit, and says so.
#[test]
fn a_rule_ends_with_the_year() {
    let rule =
        "event = { what = \"power fails\", nights_below = \"40 degC\", length = \"10 d\" }\n";
    let checked = house("single film", rule);
    let events = &case(&checked).events.events;
    // From 22:00 of day k; 24 k + 22 + 240 <= 8760 leaves k up to 354.
    assert_eq!(events.len(), 355);
    assert!(
        checked.warnings[0].starts_with("9 events"),
        "{:?}",
        checked.warnings
    );
}

/// Values by hand from `every_key.toml`.
#[test]
fn every_key_of_failures_reaches_its_place() {
    let checked = checked(include_str!("every_key.toml"));
    let plan = &case(&checked).events;
    let generator = plan.generator.as_ref().unwrap();
    near(generator.start_after_h, 0.25);
    assert!(generator.carries.blowers && !generator.carries.fans);
    assert_eq!(generator.carries.heaters, [0]);
    let [power, blower, heater, doors @ .., tear, screen] = plan.events.as_slice() else {
        panic!("{:?}", plan.events);
    };
    assert_eq!(power.failure, Failure::Power);
    near(power.start_h, january(26.0, 22.0 + 1.0 / 12.0));
    assert_eq!(blower.failure, Failure::Blower);
    near(blower.start_h.rem_euclid(24.0), 23.5);
    near(blower.length_h, 36.0);
    assert_eq!(heater.failure, Failure::Heater(0));
    near(heater.start_h, january(32.0, 6.0));
    assert!(!doors.is_empty());
    for event in doors {
        let Failure::Door(door) = event.failure else {
            panic!("a door");
        };
        near(door.width_m, 3.0);
        near(door.height_m, 2.5);
        near(door.mixing_share, 0.6);
        near(event.length_h, 1.0 / 3.0);
    }
    let Failure::Tear(torn) = tear.failure else {
        panic!("a tear");
    };
    assert_eq!((torn.film, torn.gap), (TornFilm::Inner, 1));
    near(torn.area_m2, 0.04);
    assert_eq!(screen.failure, Failure::Screens { closed: true });
    let outages = outages(&checked);
    assert_eq!(
        names(outages),
        ["power with generator", "door open", "heaters"]
    );
    assert_eq!(outages.failures[0].generator.as_ref(), Some(generator));
    let Failure::Door(door) = outages.failures[1].failures[0] else {
        panic!("a door");
    };
    near(door.width_m, 1.0);
    assert_eq!(outages.lengths_h, [2.0, 12.0, 24.0]);
    assert_eq!(outages.starts, [NightStart::Dusk, NightStart::Midnight]);
    near(outages.alarm_k, 281.15);
    near(outages.travel_h, 0.75);
    assert_eq!(case(&checked).frost_limits[outages.limit].name, "own limit");
    near(outages.emergency_hold_k, 279.15);
    let loads: Vec<_> = outages
        .loads
        .iter()
        .map(|load| {
            (
                load.name.as_str(),
                load.running_w,
                load.starting_w,
                load.carried,
            )
        })
        .collect();
    // Two blowers of 20 and 15 W; fans of 120 and 700 W are not carried; the heater takes 60 W.
    let expected = [
        ("blower 1", 20.0, 80.0, true),
        ("blower 2", 15.0, 60.0, true),
        ("circulation fans", 120.0, 480.0, false),
        ("vent fans", 700.0, 2800.0, false),
        ("main", 60.0, 240.0, true),
    ];
    assert_eq!(loads.len(), expected.len(), "{loads:?}");
    for (found, expected) in loads.iter().zip(expected) {
        assert_eq!((found.0, found.3), (expected.0, expected.3));
        near(found.1, expected.1);
        near(found.2, expected.2);
    }
}

/// Every night of ten thousand cases would take hours where the seasons take minutes.
#[test]
fn a_file_of_many_cases_tries_its_nights_only_if_asked() {
    let axis = |cases: usize| {
        let temps: Vec<String> = (0..cases)
            .map(|case| format!("\"{:.2} degC\"", 4.0 + 0.05 * case as f64))
            .collect();
        format!(
            "[[axis]]\nname = \"hold\"\nkey = \"hold.temp\"\nvalues = [{}]\n",
            temps.join(", ")
        )
    };
    let tried = |rest: &str| {
        let cases = house("single film", rest).study.cases;
        cases.get(0).unwrap().outages.is_some()
    };
    assert!(tried(&axis(100)));
    assert!(!tried(&axis(101)));
    assert!(tried(&format!("outages.run = true\n{}", axis(101))));
}

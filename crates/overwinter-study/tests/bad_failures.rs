//! Inflated gaps, generators, events and outages that cannot be are refused by name, with the remedy.

#![allow(missing_docs, reason = "a test target")]

mod support;

use overwinter_study::error::Problem;

/// A sound scenario to which one mistake is added.
const GOOD: &str = r#"title = "Sound"
weather.file = "WEATHER"
house = { width = "30 ft", length = "96 ft" }
cover.roof = "inflated pair"
hold.temp = "40 degF"
heater = [{ fuel = "propane", electric = "300 W" }]
"#;

fn problems(more: &str) -> Vec<Problem> {
    support::problems(&format!("{GOOD}{more}"))
}

/// What is added gives this one problem, on a line of what is added.
fn refused(more: &str, key: &str, wanted: &[&str]) {
    let problems = problems(more);
    let [problem] = problems.as_slice() else {
        panic!("{more}: {problems:#?}");
    };
    assert_eq!(problem.key, key, "{more}: {problem}");
    let first = GOOD.lines().count() + 1;
    assert!(
        (first..=first + more.lines().count()).contains(&problem.line),
        "{more}: line {}",
        problem.line
    );
    for word in wanted {
        assert!(problem.to_string().contains(word), "{more}: {problem}");
    }
}

const HALVES: &str = r#"[inflation]
[[inflation.section]]
name = "north half"
part = "roof"
share = "50 %"
[[inflation.section]]
name = "south half"
part = "roof"
share = "50 %"
[[inflation.section]]
name = "walls"
part = "sides"
[[inflation.section]]
name = "both ends"
part = "ends"
[[inflation.jumper]]
from = "north half"
to = "south half"
[[inflation.jumper]]
from = "south half"
to = "walls"
[[inflation.jumper]]
from = "walls"
to = "both ends"
"#;

fn halves(old: &str, new: &str) -> String {
    assert!(HALVES.contains(old), "{old}");
    HALVES.replacen(old, new, 1)
}

#[test]
fn jumpers_join_two_sections_that_are_there() {
    refused(
        &halves("to = \"south half\"", "to = \"south hal\""),
        "inflation.jumper.1.to",
        &["no such section", "did you mean \"south half\""],
    );
    refused(
        &halves("to = \"walls\"", "to = \"attic\""),
        "inflation.jumper.2.to",
        &["no such section", "known are both ends, north half"],
    );
    refused(
        &halves("to = \"both ends\"", "to = \"walls\""),
        "inflation.jumper.3.to",
        &["joins two sections", "\"walls\"", "name another"],
    );
    refused(
        "inflation.jumper = { from = \"roof and sides\" }\n",
        "inflation.jumper.to",
        &["missing", "section at this end"],
    );
}

#[test]
fn every_section_has_a_way_to_a_blower() {
    let cut = "[[inflation.jumper]]\nfrom = \"walls\"\nto = \"both ends\"\n";
    refused(
        &halves(cut, ""),
        "inflation.section",
        &[
            "no blower reaches",
            "\"both ends\"",
            "add [[inflation.jumper]] with from = \"north half\"",
        ],
    );
    // A loop that no blower blows into.
    let away = halves(
        "from = \"south half\"\nto = \"walls\"",
        "from = \"both ends\"\nto = \"walls\"",
    );
    let problems = problems(&away);
    let messages: Vec<_> = problems.iter().map(ToString::to_string).collect();
    assert_eq!(problems.len(), 2, "{messages:?}");
    assert!(
        messages[0].contains("\"both ends\"") && messages[1].contains("\"walls\""),
        "{messages:?}"
    );
}

#[test]
fn shares_make_up_their_part_and_no_more() {
    refused(
        &halves("share = \"50 %\"", "share = \"70 %\""),
        "inflation.section.2.share",
        &["the shares of the roof add up to 120 %", "100 % or less"],
    );
    refused(
        &halves("share = \"50 %\"", "share = \"20 %\""),
        "inflation.section.2.share",
        &["add up to 70 %", "30 % is in no section", "takes the rest"],
    );
    let without =
        "[inflation]\n[[inflation.section]]\nname = \"shell\"\npart = \"roof and sides\"\n";
    refused(
        without,
        "inflation.section",
        &["no section is in the ends", "part = \"ends\""],
    );
    refused(
        &halves("share = \"50 %\"", "share = \"100 %\"").replace("share = \"50 %\"\n", ""),
        "inflation.section.2.share",
        &["nothing of the roof is left"],
    );
}

#[test]
fn sections_are_named_parts_of_the_inflated_cover() {
    refused(
        &halves("part = \"sides\"", "part = \"side\""),
        "inflation.section.3.part",
        &["no inflated part", "did you mean \"sides\""],
    );
    refused(
        &halves("name = \"walls\"\n", ""),
        "inflation.section.3.name",
        &["missing: give a name"],
    );
    refused(
        &halves("part = \"ends\"\n", ""),
        "inflation.section.4.part",
        &["missing: give", "roof, sides, ends, roof and sides"],
    );
    let twice = halves("name = \"south half\"", "name = \"north half\"");
    let problems = problems(&twice);
    assert!(
        problems
            .iter()
            .any(|problem| problem.key == "inflation.section.2.name"
                && problem.message.contains("two sections")),
        "{problems:?}"
    );
    let many: String = (0..25)
        .map(|number| format!("[[inflation.section]]\nname = \"{number}\"\npart = \"roof\"\n"))
        .collect();
    let problems = self::problems(&format!("[inflation]\n{many}"));
    assert!(
        problems[0].message.contains("at most 24 sections"),
        "{problems:?}"
    );
}

#[test]
fn blowers_are_told_what_they_lack() {
    refused(
        "inflation = { blower = \"40 W\", volts = 120, amps = 1 }\n",
        "inflation.blower",
        &["either `blower` in watts", "`volts` and `amps`"],
    );
    refused(
        "inflation.volts = 120\n",
        "inflation.amps",
        &["missing: give", "amps on the plate"],
    );
    refused(
        "[inflation]\ndamper = \"2 in\"\n[[inflation.blower]]\n",
        "inflation.damper",
        &["each blower has keys of its own"],
    );
    refused(
        "[inflation]\n[[inflation.blower]]\ninto = \"wal\"\n",
        "inflation.blower.1.into",
        &["no such section", "known are ends, roof and sides"],
    );
    refused(
        "[inflation]\n[[inflation.blower]]\ninto = \"ends\"\nhose = { to = \"ends\" }\n",
        "inflation.blower.1.into",
        &["either `into` one section"],
    );
    refused(
        "inflation.hose = { to = \"ends\" }\n",
        "inflation.hose",
        &["unknown key"],
    );
    refused(
        "inflation.flap = \"open\"\n",
        "inflation.flap",
        &["known are none, shuts by itself"],
    );
    refused(
        "inflation.pressure = \"2 inH2O\"\n",
        "inflation.pressure",
        &["outside the range", "pressure between the films"],
    );
}

#[test]
fn estimates_rise_from_low_to_high() {
    refused(
        "inflation.leak_times = { low = 2, likely = 1, high = 3 }\n",
        "inflation.leak_times",
        &["`low`, `likely` and `high` must rise"],
    );
    refused(
        "inflation.touching_below = { low = \"2 cm\", likely = \"3 cm\" }\n",
        "inflation.touching_below.high",
        &["missing: give"],
    );
    refused(
        "inflation.exhaust_holes = { count = 1.5, diameter = \"8 mm\" }\n",
        "inflation.exhaust_holes.count",
        &["a whole number"],
    );
}

/// 40 W and 300 W run, the larger motor takes 600 W more while it starts: 940 W.
#[test]
fn a_generator_smaller_than_its_list_is_refused_with_the_size_that_would_do() {
    let with = |output: &str| {
        format!("[inflation]\nblower = \"40 W\"\n[generator]\noutput = \"{output}\"\n")
    };
    refused(
        &with("900 W"),
        "generator.output",
        &[
            "too small",
            "blower 40 W",
            "unit heater 300 W",
            "340 W together",
            "940 W would do",
        ],
    );
    let fine = problems(&format!("{}[purple]\n", with("940 W")));
    assert_eq!(fine.len(), 1, "{fine:?}");
    assert_eq!(fine[0].key, "purple");
}

#[test]
fn generators_carry_what_is_there() {
    let generator = "[generator]\noutput = \"5 kW\"\n";
    refused(
        &format!("{generator}carries = [\"blower\", \"fans\"]\n"),
        "generator.carries",
        &[
            "\"fans\"",
            "no such thing to carry",
            "known are blower, unit heater",
        ],
    );
    refused(
        &format!("{generator}carries = [\"unit heatr\"]\n"),
        "generator.carries",
        &["did you mean \"unit heater\""],
    );
    refused(
        &format!("{generator}start_after = \"7 min\"\n"),
        "generator.start_after",
        &["steps of 5 minutes", "\"5 min\" or \"10 min\""],
    );
    refused(
        "[generator]\n",
        "generator.output",
        &["missing: give", "output of a generator"],
    );
    refused(
        &format!("{generator}carries = []\n"),
        "generator.carries",
        &["at least one entry"],
    );
}

fn event(words: &str) -> String {
    format!("[[event]]\n{}\n", words.replace(", ", "\n"))
}

#[test]
fn events_stay_within_the_year() {
    refused(
        &event("what = \"power fails\", at = \"31 Dec 22:00\", length = \"8 h\""),
        "event.1.length",
        &[
            "ends 360 min after the end of the year",
            "\"120 min\" at most",
        ],
    );
    refused(
        &event("what = \"power fails\", at = \"29 Feb 22:00\", length = \"8 h\""),
        "event.1.at",
        &["Feb has 28 days"],
    );
    for at in [
        "26 Jan",
        "26 Jan 24:00",
        "26 Jan 22:03",
        "26 Jan 10 pm",
        "Janury",
    ] {
        refused(
            &event(&format!(
                "what = \"power fails\", at = \"{at}\", length = \"8 h\""
            )),
            "event.1.at",
            &["such as \"26 Jan 22:00\""],
        );
    }
}

#[test]
fn events_last_whole_steps() {
    refused(
        &event("what = \"power fails\", at = \"26 Jan 22:00\", length = \"8 h 3 min\""),
        "event.1.length",
        &["8 h 3 min"],
    );
    refused(
        &event("what = \"power fails\", at = \"26 Jan 22:00\", length = \"63 min\""),
        "event.1.length",
        &["steps of 5 minutes", "\"60 min\" or \"65 min\""],
    );
    refused(
        &event("what = \"power fails\", at = \"26 Jan 22:00\", length = \"-1 h\""),
        "event.1.length",
        &["outside the range", "0 s to"],
    );
    refused(
        &event("what = \"power fails\", at = \"26 Jan 22:00\""),
        "event.1.length",
        &["missing: give how long"],
    );
}

#[test]
fn events_say_what_and_when_in_known_words() {
    refused(
        &event("what = \"power falls\", at = \"26 Jan 22:00\", length = \"8 h\""),
        "event.1.what",
        &["did you mean \"power fails\""],
    );
    refused(
        &event("at = \"26 Jan 22:00\", length = \"8 h\""),
        "event.1.what",
        &["missing: give what happens: blower stops, heater stops"],
    );
    refused(
        &event("what = \"power fails\", length = \"8 h\""),
        "event.1.at",
        &["missing: give when it begins", "night = \"coldest\""],
    );
    refused(
        &event(
            "what = \"power fails\", at = \"26 Jan 22:00\", night = \"coldest\", length = \"8 h\"",
        ),
        "event.1",
        &["only one of `at`, `night` and `nights_below`"],
    );
    refused(
        &event("what = \"power fails\", at = \"26 Jan 22:00\", from = \"22:00\", length = \"8 h\""),
        "event.1.from",
        &["belongs to `night`"],
    );
    refused(
        &event("what = \"power fails\", night = \"coldest\", from = \"22:02\", length = \"8 h\""),
        "event.1.from",
        &["steps of 5 minutes"],
    );
    refused(
        &event("what = \"power fails\", night = \"warmest\", length = \"8 h\""),
        "event.1.night",
        &["known are coldest"],
    );
    refused(
        &event("what = \"power fails\", at = \"26 Jan 22:00\", length = \"8 h\", width = \"1 m\""),
        "event.1.width",
        &["unknown key"],
    );
}

#[test]
fn events_name_what_is_there() {
    let at = "at = \"26 Jan 22:00\", length = \"8 h\"";
    refused(
        &event(&format!(
            "what = \"heater stops\", heater = \"boiler\", {at}"
        )),
        "event.1.heater",
        &["no such heater", "known are unit heater"],
    );
    refused(
        &event(&format!(
            "what = \"film torn\", section = \"end\", area = \"1 m2\", {at}"
        )),
        "event.1.section",
        &["no such section", "did you mean \"ends\""],
    );
    refused(
        &event(&format!("what = \"film torn\", {at}")),
        "event.1.area",
        &["missing: give", "open area of a tear"],
    );
    refused(
        &event(&format!("what = \"door open\", width = \"1 in\", {at}")),
        "event.1.width",
        &["outside the range"],
    );
}

#[test]
fn outages_are_asked_for_in_known_words() {
    refused(
        "outages.failures = [\"blower\", \"grid\"]\n",
        "outages.failures",
        &["\"grid\"", "known are blower, door open, heaters, power"],
    );
    refused(
        "outages.failures = \"power with generator\"\n",
        "outages.failures",
        &["needs a generator", "add [generator]"],
    );
    refused(
        "outages.lengths = [\"2 h\", \"150 min\"]\n",
        "outages.lengths",
        &["\"150 min\"", "full hours", "\"2 h\" or \"3 h\""],
    );
    refused(
        "outages.lengths = [\"2 h\", \"3 months\"]\n",
        "outages.lengths",
        &["3 months"],
    );
    refused(
        "outages.starts = [\"noon\"]\n",
        "outages.starts",
        &["\"noon\"", "known are before dawn, dusk, midnight"],
    );
    refused(
        "outages.limit = \"frost\"\n",
        "outages.limit",
        &["no such limit", "known are water freezes"],
    );
    refused(
        "outages.alarms = \"38 degF\"\n",
        "outages.alarms",
        &["did you mean `alarm`"],
    );
    refused(
        "outages.failures = []\n",
        "outages.failures",
        &["at least one entry"],
    );
    refused(
        "outages.failures = [3]\n",
        "outages.failures",
        &["a text in quotes"],
    );
}

//! What `[inflation]` says becomes a network: areas, volumes, leaks, pressures, by hand.

#![allow(missing_docs, reason = "a test target")]
#![allow(clippy::unwrap_used, reason = "a failed reading fails the test")]

mod support;

use std::f64::consts::PI;

use overwinter_engine::house::Space;
use overwinter_engine::inflated::Inflation;
use overwinter_physics::inflation::network::{Beyond, NetworkState, Outlets, Surroundings};
use overwinter_physics::inflation::{ElectricDraw, gap};
use overwinter_study::scenario::Checked;
use support::checked;

/// Conventional inch of water: NIST SP 811 (2008), appendix B.8.
const INCH_WATER_PA: f64 = 249.088_9;

/// A gable house 10 m x 20 m, sides 3 m, ridge 6 m: slopes of sqrt(5^2 + 3^2) m.
fn gable(rest: &str) -> Checked {
    checked(&format!(
        r#"
weather.file = "WEATHER"
hold.temp = "5 degC"
heater = {{ fuel = "propane" }}
[house]
shape = "gable"
width = "10 m"
length = "20 m"
side_height = "3 m"
ridge_height = "6 m"
[cover]
roof = "inflated pair"
{rest}"#
    ))
}

fn inflation(checked: &Checked) -> &Inflation {
    checked.study.cases.held()[0]
        .house
        .inflation
        .as_ref()
        .unwrap()
}

fn faces(checked: &Checked) -> usize {
    let sections = &checked.study.cases.held()[0].house.sections;
    sections.iter().map(|section| section.facets.len()).sum()
}

fn in_a_calm(checked: &Checked) -> NetworkState {
    let calm = Surroundings {
        facet_pa: vec![0.0; faces(checked) + 1],
        house_pa: 0.0,
    };
    inflation(checked).network.solve(&calm).unwrap()
}

fn near(value: f64, expected: f64, relative: f64) {
    assert!(
        (value / expected - 1.0).abs() < relative,
        "{value} against {expected}"
    );
}

/// Roof 2 x sqrt(34) x 20, sides 2 x 3 x 20, ends 2 x (10 x 3 + 10 x 3 / 2).
const SLOPE_M: f64 = 5.830_951_894_845_3;
const SHELL_M2: f64 = 40.0 * SLOPE_M + 120.0;
const ENDS_M2: f64 = 90.0;

#[test]
fn a_plain_inflated_house_is_one_gap_for_each_section_on_one_hose() {
    let checked = gable("");
    let inflation = inflation(&checked);
    assert_eq!(inflation.names, ["roof and sides", "ends"]);
    assert_eq!(inflation.of_section, [0, 1]);
    let network = &inflation.network;
    near(network.sections[0].area_m2, SHELL_M2, 1e-9);
    near(network.sections[1].area_m2, ENDS_M2, 1e-9);
    // A gap of 4.7 in = 119.38 mm.
    near(network.sections[0].volume_m3, SHELL_M2 * 0.11938, 1e-9);
    let [link] = network.links.as_slice() else {
        panic!("one jumper");
    };
    assert_eq!((link.from, link.to), (0, 1));
    near(link.jumper.diameter_m, 0.1, 1e-12);
    let [feed] = network.feeds.as_slice() else {
        panic!("one blower");
    };
    assert_eq!(feed.outlets, Outlets::Section(0));
    // The face beyond all planes: no wind reaches it.
    assert_eq!(feed.intake, Beyond::Facet(faces(&checked)));
    assert!(inflation.has_drains && !feed.blower.back_draft_flap);
    near(inflation.asked_pa, 0.22 * INCH_WATER_PA, 1e-6);
    near(feed.blower.draw.watts(), 0.25 * (SHELL_M2 + ENDS_M2), 1e-9);
    near(
        checked.study.cases.held()[0].house.fans.blower_w,
        feed.blower.draw.watts(),
        1e-15,
    );
    for (estimate, key) in Inflation::estimates().into_iter().zip([
        "touching_below",
        "touching_conductance",
        "flapping_conductance",
        "leak_times",
    ]) {
        assert!(estimate.low <= estimate.likely && estimate.likely <= estimate.high);
        let used = checked.study.defaults.iter();
        let mut used = used.filter(|used| used.key == format!("inflation.{key}"));
        assert!(
            used.next()
                .unwrap()
                .source
                .starts_with("estimate: never measured")
        );
    }
}

/// Half of the leaks leads into the house, half to outdoors; at 60 Pa they are as stated.
#[test]
fn leaks_are_as_stated_at_60_pa() {
    let checked = gable("[inflation]\nflow_per_area = \"0.05 L/sm2\"\n");
    let shell = &inflation(&checked).network.sections[0];
    let flow = |inside: bool| -> f64 {
        let leaks = shell.openings.iter();
        let leaks = leaks.filter(|leak| (leak.beyond == Beyond::House) == inside);
        leaks.map(|leak| leak.opening.flow_m3_s(60.0)).sum()
    };
    near(flow(true), 0.5 * 5e-5 * SHELL_M2, 1e-6);
    near(flow(false), 0.5 * 5e-5 * SHELL_M2, 1e-6);
    // Locked along the eaves of both sides: planes 2 and 3 of the house, upright.
    let upright = &checked.study.cases.held()[0].house.sections[0].facets;
    let outdoors = shell.openings.iter().filter_map(|leak| match leak.beyond {
        Beyond::Facet(face) => Some(upright[face].tilt_deg),
        Beyond::House => None,
    });
    assert_eq!(outdoors.collect::<Vec<_>>(), [90.0, 90.0]);
}

#[test]
fn the_usual_damper_gives_the_pressure_asked_for() {
    for (words, asked_pa) in [
        ("", 0.22 * INCH_WATER_PA),
        ("pressure = \"75 Pa\"\n", 75.0),
        ("pressure = \"40 Pa\"\nflow = \"30 L/s\"\n", 40.0),
        (
            "exhaust_holes = { count = 3, diameter = \"20 mm\" }\n",
            0.22 * INCH_WATER_PA,
        ),
    ] {
        let checked = gable(&format!("[inflation]\n{words}"));
        let state = in_a_calm(&checked);
        assert!(
            (state.section_pa[0] - asked_pa).abs() < 0.5,
            "{words}: {state:?}"
        );
        assert!(state.section_pa[0] >= asked_pa, "{words}: {state:?}");
        assert_eq!(checked.warnings, Vec::<String>::new(), "{words}");
        let damper = checked.study.defaults.iter();
        assert!(damper.clone().any(|used| used.key == "inflation.damper"));
    }
}

/// One gap and one blower by hand: 200 (1 - Q / Q0) = p with a straight curve, Q = C p^0.65.
#[test]
fn a_blower_too_weak_is_left_open_and_warned_about() {
    let rest = "ends = \"single film\"\n[inflation]\nflow_per_area = \"0.1 L/sm2\"\nfree_flow = \"25 L/s\"\n\
                shut_off_pressure = \"200 Pa\"\nbend = 1\n";
    let checked = gable(rest);
    let [feed] = inflation(&checked).network.feeds.as_slice() else {
        panic!("one blower");
    };
    assert_eq!(feed.blower.damper_area_m2, None);
    let reached_pa = in_a_calm(&checked).section_pa[0];
    let leak_m3_s = 1e-4 * SHELL_M2 * (reached_pa / 60.0).powf(0.65);
    near(200.0 * (1.0 - leak_m3_s / 0.025), reached_pa, 1e-4);
    assert!(reached_pa < 0.9 * 0.22 * INCH_WATER_PA, "{reached_pa}");
    let [warning] = checked.warnings.as_slice() else {
        panic!("{:?}", checked.warnings);
    };
    for word in ["\"roof and sides\"", "are asked for", "Pa"] {
        assert!(warning.contains(word), "{warning}");
    }
}

/// Gaps without leaks stand at the shut-off pressure, whatever the damper.
#[test]
fn gaps_without_leaks_are_warned_about() {
    let checked =
        gable("[inflation]\nflow_per_area = \"0 L/sm2\"\nshut_off_pressure = \"150 Pa\"\n");
    for pressure_pa in in_a_calm(&checked).section_pa {
        near(pressure_pa, 150.0, 1e-6);
    }
    assert_eq!(checked.warnings.len(), 2, "{:?}", checked.warnings);
    assert!(
        checked.warnings[0].contains("would give less"),
        "{:?}",
        checked.warnings
    );
}

#[test]
fn sections_share_their_part_of_the_cover() {
    let checked = gable(
        r#"
[inflation]
pressure = "60 Pa"
[[inflation.section]]
name = "first slope"
part = "roof"
share = "25 %"
gap = "20 cm"
[[inflation.section]]
name = "second slope"
part = "roof"
[[inflation.section]]
name = "walls"
part = "sides"
leak = "0.1 L/sm2"
[[inflation.section]]
name = "west end"
part = "ends"
[[inflation.section]]
name = "east end"
part = "ends"
[[inflation.jumper]]
from = "first slope"
to = "second slope"
[[inflation.jumper]]
from = "second slope"
to = "walls"
[[inflation.jumper]]
from = "first slope"
to = "west end"
diameter = "3 in"
length = "2 m"
bends = 1
count = 2
[[inflation.blower]]
into = "second slope"
power = "30 W"
[[inflation.blower]]
volts = 120
amps = 0.5
power_factor = 0.7
flap = "shuts by itself"
[[inflation.blower.hose]]
to = "east end"
[[inflation.blower.hose]]
to = "first slope"
"#,
    );
    let inflation = inflation(&checked);
    assert_eq!(inflation.of_section, [0, 0, 0, 1, 1]);
    let roof_m2 = 40.0 * SLOPE_M;
    let expected_m2 = [0.25 * roof_m2, 0.75 * roof_m2, 120.0, 45.0, 45.0];
    for (section, area_m2) in inflation.network.sections.iter().zip(expected_m2) {
        near(section.area_m2, area_m2, 1e-9);
    }
    near(
        inflation.network.sections[0].volume_m3,
        0.2 * 0.25 * roof_m2,
        1e-9,
    );
    let walls: f64 = inflation.network.sections[2]
        .openings
        .iter()
        .map(|leak| leak.opening.flow_m3_s(60.0))
        .sum();
    near(walls, 1e-4 * 120.0, 1e-6);
    let draws: Vec<_> = inflation
        .network
        .feeds
        .iter()
        .map(|feed| feed.blower.draw)
        .collect();
    assert_eq!(draws[0], ElectricDraw::Watts(30.0));
    near(draws[1].watts(), 42.0, 1e-12);
    near(
        checked.study.cases.held()[0].house.fans.blower_w,
        72.0,
        1e-12,
    );
    assert!(inflation.network.feeds[1].blower.back_draft_flap);
    let Outlets::Hoses(hoses) = &inflation.network.feeds[1].outlets else {
        panic!("two hoses");
    };
    assert_eq!((hoses[0].0, hoses[1].0), (4, 0));
    let jumper = inflation.network.links[2].jumper;
    near(jumper.diameter_m, 0.0762, 1e-12);
    assert_eq!((jumper.bends, jumper.count), (1, 2));
    // All sections that a blower blows into have what is asked for.
    let state = in_a_calm(&checked);
    for section in [0, 1, 4] {
        assert!(state.section_pa[section] >= 60.0, "{state:?}");
    }
    // The season sees the mean gap of each section of the house.
    let mean_m = (0.2 * 0.25 * roof_m2 + 0.11938 * (0.75 * roof_m2 + 120.0)) / SHELL_M2;
    let spaces = &checked.study.cases.held()[0].house.sections[0].spaces;
    let overwinter_engine::house::Space::Inflated { gap_m, .. } = spaces[0] else {
        panic!("inflated");
    };
    near(gap_m, mean_m, 1e-9);
}

/// Films: 925 kg/m3 x 9.80665 m/s2 x thickness x mean cosine of the tilt; walls weigh nothing.
#[test]
fn films_weigh_by_thickness_and_tilt() {
    let words =
        "sides = \"single film\"\n[inflation]\nfilm_thickness = \"200 um\"\nair = \"inside\"\n";
    let checked = gable(words);
    let inflation = inflation(&checked);
    assert_eq!(inflation.names, ["roof", "ends"]);
    let [roof, ends] = [&inflation.films[0], &inflation.films[1]];
    near(
        roof.film_weight_pa,
        925.0 * 9.80665 * 200e-6 * 5.0 / SLOPE_M,
        1e-6,
    );
    assert!(ends.film_weight_pa.abs() < 1e-9);
    let shares: f64 = roof.faces.iter().map(|face| face.share).sum();
    near(shares, 1.0, 1e-12);
    // Faces are counted over all planes: 2 of the roof, 2 of the sides, then the ends.
    let of = |films: &overwinter_physics::inflation::deflate::Films| -> Vec<usize> {
        films.faces.iter().map(|face| face.facet).collect()
    };
    assert_eq!((of(roof), of(ends)), (vec![0, 1], vec![4, 5]));
    assert_eq!(inflation.network.feeds[0].intake, Beyond::House);
    let stretch = gap::stretch_compliance_m3_pa(40.0 * SLOPE_M, 4.0, 200e-6);
    near(roof.compliance_m3_pa, stretch, 1e-12);
}

#[test]
fn estimates_are_one_value_or_three() {
    let words = "[inflation]\ntouching_below = \"30 mm\"\nleak_times = { low = 0.7, likely = 1, high = 4 }\n";
    let checked = gable(words);
    let inflation = inflation(&checked);
    let ends = |ranged: gap::Ranged| [ranged.low, ranged.likely, ranged.high];
    for end in ends(inflation.touching_below_m) {
        near(end, 0.03, 1e-12);
    }
    for (end, expected) in ends(inflation.leak_times).into_iter().zip([0.7, 1.0, 4.0]) {
        near(end, expected, 1e-12);
    }
    assert_eq!(inflation.touching_w_m2k, gap::TOUCHING_W_M2K);
}

#[test]
fn a_house_without_an_inflated_cover_has_no_network() {
    let words = "ends = \"single film\"\n[inflation]\npressure = \"60 Pa\"\nblower = \"20 W\"\n";
    let text = words.to_owned();
    let checked = gable(&text);
    assert!(checked.study.cases.held()[0].house.inflation.is_some());
    let single = checked_single(&text);
    assert_eq!(single.study.cases.held()[0].house.inflation, None);
    near(
        single.study.cases.held()[0].house.fans.blower_w,
        20.0,
        1e-12,
    );
    assert!(single.warnings[0].contains("no cover of this house is inflated"));
}

fn checked_single(rest: &str) -> Checked {
    checked(&format!(
        "weather.file = \"WEATHER\"\nhold.temp = \"5 degC\"\nheater = {{ fuel = \"propane\" }}\n\
         house = {{ width = \"10 m\", length = \"20 m\" }}\n[cover]\nroof = \"single film\"\n{rest}"
    ))
}

/// Values by hand from `every_key.toml`.
#[test]
fn every_key_of_inflation_reaches_its_place() {
    let checked = checked(include_str!("every_key.toml"));
    let inflation = inflation(&checked);
    assert_eq!(inflation.names, ["low half", "high half"]);
    near(inflation.asked_pa, 0.25 * INCH_WATER_PA, 1e-6);
    assert!(!inflation.has_drains);
    near(inflation.touching_below_m.high, 0.04, 1e-12);
    near(inflation.touching_w_m2k.low, 30.0, 1e-12);
    near(inflation.flapping_w_m2k.likely, 4.0, 1e-12);
    near(inflation.leak_times.high, 3.0, 1e-12);
    let network = &inflation.network;
    // Roof sqrt(5^2 + 2^2) x 20; 10 L/s over all of it; holes 2 of 10 mm and 1 of 6 mm.
    let roof_m2 = 29.0_f64.sqrt() * 20.0;
    near(network.sections[0].area_m2, 0.6 * roof_m2, 1e-9);
    let flow = |section: usize| -> f64 {
        let openings = network.sections[section].openings.iter();
        openings.map(|hole| hole.opening.flow_m3_s(60.0)).sum()
    };
    let hole = |count: f64, diameter_m: f64| {
        0.62 * count * PI / 4.0 * diameter_m * diameter_m * (2.0 * 60.0_f64 / 1.25).sqrt()
    };
    near(flow(0), 0.6 * 0.01 + hole(2.0, 0.01), 1e-6);
    near(flow(1), 0.4 * roof_m2 * 5e-5 + hole(1.0, 0.006), 1e-6);
    let jumper = network.links[0].jumper;
    assert_eq!((jumper.bends, jumper.count), (2, 3));
    near(jumper.length_m, 1.5, 1e-12);
    let [first, second] = network.feeds.as_slice() else {
        panic!("two blowers");
    };
    assert_eq!(first.intake, Beyond::House);
    near(first.blower.shut_off_pa, 0.8 * INCH_WATER_PA, 1e-6);
    // 1 cfm = 4.719474e-4 m3/s: NIST SP 811 (2008), appendix B.8.
    near(first.blower.free_flow_m3_s, 80.0 * 4.719_474e-4, 1e-6);
    near(first.blower.bend, 1.5, 1e-12);
    near(first.blower.inlet_area_m2, PI / 4.0 * 0.0064, 1e-12);
    near(
        first.blower.damper_area_m2.unwrap(),
        PI / 4.0 * 0.0016,
        1e-12,
    );
    assert!(first.blower.back_draft_flap && !second.blower.back_draft_flap);
    near(second.blower.draw.watts(), 15.0, 1e-12);
    near(
        checked.study.cases.held()[0].house.fans.blower_w,
        35.0,
        1e-12,
    );
}

/// What joins and feeds the gaps matters when a blower fails, not before: a season without events is
/// the same to the bit.
#[test]
fn a_network_moves_no_season_by_a_bit() {
    let checked = gable("[outages]\nrun = false\n");
    let mut without = checked.study.clone();
    for case in without.cases.held_mut() {
        std::sync::Arc::make_mut(&mut case.house).inflation = None;
    }
    let run = |study: &overwinter_study::case::Study| {
        let result = overwinter_study::run::run_study(study, Some(1), &|_| ());
        let rows = result.cases.iter().map(|rows| format!("{rows:?}"));
        rows.collect::<Vec<_>>()
    };
    let [with, without] = [&checked.study, &without].map(run);
    assert!(with[0].len() > 10_000 && !with[0].contains("NaN"));
    assert!(with == without);
}

/// Air that a season blows through the gaps, m3/s per m2 of cover.
fn blown_m3_s_m2(checked: &Checked) -> f64 {
    let sections = &checked.study.cases.held()[0].house.sections;
    let spaces = sections.iter().flat_map(|section| &section.spaces);
    let flow = spaces.filter_map(|space| match space {
        Space::Inflated { flow_m3_s_m2, .. } => Some(*flow_m3_s_m2),
        _ => None,
    });
    flow.fold(0.0, f64::max)
}

/// Three holes of 20 mm in each of two sections at 55 Pa, 0.62 A sqrt(2 p / rho), and leaks of 0.04 L/s per
/// m2 at 60 Pa.
#[test]
fn exhaust_holes_blow_more_air_through_the_gaps_of_a_season() {
    assert!(
        (blown_m3_s_m2(&gable("")) - 4e-5).abs() < 1e-18,
        "without holes as stated"
    );
    let checked = gable("[inflation]\nexhaust_holes = { count = 3, diameter = \"20 mm\" }\n");
    let state = in_a_calm(&checked);
    let hole_m2 = PI / 4.0 * 0.02 * 0.02;
    let by_hand_m3_s: f64 = state
        .section_pa
        .iter()
        .zip([SHELL_M2, ENDS_M2])
        .map(|(pa, area_m2)| {
            3.0 * 0.62 * hole_m2 * (2.0 * pa / 1.25_f64).sqrt()
                + 4e-5 * area_m2 * (pa / 60.0).powf(0.65)
        })
        .sum();
    near(
        blown_m3_s_m2(&checked),
        by_hand_m3_s / (SHELL_M2 + ENDS_M2),
        1e-3,
    );
    assert!(blown_m3_s_m2(&checked) > 5e-5);
}

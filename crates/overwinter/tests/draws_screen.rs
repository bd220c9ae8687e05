//! What the screen shows of many draws, from numbers made by hand.

use std::sync::Arc;

use overwinter::screen::summary::Summary;
use overwinter_study::ranking::{
    DesignDigest, Digest, DrivenBy, Measure, SettingDigest, Spread, Unheld,
};
use overwinter_units::System;

fn spread(median: f64, range: [f64; 2]) -> Spread {
    Spread {
        count: 40,
        median,
        mean: median,
        range: Some(range),
    }
}

fn by(input: &str, correlation: f64) -> DrivenBy {
    DrivenBy {
        input: Arc::from(input),
        correlation,
    }
}

fn pair() -> DesignDigest {
    DesignDigest {
        label: Arc::from("inflated pair"),
        value: spread(5200.0, [4210.0, 7640.0]),
        less_baseline: Some(spread(-2140.0, [-2840.0, 135.4])),
        better_share: Some(0.926),
        lowest_k: Some(spread(275.15, [274.0, 276.0])),
        unheld: None,
        drivers: vec![by("price", 0.914), by("leaks", 0.4)],
        difference_drivers: vec![by("price", -0.82)],
    }
}

fn single() -> DesignDigest {
    DesignDigest {
        label: Arc::from("single film"),
        value: spread(7290.0, [5590.0, 10_300.0]),
        less_baseline: None,
        better_share: None,
        lowest_k: None,
        unheld: None,
        drivers: vec![by("price", 0.9)],
        difference_drivers: Vec::new(),
    }
}

fn setting(label: &str) -> SettingDigest {
    SettingDigest {
        labels: vec![Arc::from(label)],
        measure: Measure::Cost,
        unit: Arc::from("USD"),
        draws: 40,
        baseline: Some(Arc::from("single film")),
        designs: vec![pair(), single()],
    }
}

fn digest(settings: Vec<SettingDigest>) -> Digest {
    Digest {
        draws: 40,
        inputs: 6,
        settings,
    }
}

fn text(digest: &Digest, system: System) -> String {
    let failure = [(7, "it did not settle".to_owned())];
    let text = Summary {
        title: "Which cover",
        axis_names: &["cover".to_owned(), "climate".to_owned()],
        cases: &[],
        untold: 80,
        untold_failures: &failure,
        digest: Some(digest),
        worst_years: &[],
        money: None,
        defaults: 14,
        output_by_default: false,
        wet_film_decides: false,
        events: None,
        house_air_in_gaps: false,
        system,
    }
    .text();
    for line in text.lines() {
        assert!(line.chars().count() <= 100, "too wide: {line}");
        assert_eq!(line, line.trim_end());
    }
    text
}

/// The words of a text with one blank between them.
fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn designs_stand_with_their_ranges_and_what_they_follow() {
    let shown = words(&text(&digest(vec![setting("north")]), System::Us));
    for wanted in [
        "north inflated pair 5,200 4,210 to 7,640 -2,140 -2,840 to +135 93 % 35.6",
        "single film 7,290 5,590 to 10,300 - - - -",
        "fuel and electricity cost of the year; 40 draws of 6 inputs",
        "the design less single film, both under the same draw",
        "north: the range of inflated pair follows price (+0.91) and leaks (+0.40); that of inflated \
         pair less single film follows price (-0.82).",
        "case 7 failed: it did not settle",
        "80 cases: each stands in the tables cases and fuel_use",
    ] {
        assert!(shown.contains(wanted), "{wanted}\n{shown}");
    }
}

#[test]
fn temperatures_and_energy_are_in_the_units_asked_for() {
    let mut cold = setting("north");
    cold.measure = Measure::LowestLeaf;
    cold.unit = Arc::from("degC");
    cold.designs[0].value = spread(275.15, [273.15, 278.15]);
    cold.designs[0].less_baseline = Some(spread(1.0, [0.5, 2.0]));
    let mut warm = setting("south");
    warm.measure = Measure::FuelEnergy;
    warm.unit = Arc::from("kWh");
    warm.designs[0].value = spread(3.6e9, [1.8e9, 7.2e9]);
    warm.designs[0].less_baseline = None;
    warm.designs.truncate(1);
    let both = digest(vec![cold, warm]);
    let us = words(&text(&both, System::Us));
    // 1,000 kWh = 3.41 MMBtu (NIST SP 811, 2008, appendix B.8).
    for wanted in ["35.6 32.0 to 41.0 +1.8 +0.9 to +3.6", "3.41 1.71 to 6.82"] {
        assert!(us.contains(wanted), "{wanted}\n{us}");
    }
    let si = words(&text(&both, System::Si));
    for wanted in ["2.0 0.0 to 5.0 +1 +0.5 to +2", "1,000 500 to 2,000"] {
        assert!(si.contains(wanted), "{wanted}\n{si}");
    }
}

#[test]
fn many_settings_and_designs_are_cut_short_but_for_the_baseline() {
    let mut crowded = setting("north");
    let one = |at: usize| DesignDigest {
        label: Arc::from(format!("design {at}")),
        ..pair()
    };
    crowded.designs = (0..12).map(one).chain([single()]).collect();
    crowded.draws = 38;
    let mut settings = vec![crowded];
    settings.extend((0..9).map(|at| setting(&format!("place {at}"))));
    let shown = words(&text(&digest(settings), System::Us));
    for wanted in [
        "design 7 ",
        "single film 7,290",
        "and 4 more",
        "(38 draws ran with all)",
    ] {
        assert!(shown.contains(wanted), "{wanted}\n{shown}");
    }
    assert!(!shown.contains("design 8 "), "{shown}");
    assert!(shown.contains("2 more settings: see the table ranking."));
}

#[test]
fn one_design_alone_has_its_range_and_nothing_to_compare() {
    let mut alone = setting("north");
    alone.labels.clear();
    alone.baseline = None;
    alone.designs = vec![DesignDigest {
        less_baseline: None,
        better_share: None,
        ..pair()
    }];
    let shown = text(&digest(vec![alone]), System::Us);
    assert!(
        words(&shown).contains("inflated pair 5,200 4,210 to 7,640 35.6"),
        "{shown}"
    );
    assert!(!shown.contains("against"), "{shown}");
}

#[test]
fn a_design_that_is_too_cold_is_told() {
    let mut cold = setting("north");
    // 3.6 GJ = 1,000 kWh = 3.41 MMBtu (NIST SP 811, 2008, appendix B.8).
    cold.designs[0].unheld = Some(Unheld {
        share: 0.75,
        lacking_j: 3.6e9,
    });
    let shown = words(&text(&digest(vec![cold]), System::Us));
    let wanted = "north: inflated pair misses its temperature in 75 % of the draws (3.41 MMBtu (1,000 kWh) \
                  of heat lacking): what that saves is heat that the crop goes without.";
    assert!(shown.contains(wanted), "{shown}");
}

#[test]
fn settings_with_different_baselines_name_theirs() {
    let mut other = setting("south");
    other.baseline = Some(Arc::from("inflated pair"));
    let shown = words(&text(&digest(vec![setting("north"), other]), System::Us));
    for wanted in [
        "north (against single film)",
        "south (against inflated pair)",
    ] {
        assert!(shown.contains(wanted), "{shown}");
    }
    let shown = words(&text(&digest(vec![setting("north")]), System::Us));
    assert!(!shown.contains("(against"), "{shown}");
}

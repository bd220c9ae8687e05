//! The summary on the screen, from numbers chosen by hand. The snapshots show changes of layout;
//! the numbers in them follow from those below.

use std::sync::{Arc, LazyLock};

use overwinter::screen::summary::Summary;
use overwinter_study::case::NightStart;
use overwinter_study::run::Shortfall;
use overwinter_study::summary::{CaseSummary, FailingSummary, FuelTotals, LimitSummary, Numbers};
use overwinter_study::tables::frost_risk::{Below, Lowest};
use overwinter_study::tables::fuel_use::{HouseUse, WorstWeek};
use overwinter_study::tables::outages::{
    AllNights, HeatersGoOn, JudgedBy, OneNight, OutageRow, Reached,
};
use overwinter_units::System;
use overwinter_weather::YearKind;

/// Heat and propane at 80 % efficiency and 96.5 MJ a gallon (close to the 91,500 Btu of a gallon,
/// from memory), at 2.10 a gallon.
fn propane(heat_kwh: f64) -> FuelTotals {
    let fuel_j = heat_kwh * 3.6e6 / 0.8;
    FuelTotals {
        fuel: Arc::from("propane"),
        fuel_unit: Some(Arc::from("gal")),
        fuel_units: Some(fuel_j / 96.5e6),
        fuel_j,
        heat_j: heat_kwh * 3.6e6,
        fuel_cost: Some(fuel_j / 96.5e6 * 2.1),
    }
}

fn below(hours: usize, nights: usize, longest_spell_h: usize) -> Below {
    Below {
        hours,
        kelvin_hours: 2.0 * hours as f64,
        nights,
        longest_spell_h,
    }
}

fn numbers() -> Numbers {
    let heat_kwh = [
        15e3, 11e3, 6e3, 1e3, 0.0, 0.0, 0.0, 0.0, 0.0, 500.0, 5e3, 12e3,
    ];
    Numbers {
        year: propane(heat_kwh.iter().sum()),
        months: heat_kwh.iter().map(|&heat_kwh| propane(heat_kwh)).collect(),
        by_fuel: Vec::new(),
        worst_week: Some(WorstWeek {
            first_day: 15,
            heat_j: 4500.0 * 3.6e6,
            fuel_units: propane(4500.0).fuel_units,
        }),
        currency: Arc::from("USD"),
        house: HouseUse {
            peak_hour_w: 44e3,
            peak_at_hour: 16 * 24 + 5,
            unmet_j: 18e6,
            below_set_kh: 30.0,
            holding_peak_w: None,
            blower_j: 480.0 * 3.6e6,
            circulation_j: 0.0,
            vent_fan_j: 0.0,
            electricity_cost: Some(96.6),
        },
        outdoor_at_peak_k: 251.15,
        heater_electric_j: 210.0 * 3.6e6,
        heater_output_w: 58.6e3,
        full_output_h: 0.0,
        shortfall: None,
        lowest_air: Some(Lowest {
            temp_k: 277.0,
            hour: 16 * 24 + 6,
        }),
        lowest_leaf: Some(Lowest {
            temp_k: 272.15,
            hour: 16 * 24 + 5,
        }),
        failing: None,
        limits: vec![
            LimitSummary {
                name: Arc::from("water freezes"),
                limit_k: 273.15,
                air: Below::default(),
                leaf: Some(below(12, 3, 6)),
            },
            LimitSummary {
                name: Arc::from("tomato, chilling"),
                limit_k: 283.15,
                air: below(3050, 180, 410),
                leaf: Some(below(3300, 190, 450)),
            },
        ],
    }
}

fn case(case_id: usize, label: &str, outcome: Result<Numbers, Arc<str>>) -> CaseSummary {
    CaseSummary {
        case_id,
        axis_labels: vec![Arc::from(label)],
        climate: Arc::from("Handmade Flats"),
        weather_year: YearKind::Typical,
        stress: None,
        latitude_deg: 45.0,
        floor_area_m2: 267.6,
        outcome,
    }
}

fn axis_names() -> &'static [String] {
    static NAMES: LazyLock<[String; 1]> = LazyLock::new(|| ["cover".to_owned()]);
    NAMES.as_slice()
}

fn summary(cases: &[CaseSummary], system: System) -> Summary<'_> {
    Summary {
        title: "First winter",
        axis_names: axis_names(),
        cases,
        untold: 0,
        untold_failures: &[],
        digest: None,
        worst_years: &[],
        money: None,
        defaults: 14,
        output_by_default: false,
        wet_film_decides: cases.len() > 1,
        events: None,
        house_air_in_gaps: false,
        system,
    }
}

fn text(cases: &[CaseSummary], system: System) -> String {
    let text = summary(cases, system).text();
    for line in text.lines() {
        assert!(line.chars().count() <= 100, "too wide: {line}");
        assert_eq!(line, line.trim_end());
    }
    text
}

#[test]
fn one_case_in_us_units() {
    insta::assert_snapshot!(text(&[case(1, "", Ok(numbers()))], System::Us));
}

#[test]
fn one_case_in_si_units() {
    insta::assert_snapshot!(text(&[case(1, "", Ok(numbers()))], System::Si));
}

#[test]
fn a_heater_that_was_too_small_says_so() {
    let mut numbers = numbers();
    numbers.full_output_h = 23.0;
    numbers.house.holding_peak_w = Some(70e3);
    numbers.shortfall = Some(Shortfall {
        below_set_k: 2.5,
        hour: 16 * 24 + 6,
    });
    let text = text(&[case(1, "", Ok(numbers))], System::Us);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.contains("missed by up to 4.5 degF (2.5 K), 17 Jan 06:00"),
        "{text}"
    );
    // 70 kW = 239 kBtu/h.
    assert!(
        text.contains("an output of 239 kBtu/h (70 kW) would have held"),
        "{text}"
    );
    // 18 MJ = 5 kWh.
    assert!(
        text.contains("17.1 kBtu (5 kWh) of heat was lacking"),
        "{text}"
    );
}

/// A night in which the power fails, at 265 K on the leaf.
fn failing() -> FailingSummary {
    let night = OneNight {
        start_hour: 25 * 24 + 17,
        leaf_k: 265.0,
        leaf_range_k: Some([264.15, 265.15]),
        air_k: 267.0,
        alarm_h: Some(0.1),
        freezing_h: Some(0.25),
        limit_h: Some(0.5),
        is_lost: true,
        plateau_k: Some(270.0),
        standby_w: Some(40e3),
        heaters: None,
    };
    let never = Reached {
        median_h: None,
        shortest_h: None,
        share: 0.0,
    };
    let blower = OneNight {
        air_k: 277.15,
        standby_w: None,
        heaters: Some(HeatersGoOn {
            missed_k: 0.0,
            extra_w: 3e3,
        }),
        ..night.clone()
    };
    FailingSummary {
        row: OutageRow {
            case_id: 1,
            failure: Arc::from("power"),
            start: NightStart::Dusk,
            length_h: 8.0,
            nights: 120,
            judged_by: JudgedBy {
                limit_name: Arc::from("lettuce"),
                limit_k: 271.15,
                lag_h: 0.0,
                alarm_k: 275.15,
                travel_h: 0.5,
                emergency_hold_k: 274.15,
            },
            all: Some(AllNights {
                leaf_median_k: 272.0,
                air_median_k: 273.0,
                air_worst_k: 262.0,
                air_worst_start_hour: 25 * 24 + 17,
                alarm: never,
                freezing: never,
                limit: never,
                plateau_median_k: None,
                plateau_worst_k: None,
                lost: 30,
                lost_without: 0,
                too_fast: 10,
                alarm_set_k: None,
            }),
            worst: Some(night.clone()),
            clear: Some(night),
            windy: None,
            drying: None,
        },
        generator: None,
        blower: Some(blower),
    }
}

#[test]
fn what_a_failure_does_is_told() {
    let mut numbers = numbers();
    numbers.failing = Some(failing());
    let one = text(&[case(1, "", Ok(numbers.clone()))], System::Si);
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    // 0 C is 273.15 K; 40 kW = 136 kBtu/h, 3 kW = 10.2 kBtu/h (NIST SP 811, 2008, appendix B.8).
    for part in [
        "If the power fails at dusk for 8 h, on the clear design night: air freezing after 15 min, lowest \
         leaf -8.1 degC (17.3 degF), from -9.0 to -8.0",
        "Crop lost yes (lettuce); in 30 of the 120 nights of the season; in 10 of them sooner than \
         help comes in 30 min",
        "Standby heater 40 kW (136 kBtu/h) in need of no electricity would hold 1.0 degC (33.8 degF)",
        "If the blower fails the heaters hold the house (lowest air 4.0 degC (39.2 degF)) with 3 kW \
         (10.2 kBtu/h) more on average",
        "no promise",
    ] {
        assert!(words(&one).contains(part), "no {part:?} in\n{one}");
    }
    let mut colder = numbers.clone();
    if let Some(night) = colder
        .failing
        .as_mut()
        .and_then(|failing| failing.row.clear.as_mut())
    {
        night.leaf_k = 260.0;
    }
    let cases = [case(1, "mild", Ok(numbers)), case(2, "cold", Ok(colder))];
    let many = words(&text(&cases, System::Si));
    assert!(
        many.contains("case 2 gets the coldest: air freezing after 15 min"),
        "{many}"
    );
}

#[test]
fn an_unheated_house_without_a_crop() {
    let mut numbers = numbers();
    for totals in std::iter::once(&mut numbers.year).chain(&mut numbers.months) {
        *totals = FuelTotals {
            fuel: Arc::from("none"),
            fuel_unit: None,
            fuel_units: None,
            fuel_j: 0.0,
            heat_j: 0.0,
            fuel_cost: None,
        };
    }
    numbers.worst_week = None;
    numbers.heater_output_w = 0.0;
    numbers.heater_electric_j = 0.0;
    numbers.house.electricity_cost = None;
    numbers.lowest_leaf = None;
    for limit in &mut numbers.limits {
        limit.leaf = None;
    }
    insta::assert_snapshot!(text(&[case(1, "", Ok(numbers))], System::Us));
}

#[test]
fn several_fuels_stand_on_lines_of_their_own() {
    let mut numbers = numbers();
    let electricity = FuelTotals {
        fuel: Arc::from("electricity"),
        fuel_unit: Some(Arc::from("kWh")),
        fuel_units: Some(500.0),
        fuel_j: 500.0 * 3.6e6,
        heat_j: 500.0 * 3.6e6,
        fuel_cost: None,
    };
    numbers.by_fuel = vec![propane(50e3), electricity];
    for totals in std::iter::once(&mut numbers.year).chain(&mut numbers.months) {
        totals.fuel = Arc::from("several");
        totals.fuel_unit = None;
        totals.fuel_units = None;
    }
    let text = text(&[case(1, "", Ok(numbers))], System::Us);
    assert!(text.contains("propane, year"), "{text}");
    assert!(text.contains("electricity, year         500 kWh"), "{text}");
    assert!(text.contains("MMBtu of heat"), "{text}");
}

#[test]
fn many_cases_have_a_line_each() {
    let failed = Err(Arc::from("hour 12: the energy account is open by 3 W"));
    let cases = [
        case(1, "single film", Ok(numbers())),
        case(2, "inflated pair, infrared film inside", Ok(numbers())),
        case(3, "twin-wall sheet", failed),
    ];
    insta::assert_snapshot!(text(&cases, System::Us));
}

#[test]
fn different_fuels_keep_their_units_in_the_line() {
    let mut electric = numbers();
    electric.year.fuel_unit = Some(Arc::from("kWh"));
    let cases = [
        case(1, "a/b/gas.toml", Ok(numbers())),
        case(2, "x", Ok(electric)),
    ];
    let text = text(&cases, System::Us);
    assert!(
        text.contains("2,350 gal") && text.contains("2,350 kWh"),
        "{text}"
    );
    assert!(
        text.contains("  gas.toml  ") && !text.contains("a/b"),
        "{text}"
    );
}

#[test]
fn an_unheated_house_among_others_shows_what_its_electricity_costs() {
    let mut unheated = numbers();
    unheated.year = FuelTotals {
        fuel: Arc::from("none"),
        fuel_unit: None,
        fuel_units: None,
        fuel_j: 0.0,
        heat_j: 0.0,
        fuel_cost: None,
    };
    unheated.worst_week = None;
    unheated.house.electricity_cost = Some(67.2);
    let cases = [
        case(1, "heated", Ok(numbers())),
        case(2, "cold", Ok(unheated.clone())),
    ];
    let told = text(&cases, System::Us);
    let line = |label: &str| {
        let line = told.lines().find(|line| line.contains(label));
        let cells = line.expect("a line").split_whitespace();
        cells.map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(line("heated")[2..5], ["2,350", "4,950", "96.6"]);
    assert_eq!(line("cold")[2..5], ["-", "-", "67.2"]);
    assert_eq!(line(" gal ")[..3], ["gal", "USD", "USD"]);
    unheated.house.electricity_cost = None;
    let unpriced = text(
        &[
            case(1, "a", Ok(unheated.clone())),
            case(2, "b", Ok(unheated)),
        ],
        System::Us,
    );
    assert!(!unpriced.contains("power"), "{unpriced}");
}

/// What is said under "Read with care", on one line.
fn caveats(cases: &[CaseSummary]) -> String {
    let text = text(cases, System::Us);
    let (_, caveats) = text.split_once("Read with care").expect("caveats");
    caveats.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn cold_houses_are_told_what_freezing_soil_does() {
    let words = "over dry soil they come out some 4 degF (2 K) colder";
    let warm = numbers();
    assert!(!caveats(&[case(1, "", Ok(warm.clone()))]).contains(words));
    let mut frozen = warm.clone();
    frozen.lowest_air = Some(Lowest {
        temp_k: 273.0,
        hour: 6,
    });
    assert!(caveats(&[case(1, "", Ok(frozen))]).contains(words));
    let mut unheated = warm;
    unheated.heater_output_w = 0.0;
    assert!(caveats(&[case(1, "", Ok(unheated))]).contains(words));
}

#[test]
fn a_heater_of_the_usual_size_says_that_it_is_generous() {
    let cases = [case(1, "", Ok(numbers()))];
    let mut summary = summary(&cases, System::Us);
    assert!(!summary.text().contains("generously"));
    summary.output_by_default = true;
    let text = summary
        .text()
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    let words = "200 kBtu/h (58.6 kW) (sized generously by default)";
    assert!(text.contains(words), "{text}");
}

#[test]
fn very_many_cases_end_with_a_pointer_to_the_tables() {
    let cases: Vec<_> = (1..=57)
        .map(|id| case(id, &format!("alternative number {id}"), Ok(numbers())))
        .collect();
    let text = text(&cases, System::Si);
    assert!(
        text.contains("37 more cases: see the tables cases and fuel_use."),
        "{text}"
    );
    assert!(text.contains("\n  20  alternative number 20"), "{text}");
    assert!(!text.contains("alternative number 21"), "{text}");
}

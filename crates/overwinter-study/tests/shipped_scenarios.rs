//! Every shipped scenario and the starter load, and say what they are meant to say.

#![allow(missing_docs, reason = "a test target")]

use std::path::{Path, PathBuf};

use overwinter_engine::control::Setting;
use overwinter_engine::house::{Leakage, Space};
use overwinter_physics::inflation::network::Surroundings;
use overwinter_study::case::Study;
use overwinter_study::scenario::{check, load, starter_text};
use overwinter_study::summary::output_by_default;

fn shipped(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../scenarios")
        .join(name)
}

fn study(name: &str) -> Study {
    load(&shipped(name)).unwrap_or_else(|error| panic!("{error}"))
}

fn near(value: f64, expected: f64, relative: f64) {
    assert!(
        (value / expected - 1.0).abs() < relative,
        "{value} against {expected}"
    );
}

#[test]
fn the_screen_knows_where_the_wet_film_decides_and_which_heater_is_a_default() {
    let facts = |study: &Study| {
        (
            study.cases.features().wet_film_decides(),
            output_by_default(study),
        )
    };
    assert_eq!(facts(&study("first-winter.toml")), (false, false));
    assert!(facts(&study("four-covers.toml")).0);
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("house.toml");
    let weather = shipped("../weather").display().to_string();
    let starter = starter_text("Start").replace("../weather", &weather);
    for (cover, expected) in [
        ("inflated pair", (false, true)),
        ("inflated pair, infrared inside", (true, true)),
    ] {
        let text = starter.replace("roof = \"inflated pair\"", &format!("roof = \"{cover}\""));
        std::fs::write(&path, text).expect("written");
        let study = load(&path).unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(facts(&study), expected, "{cover}");
    }
}

#[test]
fn first_winter_is_one_inflated_house() {
    let study = study("first-winter.toml");
    assert_eq!(study.cases.len(), 1);
    let case = &study.cases.held()[0];
    let house = &case.house;
    // 30 ft x 96 ft.
    near(house.floor_area_m2, 30.0 * 96.0 * 0.092_903_04, 1e-9);
    let names: Vec<_> = house
        .sections
        .iter()
        .map(|section| section.name.as_str())
        .collect();
    assert_eq!(names, ["roof and sides", "ends"]);
    assert!(matches!(
        house.sections[0].spaces[0],
        Space::Inflated {
            inside_air: false,
            ..
        }
    ));
    assert!(matches!(house.sections[1].spaces[0], Space::Sealed { .. }));
    assert_eq!(
        house.heat_set_k,
        Setting::Constant((40.0 + 459.67) * 5.0 / 9.0)
    );
    // 200,000 Btu/h of 0.2930711 W (NIST SP 811, from memory).
    near(house.heaters[0].output_w, 200e3 * 0.293_071_1, 1e-6);
    assert_eq!(case.fuels[0].price_per_unit, Some(2.1));
    assert!(house.crop.is_some() && house.vents.is_some());
    assert!(house.fans.blower_w > 20.0 && house.fans.blower_w < 200.0);
    assert!(
        study
            .defaults
            .iter()
            .all(|used| !used.value.is_empty() && !used.source.is_empty())
    );
    assert!(
        study
            .defaults
            .iter()
            .any(|used| used.key == "inflation.gap")
    );
}

#[test]
fn four_covers_are_twelve_cases_in_three_climates() {
    let study = study("four-covers.toml");
    assert_eq!(study.axis_names, ["cover", "climate"]);
    assert_eq!(study.cases.len(), 12);
    assert_eq!(study.climates.len(), 3);
    let ids: Vec<_> = study.cases.iter().map(|case| case.id).collect();
    assert_eq!(ids, (1..=12).collect::<Vec<_>>());
    assert_eq!(
        study.cases.held()[1].axis_labels,
        ["single film", "northern Illinois"]
    );
    assert_eq!(
        study.cases.held()[11].axis_labels,
        ["twin-wall sheet 8 mm", "Carolina piedmont"]
    );
    let layers: Vec<_> = study
        .cases
        .iter()
        .map(|case| case.house.sections[0].layers.len())
        .collect();
    assert_eq!(layers, [1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 2, 2]);
    // The colder climate gets the larger heater.
    let output = |case: usize| study.cases.held()[case].house.heaters[0].output_w;
    assert!(output(0) > output(1) && output(1) > output(2));
}

#[test]
fn the_unheated_tunnel_has_no_heater_and_the_barrels_only_where_asked() {
    let study = study("unheated-tunnel.toml");
    assert_eq!(study.cases.len(), 3);
    assert!(
        study
            .cases
            .iter()
            .all(|case| case.house.heaters.is_empty() && case.fuels.is_empty())
    );
    let has_mass: Vec<_> = study
        .cases
        .iter()
        .map(|case| case.house.mass.is_some())
        .collect();
    assert_eq!(has_mass, [false, false, true]);
    let limits: Vec<_> = study.cases.held()[0]
        .frost_limits
        .iter()
        .map(|l| l.name.as_str())
        .collect();
    assert!(limits.contains(&"spinach, hardened") && limits.contains(&"soil blocks freeze"));
    assert!(
        study.cases.held()[0]
            .frost_limits
            .iter()
            .any(|limit| limit.dose.is_some())
    );
}

/// A crop brings the limit at which it is lost, and each limit the time it takes; a limit of the file
/// that is marked takes the mark over.
#[test]
fn a_crop_is_lost_at_one_limit() {
    let lost = |study: &Study| -> Vec<String> {
        let limits = study.cases.held()[0].frost_limits.iter();
        let lost = limits.filter(|limit| limit.is_loss);
        lost.map(|limit| limit.name.clone()).collect()
    };
    let tunnel = study("unheated-tunnel.toml");
    assert_eq!(lost(&tunnel), ["spinach, not hardened"]);
    let lag_h = |name: &str| {
        let limits = &tunnel.cases.held()[0].frost_limits;
        limits
            .iter()
            .find(|limit| limit.name == name)
            .map(|limit| limit.lag_h)
    };
    // The catalogue: 10 min not hardened; the file's own limit says nothing.
    near(
        lag_h("spinach, not hardened").expect("named"),
        10.0 / 60.0,
        1e-12,
    );
    assert_eq!(lag_h("soil blocks freeze"), Some(0.0));
}

#[test]
fn the_warm_house_has_stages_walls_a_schedule_and_screens() {
    let study = study("warm-crop-screen.toml");
    let [none, clear, aluminised] = [0, 1, 2].map(|case| &study.cases.held()[case].house);
    assert_eq!(none.heaters.len(), 2);
    assert_eq!(none.walls.len(), 2);
    assert!(none.sections[0].screen.is_none());
    for house in [clear, aluminised] {
        assert!(house.sections[0].screen.is_some());
        assert!(matches!(
            house.sections[0].spaces[0],
            Space::AboveScreen { .. }
        ));
        assert_eq!(house.sections[0].layers.len(), 3);
    }
    // 70 degF at noon in March, 40 degF over the turn of the year.
    let kelvin = |fahrenheit: f64| (fahrenheit + 459.67) * 5.0 / 9.0;
    near(none.heat_set_k.at(70 * 24 + 12, 0.5), kelvin(70.0), 1e-12);
    near(none.heat_set_k.at(12, 0.5), kelvin(40.0), 1e-12);
    // The schedule is held once for all three cases.
    let (Setting::ByHour(a), Setting::ByHour(b)) = (&none.heat_set_k, &clear.heat_set_k) else {
        panic!("the hold temperature is a schedule");
    };
    assert!(std::sync::Arc::ptr_eq(a, b));
    // North wall 120 ft x 9 ft, kneewall 120 ft x 3 ft.
    near(none.walls[0].facet.area_m2, 1080.0 * 0.092_903_04, 1e-9);
    near(none.walls[1].facet.area_m2, 360.0 * 0.092_903_04, 1e-9);
}

#[test]
fn parts_of_the_shell_add_up_to_the_shell() {
    for name in [
        "first-winter.toml",
        "warm-crop-screen.toml",
        "plain-room.toml",
    ] {
        let study = study(name);
        let house = &study.cases.held()[0].house;
        let sections: f64 = house.sections.iter().map(|section| section.area_m2()).sum();
        let walls: f64 = house.walls.iter().map(|wall| wall.facet.area_m2).sum();
        let floor: f64 = house
            .floor
            .columns
            .iter()
            .map(|column| column.area_m2)
            .sum();
        near(floor, house.floor_area_m2, 1e-9);
        if name == "plain-room.toml" {
            // 8 m x 6 m x 2.7 m: roof 48 m2 and walls 75.6 m2.
            near(sections + walls, 48.0 + 75.6, 1e-9);
            near(house.volume_m3, 129.6, 1e-9);
        } else {
            assert!(
                sections + walls > 1.2 * floor && sections + walls < 3.0 * floor,
                "{name}"
            );
        }
    }
}

/// ANSI/ASHRAE Standard 140-2020, case 600, as a public library of building models records it:
/// layer resistances of wall 0.075 + 1.650 + 0.064, south window 12 m2, 0.5 air changes an hour
/// of air at the density of the site (0.414 at sea-level density).
#[test]
fn the_plain_room_is_the_light_room_of_the_standard() {
    let study = study("plain-room.toml");
    let house = &study.cases.held()[0].house;
    let south = house
        .walls
        .iter()
        .find(|wall| wall.name == "wall, south wall")
        .expect("south wall");
    let r_value: f64 = south
        .solids
        .iter()
        .map(|solid| solid.thickness_m / solid.conductivity_w_mk)
        .sum();
    near(r_value, 0.075 + 1.650 + 0.064, 1e-3);
    near(south.facet.area_m2, 8.0 * 2.7 - 12.0, 1e-9);
    let window = &house.sections[0];
    near(window.area_m2(), 12.0, 1e-12);
    near(window.facets[0].azimuth_deg, 180.0, 1e-12);
    let Leakage::AirChange { per_hour } = &house.leakage else {
        panic!("an air change is stated");
    };
    assert_eq!(*per_hour, Setting::Constant(0.5));
    assert!(house.vents.is_none() && house.cooler.is_some() && study.wants_hourly);
    let floor_r: f64 = house.floor.columns[0]
        .solids
        .iter()
        .map(|solid| solid.thickness_m / solid.conductivity_w_mk)
        .sum();
    near(floor_r, 25.075 + 0.025 / 0.14, 1e-9);
}

/// A window in a film-covered wall takes film, not the kneewall below it.
#[test]
fn windows_come_out_of_the_face_or_the_wall_they_name() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("windows.toml");
    let text = std::fs::read_to_string(shipped("warm-crop-screen.toml")).expect("readable");
    let weather = shipped("../weather").display().to_string();
    let windows = |place: &str| {
        format!("[[window]]\nin = \"{place}\"\narea = \"10 m2\"\ncover = \"single glass\"\n")
    };
    let areas = |place: &str| {
        let text = text.replace("../weather", &weather) + &windows(place);
        std::fs::write(&path, text).expect("written");
        let study = load(&path).unwrap_or_else(|error| panic!("{error}"));
        let house = &study.cases.held()[0].house;
        let kneewall = house
            .walls
            .iter()
            .find(|wall| wall.name == "kneewall")
            .expect("there");
        let sides = house
            .sections
            .iter()
            .find(|section| section.name == "sides")
            .expect("there");
        (kneewall.facet.area_m2, sides.area_m2())
    };
    let (kneewall_m2, sides_m2) = (360.0 * 0.092_903_04, 720.0 * 0.092_903_04);
    let (kneewall, sides) = areas("south wall");
    near(kneewall, kneewall_m2, 1e-9);
    near(sides, sides_m2 - 10.0, 1e-9);
    let (kneewall, sides) = areas("kneewall");
    near(kneewall, kneewall_m2 - 10.0, 1e-9);
    near(sides, sides_m2, 1e-9);
}

#[test]
fn the_starter_loads_and_carries_its_name() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("new.toml");
    let weather = shipped("../weather/725300-chicago-ohare-il-tmy3.epw");
    let text = starter_text("My \"first\" house\n").replace(
        "../weather/725300-chicago-ohare-il-tmy3.epw",
        &weather.display().to_string(),
    );
    std::fs::write(&path, text).expect("written");
    let checked = check(&path).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(checked.study.title, "My first house");
    assert_eq!(checked.warnings, Vec::<String>::new());
    let given: Vec<_> = checked
        .given
        .iter()
        .map(|given| given.key.as_str())
        .collect();
    for key in [
        "weather.file",
        "house.width",
        "house.length",
        "cover.roof",
        "hold.temp",
        "heater.1.fuel",
    ] {
        assert!(given.contains(&key), "{key}");
    }
}

/// Every line that the starter shows as a comment with a key is a valid line.
#[test]
fn the_starter_loads_with_all_its_examples_switched_on() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("new.toml");
    let weather = shipped("../weather/725300-chicago-ohare-il-tmy3.epw")
        .display()
        .to_string();
    let switched_on: Vec<String> = starter_text("All")
        .replace("../weather/725300-chicago-ohare-il-tmy3.epw", &weather)
        .replace("../weather/*.epw", &weather)
        .lines()
        .map(|line| match line.strip_prefix("# ") {
            Some(rest) if rest.starts_with('[') || rest.contains(" = ") => rest.to_owned(),
            _ => line.to_owned(),
        })
        .filter(|line| line != "temp = \"40 degF\"")
        .collect();
    std::fs::write(&path, switched_on.join("\n")).expect("written");
    let study = load(&path).unwrap_or_else(|error| panic!("{error}"));
    // Two covers and three temperatures, one pair of them left out, with a hundred draws each.
    assert_eq!((study.combinations(), study.cases.len()), (5, 500));
}

/// Values by hand from `every_key.toml`, in the order of the file.
#[test]
fn every_key_reaches_its_place() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("every_key.toml");
    let weather = shipped("../weather/725300-chicago-ohare-il-tmy3.epw")
        .display()
        .to_string();
    std::fs::write(
        &path,
        include_str!("every_key.toml").replace("WEATHER", &weather),
    )
    .expect("written");
    let checked = check(&path).unwrap_or_else(|error| panic!("{error}"));
    let study = &checked.study;
    assert_eq!(
        (study.seed, study.wants_hourly, study.cases.len()),
        (7, true, 4)
    );
    assert_eq!(
        study.cases.held()[3].axis_labels,
        [
            "double",
            "warmer, leakier",
            "90 %",
            "725300-chicago-ohare-il-tmy3"
        ]
    );
    let [house, warmer] = [0, 1].map(|case| &study.cases.held()[case].house);
    near(house.volume_m3, 310.0, 1e-12);
    near(house.wind_at_cover_share, 0.8, 1e-12);
    let names: Vec<_> = house
        .sections
        .iter()
        .map(|section| section.name.as_str())
        .collect();
    assert_eq!(names, ["roof", "sides", "ends", "shed window"]);
    let roof = &house.sections[0];
    assert_eq!(roof.layers.len(), 4, "a screen under three layers");
    // 0.9 times what is written.
    near(roof.layers[1].longwave_transmittance, 0.9 * 0.15, 1e-12);
    let Space::Inflated {
        gap_m,
        flow_m3_s_m2,
        inside_air,
    } = roof.spaces[1]
    else {
        panic!("the own pair is inflated");
    };
    // 60 % of the roof 10 cm, 40 % of it 20 cm wide.
    near(gap_m, 0.14, 1e-12);
    // 10 L/s leak at 60 Pa; with exhaust holes it is what goes out by leaks and holes in a calm.
    let fed = house.inflation.as_ref().expect("an inflated house");
    let calm = Surroundings {
        facet_pa: vec![0.0; house.sections.iter().map(|s| s.facets.len()).sum::<usize>() + 1],
        house_pa: 0.0,
    };
    let state = fed.network.solve(&calm).expect("pressures");
    let out_m3_s: f64 = state.opening_flow_m3_s.iter().flatten().sum();
    near(flow_m3_s_m2 * roof.area_m2(), out_m3_s, 1e-9);
    assert!(inside_air);
    let walls: Vec<_> = house
        .walls
        .iter()
        .map(|wall| (wall.name.as_str(), wall.facet.area_m2))
        .collect();
    assert_eq!(walls.len(), 3);
    // North wall 4 m x 20 m, kneewall 0.5 m x 20 m, shed 6 m2 less its window.
    for ((_, area_m2), expected) in walls.iter().zip([80.0, 10.0, 5.0]) {
        near(*area_m2, expected, 1e-9);
    }
    let column = &house.floor.columns[0];
    near(column.area_m2, (5.0 - 1.6) * (20.0 - 1.6), 1e-9);
    assert_eq!(
        column.below,
        overwinter_engine::house::Below::DeepSoil {
            mean_k: 283.15,
            swing_k: 0.0,
            coldest_day: 0.0,
            resistance_m2k_w: 0.0,
        }
    );
    let Leakage::Area {
        area_cm2,
        stack,
        wind,
    } = house.leakage
    else {
        panic!("a leak area");
    };
    // Shell: roof sqrt(5^2 + 2^2) x 20, sides 2 x 20 and 4 x 20, ends 2 x (5 x 3).
    near(
        area_cm2,
        2.0 * (29.0_f64.sqrt() * 20.0 + 40.0 + 80.0 + 30.0),
        1e-9,
    );
    near(stack, 1.5e-4, 1e-12);
    near(wind, 1.1e-4, 1e-12);
    let Leakage::Area {
        area_cm2: leakier, ..
    } = warmer.leakage
    else {
        panic!("a leak area");
    };
    near(leakier, 2.0 * area_cm2, 1e-9);
    near(
        house.heat_set_k.at(100 * 24 + 12, 0.5),
        273.15 + 18.0 + 0.5,
        1e-12,
    );
    near(house.heat_set_k.at(12, 0.5), 273.15 + 5.0 + 0.5, 1e-12);
    assert_eq!(warmer.heat_set_k, Setting::Constant(273.15 + 16.0 + 0.5));
    // Drawn: 80 to 90, 90 to 95 and 4 to 8 %.
    let barrels = house.mass.expect("barrels");
    assert!((0.8..=0.9).contains(&barrels.solar_absorptance));
    assert!((0.9..=0.95).contains(&barrels.emissivity));
    assert!((0.04..=0.08).contains(&house.frame_shade));
    near(house.gains.ventilation_m3_s.at(12, 0.5), 0.1, 1e-12);
    near(house.gains.radiant_w.at(12, 0.5), 50.0, 1e-12);
    near(
        house.mass.expect("barrels").heat_capacity_j_k,
        2.0 * 4.18e6,
        1e-9,
    );
    let heater = &house.heaters[0];
    assert!(!heater.needs_electricity && heater.name == "main");
    near(heater.offset_k, -1.0, 1e-12);
    let fuel = &study.cases.held()[0].fuels[0];
    near(fuel.energy_j_per_unit, 92_500.0 * 1_055.055_852_62, 1e-12);
    near(
        fuel.price_per_unit.expect("priced"),
        0.60 * 3.785_411_784,
        1e-12,
    );
    assert_eq!(study.cases.held()[0].currency, "EUR");
    assert!(
        study.cases.held()[0]
            .frost_limits
            .iter()
            .any(|limit| limit.name == "own limit")
    );
    let limits = &study.cases.held()[0].frost_limits;
    let lost: Vec<_> = limits.iter().filter(|limit| limit.is_loss).collect();
    assert!(limits.len() > 1 && lost.len() == 1 && lost[0].name == "own limit");
    near(lost[0].lag_h, 1.0 / 3.0, 1e-12);
    assert!(checked.given.len() > 120, "{}", checked.given.len());
}

//! Outdoors that stands still, no sun: the house must come to the balance worked out beside it.

use overwinter_engine::account::Account;
use overwinter_engine::control::{Fans, Setting};
use overwinter_engine::house::{
    Facet, House, Leakage, Outside, Section, SurfaceRule, ThermalMass, Wall,
};
use overwinter_engine::model::{
    AIR, CORE, FLOOR, FLOOR_IRRADIANCE, MASS, SHELL_IRRADIANCE, VAPOUR,
};
use overwinter_engine::season::Season;
use overwinter_engine::sunlight::sunlight;
use overwinter_tests::{houses, years};
use overwinter_weather::Year;

/// CODATA 2018.
const SIGMA: f64 = 5.670_374_419e-8;
const AIR_HEAT_J_KGK: f64 = 1006.0;

/// Steps a house for a number of days and hands back its unknowns and the heat of its first heater.
fn settled(house: &House, year: &Year, days: usize) -> (Vec<f64>, f64) {
    settled_from(house, year, days, None)
}

/// The same, with every temperature at a given one at the start.
fn settled_from(house: &House, year: &Year, days: usize, start_k: Option<f64>) -> (Vec<f64>, f64) {
    let sun = sunlight(house, year);
    let (houses, suns, years) = ([house], [&sun], [year]);
    let mut season = Season::<f64>::new(&houses, &suns, &years, 2).expect("the house fits");
    let state = &mut season.stepper().state;
    if let Some(start_k) = start_k {
        for (index, value) in state.now.iter_mut().enumerate() {
            if index >= MASS && index != VAPOUR {
                *value = start_k;
            }
        }
        state.before = state.now.clone();
    }
    let mut account = Account::default();
    // Not by the season's own loop: its check of the accounts knows no house in which nothing moves.
    for hour in 0..days * 24 {
        for share in [0.5, 1.0] {
            let mut conditions = season.conditions_at(hour, share).clone();
            season
                .stepper()
                .advance(1800.0, &mut conditions, &mut account, |_, _| {});
        }
    }
    let stepper = season.stepper();
    (stepper.state.now.clone(), stepper.state.last.heater_w[0])
}

/// A box under one flat film over an idle floor, dry and tight, heated.
fn film_box(area_m2: f64) -> House {
    let mut house = houses::dry_and_tight(houses::single_film());
    house.volume_m3 = area_m2 * 3.0;
    house.floor_area_m2 = area_m2;
    house.floor = houses::idle_floor(area_m2);
    house.sections = vec![flat_section(area_m2)];
    house.fans = Fans::default();
    house.heat_set_k = Setting::Constant(288.15);
    house.heaters = vec![houses::heater(area_m2 * 1000.0)];
    // Its fan would warm the house beside the burner.
    house.heaters[0].electric_w = 0.0;
    house
}

fn flat_section(area_m2: f64) -> Section {
    let mut section = houses::single_film().sections.remove(0);
    section.facets = vec![Facet {
        area_m2,
        tilt_deg: 0.0,
        azimuth_deg: 0.0,
    }];
    section
}

/// Root of a falling function by halving.
fn root(mut low: f64, mut high: f64, falling: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if falling(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Heat of the box worked out by hand: film temperature from its own balance, floor in balance
/// with air and radiation, one film of transmittance t and emissivity e between a grey floor and
/// the sky.
struct Worked {
    film_k: f64,
    floor_k: f64,
    heat_w_m2: f64,
}

fn worked(air_k: f64, outside: years::Still, wind_share: f64) -> Worked {
    let film = houses::film();
    let (t, r) = (film.longwave_transmittance, film.longwave_reflectance);
    let e = 1.0 - t - r;
    let floor_e = 0.9;
    let h_out = 0.95 + 6.76 * (outside.wind_m_s * wind_share).powf(0.49);
    let inside = |difference: f64| 1.52 * difference.abs().cbrt();
    let floor_h = |difference: f64| {
        if difference < 0.0 {
            1.3 * difference.abs().powf(0.25)
        } else {
            1.7 * difference.cbrt()
        }
    };
    let b = |temp_k: f64| SIGMA * temp_k.powi(4);
    // Radiation between floor and film, each seeing only the other: down d, up u.
    let radiation = |film_k: f64, floor_k: f64| {
        let own = e * b(film_k) + t * outside.sky_longwave_w_m2;
        let down = (own + r * floor_e * b(floor_k)) / (1.0 - r * (1.0 - floor_e));
        let up = floor_e * b(floor_k) + (1.0 - floor_e) * down;
        (down, up)
    };
    let floor_at = |film_k: f64| {
        root(200.0, 330.0, |floor_k| {
            let (down, up) = radiation(film_k, floor_k);
            let warmer = floor_k - air_k;
            down - up - floor_h(warmer) * warmer
        })
    };
    let film_k = root(200.0, 330.0, |film_k| {
        let (_, up) = radiation(film_k, floor_at(film_k));
        e * (up + outside.sky_longwave_w_m2) - 2.0 * e * b(film_k)
            + inside(air_k - film_k) * (air_k - film_k)
            + h_out * (outside.air_k - film_k)
    });
    let floor_k = floor_at(film_k);
    let warmer = floor_k - air_k;
    let heat_w_m2 = inside(air_k - film_k) * (air_k - film_k) - floor_h(warmer) * warmer;
    Worked {
        film_k,
        floor_k,
        heat_w_m2,
    }
}

#[test]
fn a_single_film_box_settles_to_the_balance_worked_by_hand() {
    let area_m2 = 100.0;
    let outside = years::Still::COLD_NIGHT;
    let house = film_box(area_m2);
    let (unknowns, heat_w) = settled(&house, &outside.year(), 30);
    let expected = worked(unknowns[AIR], outside, house.wind_at_cover_share);
    let film_k = unknowns[CORE];
    println!(
        "film {film_k:.5} K, by hand {:.5}; floor {:.5}, by hand {:.5}; heat {:.4}, by hand {:.4} W/m2",
        expected.film_k,
        unknowns[FLOOR[0]],
        expected.floor_k,
        heat_w / area_m2,
        expected.heat_w_m2
    );
    assert!((film_k - expected.film_k).abs() < 1e-3);
    assert!((unknowns[FLOOR[0]] - expected.floor_k).abs() < 1e-3);
    // The absent mass takes 1 mW/K, the slopes of the last step the rest.
    assert!((heat_w / area_m2 - expected.heat_w_m2).abs() < 1e-5 * expected.heat_w_m2);
}

#[test]
fn two_rooms_of_film_in_one_house_are_each_a_single_film_house() {
    // Two sections of the same film side by side are one film of both areas.
    let outside = years::Still::COLD_NIGHT.year();
    let whole = film_box(100.0);
    let mut halves = film_box(100.0);
    halves.sections = vec![flat_section(60.0), flat_section(40.0)];
    let (a, heat_a) = settled(&whole, &outside, 30);
    let (b, heat_b) = settled(&halves, &outside, 30);
    let first = CORE;
    assert!((a[AIR] - b[AIR]).abs() < 1e-9);
    assert!((b[first] - b[first + 1]).abs() < 1e-9, "both see the same");
    assert!((a[first] - b[first]).abs() < 1e-9);
    assert!((heat_a - heat_b).abs() < 1e-6 * heat_a);
}

#[test]
fn two_films_far_apart_with_outdoor_air_between_them_are_two_single_films() {
    // With so much outdoor air blown between them that the space is at outdoor temperature, the
    // inner film loses heat to outdoor air as a film on its own would; and the outer film, opaque
    // as it is, takes no heat from the house air but by radiation from the inner film.
    use overwinter_engine::house::Space;
    let outside = years::Still::COLD_NIGHT;
    let mut house = film_box(100.0);
    let section = &mut house.sections[0];
    section.layers = vec![houses::opaque_film(), houses::opaque_film()];
    section.spaces = vec![Space::Inflated {
        gap_m: 5.0,
        flow_m3_s_m2: 50.0,
        inside_air: false,
    }];
    let (unknowns, _) = settled(&house, &outside.year(), 30);
    let first = CORE;
    let (inner_k, gap_k, outer_k) = (unknowns[first], unknowns[first + 1], unknowns[first + 3]);
    assert!((gap_k - outside.air_k).abs() < 0.01, "gap {gap_k} K");
    // Each film's balance by itself, with the coefficients of the space on the sides that face it.
    let e = 0.9;
    let space_h = |lower_k: f64, upper_k: f64| {
        2.0 * overwinter_physics::cavity::Cavity::new(5.0, 0.0, 3.0)
            .conductance_w_m2k(lower_k, upper_k)
    };
    let h = space_h(inner_k, outer_k);
    let b = |t: f64| SIGMA * t.powi(4);
    let between = e * e / (1.0 - 0.01) * (b(inner_k) - b(outer_k));
    let h_out = 0.95 + 6.76 * (outside.wind_m_s * house.wind_at_cover_share).powf(0.49);
    let outer = between
        + h * (gap_k - outer_k)
        + h_out * (outside.air_k - outer_k)
        + e * (outside.sky_longwave_w_m2 - b(outer_k));
    assert!(
        outer.abs() < 0.05,
        "outer film out of balance by {outer} W/m2"
    );
    let air_k = unknowns[AIR];
    let inside_h = 1.52 * (air_k - inner_k).abs().cbrt();
    let inner = e * (unknowns[SHELL_IRRADIANCE] - b(inner_k)) - between
        + inside_h * (air_k - inner_k)
        + h * (gap_k - inner_k);
    assert!(
        inner.abs() < 0.05,
        "inner film out of balance by {inner} W/m2"
    );
}

#[test]
fn a_house_without_a_way_out_for_heat_stays_at_its_start_temperature() {
    let mut house = houses::dry_and_tight(houses::light_room());
    let area_m2 = 30.0;
    house.sections = Vec::new();
    house.walls = vec![Wall {
        name: "shell".to_owned(),
        facet: Facet {
            area_m2,
            tilt_deg: 90.0,
            azimuth_deg: 0.0,
        },
        solids: vec![houses::solid(0.1, 0.2, 1e6)],
        outside: Outside::Adiabatic,
        solar_absorptance: [0.5; 2],
        emissivity: [0.9; 2],
    }];
    house.floor = houses::idle_floor(house.floor_area_m2);
    house.gains = Default::default();
    house.cooler = None;
    house.heaters = Vec::new();
    house.mass = Some(ThermalMass {
        ..houses::barrels()
    });
    house.heat_set_k = Setting::Constant(291.15);
    let start_k = 291.15;
    let year = years::Still::COLD_NIGHT.year();
    let (unknowns, _) = settled_from(&house, &year, 200, Some(start_k));
    for index in [AIR, FLOOR[0], CORE, CORE + 1] {
        assert!(
            (unknowns[index] - start_k).abs() < 1e-6,
            "unknown {index} drifted to {} K",
            unknowns[index]
        );
    }
}

#[test]
fn an_isothermal_house_is_in_radiative_balance() {
    // Sky as warm as the air outside, nothing heated: everything at one temperature, both
    // irradiances sigma T^4.
    let outside = years::Still {
        air_k: 283.15,
        dew_point_k: 270.0,
        wind_m_s: 2.0,
        sky_longwave_w_m2: SIGMA * 283.15_f64.powi(4),
    };
    let mut house = film_box(100.0);
    house.heaters = Vec::new();
    house.heat_set_k = Setting::Constant(280.0);
    let (unknowns, _) = settled(&house, &outside.year(), 60);
    let black = SIGMA * 283.15_f64.powi(4);
    assert!((unknowns[AIR] - 283.15).abs() < 1e-3);
    for index in [SHELL_IRRADIANCE, FLOOR_IRRADIANCE] {
        assert!((unknowns[index] / black - 1.0).abs() < 1e-4);
    }
}

#[test]
fn a_leak_costs_the_heat_that_its_air_takes_up() {
    // With a stated air change, heat of leakage = change x volume x rho c x difference, with the
    // density of dry air at the station and 10 C.
    let outside = years::Still::COLD_NIGHT;
    let mut house = film_box(100.0);
    house.leakage = Leakage::AirChange {
        per_hour: Setting::Constant(1.0),
    };
    let year = outside.year();
    let (unknowns, heat_w) = settled(&house, &year, 30);
    let film = worked(unknowns[AIR], outside, house.wind_at_cover_share);
    let density = 101_325.0 / (287.05 * 283.15);
    let leak_w =
        house.volume_m3 / 3600.0 * density * AIR_HEAT_J_KGK * (unknowns[AIR] - outside.air_k);
    let expected_w = film.heat_w_m2 * 100.0 + leak_w;
    println!("heat {heat_w:.2} W, worked {expected_w:.2} W of which leak {leak_w:.2} W");
    assert!((heat_w - expected_w).abs() < 1e-4 * expected_w);
}

#[test]
fn a_symmetric_house_has_symmetric_walls() {
    let mut house = houses::dry_and_tight(houses::light_room());
    house.sections = Vec::new();
    let side = |azimuth_deg: f64| Wall {
        name: "side".to_owned(),
        facet: Facet {
            area_m2: 10.0,
            tilt_deg: 90.0,
            azimuth_deg,
        },
        solids: vec![houses::solid(0.1, 0.2, 1e6), houses::solid(0.05, 0.5, 2e6)],
        outside: Outside::Open,
        solar_absorptance: [0.5; 2],
        emissivity: [0.9; 2],
    };
    house.walls = vec![side(0.0), side(180.0)];
    house.inside_surface = SurfaceRule::Calculated;
    let (unknowns, _) = settled(&house, &years::Still::COLD_NIGHT.year(), 5);
    let first = CORE;
    for node in 0..3 {
        let (a, b) = (unknowns[first + node], unknowns[first + 3 + node]);
        assert!((a - b).abs() < 1e-10, "node {node}: {a} and {b} K");
    }
}

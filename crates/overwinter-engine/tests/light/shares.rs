//! Where the light inside ends.

use crate::rooms::{CASE_600_PANE, facet, house, screened, section, wall};
use overwinter_engine::house::{Crop, House, SolarOptics, ThermalMass};
use overwinter_engine::light_shares::{LightEnds, light_shares, light_shares_under_screens};

fn crop(leaf_area_index: f64) -> Crop {
    Crop {
        leaf_area_index,
        floor_share: 0.8,
        heat_capacity_j_m2k: 5000.0,
        extinction: 0.75,
        solar_absorptance: 0.7,
        emissivity: 0.95,
        boundary_resistance_s_m: 200.0,
        least_resistance_s_m: 82.0,
        night_resistance_s_m: 1500.0,
    }
}

/// A house with one of everything.
fn full_house() -> House {
    let cloth = SolarOptics::Diffusing {
        transmittance: 0.4,
        reflectance: 0.3,
    };
    let film = SolarOptics::Slab {
        refractive_index: 1.51,
        extinction_thickness: 0.025,
    };
    let mut roof = screened(section(
        vec![facet(60.0, 30.0, 180.0), facet(60.0, 30.0, 0.0)],
        &[cloth, film, film],
    ));
    roof.layers[2].haze = 0.3;
    let ends = section(
        vec![facet(15.0, 90.0, 90.0), facet(15.0, 90.0, 270.0)],
        &[film],
    );
    let walls = vec![
        wall(facet(10.0, 90.0, 180.0), 0.6, 0.6),
        wall(facet(20.0, 90.0, 0.0), 0.3, 0.6),
    ];
    let mut house = house(100.0, vec![roof, ends], walls);
    house.crop = Some(crop(2.0));
    house.mass = Some(ThermalMass {
        heat_capacity_j_k: 4e6,
        freezing_heat_j: 0.0,
        area_m2: 12.0,
        coefficient_w_m2k: 8.0,
        emissivity: 0.9,
        solar_absorptance: 0.85,
    });
    house.frame_shade = 0.08;
    house
}

fn assert_whole(ends: &LightEnds) {
    assert!((ends.total() - 1.0).abs() < 1e-12, "{ends:?}");
    let walls = ends.walls.iter();
    let parts = walls.chain(ends.layers.iter().flatten());
    assert!(parts.copied().all(|share| (0.0..1.0).contains(&share)));
}

#[test]
fn every_share_of_the_light_ends_somewhere() {
    let house = full_house();
    for shares in [light_shares(&house), light_shares_under_screens(&house)] {
        assert_whole(&shares.beam);
        assert_whole(&shares.diffuse);
        assert!(shares.beam.crop > shares.beam.floor);
        assert!((shares.beam.air - 0.04).abs() < 1e-12);
        assert!(shares.diffuse.crop < shares.beam.crop);
        assert!(shares.diffuse.out > shares.beam.out);
    }
    assert!(light_shares(&house).beam.layers[0][0].abs() < 1e-15);
    let screened = light_shares_under_screens(&house);
    assert!(screened.beam.layers[0][0] > 0.01);
    assert!(screened.beam.out < light_shares(&house).beam.out);
}

#[test]
fn floor_under_a_film_keeps_what_the_closed_form_says() {
    // Floor absorptance a 0.8, cover that turns back 0.2, floor over cover area 0.65: the floor
    // keeps a / (1 - (1 - a) r) with r = 0.2 x 0.65 / (1 - 0.2 x 0.35), which is 0.823.
    let cover = SolarOptics::Diffusing {
        transmittance: 0.7,
        reflectance: 0.2,
    };
    let house = house(
        65.0,
        vec![section(vec![facet(100.0, 50.0, 180.0)], &[cover])],
        Vec::new(),
    );
    let beam = light_shares(&house).beam;
    assert!((beam.floor - 0.823).abs() < 5e-4, "{beam:?}");
    assert!((beam.out / beam.layers[0][0] - 7.0).abs() < 1e-9);
    assert_whole(&beam);
}

#[test]
fn room_of_the_building_fabric_test_shares_out_its_sun() {
    // ASHRAE Standard 140-2017, informative annex on interior solar distribution, case 600
    // (absorptance 0.6 all over), from memory: floor 0.642, ceiling 0.168, window lost 0.035. The
    // annex traces the first bounce by view factors; here the walls share by area.
    let mut room = house(
        48.0,
        vec![section(
            vec![facet(12.0, 90.0, 180.0)],
            &[CASE_600_PANE, CASE_600_PANE],
        )],
        vec![
            wall(facet(48.0, 0.0, 0.0), 0.6, 0.6),
            wall(facet(21.6, 90.0, 0.0), 0.6, 0.6),
            wall(facet(16.2, 90.0, 90.0), 0.6, 0.6),
            wall(facet(16.2, 90.0, 270.0), 0.6, 0.6),
            wall(facet(9.6, 90.0, 180.0), 0.6, 0.6),
        ],
    );
    room.floor.solar_absorptance = 0.6;
    let beam = light_shares(&room).beam;
    assert!((beam.floor - 0.642).abs() < 0.02, "{beam:?}");
    assert!((beam.walls[0] - 0.168).abs() < 0.04, "{beam:?}");
    assert!((beam.out - 0.035).abs() < 0.01, "{beam:?}");
}

#[test]
fn a_dense_canopy_hides_the_floor() {
    let mut house = full_house();
    house.crop = Some(Crop {
        floor_share: 1.0,
        ..crop(40.0)
    });
    let shares = light_shares(&house);
    assert!(shares.beam.floor < 1e-9);
    house.crop = Some(crop(0.0));
    let bare = light_shares(&house);
    assert!(bare.beam.crop.abs() < 1e-12);
    assert!(bare.beam.floor > 0.7);
}

#[test]
fn clear_covers_send_more_diffuse_light_to_the_floor_than_scattering_ones() {
    let film = SolarOptics::Slab {
        refractive_index: 1.51,
        extinction_thickness: 0.025,
    };
    let with_haze = |haze: f64| {
        let mut roof = section(
            vec![facet(75.0, 40.0, 180.0), facet(75.0, 40.0, 0.0)],
            &[film],
        );
        roof.layers[0].haze = haze;
        light_shares(&house(100.0, vec![roof], Vec::new())).diffuse
    };
    assert!(with_haze(0.0).floor > with_haze(1.0).floor);
    assert_whole(&with_haze(0.5));
}

#[test]
fn a_house_without_cover_or_floor_does_not_break() {
    let dark = house(
        10.0,
        Vec::new(),
        vec![wall(facet(9.0, 90.0, 0.0), 0.5, 0.5)],
    );
    assert_whole(&light_shares(&dark).beam);
    let nothing = house(0.0, Vec::new(), Vec::new());
    assert!(light_shares(&nothing).beam.total().is_finite());
}

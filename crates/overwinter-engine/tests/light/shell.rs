//! The sun on the shell: limits that hold exactly.

use crate::rooms::{facet, house, plain_year, screened, section, wall};
use overwinter_engine::house::{Section, SolarOptics};
use overwinter_engine::shape::{Profile, Shape};
use overwinter_engine::sunlight::sunlight;
use overwinter_physics::sun::SunYear;
use overwinter_weather::Year;

const NOTHING: SolarOptics = SolarOptics::Diffusing {
    transmittance: 1.0,
    reflectance: 0.0,
};
const BLACK: SolarOptics = SolarOptics::Diffusing {
    transmittance: 0.0,
    reflectance: 0.0,
};
const PANE: SolarOptics = SolarOptics::Slab {
    refractive_index: 1.526,
    extinction_thickness: 0.05,
};

fn assert_near(got: f64, expected: f64) {
    assert!(
        (got - expected).abs() < 1e-9 * (1.0 + expected.abs()),
        "{got} {expected}"
    );
}

#[test]
fn open_and_black_covers_take_what_a_black_wall_takes() {
    let plane = facet(3.0, 40.0, 150.0);
    let house = house(
        10.0,
        vec![
            section(vec![plane], &[NOTHING]),
            section(vec![plane], &[BLACK]),
        ],
        vec![wall(plane, 0.5, 1.0)],
    );
    let sun = sunlight(&house, &plain_year());
    let mut lit_hours = 0;
    for hour in 0..8760 {
        let incident_w = sun.walls_w(hour)[0];
        let open = sun.section(hour, 0, false);
        assert_near(open.beam_w + open.diffuse_w, incident_w);
        assert_near(sun.section(hour, 1, false).absorbed_w[0], incident_w);
        lit_hours += usize::from(incident_w > 0.0);
        if !(6..18).contains(&(hour % 24)) {
            assert_near(incident_w, 0.0);
        }
    }
    assert_eq!(lit_hours, 12 * 365);
}

#[test]
fn glass_takes_no_more_than_what_falls_on_it() {
    let planes = vec![facet(2.0, 90.0, 180.0), facet(2.0, 25.0, 90.0)];
    let walls = planes.iter().map(|plane| wall(*plane, 0.5, 1.0)).collect();
    let house = house(10.0, vec![section(planes, &[PANE, PANE])], walls);
    let sun = sunlight(&house, &plain_year());
    for hour in 0..8760 {
        let incident_w: f64 = sun.walls_w(hour).iter().sum();
        let light = sun.section(hour, 0, false);
        let absorbed_w: f64 = light.absorbed_w.iter().sum();
        let taken_w = light.beam_w + light.diffuse_w + absorbed_w;
        assert!(taken_w <= incident_w);
        assert!(taken_w >= 0.3 * incident_w);
        // The outer pane meets more light than the inner one.
        assert!(light.absorbed_w[1] >= light.absorbed_w[0]);
    }
}

/// Roof, sides and ends of a closed house, the ridge from east to west.
fn gable_sections(optics: &[SolarOptics]) -> (f64, Vec<Section>) {
    let envelope = Shape {
        profile: Profile::Gable,
        width_m: 8.0,
        length_m: 20.0,
        side_wall_height_m: 2.0,
        ridge_height_m: 5.0,
        ridge_azimuth_deg: 90.0,
    }
    .envelope()
    .expect("a sound shape");
    let parts = [envelope.roof_and_sides(), envelope.ends.to_vec()];
    let sections = parts.map(|facets| section(facets, optics));
    (envelope.floor_area_m2, sections.to_vec())
}

/// Beams alone: no diffuse sky, no light from the ground.
fn beam_year() -> Year {
    Year {
        diffuse_horizontal_w_m2: vec![0.0; 8760],
        ground_albedo: Some(vec![0.0; 8760]),
        ..plain_year()
    }
}

#[test]
fn an_open_closed_shape_lets_the_floor_have_what_falls_on_it() {
    let (floor_m2, sections) = gable_sections(&[NOTHING]);
    let flat = wall(facet(floor_m2, 0.0, 0.0), 0.5, 1.0);
    let house = house(floor_m2, sections, vec![flat]);
    let sun = sunlight(&house, &beam_year());
    for hour in 0..8760 {
        let [roof, ends] = [0, 1].map(|at| sun.section(hour, at, false));
        assert_near(roof.beam_w + ends.beam_w, sun.walls_w(hour)[0]);
        assert_near(roof.diffuse_w + ends.diffuse_w, 0.0);
    }
}

#[test]
fn a_beam_that_crosses_the_house_is_lost_absorbed_or_thrown_back() {
    let cloth = SolarOptics::Diffusing {
        transmittance: 0.5,
        reflectance: 0.2,
    };
    let (floor_m2, sections) = gable_sections(&[cloth]);
    let (_, bare) = gable_sections(&[BLACK]);
    let lit = sunlight(&house(floor_m2, bare, Vec::new()), &beam_year());
    let sun = sunlight(&house(floor_m2, sections, Vec::new()), &beam_year());
    let mut crossed = 0;
    for hour in 0..8760 {
        let parts = [0, 1].map(|at| sun.section(hour, at, false));
        let [beam_w, diffuse_w] = [
            parts[0].beam_w + parts[1].beam_w,
            parts[0].diffuse_w + parts[1].diffuse_w,
        ];
        let absorbed_w = parts[0].absorbed_w[0] + parts[1].absorbed_w[0];
        let incident_w: f64 = [0, 1]
            .map(|at| lit.section(hour, at, false).absorbed_w[0])
            .iter()
            .sum();
        // Half comes in; of what misses the floor a fifth is thrown back and 0.3 absorbed.
        let misses_w = 0.5 * incident_w - beam_w;
        assert_near(diffuse_w, 0.2 * misses_w);
        assert_near(absorbed_w, 0.3 * incident_w + 0.3 * misses_w);
        crossed += usize::from(misses_w > 1.0);
    }
    assert!(crossed > 3000);
}

#[test]
fn a_wall_behind_the_house_keeps_the_beam_inside() {
    let window = section(vec![facet(40.0, 90.0, 180.0)], &[NOTHING]);
    let north = wall(facet(40.0, 90.0, 0.0), 0.5, 1.0);
    let black_south = wall(facet(40.0, 90.0, 180.0), 0.5, 1.0);
    let house = house(30.0, vec![window], vec![north, black_south]);
    let sun = sunlight(&house, &beam_year());
    // Noon on 20 December: the floor sees less than the window lets in.
    let light = sun.section(353 * 24 + 12, 0, false);
    assert!(light.beam_w > 0.0 && light.diffuse_w > 1000.0);
    // Half of what crosses warms the wall, half is thrown back; the wall in the sun gets none.
    let inside_w = sun.walls_inside_w(353 * 24 + 12, false);
    assert_near(inside_w[0], light.diffuse_w);
    assert_near(inside_w[1], 0.0);
    assert_near(
        light.beam_w + light.diffuse_w + inside_w[0],
        sun.walls_w(353 * 24 + 12)[1],
    );
}

#[test]
fn haze_and_dirt_act_on_what_comes_through() {
    let plane = facet(5.0, 30.0, 180.0);
    let clear = section(vec![plane], &[PANE]);
    let mut hazy = clear.clone();
    hazy.layers[0].haze = 0.4;
    let mut dirty = clear.clone();
    dirty.light_kept_share = 0.9;
    let house = house(10.0, vec![clear, hazy, dirty], Vec::new());
    let sun = sunlight(&house, &plain_year());
    for hour in [10, 3000, 4500, 8004] {
        let [clear, hazy, dirty] = [0, 1, 2].map(|at| sun.section(hour, at, false));
        assert_near(hazy.beam_w, 0.6 * clear.beam_w);
        assert_near(hazy.beam_w + hazy.diffuse_w, clear.beam_w + clear.diffuse_w);
        assert_near(dirty.beam_w, 0.9 * clear.beam_w);
        assert_near(dirty.absorbed_w[0], 0.9 * clear.absorbed_w[0]);
    }
}

#[test]
fn a_closed_screen_takes_its_share_and_an_open_one_none() {
    let cloth = SolarOptics::Diffusing {
        transmittance: 0.5,
        reflectance: 0.0,
    };
    let plane = facet(5.0, 30.0, 180.0);
    let bare = section(vec![plane], &[PANE]);
    let covered = screened(section(vec![plane], &[cloth, PANE]));
    let house = house(10.0, vec![bare, covered], Vec::new());
    let sun = sunlight(&house, &plain_year());
    for hour in [12, 3010, 8700] {
        let bare = sun.section(hour, 0, true);
        let open = sun.section(hour, 1, false);
        let closed = sun.section(hour, 1, true);
        assert_near(open.beam_w, bare.beam_w);
        assert_near(open.absorbed_w[0], 0.0);
        assert_near(open.absorbed_w[1], bare.absorbed_w[0]);
        // The cloth reflects nothing, so it halves the light and keeps the other half.
        assert_near(closed.beam_w, 0.5 * bare.beam_w);
        assert_near(closed.diffuse_w, 0.5 * bare.diffuse_w);
        assert_near(closed.absorbed_w[0], closed.beam_w + closed.diffuse_w);
        assert_near(closed.absorbed_w[1], bare.absorbed_w[0]);
    }
}

#[test]
fn snow_and_given_reflectance_brighten_an_upright_wall() {
    let house = house(
        10.0,
        Vec::new(),
        vec![wall(facet(1.0, 90.0, 0.0), 0.5, 1.0)],
    );
    let bare = plain_year();
    let mut snowy = bare.clone();
    snowy.snow_depth_m = Some(vec![0.2; 8760]);
    let mut dusted = bare.clone();
    dusted.snow_depth_m = Some(vec![0.04; 8760]);
    let mut given = snowy.clone();
    given.ground_albedo = Some(vec![0.4; 8760]);
    given.ground_albedo.as_mut().expect("just set")[12] = f64::NAN;
    let at = |year, hour| sunlight(&house, year).walls_w(hour)[0];
    // Half the 400 W/m2 on the ground, times the difference in reflectance.
    assert_near(at(&snowy, 10) - at(&bare, 10), 0.5 * 400.0 * 0.5);
    assert_near(at(&dusted, 10), at(&bare, 10));
    assert_near(at(&given, 10) - at(&bare, 10), 0.5 * 400.0 * 0.2);
    assert_near(at(&given, 12), at(&snowy, 12));
}

#[test]
fn light_read_at_an_instant_gets_the_sun_of_that_instant() {
    let house = house(10.0, Vec::new(), Vec::new());
    let mut year = plain_year();
    year.radiation_instant_h = 0.1;
    let sun = sunlight(&house, &year);
    let place = SunYear::new(40.0, -105.0, -7.0);
    for hour in [10_u32, 3010, 5000] {
        let height_deg = 90.0 - place.position(f64::from(hour) + 0.1).zenith_deg;
        let got = sun.sun_height_deg[hour as usize];
        assert!((got - height_deg.max(0.0)).abs() < 1e-6, "{hour}");
    }
}

#[test]
fn light_after_sunset_is_diffuse_alone() {
    // The plain year shines until 18 h, long after sunset in December.
    let house = house(
        10.0,
        vec![section(vec![facet(2.0, 90.0, 270.0)], &[NOTHING])],
        Vec::new(),
    );
    let sun = sunlight(&house, &plain_year());
    let hour = 354 * 24 + 17;
    assert_near(sun.sun_height_deg[hour], 0.0);
    assert_near(sun.section(hour, 0, false).beam_w, 0.0);
    // Half the sky, and half the ground: 2 m2 x (120 / 2 + 0.2 x 400 / 2).
    assert_near(sun.section(hour, 0, false).diffuse_w, 200.0);
}

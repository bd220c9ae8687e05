use super::*;
use std::f64::consts::PI;

const FOOT_M: f64 = 0.3048;

fn shape(profile: Profile, width_m: f64, length_m: f64, side_m: f64, ridge_m: f64) -> Shape {
    Shape {
        profile,
        width_m,
        length_m,
        side_wall_height_m: side_m,
        ridge_height_m: ridge_m,
        ridge_azimuth_deg: 90.0,
    }
}

fn envelope(shape: Shape) -> Envelope {
    shape.envelope().expect("a sound shape")
}

fn assert_near(got: f64, expected: f64) {
    assert!(
        (got - expected).abs() < 1e-9 * (1.0 + expected),
        "{got} {expected}"
    );
}

#[test]
fn semicircle_is_exact() {
    let hoop = envelope(shape(Profile::Round, 8.0, 20.0, 0.0, 4.0));
    assert_near(hoop.roof_area_m2(), PI * 4.0 * 20.0);
    assert_near(hoop.end_area_m2(), PI * 16.0);
    assert_near(hoop.volume_m3, PI * 8.0 * 20.0);
    assert_near(hoop.side_area_m2(), 0.0);
    assert_near(hoop.perimeter_m, 56.0);
    assert_eq!(hoop.roof.len(), 24);
}

#[test]
fn low_arc_follows_the_circular_segment() {
    // Chord 6 m, rise 1 m: radius 5 m, half angle asin(3/5).
    let tunnel = envelope(shape(Profile::Round, 6.0, 10.0, 1.5, 2.5));
    let angle = 2.0 * f64::asin(0.6);
    assert_near(tunnel.roof_area_m2(), 5.0 * angle * 10.0);
    let segment = 12.5 * (angle - angle.sin());
    assert_near(tunnel.volume_m3, (9.0 + segment) * 10.0);
}

#[test]
fn upright_gothic_is_two_arcs_around_the_eaves() {
    // Rise sqrt(3)/2 of the width: an equilateral arch, each arc 60 degrees around the other
    // eave with the width as its radius.
    let arch = envelope(shape(
        Profile::Gothic,
        6.0,
        10.0,
        0.0,
        6.0 * 3f64.sqrt() / 2.0,
    ));
    assert_near(arch.roof_area_m2(), 2.0 * 6.0 * PI / 3.0 * 10.0);
    let lens = 36.0 * (PI / 3.0 - 3f64.sqrt() / 4.0);
    assert_near(0.5 * arch.end_area_m2(), lens);
    assert!((arch.roof[0].tilt_deg - 87.5).abs() < 1e-9);
}

#[test]
fn gable_lean_to_and_box_are_exact() {
    let gable = envelope(shape(Profile::Gable, 8.0, 10.0, 2.0, 5.0));
    assert_near(gable.roof_area_m2(), 100.0);
    assert_near(gable.volume_m3, 280.0);
    assert_eq!(gable.roof.len(), 2);
    let lean_to = envelope(shape(Profile::LeanTo, 4.0, 10.0, 1.0, 4.0));
    assert_near(lean_to.roof_area_m2(), 50.0);
    assert_near(lean_to.sides[0].area_m2, 10.0);
    assert_near(lean_to.sides[1].area_m2, 40.0);
    assert_near(lean_to.volume_m3, 100.0);
    let room = envelope(shape(Profile::Box, 6.0, 8.0, 2.7, 2.7));
    assert_near(room.cover_area_m2(), 48.0 + 2.0 * 2.7 * 14.0);
}

#[test]
fn planes_face_where_the_ridge_says() {
    // Ridge east to west: first side and first slopes face south, first end faces east.
    let house = envelope(shape(Profile::Gothic, 9.0, 30.0, 1.5, 4.0));
    assert_near(house.sides[0].azimuth_deg, 180.0);
    assert_near(house.sides[1].azimuth_deg, 0.0);
    assert_near(house.ends[0].azimuth_deg, 90.0);
    assert_near(house.ends[1].azimuth_deg, 270.0);
    assert_near(house.roof[0].azimuth_deg, 180.0);
    assert!(house.roof[0].tilt_deg > house.roof[11].tilt_deg);
    assert_near(house.roof[23].azimuth_deg, 0.0);
}

#[test]
fn planes_close_over_the_floor() {
    for profile in [
        Profile::Round,
        Profile::Gothic,
        Profile::Gable,
        Profile::LeanTo,
    ] {
        let house = envelope(shape(profile, 9.0, 30.0, 1.5, 4.5));
        let plan: f64 = house
            .roof
            .iter()
            .map(|facet| facet.area_m2 * facet.tilt_deg.to_radians().cos())
            .sum();
        assert!(
            (plan / house.floor_area_m2 - 1.0).abs() < 1e-3,
            "{profile:?} {plan}"
        );
    }
}

#[test]
fn sizes_agree_with_published_houses() {
    // A 30 x 100 ft gothic house: wall to 3 ft is 15.6 % of its surface (Bartok, extension
    // article), so near 5,000 ft2. Its eave and ridge are not given: 5 ft and 12 ft, estimate.
    let [width, length, side, ridge] = [30.0, 100.0, 5.0, 12.0].map(|feet| feet * FOOT_M);
    let gothic = envelope(shape(Profile::Gothic, width, length, side, ridge));
    let cover_ft2 = gothic.cover_area_m2() / (FOOT_M * FOOT_M);
    assert!((cover_ft2 / 5000.0 - 1.0).abs() < 0.05, "{cover_ft2}");
    // A 22 x 96 ft hoop house with 36 ft of film over the hoop (a maker's instructions).
    let [width, length, ridge] = [22.0, 96.0, 11.0].map(|feet| feet * FOOT_M);
    let hoop = envelope(shape(Profile::Round, width, length, 0.0, ridge));
    let film_ft2 = hoop.roof_area_m2() / (FOOT_M * FOOT_M);
    assert!((film_ft2 / 3456.0 - 1.0).abs() < 0.05, "{film_ft2}");
}

#[test]
fn bad_measures_are_named() {
    let bad = |shape: Shape| shape.envelope().expect_err("a bad shape");
    let good = shape(Profile::Round, 8.0, 20.0, 1.0, 4.0);
    let too_high = bad(Shape {
        ridge_height_m: 5.5,
        ..good
    });
    assert_eq!(
        too_high.to_string(),
        "ridge height is 5.5 m; with side walls of 1 m and this profile it must lie between 1 m \
         and 5 m"
    );
    assert!(matches!(
        bad(Shape {
            width_m: f64::NAN,
            ..good
        }),
        ShapeError::NotALength {
            measure: "width",
            ..
        }
    ));
    assert!(matches!(
        bad(Shape {
            side_wall_height_m: -1.0,
            ..good
        }),
        ShapeError::NotAHeight { .. }
    ));
    assert!(matches!(
        bad(Shape {
            ridge_azimuth_deg: f64::INFINITY,
            ..good
        }),
        ShapeError::NotADirection { .. }
    ));
    assert!(matches!(
        bad(Shape {
            profile: Profile::Gable,
            ridge_height_m: 0.5,
            ..good
        }),
        ShapeError::RidgeOutOfRange { .. }
    ));
    assert!(
        bad(Shape {
            ridge_height_m: f64::NAN,
            ..good
        })
        .to_string()
        .contains("NaN")
    );
}

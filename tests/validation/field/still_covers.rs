//! Covers between still surroundings: what the second film, the infrared film and water are worth
//! with the same surfaces inside.

use overwinter_physics::cover::{
    CoverConditions, CoverLayer, CoverResult, CoverSpace, steady_cover,
};
use overwinter_tests::published::Check;

/// 12 cm of air between the films.
const GAP: CoverSpace = CoverSpace::StillAir {
    gap_m: 0.12,
    bridge_w_m2k: 0.0,
};
/// Floor over cover of a 30 x 100 ft house, and of a cover that sees nothing but floor.
const HOUSE: f64 = 0.6;
const FLAT: f64 = 1.0;

fn plain() -> CoverLayer {
    CoverLayer::film(0.70, 0.08)
}

fn infrared() -> CoverLayer {
    CoverLayer::film(0.20, 0.08)
}

fn glass() -> CoverLayer {
    CoverLayer::film(0.0, 0.10)
}

/// A night of 10 degC inside, -10 degC outside and 3 m/s under a sky so many kelvin colder.
fn night(sky_depression_k: f64, floor_to_cover: f64) -> CoverConditions {
    CoverConditions {
        floor_to_cover,
        ..CoverConditions::night(283.15, 263.15, sky_depression_k)
    }
}

fn cover(layers: &[CoverLayer], conditions: &CoverConditions) -> CoverResult {
    let spaces = vec![GAP; layers.len() - 1];
    steady_cover(layers, &spaces, conditions).expect("the cover settles")
}

fn u_w_m2k(layers: &[CoverLayer], conditions: &CoverConditions) -> f64 {
    cover(layers, conditions).u_w_m2k
}

fn saved_percent(layers: &[CoverLayer], of: &[CoverLayer], conditions: &CoverConditions) -> f64 {
    (1.0 - u_w_m2k(layers, conditions) / u_w_m2k(of, conditions)) * 100.0
}

/// Rows of the README.
pub(crate) fn checks() -> Vec<Check> {
    let ratio = "1 - 0.70 / (1.0 to 1.2): U of double over single film, ASAE EP406.4, from memory";
    let thin_sky = night(10.0, FLAT);
    let clear_sky = night(20.0, FLAT);
    let (film, wet) = (plain(), plain().wet(1.0));
    let second = |case: &str, ours: f64| {
        Check::band(case, ratio, ours, [30.0, 42.0])
            .unit("%")
            .decimals(0)
    };
    let infrared_saves = saved_percent(&[infrared(), film], &[film, film], &clear_sky);
    vec![
        second(
            "second film, loss of the cover alone, same surfaces inside, dry, sky 10 K below the air",
            saved_percent(&[film, film], &[film], &thin_sky),
        ),
        second(
            "the same, inner face wet",
            saved_percent(&[wet, film], &[wet], &thin_sky),
        ),
        Check::band(
            "infrared inner film, loss of the cover alone, same surfaces inside, dry, sky 20 K below",
            "1 - (0.50 to 0.60) / 0.70: U of double film, ASAE EP406.4 and audits, from memory",
            infrared_saves,
            [14.0, 29.0],
        )
        .unit("%")
        .decimals(0),
    ]
}

/// Skies, outdoor temperatures, winds and shapes of house that a night may have.
fn all_nights() -> Vec<CoverConditions> {
    let mut nights = Vec::new();
    for sky_depression_k in [0.0, 5.0, 15.0, 25.0] {
        for outside_k in [233.15, 263.15, 278.15] {
            for wind_m_s in [0.0, 3.0, 8.0] {
                for floor_to_cover in [HOUSE, FLAT] {
                    nights.push(CoverConditions {
                        wind_m_s,
                        floor_to_cover,
                        ..CoverConditions::night(288.15, outside_k, sky_depression_k)
                    });
                }
            }
        }
    }
    nights
}

/// Feuilloley and Issanchou 1996, hot boxes in the open: condensation lowers the loss of plastic
/// films and raises that of glass. Geoola et al. 2009: U of a wet film is always below that of the
/// dry one.
#[test]
fn water_lowers_the_loss_of_plain_film_and_raises_that_of_glass() {
    for night in all_nights() {
        let u = |layers: &[CoverLayer]| u_w_m2k(layers, &night);
        let wet = plain().wet(1.0);
        assert!(u(&[wet]) < u(&[plain()]), "film, {night:?}");
        assert!(u(&[wet, plain()]) < u(&[plain(), plain()]), "{night:?}");
        assert!(u(&[glass().wet(1.0)]) > u(&[glass()]), "glass, {night:?}");
    }
}

#[test]
fn an_infrared_film_saves_while_it_is_dry_and_nothing_while_it_is_wet() {
    for night in all_nights() {
        let dry = saved_percent(&[infrared(), plain()], &[plain(), plain()], &night);
        let wet = |film: CoverLayer| [film.wet(1.0), plain()];
        let wet = saved_percent(&wet(infrared()), &wet(plain()), &night);
        assert!(dry > 2.0, "dry: {dry} %, {night:?}");
        assert!(wet.abs() < 2.0, "wet: {wet} %, {night:?}");
    }
}

/// A round house has more cover than floor: the cover sees itself, so that radiation counts for less
/// of the loss, and a film that trades it for convection gains less.
#[test]
fn an_infrared_film_saves_half_as_much_on_a_house_as_on_a_flat_box() {
    let saved = |shape| {
        saved_percent(
            &[infrared(), plain()],
            &[plain(), plain()],
            &night(20.0, shape),
        )
    };
    assert!(saved(HOUSE) < 0.6 * saved(FLAT), "{}", saved(HOUSE));
}

/// Why the heater gains less than the floor: the infrared film is colder than a plain one, since it
/// radiates to the sky itself, and so it takes more from the air while it takes less from the floor.
#[test]
fn an_infrared_film_is_colder_and_takes_more_from_the_air() {
    for night in all_nights() {
        let with = cover(&[infrared(), plain()], &night);
        let without = cover(&[plain(), plain()], &night);
        assert!(
            with.layers[0].lower_k < without.layers[0].lower_k,
            "{night:?}"
        );
        assert!(with.convection_w_m2 > without.convection_w_m2, "{night:?}");
        assert!(with.radiation_w_m2 < without.radiation_w_m2, "{night:?}");
    }
}

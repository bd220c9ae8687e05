//! Water of crops: the worked examples of a published method, and the algebra of a crop model.

use overwinter_physics::evapotranspiration::*;
use overwinter_physics::moist_air::saturation_vapour_density;
use overwinter_tests::published::{Check, readme};
use overwinter_units::constants::GAS_CONSTANT_VAPOUR_J_KGK;

use crate::crop_examples::{AFTERNOON, MJ_DAY, NIGHT, Term, bangkok, kelvin, ndiaye, uccle};
use crate::{crop_leaf, moist_air};

const FAO: &str = "Allen et al. 1998, Crop evapotranspiration, FAO paper 56";

#[test]
fn moist_air_and_crop_water_follow_their_sources() {
    let checks = [moist_air::checks(), checks(), crop_leaf::checks()];
    readme::assert_current("Moist air and crop water", &checks.concat());
}

fn checks() -> Vec<Check> {
    let (month, day, hours) = (bangkok(), uccle(), [ndiaye(NIGHT), ndiaye(AFTERNOON)]);
    let result = |case: &str, source: &str, [ours, published]: [f64; 2], tolerance: f64| {
        Check::value(
            case,
            &format!("{FAO}, {source}"),
            ours,
            published,
            tolerance,
        )
        .decimals(2)
    };
    vec![
        result(
            "Water use of the reference crop, Bangkok, April",
            "example 17",
            month.water,
            0.02,
        )
        .unit("mm/d"),
        result("The same, Uccle, 6 July", "example 18", day.water, 0.02).unit("mm/d"),
        result(
            "The same, N'Diaye, 1 October, 14 to 15 h",
            "example 19",
            hours[1].water,
            0.005,
        )
        .unit("mm/h"),
        result("The same, 2 to 3 h", "example 19", hours[0].water, 0.005).unit("mm/h"),
        Check::table(
            "Terms on the way there, in units of their last printed digit (slope, constant, \
             pressures, radiation, parts)",
            &format!("{FAO}, examples 17 to 19 (some computed from the formulas)"),
            &in_last_digits(
                [
                    month.terms,
                    day.terms,
                    hours[0].terms.clone(),
                    hours[1].terms.clone(),
                ]
                .concat(),
            ),
            1.0,
        ),
        Check::table(
            "Eleven smaller examples, in units of their last printed digit",
            &format!("{FAO}, examples 2 to 5, 8 to 12, 14 and 20 (some inputs from memory)"),
            &in_last_digits(small_examples()),
            1.0,
        ),
        Check::table(
            "Slope of the saturation curve that the engine steps with, 16.9 to 38 C (its short form \
             states 0.4 %)",
            &format!("{FAO}, equation 13 (computed from the formula)"),
            &engine_slopes(),
            0.4,
        )
        .unit("%"),
    ]
}

/// A printed figure is met if ours is within half a unit of its last digit, with half a unit more
/// for what the paper rounded on the way.
fn in_last_digits(terms: Vec<Term>) -> Vec<[f64; 2]> {
    terms
        .into_iter()
        .map(|[ours, printed, digit]| [(ours - printed) / digit, 0.0])
        .collect()
}

/// Examples 2 (two figures), 3, 4, 5, 8, 9, 10, 11, 12, 14 and 20.
fn small_examples() -> Vec<Term> {
    let kpa = |celsius: f64| saturation_pressure_fao56(kelvin(celsius)) / 1000.0;
    let high_pa = air_pressure_fao56(1800.0);
    let from_sunshine = shortwave_from_sunshine_fao56(25.1, 7.1 / 10.9);
    vec![
        [high_pa / 1000.0, 81.8, 0.1],
        [psychrometric_constant_fao56(high_pa) / 1000.0, 0.054, 0.001],
        [0.5 * (kpa(15.0) + kpa(24.5)), 2.39, 0.01],
        [kpa(19.5) - 0.000_662 * 87.9 * (25.6 - 19.5), 1.91, 0.01],
        [0.5 * (kpa(18.0) * 0.82 + kpa(25.0) * 0.54), 1.70, 0.01],
        [
            extraterrestrial_of_day_fao56(-20.0, 246.0) * MJ_DAY,
            32.2,
            0.1,
        ],
        [daylight_hours_fao56(-20.0, 246.0), 11.7, 0.1],
        [from_sunshine, 14.45, 0.01],
        [
            net_longwave_fao56([kelvin(25.1), kelvin(19.1)], 2100.0, 14.5 / 18.8) * MJ_DAY,
            3.5,
            0.1,
        ],
        [net_shortwave_fao56(from_sunshine), 11.1, 0.1],
        [wind_at_2m_fao56(3.2, 10.0), 2.4, 0.1],
        [kpa(14.8), 1.68, 0.01],
    ]
}

/// `d(rho R T) / dT` of the engine's vapour density, beside the paper's form, per cent off.
fn engine_slopes() -> Vec<[f64; 2]> {
    let off = |celsius: &f64| {
        let temp_k = kelvin(*celsius);
        let (density, slope) = saturation_vapour_density(temp_k);
        let ours = GAS_CONSTANT_VAPOUR_J_KGK * (temp_k * slope + density);
        [100.0 * (ours / saturation_slope_fao56(temp_k) - 1.0), 0.0]
    };
    [16.9, 28.0, 30.2, 38.0].iter().map(off).collect()
}

#[test]
fn each_printed_term_is_met() {
    for (name, example) in [
        ("17", bangkok()),
        ("18", uccle()),
        ("19, night", ndiaye(NIGHT)),
        ("19, afternoon", ndiaye(AFTERNOON)),
    ] {
        for (place, [ours, printed, digit]) in example.terms.into_iter().enumerate() {
            assert!(
                (ours - printed).abs() < digit,
                "example {name}, term {place}: {ours} {printed}"
            );
        }
    }
    for (place, [ours, printed, digit]) in small_examples().into_iter().enumerate() {
        assert!((ours - printed).abs() < digit, "{place}: {ours} {printed}");
    }
}

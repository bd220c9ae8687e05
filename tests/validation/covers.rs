//! Covers of the catalogue beside what handbooks, trade tables and measurements say of them.
//!
//! House air, floor and crop 10 C, outdoors -10 C, 3 m/s, a roof at 15 degrees. A handbook says for
//! neither sky nor wetness what it holds for; a case here says both.

use overwinter_study::covers::{Conditions, Cover, HeatLoss, of_catalogue};
use overwinter_tests::published::{Check, readme};

const EXTENSION: &str = "U.S. Cooperative Extension, Glazing Materials";
const SIZING: &str = "extension text on sizing heaters";
const TRADE: &str = "trade tables";
/// W/m2 K in one Btu/(h ft2 F) (Thompson and Taylor 2008, NIST SP 811, appendix B.8).
const BTU: f64 = 5.678_263;

/// Why a dry film loses more than a table says.
const DRY_FILM: &str = "a dry film lets radiation through to a cold sky; the range fits a wet film or an overcast night";
/// Why a sheet loses more than a table says.
const NO_COLD_SKY: &str = "sheets are rated in a laboratory without a cold sky: see 8 mm, overcast";

const DRY: f64 = 0.0;
const WET: f64 = 1.0;
/// Kelvin by which the sky is below the outdoor air.
const OVERCAST_K: f64 = 0.0;
const SOME_CLOUD_K: f64 = 10.0;
const CLEAR_K: f64 = 20.0;

#[test]
fn covers_against_handbooks() {
    let mut checks = films();
    checks.extend(sheets_and_glass());
    checks.extend(claims_and_signs());
    readme::assert_current("Covers against handbooks", &checks);
}

fn cover(name: &str) -> Cover {
    let found = of_catalogue(&[name.to_owned()]).expect("a cover of the catalogue");
    found.into_iter().next().expect("one name, one cover")
}

fn loss_at(name: &str, at: &Conditions) -> HeatLoss {
    cover(name).heat_loss(at).expect("a loss")
}

fn at(sky_below_air_k: f64, wet_share: f64) -> Conditions {
    Conditions::USUAL.under(sky_below_air_k, wet_share)
}

fn u_w_m2k(name: &str, sky_below_air_k: f64, wet_share: f64) -> f64 {
    loss_at(name, &at(sky_below_air_k, wet_share)).u_w_m2k
}

fn band(case: &str, source: &str, ours: f64, band_btu: [f64; 2]) -> Check {
    let band = band_btu.map(|u| u * BTU);
    Check::band(case, source, ours, band)
        .unit("W/m2K")
        .decimals(2)
}

fn films() -> Vec<Check> {
    let single = |sky_k, wet| u_w_m2k("single film", sky_k, wet);
    let pair = |sky_k, wet| u_w_m2k("inflated pair", sky_k, wet);
    let infrared = |sky_k, wet| u_w_m2k("inflated pair, infrared inside", sky_k, wet);
    vec![
        band(
            "single film, wet, sky 10 K below air",
            EXTENSION,
            single(SOME_CLOUD_K, WET),
            [1.0, 1.2],
        ),
        band(
            "single film, dry, overcast",
            EXTENSION,
            single(OVERCAST_K, DRY),
            [1.0, 1.2],
        ),
        band(
            "single film, dry, sky 10 K below air",
            EXTENSION,
            single(SOME_CLOUD_K, DRY),
            [1.0, 1.2],
        )
        .falls_short(DRY_FILM),
        band(
            "inflated pair, wet, sky 10 K below air",
            EXTENSION,
            pair(SOME_CLOUD_K, WET),
            [0.6, 0.7],
        ),
        band(
            "inflated pair, dry, sky 10 K below air",
            EXTENSION,
            pair(SOME_CLOUD_K, DRY),
            [0.6, 0.7],
        )
        .falls_short(DRY_FILM),
        Check::share_of(
            "inflated pair, wet, clear sky (20 K below), as for a heater",
            SIZING,
            pair(CLEAR_K, WET),
            0.8 * BTU,
            0.05,
        )
        .unit("W/m2K")
        .decimals(2),
        Check::value(
            "infrared pair, dry, overcast",
            "ASAE EP406.4 2003, table 1, from memory",
            infrared(OVERCAST_K, DRY),
            0.5 * BTU,
            0.05 * BTU,
        )
        .unit("W/m2K")
        .decimals(2)
        .falls_short("it stands for 29 % less than a plain pair; audits found 10 to 20 %"),
    ]
}

fn sheets_and_glass() -> Vec<Check> {
    let wet = |name| u_w_m2k(name, SOME_CLOUD_K, WET);
    vec![
        band(
            "twin wall 6 mm, sky 10 K below air",
            TRADE,
            wet("twin-wall sheet 6 mm"),
            [1.0 / 1.587, 1.0 / 1.54],
        ),
        band(
            "twin wall 8 mm, sky 10 K below air",
            TRADE,
            wet("twin-wall sheet 8 mm"),
            [0.53, 1.0 / 1.69],
        )
        .falls_short(NO_COLD_SKY),
        band(
            "twin wall 8 mm, overcast",
            TRADE,
            u_w_m2k("twin-wall sheet 8 mm", OVERCAST_K, WET),
            [0.53, 1.0 / 1.69],
        ),
        Check::share_of(
            "twin wall 10 mm, sky 10 K below air",
            TRADE,
            wet("twin-wall sheet 10 mm"),
            BTU / 1.867,
            0.05,
        )
        .unit("W/m2K")
        .decimals(2)
        .falls_short(NO_COLD_SKY),
        Check::share_of(
            "triple wall 16 mm, sky 10 K below air",
            TRADE,
            wet("triple-wall sheet 16 mm"),
            BTU / 2.439,
            0.05,
        )
        .unit("W/m2K")
        .decimals(2),
        band(
            "single glass, dry, sky 10 K below air",
            EXTENSION,
            u_w_m2k("single glass", SOME_CLOUD_K, DRY),
            [1.0, 1.2],
        ),
        band(
            "insulating glass, 12 mm of air, sky 10 K below air",
            "trade text; ASAE EP406.4 2003, table 1, from memory",
            wet("insulating glass"),
            [0.5, 0.65],
        ),
    ]
}

fn claims_and_signs() -> Vec<Check> {
    let wet_over_dry = |name| u_w_m2k(name, SOME_CLOUD_K, WET) / u_w_m2k(name, SOME_CLOUD_K, DRY);
    let claim_m2k_w = 5.0 / BTU;
    let radiation_w_m2 = |wet| {
        let loss = loss_at("single film", &at(SOME_CLOUD_K, wet));
        loss.heat_w_m2 * loss.radiation_share
    };
    let radiation_share = loss_at("inflated pair", &at(SOME_CLOUD_K, WET)).radiation_share;
    vec![
        Check::share_of(
            "a claim of R 5 for an inflated pair, times the R of it wet, sky 10 K below air",
            "computed from the U of 0.7 Btu/hft2F that growers' tables give",
            claim_m2k_w * u_w_m2k("inflated pair", SOME_CLOUD_K, WET),
            3.5,
            0.1,
        )
        .decimals(1),
        Check::band(
            "wet over dry loss of a plain film: below one",
            "Feuilloley and Issanchou 1996; Geoola et al. 2009, measured",
            wet_over_dry("single film"),
            [0.0, 1.0],
        )
        .decimals(2),
        Check::band(
            "wet over dry loss of glass: above one",
            "Feuilloley and Issanchou 1996, measured",
            wet_over_dry("single glass"),
            [1.0, f64::INFINITY],
        )
        .decimals(2),
        Check::band(
            "radiation that condensate saves under a plain film: up to half",
            "extension texts on condensation",
            100.0 * (1.0 - radiation_w_m2(WET) / radiation_w_m2(DRY)),
            [0.0, 50.0],
        )
        .unit("%")
        .decimals(0),
        Check::value(
            "resistance of the inner over that of the outer air, single wet film, 15 mph, overcast",
            "University of Massachusetts Extension: almost four",
            inner_over_outer_air(),
            4.0,
            0.5,
        )
        .decimals(1)
        .falls_short(
            "four is a building handbook's, with some 34 W/m2K outside in that wind; film houses were \
             measured at some 18 (Papadakis et al. 1992, from memory) and 4 of radiation",
        ),
        Check::value(
            "rise of U with wind, single film, 20 K difference, overcast, dry",
            "Spanish Journal of Agricultural Research, calibrated model of a hot box",
            wind_slope(20.0),
            0.3,
            0.1,
        )
        .unit("W/m2K per m/s")
        .decimals(2)
        .falls_short("its air at the faces is not told; that the slope grows with the difference is met"),
        Check::band(
            "share of the loss that is radiation, inflated pair, wet: up to 35 %",
            "University of Massachusetts Extension",
            100.0 * radiation_share,
            [0.0, 35.0],
        )
        .unit("%")
        .decimals(0)
        .falls_short("ours is all that floor and crop radiate; the film takes most of it up and passes it on"),
    ]
}

/// Both resistances with radiation in them: they share the difference of temperature.
fn inner_over_outer_air() -> f64 {
    let conditions = Conditions {
        wind_m_s: 15.0 * 0.447_04,
        ..at(OVERCAST_K, WET)
    };
    let film_k = loss_at("single film", &conditions).layer_temps_k[0];
    (conditions.inside_k - film_k) / (film_k - conditions.outside_k)
}

/// W/m2 K for each m/s between 1 and 5 m/s, at a difference of house and outdoor air.
fn wind_slope(difference_k: f64) -> f64 {
    let u = |wind_m_s: f64| {
        let inside_k = 293.15;
        let conditions = Conditions {
            inside_k,
            outside_k: inside_k - difference_k,
            wind_m_s,
            ..at(OVERCAST_K, DRY)
        };
        loss_at("single film", &conditions).u_w_m2k
    };
    (u(5.0) - u(1.0)) / 4.0
}

/// Hot boxes in the open and in the laboratory (Feuilloley and Issanchou 1996; Geoola et al. 2009):
/// condensate lowers the loss of plain film under every sky and raises that of glass.
#[test]
fn condensate_saves_under_film_and_costs_under_glass() {
    for sky_k in [OVERCAST_K, SOME_CLOUD_K, CLEAR_K] {
        for film in ["single film", "inflated pair", "single infrared film"] {
            assert!(
                u_w_m2k(film, sky_k, WET) < u_w_m2k(film, sky_k, DRY) * 1.01,
                "{film}"
            );
        }
        assert!(u_w_m2k("single film", sky_k, WET) < u_w_m2k("single film", sky_k, DRY));
        assert!(u_w_m2k("single glass", sky_k, WET) > u_w_m2k("single glass", sky_k, DRY));
    }
}

/// Geoola et al. 2009, measured in a hot box, which has no cold sky: the loss of a film rises with
/// wind and with the difference of temperature.
#[test]
fn the_loss_of_a_film_rises_with_wind_and_difference() {
    let single = |wind_m_s: f64, outside_c: f64| {
        let conditions = Conditions {
            wind_m_s,
            outside_k: 273.15 + outside_c,
            ..at(OVERCAST_K, DRY)
        };
        loss_at("single film", &conditions).u_w_m2k
    };
    assert!(single(6.0, -10.0) > single(3.0, -10.0) && single(3.0, -10.0) > single(1.0, -10.0));
    assert!(single(3.0, -20.0) > single(3.0, -10.0) && single(3.0, -10.0) > single(3.0, 0.0));
}

/// The calibrated model named above: the rise with wind grows with the difference.
#[test]
fn wind_costs_more_the_larger_the_difference() {
    let slopes = [20.0, 30.0, 40.0, 50.0].map(wind_slope);
    assert!(slopes.is_sorted() && slopes[0] > 0.0, "{slopes:?}");
}

/// What wind does to a pair it does through the leaks: from 1 to 8 m/s the cover itself loses hardly
/// more, while a single film under cloud loses a tenth and more.
#[test]
fn wind_acts_little_on_a_pair() {
    let rise = |name: &str, sky_k: f64, wet: f64| {
        let u = |wind_m_s: f64| {
            let conditions = Conditions {
                wind_m_s,
                ..at(sky_k, wet)
            };
            loss_at(name, &conditions).u_w_m2k
        };
        u(8.0) / u(1.0) - 1.0
    };
    assert!(rise("inflated pair", CLEAR_K, WET).abs() < 0.01);
    assert!(rise("inflated pair", OVERCAST_K, WET) < 0.06);
    assert!(rise("single film", OVERCAST_K, WET) > 0.1);
}

/// An infrared additive saves while the film is dry, and next to nothing while it is wet, for the
/// water is opaque already.
#[test]
fn an_infrared_film_saves_while_it_is_dry() {
    for sky_k in [OVERCAST_K, SOME_CLOUD_K, CLEAR_K] {
        let saved = |wet| {
            let [plain, infrared] = ["inflated pair", "inflated pair, infrared inside"]
                .map(|name| u_w_m2k(name, sky_k, wet));
            1.0 - infrared / plain
        };
        assert!(
            saved(DRY) > 0.15 && saved(WET).abs() < 0.03,
            "{} {}",
            saved(DRY),
            saved(WET)
        );
    }
}

//! Clear winter nights: the infrared film, screens, leaks, and leaves below the air.

use overwinter_tests::published::Check;

use super::case::{COVERS, HOUSE, Ran};
use super::night::{Night, mean_of};

/// Mean over the clear nights of winter of how far the top leaf is below the air, K.
fn leaf_below_air_k(ran: &Ran) -> f64 {
    let hours = &ran.record.hours;
    let of_hour = |hour: usize| hours.air_lowest_k[hour] - hours.top_leaf_lowest_k[hour];
    mean_of(&Night::all_clear(&ran.year), |night| night.mean(of_hour))
}

/// Rows of the README.
pub(crate) fn checks() -> Vec<Check> {
    let mut checks = coldest_night();
    checks.extend(screens());
    checks.extend(leaves());
    checks
}

fn coldest_night() -> Vec<Check> {
    let dry = |cover: &str| COVERS.case(&["Chicago", "dry canopy", cover]);
    let night = Night::coldest_clear(&dry("pair").year);
    let infrared = dry("infrared pair").saves_percent_in(&night, dry("pair"));
    let pair = |change: &str| HOUSE.case(&["pair", change]);
    let leaks = pair("no leaks").saves_percent_in(&night, pair("none"));
    vec![
        Check::band(
            "infrared inner film, coldest clear night in Chicago (-20 degC), dry film, closed canopy",
            "Bartok, extension articles: up to 30 to 35 % on a clear cold night",
            infrared,
            [30.0, 35.0],
        )
        .unit("%")
        .decimals(0)
        .falls_short("the colder film takes more from the air; the cover sees itself as well"),
        Check::band(
            "leaks of one air change an hour, pair, greens, that night: share of the heat",
            "Bartok, extension articles: 10 to 20 %, 15 % at 0 degF outside",
            leaks,
            [10.0, 20.0],
        )
        .unit("%")
        .decimals(0),
    ]
}

fn screens() -> Vec<Check> {
    let single = |change: &str| HOUSE.case(&["single film", change]);
    let night = Night::coldest_clear(&single("none").year);
    let cover_alone = |screen: &str| {
        single(&format!("{screen}, no leaks")).saves_percent_in(&night, single("no leaks"))
    };
    let season = |screen: &str| single(screen).saves_percent(single("none"));
    let with_curtain = single("aluminised cloth").night_heat_w_m2(&night);
    let pair = HOUSE.case(&["pair", "none"]).night_heat_w_m2(&night);
    vec![
        Check::value(
            "clear screen under a single film, no leaks, coldest clear night",
            "Geoola et al. 2009, hot box: U about 30 % lower; tolerance: estimate",
            cover_alone("clear cloth"),
            30.0,
            5.0,
        )
        .unit("%")
        .decimals(0),
        Check::band(
            "aluminised screen under a single film, season, Chicago, greens",
            "extension bulletins: 20 to 50 %",
            season("aluminised cloth"),
            [20.0, 50.0],
        )
        .unit("%")
        .decimals(0),
        Check::value(
            "porous fleece under a single film, season",
            "extension bulletin: about 20 %; tolerance: estimate",
            season("fleece"),
            20.0,
            5.0,
        )
        .unit("%")
        .decimals(0)
        .falls_short("the fleece leaks more air than the cloths that were measured (estimate)"),
        Check::value(
            "heat under a pair over heat under single film and aluminised screen, clear night",
            "Miyagi trial of pipe houses: about equal; tolerance: estimate",
            pair / with_curtain,
            1.0,
            0.1,
        )
        .decimals(2),
    ]
}

fn leaves() -> Vec<Check> {
    let below =
        |inside: &str, cover: &str| leaf_below_air_k(COVERS.case(&["Chicago", inside, cover]));
    let row = |case: &str, source: &str, ours: f64, band: [f64; 2]| {
        Check::band(case, source, ours, band).unit("K").decimals(1)
    };
    let balance = "computed from the balance of one leaf";
    vec![
        row(
            "top leaf below the air, pair wet inside, clear winter nights, 60 degF",
            "computed from the balance of one leaf; extension rule: 5 degF (2.8 K)",
            below("greens", "pair"),
            [2.8, 5.0],
        ),
        row(
            "the same, dry infrared film",
            balance,
            below("dry greens", "infrared pair"),
            [3.0, 5.0],
        ),
        row(
            "the same, dry plain films",
            balance,
            below("dry greens", "pair"),
            [6.0, 8.0],
        ),
    ]
}

/// Why the fleece falls short: with as little air through it as through cloth it saves more.
#[test]
fn a_tighter_fleece_saves_more() {
    let single = |change: &str| HOUSE.case(&["single film", change]);
    let saved = |screen: &str| single(screen).saves_percent(single("none"));
    let [as_it_is, tight] = ["fleece", "fleece as tight as cloth"].map(saved);
    println!("fleece {as_it_is:.1} %, tight {tight:.1} %");
    assert!(tight > as_it_is + 2.0, "{as_it_is} % and {tight} %");
}

#[test]
fn leaves_are_coldest_under_dry_plain_film() {
    for climate in ["Chicago", "Northway", "Greensboro", "Denver"] {
        let below =
            |inside: &str, cover: &str| leaf_below_air_k(COVERS.case(&[climate, inside, cover]));
        let wet = below("greens", "pair");
        let infrared = below("dry greens", "infrared pair");
        let plain = below("dry greens", "pair");
        let single = below("dry greens", "single film");
        println!(
            "{climate}: wet {wet:.1}, infrared {infrared:.1}, plain {plain:.1}, single {single:.1} K"
        );
        assert!(wet > 2.0 && infrared > 2.0, "{climate}");
        assert!(plain > wet + 1.0 && plain > infrared + 1.0, "{climate}");
        assert!(single > plain, "{climate}");
    }
}

#[test]
fn a_dry_infrared_film_saves_in_every_clear_winter_night() {
    for climate in ["Chicago", "Greensboro", "Denver"] {
        let case = |cover: &str| COVERS.case(&[climate, "dry canopy", cover]);
        for night in Night::all_clear(&case("pair").year) {
            let saved = case("infrared pair").saves_percent_in(&night, case("pair"));
            assert!(saved > 0.0, "{climate}, {night:?}: {saved} %");
        }
    }
}

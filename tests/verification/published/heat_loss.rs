//! Design heat losses as they stand in print: one steady night through a scenario file.
//!
//! With a fixed U-value in place of the cover the sum itself is compared; with the film pair of the
//! catalogue, what its physics make of the same night, whose sky and wetness the print does not say.

use std::fmt::Write;
use std::fs;
use std::path::PathBuf;
use std::process;

use overwinter_engine::ledger::HeatTerm;
use overwinter_study::run::run_study;
use overwinter_study::scenario::load;
use overwinter_study::tables::balance::BalanceRow;
use overwinter_tests::published::Check;

/// International Table British thermal unit an hour (NIST SP 811, 2008).
const W_PER_BTU_H: f64 = 0.293_071_07;
const HOOPHOUSE: &str = "J. Bartok, infiltration in greenhouses (36,000 Btu/h, 15 % of the loss), with \
                         the cover of a UMass fact sheet (15.6 % of it below 3 ft)";
const HOOP_HOUSE: &str =
    "how-to page of a greenhouse maker: U x A of 3,456 ft2 at 0.7 and 352 ft2 at 0.53";
/// Wind of the design night, 15 mph, common practice, no source.
const DESIGN_WIND_M_S: f64 = 6.7;
/// 0 F.
const ZERO_F_C: f64 = -17.777_78;
/// Stefan-Boltzmann constant (CODATA 2018).
const SIGMA: f64 = 5.670_374_419e-8;

/// A night without end.
#[derive(Clone, Copy)]
struct Night {
    /// Sky longwave as a share of that of a black sky at air temperature.
    sky_emissivity: f64,
}

/// Overcast down to the ground: a sky as warm as the air.
const OVERCAST: Night = Night {
    sky_emissivity: 1.0,
};
/// Clear, at a dew point of -20 C (estimate; Berdahl and Martin 1984 give 0.64 at midnight).
const CLEAR: Night = Night {
    sky_emissivity: 0.67,
};

impl Night {
    /// A weather file of it.
    fn file(self) -> String {
        const DAYS: [usize; 12] = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
        let sky_w_m2 = self.sky_emissivity * SIGMA * (ZERO_F_C + 273.15_f64).powi(4);
        let mut text =
            "# weather: plain hourly table\n# place: Steady night\n# latitude_deg: 45.0\n\
                        # longitude_deg: 0.0\n# time_zone_h: 0\n# elevation_m: 0\n\
                        month,day,hour,air_temp_c,dew_point_c,pressure_hpa,wind_m_s,\
                        global_horizontal_w_m2,direct_normal_w_m2,diffuse_horizontal_w_m2,\
                        sky_longwave_w_m2\n"
                .to_owned();
        for (month, days) in (1..).zip(DAYS) {
            for (day, hour) in (1..=days).flat_map(|day| (0..24).map(move |hour| (day, hour))) {
                let air = format!("{ZERO_F_C:.5},-20.0,1013.25,{DESIGN_WIND_M_S}");
                writeln!(text, "{month},{day},{hour},{air},0,0,0,{sky_w_m2:.3}")
                    .expect("a text takes what is written");
            }
        }
        text
    }

    /// The night in the house of a scenario text that names its weather `steady-night.csv`.
    fn in_house(self, name: &str, text: &str) -> BalanceRow {
        let folder = std::env::temp_dir().join(format!("night-{}-{name}", process::id()));
        fs::create_dir_all(&folder).expect("a temporary folder can be made");
        fs::write(folder.join("steady-night.csv"), self.file()).expect("it can be written to");
        let path = folder.join("house.toml");
        fs::write(&path, text).expect("it can be written to");
        let study = load(&path);
        fs::remove_dir_all(&folder).expect("it can be taken away");
        let study = study.unwrap_or_else(|error| panic!("{error}"));
        let mut result = run_study(&study, Some(1));
        assert_eq!(result.failed(), 0, "{:?}", result.cases[0].case);
        result.cases.remove(0).balance.remove(0)
    }
}

fn scenario(file: &str) -> String {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("validation");
    fs::read_to_string(folder.join(file)).expect("the scenario can be read")
}

/// Mean of a heat term of the year, Btu/h.
fn mean_btu_h(year: &BalanceRow, term: HeatTerm) -> f64 {
    year.account.heat_j[term as usize] / (year.account.hours * 3600.0) / W_PER_BTU_H
}

/// The rows of the design heat losses.
pub(crate) fn checks() -> Vec<Check> {
    let btu_h = |check: Check| check.unit("Btu/h").decimals(0);
    let by_sum = OVERCAST.in_house("sum", &scenario("heat-loss-a.toml"));
    let total = mean_btu_h(&by_sum, HeatTerm::Heater);
    let share = -mean_btu_h(&by_sum, HeatTerm::Leakage) / total * 100.0;
    let hoops = OVERCAST.in_house("hoops", &scenario("heat-loss-b.toml"));
    let films = CLEAR.in_house("films", &film_pair());
    let house = "30 x 100 ft hoophouse, double film, 60 F inside, 0 F outside";
    let case = |what: &str| format!("{house}: {what}");
    vec![
        btu_h(Check::band(
            &case("total with U 0.70"),
            HOOPHOUSE,
            total,
            [240e3, 246e3],
        )),
        Check::value(&case("share of leaks, one change an hour"), HOOPHOUSE, share, 15.0, 0.5)
            .unit("%")
            .decimals(1)
            .falls_short(
                "the print takes 0.02 Btu/ft3F, which is air of 1.33 kg/m3; ours is 0.0187, air at 10 C",
            ),
        btu_h(Check::band(
            &case("total with the film pair's own physics, dry, clear sky, wind 15 mph"),
            HOOPHOUSE,
            mean_btu_h(&films, HeatTerm::Heater),
            [240e3, 246e3],
        ))
        .falls_short(
            "U 0.51 by physics (0.42 under cloud) where the print designs with 0.70, whose sky, wetness \
             and margin it does not say; no frame, edge or ground here",
        ),
        btu_h(Check::value(
            "22 x 96 ft hoop house, double film and 8 mm sheet, 60 F warmer inside, no leaks",
            HOOP_HOUSE,
            mean_btu_h(&hoops, HeatTerm::Heater),
            156_346.0,
            156.0,
        )),
    ]
}

/// The U-values that the reason above states.
#[test]
fn the_film_pair_by_its_own_physics() {
    let u_btu = |night: Night, name: &str| {
        let year = night.in_house(name, &film_pair());
        let cover = mean_btu_h(&year, HeatTerm::Heater) + mean_btu_h(&year, HeatTerm::Leakage);
        cover / 5000.0 / 60.0
    };
    let (clear, overcast) = (u_btu(CLEAR, "clear"), u_btu(OVERCAST, "overcast"));
    assert!((clear - 0.51).abs() < 5e-3, "{clear}");
    assert!((overcast - 0.42).abs() < 5e-3, "{overcast}");
}

/// The hoophouse with the film pair of the catalogue in place of its fixed U-value, dry.
fn film_pair() -> String {
    let text = scenario("heat-loss-a.toml");
    let walls = text.find("[[wall]]").expect("walls");
    let floor = text.find("[floor]").expect("a floor");
    format!(
        "{}[cover]\nroof = \"inflated pair\"\n\n{}",
        &text[..walls],
        &text[floor..]
    )
}

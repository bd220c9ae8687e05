//! The shipped scenario of sheet against film: what it saves, summed by hand from fuel and prices.

mod support;

use std::fs;
use std::path::Path;

use overwinter::Exit;
use support::{Row, number, overwinter, scenario, table, weather};

/// Draws of each design in each climate; cases of film come first, climate by climate.
const DRAWS: usize = 10;
/// Joules of a kilowatt-hour over those of a million Btu (ISO 80000-5).
const KWH_MMBTU: f64 = 3.6e6 / 1.055_055_852_62e9;

/// The scenario without its failing nights, which take most of the time and cost nothing.
fn run_into(folder: &Path) {
    let text = fs::read_to_string(scenario("sheet-or-film.toml")).expect("shipped");
    let text = text.replace("run = true", "run = false");
    let text = text.replace("../weather", weather("").trim_end_matches('/'));
    let file = folder.join("sheet.toml");
    fs::write(&file, text).expect("written");
    let [file, out] = [file, folder.join("out")].map(|path| path.display().to_string());
    let done = overwinter(&["run", &file, "--out", &out]);
    assert_eq!(done.exit, Exit::Done, "{}", done.err);
}

/// The year of each case in the table of fuel.
fn years(folder: &Path) -> Vec<Row> {
    let rows = table(folder, "fuel_use").into_iter();
    let years: Vec<Row> = rows.filter(|row| row["month"] == "0").collect();
    assert_eq!(years.len(), 4 * DRAWS);
    years
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    let half = values.len() / 2;
    (values[half - 1] + values[half]) / 2.0
}

/// Present value of 1 a year at the end of each of ten years that rises by a share every year, at 4 %
/// (ASTM E917, UPV*).
fn upv_rising(rise: f64) -> f64 {
    (1.0 + rise) / (0.04 - rise) * (1.0 - ((1.0 + rise) / 1.04_f64).powi(10))
}

/// Life-cycle cost of a case: fuel rises by 1 % a year above inflation, electricity does not.
fn life_cycle(year: &Row, is_film: bool) -> f64 {
    let at = |cost: f64, year: i32| cost / 1.04_f64.powi(year);
    let cover = match is_film {
        // Two years of the film of year 8 are left; the blower has lived its ten years.
        true => 850.0 + 140.0 + at(850.0, 4) + at(850.0, 8) - at(850.0 / 2.0, 10),
        false => 9800.0 - at(9800.0 * 5.0 / 15.0, 10),
    };
    cover
        + number(year, "fuel_cost_in_currency") * upv_rising(0.01)
        + number(year, "electricity_cost_in_currency") * upv_rising(0.0)
}

/// Greenhouse gases of propane by 40 CFR part 98 (Table C-1: 62.87 kg a million Btu of carbon dioxide,
/// Table C-2: 3 g of methane and 0.6 g of nitrous oxide), and of electricity as the scenario states.
fn co2e_kg(year: &Row) -> f64 {
    let electricity_kwh = [
        "heater_electricity_kwh",
        "blower_electricity_kwh",
        "circulation_electricity_kwh",
        "vent_fan_electricity_kwh",
    ];
    let electricity_kwh: f64 = electricity_kwh
        .map(|column| number(year, column))
        .iter()
        .sum();
    let propane_mmbtu = number(year, "fuel_kwh") * KWH_MMBTU;
    propane_mmbtu * (62.87 + 0.003 * 28.0 + 0.0006 * 265.0) + 0.4 * electricity_kwh
}

#[test]
fn what_sheet_saves_is_what_fuel_and_prices_give() {
    let folder = tempfile::tempdir().expect("a folder");
    run_into(folder.path());
    let years = years(folder.path());
    let savings = table(folder.path(), "savings");
    let told = |climate: &str, measure: &str, carrier: &str| {
        let is = |row: &&Row| {
            row["axis_climate"] == climate && row["measure"] == measure && row["carrier"] == carrier
        };
        number(savings.iter().find(is).expect(measure), "median")
    };
    for (at, climate) in ["northern Illinois", "Carolina piedmont"]
        .iter()
        .enumerate()
    {
        let film = &years[at * DRAWS..][..DRAWS];
        let sheet = &years[(2 + at) * DRAWS..][..DRAWS];
        let saved = |of: &dyn Fn(&Row, bool) -> f64| {
            let pairs = film.iter().zip(sheet);
            median(
                pairs
                    .map(|(film, sheet)| of(film, true) - of(sheet, false))
                    .collect(),
            )
        };
        for (measure, carrier, expected) in [
            ("net saving", "", saved(&life_cycle)),
            (
                "greenhouse gases",
                "all carriers",
                saved(&|year, _| co2e_kg(year)),
            ),
        ] {
            let got = told(climate, measure, carrier);
            let off = (got / expected - 1.0).abs();
            assert!(off < 1e-6, "{climate}, {measure}: {got} for {expected}");
        }
        // A blower that runs all year is all of the electricity, but for that of the heater's fan.
        let blower_kwh = saved(&|year, _| number(year, "blower_electricity_kwh"));
        let electricity_kwh = told(climate, "energy", "electricity");
        assert!(
            (0.85..1.0).contains(&(blower_kwh / electricity_kwh)),
            "{electricity_kwh}"
        );
    }
}

//! Fuel and carbon arithmetic: heat contents, cost of delivered heat, carbon dioxide.
//!
//! Costs and carbon dioxide come from the fuel table of a run of `every-fuel.toml`, whose prices are
//! one: they pass through reading, units, heaters, efficiency and the table as a user's do.

use std::path::PathBuf;

use overwinter_study::catalogue::catalogue;
use overwinter_study::run::run_study;
use overwinter_study::scenario::load;
use overwinter_study::tables::{Table, Values};
use overwinter_tests::published::{Check, readme};

const CITY: &str = "City of New York, Local Law 97 of 2019, Administrative Code 28-320.3.1.1";
const COST_FACTORS: &str = "University of Connecticut Extension, fuel cost factors";
const EPA: &str = "U.S. Environmental Protection Agency, emission factors for greenhouse gas \
                   inventories";
/// Joules in a million Btu of the International Table (ISO 80000-5:2019).
const MMBTU_J: f64 = 1.055_055_852_62e9;
/// Kilograms in a pound (exact).
const POUND_KG: f64 = 0.453_592_37;
/// Btu in a hundred cubic feet of natural gas (University of Connecticut Extension).
const BTU_PER_CCF: f64 = 103_000.0;

#[test]
fn fuel_and_carbon() {
    let run = Run::new();
    let mut checks = heat_contents();
    checks.extend(cost_factors(&run));
    checks.extend(worked_examples(&run));
    checks.extend(carbon(&run));
    readme::assert_current("Fuel and carbon", &checks);
}

/// The run of every fuel.
struct Run {
    labels: Vec<String>,
    fuel_use: Table,
}

impl Run {
    fn new() -> Self {
        let file = "verification/published/every-fuel.toml";
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(file);
        let study = load(&path).expect("the scenario reads");
        let result = run_study(&study, None);
        assert_eq!(result.failed(), 0);
        let tables = result.tables();
        let is_fuel_use = |table: &Table| table.name == "fuel_use";
        Self {
            labels: study
                .cases
                .iter()
                .map(|case| case.axis_labels[0].clone())
                .collect(),
            fuel_use: tables
                .into_iter()
                .find(is_fuel_use)
                .expect("a table of fuel"),
        }
    }

    /// A figure of the whole year with a fuel.
    fn year(&self, label: &str, column: &str) -> f64 {
        let case = self
            .labels
            .iter()
            .position(|known| known == label)
            .expect(label);
        let [cases, months] = ["case_id", "month"].map(|name| self.whole(name));
        let of_year = |row: &usize| cases[*row] == Some(case as i64 + 1) && months[*row] == Some(0);
        let row = (0..cases.len()).find(of_year).expect("a row of the year");
        match &self.fuel_use.column(column).expect(column).values {
            Values::Number(values) => values[row].expect("not empty"),
            _ => panic!("{column} holds no quantity"),
        }
    }

    fn whole(&self, column: &str) -> &[Option<i64>] {
        match &self.fuel_use.column(column).expect(column).values {
            Values::Whole(values) => values,
            _ => panic!("{column} holds no counts"),
        }
    }

    /// Cost of a million Btu of delivered heat at a price of one.
    fn cost_of_mmbtu(&self, label: &str) -> f64 {
        self.year(label, "fuel_cost_in_currency") / self.year(label, "heat_mmbtu")
    }

    /// A mass of the year for each unit of fuel.
    fn kg_per_unit(&self, label: &str, column: &str) -> f64 {
        self.year(label, column) / self.year(label, "fuel_used_in_fuel_unit")
    }
}

/// Heat content of a unit of fuel in the catalogue.
fn content_btu(fuel: &str) -> f64 {
    let entry = catalogue().entry("fuel", fuel).expect(fuel);
    entry.figure("energy_per_unit").expect(fuel).value / MMBTU_J * 1e6
}

fn heat_contents() -> Vec<Check> {
    let published = [
        ("heating oil", 138_500.0),
        ("natural gas", 100_000.0),
        ("kerosene", 135_000.0),
        ("electricity", 3_412.0),
        ("hardwood", 20e6),
        ("wood pellets", 2000.0 * 8_200.0),
    ];
    let pairs = published.map(|(fuel, btu)| [content_btu(fuel) / btu * 100.0, 100.0]);
    vec![
        Check::table(
            "heat content of oil, gas, kerosene, electricity, hardwood, pellets",
            "Universities of Connecticut and Massachusetts Extension, fuel tables",
            &pairs,
            0.01,
        )
        .unit("%"),
        Check::band(
            "heat content of a gallon of propane",
            "federal factors 91,000; University of Connecticut Extension 92,500",
            content_btu("propane"),
            [91_000.0, 92_500.0],
        )
        .unit("Btu")
        .decimals(0),
    ]
}

fn cost_factors(run: &Run) -> Vec<Check> {
    let published = [
        ("oil, 70 %", 10.3),
        ("oil, 75 %", 9.6),
        ("propane, 75 %", 14.4),
        ("propane, 90 %", 12.0),
        ("gas by the therm, 75 %", 13.3),
    ];
    let pairs = published.map(|(label, factor)| [run.cost_of_mmbtu(label), factor]);
    // By the hundred cubic feet a unit holds more than a therm.
    let by_ccf = run.cost_of_mmbtu("gas by the therm, 90 %") * 100_000.0 / BTU_PER_CCF;
    let divisors = [("hardwood, 60 %", 12.0), ("pellets, 80 %", 13.1)];
    let divisors = divisors.map(|(label, divisor)| [1.0 / run.cost_of_mmbtu(label), divisor]);
    vec![
        Check::table(
            "cost of 1 MMBtu of heat at a price of 1: oil, propane, gas at 70 to 90 %",
            COST_FACTORS,
            &pairs,
            0.05,
        ),
        Check::value(
            "the same, gas by 100 cubic feet at 90 %",
            COST_FACTORS,
            by_ccf,
            10.8,
            0.05,
        )
        .decimals(1),
        Check::value(
            "the same, gas by the therm at 90 %",
            COST_FACTORS,
            run.cost_of_mmbtu("gas by the therm, 90 %"),
            12.5,
            0.05,
        )
        .decimals(2)
        .falls_short("a misprint: 12.5 is the factor at 80 %"),
        Check::table(
            "price over the cost of 1 MMBtu: hardwood at 60 %, pellets at 80 %",
            COST_FACTORS,
            &divisors,
            0.05,
        ),
        Check::value(
            "cost of 1 MMBtu of electric heat at a price of 1 a kWh",
            COST_FACTORS,
            run.cost_of_mmbtu("electricity, 100 %"),
            293.0,
            0.5,
        )
        .decimals(1),
    ]
}

fn worked_examples(run: &Run) -> Vec<Check> {
    // Heat through a leaky 48 in louver in an hour.
    let louver_mmbtu = 0.023;
    let louver = [
        [run.cost_of_mmbtu("oil, 75 %") * 4.0, 0.92],
        [run.cost_of_mmbtu("oil, 75 %") * 3.0, 0.63],
        [run.cost_of_mmbtu("gas by the therm, 90 %") * 2.0, 0.46],
    ];
    let louver = louver.map(|[ours, published]| [ours * louver_mmbtu / published * 100.0, 100.0]);
    let apart = |oil_gal: f64, propane_gal: f64, gas_btu: f64| {
        let oil_btu = oil_gal * content_btu("heating oil");
        [propane_gal * content_btu("propane"), gas_btu].map(|btu| [btu / oil_btu * 100.0, 100.0])
    };
    let door = apart(60.0, 90.0, 80.0 * BTU_PER_CCF);
    let kneewall = apart(400.0, 610.0, 558.0 * content_btu("natural gas"));
    vec![
        Check::table(
            "cost of an hour of a leaky louver, 23,000 Btu/h, oil at 75 % and gas at 90 %",
            "Bartok, University of Connecticut: 0.92, 0.63, 0.46 USD, at efficiencies of 72 to 100 %",
            &louver,
            25.0,
        )
        .unit("%"),
        Check::table(
            "a door saves 60 gal of oil, 90 gal of propane or 80 ccf of gas: the same heat",
            "Bartok, University of Connecticut",
            &door,
            1.1,
        )
        .unit("%"),
        Check::table(
            "a kneewall saves 400 gal of oil, 610 gal of propane or 558 therms: the same heat",
            "extension text on a 28 x 100 ft house",
            &kneewall,
            1.0,
        )
        .unit("%"),
    ]
}

fn carbon(run: &Run) -> Vec<Check> {
    let published = [
        ("propane, federal", 5.72),
        ("gas, federal", 5.306),
        ("oil, federal", 10.21),
        ("kerosene, federal", 10.15),
    ];
    let pairs = published.map(|(label, kg)| [run.kg_per_unit(label, "co2_kg"), kg]);
    // Of a therm to a million Btu, and of a gallon of 138,000 Btu.
    let co2e = [
        [10.0 * run.kg_per_unit("gas, federal", "co2e_kg"), 53.11],
        [run.kg_per_unit("oil, federal", "co2e_kg") / 0.138, 74.21],
    ];
    let dealer_lb = 800.0 * run.kg_per_unit("oil, dealer", "co2_kg") / POUND_KG;
    vec![
        Check::table(
            "greenhouse gases of a million Btu of gas, of No. 2 oil (theirs with older potentials of methane and \
             nitrous oxide)",
            CITY,
            &co2e,
            0.01,
        )
        .unit("kg CO2e"),
        Check::table(
            "carbon dioxide of a gallon of propane, a therm, a gallon of oil, of kerosene",
            EPA,
            &pairs,
            5e-3,
        )
        .unit("kg"),
        Check::value(
            "carbon dioxide of a short ton of wood, counted apart as biogenic",
            EPA,
            run.kg_per_unit("wood, federal", "co2_biogenic_kg"),
            1640.0,
            0.5,
        )
        .unit("kg")
        .decimals(0),
        Check::value(
            "carbon dioxide of 800 gal of oil of 138,690 Btu at 161.27 lb/MMBtu",
            "fuel dealer's worked example",
            dealer_lb,
            17_893.0,
            0.5,
        )
        .unit("lb")
        .decimals(0),
    ]
}

/// Wood gives off no carbon dioxide that counts as fossil, fossil fuel none that counts as biogenic.
#[test]
fn wood_is_counted_apart() {
    let run = Run::new();
    assert!(run.year("wood, federal", "co2_kg").abs() < 1e-9);
    assert!(run.year("propane, federal", "co2_biogenic_kg").abs() < 1e-9);
}

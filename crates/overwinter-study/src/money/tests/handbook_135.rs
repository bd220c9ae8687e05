//! Worked cases with the measures of NIST Handbook 135, evaluated from its formulas apart from this code.

use std::path::Path;

use super::*;
use crate::money::costs::CostRow;
use crate::scenario::check;

/// NIST Handbook 135 measures of 10,000 spent for 1,500 a year over 20 years at 3 %, worked by closed
/// forms: UPV 14.8775, so that the net saving is 12,316.21 and the ratio 2.2316; AIRR 1.03 x
/// 2.2316^(1/20) - 1; simple payback 10,000 / 1,500; discounted -ln(1 - 0.03 x 10,000 / 1,500) / ln 1.03.
#[test]
fn a_simple_investment_gives_the_published_measures() {
    let of = |cost: f64, gallons: f64| {
        let mut house = house(cost, 20, gallons);
        let stated = Arc::make_mut(&mut house.stated);
        stated.terms.years = 20;
        stated.terms.rate = 0.03;
        house
    };
    let (before, after) = (of(0.0, 1000.0), of(10_000.0, 250.0));
    let rows = saved(&two_designs(1), &[Some(&before), Some(&after)]);
    for (measure, expected, within) in [
        ("net saving", 12_316.21, 0.005),
        ("saving-to-investment ratio", 2.2316, 5e-5),
        ("adjusted rate of return", 7.218, 5e-4),
        ("internal rate of return", 13.887, 5e-4),
        ("simple payback", 6.667, 5e-4),
        ("discounted payback", 7.549, 5e-4),
    ] {
        let got = found(&rows, measure, None).median.expect(measure);
        assert!((got - expected).abs() <= within, "{measure}: {got}");
    }
}

/// A heating plant whose fan is bought again in year 12: inputs as in a worked example of NIST Handbook
/// 135 and its training course (from memory), with constant prices where the handbook uses forecasts and
/// so prints other totals. Here through `[money]`: the fan in place has lasted 8 of its 20 years.
const PLANT: &str = r#"
[weather]
file = "WEATHER"
[house]
width = "10 m"
length = "20 m"
[cover]
roof = "inflated pair"
[hold]
temp = "5 degC"
[[heater]]
fuel = "electricity"
[prices]
electricity = "0.08 USD/kWh"
[money]
years = 20
rate = "3 %"
upkeep = "7000 USD/yr"
[money.parts.plant]
cost = "103000 USD"
life = 20
residual = "3500 USD"
[money.parts.fan]
cost = "0 USD"
life = 20
age = 8
replacement = "12000 USD"
residual = "0 USD"
[[axis]]
name = "plant"
[[axis.alternative]]
label = "old"
set = {}
[[axis.alternative]]
label = "new"
[axis.alternative.set]
"money.upkeep" = "8000 USD/yr"
"money.parts.plant.cost" = "110000 USD"
"money.parts.plant.residual" = "3700 USD"
"money.parts.fan.replacement" = "12500 USD"
"#;

/// The two plants of the scenario, with 20,000 and 13,000 of electricity a year.
fn plants() -> [CaseMoney; 2] {
    let weather = "../../weather/725300-chicago-ohare-il-tmy3.epw";
    let weather = Path::new(env!("CARGO_MANIFEST_DIR")).join(weather);
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("plant.toml");
    let text = PLANT.replace("WEATHER", &weather.display().to_string());
    std::fs::write(&path, text).expect("written");
    let study = check(&path).expect("sound").study;
    [(0, 20_000.0), (1, 13_000.0)].map(|(at, cost_year)| {
        let case = study.cases.get(at).expect("a case").into_owned();
        CaseMoney {
            stated: case.money.expect("counted"),
            energy_j: vec![cost_year / 0.08 * 3.6e6],
            sun_inside_j: 1e12,
            unmet_j: 0.0,
            floor_area_m2: 200.0,
        }
    })
}

fn assert_near(what: &str, got: Option<f64>, expected: f64, within: f64) {
    let got = got.expect(what);
    assert!((got - expected).abs() <= within, "{what}: {got}");
}

#[test]
fn a_heating_plant_costs_what_the_formulas_give() {
    let expected = [
        [
            103_000.0, 8_416.56, -1_937.87, 297_549.50, 104_142.32, 511_170.51,
        ],
        [
            110_000.0, 8_767.25, -2_048.60, 193_407.17, 119_019.80, 429_145.62,
        ],
    ];
    let items = [
        ItemIs::FirstCost,
        ItemIs::Replacements,
        ItemIs::Residual,
        ItemIs::Energy,
        ItemIs::Upkeep,
        ItemIs::LifeCycleCost,
    ];
    for (plant, expected) in plants().iter().zip(expected) {
        let rows = costs::rows(1, Some(plant));
        for (item, expected) in items.into_iter().zip(expected) {
            let worth = |row: &CostRow| Some(row.amounts?.present_value);
            let of_item = rows.iter().filter(|row| row.item_is == item);
            let sum: f64 = of_item.filter_map(worth).sum();
            assert_near(&format!("{item:?}"), Some(sum), expected, 0.005);
        }
    }
}

#[test]
fn a_better_heating_plant_saves_what_the_formulas_give() {
    let [old, new] = plants();
    let rows = saved(&two_designs(1), &[Some(&old), Some(&new)]);
    let of = |measure: &str| found(&rows, measure, None).median;
    assert_near("net saving", of("net saving"), 82_024.89, 0.005);
    let ratio = of("saving-to-investment ratio");
    assert_near("saving-to-investment ratio", ratio, 12.329, 5e-4);
    assert_near(
        "adjusted rate of return",
        of("adjusted rate of return"),
        16.78,
        5e-3,
    );
}

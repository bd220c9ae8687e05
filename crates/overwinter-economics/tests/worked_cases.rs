//! Worked cases with figures from outside this code.

#![allow(clippy::unwrap_used, reason = "a test may panic")]

use overwinter_economics::{
    Comparison, Costs, EnergyUse, Part, Payback, Plan, RateOfReturn, Residual, Terms,
};

fn check(what: &str, got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got - expected).abs() <= tolerance,
        "{what}: {got}, not {expected}"
    );
}

fn electricity(cost_year: f64) -> EnergyUse {
    EnergyUse {
        carrier: "electricity".into(),
        unit: "kWh".into(),
        amount_year: cost_year / 0.08,
        price: 0.08,
        escalation: 0.0,
        energy_kwh_year: cost_year / 0.08,
        emissions_year: None,
    }
}

fn part(name: &str, first_cost: f64, life_years: u32, again: f64, residual: f64) -> Part {
    Part {
        name: name.into(),
        eligible_cost: first_cost,
        other_cost: 0.0,
        life_years,
        age_years: 0,
        replacement_cost: again,
        escalation: 0.0,
        residual: Residual::Stated(residual),
    }
}

/// A plant whose fan is bought again in year 12: first cost, fan, residual value, electricity and
/// upkeep a year.
fn plant([first, fan, residual, electricity_year, upkeep_year]: [f64; 5]) -> Plan {
    Plan {
        parts: vec![
            part("plant", first, 20, 0.0, residual),
            part("fan", 0.0, 12, fan, 0.0),
        ],
        energy: vec![electricity(electricity_year)],
        upkeep_year,
        ..Plan::default()
    }
}

fn check_costs(values: &Costs, expected: [f64; 6]) {
    let got = [
        values.eligible_cost,
        values.replacements,
        values.residual,
        values.energy[0].cost,
        values.upkeep,
        values.whole_cost(),
    ];
    for (got, expected) in got.into_iter().zip(expected) {
        check("present value", got, expected, 0.005);
    }
}

#[test]
fn heating_plant_with_a_fan_bought_again() {
    // Inputs as in a worked example of NIST Handbook 135 and its training course (from memory); figures
    // evaluated from the formulas apart from this code, with constant prices, where the handbook uses
    // price forecasts and so prints other totals. Discount 3 %, 20 years. To the cent.
    let base = plant([103_000.0, 12_000.0, 3_500.0, 20_000.0, 7_000.0]);
    let alternative = plant([110_000.0, 12_500.0, 3_700.0, 13_000.0, 8_000.0]);
    let terms = Terms::constant(20, 0.03, 0.0).unwrap();
    let got = Comparison::new(&base, &alternative, &terms).unwrap();
    check_costs(
        &got.base,
        [
            103_000.0, 8_416.56, 1_937.87, 297_549.50, 104_142.32, 511_170.51,
        ],
    );
    check_costs(
        &got.alternative,
        [
            110_000.0, 8_767.25, 2_048.60, 193_407.17, 119_019.80, 429_145.62,
        ],
    );
    check("net saving", got.net_saving, 82_024.89, 0.005);
    let saved = 104_142.32 - 14_877.47;
    check("running saving", got.running_saving, saved, 0.011);
    let extra = 7_000.0 + 350.69 - 110.74;
    check("extra investment", got.extra_investment, extra, 0.011);
    check("ratio", got.saving_to_investment.unwrap(), 12.329, 5e-4);
    check(
        "adjusted rate",
        got.adjusted_rate_of_return.unwrap(),
        0.1678,
        5e-5,
    );
}

#[test]
fn ten_thousand_that_save_fifteen_hundred_a_year() {
    // I 10,000, 1,500 saved a year, 20 years, 3 %: figures evaluated from the formulas of NIST Handbook
    // 135 apart from this code.
    let base = Plan {
        energy: vec![electricity(4_000.0)],
        ..Plan::default()
    };
    let alternative = Plan {
        parts: vec![part("cover", 10_000.0, 20, 10_000.0, 0.0)],
        energy: vec![electricity(2_500.0)],
        ..Plan::default()
    };
    let terms = Terms::constant(20, 0.03, 0.0).unwrap();
    let got = Comparison::new(&base, &alternative, &terms).unwrap();
    check("net saving", got.net_saving, 12_316.21, 0.005);
    check("ratio", got.saving_to_investment.unwrap(), 2.2316, 5e-5);
    check(
        "adjusted rate",
        got.adjusted_rate_of_return.unwrap(),
        0.07218,
        5e-6,
    );
    let RateOfReturn::Rate(rate) = got.rate_of_return else {
        panic!("{:?}", got.rate_of_return);
    };
    check("rate of return", rate, 0.13887, 5e-6);
    for (payback, years) in [(got.simple_payback, 6.667), (got.discounted_payback, 7.549)] {
        assert!(
            matches!(payback, Payback::After { holds: true, .. }),
            "{payback:?}"
        );
        check("payback", payback.years().unwrap(), years, 5e-4);
    }
    assert_eq!(got.outlived_parts, []);
    check(
        "share of energy",
        got.energy_saved_share.unwrap(),
        1_500.0 / 4_000.0,
        1e-12,
    );
}

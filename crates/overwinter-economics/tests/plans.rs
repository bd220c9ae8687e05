//! What plans with films, loans and grants come to, by hand.

#![allow(clippy::unwrap_used, reason = "a test may panic")]

use overwinter_economics::{
    CashFlow, Comparison, EconomicsError, Emissions, EnergyUse, Loan, OutlivedPart, Part, Payback,
    Plan, RateOfReturn, Residual, Terms,
};

fn check(what: &str, got: f64, expected: f64) {
    let tolerance = 1e-9 * expected.abs().max(1.0);
    assert!(
        (got - expected).abs() <= tolerance,
        "{what}: {got}, not {expected}"
    );
}

fn film(cost: f64) -> Part {
    Part {
        name: "film".into(),
        eligible_cost: cost,
        other_cost: 0.0,
        life_years: 4,
        age_years: 0,
        replacement_cost: cost,
        escalation: 0.0,
        residual: Residual::StraightLine,
    }
}

fn propane(gallons: f64) -> EnergyUse {
    EnergyUse {
        carrier: "propane".into(),
        unit: "gal".into(),
        amount_year: gallons,
        price: 2.0,
        escalation: 0.0,
        energy_kwh_year: 25.0 * gallons,
        emissions_year: Some(Emissions {
            carbon_dioxide_kg: 6.0 * gallons,
            ..Emissions::default()
        }),
    }
}

fn house(cover_cost: f64, gallons: f64) -> Plan {
    Plan {
        name: "house".into(),
        parts: vec![film(cover_cost)],
        energy: vec![propane(gallons)],
        ..Plan::default()
    }
}

fn terms(years: u32) -> Terms {
    Terms::constant(years, 0.25, 0.0).unwrap()
}

#[test]
fn film_is_bought_again_at_the_end_of_each_life() {
    let years = |age_years, period| {
        let part = Part {
            age_years,
            ..film(800.0)
        };
        part.replacement_years(period).collect::<Vec<u32>>()
    };
    assert_eq!(years(0, 10), [4, 8]);
    assert_eq!(years(0, 8), [4]);
    assert_eq!(years(3, 10), [1, 5, 9]);
    assert_eq!(years(0, 4), [] as [u32; 0]);
}

#[test]
fn residual_value_is_the_share_of_life_left() {
    // Bought in year 8, two of four years old at the end of year 10.
    check("film", film(800.0).residual_value(10), 400.0);
    check("at the end of a life", film(800.0).residual_value(8), 0.0);
    let sheet = Part {
        life_years: 15,
        replacement_cost: 9_999.0,
        ..film(3_000.0)
    };
    check("never bought again", sheet.residual_value(10), 1_000.0);
    let in_place = Part {
        age_years: 3,
        ..sheet
    };
    check(
        "in place",
        in_place.residual_value(2),
        9_999.0 * 10.0 / 15.0,
    );
    let dearer = Part {
        escalation: 1.0,
        ..film(800.0)
    };
    check("escalated", dearer.residual_value(6), 800.0 * 16.0 / 2.0);
    let stated = Part {
        residual: Residual::Stated(-50.0),
        ..film(800.0)
    };
    check("stated", stated.residual_value(6), -50.0);
}

#[test]
fn rows_hold_what_falls_due() {
    let mut plan = house(800.0, 100.0);
    plan.upkeep_year = 30.0;
    plan.light_value_year = Some(-20.0);
    plan.grant = 200.0;
    plan.energy[0].escalation = 0.1;
    let flow = CashFlow::new(&plan, &terms(6)).unwrap();
    let rows = flow.rows();
    assert_eq!(rows.len(), 7);
    check("first cost", rows[0].costs.first_cost(), 600.0);
    check("running cost of year 0", rows[0].costs.running_cost(), 0.0);
    check("propane", rows[2].costs.energy[0].cost, 200.0 * 1.21);
    check(
        "running cost",
        rows[1].costs.running_cost(),
        220.0 + 30.0 + 20.0,
    );
    check("film", rows[4].costs.replacements, 800.0);
    check("residual", rows[6].costs.residual, 400.0);
    check(
        "owner",
        rows[4].costs.paid_by_owner(),
        800.0 + 200.0 * 1.4641 + 50.0,
    );
}

#[test]
fn constant_and_current_money_give_the_same_present_values() {
    let mut plan = house(800.0, 100.0);
    plan.energy[0].escalation = 0.02;
    plan.parts[0].escalation = 0.01;
    plan.upkeep_year = 70.0;
    plan.loan = Some(Loan {
        principal: 500.0,
        rate: 0.08,
        years: 5,
    });
    let real = Terms::constant(10, 0.04, 0.03).unwrap();
    let nominal = Terms::current(10, 1.04 * 1.03 - 1.0, 0.03).unwrap();
    let [constant, current] = [real, nominal].map(|terms| CashFlow::new(&plan, &terms).unwrap());
    check(
        "propane on a bill",
        current.rows()[2].costs.energy[0].cost,
        200.0 * 1.0404 * 1.0609,
    );
    let [constant, current] = [constant, current].map(|flow| flow.present_values());
    check("cost", current.whole_cost(), constant.whole_cost());
    check("residual", current.residual, constant.residual);
    check("loan", current.loan_paid, constant.loan_paid);
}

#[test]
fn loan_at_the_rate_of_discount_costs_nothing() {
    let mut plan = house(2_250.0, 500.0);
    plan.loan = Some(Loan {
        principal: 2_250.0,
        rate: 0.25,
        years: 2,
    });
    let flow = CashFlow::new(&plan, &terms(6)).unwrap();
    // By hand: two payments of 2,250 x 1.5625 / 2.25.
    let paid: Vec<f64> = flow.rows().iter().map(|row| row.costs.loan_paid).collect();
    check("payment", paid[1], 1_562.5);
    check("payments", paid.iter().sum(), 3_125.0);
    check("owner", flow.rows()[0].costs.paid_by_owner(), 0.0);
    check("net cost", flow.present_values().loan_net_cost(), 0.0);
    let compared = Comparison::new(&house(800.0, 1_593.75), &plan, &terms(6)).unwrap();
    // 1,093.75 gallons less at 2, over 1,562.5 of payment.
    check("coverage", compared.debt_service_coverage().unwrap(), 1.4);
    let mut unfunded = plan.clone();
    unfunded.loan = None;
    let without = Comparison::new(&house(800.0, 1_593.75), &unfunded, &terms(6)).unwrap();
    assert_eq!(without.debt_service_coverage(), None);
    check("net saving", without.net_saving, compared.net_saving);
}

#[test]
fn film_that_wears_out_before_it_has_paid_is_named() {
    // 600 more every 4 years for 60 gallons at 2: 120 a year, 480 in a life.
    let got = Comparison::new(&house(200.0, 1_000.0), &house(800.0, 940.0), &terms(10)).unwrap();
    let flagged = OutlivedPart {
        part: "film".into(),
        life_years: 4,
    };
    assert_eq!(got.outlived_parts, [flagged]);
    assert!(got.net_saving < 0.0 && got.saving_to_investment.unwrap() < 1.0);
    // 200 a year pay 600 in 3 years, and again in each life: 200, then -400 to the end of year 4.
    let got = Comparison::new(&house(200.0, 1_000.0), &house(800.0, 900.0), &terms(10)).unwrap();
    assert_eq!(
        got.simple_payback,
        Payback::After {
            years: 3.0,
            holds: false
        }
    );
    assert_eq!(got.outlived_parts, []);
}

#[test]
fn film_that_both_designs_have_is_not_named() {
    let base = house(800.0, 1_000.0);
    let mut alternative = house(800.0, 990.0);
    alternative.parts.push(Part {
        name: "screen".into(),
        life_years: 8,
        ..film(500.0)
    });
    let got = Comparison::new(&base, &alternative, &terms(10)).unwrap();
    let names: Vec<&str> = got
        .outlived_parts
        .iter()
        .map(|part| part.part.as_str())
        .collect();
    assert_eq!(names, ["screen"]);
}

#[test]
fn coverage_is_that_of_the_hardest_year() {
    let (mut base, mut alternative) = (house(0.0, 1_000.0), house(0.0, 500.0));
    alternative.loan = Some(Loan {
        principal: 2_250.0,
        rate: 0.25,
        years: 2,
    });
    for (escalation, times) in [(0.5, 1.5), (-0.5, 0.25)] {
        base.energy[0].escalation = escalation;
        alternative.energy[0].escalation = escalation;
        let got = Comparison::new(&base, &alternative, &terms(6)).unwrap();
        // 1,000 saved at the price of year 0 over a payment of 1,562.5; year 1 is the lowest if prices
        // rise, else year 2.
        check(
            "coverage",
            got.debt_service_coverage().unwrap(),
            1_000.0 * times / 1_562.5,
        );
    }
}

#[test]
fn a_design_cheaper_to_buy_pays_at_once() {
    let got = Comparison::new(&house(800.0, 940.0), &house(200.0, 900.0), &terms(10)).unwrap();
    assert_eq!(got.simple_payback, Payback::AtOnce { holds: true });
    assert_eq!(got.rate_of_return, RateOfReturn::NoInvestment);
    assert_eq!(got.saving_to_investment, None);
    assert_eq!(got.adjusted_rate_of_return, None);
    assert!(got.net_saving > 0.0);
}

#[test]
fn price_at_which_a_cover_begins_to_pay() {
    let (base, alternative) = (house(200.0, 1_000.0), house(800.0, 940.0));
    let got = Comparison::new(&base, &alternative, &terms(10)).unwrap();
    let times = got.break_even_price_times("propane").unwrap();
    let [base, alternative] = [base, alternative].map(|mut plan| {
        plan.energy[0].price *= times;
        plan
    });
    let even = Comparison::new(&base, &alternative, &terms(10)).unwrap();
    assert!(
        times > 1.0 && even.net_saving.abs() < 1e-9,
        "{times} {}",
        even.net_saving
    );
    assert_eq!(got.break_even_price_times("hay"), None);
}

#[test]
fn emissions_are_told_only_where_all_of_it_is_known() {
    let (base, mut alternative) = (house(0.0, 1_000.0), house(0.0, 900.0));
    let avoided = |alternative: &Plan| {
        let got = Comparison::new(&base, alternative, &terms(10)).unwrap();
        got.emissions_avoided_year
    };
    let expected = Emissions {
        carbon_dioxide_kg: 600.0,
        ..Emissions::default()
    };
    assert_eq!(avoided(&alternative), Some(expected));
    alternative.energy.push(EnergyUse {
        carrier: "electricity".into(),
        emissions_year: None,
        ..propane(5.0)
    });
    assert_eq!(avoided(&alternative), None);
    alternative.energy[1].amount_year = 0.0;
    assert_eq!(avoided(&alternative), Some(expected));
}

#[test]
fn a_grant_for_all_of_it_is_taken_whatever_the_last_bit_of_the_sum() {
    let mut plan = house(0.0, 100.0);
    // In binary these add up to 27093.129999999997.
    plan.parts = [12_175.35, 11_665.96, 3_251.82].map(film).to_vec();
    plan.grant = 27_093.13;
    assert!(plan.eligible_cost() < plan.grant);
    assert!(CashFlow::new(&plan, &terms(10)).is_ok());
    plan.grant += 0.01;
    assert!(CashFlow::new(&plan, &terms(10)).is_err());
}

fn refusal(change: impl Fn(&mut Plan)) -> String {
    let mut plan = house(800.0, 100.0);
    change(&mut plan);
    let refused: EconomicsError = CashFlow::new(&plan, &terms(10)).unwrap_err();
    refused.to_string()
}

#[test]
fn what_no_sum_can_be_made_of_is_refused_with_its_numbers() {
    for (refused, expected) in [
        (
            refusal(|plan| plan.parts[0].life_years = 0),
            "film, life: 0 years, it must be 1 to 100",
        ),
        (
            refusal(|plan| plan.parts[0].age_years = 4),
            "film: 4 years old with a life of 4; what is due now is bought now, with a first cost and \
             an age of 0",
        ),
        (
            refusal(|plan| plan.energy[0].price = f64::NAN),
            "propane, price: NaN, it must be 0 to 1000000000000000",
        ),
        (
            refusal(|plan| plan.energy[0].escalation = -1.5),
            "propane, escalation: -150 % a year, it must be -50 % to 100 %",
        ),
        (
            refusal(|plan| plan.grant = 900.0),
            "a grant of 900 for eligible costs of 800; it cannot be more than these",
        ),
        (
            refusal(|plan| {
                plan.loan = Some(Loan {
                    principal: 1.0,
                    rate: 0.1,
                    years: 0,
                })
            }),
            "loan: 0 years, it must be 1 to 100",
        ),
        (
            refusal(|plan| plan.upkeep_year = -1.0),
            "upkeep: -1, it must be 0 to 1000000000000000",
        ),
    ] {
        assert_eq!(refused, expected);
    }
    assert!(Terms::constant(0, 0.03, 0.0).is_err());
    assert!(Terms::current(10, -1.0, 0.0).is_err());
}

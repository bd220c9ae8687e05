//! What holds between the measures for any plans.

#![allow(clippy::unwrap_used, reason = "a test may panic")]

use overwinter_economics::factor::{
    escalating_uniform_present_value, single_compound_amount, single_present_value,
    uniform_capital_recovery, uniform_compound_amount, uniform_present_value, uniform_sinking_fund,
};
use overwinter_economics::{
    CashFlow, Comparison, EnergyUse, Loan, Part, Payback, Plan, RateOfReturn, Residual, Terms,
};
use proptest::prelude::*;

fn rate() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), -0.5..1.0, -1e-9..1e-9]
}

fn part() -> impl Strategy<Value = Part> {
    let costs = (0.0..1e5, 0.0..1e4, 0.0..1e5);
    let ages = (1u32..40).prop_flat_map(|life| (Just(life), 0..life));
    let residual = prop_oneof![
        Just(Residual::StraightLine),
        (-1e3..1e4).prop_map(Residual::Stated)
    ];
    (costs, ages, -0.05..0.05, residual).prop_map(|(costs, ages, escalation, residual)| Part {
        name: "part".into(),
        eligible_cost: costs.0,
        other_cost: costs.1,
        life_years: ages.0,
        age_years: ages.1,
        replacement_cost: costs.2,
        escalation,
        residual,
    })
}

fn energy() -> impl Strategy<Value = EnergyUse> {
    (0.0..5e3, 0.0..5.0, -0.05..0.08).prop_map(|(amount_year, price, escalation)| EnergyUse {
        carrier: "propane".into(),
        unit: "gal".into(),
        amount_year,
        price,
        escalation,
        energy_kwh_year: 27.0 * amount_year,
        emissions_year: None,
    })
}

fn plan() -> impl Strategy<Value = Plan> {
    let parts = proptest::collection::vec(part(), 0..4);
    let energies = proptest::collection::vec(energy(), 0..3);
    (parts, energies, 0.0..2e3, proptest::option::of(-1e3..1e3)).prop_map(
        |(parts, energy, upkeep_year, light_value_year)| Plan {
            parts,
            energy,
            upkeep_year,
            light_value_year,
            ..Plan::default()
        },
    )
}

/// A cover that costs something, lasts and saves the same every year, beside a house without it.
fn simple_pair() -> impl Strategy<Value = (Plan, Plan)> {
    (1.0..1e5, 1.0..1e4, 0.0..1.0, -0.05..0.08).prop_map(|(cost, before, left, escalation)| {
        let house = |amount_year, parts| Plan {
            parts,
            energy: vec![EnergyUse {
                carrier: "propane".into(),
                unit: "gal".into(),
                amount_year,
                price: 1.0,
                escalation,
                energy_kwh_year: amount_year,
                emissions_year: None,
            }],
            ..Plan::default()
        };
        let cover = Part {
            name: "cover".into(),
            eligible_cost: cost,
            other_cost: 0.0,
            life_years: 100,
            age_years: 0,
            replacement_cost: cost,
            escalation: 0.0,
            residual: Residual::Stated(0.0),
        };
        (house(before, vec![]), house(before * left, vec![cover]))
    })
}

fn terms() -> impl Strategy<Value = Terms> {
    let any = (1u32..=60, -0.05..0.2, -0.05..0.1, any::<bool>());
    any.prop_map(|(years, rate, inflation, constant)| match constant {
        true => Terms::constant(years, rate, inflation).unwrap(),
        false => Terms::current(years, rate, inflation).unwrap(),
    })
}

/// Mostly numbers that are taken, and what no plan can hold.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        12 => -0.5..1.0,
        12 => 0.0..1.0,
        4 => proptest::sample::select(vec![0.0, -0.5, 1.0, 1e-300]),
        1 => proptest::sample::select(vec![1e15, -1e15, 2e15, f64::MAX]),
        1 => proptest::sample::select(vec![f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0]),
    ]
}

fn wild_plan(numbers: &[f64], years: &[u32]) -> Plan {
    Plan {
        parts: vec![Part {
            name: "film".into(),
            eligible_cost: numbers[0],
            other_cost: numbers[1],
            life_years: years[1],
            age_years: years[2].saturating_sub(50),
            replacement_cost: numbers[2],
            escalation: numbers[3],
            residual: Residual::StraightLine,
        }],
        energy: vec![EnergyUse {
            carrier: "oil".into(),
            unit: "gal".into(),
            amount_year: numbers[4].abs(),
            price: numbers[5].abs(),
            escalation: numbers[6],
            energy_kwh_year: numbers[4].abs(),
            emissions_year: None,
        }],
        light_value_year: Some(numbers[7]),
        loan: Some(Loan {
            principal: numbers[8].abs(),
            rate: numbers[9],
            years: years[3],
        }),
        ..Plan::default()
    }
}

fn payback_is_finite(payback: Payback) -> bool {
    match payback {
        Payback::After { years, .. } => years.is_finite() && years >= 0.0,
        Payback::NotWithinPeriod { missing } => missing.is_finite() && missing > 0.0,
        Payback::AtOnce { .. } | Payback::NoSaving => true,
    }
}

fn close(left: f64, right: f64, scale: f64) -> bool {
    (left - right).abs() <= 1e-9 * scale.abs().max(1e-6)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn factors_are_sums_over_the_years(rate in rate(), escalation in rate(), years in 1u32..=100) {
        let risen = |year| ((1.0 + escalation) / (1.0 + rate)).powi(year);
        let sum: f64 = (1..=years as i32).map(risen).sum();
        let factor = escalating_uniform_present_value(rate, escalation, years).unwrap();
        prop_assert!(close(factor, sum, sum), "{} {}", factor, sum);
        let singles = (1..=years).map(|year| single_present_value(rate, year).unwrap());
        let sum: f64 = singles.sum();
        prop_assert!(close(uniform_present_value(rate, years).unwrap(), sum, sum));
    }

    #[test]
    fn factors_undo_each_other(rate in rate(), years in 1u32..=100) {
        let one = single_present_value(rate, years).unwrap()
            * single_compound_amount(rate, years).unwrap();
        prop_assert!(close(one, 1.0, 1.0));
        let recovery = uniform_capital_recovery(rate, years).unwrap();
        prop_assert!(close(recovery * uniform_present_value(rate, years).unwrap(), 1.0, 1.0));
        let fund = uniform_sinking_fund(rate, years).unwrap();
        prop_assert!(close(fund * uniform_compound_amount(rate, years).unwrap(), 1.0, 1.0));
        // Paying a debt off is paying its interest and saving for the debt.
        prop_assert!(close(recovery, fund + rate, fund));
    }

    #[test]
    fn escalation_at_the_rate_of_discount_counts_years(rate in rate(), years in 1u32..=100) {
        let factor = escalating_uniform_present_value(rate, rate, years).unwrap();
        prop_assert!(close(factor, f64::from(years), 1.0));
    }

    #[test]
    fn a_design_saves_nothing_against_itself(plan in plan(), terms in terms()) {
        let got = Comparison::new(&plan, &plan, &terms).unwrap();
        prop_assert!(got.net_saving == 0.0 && got.extra_investment == 0.0);
        prop_assert_eq!(got.simple_payback, Payback::AtOnce { holds: true });
        prop_assert_eq!(got.rate_of_return, RateOfReturn::NoInvestment);
    }

    #[test]
    fn measures_agree_on_what_pays(base in plan(), alternative in plan(), terms in terms()) {
        let got = Comparison::new(&base, &alternative, &terms).unwrap();
        let [before, after] = [&got.base, &got.alternative].map(|x| x.whole_cost());
        prop_assert!(close(got.net_saving, before - after, before.abs() + after.abs()));
        prop_assert_eq!(got.saving_to_investment.is_some(), got.extra_investment > 0.0);
        if let Some(ratio) = got.saving_to_investment {
            prop_assert_eq!(ratio > 1.0, got.net_saving > 0.0);
        }
        match (got.saving_to_investment, got.adjusted_rate_of_return) {
            (Some(ratio), Some(rate)) => {
                prop_assume!((ratio - 1.0).abs() > 1e-9);
                prop_assert_eq!(rate > terms.discount_rate(), ratio > 1.0);
            }
            (ratio, rate) => prop_assert!(rate.is_none() && ratio.is_none_or(|x| x <= 0.0)),
        }
    }

    #[test]
    fn no_measure_is_without_bounds(base in plan(), alternative in plan(), terms in terms()) {
        let got = Comparison::new(&base, &alternative, &terms).unwrap();
        prop_assert!(got.net_saving.is_finite());
        prop_assert!(got.saving_to_investment.is_none_or(f64::is_finite));
        prop_assert!(got.adjusted_rate_of_return.is_none_or(f64::is_finite));
        prop_assert!(payback_is_finite(got.simple_payback), "{:?}", got.simple_payback);
        prop_assert!(payback_is_finite(got.discounted_payback), "{:?}", got.discounted_payback);
        if let RateOfReturn::Rate(rate) = got.rate_of_return {
            prop_assert!(rate.is_finite() && rate > -1.0);
            let values = got.rows.iter().map(|row| {
                let paid = row.first_cost + row.running + row.replacements + row.residual;
                paid * (1.0 + rate).powi(-(row.year as i32))
            });
            let values: Vec<f64> = values.collect();
            let scale: f64 = values.iter().map(|value| value.abs()).sum();
            prop_assert!(close(values.iter().sum(), 0.0, scale), "{:?}", values);
        }
    }

    #[test]
    fn any_numbers_give_finite_sums_or_a_refusal(
        numbers in proptest::collection::vec(any_number(), 12),
        years in proptest::collection::vec(0u32..=110, 4),
    ) {
        let plan = wild_plan(&numbers, &years);
        let base = Plan { energy: plan.energy.clone(), ..Plan::default() };
        let Ok(terms) = Terms::current(years[0], numbers[10], numbers[11]) else {
            return Ok(());
        };
        let Ok(got) = Comparison::new(&base, &plan, &terms) else {
            return Ok(());
        };
        let alternative = &got.alternative;
        for value in [got.net_saving, alternative.whole_cost(), alternative.loan_paid] {
            prop_assert!(value.is_finite());
        }
        for value in [got.saving_to_investment, got.adjusted_rate_of_return] {
            prop_assert!(value.is_none_or(f64::is_finite));
        }
        for value in [got.break_even_price_times("oil"), got.debt_service_coverage()] {
            prop_assert!(value.is_none_or(f64::is_finite));
        }
        prop_assert!(payback_is_finite(got.simple_payback), "{:?}", got.simple_payback);
        prop_assert!(payback_is_finite(got.discounted_payback), "{:?}", got.discounted_payback);
    }

    #[test]
    fn a_cover_that_saves_every_year((base, alternative) in simple_pair(), terms in terms()) {
        let got = Comparison::new(&base, &alternative, &terms).unwrap();
        let discount = terms.discount_rate();
        if let (Some(years), true) = (got.discounted_payback.years(), discount >= 0.0) {
            let simple = got.simple_payback.years();
            prop_assert!(simple.is_some_and(|simple| simple <= years + 1e-9), "{:?}", simple);
            prop_assert!(years <= f64::from(terms.years()) + 1e-9);
        }
        // It has paid for itself within the period exactly if it saves on the whole.
        prop_assume!(got.net_saving.abs() > 1e-6 * got.extra_investment);
        prop_assert_eq!(got.discounted_payback.years().is_some(), got.net_saving > 0.0);
        if let RateOfReturn::Rate(rate) = got.rate_of_return {
            prop_assert_eq!(rate > discount, got.net_saving > 0.0);
        }
    }

    #[test]
    fn costs_add_up_over_the_parts(whole in plan(), terms in terms()) {
        let cost = |plan: &Plan| CashFlow::new(plan, &terms).unwrap().life_cycle_cost();
        let parts = whole.parts.iter().map(|part| Plan {
            parts: vec![part.clone()],
            ..Plan::default()
        });
        let energies = whole.energy.iter().map(|energy| Plan {
            energy: vec![energy.clone()],
            ..Plan::default()
        });
        let rest = Plan { parts: vec![], energy: vec![], ..whole.clone() };
        let pieces: Vec<f64> =
            parts.chain(energies).chain([rest]).map(|plan| cost(&plan)).collect();
        let scale = pieces.iter().map(|piece| piece.abs()).sum();
        prop_assert!(close(cost(&whole), pieces.iter().sum(), scale));
    }
}

//! Sums worked by hand.

use std::sync::Arc;

use super::costs::{self, ItemIs};
use super::*;
use crate::ranking::RankingPlan;
use crate::tables::Values;

mod handbook_135;

/// A house with a cover of some cost and life and gallons of 100 MJ at 2, over 10 years at 0 %.
fn house(cost: f64, life_years: u32, gallons: f64) -> CaseMoney {
    let cover = StatedPart {
        name: "cover".to_owned(),
        cost,
        is_eligible: true,
        life_years,
        age_years: 0,
        replacement: cost,
        rise: 0.0,
        residual: None,
    };
    let propane = Carrier {
        name: "propane".to_owned(),
        unit: "gal".to_owned(),
        price: 2.0,
        rise: 0.0,
        energy_j_per_unit: 100e6,
        emission_factors: None,
        factor_sources: Vec::new(),
    };
    let stated = Money {
        terms: StatedTerms {
            years: 10,
            ..StatedTerms::default()
        },
        currency: "USD".to_owned(),
        parts: vec![cover],
        carriers: vec![propane],
        ..Money::default()
    };
    CaseMoney {
        stated: Arc::new(stated),
        energy_j: vec![gallons * 100e6],
        sun_inside_j: 1e12,
        unmet_j: 0.0,
        floor_area_m2: 100.0,
    }
}

fn is(got: Option<f64>, expected: f64) -> bool {
    got.is_some_and(|got| (got - expected).abs() < 1e-9 * expected.abs().max(1.0))
}

#[test]
fn rows_add_up_to_the_life_cycle_cost() {
    // 800 now, in year 4 and in year 8, half of which is left; 100 gallons at 2 for 10 years.
    let rows = costs::rows(1, Some(&house(800.0, 4, 100.0)));
    let worth = |row: &costs::CostRow| row.amounts.map(|of| of.present_value);
    let whole = rows.iter().find(|row| row.item_is == ItemIs::LifeCycleCost);
    assert!(is(whole.and_then(worth), 3.0 * 800.0 - 400.0 + 2000.0));
    let items = rows
        .iter()
        .filter(|row| row.item_is != ItemIs::LifeCycleCost);
    assert!(is(Some(items.filter_map(worth).sum()), 4000.0));
}

fn two_designs(draws: usize) -> RankingPlan {
    let text = r#"{ "axes": [{ "name": "cover", "labels": ["film", "sheet"], "is_design": true,
        "is_weather_file": false }], "draws": 1, "baseline": [0] }"#;
    let mut plan: RankingPlan = serde_json::from_str(text).expect("a plan");
    plan.draws = draws;
    plan
}

fn saved(plan: &RankingPlan, cases: paired::Cases<'_>) -> Vec<savings::SavingsRow> {
    savings::rows(&paired::all(&plan.grid(), plan, cases))
}

/// Three sheets, one a draw, against the same film.
fn of_three_draws(film: &CaseMoney, sheets: &[CaseMoney; 3]) -> Vec<savings::SavingsRow> {
    let films = [Some(film); 3];
    let cases: Vec<_> = films.into_iter().chain(sheets.iter().map(Some)).collect();
    saved(&two_designs(3), &cases)
}

fn found(
    rows: &[savings::SavingsRow],
    measure: &str,
    carrier: Option<&str>,
) -> savings::SavingsRow {
    let mut rows = rows.iter();
    let row = rows.find(|row| row.measure == measure && row.carrier.as_deref() == carrier);
    row.unwrap_or_else(|| panic!("no {measure}")).clone()
}

#[test]
fn savings_by_hand() {
    let (film, sheet) = (house(800.0, 4, 1000.0), house(5800.0, 10, 600.0));
    let plan = two_designs(1);
    let rows = saved(&plan, &[Some(&film), Some(&sheet)]);
    let median = |measure: &str, carrier| found(&rows, measure, carrier).median;
    assert!(is(median("amount", Some("propane")), 400.0));
    assert!(is(
        median("energy", Some("all carriers")),
        400.0 * 100.0 / 3.6
    ));
    assert!(is(median("energy cost", Some("all carriers")), 800.0));
    assert!(is(median("site energy saved", Some("all carriers")), 40.0));
    assert!(is(median("extra first cost", None), 5000.0));
    // 800 a year and the film of year 4: 4,800 to the end of year 5, and 200 more in a quarter year.
    assert!(is(median("simple payback", None), 5.25));
    // 8,000 of fuel, 1,600 of film, less 400 that is left of it, for 5,000.
    assert!(is(
        median("net saving", None),
        8000.0 + 1600.0 - 400.0 - 5000.0
    ));
    // 5,800 of eligible cost by 800 a year.
    let rule = found(&rows, "payback of eligible costs", None);
    assert!(is(rule.median, 7.25) && rule.band == Some("4 to below 8 years"));
    let saved = found(&rows, "site energy saved", Some("all carriers"));
    assert_eq!(
        (saved.band, saved.points),
        (Some("35 to below 50 %"), Some(10.0))
    );
}

/// 1,000 for 300 a year: 100 are missing after three years, the cover bought again in year 4 puts it off
/// by 1,000 to 200 in the seventh year, and that of year 8 takes the balance below zero once more.
#[test]
fn a_short_life_is_told_beside_its_payback() {
    let (before, after) = (house(0.0, 10, 400.0), house(1000.0, 4, 250.0));
    let rows = saved(&two_designs(1), &[Some(&before), Some(&after)]);
    let payback = found(&rows, "simple payback", None);
    assert!(is(payback.median, 6.0 + 200.0 / 300.0));
    assert_eq!(
        (payback.reached_share, payback.holds_share),
        (Some(1.0), Some(0.0))
    );
    // 1,500 for 300 a year would take five, with a cover that lasts four.
    let dearer = house(1500.0, 4, 250.0);
    let rows = saved(&two_designs(1), &[Some(&before), Some(&dearer)]);
    let short = found(&rows, "life shorter than payback", None);
    assert_eq!(
        (short.median, short.note.as_deref()),
        (Some(4.0), Some("cover"))
    );
    // Never, and said so.
    let useless = house(1500.0, 10, 400.0);
    let rows = saved(&two_designs(1), &[Some(&before), Some(&useless)]);
    let never = found(&rows, "simple payback", None);
    assert_eq!((never.median, never.reached_share), (None, Some(0.0)));
    assert!(never.note.expect("a note").contains("never"));
}

/// 400 gallons of 100 MJ at 60 kg of carbon dioxide and 2 of methane a GJ are 2,400 kg and 80 kg.
#[test]
fn gases_are_counted_where_their_factors_are_known() {
    let (mut film, mut sheet) = (house(800.0, 4, 1000.0), house(5800.0, 10, 600.0));
    let unknown = saved(&two_designs(1), &[Some(&film), Some(&sheet)]);
    let row = found(&unknown, "carbon dioxide", Some("all carriers"));
    assert_eq!(row.median, None);
    let note = row.note.expect("a note");
    assert!(note.contains("fuels.propane.carbon_dioxide"), "{note}");
    let propane = crate::case::EmissionFactors {
        carbon_dioxide_kg_j: 60e-9,
        is_biogenic: false,
        methane_kg_j: Some(2e-9),
        nitrous_oxide_kg_j: None,
    };
    for house in [&mut film, &mut sheet] {
        let stated = Arc::make_mut(&mut house.stated);
        stated.carriers[0].emission_factors = Some(propane);
        stated.carriers[0].factor_sources = vec!["a table of factors".to_owned()];
    }
    let rows = saved(&two_designs(1), &[Some(&film), Some(&sheet)]);
    let row = found(&rows, "carbon dioxide", Some("all carriers"));
    assert!(is(row.median, 2400.0), "{row:?}");
    let row = found(&rows, "greenhouse gases", Some("all carriers"));
    assert!(is(row.median, 2400.0 + 28.0 * 80.0), "{row:?}");
    let note = row.note.expect("a note");
    for words in [
        "methane 28, nitrous oxide 265",
        "Factors of propane: a table of factors",
        "only as far as its carbon dioxide is given with them",
    ] {
        assert!(note.contains(words), "{note}");
    }
    assert!(
        rows.iter()
            .all(|row| row.measure != "biogenic carbon dioxide")
    );
}

#[test]
fn currencies_and_terms_that_differ_are_not_compared() {
    let (film, mut sheet) = (house(800.0, 4, 1000.0), house(5800.0, 10, 600.0));
    Arc::make_mut(&mut sheet.stated).currency = "EUR".to_owned();
    let rows = saved(&two_designs(1), &[Some(&film), Some(&sheet)]);
    assert_eq!(rows.len(), 1);
    assert!(rows[0].note.as_deref().expect("a note").contains("EUR"));
}

#[test]
fn years_run_to_what_is_saved_in_all() {
    let (film, sheet) = (house(800.0, 4, 1000.0), house(5800.0, 10, 600.0));
    let (tables, digest) = joined(&two_designs(1), &[Some(&film), Some(&sheet)]);
    let flow = tables
        .iter()
        .find(|table| table.name == "cash_flow")
        .expect("written");
    assert_eq!(flow.row_count(), 22);
    let crate::tables::Values::Number(so_far) = &flow
        .column("saved_so_far_in_currency")
        .expect("there")
        .values
    else {
        panic!("numbers")
    };
    // The baseline has none; -5,000 at first, 8,000 of fuel and two films of 800 to the end.
    assert_eq!(so_far[10], None);
    assert_eq!((so_far[11], so_far[21]), (Some(-5000.0), Some(4600.0)));
    let digest = digest.expect("money");
    let design = &digest.settings[0].designs[0];
    assert_eq!(design.payback_years.median, Some(5.25));
    assert_eq!(&*digest.settings[0].against, "film");
}

#[test]
fn draws_are_paired_and_a_failed_case_drops_out_with_its_draw() {
    let base = [1000.0, 2000.0, 3000.0].map(|gallons| house(0.0, 4, gallons));
    let design = [900.0, 1800.0, 2400.0].map(|gallons| house(100.0, 4, gallons));
    let cases = [
        Some(&base[0]),
        Some(&base[1]),
        Some(&base[2]),
        None,
        Some(&design[1]),
        Some(&design[2]),
    ];
    let plan = two_designs(3);
    let rows = saved(&plan, &cases);
    let amount = found(&rows, "amount", Some("propane"));
    assert_eq!(amount.draws, 2);
    // 200 and 600 saved.
    assert!(is(amount.median, 400.0));
    // 10 and 20 % of the energy: half of the draws below the lowest edge.
    let bands = rows
        .iter()
        .filter(|row| row.measure == "draws by energy saved");
    let shares: Vec<Option<f64>> = bands.map(|row| row.share_of_draws).collect();
    assert_eq!(shares, [Some(0.5), Some(0.5), Some(0.0), Some(0.0)]);
}

/// A sheet for 3,000 to 6,000 that spares 500 a year of upkeep and 400 gallons: over ten years it gains
/// if a gallon costs more than (price - 5,000) / 4,000, so the first one does whatever that is.
#[test]
fn a_draw_that_gains_at_any_price_ranks_below_the_others() {
    let mut film = house(0.0, 10, 1000.0);
    Arc::make_mut(&mut film.stated).upkeep_year = 500.0;
    let even_price = |sheets: [f64; 3]| {
        let sheets = sheets.map(|cost| house(cost, 10, 600.0));
        found(
            &of_three_draws(&film, &sheets),
            "break-even price",
            Some("propane"),
        )
    };
    let mostly = even_price([3000.0, 5500.0, 6000.0]);
    assert!(is(mostly.median, 0.125), "{mostly:?}");
    assert!(is(mostly.reached_share, 2.0 / 3.0));
    assert_eq!(mostly.note.as_deref(), Some("it gains above that price"));
    let seldom = even_price([3000.0, 4000.0, 6000.0]);
    assert_eq!(seldom.median, None);
    assert!(is(seldom.reached_share, 1.0 / 3.0));
    assert!(seldom.note.expect("a note").contains("whatever that costs"));
}

/// One draw of three saves what 1,000 earn at a rate; in the others nothing comes back.
#[test]
fn draws_without_return_rank_below_the_others() {
    let film = house(0.0, 10, 1000.0);
    let sheets = [1000.0, 1000.0, 600.0].map(|gallons| house(1000.0, 10, gallons));
    let rate = found(
        &of_three_draws(&film, &sheets),
        "internal rate of return",
        None,
    );
    assert_eq!(rate.median, None);
    assert!(is(rate.reached_share, 1.0 / 3.0));
    assert!(rate.note.expect("a note").contains("less comes back"));
}

/// Of three draws two cost no more than the film and gain: they are better than any ratio or rate.
#[test]
fn draws_that_cost_no_more_rank_above_the_others() {
    let film = house(1000.0, 10, 1000.0);
    let sheets = [900.0, 1000.0, 3000.0].map(|cost| house(cost, 10, 600.0));
    let rows = of_three_draws(&film, &sheets);
    for measure in [
        "saving-to-investment ratio",
        "adjusted rate of return",
        "internal rate of return",
    ] {
        let row = found(&rows, measure, None);
        assert_eq!(row.median, None, "{measure}");
        assert!(is(row.reached_share, 1.0 / 3.0), "{measure}");
        let note = row.note.expect("a note");
        assert!(note.contains("nothing more is spent on the day"), "{note}");
    }
}

/// Two of three draws pay back: the median is the longer of the two.
#[test]
fn a_payback_of_most_draws_is_told() {
    let film = house(0.0, 10, 1000.0);
    let sheets = [800.0, 1600.0, 16_000.0].map(|cost| house(cost, 10, 600.0));
    let payback = found(&of_three_draws(&film, &sheets), "simple payback", None);
    assert!(is(payback.median, 2.0), "{payback:?}");
    assert!(is(payback.reached_share, 2.0 / 3.0));
}

/// 1,000 at 0 % in ten payments of 100, however much inflation takes off them in money of year 0.
#[test]
fn a_loan_is_told_as_the_bank_asks_for_it() {
    let mut film = house(1000.0, 10, 100.0);
    let stated = Arc::make_mut(&mut film.stated);
    stated.terms.inflation = 0.25;
    stated.loan = Some(StatedLoan {
        sum: 1000.0,
        rate: 0.0,
        years: 10,
    });
    let rows = costs::rows(1, Some(&film));
    let paid = rows.iter().find(|row| row.item_is == ItemIs::LoanPayments);
    // A year later 100 buy what 80 did.
    assert!(is(paid.and_then(|row| Some(row.amounts?.year_1)), 80.0));
    let table = costs::table(&rows);
    let last = |name: &str| {
        let column = table.column(name).expect("a column");
        match &column.values {
            Values::Number(values) => values.last().copied().flatten(),
            Values::Whole(values) => values.last().copied().flatten().map(|value| value as f64),
            Values::Text(_) => None,
        }
    };
    assert!(is(last("price_in_currency_a_unit"), 100.0));
    assert!(is(last("life_years"), 10.0));
}

#[test]
fn nothing_to_compare_is_said() {
    let film = house(800.0, 4, 1000.0);
    let plan = two_designs(1);
    let rows = saved(&plan, &[Some(&film), None]);
    assert_eq!(rows.len(), 1);
    let note = rows[0].note.as_deref().expect("a note");
    assert!(note.contains("no draw ran with both"), "{note}");
    // One design has its years, and nothing to save against.
    let (tables, digest) = joined(&RankingPlan::default(), &[Some(&film)]);
    assert_eq!(
        tables.iter().map(|table| table.name).collect::<Vec<_>>(),
        ["cash_flow"]
    );
    assert_eq!(tables[0].row_count(), 11);
    assert!(digest.expect("money").settings.is_empty());
}

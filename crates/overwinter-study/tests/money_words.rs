//! `[money]` of a scenario: what it becomes, and every mistake with its line, key and remedy.

#![allow(missing_docs, reason = "a test target")]

mod support;

use overwinter_study::money::{Basis, Money};
use support::{checked, problems};

/// A sound scenario; `[money]` is line 16.
const GOOD: &str = r#"title = "Sound"
[weather]
file = "WEATHER"
[house]
width = "30 ft"
length = "96 ft"
[cover]
roof = "inflated pair"
[hold]
temp = "40 degF"
[[heater]]
fuel = "propane"
[prices]
propane = "2.10 USD/gal"
electricity = "0.14 USD/kWh"
[money]
years = 8
rate = "4 %"
upkeep = "150 USD/yr"
grant = "200 USD"
[money.rise]
propane = "1 %"
[money.parts.cover]
cost = "900 USD"
life = 4
[money.parts.labour]
cost = "300 USD"
life = 8
eligible = false
"#;

fn money(text: &str, case: usize) -> Money {
    let checked = checked(text);
    let case = checked.study.cases.get(case).expect("a case").into_owned();
    Money::clone(&case.money.expect("money is counted"))
}

fn is(got: f64, expected: f64) -> bool {
    (got - expected).abs() < 1e-9
}

#[test]
fn what_is_stated_is_counted() {
    let money = money(GOOD, 0);
    assert_eq!(money.terms.years, 8);
    assert!(is(money.terms.rate, 0.04) && is(money.terms.inflation, 0.0));
    assert_eq!(money.terms.basis, Basis::Constant);
    assert_eq!(money.currency, "USD");
    assert!(is(money.upkeep_year, 150.0) && is(money.grant, 200.0));
    assert!(is(money.eligible_cost(), 900.0) && is(money.first_cost(), 1000.0));
    assert_eq!(money.light_value_percent_year, None);
    assert_eq!(money.loan, None);
    let names: Vec<&str> = money.parts.iter().map(|part| part.name.as_str()).collect();
    assert_eq!(names, ["cover", "labour"]);
    assert!(is(money.parts[0].replacement, 900.0) && money.parts[0].is_eligible);
    assert!(!money.parts[1].is_eligible && money.parts[1].residual.is_none());
    // The heater and the blower draw electricity.
    let carriers: Vec<&str> = money.carriers.iter().map(|one| one.name.as_str()).collect();
    assert_eq!(carriers, ["propane", "electricity"]);
    assert!(is(money.carriers[0].price, 2.10) && is(money.carriers[0].rise, 0.01));
    let sources = money.carriers[0].factor_sources.join("; ");
    for words in ["Environmental Protection Agency", "Table C-2"] {
        assert!(sources.contains(words), "{sources}");
    }
    assert_eq!(money.carriers[1].emission_factors, None);
}

/// Kilograms of a joule: 1 MWh is 3.6 GJ, a pound 0.45359237 kg.
#[test]
fn what_electricity_gives_off_is_as_stated() {
    let with = |keys: &str| format!("{GOOD}\n[fuels.electricity]\n{keys}");
    let factors = |text: &str| {
        let factors = money(text, 0).carriers[1].emission_factors;
        factors.expect("given")
    };
    let bare = factors(&with("carbon_dioxide = \"0.36 kg/kWh\""));
    assert!(is(bare.carbon_dioxide_kg_j * 1e6, 0.1) && !bare.is_biogenic);
    assert_eq!((bare.methane_kg_j, bare.nitrous_oxide_kg_j), (None, None));
    let whole = factors(&with(
        "carbon_dioxide = \"800 lb/MWh\"\nmethane = \"0.06 lb/MWh\"\nnitrous_oxide = \"3 g/MMBtu\"",
    ));
    let lb_mwh = 0.453_592_37 / 3.6e9;
    assert!(is(whole.carbon_dioxide_kg_j * 1e6, 800.0 * lb_mwh * 1e6));
    let methane_kg_j = whole.methane_kg_j.expect("given");
    assert!(is(methane_kg_j / lb_mwh, 0.06), "{methane_kg_j}");
}

#[test]
fn methane_without_carbon_dioxide_asks_for_it() {
    let text = format!("{GOOD}\n[fuels.electricity]\nmethane = \"0.06 lb/MWh\"\n");
    let problems = problems(&text);
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert_eq!(problems[0].key, "fuels.electricity.carbon_dioxide");
    assert!(problems[0].message.contains("0.4 kg/kWh"), "{problems:?}");
}

#[test]
fn nothing_is_counted_without_money() {
    let start = GOOD.find("[money]").expect("there");
    let checked = checked(&GOOD[..start]);
    assert!(checked.study.cases.get(0).expect("a case").money.is_none());
    let mut keys = checked.study.defaults.iter().map(|default| &default.key);
    assert!(!keys.any(|key| key.starts_with("money")));
}

#[test]
fn defaults_say_what_is_assumed() {
    let text = GOOD
        .replace("years = 8\n", "")
        .replace("rate = \"4 %\"\n", "");
    let checked = checked(&text);
    let default = |key: &str| {
        let mut defaults = checked.study.defaults.iter();
        let found = defaults.find(|default| default.key == key);
        found.map(|default| default.value.as_str())
    };
    assert_eq!(default("money.years"), Some("10"));
    assert_eq!(default("money.rate"), Some("3 %"));
    assert_eq!(default("money.basis"), Some("constant"));
    assert_eq!(default("money.parts.cover.replacement"), Some("900 USD"));
    assert_eq!(default("money.parts.cover.residual"), Some("straight line"));
    assert_eq!(default("money.rise.electricity"), Some("0 %"));
    // Of no use without a loan and in constant money, and of a fuel that is not burnt.
    assert_eq!(default("money.inflation"), None);
    assert_eq!(default("money.rise.heating_oil"), None);
}

#[test]
fn an_axis_sets_costs_and_parts_with_the_cover() {
    let axis = r#"
[[axis]]
name = "cover"
[[axis.alternative]]
label = "pair"
set = { "cover.roof" = "inflated pair" }
[[axis.alternative]]
label = "sheet"
set = { "cover.roof" = "twin-wall sheet 8 mm", "money.parts.cover.cost" = "5200 USD", money.parts.cover.life = 15, money.parts.bars = { cost = "400 USD", life = 20 } }
"#;
    let text = format!("{GOOD}{axis}");
    let [pair, sheet] = [0, 1].map(|case| money(&text, case));
    assert!(is(pair.first_cost(), 1000.0) && is(sheet.first_cost(), 5700.0));
    assert_eq!(sheet.parts[0].life_years, 15);
    assert_eq!([pair.parts.len(), sheet.parts.len()], [2, 3]);
}

#[test]
fn parts_may_be_drawn() {
    let sampling = r#"
[sampling]
draws = 2
[[sampling.input]]
key = "money.parts.cover.cost"
change = "times"
uniform = { low = 0.9, high = 1.1 }
[[sampling.input]]
key = "prices.propane"
uniform = { low = "1.50 USD/gal", high = "3 USD/gal" }
"#;
    let text = format!("{GOOD}{sampling}");
    let [first, second] = [0, 1].map(|case| money(&text, case));
    let costs = [&first, &second].map(|of| of.parts[0].cost);
    assert!(
        costs.iter().all(|cost| (810.0..=990.0).contains(cost)),
        "{costs:?}"
    );
    let differ = |a: f64, b: f64| (a - b).abs() > 1e-6;
    assert!(differ(costs[0], costs[1]));
    assert!(differ(first.carriers[0].price, second.carriers[0].price));
}

#[test]
fn a_loan_takes_a_sum_or_a_share() {
    let with = |loan: &str| {
        let loan = format!("[money.loan]\n{loan}\nrate = \"8 %\"\nyears = 5\n");
        money(&format!("{GOOD}{loan}"), 0)
    };
    let half = with("share = \"50 %\"");
    assert!(is(half.loan.expect("a loan").sum, 500.0));
    // Its payments are fixed in current money.
    assert!(is(half.terms.inflation, 0.02));
    assert!(is(
        with("sum = \"750 USD\"").loan.expect("a loan").sum,
        750.0
    ));
}

#[test]
fn an_unheated_house_needs_no_price() {
    let text = GOOD
        .replace("[[heater]]\nfuel = \"propane\"\n", "")
        .replace("inflated pair", "single film")
        .replace(
            "propane = \"2.10 USD/gal\"\nelectricity = \"0.14 USD/kWh\"\n",
            "",
        )
        .replace("[money.rise]\npropane = \"1 %\"\n", "")
        .replace("[hold]\ntemp = \"40 degF\"\n", "")
        .replace("USD", "EUR");
    let money = money(&text, 0);
    assert!(money.carriers.is_empty());
    assert_eq!(money.currency, "EUR");
}

/// A changed line gives a problem on that line, with its key and these words.
#[track_caller]
fn check_line(old: &str, new: &str, key: &str, wanted: &[&str]) {
    assert!(GOOD.contains(old), "{old}");
    let line = GOOD[..GOOD.find(old).expect("checked")]
        .matches('\n')
        .count()
        + 1;
    let problems = problems(&GOOD.replacen(old, new, 1));
    let problem = problems.iter().find(|problem| problem.key == key);
    let problem = problem.unwrap_or_else(|| panic!("{new}: {problems:?}"));
    let message = problem.to_string();
    for word in wanted {
        assert!(message.contains(word), "{new}: {message}");
    }
    let lines = line..=line + new.matches('\n').count();
    assert!(
        lines.contains(&problem.line),
        "{new}: line {}",
        problem.line
    );
}

#[test]
fn mistakes_are_named_with_their_line() {
    let cover = "cost = \"900 USD\"";
    check_line(
        "life = 4",
        "life = 0",
        "money.parts.cover.life",
        &["1 to 100"],
    );
    check_line(
        "life = 4",
        "life = 4.5",
        "money.parts.cover.life",
        &["whole number"],
    );
    check_line(
        "life = 4",
        "life = 4\nage = 4",
        "money.parts.cover.age",
        &["younger than its life"],
    );
    check_line(
        "life = 4",
        "life = 4\nage = 2\nreplacement = \"900 USD\"",
        "money.parts.cover.age",
        &["paid for", "age = 0"],
    );
    check_line(
        cover,
        "cost = 900",
        "money.parts.cover.cost",
        &["900", "text in quotes"],
    );
    check_line(
        cover,
        "cost = \"900\"",
        "money.parts.cover.cost",
        &["3400 USD"],
    );
    check_line(
        cover,
        "cost = \"-900 USD\"",
        "money.parts.cover.cost",
        &["0 to"],
    );
    check_line(
        cover,
        "cost = \"900 EUR\"",
        "money.parts.cover.cost",
        &["the first one is in USD"],
    );
    check_line(
        cover,
        "costs = \"900 USD\"",
        "money.parts.cover.costs",
        &["did you mean `cost`"],
    );
    check_line("years = 8", "years = -3", "money.years", &["1 to 100"]);
    check_line("years = 8", "years = 0", "money.years", &["1 to 100"]);
    check_line(
        "rate = \"4 %\"",
        "rate = \"400 %\"",
        "money.rate",
        &["-50 % to 100 %"],
    );
    check_line(
        "rate = \"4 %\"",
        "rate = 4",
        "money.rate",
        &["did you mean \"4 %\""],
    );
    check_line(
        "rate = \"4 %\"",
        "basis = \"nominal\"",
        "money.basis",
        &["constant, current"],
    );
    check_line(
        "upkeep = \"150 USD/yr\"",
        "upkeep = \"150 USD\"",
        "money.upkeep",
        &["150 USD/yr"],
    );
    check_line(
        "grant = \"200 USD\"",
        "grant = \"901 USD\"",
        "money.grant",
        &["eligible first costs", "900"],
    );
    // Without an eligible part there is nothing that a grant could pay.
    let none = problems(&GOOD.replacen("life = 4", "life = 4\neligible = false", 1));
    assert!(none[0].to_string().contains("here 0;"), "{}", none[0]);
    check_line(
        "propane = \"1 %\"",
        "coal = \"1 %\"",
        "money.rise.coal",
        &["unknown key"],
    );
    check_line("years = 8", "span = 8", "money.span", &["unknown key"]);
}

#[test]
fn what_is_missing_is_asked_for() {
    let missing = |text: &str, key: &str, words: &str| {
        let problems = problems(text);
        let problem = problems.iter().find(|problem| problem.key == key);
        let problem = problem.unwrap_or_else(|| panic!("{key}: {problems:?}"));
        assert!(problem.message.starts_with("missing: give "), "{problem}");
        assert!(problem.message.contains(words), "{problem}");
        problem.line
    };
    let without = |gone: &str| GOOD.replacen(gone, "", 1);
    let price = without("propane = \"2.10 USD/gal\"\n");
    assert_eq!(missing(&price, "prices.propane", "USD/gal"), 13);
    let price = without("electricity = \"0.14 USD/kWh\"\n");
    missing(&price, "prices.electricity", "USD/kWh");
    missing(&without("life = 4\n"), "money.parts.cover.life", "life");
    missing(
        &without("cost = \"900 USD\"\n"),
        "money.parts.cover.cost",
        "first cost",
    );
    let aged = GOOD.replacen("life = 4", "life = 4\nage = 1", 1);
    missing(
        &aged,
        "money.parts.cover.replacement",
        "buying a part again",
    );
    let current = GOOD.replacen("rate = \"4 %\"", "basis = \"current\"", 1);
    missing(&current, "money.rate", "rate a year");
    let loan = format!("{GOOD}[money.loan]\n");
    for key in ["sum", "rate", "years"] {
        missing(&loan, &format!("money.loan.{key}"), "");
    }
}

#[test]
fn designs_do_not_differ_in_study_period_or_rate() {
    let axis = "[[axis]]\nname = \"rate\"\nkey = \"money.rate\"\nvalues = [\"3 %\", \"7 %\"]\n";
    let text = format!("{GOOD}{axis}");
    let problems = problems(&text);
    assert!(
        problems[0].message.contains("under the same `money.rate`"),
        "{problems:?}"
    );
    let covers = "[[axis]]\nname = \"cover\"\nkey = \"cover.roof\"\nvalues = [\"single film\", \"inflated pair\"]\n";
    let within = format!("{text}{covers}[compare]\ndesigns = \"cover\"\n");
    assert_eq!(checked(&within).study.cases.len(), 4);
}

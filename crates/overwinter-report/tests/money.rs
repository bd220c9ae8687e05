//! What the page says of money is what the tables of money say.
//!
//! Expected cells are rounded by hand from the invented values of `support/money.rs`, as in `numbers.rs`.

mod support;

use serde_json::json;
use support::browser::Document;
use support::covers::{covers, covers_with_costs};
use support::folder::Folder;
use support::house::house;
use support::page_of;

fn assert_table(page: &Document, caption: &str, expected: &[&str]) {
    let rows: Vec<String> = page
        .table(caption)
        .iter()
        .map(|row| row.join(" | "))
        .collect();
    assert_eq!(rows, expected, "{caption}");
}

fn gap_texts(folder: &Folder) -> Vec<String> {
    let page = page_of(folder);
    page.gaps()
        .iter()
        .map(support::browser::Element::text)
        .collect()
}

#[test]
fn what_designs_cost_is_that_of_costs() {
    let page = page_of(&covers_with_costs());
    assert_table(
        &page,
        "Costs of 10 years as one sum on the day of buying (present value), USD",
        &[
            "Design | bought | grant | bought again | value left | energy | upkeep | all together",
            "single film, cold plain | 1,230 | – | 2,020 | – | 36,000 | – | 39,300",
            // Two parts 2,345.6 + 210.2; two carriers 25,275.6 + 597.1.
            "double film, cold plain | 2,560 | −500 | 3,840 | −26 | 25,900 | 439 | 32,200",
            "single film, mild coast | 1,230 | – | 2,020 | – | 36,000 | – | 39,300",
            "double film, mild coast | 2,560 | −500 | 3,840 | −26 | 25,900 | 439 | 32,200",
        ],
    );
    let parts = page.table("Parts that are bought");
    assert_eq!(
        parts[1],
        ["single film, cold plain: film", "1,230", "4", "no"]
    );
    assert_eq!(
        parts[2],
        ["double film, cold plain: film", "2,350", "4", "yes"]
    );
    assert_eq!(
        parts[3],
        ["double film, cold plain: blower", "210", "12", "no"]
    );
    let energy = page.table("Energy that is bought");
    assert_eq!(
        energy[1],
        [
            "single film, cold plain: propane",
            "2,010 gal",
            "2.1 USD/gal",
            "4,220 USD"
        ]
    );
    assert_eq!(
        energy[3],
        [
            "double film, cold plain: electricity",
            "500 kWh",
            "0.14 USD/kWh",
            "70 USD"
        ]
    );
    assert_table(
        &page,
        "Loans, which are not counted",
        &[
            "Design | lent, USD | asked for by the bank each year, USD | payments | in all, USD",
            "double film, cold plain | 1,000 | 240 | 5 | 1,200",
            "double film, mild coast | 1,000 | 240 | 5 | 1,200",
        ],
    );
    assert!(page.text().contains(
        "Counted over 10 years in USD, discounted at 3 % a year in constant money, that of the year of buying."
    ));
}

#[test]
fn the_balance_by_year_is_that_of_cash_flow() {
    let page = page_of(&covers_with_costs());
    assert_table(
        &page,
        "Balance of each upgrade against single film",
        &[
            "Year | double film",
            "0 | −821",
            "1 | −251",
            "2 | 319",
            "3 | 889",
        ],
    );
    let text = page.text();
    assert!(
        text.contains("After 3 years double film is 889 USD ahead of single film."),
        "{text}"
    );
    let svg = page.by_id("balance-0-title").expect("a chart");
    assert!(svg.text().starts_with("Balance of each upgrade"));
    let named = page
        .all("svg")
        .iter()
        .any(|svg| svg.text().contains("single film (even)"));
    assert!(named, "the baseline is named at its line");
}

#[test]
fn saving_and_payback_are_those_of_savings() {
    let page = page_of(&covers_with_costs());
    assert_table(
        &page,
        "Saving and payback against single film, mild coast",
        &[
            "Measure | double film",
            "extra cost on the day of buying | 821 USD",
            "saved in the first year | 1,140 USD (949 to 1,450)",
            "net saving over all years, as one sum on the day of buying | 7,100 USD (5,000 to 9,000)",
            "saving for each unit of money invested | 9.64",
            "internal rate of return | several rates would be one",
            "price at which it neither gains nor loses: propane | 0.91 USD/gal",
            "simple payback | 2.13 years (1.5 to 3.2), which holds to the end in 1 of 3 draws",
            "payback with interest (discounted) | not within 10 years, coming back in 2 of 3 draws",
            "payback of eligible costs, as a grant counts it | 1.97 years",
        ],
    );
    let worn = "Double film: the part \"film\" lasts 4 years and wears out before the upgrade has paid for itself \
                in 1 of 3 draws.";
    let cautions = page
        .elements()
        .into_iter()
        .filter(|element| element.has_class("caution"));
    assert_eq!(
        cautions
            .filter(|caution| caution.text().contains(worn))
            .count(),
        2
    );
}

#[test]
fn savings_are_told_by_carrier_in_every_unit() {
    let page = page_of(&covers_with_costs());
    let saved = page.table("Saved in a year at the site, by carrier");
    assert_eq!(
        saved[0],
        [
            "Design and carrier",
            "as it is bought",
            "MMBtu",
            "kWh",
            "USD",
            "greenhouse gases, kg CO₂e"
        ]
    );
    assert_eq!(
        saved[1..4]
            .iter()
            .map(|row| row.join(" | "))
            .collect::<Vec<_>>(),
        [
            "double film, cold plain: propane | 600 gal (560 to 634) | 54.9 (51.2 to 58) | 16,100 (15,000 to 17,000) | 1,260 | –",
            "double film, cold plain: electricity | – | −1.71 | −500 | – | –",
            "double film, cold plain: all carriers | – | 53.2 (49.5 to 56.3) | 15,600 (14,500 to 16,500) | 1,190 (1,000 to 1,500) | 3,460",
        ]
    );
    let text = page.text();
    assert!(
        text.contains("Greenhouse gases: set of potentials of a test"),
        "{text}"
    );
    assert!(text.contains("carbon dioxide, methane and nitrous oxide"));
    let share = page.table("Share of the site energy that is saved");
    assert_eq!(
        share[1],
        [
            "double film, cold plain",
            "28.9 (26 to 36)",
            "20 to below 35 %",
            "5"
        ]
    );
    let bands = page.table("Draws by the share of site energy saved");
    assert_eq!(
        bands[2],
        ["double film, cold plain: 20 to below 35 %", "5", "66.7"]
    );
}

#[test]
fn the_annex_sets_baseline_beside_improved_and_parts_eligible_costs() {
    let page = page_of(&covers_with_costs());
    let both = page.table("Baseline and improved, of a year");
    assert_eq!(
        both[1..5]
            .iter()
            .map(|row| row.join(" | "))
            .collect::<Vec<_>>(),
        [
            "double film, cold plain: propane, gal | 2,010 | 1,410 | 600",
            "double film, cold plain: propane, MMBtu | 184 | 129 | 54.9",
            "double film, cold plain: propane, kWh | 53,900 | 37,800 | 16,100",
            "double film, cold plain: propane, USD | 4,220 | 2,960 | 1,260",
        ]
    );
    let whole: Vec<String> = both[10..14].iter().map(|row| row.join(" | ")).collect();
    assert_eq!(
        whole,
        [
            "double film, cold plain: energy per floor area, kBtu/ft2 | 85.4 | 60.7 | 24.7",
            "double film, cold plain: energy per floor area, kWh/m2 | 270 | 192 | 77.9",
            "double film, cold plain: carbon dioxide, kg | 11,600 | 8,110 | 3,450",
            "double film, cold plain: greenhouse gases, kg CO₂e | 11,600 | 8,140 | 3,460",
        ]
    );
    let eligible = page.table("First costs that count");
    assert_eq!(eligible[1], ["single film, cold plain", "0", "1,230", "–"]);
    assert_eq!(
        eligible[2],
        ["double film, cold plain", "2,350", "210", "500"]
    );
    // What is 0 in every year has no column.
    let payments =
        page.table("Payments by year of double film, cold plain, USD, of the draw in the middle");
    assert_eq!(payments[0], ["Year", "saved"]);
    assert_eq!(payments[2], ["1", "570"]);
    assert_eq!(payments.len(), 5);
    let scores = page.table("What a rural energy grant scores");
    assert_eq!(
        scores[1],
        [
            "double film, cold plain",
            "28.9 (26 to 36)",
            "5",
            "1.97",
            "15",
            "106,000",
            "10"
        ]
    );
}

#[test]
fn the_first_page_has_the_payback() {
    let text = page_of(&covers_with_costs()).text();
    let said = "cold plain: double film against single film: extra cost 821 USD; simple payback 2.13 years \
                (1.5 to 3.2); net saving over all years 7,100 USD (5,000 to 9,000).";
    let at = text
        .find(said)
        .unwrap_or_else(|| panic!("{said}\nis not in\n{text}"));
    assert!(at < text.find("On this page").expect("contents"));
    assert!(!page_of(&covers()).text().contains("simple payback 2"));
}

#[test]
fn an_upgrade_that_never_gains_is_said_to_gain_nothing() {
    let mut folder = covers_with_costs();
    let table = folder.table("savings");
    let (measure, median, us) = (
        table.place("measure"),
        table.place("median"),
        table.place("median_us"),
    );
    for row in &mut table.rows {
        if row[measure] == "net saving" {
            row[median] = "-120.4".to_owned();
            row[us] = "-120.4".to_owned();
        }
    }
    let text = page_of(&folder).text();
    assert!(
        text.contains("none gains against single film; nearest is double film"),
        "{text}"
    );
}

#[test]
fn what_is_missing_of_money_is_said_with_its_remedy() {
    let told = gap_texts(&covers());
    for words in [
        "[money.parts.NAME]",
        "divided by what it saves a year",
        "costs that count for a grant",
    ] {
        assert!(
            told.iter().any(|gap| gap.contains(words)),
            "{words}: {told:?}"
        );
    }
    assert!(
        gap_texts(&house())
            .iter()
            .any(|gap| gap.contains("two values of an [[axis]]"))
    );
    let mut folder = covers_with_costs();
    folder.table("fuel_use").fill("fuel_cost_in_currency", "");
    let told = gap_texts(&folder);
    let words = "the cost of propane, which has no price (table fuel_use). State prices.propane in the scenario";
    assert!(told.iter().any(|gap| gap.contains(words)), "{told:?}");
}

#[test]
fn the_allowed_residual_is_that_of_the_manifest() {
    let mut folder = house();
    folder.manifest["allowed_residual_share"] = json!(1e-13);
    let checks = page_of(&folder).table("Checks of the run");
    // The invented residual of energy is 2.44e-12.
    assert_eq!(
        checks[2][1..],
        ["2.4 in a million million", "0.1 in a million million", "no"]
    );
    assert_eq!(page_of(&house()).table("Checks of the run")[2][3], "yes");
}

#[test]
fn designs_that_cost_the_same_come_first_together() {
    let mut folder = covers_with_costs();
    folder.manifest["draws"] = json!(1);
    folder
        .table("fuel_use")
        .fill("fuel_cost_in_currency", "1000.4");
    let text = page_of(&folder).text();
    // 1,000.4 and 70 USD of electricity.
    assert!(
        text.contains("cold plain: all designs alike, 1,070 USD"),
        "{text}"
    );
    assert!(
        text.contains(
            "Compared here: cover (single film; double film) and climate (cold plain; mild coast)."
        ),
        "{text}"
    );
}

#[test]
fn a_payback_that_does_not_hold_says_so_without_draws() {
    let mut folder = covers_with_costs();
    folder.manifest["draws"] = json!(1);
    let table = folder.table("savings");
    let (measure, holds) = (table.place("measure"), table.place("holds_share"));
    for row in &mut table.rows {
        if row[measure] == "simple payback" {
            row[holds] = "0".to_owned();
        }
    }
    let rows = page_of(&folder).table("Saving and payback against single film, cold plain");
    let simple = rows
        .iter()
        .find(|row| row[0] == "simple payback")
        .expect("a row");
    assert_eq!(
        simple[1],
        "2.13 years (1.5 to 3.2), which does not hold to the end"
    );
}

#[test]
fn one_design_has_costs_and_no_saving() {
    let mut folder = covers_with_costs().without("savings");
    let costs = folder.table("costs");
    costs.rows.retain(|row| row[0] == "3");
    let told = gap_texts(&folder);
    assert!(
        told.iter()
            .any(|gap| gap.contains("baseline beside improved")),
        "{told:?}"
    );
    assert!(
        told.iter()
            .any(|gap| gap.contains("the run compared no designs")),
        "{told:?}"
    );
    let page = page_of(&folder);
    assert_eq!(page.table("First costs that count")[1][2], "1,230");
}

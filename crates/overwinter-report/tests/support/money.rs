//! Tables of money for the two covers of `covers`. All values are invented.

use super::folder::Table;

/// Tables `costs`, `savings` and `cash_flow`.
pub(crate) fn tables() -> [Table; 3] {
    [costs(), savings(), cash_flow()]
}

fn costs() -> Table {
    let mut table = Table::new(
        "costs",
        "case_id|count item_is item currency eligible life_years|years amount_year|see unit \
         price_in_currency_a_unit|see year_0_in_currency|see year_1_in_currency|see \
         all_years_in_currency|see present_value_in_currency|see years|years \
         discount_rate_percent|% money_is inflation_percent|%",
        &[],
    );
    for case_id in 1..=12 {
        let rows: &[&str] = if case_id <= 6 {
            &[
                "first cost|film|USD|no|4||||1234.4|0|1234.4|1234.4",
                "replacements|film|USD||4||||0|0|2468.8|2020.6",
                "energy|propane|USD|||2011|gal|2.1|0|4223.1|42231|36024.4",
                "life-cycle cost||USD||||||1234.4|4223.1|45934.2|39279.4",
            ]
        } else {
            &[
                "first cost|film|USD|yes|4||||2345.6|0|2345.6|2345.6",
                "first cost|blower|USD|no|12||||210.2|0|210.2|210.2",
                "grant||USD||||||-500|0|-500|-500",
                "replacements|film|USD||4||||0|0|4691.2|3839.6",
                "residual value|blower|USD||12||||0|0|-35|-26.04",
                "energy|propane|USD|||1411|gal|2.1|0|2963.1|29631|25275.6",
                "energy|electricity|USD|||500|kWh|0.14|0|70|700|597.1",
                "upkeep||USD||||||0|51.5|515|439.3",
                "life-cycle cost||USD||||||2055.8|3084.6|37558|32181.4",
                "loan drawn||USD||||||-1000|0|-1000|-1000",
                "loan payments||USD||5|||240|0|231|1155|1057.9",
            ]
        };
        for row in rows {
            let cells = format!("{case_id}|{row}|10|3|constant|");
            table
                .rows
                .push(cells.split('|').map(str::to_owned).collect());
        }
    }
    table
}

const SAVINGS: &str = "axis_climate design first_case_id|count against against_first_case_id|count measure carrier \
    unit us_unit draws|count against_median|see against_median_us|see design_median|see design_median_us|see \
    median|see median_us|see p05|see p05_us|see p95|see p95_us|see reached_share|share holds_share|share band \
    points|0 share_of_draws|share note";

/// Both climates have the same savings, but the payback of the second does not hold.
fn savings() -> Table {
    let mut table = Table::new("savings", SAVINGS, &[]);
    for (climate, id, against_id) in [("cold plain", 7, 1), ("mild coast", 10, 4)] {
        let holds = if id == 7 { "1" } else { "0.3333" };
        let payback =
            format!("simple payback||years|years|3|||||2.126|2.126|1.5|1.5|3.2|3.2|1|{holds}||||");
        for row in [
            "energy|propane|kWh|MMBtu|3|53894.8|183.9|37814.8|129.03|16080|54.87|15000|51.2|17000|58||||||",
            "energy|electricity|kWh|MMBtu|3|0|0|500|1.706|-500|-1.706|||||||||| ",
            "energy|all carriers|kWh|MMBtu|3|53894.8|183.9|38314.8|130.73|15580|53.16|14500|49.5|16500|56.3||||||",
            "amount|propane|gal|gal|3|2011|2011|1411|1411|600|600|560|560|634|634||||||",
            "energy cost|propane|USD|USD|3|4223.1|4223.1|2963.1|2963.1|1260|1260|||||||||| ",
            "energy cost|all carriers|USD|USD|3|4223.1|4223.1|3033.1|3033.1|1190|1190|1000.4|1000.4|1500.5|1500.5||||||",
            "carbon dioxide|all carriers|kg|kg|3|11563|11563|8113|8113|3450|3450|||||||||| factor set of a test",
            "greenhouse gases|all carriers|kg CO2e|kg CO2e|3|11608|11608|8144|8144|3464|3464|||||||||| set of potentials of a test",
            "energy per floor area|all carriers|kWh/m2|kBtu/ft2|3|269.5|85.42|191.6|60.73|77.9|24.69|||||||||| ",
            "site energy saved|all carriers|%|%|3|||||28.91|28.91|26|26|36|36|||20 to below 35 %|5||",
            "draws by energy saved|all carriers|||3|||||||||||||below 20 %|0|0|",
            "draws by energy saved|all carriers|||3|||||||||||||20 to below 35 %|5|0.667|",
            "draws by energy saved|all carriers|||3|||||||||||||35 to below 50 %|10|0.333|",
            "draws by energy saved|all carriers|||3|||||||||||||50 % and more|15|0|",
            "extra first cost||USD|USD|3|||||821.4|821.4|821.4|821.4|821.4|821.4||||||",
            "saved in year 1||USD|USD|3|||||1138.5|1138.5|949|949|1449|1449||||||",
            "net saving||USD|USD|3|39279.4|39279.4|32181.4|32181.4|7098|7098|5000|5000|9000|9000||||||",
            "saving-to-investment ratio||ratio|ratio|3|||||9.641|9.641|||||1|||||",
            "internal rate of return||% a year|% a year|3|||||||||||||||| several rates would be one",
            payback.as_str(),
            "discounted payback||years|years|3|||||||||||0.6667|0.6667||||not within 10 years",
            "payback of eligible costs||years|years|3|||||1.971|1.971|||||1||below 4 years|15||",
            "draws by payback||||3|||||||||||||below 4 years|15|1|",
            "energy saved per grant dollar||Btu/USD|Btu/USD|3|||||106320|106320||||||||10||",
            "life shorter than payback||years|years|3|||||4|4|||||||||0.333|film",
            "break-even price|propane|USD/gal|USD/gal|3|||||0.9123|0.9123|||||||||| ",
        ] {
            let cells = format!("{climate}|double film|{id}|single film|{against_id}|{row}");
            let mut cells: Vec<String> = cells
                .split('|')
                .map(|cell| cell.trim().to_owned())
                .collect();
            cells.resize(table.columns.len(), String::new());
            table.rows.push(cells);
        }
    }
    table
}

/// Balance of the double film: two years behind, then ahead.
fn cash_flow() -> Table {
    let mut table = Table::new(
        "cash_flow",
        "axis_climate design case_id|count against against_case_id|count currency money_is year|years \
         spent_in_currency|see saved_in_currency|see saved_so_far_in_currency|see",
        &[],
    );
    for (climate, case_id, against_id) in [("cold plain", 8, 2), ("mild coast", 11, 5)] {
        for (year, so_far) in ["-821.4", "-251.3", "318.81", "888.9"].iter().enumerate() {
            table.rows.push(
                format!("{climate}|double film|{case_id}|single film|{against_id}|USD|constant|{year}|0|570.1|{so_far}")
                    .split('|')
                    .map(str::to_owned)
                    .collect(),
            );
            table.rows.push(
                format!("{climate}|single film|{against_id}||||constant|{year}|0||")
                    .split('|')
                    .map(str::to_owned)
                    .collect(),
            );
        }
    }
    table
}

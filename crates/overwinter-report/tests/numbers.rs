//! Every number in a table of the page is that of the tables of the run, rounded.
//!
//! Expected cells are rounded by hand from the invented values of `support`: three figures, two below
//! 1, one below a tenth, temperatures to a tenth; degF = 1.8 degC + 32, 1 kWh = 3.41214 kBtu and
//! 1 kW = 3.41214 kBtu/h (NIST SP 811, 2008, appendix B.8).

mod support;

use overwinter_units::System;
use support::browser::Document;
use support::covers::{covers, covers_with_costs};
use support::house::{house, house_with_hours};
use support::{page_in, page_of};

/// Asserts all cells of a table below its head, parted by bars.
fn assert_table(page: &Document, caption: &str, expected: &[&str]) {
    let rows: Vec<String> = page
        .table(caption)
        .iter()
        .skip(1)
        .map(|row| row.join(" | "))
        .collect();
    assert_eq!(rows, expected, "{caption}");
}

fn head(page: &Document, caption: &str) -> Vec<String> {
    page.table(caption).first().cloned().unwrap_or_default()
}

#[test]
fn fuel_by_month_is_that_of_fuel_use() {
    let page = page_of(&house());
    assert_eq!(
        head(&page, "Propane by month, gal"),
        [
            "Month",
            "propane, gal",
            "energy of the fuel, MMBtu (kWh)",
            "cost of the fuel, USD",
            "electricity, kWh",
            "peak heat, kBtu/h (kW)"
        ]
    );
    assert_table(
        &page,
        "Propane by month, gal",
        &[
            "Nov | 0.67 | 0.06 (17.9) | 1.4 | 75.4 | 8.62 (2.53)",
            "Dec | 176 | 16.1 (4,720) | 370 | 113 | 102 (30)",
            "Jan | 346 | 31.6 (9,270) | 726 | 149 | 121 (35.6)",
            "Feb | 228 | 20.9 (6,120) | 479 | 117 | 107 (31.3)",
            "year | 750 | 68.7 (20,100) | 1,580 | 861 | 121 (35.6)",
        ],
    );
    assert_table(
        &page,
        "Peak heat by month",
        &[
            "Nov | 8.62 (2.53) | 17 Nov, 05:00 | 0",
            "Dec | 102 (30) | 20 Dec, 06:00 | 0",
            "Jan | 121 (35.6) | 26 Jan, 06:00 | 0",
            "Feb | 107 (31.3) | 6 Feb, 05:00 | 0",
            "year | 121 (35.6) | 26 Jan, 06:00 | 0",
        ],
    );
}

#[test]
fn si_stands_first_when_asked() {
    let page = page_in(&house(), System::Si);
    assert_table(
        &page,
        "Peak heat by month beside the size of the heaters, kW",
        &[
            "Nov | 2.53 (8.62) | 17 Nov, 05:00 | 0",
            "Dec | 30 (102) | 20 Dec, 06:00 | 0",
            "Jan | 35.6 (121) | 26 Jan, 06:00 | 0",
            "Feb | 31.3 (107) | 6 Feb, 05:00 | 0",
            "year | 35.6 (121) | 26 Jan, 06:00 | 0",
        ],
    );
    assert_table(
        &page,
        "Lowest temperatures of the year",
        &["this house | −0.9 (30.5) | 7 Jan, 06:00 | 4.3 (39.7) | 26 Jan, 06:00"],
    );
}

#[test]
fn the_first_page_tells_what_the_season_costs() {
    let page = page_of(&house());
    // The worst week costs 97.987 / 750.456 of 1,575.9 USD; fuel and electricity 1,575.9 + 120.54.
    assert_table(
        &page,
        "The heating season",
        &[
            "Propane | 750 gal | 68.7 MMBtu (20,100 kWh) | 1,580 USD",
            "Worst week, from 22 Jan | 98 gal | 7.17 MMBtu (2,100 kWh) of heat | 206 USD",
            "Electricity of fans and blowers | 861 kWh | – | 121 USD",
            "Fuel and electricity | – | – | 1,700 USD",
        ],
    );
    let text = page.text();
    for words in [
        "The most heat in one hour is 121 kBtu/h (35.6 kW), on 26 Jan, 06:00. The heaters can give 171 kBtu/h (50.3 kW).",
        "the coldest hour is at −6.7 °F (−21.5 °C) outdoors",
        "2 inputs were left to a default, and 1 of these is an estimate",
        "The lowest leaf is at 30.5 °F (−0.9 °C), on 7 Jan, 06:00. That is 2.1 °F (1.1 K) above the limit of the crop: lettuce, not hardened, 28.4 °F (−2.0 °C).",
        "the air is at the alarm, 35.0 °F (1.7 °C), after 3 min; the air is at freezing after 5 min; the leaf is at the limit of the crop, 28.4 °F (−2.0 °C), after 9 min.",
        "The lowest leaf is at 10.8 °F (−11.8 °C), or 10.6 to 12.3 °F, since nobody has measured how slack films hold heat.",
        "would be lost in 51 of the 121 nights of the season",
        "In 30 of them it would be sooner than help comes, 30 min after the alarm.",
        "gives 110 kBtu/h (32.3 kW) would hold the air at 33.4 °F (0.8 °C)",
        "The crop would be lost in no night.",
    ] {
        assert!(text.contains(words), "{words}\nis not in\n{text}");
    }
}

#[test]
fn heat_by_path_is_the_sum_over_the_winter_of_balance() {
    // November gives less than a twentieth of the year's heat: December to February are summed up.
    // Heaters 3,773 + 7,411.2 + 4,888.8 = 16,073 kWh; sun 6,700 + 9,000... of both columns 25,200 kWh;
    // cover 37,500 kWh; leaks 2,700 kWh.
    let page = page_of(&house());
    assert_table(
        &page,
        "Heat by path in Dec, Jan and Feb",
        &[
            "heaters | 54.8 (16,100)",
            "sun, caught inside and in the cover | 86 (25,200)",
            "cover: radiated to sky and surroundings | −128 (−37,500)",
            "leaks | −9.21 (−2,700)",
        ],
    );
}

#[test]
fn lows_and_limits_are_those_of_frost_risk() {
    let page = page_of(&house());
    assert_table(
        &page,
        "Lowest temperatures of the year",
        &["this house | 30.5 (−0.9) | 7 Jan, 06:00 | 39.7 (4.3) | 26 Jan, 06:00"],
    );
    assert_table(
        &page,
        "Time below the limits",
        &[
            "water freezes | 32.0 (0.0) | 12 | 0 | 3 | 5",
            "lettuce, not hardened | 28.4 (−2.0) | 0 | 0 | 0 | 0",
        ],
    );
}

#[test]
fn curves_are_those_of_night() {
    // leaf = 2 - fall (1 - exp(-min / 60)), fall 12 K without power and 1 K without the blower;
    // outdoors -15.01 - min / 720.
    let page = page_of(&house());
    let caption = "Top leaf in the design night, clear and calm, this house";
    assert_eq!(
        head(&page, caption),
        [
            "After",
            "blower stops, °F (°C)",
            "power cut, °F (°C)",
            "outdoor air, °F (°C)"
        ]
    );
    assert_table(
        &page,
        caption,
        &[
            "5 min | 35.5 (1.9) | 33.9 (1.0) | 5.0 (−15.0)",
            "15 min | 35.2 (1.8) | 30.8 (−0.7) | 4.9 (−15.0)",
            "30 min | 34.9 (1.6) | 27.1 (−2.7) | 4.9 (−15.1)",
            "60 min | 34.5 (1.4) | 21.9 (−5.6) | 4.8 (−15.1)",
            "2 h | 34.0 (1.1) | 16.9 (−8.4) | 4.7 (−15.2)",
            "4 h | 33.8 (1.0) | 14.4 (−9.8) | 4.4 (−15.3)",
            "8 h | 33.8 (1.0) | 14.0 (−10.0) | 3.8 (−15.7)",
            "12 h | 33.8 (1.0) | 14.0 (−10.0) | 3.2 (−16.0)",
            "13 h | 35.6 (2.0) | 35.6 (2.0) | 3.0 (−16.1)",
            "24 h | 35.6 (2.0) | 35.6 (2.0) | 1.4 (−17.0)",
        ],
    );
}

#[test]
fn the_ladder_is_that_of_outages_from_midnight() {
    let page = page_of(&house());
    assert_table(
        &page,
        "Nights of the season in which the crop is lost if the failure begins at midnight",
        &["2 h | 0 | 38", "8 h | 0 | 51", "3 days | – | 95"],
    );
    assert_table(
        &page,
        "Power cut, this house: 121 nights",
        &[
            "2 h | 38 | 30 | 32.5 (0.3) | 10.3 (−12.0) | 14.8 (−9.5) | 3 min | 5 min | 9 min",
            "8 h | 51 | 30 | 29.6 (−1.3) | 7.6 (−13.6) | 10.8 (−11.8) | 3 min | 5 min | 9 min",
            "3 days | 95 | 30 | 21.1 (−6.1) | 5.8 (−14.6) | 10.8 (−11.8) | 3 min | 5 min | 9 min",
        ],
    );
}

#[test]
fn the_load_duration_curve_is_that_of_hourly() {
    // 48 hours of 40, 39, ... -7 kW.
    let page = page_of(&house_with_hours());
    assert_table(
        &page,
        "Load-duration curve",
        &[
            "1 | 136 (40)",
            "10 | 106 (31)",
            "50 | –",
            "100 | –",
            "200 | –",
            "500 | –",
            "1,000 | –",
            "2,000 | –",
            "4,000 | –",
        ],
    );
    let course = page.table("The day around the coldest hour");
    // Hour 30: air 5, leaf 0.5, outdoors -20 C.
    let coldest = ["0", "41.0 (5.0)", "32.9 (0.5)", "−4.0 (−20.0)"]
        .map(str::to_owned)
        .to_vec();
    assert!(course.contains(&coldest), "{course:?}");
    assert!(page.text().contains(
        "This house: in the coldest hour, from 7 Jan, 06:00, the top leaf falls to 32.9 °F (0.5 °C)."
    ));
}

#[test]
fn the_annex_sums_up_energy_and_checks() {
    let page = page_of(&house());
    // 20,124.8 kWh of fuel and 861 kWh of electricity.
    assert_table(
        &page,
        "Energy and greenhouse gases of the year",
        &["this house | 54.9 (16,100) | 68.7 (20,100) | 861 | 71.6 (21,000) | 4,320"],
    );
    assert_table(
        &page,
        "Checks of the run",
        &[
            "cases that could be computed | 1 | 1 | yes",
            "energy that does not add up, worst step, share of the energy moved | 2.4 in a million million | 1 in a million | yes",
            "water that does not add up, worst step, share of the water moved | 0.32 in a million million | 1 in a million | yes",
            "soil at the end of the year beside its start, largest difference | 0.25 K | for information | ",
        ],
    );
    assert_table(
        &page,
        "Inputs that were left out",
        &[
            "crop.leaf_area_index | 2 | assumed | estimate",
            "frost_limit | 0 degC | default | definition of the Celsius scale",
        ],
    );
}

#[test]
fn ranking_differences_and_drivers_are_those_of_their_tables() {
    let page = page_of(&covers());
    assert_table(
        &page,
        "The designs in short, of the year",
        &[
            "single film, cold plain | 4,290 (3,900 to 4,900) | 26.5 (24.8 to 28.4)",
            "double film, cold plain | 3,030 (2,700 to 3,640) | 34.3 (32.0 to 35.6)",
            "single film, mild coast | 1,980 (1,600 to 2,590) | –",
            "double film, mild coast | 1,350 (1,000 to 1,960) | –",
        ],
    );
    assert_table(
        &page,
        "Fuel and electricity cost of the year, USD",
        &[
            "single film | 4,290 | 3,900 to 4,900 | 2 | 0 of 100",
            "double film | 3,030 | 2,700 to 3,640 | 1 | 100 of 100",
        ],
    );
    assert_table(
        &page,
        "The designs by other measures",
        &[
            "fuel and electricity cost, USD | 4,290 (3,900 to 4,900) | 3,030 (2,700 to 3,640)",
            "lowest leaf, °F | 26.5 (24.8 to 28.4) | 34.3 (32.0 to 35.6)",
            "lowest leaf, °C | −3.0 (−4.0 to −2.0) | 1.3 (0.0 to 2.0)",
        ],
    );
    assert_table(
        &page,
        "Difference from single film",
        &["double film | −1,260 | −1,500 to −1,000 | 100 of 100"],
    );
    assert_table(
        &page,
        "How much each input swings it",
        &[
            "price | 2,260 | 0.76 | clear",
            "leaks | −105 | −0.26 | by chance",
        ],
    );
    let text = page.text();
    for words in [
        "double film 1,260 USD less (1,000 to 1,500 less in 90 of 100 draws), better in 100 of 100 draws",
        "double film 630 USD less (901 less to 100 more in 90 of 100 draws), better in 93 of 100 draws",
        "Fewer than 10 draws give medians",
    ] {
        assert!(text.contains(words), "{words}\nis not in\n{text}");
    }
}

#[test]
fn of_many_draws_the_middle_one_is_shown() {
    // Gallons are 2,301, 1,843 and 2,011 under the single film: the third draw is in the middle.
    let page = page_of(&covers());
    assert_table(
        &page,
        "Propane by month and design, gal",
        &[
            "Dec | 804 | 564",
            "Jan | 1,210 | 847",
            "year | 2,010 | 1,410",
        ],
    );
    // Heaters of both give 90 kW; the costs of one draw are left out.
    assert_table(
        &page,
        "Propane of the year by design, gal",
        &[
            "single film | 2,010 | 50 | 184 (53,900) | 500",
            "double film | 1,410 | 50 | 129 (37,800) | 500",
        ],
    );
    assert_table(
        &page,
        "Peak heat by design",
        &[
            "single film | 205 (60) | 20 Jan, 06:00 | 307 (90) | 0 (0) | –",
            "double film | 136 (40) | 20 Jan, 06:00 | 307 (90) | 0 (0) | –",
        ],
    );
}

#[test]
fn the_annex_says_what_share_is_saved() {
    // 16,080.4 of 53,894.8 kWh; fuel, electricity and greenhouse gases of the middle draws.
    let page = page_of(&covers());
    assert_table(
        &page,
        "Energy and greenhouse gases of the year",
        &[
            "single film, cold plain | 147 (43,000) | 184 (53,900) | 500 | 186 (54,400) | 11,600 | –",
            "double film, cold plain | 103 (30,200) | 129 (37,800) | 500 | 131 (38,300) | 8,110 | 29.8",
            "single film, mild coast | 66.5 (19,500) | 83.3 (24,400) | 500 | 85 (24,900) | 5,240 | –",
            "double film, mild coast | 44.6 (13,100) | 55.9 (16,400) | 500 | 57.6 (16,900) | 3,510 | –",
        ],
    );
}

#[test]
fn no_table_of_numbers_is_untested() {
    let tested = [
        "The heating season",
        "Propane by month",
        "Propane of the year by design",
        "Peak heat by",
        "Load-duration curve",
        "Heat by path",
        "Lowest temperatures of the year",
        "Time below the limits",
        "The day around",
        "Top leaf in",
        "Nights of the season",
        "Power cut",
        "Energy and greenhouse gases",
        "Checks of the run",
        "Inputs that were left out",
        "The designs in short",
        "Fuel and electricity cost of the year",
        "The designs by other measures",
        "Difference from",
        "How much each input",
        // Those of `money.rs`.
        "Costs of 10 years",
        "Parts that are bought",
        "Energy that is bought",
        "Loans, which",
        "Balance of each upgrade",
        "Saving and payback against",
        "Saved in a year",
        "Share of the site energy",
        "Draws by",
        "Baseline and improved",
        "First costs that count",
        "Payments by year",
        "What a rural energy grant scores",
        // Texts of the manifest, and lines to be filled in by hand.
        "The run",
        "Weather file of",
        "What was found in the weather files",
        "Alternatives that were compared",
        "Inputs drawn at random",
        "To be filled in by hand",
    ];
    for folder in [house_with_hours(), covers_with_costs()] {
        for (caption, _) in page_of(&folder).tables() {
            assert!(
                tested.iter().any(|known| caption.starts_with(known)),
                "{caption}"
            );
        }
    }
}

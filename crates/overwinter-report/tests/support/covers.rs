//! Two covers in two climates with three draws each. All values are invented.

use serde_json::json;

use super::folder::{Folder, Table};

/// The folder of a sampled comparison, without failures.
pub(crate) fn covers() -> Folder {
    let tables = vec![
        cases(),
        fuel_use(),
        ranking(),
        compare(),
        drivers(),
        frost_risk(),
    ];
    let mut folder = Folder::new("Two invented covers", tables);
    folder.manifest["draws"] = json!(3);
    folder.manifest["cases"] = json!(12);
    folder.manifest["axes"] = json!(["cover", "climate"]);
    folder.manifest["sampled"] = json!([
        {"name": "leaks", "unit": "/h", "keys": ["leakage.air_change"], "quantiles": ["0.7 /h", "1.1 /h", "1.7 /h"]}
    ]);
    folder
}

/// The same with prices of parts.
pub(crate) fn covers_with_costs() -> Folder {
    let mut folder = covers();
    folder.tables.extend(super::money::tables());
    folder
}

const COVERS: [&str; 2] = ["single film", "double film"];
const CLIMATES: [&str; 2] = ["cold plain", "mild coast"];

/// Cases by cover, climate and draw, the draw running fastest.
fn each() -> impl Iterator<Item = (usize, usize, usize, usize)> {
    (0..12).map(|index| (index + 1, index / 6, index / 3 % 2, index % 3))
}

fn cases() -> Table {
    let mut table = Table::new(
        "cases",
        "case_id|count axis_cover axis_climate draw|count sampled_leaks_per_h|/h status reason climate \
         weather_file weather_year lowest_outdoor_degc|degC floor_area_m2|m2 floor_area_ft2|ft2 \
         worst_energy_residual_share|share worst_water_residual_share|share start_mismatch_k|K",
        &[],
    );
    for (id, cover, climate, draw) in each() {
        table.rows.push(
            [
                id.to_string(),
                COVERS[cover].to_owned(),
                CLIMATES[climate].to_owned(),
                (draw + 1).to_string(),
                format!("{}", 0.8 + 0.3 * draw as f64),
                "done".to_owned(),
                String::new(),
                "Invented Field".to_owned(),
                "invented.csv".to_owned(),
                "typical".to_owned(),
                "-20".to_owned(),
                "200".to_owned(),
                "2152.8".to_owned(),
                "1e-12".to_owned(),
                "1e-12".to_owned(),
                "0.1".to_owned(),
            ]
            .to_vec(),
        );
    }
    table
}

/// Gallons of the year of a case: the second draw burns least, the first most.
pub(crate) fn gallons(cover: usize, climate: usize, draw: usize) -> f64 {
    let base = [[2000.0, 900.0], [1400.0, 600.0]][cover][climate];
    base + [301.0, -157.0, 11.0][draw]
}

fn fuel_use() -> Table {
    let mut table = Table::new(
        "fuel_use",
        "case_id|count month|count row_is fuel fuel_unit currency heat_kwh|kWh fuel_used_in_fuel_unit|see \
         fuel_kwh|kWh fuel_cost_in_currency|see co2e_kg|kg peak_heat_kw|kW peak_heat_month_day_hour \
         heater_output_kw|kW full_output_h|h unmet_heat_kwh|kWh blower_electricity_kwh|kWh \
         electricity_cost_in_currency|see worst_week_first_month_day worst_week_heat_kwh|kWh \
         worst_week_fuel_in_fuel_unit|see",
        &[],
    );
    for (id, cover, climate, draw) in each() {
        for (month, share) in [(0, 1.0), (1, 0.6), (12, 0.4)] {
            let gal = gallons(cover, climate, draw) * share;
            table.rows.push(vec![
                id.to_string(),
                month.to_string(),
                "house".to_owned(),
                "propane".to_owned(),
                "gal".to_owned(),
                "USD".to_owned(),
                format!("{}", gal * 21.4),
                format!("{gal}"),
                format!("{}", gal * 26.8),
                format!("{}", gal * 2.1),
                format!("{}", gal * 5.75),
                format!("{}", 60.0 - 20.0 * cover as f64),
                "01-20 06:00".to_owned(),
                "90".to_owned(),
                "0".to_owned(),
                "0".to_owned(),
                "500".to_owned(),
                "70".to_owned(),
                "01-18".to_owned(),
                "1000".to_owned(),
                "50".to_owned(),
            ]);
        }
    }
    table
}

fn frost_risk() -> Table {
    let mut table = Table::new(
        "frost_risk",
        "case_id|count limit limit_degc|degC lag_h|h crop_lost below_by_air_h|h below_by_leaf_h|h \
         below_by_leaf_nights|nights longest_spell_by_leaf_h|h lowest_air_degc|degC \
         lowest_air_month_day_hour lowest_leaf_degc|degC lowest_leaf_month_day_hour",
        &[],
    );
    for (id, cover, _, _) in each() {
        table.rows.push(vec![
            id.to_string(),
            "pansy, not hardened".to_owned(),
            "-2.2".to_owned(),
            "0.1667".to_owned(),
            "yes".to_owned(),
            "0".to_owned(),
            if cover == 0 { "7" } else { "0" }.to_owned(),
            if cover == 0 { "2" } else { "0" }.to_owned(),
            if cover == 0 { "4" } else { "0" }.to_owned(),
            "3".to_owned(),
            "01-20 06:00".to_owned(),
            if cover == 0 { "-3.04" } else { "1.26" }.to_owned(),
            "01-20 06:00".to_owned(),
        ]);
    }
    table
}

fn ranking() -> Table {
    Table::new(
        "ranking",
        "axis_climate design first_case_id|count measure detail unit us_unit draws|count median|see median_us|see \
         p05|see p05_us|see p95|see p95_us|see designs_ranked|count place_by_median|count \
         best_share|share",
        &[
            "cold plain|single film|1|fuel and electricity cost||USD|USD|3|4293.1|4293.1|3900.4|3900.4|4902.7|4902.7|2|2|0.0",
            "cold plain|double film|7|fuel and electricity cost||USD|USD|3|3033.1|3033.1|2700.4|2700.4|3642.7|3642.7|2|1|1.0",
            "mild coast|single film|4|fuel and electricity cost||USD|USD|3|1983.1|1983.1|1600.4|1600.4|2592.7|2592.7|2|2|0.1",
            "mild coast|double film|10|fuel and electricity cost||USD|USD|3|1353.1|1353.1|1000.4|1000.4|1962.7|1962.7|2|1|0.9",
            "cold plain|single film|1|lowest leaf||degC|degF|3|-3.04|26.528|-4|24.8|-2|28.4|2|2|0.0",
            "cold plain|double film|7|lowest leaf||degC|degF|3|1.26|34.268|0|32|2|35.6|2|1|1.0",
        ],
    )
}

fn compare() -> Table {
    Table::new(
        "compare",
        "axis_climate design_a a_first_case_id|count design_b b_first_case_id|count measure detail unit us_unit \
         better draws|count b_median|see a_less_b_median|see a_less_b_median_us|see a_less_b_p05|see \
         a_less_b_p05_us|see a_less_b_p95|see a_less_b_p95_us|see a_better_share|share",
        &[
            "cold plain|double film|7|single film|1|fuel and electricity cost||USD|USD|less|3|4293.1|-1260.2|-1260.2|-1500.5|-1500.5|-1000.4|-1000.4|1.0",
            "mild coast|double film|10|single film|4|fuel and electricity cost||USD|USD|less|3|1983.1|-630.2|-630.2|-900.6|-900.6|100.4|100.4|0.93",
            "cold plain|double film|7|single film|1|fuel energy||kWh|MMBtu|less|3|53894.8|-16080.4|-54.9|-17000|-58|-15000|-51.2|1.0",
        ],
    )
}

fn drivers() -> Table {
    Table::new(
        "drivers",
        "axis_climate design first_case_id|count less_design less_first_case_id|count measure detail unit us_unit \
         input input_unit draws|count place|count rank_correlation|-1 rank_variance_share|0 \
         chance_correlation|0 above_chance swing|see swing_us|see",
        &[
            "cold plain|double film|7|||fuel and electricity cost||USD|USD|price|times|3|1|0.763|0.58|0.31|yes|2260.98|2260.98",
            "cold plain|double film|7|||fuel and electricity cost||USD|USD|leaks|/h|3|2|-0.263|0.07|0.31|no|-104.63|-104.63",
        ],
    )
}

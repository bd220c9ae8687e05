//! One house in one climate. All values are invented.

use super::folder::{Folder, Table};

/// The folder of one house, without the table `hourly`.
pub(crate) fn house() -> Folder {
    Folder::new(
        "An invented house",
        vec![
            cases(),
            fuel_use(),
            frost_risk(),
            balance(),
            outages(),
            night(),
        ],
    )
}

/// The same with every hour of two invented days.
pub(crate) fn house_with_hours() -> Folder {
    let mut folder = house();
    folder.tables.push(hourly());
    folder
}

fn cases() -> Table {
    Table::new(
        "cases",
        "case_id|count status reason climate weather_file weather_year weather_stress lowest_outdoor_degc|degC \
         floor_area_m2|m2 floor_area_ft2|ft2 worst_energy_residual_share|share \
         worst_water_residual_share|share start_mismatch_k|K",
        &[
            "1|done||Invented Field|invented.csv|typical||-21.5|200.4|2157.1|2.44e-12|3.16e-13|0.2512",
        ],
    )
}

fn fuel_use() -> Table {
    Table::new(
        "fuel_use",
        "case_id|count month|count row_is fuel fuel_unit currency heat_kwh|kWh fuel_used_in_fuel_unit|see \
         fuel_kwh|kWh fuel_cost_in_currency|see co2e_kg|kg peak_heat_kw|kW peak_heat_month_day_hour \
         heater_output_kw|kW full_output_h|h unmet_heat_kwh|kWh output_that_holds_kw|kW \
         heater_electricity_kwh|kWh blower_electricity_kwh|kWh circulation_electricity_kwh|kWh \
         vent_fan_electricity_kwh|kWh electricity_cost_in_currency|see worst_week_first_month_day \
         worst_week_heat_kwh|kWh worst_week_fuel_in_fuel_unit|see",
        &[
            "1|0|house|propane|gal|USD|16087.3|750.456|20124.8|1575.9|4317.2|35.567|01-26 06:00|50.26|0|0||160.9|700.1|0|0|120.54|01-22|2100.5|97.987",
            "1|1|house|propane|gal|USD|7411.2|345.678|9270.9|725.92|1988.6|35.567|01-26 06:00|50.26|0|0||74.1|75.3|0|0|20.9|01-22|2100.5|97.987",
            "1|2|house|propane|gal|USD|4888.8|228.02|6115.2|478.84|1311.7|31.26|02-06 05:00|50.26|0|0||48.9|68.2|0|0|16.4|02-01|1900.1|88.6",
            "1|7|house|propane|gal|USD|0|0|0|0|0|0||50.26|0|0||0|60|0|0|8.4||0|0",
            "1|11|house|propane|gal|USD|14.3|0.6666|17.88|1.4|3.8|2.527|11-17 05:00|50.26|0|0||0.1|75.3|0|0|10.6|11-11|14.3|0.6666",
            "1|12|house|propane|gal|USD|3773|176.09|4722.6|369.79|1013|29.99|12-20 06:00|50.26|0|0||37.7|75.3|0|0|15.8|12-14|1500|70",
        ],
    )
}

fn frost_risk() -> Table {
    Table::new(
        "frost_risk",
        "case_id|count limit limit_degc|degC lag_h|h crop_lost below_by_air_h|h below_by_air_nights|nights \
         longest_spell_by_air_h|h below_by_leaf_h|h below_by_leaf_nights|nights longest_spell_by_leaf_h|h \
         lowest_air_degc|degC lowest_air_month_day_hour lowest_leaf_degc|degC lowest_leaf_month_day_hour",
        &[
            "1|water freezes|0|0|no|0|0|0|12|3|5|4.26|01-26 06:00|-0.86|01-07 06:00",
            "1|lettuce, not hardened|-2|0.1667|yes|0|0|0|0|0|0|4.26|01-26 06:00|-0.86|01-07 06:00",
        ],
    )
}

fn balance() -> Table {
    Table::new(
        "balance",
        "case_id|count month|count heat_heater_kwh|kWh heat_sun_inside_kwh|kWh heat_sun_shell_kwh|kWh \
         heat_cover_longwave_kwh|kWh heat_leakage_kwh|kWh heat_walls_kwh|kWh",
        &[
            "1|0|16087.3|90000|10000|-110000|-6000|0",
            "1|1|7411.2|8000|1000|-15000|-1000|0",
            "1|2|4888.8|9000|1500|-14000|-900|0",
            "1|7|0|20000|2500|-9000|-100|0",
            "1|11|14.3|6000|800|-6500|-300|0",
            "1|12|3773|5000|700|-8500|-800|0",
        ],
    )
}

/// What fails, by length: nights lost, too fast, lowest leaf (middle, worst, clear), times.
fn outages() -> Table {
    Table::new(
        "outages",
        "case_id|count failure start length_h|h nights|count limit limit_degc|degC limit_lag_min|min \
         alarm_degc|degC travel_min|min lowest_leaf_median_degc|degC lowest_leaf_worst_degc|degC \
         lowest_leaf_design_clear_degc|degC lowest_leaf_design_clear_low_degc|degC \
         lowest_leaf_design_clear_high_degc|degC to_alarm_design_clear_min|min \
         to_freezing_design_clear_min|min to_limit_design_clear_min|min nights_lost|count \
         nights_too_fast|count standby_hold_degc|degC standby_output_design_clear_kw|kW \
         hold_missed_design_clear_k|K",
        &[
            "1|blower|midnight|2|121|lettuce, not hardened|-2|10|1.667|30|3.7|0.9|1.9|1.89|1.91||||0|0|0.778||0",
            "1|blower|midnight|8|121|lettuce, not hardened|-2|10|1.667|30|3.2|0.5|0.97|0.9|1.13||||0|0|0.778||0",
            "1|power|dusk|8|121|lettuce, not hardened|-2|10|1.667|30|-1|-12|-11|-11.5|-10.2|2.8|4.6|7.7|99|50|0.778|33.3|",
            "1|power|midnight|2|121|lettuce, not hardened|-2|10|1.667|30|0.27|-12.04|-9.54|-9.6|-9.3|3.4|5.4|8.8|38|30|0.778|30.1|",
            "1|power|midnight|8|121|lettuce, not hardened|-2|10|1.667|30|-1.33|-13.56|-11.78|-11.89|-10.96|3.4|5.4|8.8|51|30|0.778|32.26|",
            "1|power|midnight|72|121|lettuce, not hardened|-2|10|1.667|30|-6.06|-14.57|-11.78|-11.89|-10.96|3.4|5.4|8.8|95|30|0.778|32.26|",
        ],
    )
}

fn night() -> Table {
    let mut table = Table::new(
        "night",
        "case_id|count failure night start_month_day_hour after_min|min air_degc|degC leaf_degc|degC \
         outdoor_degc|degC",
        &[],
    );
    for failure in ["blower", "power"] {
        for step in 1..=288 {
            let min = f64::from(step) * 5.0;
            let fall = if failure == "power" { 12.0 } else { 1.0 };
            let share = if min <= 720.0 {
                1.0 - (-min / 60.0).exp()
            } else {
                0.0
            };
            let leaf = 2.0 - fall * share;
            table.rows.push(vec![
                "1".to_owned(),
                failure.to_owned(),
                "design night, clear and calm".to_owned(),
                "01-26 17:00".to_owned(),
                min.to_string(),
                format!("{}", leaf + 1.0),
                format!("{leaf}"),
                format!("{}", -15.01 - min / 720.0),
            ]);
        }
    }
    table
}

fn hourly() -> Table {
    let mut table = Table::new(
        "hourly",
        "case_id|count hour_of_year|h outdoor_air_degc|degC air_degc|degC air_lowest_degc|degC \
         top_leaf_lowest_degc|degC heat_kw|kW",
        &[],
    );
    for hour in 0..48 {
        let low = (f64::from(hour) - 30.0).abs() / 4.0;
        table.rows.push(vec![
            "1".to_owned(),
            hour.to_string(),
            format!("{}", low - 20.0),
            format!("{}", low + 5.0),
            format!("{}", low + 4.5),
            format!("{}", low + 0.5),
            format!("{}", 40.0 - f64::from(hour)),
        ]);
    }
    table
}

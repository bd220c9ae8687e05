//! Columns of the fuel table.

use overwinter_economics::emissions::POTENTIALS;

use super::{Covers, FuelRow};
use crate::tables::calendar::Moment;
use crate::tables::column::{Table, TableBuilder};
use crate::tables::units::{kbtu_h, kilowatts, kwh, mmbtu};

/// The table of all rows.
pub fn table<'a>(rows: impl Iterator<Item = &'a FuelRow>) -> Table {
    let builder = TableBuilder::new(
        "fuel_use",
        "a case in a month (month 0: the year); houses with several fuels have more rows, one a fuel",
        rows,
    );
    let builder = key_columns(builder);
    let builder = heat_and_fuel_columns(builder);
    let builder = heater_columns(builder);
    let builder = electricity_columns(builder);
    worst_week_columns(builder).finish()
}

type Builder<'a> = TableBuilder<'a, FuelRow>;

fn key_columns(builder: Builder) -> Builder {
    builder
        .whole("case_id", "number of the case", |row| {
            Some(row.case_id as i64)
        })
        .whole("month", "month, 0 for the year", |row| {
            Some(row.span.number())
        })
        .text(
            "row_is",
            "house: all heaters and fans of the house; fuel: the heaters of one fuel",
            |row| {
                Some(match row.covers {
                    Covers::House => "house",
                    Covers::Fuel => "fuel",
                })
            },
        )
        .text("fuel", "name of the fuel, several, or none", |row| {
            Some(row.fuel.clone())
        })
        .text("fuel_unit", "the unit the fuel is bought in", |row| {
            row.fuel_unit.clone()
        })
        .text("currency", "currency of the costs", |row| {
            Some(row.currency.clone())
        })
}

fn heat_and_fuel_columns(builder: Builder) -> Builder {
    builder
        .number("heat_kwh", "kWh", "heat delivered to the house", |row| {
            kwh(row.heat_j)
        })
        .number("heat_mmbtu", "MMBtu", "the same in million Btu", |row| {
            mmbtu(row.heat_j)
        })
        .number(
            "fuel_used_in_fuel_unit",
            "see column fuel_unit",
            "fuel used, in the unit it is bought in",
            |row| row.fuel_units,
        )
        .number(
            "fuel_kwh",
            "kWh",
            "energy of the fuel used, higher heating value",
            |row| kwh(row.fuel_j),
        )
        .number("fuel_mmbtu", "MMBtu", "the same in million Btu", |row| {
            mmbtu(row.fuel_j)
        })
        .number(
            "fuel_cost_in_currency",
            "see column currency",
            "cost of the fuel, empty where a price is missing",
            |row| row.fuel_cost,
        )
        .number(
            "co2_kg",
            "kg",
            "carbon dioxide of the fuel used, without that of wood and without that of the \
             electricity of fans and blowers; empty where it is not known of a fuel, as of \
             electricity until [fuels.electricity] gives it",
            |row| row.emissions.map(|of| of.carbon_dioxide_kg),
        )
        .number(
            "co2_biogenic_kg",
            "kg",
            "carbon dioxide of the wood used, which grew by taking it up; reports count it apart",
            |row| row.emissions.map(|of| of.biogenic_carbon_dioxide_kg),
        )
        .number(
            "co2e_kg",
            "kg",
            format!(
                "greenhouse gases of the fuel used as carbon dioxide: that of column co2_kg, methane and \
                 nitrous oxide ({POTENTIALS})"
            ),
            |row| row.emissions.map(|of| of.co2e_kg()),
        )
}

fn heater_columns(builder: Builder) -> Builder {
    let peak = |row: &FuelRow| row.house.map(|house| house.peak_hour_w);
    builder
        .number(
            "peak_heat_kw",
            "kW",
            "largest heat output over one hour, a mean",
            move |row| peak(row).map(kilowatts),
        )
        .number(
            "peak_heat_kbtu_h",
            "kBtu/h",
            "the same in thousand Btu an hour",
            move |row| peak(row).map(kbtu_h),
        )
        .text(
            "peak_heat_month_day_hour",
            "start of the hour in which it was so, local standard time",
            |row| {
                let house = row.house.filter(|house| house.peak_hour_w > 0.0)?;
                Some(Moment::of_hour(house.peak_at_hour).date_and_hour())
            },
        )
        .number(
            "heater_peak_kw",
            "kW",
            "sum of each heater's own largest output over one step",
            |row| kilowatts(row.heater_peak_w),
        )
        .number(
            "heater_output_kw",
            "kW",
            "full output of the heaters",
            |row| kilowatts(row.heater_output_w),
        )
        .number(
            "heater_output_kbtu_h",
            "kBtu/h",
            "the same in thousand Btu an hour",
            |row| kbtu_h(row.heater_output_w),
        )
        .number(
            "full_output_h",
            "h",
            "time with all heaters at full output",
            |row| row.full_output_h,
        )
        .number(
            "unmet_heat_kwh",
            "kWh",
            "heat a further, ample heater would have had to give",
            |row| row.house.map(|house| kwh(house.unmet_j)),
        )
        .number(
            "below_set_k_h",
            "K h",
            "set point less house air where the air is below, integrated over time",
            |row| row.house.map(|house| house.below_set_kh),
        )
        .number(
            "output_that_holds_kw",
            "kW",
            "largest hourly output that would have held the temperature all year, empty where the \
             heaters were enough and in months",
            |row| holding(row).map(kilowatts),
        )
        .number(
            "output_that_holds_kbtu_h",
            "kBtu/h",
            "the same in thousand Btu an hour",
            |row| holding(row).map(kbtu_h),
        )
}

fn holding(row: &FuelRow) -> Option<f64> {
    row.house.and_then(|house| house.holding_peak_w)
}

fn electricity_columns(builder: Builder) -> Builder {
    builder
        .number(
            "heater_electricity_kwh",
            "kWh",
            "electricity of heater fans and controls",
            |row| kwh(row.heater_electric_j),
        )
        .number(
            "blower_electricity_kwh",
            "kWh",
            "electricity of inflation blowers",
            |row| row.house.map(|house| kwh(house.blower_j)),
        )
        .number(
            "circulation_electricity_kwh",
            "kWh",
            "electricity of circulation fans",
            |row| row.house.map(|house| kwh(house.circulation_j)),
        )
        .number(
            "vent_fan_electricity_kwh",
            "kWh",
            "electricity of vent fans",
            |row| row.house.map(|house| kwh(house.vent_fan_j)),
        )
        .number(
            "electricity_cost_in_currency",
            "see column currency",
            "cost of the electricity of heaters, blowers and fans, empty without a price",
            |row| row.house.and_then(|house| house.electricity_cost),
        )
}

fn worst_week_columns(builder: Builder) -> Builder {
    builder
        .text(
            "worst_week_first_month_day",
            "month and day on which the seven days with most heat begin",
            |row| {
                row.worst_week
                    .map(|week| Moment::of_hour(week.first_day * 24).date())
            },
        )
        .number(
            "worst_week_heat_kwh",
            "kWh",
            "heat delivered in those seven days",
            |row| row.worst_week.map(|week| kwh(week.heat_j)),
        )
        .number(
            "worst_week_heat_mmbtu",
            "MMBtu",
            "the same in million Btu",
            |row| row.worst_week.map(|week| mmbtu(week.heat_j)),
        )
        .number(
            "worst_week_fuel_in_fuel_unit",
            "see column fuel_unit",
            "fuel used in those seven days, empty for houses with several fuels",
            |row| row.worst_week.and_then(|week| week.fuel_units),
        )
}

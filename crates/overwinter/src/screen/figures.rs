//! Numbers as people read them: two or three significant figures, the unit, and its twin.

use overwinter_study::tables::calendar::Moment;
use overwinter_units::{Kind, MONTH_NAMES, System, grouped, print, significant, tenth};

/// Joules in a kilowatt-hour.
const J_PER_KWH: f64 = 3.6e6;
/// Joules in a British thermal unit of the International Table (ISO 80000-5:2019).
const J_PER_BTU: f64 = 1_055.055_852_62;
/// Square metres in a square foot (0.3048 m squared).
const M2_PER_FT2: f64 = 0.092_903_04;
/// Metres in an inch (international inch, exact).
const M_PER_IN: f64 = 0.0254;
/// Metres per second in a mile per hour (international mile, exact).
const M_S_PER_MPH: f64 = 0.447_04;
/// W/m2K in one Btu per hour, square foot and degree Fahrenheit.
const W_M2K_PER_BTU_H_FT2_F: f64 = J_PER_BTU * 1.8 / 3600.0 / M2_PER_FT2;

/// Three significant figures with thousands apart: `2,850`.
pub(crate) fn figures(value: f64) -> String {
    grouped(&significant(value, 3))
}

/// Two significant figures, for small shares of a whole.
pub(crate) fn rough(value: f64) -> String {
    grouped(&significant(value, 2))
}

/// A count, in full.
pub(crate) fn count(value: usize) -> String {
    grouped(&value.to_string())
}

/// Energy, `MMBtu` (`kBtu` below a tenth of one) beside `kWh`.
pub(crate) fn energy(energy_j: f64, system: System) -> String {
    let kbtu = energy_j / J_PER_BTU / 1e3;
    let us = match kbtu {
        little if little.abs() < 100.0 => format!("{} kBtu", figures(little)),
        much => format!("{} MMBtu", figures(much / 1e3)),
    };
    pair(format!("{} kWh", figures(energy_j / J_PER_KWH)), us, system)
}

/// Energy in one unit of the system, without the unit.
pub(crate) fn energy_number(energy_j: f64, system: System) -> f64 {
    match system {
        System::Si => energy_j / J_PER_KWH,
        System::Us => energy_j / J_PER_BTU / 1e6,
    }
}

/// That unit.
pub(crate) fn energy_unit(system: System) -> &'static str {
    match system {
        System::Si => "kWh",
        System::Us => "MMBtu",
    }
}

/// Electricity, which is sold by the kWh everywhere.
pub(crate) fn electricity(energy_j: f64) -> String {
    format!("{} kWh", figures(energy_j / J_PER_KWH))
}

/// Heat output, `kBtu/h` beside `kW`.
pub(crate) fn output(power_w: f64, system: System) -> String {
    let us = format!("{} kBtu/h", figures(power_w * 3600.0 / J_PER_BTU / 1e3));
    pair(format!("{} kW", figures(power_w / 1e3)), us, system)
}

/// Energy in one unit of the system.
pub(crate) fn energy_short(energy_j: f64, system: System) -> String {
    format!(
        "{} {}",
        figures(energy_number(energy_j, system)),
        energy_unit(system)
    )
}

/// Heat output in one unit of the system, without the unit.
pub(crate) fn output_number(power_w: f64, system: System) -> String {
    figures(match system {
        System::Si => power_w / 1e3,
        System::Us => power_w * 3600.0 / J_PER_BTU / 1e3,
    })
}

/// A U-value, Btu per hour, square foot and degree Fahrenheit beside W/m2K.
pub(crate) fn u_value(u_w_m2k: f64, system: System) -> String {
    let [si, us] = [System::Si, System::Us].map(|system| {
        let number = u_value_number(u_w_m2k, system);
        format!("{number} {}", u_value_unit(system))
    });
    pair(si, us, system)
}

/// A U-value in one unit of the system to a hundredth, without the unit.
pub(crate) fn u_value_number(u_w_m2k: f64, system: System) -> String {
    let number = match system {
        System::Si => u_w_m2k,
        System::Us => u_w_m2k / W_M2K_PER_BTU_H_FT2_F,
    };
    format!("{number:.2}")
}

/// That unit.
pub(crate) fn u_value_unit(system: System) -> &'static str {
    match system {
        System::Si => "W/m2K",
        System::Us => "Btu/hft2F",
    }
}

/// An R-value as it is sold, `R 1.5`, beside m2K/W.
pub(crate) fn r_value(resistance_m2k_w: f64, system: System) -> String {
    let [si, us] = [System::Si, System::Us].map(|system| r_value_number(resistance_m2k_w, system));
    pair(format!("{si} m2K/W"), format!("R {us}"), system)
}

/// An R-value in one unit of the system, without the unit: R 1 is 1 h ft2 F/Btu.
pub(crate) fn r_value_number(resistance_m2k_w: f64, system: System) -> String {
    match system {
        System::Si => format!("{resistance_m2k_w:.3}"),
        System::Us => format!("{:.2}", resistance_m2k_w * W_M2K_PER_BTU_H_FT2_F),
    }
}

/// A distance of a few inches at most between two layers.
pub(crate) fn gap(gap_m: f64, system: System) -> String {
    match system {
        System::Si => format!("{} mm", figures(gap_m * 1e3)),
        System::Us => format!("{} in", rough(gap_m / M_PER_IN)),
    }
}

/// Heat through an area.
pub(crate) fn flux(flux_w_m2: f64, system: System) -> String {
    let us = flux_w_m2 * 3600.0 / J_PER_BTU * M2_PER_FT2;
    let [si, us] = [
        format!("{} W/m2", figures(flux_w_m2)),
        format!("{} Btu/hft2", figures(us)),
    ];
    pair(si, us, system)
}

/// Any quantity in the units of `overwinter-units`, beside its twin.
pub(crate) fn quantity(value: f64, kind: Kind, system: System) -> String {
    let [si, us] = [System::Si, System::Us].map(|system| print(value, kind, system));
    pair(si, us, system)
}

/// Floor area.
pub(crate) fn area(area_m2: f64, system: System) -> String {
    let us = format!("{} ft2", figures(area_m2 / M2_PER_FT2));
    pair(format!("{} m2", figures(area_m2)), us, system)
}

/// A wind speed.
pub(crate) fn wind(speed_m_s: f64, system: System) -> String {
    let us = format!("{} mph", rough(speed_m_s / M_S_PER_MPH));
    pair(format!("{} m/s", rough(speed_m_s)), us, system)
}

/// A temperature to a tenth of a degree.
pub(crate) fn temperature(temp_k: f64, system: System) -> String {
    let [si, us] = [System::Si, System::Us].map(|system| temperature_short(temp_k, system));
    pair(si, us, system)
}

/// A temperature in one unit of the system.
pub(crate) fn temperature_short(temp_k: f64, system: System) -> String {
    let number = temperature_number(temp_k, system);
    match system {
        System::Si => format!("{number} degC"),
        System::Us => format!("{number} degF"),
    }
}

/// The same without the unit.
pub(crate) fn temperature_number(temp_k: f64, system: System) -> String {
    let degc = temp_k - 273.15;
    match system {
        System::Si => tenth(degc),
        System::Us => tenth(degc * 1.8 + 32.0),
    }
}

/// A difference of temperature.
pub(crate) fn difference(difference_k: f64, system: System) -> String {
    let [si, us] = [System::Si, System::Us].map(|system| difference_short(difference_k, system));
    pair(si, us, system)
}

/// A difference of temperature in one unit of the system.
pub(crate) fn difference_short(difference_k: f64, system: System) -> String {
    match system {
        System::Si => format!("{} K", tenth(difference_k)),
        System::Us => format!("{} degF", tenth(difference_k * 1.8)),
    }
}

/// `17 Jan`.
pub(crate) fn date(hour: usize) -> String {
    let when = Moment::of_hour(hour);
    format!("{} {}", when.day, month(when.month - 1))
}

/// `17 Jan 06:00`.
pub(crate) fn date_and_hour(hour: usize) -> String {
    format!("{} {:02}:00", date(hour), Moment::of_hour(hour).hour)
}

/// Name of a month counted from 0.
pub(crate) fn month(month: usize) -> &'static str {
    &MONTH_NAMES[month % MONTH_NAMES.len()][..3]
}

fn pair(si: String, us: String, system: System) -> String {
    match system {
        System::Si => format!("{si} ({us})"),
        System::Us => format!("{us} ({si})"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_grouped() {
        assert_eq!(figures(2_847.0), "2,850");
        assert_eq!(figures(1_234_567.0), "1,230,000");
        assert_eq!(figures(0.012_34), "0.0123");
        assert_eq!(figures(-45_678.0), "-45,700");
        assert_eq!(figures(999.6), "1,000");
        assert_eq!(count(8760), "8,760");
        assert_eq!(rough(0.256), "0.26");
    }

    #[test]
    fn units_stand_with_their_twin() {
        // 1 kWh = 3,412.14 Btu (NIST SP 811, 2008, appendix B.8).
        assert_eq!(energy(3.6e9, System::Us), "3.41 MMBtu (1,000 kWh)");
        assert_eq!(energy(3.6e9, System::Si), "1,000 kWh (3.41 MMBtu)");
        assert_eq!(energy(3.6e7, System::Us), "34.1 kBtu (10 kWh)");
        assert_eq!(output(10e3, System::Us), "34.1 kBtu/h (10 kW)");
        assert_eq!(temperature(273.15, System::Us), "32.0 degF (0.0 degC)");
        assert_eq!(temperature(273.14, System::Si), "0.0 degC (32.0 degF)");
        assert_eq!(difference(2.5, System::Us), "4.5 degF (2.5 K)");
        // 1 Btu/(h ft2 F) = 5.678263 W/(m2 K) (the same source).
        assert_eq!(
            u_value(5.678_263, System::Us),
            "1.00 Btu/hft2F (5.68 W/m2K)"
        );
        assert_eq!(r_value(0.880_551, System::Us), "R 5.00 (0.881 m2K/W)");
        assert_eq!(r_value(0.880_551, System::Si), "0.881 m2K/W (R 5.00)");
        assert_eq!(gap(0.012, System::Us), "0.47 in");
        assert_eq!(flux(3.154_591, System::Us), "1 Btu/hft2 (3.15 W/m2)");
        assert_eq!(area(100.0, System::Si), "100 m2 (1,080 ft2)");
    }

    #[test]
    fn hours_become_dates() {
        assert_eq!(date_and_hour(9 * 24 + 6), "10 Jan 06:00");
        assert_eq!(date(8759), "31 Dec");
    }
}

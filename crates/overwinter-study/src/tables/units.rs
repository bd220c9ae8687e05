//! From SI to the units of the tables.

/// Joules in a kilowatt-hour.
pub(crate) const J_PER_KWH: f64 = 3.6e6;
/// Joules in a British thermal unit of the International Table (ISO 80000-5:2019).
const J_PER_BTU: f64 = 1_055.055_852_62;
/// Square metres in a square foot (0.3048 m squared).
const M2_PER_FT2: f64 = 0.092_903_04;
/// Cubic metres in a US gallon (231 cubic inches of 0.0254 m).
const M3_PER_GALLON: f64 = 3.785_411_784e-3;
/// Water at 4 C.
const WATER_KG_M3: f64 = 1000.0;

pub(crate) fn kwh(energy_j: f64) -> f64 {
    energy_j / J_PER_KWH
}

pub(crate) fn mmbtu(energy_j: f64) -> f64 {
    energy_j / J_PER_BTU / 1e6
}

pub(crate) fn kilowatts(power_w: f64) -> f64 {
    power_w / 1e3
}

pub(crate) fn kbtu_h(power_w: f64) -> f64 {
    power_w * 3600.0 / J_PER_BTU / 1e3
}

pub(crate) fn degc(temp_k: f64) -> f64 {
    temp_k - 273.15
}

pub(crate) fn degf(temp_k: f64) -> f64 {
    degc(temp_k) * 1.8 + 32.0
}

/// A difference of temperature in degrees Fahrenheit.
pub(crate) fn fahrenheit_steps(difference_k: f64) -> f64 {
    difference_k * 1.8
}

/// US gallons of liquid water at 4 C.
pub(crate) fn gallons_of_water(mass_kg: f64) -> f64 {
    mass_kg / WATER_KG_M3 / M3_PER_GALLON
}

pub(crate) fn ft2(area_m2: f64) -> f64 {
    area_m2 / M2_PER_FT2
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 1 kWh = 3412.14 Btu; 100 m2 = 1076.39 ft2; 1 gal = 3.785412 L (NIST SP 811, 2008, appendix
    /// B.8).
    #[test]
    fn conversions_match_the_published_factors() {
        assert!((mmbtu(3.6e6) - 3412.14e-6).abs() < 1e-8);
        assert!((kbtu_h(1e3) - 3.41214).abs() < 1e-5);
        assert!((ft2(100.0) - 1076.39).abs() < 0.01);
        assert!((gallons_of_water(3.785_412) - 1.0).abs() < 1e-6);
        assert!((degf(273.15) - 32.0).abs() < 1e-12);
        assert!((degf(255.372_222) - 0.0).abs() < 1e-5);
    }
}

//! The statistics and the defects of a weather file.

use std::path::Path;

use overwinter_study::manifest::credit;
use overwinter_units::System;
use overwinter_weather::climate::{ClimateSummary, ColdNight, DegreeDays, MonthSummary, summarise};
use overwinter_weather::{LongwaveSource, Note, Year};

use super::figures::{self, count, figures};
use super::layout::{Lean, columns, item, labelled};
use super::weather::year_words;

/// Metres in a foot (international foot, exact).
const M_PER_FT: f64 = 0.3048;
/// Metres a second in a mile an hour (1,609.344 m in 3,600 s, exact).
const M_S_PER_MPH: f64 = 0.447_04;
const ZERO_CELSIUS_K: f64 = 273.15;

/// The text for one file.
pub(crate) fn text(file: &Path, year: &Year, system: System) -> String {
    let summary = summarise(year);
    let mut text = heading(file, &summary, year, system);
    text += &statistics(&summary, system);
    text += &coldest_nights(&summary, system);
    text += &months(&summary, system);
    text + &defects(&summary.notes)
}

fn heading(file: &Path, summary: &ClimateSummary, year: &Year, system: System) -> String {
    let place = &summary.place;
    let mut name = place.name.clone();
    if !place.region.is_empty() {
        name += &format!(", {}", place.region);
    }
    let position = format!(
        "{}, {}, {}, UTC{:+}",
        degrees(place.latitude_deg, "N", "S"),
        degrees(place.longitude_deg, "E", "W"),
        height(place.elevation_m, system),
        place.time_zone_h,
    );
    let sky = match year.longwave_source {
        LongwaveSource::File => "longwave read from the file",
        LongwaveSource::ModelledWithCloud => "longwave modelled from dew point and cloud cover",
        LongwaveSource::ModelledWithoutCloud => {
            "longwave modelled from dew point; no cloud cover in the file, estimated from the sun"
        }
    };
    format!("{name}\n\n")
        + &labelled("File", &format!("{} ({})", file.display(), place.format))
        + &labelled("Place", &position)
        + &labelled("Year", &year_words(year.kind()))
        + &labelled("Sky", sky)
        + &credit(&place.format).map_or_else(String::new, |credit| labelled("Credit", credit))
}

fn statistics(summary: &ClimateSummary, system: System) -> String {
    let air = &summary.air_temp;
    let [lowest, mean, highest] =
        [air.min_c, air.mean_c, air.max_c].map(|degc| degc_text(degc, system));
    let colder = format!(
        "{} h below {}, {} h below {}",
        count(summary.hours_below_0_c),
        degc_text(0.0, system),
        count(summary.hours_below_minus_20_c),
        degc_text(-20.0, system),
    );
    let days = [&summary.degree_days, &summary.degree_days_to_base];
    let degree_days = days.map(|days| degree_days(days, system)).join("; ");
    let sun = format!(
        "{} kWh/m2 a year on the horizontal",
        figures(summary.global_horizontal_kwh_m2)
    );
    labelled(
        "Air",
        &format!("lowest {lowest}, mean {mean}, highest {highest}"),
    ) + &labelled(
        "Warmer 99.6 % of hours",
        &degc_text(summary.exceeded_99_6_percent_c, system),
    ) + &labelled(
        "Warmer 99 % of hours",
        &degc_text(summary.exceeded_99_percent_c, system),
    ) + &labelled("Cold hours", &colder)
        + &labelled("Degree-days", &degree_days)
        + &labelled("Sun", &sun)
}

fn coldest_nights(summary: &ClimateSummary, system: System) -> String {
    let header = ["Coldest nights (noon to noon)", "air", "sky", "wind", ""].map(str::to_owned);
    let mut rows = vec![header.to_vec()];
    rows.extend(
        summary
            .coldest_nights
            .iter()
            .map(|night| cold_night(night, system)),
    );
    let lean = [
        Lean::Left,
        Lean::Right,
        Lean::Right,
        Lean::Right,
        Lean::Left,
    ];
    let nights = &summary.coldest_nights;
    let note = if nights.iter().any(|night| night.is_at_month_join) {
        "  * within 12 hours of a join of two months: smoothed, no design value\n"
    } else {
        ""
    };
    format!("\n{}{note}", columns(&rows, &lean, 4..5))
}

fn cold_night(night: &ColdNight, system: System) -> Vec<String> {
    // An evening belongs to the night that ends on the next day.
    let morning = (night.instant + 12) % 8760;
    vec![
        format!("  to {}, at {:02}:00", figures::date(morning), night.hour),
        degc_text(night.air_temp_c, system),
        degc_text(night.sky_temp_c, system),
        speed(night.wind_m_s, system),
        if night.is_at_month_join { "*" } else { "" }.to_owned(),
    ]
}

fn months(summary: &ClimateSummary, system: System) -> String {
    let header = [
        "By month",
        "mean air",
        "lowest air",
        "sun kWh/m2",
        "wind",
        "sky below air",
    ];
    let mut rows = vec![header.map(str::to_owned).to_vec()];
    rows.extend(summary.months.iter().map(|month| month_row(month, system)));
    let mut lean = [Lean::Right; 6];
    lean[0] = Lean::Left;
    format!("\n{}", columns(&rows, &lean, 0..1))
}

fn month_row(month: &MonthSummary, system: System) -> Vec<String> {
    vec![
        format!("  {}", month_name(month.month)),
        degc_short(month.air_temp.mean_c, system),
        degc_short(month.air_temp.min_c, system),
        figures(month.global_horizontal_kwh_m2),
        speed(month.mean_wind_m_s, system),
        figures::difference_short(month.mean_sky_depression_k, system),
    ]
}

fn defects(notes: &[Note]) -> String {
    if notes.is_empty() {
        return "\nNo defects found.\n".to_owned();
    }
    let note = |note: &Note| {
        let line = match note.first_line {
            0 => String::new(),
            line => format!(", first in line {line}"),
        };
        let Note { defect, action, .. } = note;
        item(&format!("{defect}: {}{line}; {action}", count(note.count)))
    };
    let notes: String = notes.iter().map(note).collect();
    format!("\nDefects found and what was done\n{notes}")
}

/// A sum of degree-days in one system's unit.
pub(super) fn degree_day_sum(days: &DegreeDays, system: System) -> String {
    match system {
        System::Si => format!("{} K day", figures(days.sum_k_day)),
        System::Us => format!("{} degF day", figures(days.sum_k_day * 1.8)),
    }
}

fn degree_days(days: &DegreeDays, system: System) -> String {
    let base = degc_text(days.base_c, system);
    let [si, us] = [System::Si, System::Us].map(|system| degree_day_sum(days, system));
    match system {
        System::Si => format!("{si} ({us}) to base {base}"),
        System::Us => format!("{us} ({si}) to base {base}"),
    }
}

fn degrees(angle_deg: f64, positive: &str, negative: &str) -> String {
    let side = if angle_deg < 0.0 { negative } else { positive };
    format!("{:.2} {side}", angle_deg.abs())
}

fn height(height_m: f64, system: System) -> String {
    let si = format!("{} m", figures(height_m));
    let us = format!("{} ft", figures(height_m / M_PER_FT));
    match system {
        System::Si => format!("{si} ({us})"),
        System::Us => format!("{us} ({si})"),
    }
}

fn speed(speed_m_s: f64, system: System) -> String {
    match system {
        System::Si => format!("{speed_m_s:.1} m/s"),
        System::Us => format!("{:.1} mph", speed_m_s / M_S_PER_MPH),
    }
}

pub(super) fn degc_text(degc: f64, system: System) -> String {
    figures::temperature(degc + ZERO_CELSIUS_K, system)
}

fn degc_short(degc: f64, system: System) -> String {
    figures::temperature_short(degc + ZERO_CELSIUS_K, system)
}

/// Name of a month counted from 1.
fn month_name(month: u32) -> &'static str {
    figures::month(month.saturating_sub(1) as usize)
}

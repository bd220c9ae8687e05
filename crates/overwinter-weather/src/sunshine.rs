//! The three radiation components over the hours, each completed from the others.

use crate::axes::Axes;
use crate::error::WeatherError;
use crate::field::Field;
use crate::gaps::{Bridge, fill_gaps};
use crate::sun_angle::SunHour;
use crate::table::Table;
use crate::year::HOURS;

/// Longest run of missing radiation by day that is bridged by a straight line.
pub(crate) const SUN_GAP_LIMIT_H: usize = 2;

/// Radiation over each hour of the year, W/m2, complete and not negative.
pub(crate) struct Sunshine {
    pub(crate) global: Vec<f64>,
    pub(crate) direct: Vec<f64>,
    pub(crate) diffuse: Vec<f64>,
}

/// One hour's components, NaN where missing.
#[derive(Clone, Copy)]
struct Components {
    global: f64,
    direct: f64,
    diffuse: f64,
}

/// Lays the components on the hours and completes them.
pub(crate) fn complete_sunshine(
    table: &mut Table,
    axes: &Axes,
    sun: &[SunHour],
) -> Result<Sunshine, WeatherError> {
    let mut component = |field: Field| {
        table.column_mut(field).resize(HOURS, f64::NAN);
        axes.over_hours(table.column(field))
    };
    let mut sunshine = Sunshine {
        global: component(Field::GlobalHorizontal),
        direct: component(Field::DirectNormal),
        diffuse: component(Field::DiffuseHorizontal),
    };
    for (hour, sun) in sun.iter().enumerate() {
        let line = table.lines[axes.row_of_hour(hour)];
        let found = Components {
            global: sunshine.global[hour],
            direct: sunshine.direct[hour],
            diffuse: sunshine.diffuse[hour],
        };
        let completed = complete_hour(table, found, sun, line);
        sunshine.global[hour] = completed.global;
        sunshine.direct[hour] = completed.direct;
        sunshine.diffuse[hour] = completed.diffuse;
    }
    bridge(table, axes, Field::GlobalHorizontal, &mut sunshine.global)?;
    bridge(table, axes, Field::DirectNormal, &mut sunshine.direct)?;
    bridge(table, axes, Field::DiffuseHorizontal, &mut sunshine.diffuse)?;
    Ok(sunshine)
}

fn complete_hour(table: &mut Table, found: Components, sun: &SunHour, line: usize) -> Components {
    let found = Components {
        global: not_negative(table, found.global, line),
        direct: not_negative(table, found.direct, line),
        diffuse: not_negative(table, found.diffuse, line),
    };
    let is_known = [found.global, found.direct, found.diffuse].map(|value| !value.is_nan());
    if is_known == [true, true, true] {
        return found;
    }
    if sun.is_dark {
        let or_nothing = |value: f64| if value.is_nan() { 0.0 } else { value };
        return Components {
            global: or_nothing(found.global),
            direct: or_nothing(found.direct),
            diffuse: or_nothing(found.diffuse),
        };
    }
    match is_known {
        [true, true, false] => {
            table.tally.count(
                "no diffuse radiation",
                line,
                "global minus direct times cos zenith",
            );
            let diffuse = (found.global - found.direct * sun.cos_zenith).clamp(0.0, found.global);
            Components { diffuse, ..found }
        }
        [false, true, true] => {
            table.tally.count(
                "no global radiation",
                line,
                "diffuse plus direct times cos zenith",
            );
            Components {
                global: found.diffuse + found.direct * sun.cos_zenith,
                ..found
            }
        }
        [true, false, true] => {
            table.tally.count(
                "no direct radiation",
                line,
                "global minus diffuse over cos zenith",
            );
            Components {
                direct: direct_from(found.global, found.diffuse, sun),
                ..found
            }
        }
        [true, false, false] => {
            table.tally.count(
                "global radiation only",
                line,
                "split by Erbs, Klein and Duffie (1982)",
            );
            let diffuse = found.global * diffuse_share_erbs1982(found.global, sun);
            Components {
                diffuse,
                direct: direct_from(found.global, diffuse, sun),
                ..found
            }
        }
        _ => found,
    }
}

fn not_negative(table: &mut Table, value: f64, line: usize) -> f64 {
    if value < 0.0 {
        table
            .tally
            .count("radiation slightly negative", line, "taken as 0");
        return 0.0;
    }
    value
}

/// Direct normal from the closure, with the sun no lower than three degrees and the beam no
/// stronger than outside the atmosphere.
fn direct_from(global: f64, diffuse: f64, sun: &SunHour) -> f64 {
    const LOWEST_COS_ZENITH: f64 = 0.052;
    let outside = 1361.0;
    ((global - diffuse) / sun.cos_zenith.max(LOWEST_COS_ZENITH)).clamp(0.0, outside)
}

/// Diffuse share of the global radiation of an hour from its clearness.
///
/// # References
/// D. G. Erbs, S. A. Klein, J. A. Duffie (1982), "Estimation of the diffuse radiation fraction for
/// hourly, daily and monthly-average global radiation", Solar Energy 28(4), 293-302, equation 1
/// (from memory).
fn diffuse_share_erbs1982(global: f64, sun: &SunHour) -> f64 {
    let clearness = (global / sun.extraterrestrial_w_m2.max(1.0)).clamp(0.0, 1.0);
    if clearness <= 0.22 {
        1.0 - 0.09 * clearness
    } else if clearness <= 0.8 {
        0.9511
            + clearness
                * (-0.1604 + clearness * (4.388 + clearness * (-16.638 + 12.336 * clearness)))
    } else {
        0.165
    }
}

/// Bridges short gaps by day; a longer one is an error that names it.
fn bridge(
    table: &mut Table,
    axes: &Axes,
    field: Field,
    hours: &mut [f64],
) -> Result<(), WeatherError> {
    let name = field.rule().name;
    match fill_gaps(hours, SUN_GAP_LIMIT_H, Bridge::Line) {
        Ok(filled) if filled.count == 0 => Ok(()),
        Ok(filled) => {
            let line = table.lines[axes.row_of_hour(filled.first)];
            let action =
                format!("filled by a straight line (gaps up to {SUN_GAP_LIMIT_H} h by day)");
            table
                .tally
                .count_many(&format!("{name} filled"), filled.count, line, &action);
            Ok(())
        }
        Err(gap) => Err(WeatherError::Gap {
            file: table.file.clone(),
            line: table.lines[axes.row_of_hour(gap.first)],
            column: name,
            hours: gap.hours,
            limit_h: SUN_GAP_LIMIT_H,
        }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn erbs_meets_its_branches_nearly() {
        let sun = SunHour {
            cos_zenith: 0.5,
            extraterrestrial_w_m2: 1000.0,
            is_dark: false,
        };
        let share = |clearness: f64| diffuse_share_erbs1982(1000.0 * clearness, &sun);
        assert!((share(0.0) - 1.0).abs() < 1e-12);
        assert!((share(0.2199) - share(0.2201)).abs() < 0.01);
        assert!((share(0.7999) - share(0.8001)).abs() < 0.01);
        assert!((share(0.9) - 0.165).abs() < 1e-12);
    }
}

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
    if sun.is_dark {
        return found.or_nothing();
    }
    let (completed, gap) = found.closed(sun);
    if let Some((defect, action)) = gap {
        table.tally.count(defect, line, action);
    }
    completed
}

impl Components {
    /// Missing values of a dark hour are nothing.
    fn or_nothing(self) -> Self {
        let or_nothing = |value: f64| if value.is_nan() { 0.0 } else { value };
        Self {
            global: or_nothing(self.global),
            direct: or_nothing(self.direct),
            diffuse: or_nothing(self.diffuse),
        }
    }

    /// The third component from two, or the split of the global one; with what was missing and what
    /// was done. Hours with less stay as they are.
    fn closed(self, sun: &SunHour) -> (Self, Option<(&'static str, &'static str)>) {
        let Self {
            global,
            direct,
            diffuse,
        } = self;
        match [global, direct, diffuse].map(|value| !value.is_nan()) {
            [true, true, false] => {
                let diffuse = (global - direct * sun.cos_zenith).clamp(0.0, global);
                let gap = (
                    "no diffuse radiation",
                    "global minus direct times cos zenith",
                );
                (Self { diffuse, ..self }, Some(gap))
            }
            [false, true, true] => {
                let global = diffuse + direct * sun.cos_zenith;
                let gap = (
                    "no global radiation",
                    "diffuse plus direct times cos zenith",
                );
                (Self { global, ..self }, Some(gap))
            }
            [true, false, true] => {
                let direct = direct_from(global, diffuse, sun);
                let gap = (
                    "no direct radiation",
                    "global minus diffuse over cos zenith",
                );
                (Self { direct, ..self }, Some(gap))
            }
            [true, false, false] => {
                let diffuse = global * diffuse_share_erbs1982(global, sun);
                let direct = direct_from(global, diffuse, sun);
                let gap = (
                    "global radiation only",
                    "split by Erbs, Klein and Duffie (1982)",
                );
                (
                    Self {
                        global,
                        direct,
                        diffuse,
                    },
                    Some(gap),
                )
            }
            _ => (self, None),
        }
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
    let outside_w_m2 = sun.extraterrestrial_w_m2 / sun.cos_zenith.max(1e-6);
    let direct = (global - diffuse) / sun.cos_zenith.max(LOWEST_COS_ZENITH);
    direct.min(outside_w_m2).max(0.0)
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

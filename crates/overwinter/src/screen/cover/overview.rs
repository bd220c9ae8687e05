//! All covers in one table.

use overwinter_study::covers::{Cover, CoverError, SKIES_BELOW_AIR_K, published};
use overwinter_units::System;

use super::{Asked, span};
use crate::screen::figures::{r_value_number, rough, u_value_number};
use crate::screen::layout::{Lean, columns, item};

/// Name, U, R, share of radiation, U dry and wet under each sky, handbooks.
const COLUMNS: usize = 5 + 2 * SKIES_BELOW_AIR_K.len();

/// One line a cover: U and R at the stated conditions, U by sky and wetness, what handbooks say.
pub(super) fn text(covers: &[Cover], asked: &Asked) -> Result<String, CoverError> {
    let mut rows = header(asked.system);
    for cover in covers {
        rows.push(line(cover, asked)?);
    }
    let mut lean = [Lean::Right; COLUMNS];
    lean[0] = Lean::Left;
    let units = match asked.system {
        System::Us => "U in Btu/hft2F, R in hft2F/Btu",
        System::Si => "U in W/m2K, R in m2K/W",
    };
    let key = format!(
        "{units}; rad.: share of the heat that is lost by radiation from floor and crop; dry, wet: U \
         by the inner face and by how much colder the sky is than the air, from overcast to clear."
    );
    let claim = match asked.claim_m2k_w {
        Some(_) => item("Name a cover with --of to compare a claim with it."),
        None => String::new(),
    };
    let table = columns(&rows, &lean, 0..1);
    Ok(format!("\n{table}\n{}{claim}", item(&key)))
}

fn header(system: System) -> Vec<Vec<String>> {
    let steps = SKIES_BELOW_AIR_K.map(|sky_k| match system {
        System::Si => format!("{sky_k} K"),
        System::Us => format!("{} F", sky_k * 1.8),
    });
    let texts = |cells: &[&str]| {
        cells
            .iter()
            .map(|cell| (*cell).to_owned())
            .collect::<Vec<_>>()
    };
    let mut first = texts(&["", "as", "", ""]);
    first.extend(texts(&["dry", "", "", "wet", "", "", "hand-"]));
    let mut second = texts(&["Cover", "stated", "R", "rad."]);
    second.extend(steps.clone());
    second.extend(steps);
    second.push("books".to_owned());
    vec![first, second]
}

fn line(cover: &Cover, asked: &Asked) -> Result<Vec<String>, CoverError> {
    let number = |u_w_m2k: f64| u_value_number(u_w_m2k, asked.system);
    let loss = cover.heat_loss(&asked.conditions)?;
    let mut line = vec![
        cover.name.clone(),
        number(loss.u_w_m2k),
        r_value_number(loss.resistance_m2k_w(), asked.system),
        format!("{} %", rough(loss.radiation_share * 100.0)),
    ];
    for wet_share in [0.0, 1.0] {
        line.extend(
            cover
                .u_by_sky_w_m2k(&asked.conditions, wet_share)?
                .map(number),
        );
    }
    let printed = published(&cover.name);
    let low = printed.iter().map(|printed| printed.u_w_m2k.low);
    let high = printed.iter().map(|printed| printed.u_w_m2k.high);
    let low_w_m2k = low.fold(f64::INFINITY, f64::min);
    let high_w_m2k = high.fold(f64::NEG_INFINITY, f64::max);
    line.push(if printed.is_empty() {
        String::new()
    } else {
        span(low_w_m2k, high_w_m2k, asked.system).replace(" to ", "-")
    });
    Ok(line)
}

//! A seller's R-value beside what the physics gives.

use overwinter_study::covers::{Cover, CoverError, Kindest, kindest};
use overwinter_units::System;

use super::Asked;
use crate::screen::figures::{self, rough};
use crate::screen::layout::labelled;

/// The claim in U, how far it exceeds the physics as stated, and where it comes nearest.
pub(super) fn text(cover: &Cover, claim_m2k_w: f64, asked: &Asked) -> Result<String, CoverError> {
    let system = asked.system;
    let stated = cover.heat_loss(&asked.conditions)?;
    let meaning = format!(
        "{} means U {}; as stated the physics gives {}, and the claim is {} that",
        figures::r_value(claim_m2k_w, system),
        figures::u_value(1.0 / claim_m2k_w, system),
        figures::r_value(stated.resistance_m2k_w(), system),
        times(claim_m2k_w, stated.u_w_m2k)
    );
    let least = kindest(cover, &asked.conditions)?;
    let best = format!(
        "{}: {}; the claim is {} that",
        sky_and_face(&least, system),
        figures::r_value(1.0 / least.u_w_m2k, system),
        times(claim_m2k_w, least.u_w_m2k)
    );
    Ok(labelled("  claim", &meaning) + &labelled("  kindest to the claim", &best))
}

/// How many times the resistance of a U-value a claim is.
pub(super) fn times(claim_m2k_w: f64, u_w_m2k: f64) -> String {
    format!("{} times", rough(claim_m2k_w * u_w_m2k))
}

fn sky_and_face(at: &Kindest, system: System) -> String {
    let sky = match at.sky_below_air_k {
        below_k if below_k > 0.0 => {
            format!("sky {} below the air", figures::difference(below_k, system))
        }
        _ => "sky as warm as the air".to_owned(),
    };
    let wet_percent = rough(at.wet_share * 100.0);
    match &*wet_percent {
        "0" => format!("{sky}, inner face dry"),
        "100" => format!("{sky}, inner face wet"),
        _ => format!("{sky}, {wet_percent} % of the inner face wet"),
    }
}

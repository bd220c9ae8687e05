//! `cover`: what covers lose at stated conditions, beside what handbooks and sellers say.

use overwinter_study::covers::{self, Conditions, Cover, CoverError};

use crate::arguments::CoverArguments;
use crate::exit::{Exit, Stop};
use crate::program::Screen;
use crate::screen::cover::{Asked, text};

pub(crate) fn cover(arguments: &CoverArguments, screen: &mut Screen) -> Result<Exit, Stop> {
    let (title, covers) = covers_of(arguments, screen)?;
    let asked = Asked {
        title,
        is_given: given(arguments).map(|value| value.is_some()),
        conditions: conditions(arguments),
        claim_m2k_w: arguments.claim,
        is_overview: arguments.file.is_none() && arguments.of.is_empty(),
        system: arguments.units.into(),
    };
    let text = text(&covers, &asked).map_err(refused)?;
    write!(screen.out, "{text}")?;
    Ok(Exit::Done)
}

fn covers_of(
    arguments: &CoverArguments,
    screen: &mut Screen,
) -> Result<(String, Vec<Cover>), Stop> {
    let Some(file) = &arguments.file else {
        let all = arguments.of.is_empty();
        let covers = if all {
            covers::all_of_catalogue()
        } else {
            covers::of_catalogue(&arguments.of)
        };
        return Ok((
            "Covers of the catalogue".to_owned(),
            covers.map_err(refused)?,
        ));
    };
    let read = super::read_all(std::slice::from_ref(file), screen)?;
    let covers: Vec<Cover> = read.iter().flat_map(covers::of_scenario).collect();
    let title = read.first().map(|checked| checked.study.title.clone());
    if covers.is_empty() {
        let file = file.display();
        let text = format!("{file}: no part of this house has a cover; its walls are opaque");
        return Err(Stop::Told(text));
    }
    Ok((title.unwrap_or_default(), covers))
}

/// The conditions given, in the order of the fields of [`Conditions`].
fn given(arguments: &CoverArguments) -> [Option<f64>; 6] {
    [
        arguments.inside,
        arguments.outside,
        arguments.sky_below,
        arguments.wind,
        arguments.tilt,
        arguments.wet,
    ]
}

fn conditions(arguments: &CoverArguments) -> Conditions {
    let usual = Conditions::USUAL;
    Conditions {
        inside_k: arguments.inside.unwrap_or(usual.inside_k),
        outside_k: arguments.outside.unwrap_or(usual.outside_k),
        sky_below_air_k: arguments.sky_below.unwrap_or(usual.sky_below_air_k),
        wind_m_s: arguments.wind.unwrap_or(usual.wind_m_s),
        tilt_deg: arguments.tilt.unwrap_or(usual.tilt_deg),
        wet_share: arguments.wet.unwrap_or(usual.wet_share),
    }
}

fn refused(error: CoverError) -> Stop {
    let remedy = match error {
        CoverError::Unknown { .. } => "`overwinter cover` alone lists the covers of the catalogue.",
        CoverError::NotWarmer { .. } => "Give another --inside or --outside.",
        CoverError::Physics { .. } => "Change the cover in the scenario file.",
    };
    Stop::Told(format!("{error}\n  {remedy}"))
}

//! The heat loss of covers.

mod claim;
mod overview;

use overwinter_study::covers::{
    Conditions, Cover, CoverError, HeatLoss, PublishedU, SKIES_BELOW_AIR_K, published,
};
use overwinter_units::{Kind, System, print};

use super::figures::{self, r_value_number, rough, u_value_number, u_value_unit};
use super::layout::{Lean, columns, item, labelled, listed, title};

/// What is asked about covers.
pub(crate) struct Asked {
    /// What the covers belong to.
    pub(crate) title: String,
    /// Which of the conditions were given, in the order of the fields.
    pub(crate) is_given: [bool; 6],
    /// The conditions.
    pub(crate) conditions: Conditions,
    /// A seller's R-value.
    pub(crate) claim_m2k_w: Option<f64>,
    /// True for one table of all covers.
    pub(crate) is_overview: bool,
    /// Units that stand first.
    pub(crate) system: System,
}

/// The text for all covers.
pub(crate) fn text(covers: &[Cover], asked: &Asked) -> Result<String, CoverError> {
    let mut text = format!("{}\n\n{}", title(&asked.title), conditions(asked));
    if asked.is_overview {
        text += &overview::text(covers, asked)?;
    } else {
        for cover in covers {
            text += &format!("\n{}", block(cover, asked)?);
        }
    }
    Ok(text + "\n" + &notes())
}

fn conditions(asked: &Asked) -> String {
    let at = &asked.conditions;
    let [inside, outside] =
        [at.inside_k, at.outside_k].map(|temp_k| figures::temperature(temp_k, asked.system));
    let both = |value: f64, kind: Kind| {
        let [si, us] = [System::Si, System::Us].map(|system| print(value, kind, system));
        match asked.system {
            System::Si => format!("{si} ({us})"),
            System::Us => format!("{us} ({si})"),
        }
    };
    let values = [
        ("house air, floor, crop", inside),
        ("outdoor air", outside),
        (
            "sky below outdoor air",
            figures::difference(at.sky_below_air_k, asked.system),
        ),
        ("wind at the cover", both(at.wind_m_s, Kind::Speed)),
        ("tilt", print(at.tilt_deg, Kind::Angle, asked.system)),
        (
            "inner face wet",
            print(at.wet_share, Kind::Share, asked.system),
        ),
    ];
    let header = ["Conditions", "", "from"].map(str::to_owned);
    let mut rows = vec![header.to_vec()];
    let sources = asked.is_given.iter().zip(Conditions::USUAL_SOURCES);
    for ((label, value), (is_given, source)) in values.into_iter().zip(sources) {
        let from = if *is_given {
            "as given".to_owned()
        } else {
            format!("default; {source}")
        };
        rows.push(vec![format!("  {label}"), value, from]);
    }
    listed(&rows)
}

fn block(cover: &Cover, asked: &Asked) -> Result<String, CoverError> {
    let loss = cover.heat_loss(&asked.conditions)?;
    let system = asked.system;
    let mut name = cover.name.clone();
    if !cover.about.is_empty() {
        name += &format!(": {}", cover.about);
    }
    let mut text = format!("{}\n", title(&name));
    if !cover.places.is_empty() {
        text += &labelled("  on", &cover.places.join("; "));
    }
    text += &labelled("  from the house", &stack(cover, system));
    text += &labelled("  U", &figures::u_value(loss.u_w_m2k, system));
    text += &labelled("  R", &figures::r_value(loss.resistance_m2k_w(), system));
    text += &labelled("  heat lost", &shares(&loss, system));
    text += &labelled("  temperatures", &temperatures(cover, &loss, system));
    text += &handbooks(&published(&cover.name), system);
    text += &by_sky(cover, asked)?;
    if let Some(claim_m2k_w) = asked.claim_m2k_w {
        text += &claim::text(cover, claim_m2k_w, asked)?;
    }
    Ok(text)
}

fn stack(cover: &Cover, system: System) -> String {
    let mut words = Vec::new();
    for (index, layer) in cover.layer_names.iter().enumerate() {
        words.push(layer.clone());
        if let Some(gap) = cover.gaps.get(index) {
            words.push(format!(
                "{} {}",
                gap.filling,
                figures::gap(gap.gap_m, system)
            ));
        }
    }
    words.join(", ")
}

fn shares(loss: &HeatLoss, system: System) -> String {
    let [radiation, convection] =
        [loss.radiation_share, 1.0 - loss.radiation_share].map(|share| rough(share * 100.0));
    format!(
        "{}: {radiation} % by radiation from floor and crop, {convection} % by convection from \
         the house air",
        figures::flux(loss.heat_w_m2, system)
    )
}

fn temperatures(cover: &Cover, loss: &HeatLoss, system: System) -> String {
    let layers = cover.layer_names.iter().zip(&loss.layer_temps_k);
    let layer = |(name, temp_k): (&String, &f64)| {
        format!("{name} {}", figures::temperature(*temp_k, system))
    };
    layers.map(layer).collect::<Vec<_>>().join("; ")
}

fn handbooks(published: &[PublishedU], system: System) -> String {
    let mut text = String::new();
    for (index, printed) in published.iter().enumerate() {
        let label = if index == 0 { "  handbooks, U" } else { "" };
        let line = format!(
            "{} {}: {} ({})",
            span(printed.u_w_m2k.low, printed.u_w_m2k.high, system),
            u_value_unit(system),
            printed.of,
            printed.u_w_m2k.source
        );
        text += &labelled(label, &line);
    }
    text
}

/// A U-value or two, without the unit.
fn span(low_w_m2k: f64, high_w_m2k: f64, system: System) -> String {
    let [low, high] = [low_w_m2k, high_w_m2k].map(|u_w_m2k| u_value_number(u_w_m2k, system));
    if low == high {
        low
    } else {
        format!("{low} to {high}")
    }
}

/// U and R under several skies, dry and wet, and how many times R a claim is.
fn by_sky(cover: &Cover, asked: &Asked) -> Result<String, CoverError> {
    let system = asked.system;
    let faces = [("dry", 0.0), ("wet", 1.0)];
    let mut rows = vec![sky_header(system)];
    let mut add = |label: &str, cell: &dyn Fn(f64) -> String| -> Result<(), CoverError> {
        for (face, wet_share) in faces {
            let u_w_m2k = cover.u_by_sky_w_m2k(&asked.conditions, wet_share)?;
            let label = format!("    {label}, inner face {face}");
            rows.push(std::iter::once(label).chain(u_w_m2k.map(cell)).collect());
        }
        Ok(())
    };
    add(&format!("U in {}", u_value_unit(system)), &|u_w_m2k| {
        u_value_number(u_w_m2k, system)
    })?;
    add("R", &|u_w_m2k| r_value_number(1.0 / u_w_m2k, system))?;
    if let Some(claim_m2k_w) = asked.claim_m2k_w {
        add("claim over R", &|u_w_m2k| {
            claim::times(claim_m2k_w, u_w_m2k)
        })?;
    }
    let lean = [Lean::Left, Lean::Right, Lean::Right, Lean::Right];
    Ok(columns(&rows, &lean, 0..1))
}

/// The skies of [`SKIES_BELOW_AIR_K`].
fn sky_header(system: System) -> Vec<String> {
    let names = ["overcast", "some cloud", "clear"];
    let sky = |(name, sky_k): (&str, f64)| {
        format!("{name}, {}", figures::difference_short(sky_k, system))
    };
    let skies = names.into_iter().zip(SKIES_BELOW_AIR_K).map(sky);
    let label = "  by sky below outdoor air".to_owned();
    std::iter::once(label).chain(skies).collect()
}

/// What a U-value does not say.
fn notes() -> String {
    [
        "A U-value is not a season's saving: over a season floor and soil pay a part of what is \
         radiated, leaks carry heat past any cover, and the sun gives some back. Run a scenario to \
         compare covers in fuel.",
        "Sky and wetness decide as much as the cover does. Ask anyone who quotes one number for \
         which of them it holds.",
        "Left out: sun, air blown through a gap, movable screens, the frame, stated surface \
         coefficients, and a cover that sees other cover instead of the floor.",
    ]
    .map(item)
    .concat()
}

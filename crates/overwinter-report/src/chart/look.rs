//! What tells lines and bars apart without colour: dashes, marks, hatching.

use maud::{Markup, html};

use super::at;

/// Looks there are.
pub(crate) const LOOKS: usize = 6;

const DASHES: [&str; LOOKS] = ["", "9 4", "2 3", "12 3 2 3", "5 2", "1 4"];
/// Half the size of a mark.
const HALF: f64 = 4.0;

/// Class of the colour of a look.
pub(crate) fn class(look: usize) -> String {
    format!("s{}", look % LOOKS)
}

/// Dashes of the line of a look; none for the first.
pub(crate) fn dashes(look: usize) -> Option<&'static str> {
    Some(DASHES[look % LOOKS]).filter(|dashes| !dashes.is_empty())
}

/// The mark of a look at a place: circle, square, triangle, diamond, cross, upturned triangle.
pub(crate) fn mark(look: usize, (x, y): (f64, f64)) -> Markup {
    let class = format!("dot {}", class(look));
    let points = |corners: &[(f64, f64)]| {
        let corners = corners.iter().map(|(dx, dy)| {
            let (dx, dy) = (dx * HALF, dy * HALF);
            format!("{},{}", at(x + dx), at(y + dy))
        });
        corners.collect::<Vec<_>>().join(" ")
    };
    let corners: &[(f64, f64)] = match look % LOOKS {
        0 => return html! { circle class=(class) cx=(at(x)) cy=(at(y)) r=(at(HALF)) {} },
        1 => &[(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)],
        2 => &[(0.0, -1.2), (1.1, 0.9), (-1.1, 0.9)],
        3 => &[(0.0, -1.3), (1.3, 0.0), (0.0, 1.3), (-1.3, 0.0)],
        4 => &[
            (-1.0, -1.0),
            (1.0, 1.0),
            (0.0, 0.0),
            (1.0, -1.0),
            (-1.0, 1.0),
            (0.0, 0.0),
        ],
        _ => &[(0.0, 1.2), (1.1, -0.9), (-1.1, -0.9)],
    };
    html! { polygon class=(class) points=(points(corners)) {} }
}

/// Hatchings of the looks, whose names begin with the id of the chart.
pub(crate) fn hatchings(id: &str, looks: usize) -> Markup {
    html! {
        defs {
            @for look in 0..looks.min(LOOKS) { (hatching(id, look)) }
        }
    }
}

/// What fills a bar of a look.
pub(crate) fn fill(id: &str, look: usize) -> String {
    format!("url(#{id}-h{})", look % LOOKS)
}

fn hatching(id: &str, look: usize) -> Markup {
    let strokes = match look {
        0 => "M0 0H8V8H0Z",
        1 => "M-2 2L2 -2M0 8L8 0M6 10L10 6",
        2 => "M4 2V2.01M0 6V6.01M8 6V6.01",
        3 => "M0 0L8 8M-2 6L2 10M6 -2L10 2M0 8L8 0M-2 2L2 -2M6 10L10 6",
        4 => "M0 4H8",
        _ => "M4 0V8",
    };
    let (filled, width) = match look {
        0 => ("currentColor", "0"),
        2 => ("none", "2.4"),
        _ => ("none", "1.5"),
    };
    html! {
        pattern id={ (id) "-h" (look) } class=(class(look)) width="8" height="8"
            patternUnits="userSpaceOnUse" {
            path d=(strokes) fill=(filled) stroke-width=(width) stroke-linecap="round" {}
        }
    }
}

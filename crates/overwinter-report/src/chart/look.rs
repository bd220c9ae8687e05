//! What tells lines and bars apart without colour: dashes, marks, hatching.

use maud::{Markup, html};

use super::at;

/// Looks there are.
pub(crate) const LOOKS: usize = 6;

const DASHES: [&str; LOOKS] = ["", "9 4", "2 3", "12 3 2 3", "5 2", "1 4"];
/// Half the size of a mark.
const HALF: f64 = 4.0;
/// Distance of the strokes of a hatching along an edge.
const APART: f64 = 8.0;
/// Strokes of a bar, more than any within a chart has.
const MOST_STROKES: usize = 200;

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

/// A bar from its upper left corner: filled or, to stand apart without colour, hatched.
///
/// The strokes of the hatching are drawn one by one: a browser prints a pattern as a picture, which is
/// blurred on paper and a hundred times as large.
pub(crate) fn bar(is_hatched: bool, (x, y): (f64, f64), (wide, high): (f64, f64)) -> Markup {
    let look = usize::from(is_hatched);
    let fill = if is_hatched { "none" } else { "currentColor" };
    html! {
        rect class={ "bar " (class(look)) } x=(at(x)) y=(at(y)) width=(at(wide)) height=(at(high)) fill=(fill) {}
        @if is_hatched {
            path class={ "hatch " (class(look)) } d=(strokes((x, y), (wide, high))) {}
        }
    }
}

/// Rising strokes `x + y = c` across a rectangle, at every multiple of their distance.
fn strokes((x, y): (f64, f64), (wide, high): (f64, f64)) -> String {
    let first = ((x + y) / APART).floor() + 1.0;
    let sums = std::iter::successors(Some(first * APART), |sum| Some(sum + APART));
    let stroke = |sum: f64| {
        let (from, to) = ((sum - y - high).max(x), (sum - y).min(x + wide));
        format!(
            "M{} {}L{} {}",
            at(from),
            at(sum - from),
            at(to),
            at(sum - to)
        )
    };
    sums.take_while(|&sum| sum < x + wide + y + high)
        .take(MOST_STROKES)
        .map(stroke)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strokes_stay_within_their_bar() {
        // By hand: x + y = 16 from the left side to the top, 24 from the foot to the right side.
        assert_eq!(strokes((4.0, 10.0), (8.0, 4.0)), "M4 12L6 10M10 14L12 12");
        assert_eq!(strokes((4.0, 10.0), (0.0, 0.0)), "");
        let wide = strokes((0.0, 0.0), (1e9, 1e9));
        assert_eq!(wide.matches('M').count(), MOST_STROKES);
    }
}

//! Charts as inline SVG: generic drawing of values with names, which knows of no house.
//!
//! Every chart has a title, a description that states what it shows, names at its lines and bars,
//! and a look that stays apart in black and white.

pub(crate) mod bars;
pub(crate) mod columns;
pub(crate) mod lines;
pub(crate) mod look;
pub(crate) mod ranges;
pub(crate) mod scale;

use maud::{Markup, html};

/// Width of every chart; its height is that of what it shows.
pub(crate) const WIDTH: f64 = 680.0;
/// Height of a line of text.
pub(crate) const LINE_HEIGHT: f64 = 15.0;

/// What a chart is called and what it shows.
#[derive(Clone, Debug)]
pub(crate) struct Label {
    /// Its name in the page, unique, of letters, digits and hyphens.
    pub(crate) id: String,
    /// What it is.
    pub(crate) title: String,
    /// What is to be seen in it.
    pub(crate) finding: String,
}

/// The drawing with its title and description.
fn frame(label: &Label, height: f64, drawing: &Markup) -> Markup {
    let (title, finding) = (
        format!("{}-title", label.id),
        format!("{}-finding", label.id),
    );
    html! {
        svg role="img" viewBox={ "0 0 " (at(WIDTH)) " " (at(height)) }
            aria-labelledby={ (title) " " (finding) } {
            title id=(title) { (label.title) }
            desc id=(finding) { (label.finding) }
            (drawing)
        }
    }
}

/// A coordinate in print.
fn at(coordinate: f64) -> String {
    let text = format!("{coordinate:.1}");
    text.strip_suffix(".0")
        .map_or_else(|| text.clone(), str::to_owned)
}

/// A straight line.
fn stroke(class: &str, from: (f64, f64), to: (f64, f64)) -> Markup {
    html! {
        line class=(class) x1=(at(from.0)) y1=(at(from.1)) x2=(at(to.0)) y2=(at(to.1)) {}
    }
}

/// A text; `anchor` is `start`, `middle` or `end`.
fn text(class: &str, anchor: &str, place: (f64, f64), words: &str) -> Markup {
    html! {
        text class=(class) text-anchor=(anchor) x=(at(place.0)) y=(at(place.1)) { (words) }
    }
}

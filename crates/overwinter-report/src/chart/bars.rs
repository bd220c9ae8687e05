//! Lying bars, to the right of nothing or to its left, each under its name.

use maud::{Markup, html};

use super::look;
use super::scale::Scale;
use super::{Label, WIDTH, frame, stroke, text};
use crate::plain_text::shortened;

const SIDE: f64 = 74.0;
const TOP: f64 = 26.0;
const PITCH: f64 = 33.0;
const THICK: f64 = 12.0;
const BOTTOM: f64 = 8.0;
/// Characters of a name.
const NAME_WIDTH: usize = 88;

/// Lying bars.
#[derive(Clone, Debug)]
pub(crate) struct Bars {
    /// What the chart is called and shows.
    pub(crate) label: Label,
    /// What the bars count, with the unit.
    pub(crate) title: String,
    /// The bars.
    pub(crate) bars: Vec<Bar>,
}

/// A bar.
#[derive(Clone, Debug)]
pub(crate) struct Bar {
    /// Its name.
    pub(crate) name: String,
    /// Its value.
    pub(crate) value: f64,
    /// The value in print.
    pub(crate) printed: String,
}

impl Bars {
    /// The drawing: bars to the right are hatched, bars to the left filled.
    pub(crate) fn draw(&self) -> Markup {
        let height = TOP + BOTTOM + PITCH * self.bars.len() as f64;
        let values = self.bars.iter().map(|bar| bar.value);
        let across = Scale::round(values.chain([0.0]), (SIDE, WIDTH - SIDE), 6.0);
        let zero = across.place(0.0);
        let drawing = html! {
            (text("small", "start", (2.0, 13.0), &self.title))
            (stroke("axis", (zero, TOP - 4.0), (zero, height - 2.0)))
            @for (index, bar) in self.bars.iter().enumerate() {
                (self.bar(bar, TOP + PITCH * index as f64, &across))
            }
        };
        frame(&self.label, height, &drawing)
    }

    fn bar(&self, bar: &Bar, top: f64, across: &Scale) -> Markup {
        let (zero, end) = (across.place(0.0), across.place(bar.value));
        let (anchor, x) = if bar.value < 0.0 {
            ("end", end - 5.0)
        } else {
            ("start", end + 5.0)
        };
        html! {
            (text("name", "start", (2.0, top + 11.0), &shortened(&bar.name, NAME_WIDTH)))
            @if bar.value.is_finite() {
                (look::bar(bar.value >= 0.0, (zero.min(end), top + 16.0), ((zero - end).abs(), THICK)))
                (text("value", anchor, (x, top + 27.0), &bar.printed))
            }
        }
    }
}

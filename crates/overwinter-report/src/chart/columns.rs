//! Upright bars side by side, with lines that they are measured against.

use maud::{Markup, html};

use super::look;
use super::scale::Scale;
use super::{Label, WIDTH, frame, stroke, text};

const LEFT: f64 = 58.0;
const RIGHT: f64 = 14.0;
const TOP: f64 = 30.0;
const HEIGHT: f64 = 290.0;
const BOTTOM: f64 = 30.0;

/// Upright bars.
#[derive(Clone, Debug)]
pub(crate) struct Columns {
    /// What the chart is called and shows.
    pub(crate) label: Label,
    /// What the bars count, with the unit.
    pub(crate) up_title: String,
    /// Name below each bar, its value, and the value in print.
    pub(crate) bars: Vec<(String, f64, String)>,
    /// Values drawn across, with their names.
    pub(crate) limits: Vec<(f64, String)>,
}

impl Columns {
    /// The drawing.
    pub(crate) fn draw(&self) -> Markup {
        let floor = HEIGHT - BOTTOM;
        let values = self.bars.iter().map(|bar| bar.1);
        let limits = self.limits.iter().map(|limit| limit.0);
        let up = Scale::round(values.chain(limits).chain([0.0]), (floor, TOP), 5.0);
        let drawing = html! {
            @for tick in up.ticks() {
                (stroke("grid", (LEFT, up.place(tick)), (WIDTH - RIGHT, up.place(tick))))
                (text("small", "end", (LEFT - 6.0, up.place(tick) + 4.0), &up.print(tick)))
            }
            (text("small", "start", (LEFT - 50.0, TOP - 14.0), &self.up_title))
            @for (index, bar) in self.bars.iter().enumerate() { (self.bar(index, bar, &up)) }
            (stroke("axis", (LEFT, up.place(0.0)), (WIDTH - RIGHT, up.place(0.0))))
            @for (value, name) in &self.limits {
                (stroke("limit", (LEFT, up.place(*value)), (WIDTH - RIGHT, up.place(*value))))
                (text("small", "end", (WIDTH - RIGHT, up.place(*value) - 5.0), name))
            }
        };
        frame(&self.label, HEIGHT, &drawing)
    }

    fn bar(
        &self,
        index: usize,
        (name, value, printed): &(String, f64, String),
        up: &Scale,
    ) -> Markup {
        let pitch = (WIDTH - LEFT - RIGHT) / self.bars.len().max(1) as f64;
        let width = (pitch * 0.62).min(64.0);
        let middle = LEFT + pitch * (index as f64 + 0.5);
        let (foot, head) = (up.place(0.0), up.place(*value));
        html! {
            @if value.is_finite() {
                (look::bar(true, (middle - width / 2.0, foot.min(head)), (width, (foot - head).abs())))
                (text("value", "middle", (middle, foot.min(head) - 5.0), printed))
            }
            (text("small", "middle", (middle, HEIGHT - BOTTOM + 17.0), name))
        }
    }
}

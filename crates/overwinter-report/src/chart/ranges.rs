//! Values with their ranges on one scale, a row each, with limits drawn through all rows.

use maud::{Markup, html};

use super::look;
use super::scale::Scale;
use super::{Label, WIDTH, frame, stroke, text};
use crate::plain_text::shortened;

const SIDE: f64 = 46.0;
const TOP: f64 = 24.0;
const PITCH: f64 = 42.0;
const BOTTOM: f64 = 40.0;
/// Half the height of the ends of a range.
const END: f64 = 5.0;
const NAME_WIDTH: usize = 64;
/// Height of the texts of a row, above its marks.
const TEXT_LINE: f64 = 19.0;
/// Height of the name of a limit.
const LIMIT_LINE: f64 = 14.0;

/// Values with ranges.
#[derive(Clone, Debug)]
pub(crate) struct Ranges {
    /// What the chart is called and shows.
    pub(crate) label: Label,
    /// What the scale counts, with the unit.
    pub(crate) title: String,
    /// The rows.
    pub(crate) rows: Vec<Row>,
    /// Values drawn through all rows, with their names.
    pub(crate) limits: Vec<(f64, String)>,
}

/// A row.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    /// Its name.
    pub(crate) name: String,
    /// What stands at its right end.
    pub(crate) printed: String,
    /// The range, if it has one.
    pub(crate) range: Option<(f64, f64)>,
    /// Values with the look of their mark.
    pub(crate) marks: Vec<(f64, usize)>,
}

impl Ranges {
    /// The drawing.
    pub(crate) fn draw(&self) -> Markup {
        let top = TOP + LIMIT_LINE * self.limits.len() as f64;
        let floor = top + PITCH * self.rows.len() as f64;
        let across = Scale::round(self.values(), (SIDE, WIDTH - SIDE), 7.0);
        let drawing = html! {
            @for tick in across.ticks() {
                (stroke("grid", (across.place(tick), top), (across.place(tick), floor)))
                (text("small", "middle", (across.place(tick), floor + 16.0), &across.print(tick)))
            }
            (stroke("axis", (SIDE, floor), (WIDTH - SIDE, floor)))
            (text("small", "middle", (WIDTH / 2.0, floor + 33.0), &self.title))
            @for (index, (value, name)) in self.limits.iter().enumerate() {
                (self.limit(across.place(*value), name, 14.0 + LIMIT_LINE * index as f64, top))
            }
            @for (index, row) in self.rows.iter().enumerate() {
                (draw_row(row, top + PITCH * index as f64, &across))
            }
        };
        frame(&self.label, floor + BOTTOM, &drawing)
    }

    /// A limit with its name on the side that has room, and beside every row, clear of the texts.
    fn limit(&self, x: f64, name: &str, y: f64, top: f64) -> Markup {
        let (anchor, beside) = if x > WIDTH / 2.0 {
            ("end", x - 4.0)
        } else {
            ("start", x + 4.0)
        };
        html! {
            (stroke("limit", (x, y - 9.0), (x, top)))
            @for row in 0..self.rows.len() {
                @let top = top + PITCH * row as f64;
                (stroke("limit", (x, top + TEXT_LINE), (x, top + PITCH)))
            }
            (text("small", anchor, (beside, y), name))
        }
    }

    fn values(&self) -> Vec<f64> {
        let mut values: Vec<f64> = self.limits.iter().map(|limit| limit.0).collect();
        for row in &self.rows {
            values.extend(row.range.into_iter().flat_map(|(low, high)| [low, high]));
            values.extend(row.marks.iter().map(|mark| mark.0));
        }
        values
    }
}

fn draw_row(row: &Row, top: f64, across: &Scale) -> Markup {
    let y = top + 29.0;
    html! {
        (text("name", "start", (2.0, top + 14.0), &shortened(&row.name, NAME_WIDTH)))
        (text("value", "end", (WIDTH - 2.0, top + 14.0), &row.printed))
        @if let Some((low, high)) = row.range {
            @let (low, high) = (across.place(low), across.place(high));
            (stroke("axis", (low, y), (high, y)))
            @for end in [low, high] { (stroke("axis", (end, y - END), (end, y + END))) }
        }
        @for (value, mark) in row.marks.iter().filter(|mark| mark.0.is_finite()) {
            (look::mark(*mark, (across.place(*value), y)))
        }
    }
}

//! Lines over a common axis, each named at its end.

use maud::{Markup, html};

use super::look;
use super::scale::Scale;
use super::{LINE_HEIGHT, Label, WIDTH, at, frame, stroke, text};
use crate::plain_text::wrapped;

const LEFT: f64 = 58.0;
const TOP: f64 = 26.0;
const HEIGHT: f64 = 340.0;
const BOTTOM: f64 = 44.0;
/// Room for the names.
const RIGHT: f64 = 168.0;
/// Characters of a name on a line, and lines of it.
const NAME_WIDTH: usize = 19;
const NAME_LINES: usize = 3;
/// Marks on a line.
const MARKS: usize = 7;

/// Lines over a common axis.
#[derive(Clone, Debug)]
pub(crate) struct Lines {
    /// What the chart is called and shows.
    pub(crate) label: Label,
    /// Ticks of the axis across, with their texts.
    pub(crate) across: Vec<(f64, String)>,
    /// What the axis across counts.
    pub(crate) across_title: String,
    /// What the axis upwards counts, with its unit.
    pub(crate) up_title: String,
    /// True if the axis upwards begins at nothing.
    pub(crate) from_zero: bool,
    /// The lines.
    pub(crate) lines: Vec<Line>,
    /// Values drawn across, with their names.
    pub(crate) limits: Vec<(f64, String)>,
}

/// A line.
#[derive(Clone, Debug)]
pub(crate) struct Line {
    /// Its name.
    pub(crate) name: String,
    /// Its points, in order; points that are not finite are left out.
    pub(crate) points: Vec<(f64, f64)>,
}

impl Lines {
    /// The drawing.
    pub(crate) fn draw(&self) -> Markup {
        let up = self.up();
        let across = self.across_scale();
        let drawing = html! {
            (self.axes(&across, &up))
            @for (value, _) in &self.limits { (limit_line(*value, &up)) }
            @for (index, line) in self.lines.iter().enumerate() { (draw_line(index, line, &across, &up)) }
            @for (value, name) in &self.limits { (limit_name(*value, name, &up)) }
            (self.names(&across, &up))
        };
        frame(&self.label, HEIGHT, &drawing)
    }

    fn up(&self) -> Scale {
        let values = self
            .lines
            .iter()
            .flat_map(|line| line.points.iter().map(|point| point.1));
        let limits = self.limits.iter().map(|limit| limit.0);
        let zero = self.from_zero.then_some(0.0);
        Scale::round(
            values.chain(limits).chain(zero),
            (HEIGHT - BOTTOM, TOP),
            6.0,
        )
    }

    fn across_scale(&self) -> Span {
        let ticks = || {
            self.across
                .iter()
                .map(|tick| tick.0)
                .filter(|tick| tick.is_finite())
        };
        Span {
            low: ticks().fold(f64::INFINITY, f64::min),
            high: ticks().fold(f64::NEG_INFINITY, f64::max),
        }
    }

    fn axes(&self, across: &Span, up: &Scale) -> Markup {
        let (floor, right) = (HEIGHT - BOTTOM, WIDTH - RIGHT);
        html! {
            @for tick in up.ticks() {
                (stroke("grid", (LEFT, up.place(tick)), (right, up.place(tick))))
                (text("small", "end", (LEFT - 6.0, up.place(tick) + 4.0), &up.print(tick)))
            }
            (stroke("axis", (LEFT, floor), (right, floor)))
            (stroke("axis", (LEFT, TOP), (LEFT, floor)))
            @for (value, words) in &self.across {
                (stroke("axis", (across.place(*value), floor), (across.place(*value), floor + 4.0)))
                (text("small", "middle", (across.place(*value), floor + 17.0), words))
            }
            (text("small", "start", (LEFT - 50.0, TOP - 12.0), &self.up_title))
            (text("small", "middle", ((LEFT + right) / 2.0, HEIGHT - 8.0), &self.across_title))
        }
    }

    /// The names at the ends of the lines, moved apart where they would lie on each other.
    fn names(&self, across: &Span, up: &Scale) -> Markup {
        let mut ends: Vec<(usize, (f64, f64), Vec<String>)> = Vec::new();
        for (index, line) in self.lines.iter().enumerate() {
            if let Some(&&(x, y)) = finite(&line.points).last() {
                let name = wrapped(&line.name, NAME_WIDTH, NAME_LINES);
                ends.push((index, (across.place(x), up.place(y)), name));
            }
        }
        ends.sort_by(|a, b| a.1.1.total_cmp(&b.1.1));
        let tops = spread(&ends);
        html! {
            @for ((index, end, name), top) in ends.iter().zip(tops) {
                @let x = WIDTH - RIGHT + 24.0;
                @let middle = top + name.len() as f64 * LINE_HEIGHT / 2.0;
                (stroke("lead", *end, (x - 12.0, middle)))
                (look::mark(*index, (x - 7.0, middle)))
                @for (row, words) in name.iter().enumerate() {
                    (text("name", "start", (x, top + 11.5 + row as f64 * LINE_HEIGHT), words))
                }
            }
        }
    }
}

/// The tops of names that do not lie on each other, near the ends of their lines.
fn spread(ends: &[(usize, (f64, f64), Vec<String>)]) -> Vec<f64> {
    let height = |index: usize| ends[index].2.len() as f64 * LINE_HEIGHT + 2.0;
    let mut tops = Vec::with_capacity(ends.len());
    let mut free = 0.0_f64;
    for (index, (_, (_, y), _)) in ends.iter().enumerate() {
        let top = (y - height(index) / 2.0).max(free);
        free = top + height(index);
        tops.push(top);
    }
    let mut floor = HEIGHT - BOTTOM + 20.0;
    for index in (0..tops.len()).rev() {
        tops[index] = tops[index].min(floor - height(index)).max(0.0);
        floor = tops[index];
    }
    tops
}

/// The straight scale of the axis across.
struct Span {
    low: f64,
    high: f64,
}

impl Span {
    fn place(&self, value: f64) -> f64 {
        let wide = self.high - self.low;
        let share = if wide > 0.0 {
            (value - self.low) / wide
        } else {
            0.5
        };
        LEFT + share.clamp(0.0, 1.0) * (WIDTH - RIGHT - LEFT)
    }
}

fn finite(points: &[(f64, f64)]) -> Vec<&(f64, f64)> {
    let is_finite = |point: &&(f64, f64)| point.0.is_finite() && point.1.is_finite();
    points.iter().filter(is_finite).collect()
}

fn draw_line(index: usize, line: &Line, across: &Span, up: &Scale) -> Markup {
    let places: Vec<(f64, f64)> = finite(&line.points)
        .into_iter()
        .map(|(x, y)| (across.place(*x), up.place(*y)))
        .collect();
    let points: Vec<String> = places
        .iter()
        .map(|(x, y)| format!("{},{}", at(*x), at(*y)))
        .collect();
    let every = places.len().div_ceil(MARKS).max(1);
    html! {
        polyline class={ "line " (look::class(index)) } stroke-dasharray=[look::dashes(index)]
            points=(points.join(" ")) {}
        @for place in places.iter().skip(every / 2).step_by(every) { (look::mark(index, *place)) }
    }
}

fn limit_line(value: f64, up: &Scale) -> Markup {
    let y = up.place(value);
    stroke("limit", (LEFT, y), (WIDTH - RIGHT, y))
}

fn limit_name(value: f64, name: &str, up: &Scale) -> Markup {
    text(
        "small",
        "end",
        (WIDTH - RIGHT - 4.0, up.place(value) - 4.0),
        name,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ends(places: &[f64], words: usize) -> Vec<(usize, (f64, f64), Vec<String>)> {
        let name = vec!["name".to_owned(); words];
        let end = |(index, y): (usize, &f64)| (index, (500.0, *y), name.clone());
        places.iter().enumerate().map(end).collect()
    }

    #[test]
    fn names_do_not_lie_on_each_other_nor_leave_the_chart() {
        for (places, words) in [
            (vec![100.0; 6], 1),
            (vec![100.0; 6], NAME_LINES),
            (vec![TOP; 4], 2),
            (vec![HEIGHT - BOTTOM; 6], NAME_LINES),
            (vec![30.0, 31.0, 290.0, 296.0], 2),
        ] {
            let tops = spread(&ends(&places, words));
            let height = words as f64 * LINE_HEIGHT;
            assert!(
                tops.windows(2).all(|pair| pair[1] >= pair[0] + height),
                "{tops:?}"
            );
            assert!(
                tops.iter().all(|top| (0.0..=HEIGHT - height).contains(top)),
                "{tops:?}"
            );
        }
    }

    #[test]
    fn names_stand_beside_their_line_where_there_is_room() {
        let tops = spread(&ends(&[50.0, 150.0, 250.0], 1));
        for (top, y) in tops.iter().zip([50.0, 150.0, 250.0]) {
            assert!(
                (top + (LINE_HEIGHT + 2.0) / 2.0 - y).abs() < 1e-9,
                "{tops:?}"
            );
        }
    }
}

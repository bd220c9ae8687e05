//! The course of a failing night in plain characters.

use overwinter_study::outages::night::FailingNight;
use overwinter_units::System;

use super::FREEZING_K;
use crate::screen::figures;

/// Columns of the curve.
const COLUMNS: usize = 66;
/// Rows of the curve at most.
const MOST_ROWS: usize = 16;
/// Steps between two rows, degrees of the unit shown.
const STEPS: [f64; 8] = [0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 8.0, 10.0];
/// Hours between two marks of the axis.
const TICKS_H: [f64; 8] = [0.25, 0.5, 1.0, 2.0, 3.0, 6.0, 12.0, 24.0];
/// Marks of the axis at most.
const MOST_TICKS: f64 = 9.0;
/// Width of what stands left of the curve.
const LEFT: usize = 6;
/// Letters of air, leaf and outdoor air.
const LETTERS: [char; 3] = ['A', 'L', '.'];

/// The rows from the warmest on.
struct Scale {
    top: f64,
    step: f64,
    rows: usize,
}

impl Scale {
    fn new(values: &[f64]) -> Self {
        let low = values.iter().copied().fold(f64::INFINITY, f64::min);
        let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let rows = |step: f64| ((high / step).ceil() - (low / step).floor()) as usize + 1;
        let fits = |step: &f64| rows(*step) <= MOST_ROWS;
        let widest = (high - low) / (MOST_ROWS - 2) as f64;
        let step = STEPS.into_iter().find(fits).unwrap_or(widest.max(0.5));
        Self {
            top: (high / step).ceil() * step,
            step,
            rows: rows(step).min(MOST_ROWS),
        }
    }

    fn row(&self, value: f64) -> usize {
        let row = ((self.top - value) / self.step).round().max(0.0) as usize;
        row.min(self.rows - 1)
    }
}

/// The curve with its marks, every line ended.
pub(super) fn draw(night: &FailingNight, system: System) -> String {
    let columns = columns(night, system);
    let marks = marks(night, system);
    let mut values: Vec<f64> = columns.iter().flatten().copied().collect();
    values.extend(marks.iter().map(|(value, _)| *value));
    let scale = Scale::new(&values);
    let mut canvas = vec![[' '; COLUMNS]; scale.rows];
    let mut labels = vec![String::new(); scale.rows];
    for (value, label) in &marks {
        let row = scale.row(*value);
        for column in (0..COLUMNS).step_by(2) {
            canvas[row][column] = '-';
        }
        if !labels[row].is_empty() {
            labels[row] += ", ";
        }
        labels[row] += label;
    }
    // The leaf is drawn over the outdoor air, the air over the leaf.
    for at in [2, 1, 0] {
        for (column, values) in columns.iter().enumerate() {
            canvas[scale.row(values[at])][column] = LETTERS[at];
        }
    }
    let mut text = String::new();
    for (row, (cells, label)) in canvas.iter().zip(&labels).enumerate() {
        let value = scale.top - row as f64 * scale.step;
        let value = match row % 2 {
            0 if scale.step < 1.0 => format!("{value:.1}"),
            0 => format!("{value:.0}"),
            _ => String::new(),
        };
        let value = if value == "-0" { "0".to_owned() } else { value };
        let cells: String = cells.iter().collect();
        let line = format!("{value:>LEFT$} |{cells} {label}");
        text += line.trim_end();
        text.push('\n');
    }
    text + &axis(night.length_h) + &key(system)
}

/// Air, leaf and outdoor air in every column.
fn columns(night: &FailingNight, system: System) -> Vec<[f64; 3]> {
    let start = (0.0, night.at_start_k);
    let points = night.curve.points.iter();
    let points: Vec<(f64, [f64; 3])> = std::iter::once(start)
        .chain(points.map(|p| (p.after_h, [p.air_k, p.leaf_k, p.outdoor_k])))
        .collect();
    let at = |time_h: f64| {
        let next = points.partition_point(|(after_h, _)| *after_h < time_h);
        let next = next.clamp(1, points.len() - 1);
        let ((from_h, from_k), (to_h, to_k)) = (points[next - 1], points[next]);
        let share = ((time_h - from_h) / (to_h - from_h)).clamp(0.0, 1.0);
        std::array::from_fn(|of| shown(from_k[of] + share * (to_k[of] - from_k[of]), system))
    };
    if points.len() < 2 {
        return vec![start.1.map(|temp_k| shown(temp_k, system)); COLUMNS];
    }
    let last = (COLUMNS - 1) as f64;
    (0..COLUMNS)
        .map(|column| at(column as f64 / last * night.length_h))
        .collect()
}

fn marks(night: &FailingNight, system: System) -> Vec<(f64, String)> {
    let judged_by = &night.judged_by;
    let marks = [
        ("alarm", judged_by.alarm_k),
        ("freezing", FREEZING_K),
        ("crop", judged_by.limit_k),
    ];
    let mark = |(name, temp_k): (&str, f64)| {
        let number = figures::temperature_number(temp_k, system);
        (shown(temp_k, system), format!("{name} {number}"))
    };
    marks.into_iter().map(mark).collect()
}

/// A temperature in degrees of the system.
fn shown(temp_k: f64, system: System) -> f64 {
    match system {
        System::Si => temp_k - FREEZING_K,
        System::Us => (temp_k - FREEZING_K) * 1.8 + 32.0,
    }
}

fn axis(length_h: f64) -> String {
    let few = |tick_h: &f64| length_h / tick_h <= MOST_TICKS;
    let tick_h = TICKS_H
        .into_iter()
        .find(few)
        .unwrap_or(length_h / MOST_TICKS);
    let mut line = vec!['-'; COLUMNS];
    let mut numbers = vec![' '; COLUMNS + 8];
    let mut time_h = 0.0;
    while time_h <= length_h + 1e-9 {
        let column = (time_h / length_h * (COLUMNS - 1) as f64).round() as usize;
        line[column.min(COLUMNS - 1)] = '+';
        for (at, digit) in figures::figures(time_h).chars().enumerate() {
            numbers[column + at] = digit;
        }
        time_h += tick_h;
    }
    let line: String = line.into_iter().collect();
    let numbers: String = numbers.into_iter().collect();
    format!(
        "{:>LEFT$} +{line}\n{:>LEFT$}  {} h\n",
        "",
        "",
        numbers.trim_end()
    )
}

fn key(system: System) -> String {
    let unit = match system {
        System::Si => "degC",
        System::Us => "degF",
    };
    format!(
        "{:>LEFT$}  A house air   L leaf that sees the cover   . outdoor air   - - mark   ({unit})\n",
        ""
    )
}

//! Plain text in columns, never wider than a screen.

use std::ops::Range;

/// Widest line.
pub(crate) const WIDTH: usize = 100;
/// Where the text after a label begins.
const LABEL_WIDTH: usize = 26;
/// Narrowest column that text is wrapped into between others.
const LEAST_CELL: usize = 6;
/// Longest heading.
const TITLE_WIDTH: usize = 90;
/// Narrowest column that text is wrapped into.
const LEAST_WIDTH: usize = 24;

/// Which way a column leans.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lean {
    Left,
    Right,
}

/// A label and its text, which goes on below itself where it is too long.
pub(crate) fn labelled(label: &str, text: &str) -> String {
    let (mut block, shown_label) = (String::new(), shown(label));
    for (index, line) in wrapped(text, WIDTH - LABEL_WIDTH).iter().enumerate() {
        let label = if index == 0 { &*shown_label } else { "" };
        // A label that fills its column still stands apart from the text.
        let width = LABEL_WIDTH - 1;
        block += format!("{label:<width$} {line}").trim_end();
        block.push('\n');
    }
    block
}

/// A paragraph behind a dash.
pub(crate) fn item(text: &str) -> String {
    let mut block = String::new();
    for (index, line) in wrapped(text, WIDTH - 2).iter().enumerate() {
        block += if index == 0 { "- " } else { "  " };
        block += line;
        block.push('\n');
    }
    block
}

/// A heading on one line, whatever stands in it.
pub(crate) fn title(text: &str) -> String {
    cut(&shown(text), TITLE_WIDTH)
}

/// The text with its control characters escaped: they could move the cursor or break a line.
pub(crate) fn shown(text: &str) -> String {
    let escaped = |c: char| {
        if c.is_control() {
            c.escape_default().to_string()
        } else {
            c.to_string()
        }
    };
    text.chars().map(escaped).collect()
}

/// Rows of cells in columns two spaces apart; a column is as wide as its widest cell. The columns
/// `flexible` are narrowed, the widest first, until no line is wider than the screen; their cells
/// go on below themselves.
pub(crate) fn columns(rows: &[Vec<String>], lean: &[Lean], flexible: Range<usize>) -> String {
    let escaped = |row: &Vec<String>| row.iter().map(|cell| shown(cell)).collect();
    let rows: Vec<Vec<String>> = rows.iter().map(escaped).collect();
    let widest = |column: usize| {
        let cells = rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
    };
    let mut widths: Vec<usize> = (0..lean.len()).map(widest).collect();
    let gaps = 2 * lean.len().saturating_sub(1);
    while widths.iter().sum::<usize>() + gaps > WIDTH {
        let shrinkable = flexible
            .clone()
            .filter(|&column| widths[column] > LEAST_CELL);
        match shrinkable.max_by_key(|&column| widths[column]) {
            Some(column) => widths[column] -= 1,
            None => break,
        }
    }
    rows.iter().map(|row| lines(row, &widths, lean)).collect()
}

/// A row on as many lines as its longest cell needs.
fn lines(row: &[String], widths: &[usize], lean: &[Lean]) -> String {
    let folded = |(cell, &width): (&String, &usize)| {
        if cell.chars().count() <= width {
            return vec![cell.clone()];
        }
        // What is indented stays so.
        let indent = cell
            .chars()
            .take_while(|c| *c == ' ')
            .count()
            .min(width / 2);
        let folded = wrapped(cell, width - indent).into_iter();
        let line = |line: String| format!("{:indent$}{line}", "");
        folded
            .flat_map(|text| broken(&text, width - indent))
            .map(line)
            .collect()
    };
    let cells: Vec<Vec<String>> = row.iter().zip(widths).map(folded).collect();
    let height = cells.iter().map(Vec::len).max().unwrap_or(0);
    let mut block = String::new();
    for at in 0..height {
        let cells = cells.iter().zip(widths).zip(lean);
        let padded = cells.map(|((lines, &width), lean)| {
            let cell = lines.get(at).map_or("", String::as_str);
            match lean {
                Lean::Left => format!("{cell:<width$}"),
                Lean::Right => format!("{cell:>width$}"),
            }
        });
        block += padded.collect::<Vec<_>>().join("  ").trim_end();
        block.push('\n');
    }
    block
}

/// Rows whose last cell goes on below itself; the cells before it stand in columns.
pub(crate) fn listed(rows: &[Vec<String>]) -> String {
    let before = rows.iter().map(|row| row.len().saturating_sub(1)).max();
    let before = before.unwrap_or(0);
    let width = |column: usize| {
        let cells = rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..before).map(width).collect();
    let indent: usize = widths.iter().map(|width| width + 2).sum();
    let mut block = String::new();
    for row in rows {
        let mut start = String::new();
        for (cell, width) in row.iter().zip(&widths) {
            start += &format!("{cell:<width$}  ");
        }
        let last = row.get(before).map_or("", String::as_str);
        for line in wrapped(last, WIDTH.saturating_sub(indent).max(LEAST_WIDTH)) {
            block += format!("{start:<indent$}{line}").trim_end();
            block.push('\n');
            start.clear();
        }
    }
    block
}

/// The text, or its start and end with dots between where it is longer than `width`.
pub(crate) fn cut(text: &str, width: usize) -> String {
    let length = text.chars().count();
    if length <= width {
        return text.to_owned();
    }
    let kept = width.saturating_sub(2);
    let head = kept - kept * 2 / 5;
    let start: String = text.chars().take(head).collect();
    let end: String = text.chars().skip(length - (kept - head)).collect();
    format!("{}..{}", start.trim_end(), end.trim_start())
}

/// A line in pieces of at most `width` characters: cut short, two names could look the same.
fn broken(line: &str, width: usize) -> Vec<String> {
    let letters: Vec<char> = line.chars().collect();
    let pieces = letters.chunks(width.max(1));
    pieces.map(|piece| piece.iter().collect()).collect()
}

/// Lines of at most `width` characters, broken between words; a longer word stands alone.
fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace().map(shown) {
        let last = lines.len() - 1;
        let used = lines[last].chars().count();
        if used > 0 && used + 1 + word.chars().count() > width {
            lines.push(word);
        } else {
            if used > 0 {
                lines[last].push(' ');
            }
            lines[last] += &word;
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_text_goes_on_below_itself() {
        let text = labelled("Heater", &"word ".repeat(40));
        assert!(text.lines().count() > 1);
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH));
        assert!(
            text.lines()
                .skip(1)
                .all(|line| line.starts_with(&" ".repeat(26)))
        );
    }

    #[test]
    fn the_last_cell_of_a_list_goes_on_below_itself() {
        let source = "word ".repeat(40);
        let rows = [["key", "value", "source"], ["a.b", "1 m", &source]];
        let text = listed(&rows.map(|row| row.map(str::to_owned).to_vec()));
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines[0], "key  value  source");
        assert!(lines.len() > 3);
        assert!(lines[2].starts_with("            word"), "{text}");
        assert!(lines.iter().all(|line| line.chars().count() <= WIDTH));
    }

    #[test]
    fn columns_line_up_and_the_flexible_one_goes_on_below_itself() {
        let rows = [["1", "short", "10"], ["12", &"long ".repeat(30), "7"]];
        let rows = rows.map(|row| row.map(str::to_owned).to_vec());
        let text = columns(&rows, &[Lean::Right, Lean::Left, Lean::Right], 1..2);
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(lines.len(), 3);
        assert!(lines[..2].iter().all(|line| line.chars().count() == WIDTH));
        assert!(lines[0].starts_with(" 1  short"));
        assert!(lines[1].starts_with("12  long") && lines[1].ends_with(" 7"));
        assert!(lines[2].starts_with("    long"), "{text}");
        assert_eq!(text.matches("long").count(), 30);
        assert_eq!(cut("inflated pair, infrared inside", 15), "inflated..nside");
        assert_eq!(cut("short", 15), "short");
    }

    /// Two names that differ in their middle stay apart in a narrow column.
    #[test]
    fn a_long_name_is_shown_whole() {
        let names = ["places/oakhollow-north-tmy3", "places/oakhollow-south-tmy3"];
        let wide = "x".repeat(WIDTH - 14);
        let rows = names.map(|name| vec![name.to_owned(), wide.clone()]);
        let text = columns(&rows, &[Lean::Left; 2], 0..1);
        let first = |line: &str| line.chars().take(12).collect::<String>();
        let firsts: Vec<String> = text.lines().map(first).collect();
        let whole: String = firsts.iter().map(|piece| piece.trim()).collect();
        assert_eq!(whole, names.concat());
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH));
    }

    #[test]
    fn a_title_is_one_line_without_control_characters() {
        assert_eq!(title("a\u{1b}[2J\nb"), "a\\u{1b}[2J\\nb");
        assert_eq!(title(&"word ".repeat(40)).lines().count(), 1);
        assert!(title(&"word ".repeat(40)).chars().count() <= TITLE_WIDTH);
    }
}

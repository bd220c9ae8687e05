//! The table of checks in the README, kept to today's figures.
//!
//! The table has one row a check under one row a group. [`assert_current`] holds the rows of a group
//! to its checks; with `OVERWINTER_RENEW_README` set it writes them instead.

use std::fs;
use std::path::PathBuf;
use std::sync::Mutex;

use super::{Check, Published, Tolerance, assert_all_hold};

/// Set to have the README's rows written instead of compared. Run the tests one after another then
/// (`cargo test`, which shares a lock in each target).
pub const RENEW: &str = "OVERWINTER_RENEW_README";

static RENEWING: Mutex<()> = Mutex::new(());

/// Panics if a check is wrong (see [`assert_all_hold`]), or if the README does not have these rows,
/// in this order and no others, under the heading of the group.
///
/// # Panics
/// As said, and if the README cannot be read or has no such heading.
pub fn assert_current(group: &str, checks: &[Check]) {
    assert_all_hold(checks);
    let rows: Vec<String> = checks.iter().map(row).collect();
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../README.md");
    let _renewing = RENEWING.lock();
    let text = fs::read_to_string(&path).expect("the README can be read");
    let lines: Vec<&str> = text.lines().collect();
    let [from, to] = rows_of(&lines, group);
    if std::env::var_os(RENEW).is_none() {
        let there = &lines[from..to];
        assert!(
            there == rows.as_slice(),
            "the README's rows under \"{group}\" are not those of today (write them with {RENEW}=1): \
             there\n{}\ntoday\n{}",
            there.join("\n"),
            rows.join("\n")
        );
        return;
    }
    let mut renewed: Vec<String> = lines[..from].iter().map(ToString::to_string).collect();
    renewed.extend(rows);
    renewed.extend(lines[to..].iter().map(ToString::to_string));
    fs::write(&path, renewed.join("\n") + "\n").expect("the README can be written");
}

/// A row of the table: case, source, ours, published, tolerance, and whether it holds.
pub fn row(check: &Check) -> String {
    let unit = |text: String| match check.unit {
        "" => text,
        "%" => format!("{text} %"),
        unit => format!("{text} {unit}"),
    };
    let number = |value: f64| format!("{value:.*}", check.decimals);
    let (ours, published, tolerance) = match check.published {
        Published::Value { value, tolerance } => {
            let tolerance = match tolerance {
                Tolerance::Absolute(allowed) => short(allowed),
                Tolerance::Relative(share) => format!("{} %", short(share * 100.0)),
            };
            (unit(number(check.ours)), unit(number(value)), tolerance)
        }
        Published::Band { low, high } => {
            let band = format!("{} to {}", number(low), number(high));
            (unit(number(check.ours)), unit(band), "band".to_owned())
        }
        Published::Table { count, tolerance } => (
            unit(format!("within {}", short(check.ours))),
            format!("{count} values"),
            short(tolerance),
        ),
    };
    let verdict = match &check.falls_short {
        None => "yes".to_owned(),
        Some(reason) => format!("**no**: {reason}"),
    };
    let Check { case, source, .. } = check;
    format!("| {case} | {source} | {ours} | {published} | {tolerance} | {verdict} |")
}

/// Two significant digits, however small.
fn short(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let size = value.abs().log10().floor();
    if (-4.0..4.0).contains(&size) {
        let decimals = if size < 1.0 { 1.0 - size } else { 0.0 };
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to 5 by the range above"
        )]
        let text = format!("{value:.*}", decimals as usize);
        return match text.contains('.') {
            true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
            false => text,
        };
    }
    format!("{value:.0e}")
}

/// First line of the rows under a group's heading, and the line after the last of them.
fn rows_of(lines: &[&str], group: &str) -> [usize; 2] {
    let heading = heading(group);
    let at = lines.iter().position(|line| *line == heading);
    let from = at.unwrap_or_else(|| panic!("the README has no row {heading:?}")) + 1;
    let is_row = |line: &&str| line.starts_with("| ") && !line.starts_with("| **");
    let count = lines[from..].iter().take_while(|line| is_row(line)).count();
    [from, from + count]
}

fn heading(group: &str) -> String {
    format!("| **{group}** | | | | | |")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_print_what_was_compared() {
        let check = Check::value("zenith", "A 2004", 50.11162, 50.11162, 1e-4)
            .unit("deg")
            .decimals(5);
        assert_eq!(
            row(&check),
            "| zenith | A 2004 | 50.11162 deg | 50.11162 deg | 0.0001 | yes |"
        );
        let check = Check::band("U", "B 1996", 4.0, [3.4, 3.8])
            .decimals(1)
            .falls_short("dry");
        assert_eq!(
            row(&check),
            "| U | B 1996 | 4.0 | 3.4 to 3.8 | band | **no**: dry |"
        );
        let check = Check::table("t", "C", &[[1.0, 1.000_02]], 1e-3);
        assert_eq!(
            row(&check),
            "| t | C | within 2e-5 | 1 values | 0.001 | yes |"
        );
    }

    #[test]
    fn rows_end_at_the_next_heading() {
        let lines = [
            "| **a** | | | | | |",
            "| 1 |",
            "| 2 |",
            "| **b** | | | | | |",
            "| 3 |",
            "",
        ];
        assert_eq!(rows_of(&lines, "a"), [1, 3]);
        assert_eq!(rows_of(&lines, "b"), [4, 5]);
    }
}

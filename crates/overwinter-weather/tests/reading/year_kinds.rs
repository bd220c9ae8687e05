//! Which year a file says it holds.

use super::made_up::{Row, at, epw, read, row, rows, tmy3, year};
use super::shipped::{FILES, shipped};
use overwinter_weather::{YearKind, plain_table, read_bytes};

/// The rows of a leap year, all dated in it.
fn leap_year(number: i32) -> Vec<Row> {
    let mut rows = rows();
    let leap_day: Vec<Row> = (1..=24).map(|hour| row(2, 29, hour)).collect();
    rows.splice(at(3, 1, 1)..at(3, 1, 1), leap_day);
    for row in &mut rows {
        row.date = format!("{:02}/{:02}/{number}", row.month, row.day);
    }
    rows
}

#[test]
fn shipped_years_are_typical() {
    for name in FILES {
        assert_eq!(shipped(name).kind(), YearKind::Typical, "{name}");
    }
    assert_eq!(YearKind::Typical.to_string(), "typical");
}

#[test]
fn twelve_months_of_one_year_are_that_year() {
    for text in [tmy3(&rows()), epw(&rows())] {
        assert_eq!(year(&text).kind(), YearKind::Real(1999));
    }
    assert_eq!(YearKind::Real(1999).to_string(), "1999");
}

#[test]
fn a_leap_year_is_a_real_year_without_its_29_february() {
    let leap = year(&tmy3(&leap_year(1996)));
    assert_eq!(leap.kind(), YearKind::Real(1996));
    assert!(
        leap.notes
            .iter()
            .any(|note| note.defect.contains("29 February"))
    );
}

/// 1996 has 8,784 rows below two lines of heading, so that 1997 begins in line 8,787.
#[test]
fn several_years_in_one_file_are_named() {
    let mut rows = leap_year(1996);
    rows.extend(
        leap_year(1997)
            .into_iter()
            .filter(|row| (row.month, row.day) != (2, 29)),
    );
    let message = read(&tmy3(&rows)).unwrap_err().to_string();
    assert!(
        message.contains("line 8787: the years 1996 to 1997"),
        "{message}"
    );
    assert!(message.contains("a file of its own"), "{message}");
}

#[test]
fn one_month_of_another_year_makes_it_typical() {
    let mut rows = rows();
    for row in rows.iter_mut().filter(|row| row.month == 7) {
        row.date = format!("07/{:02}/1988", row.day);
    }
    assert_eq!(year(&tmy3(&rows)).kind(), YearKind::Typical);
}

#[test]
fn a_plain_table_says_nothing() {
    let plain = read_bytes(plain_table(&shipped(FILES[1])).as_bytes(), "plain.csv");
    let kind = plain.unwrap().kind();
    assert_eq!(kind, YearKind::Unstated);
    assert_eq!(kind.to_string(), "unstated");
}

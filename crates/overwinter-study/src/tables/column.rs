//! A table of named columns, each with its unit and meaning.
//!
//! Name, unit, meaning and value of a column are stated together, so that the files and the
//! manifest cannot disagree.

use std::ops::RangeInclusive;
use std::sync::Arc;

/// The values of a column; `None` is an empty cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Values {
    /// Words.
    Text(Vec<Option<Arc<str>>>),
    /// Counts and numbers of things.
    Whole(Vec<Option<i64>>),
    /// Quantities to ten significant digits; never NaN or infinite.
    Number(Vec<Option<f64>>),
}

impl Values {
    /// Number of rows.
    pub fn len(&self) -> usize {
        match self {
            Self::Text(values) => values.len(),
            Self::Whole(values) => values.len(),
            Self::Number(values) => values.len(),
        }
    }

    /// True if there are no rows.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// A column.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// Name, which ends with the unit where there is one.
    pub name: String,
    /// Unit in plain words, "text" or "count" for columns without one.
    pub unit: String,
    /// What a value means.
    pub meaning: String,
    /// One value for each row.
    pub values: Values,
}

/// A table.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Name, which is also the stem of its files.
    pub name: &'static str,
    /// What one row is.
    pub one_row_is: &'static str,
    /// Columns, all of the same length.
    pub columns: Vec<Column>,
}

impl Table {
    /// Number of rows.
    pub fn row_count(&self) -> usize {
        self.columns.first().map_or(0, |column| column.values.len())
    }

    /// The column of that name.
    pub fn column(&self, name: &str) -> Option<&Column> {
        self.columns.iter().find(|column| column.name == name)
    }
}

/// Builds a table column by column from its rows.
pub(crate) struct TableBuilder<'a, Row> {
    rows: Vec<&'a Row>,
    table: Table,
}

impl<'a, Row> TableBuilder<'a, Row> {
    pub(crate) fn new(
        name: &'static str,
        one_row_is: &'static str,
        rows: impl Iterator<Item = &'a Row>,
    ) -> Self {
        Self {
            rows: rows.collect(),
            table: Table {
                name,
                one_row_is,
                columns: Vec::new(),
            },
        }
    }

    pub(crate) fn text<T: Into<Arc<str>>>(
        self,
        name: impl Into<String>,
        meaning: impl Into<String>,
        value: impl Fn(&Row) -> Option<T>,
    ) -> Self {
        let values = self.rows.iter().map(|row| value(row).map(Into::into));
        let values = Values::Text(values.collect());
        self.push(name.into(), "text", meaning.into(), values)
    }

    pub(crate) fn whole(
        self,
        name: &str,
        meaning: &str,
        value: impl Fn(&Row) -> Option<i64>,
    ) -> Self {
        let values = Values::Whole(self.rows.iter().map(|row| value(row)).collect());
        self.push(name.into(), "count", meaning.into(), values)
    }

    /// A quantity, rounded; a value that is not finite becomes an empty cell.
    pub(crate) fn number<T: Into<Option<f64>>>(
        self,
        name: impl Into<String>,
        unit: &str,
        meaning: impl Into<String>,
        value: impl Fn(&Row) -> T,
    ) -> Self {
        let finite = |row: &&Row| value(row).into().filter(|v: &f64| v.is_finite());
        let values = self.rows.iter().map(|row| finite(row).map(rounded));
        let values = Values::Number(values.collect());
        self.push(name.into(), unit, meaning.into(), values)
    }

    pub(crate) fn finish(self) -> Table {
        self.table
    }

    fn push(mut self, name: String, unit: &str, meaning: String, values: Values) -> Self {
        self.table.columns.push(Column {
            name,
            unit: unit.to_owned(),
            meaning,
            values,
        });
        self
    }
}

/// Significant digits of a quantity: more than any result has, fewer than show the rounding of
/// the last bits.
const DIGITS: u8 = 10;
/// Powers of ten up to here are exact in binary, so that the quotient is the nearest number.
const EXACT_POWERS: RangeInclusive<i32> = -22..=22;

/// The number to [`DIGITS`] significant digits; nothing has no sign.
pub(crate) fn rounded(value: f64) -> f64 {
    if value == 0.0 {
        return 0.0;
    }
    #[allow(
        clippy::cast_possible_truncation,
        reason = "a decimal exponent is within +-324"
    )]
    let exponent = value.abs().log10().floor() as i32;
    let places = i32::from(DIGITS) - 1 - exponent;
    if !EXACT_POWERS.contains(&places) {
        let written = format!("{value:.0$e}", usize::from(DIGITS) - 1);
        return written.parse().unwrap_or(value);
    }
    let power = 10_f64.powi(places.abs());
    if places >= 0 {
        (value * power).round() / power
    } else {
        (value / power).round() * power
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantities_carry_no_noise() {
        for (value, written) in [
            (231_124.371_739_094_23, "231124.3717"),
            (-41.000_000_000_000_03, "-41"),
            (0.1 + 0.2, "0.3"),
            (-0.0, "0"),
            (1.234_567_890_123e-15, "1.234567890e-15"),
            (-3e-320, "-3e-320"),
            (9_999_999_999.9, "10000000000"),
            (1.234_567_890_123e13, "12345678900000"),
        ] {
            let written: f64 = written.parse().expect("a number");
            assert_eq!(rounded(value).to_bits(), written.to_bits(), "{value}");
        }
    }

    #[test]
    fn what_is_not_finite_becomes_an_empty_cell() {
        let rows = [1.5, f64::NAN, f64::INFINITY];
        let table = TableBuilder::new("t", "a number", rows.iter())
            .number("length_m", "m", "a length", |row| *row)
            .finish();
        let column = table.column("length_m").expect("just built");
        assert_eq!(column.values, Values::Number(vec![Some(1.5), None, None]));
        assert_eq!(table.row_count(), 3);
    }
}

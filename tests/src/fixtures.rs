//! Tables that open libraries made, kept under `tests/fixtures` beside the scripts that made them.

use std::fs;
use std::path::PathBuf;

/// A table of numbers with named columns; an empty place is NaN.
#[derive(Clone, Debug)]
pub struct Fixture {
    names: Vec<String>,
    rows: Vec<Vec<f64>>,
}

impl Fixture {
    /// Reads a table by its file name.
    ///
    /// # Panics
    /// If the file is missing, a place holds no number, or a row is not as wide as the heading.
    pub fn read(file: &str) -> Self {
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
            .join("fixtures")
            .join(file);
        let text = fs::read_to_string(&path).expect("the fixture can be read");
        let mut lines = text.lines();
        let heading = lines.next().expect("a fixture has a heading");
        let names: Vec<String> = heading.split(',').map(str::to_owned).collect();
        let rows: Vec<Vec<f64>> = lines
            .map(|line| line.split(',').map(number).collect())
            .collect();
        let is_even = rows.iter().all(|row| row.len() == names.len());
        assert!(is_even, "{file}: a row is not as wide as the heading");
        Self { names, rows }
    }

    /// The rows of a few columns, in the order asked for.
    ///
    /// # Panics
    /// If there is no such column.
    pub fn rows<const N: usize>(&self, columns: [&str; N]) -> Vec<[f64; N]> {
        let places = columns.map(|column| {
            let place = self.names.iter().position(|name| name == column);
            place.unwrap_or_else(|| panic!("no column {column:?} in {:?}", self.names))
        });
        self.rows
            .iter()
            .map(|row| places.map(|place| row[place]))
            .collect()
    }
}

fn number(text: &str) -> f64 {
    match text {
        "" => f64::NAN,
        text => text.parse().expect("a fixture holds numbers"),
    }
}

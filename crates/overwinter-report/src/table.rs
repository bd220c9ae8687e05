//! A table as it was written, with typed access to its cells and the units the manifest gives.

use std::fs::File;
use std::io::{self, BufReader};
use std::path::Path;

use csv::{ReaderBuilder, StringRecord};

use crate::error::ReportError;
use crate::manifest::{ColumnEntry, TableEntry};
use crate::plain_text::plain;

/// Numbers above this are no number of a case.
const LARGEST_ID: f64 = 1e15;

/// The rows of a table that a report asks for.
#[derive(Clone, Debug, Default)]
pub(crate) struct Table {
    columns: Vec<Column>,
    rows: usize,
}

/// A column with its unit and meaning.
#[derive(Clone, Debug)]
pub(crate) struct Column {
    pub(crate) entry: ColumnEntry,
    cells: Cells,
}

#[derive(Clone, Debug)]
enum Cells {
    Text(Vec<String>),
    Number(Vec<Option<f64>>),
}

/// A row while the file is read.
pub(crate) struct RawRow<'a> {
    header: &'a StringRecord,
    cells: &'a StringRecord,
}

impl RawRow<'_> {
    /// The cell of a column, if the table has it.
    pub(crate) fn get(&self, column: &str) -> Option<&str> {
        let index = self.header.iter().position(|name| name == column)?;
        self.cells.get(index)
    }

    /// The number of a case.
    pub(crate) fn id(&self, column: &str) -> Option<u64> {
        id(self.get(column)?.trim().parse().ok()?)
    }
}

impl Table {
    /// Reads the rows that `keep` keeps; `None` if there is no such file.
    ///
    /// A column whose unit in the manifest is not `text` must hold numbers or nothing; what is not
    /// finite counts as nothing. Columns that the manifest does not know are kept as text.
    pub(crate) fn read(
        path: &Path,
        entry: Option<&TableEntry>,
        keep: &dyn Fn(&RawRow<'_>) -> bool,
    ) -> Result<Option<Self>, ReportError> {
        let file = match File::open(path) {
            Ok(file) => file,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
            Err(source) => return Err(unreadable(path, source)),
        };
        let mut reader = ReaderBuilder::new().from_reader(BufReader::new(file));
        let header = reader.headers().map_err(|e| row_error(path, e))?.clone();
        let mut table = Self {
            columns: header.iter().map(|name| column(name, entry)).collect(),
            rows: 0,
        };
        let mut cells = StringRecord::new();
        while reader
            .read_record(&mut cells)
            .map_err(|e| row_error(path, e))?
        {
            let row = RawRow {
                header: &header,
                cells: &cells,
            };
            if keep(&row) {
                table.push(path, &cells)?;
            }
        }
        Ok(Some(table))
    }

    fn push(&mut self, path: &Path, cells: &StringRecord) -> Result<(), ReportError> {
        for (column, cell) in self.columns.iter_mut().zip(cells) {
            let pushed = column.push(cell);
            pushed.map_err(|()| ReportError::Cell {
                table: path.to_owned(),
                line: cells.position().map_or(0, csv::Position::line),
                column: column.entry.name.clone(),
                value: plain(cell).into_owned(),
                unit: column.entry.unit.clone(),
            })?;
        }
        self.rows += 1;
        Ok(())
    }

    /// The columns, in order.
    pub(crate) fn columns(&self) -> &[Column] {
        &self.columns
    }

    /// Numbers of the rows.
    pub(crate) fn rows(&self) -> std::ops::Range<usize> {
        0..self.rows
    }

    /// The rows that `keep` keeps.
    pub(crate) fn select(&self, keep: impl Fn(usize) -> bool) -> Vec<usize> {
        self.rows().filter(|&row| keep(row)).collect()
    }

    /// The rows of a case.
    pub(crate) fn of_case(&self, case_id: u64) -> Vec<usize> {
        self.select(|row| self.id("case_id", row) == Some(case_id))
    }

    /// True if the table has the column.
    pub(crate) fn has(&self, column: &str) -> bool {
        self.column(column).is_some()
    }

    /// A number; `None` where the cell is empty, holds no number or the column is missing.
    pub(crate) fn number(&self, column: &str, row: usize) -> Option<f64> {
        match &self.column(column)?.cells {
            Cells::Number(values) => values.get(row).copied().flatten(),
            Cells::Text(values) => values.get(row)?.trim().parse().ok().filter(finite),
        }
    }

    /// A text, empty where the column is missing.
    pub(crate) fn text(&self, column: &str, row: usize) -> &str {
        match self.column(column).map(|column| &column.cells) {
            Some(Cells::Text(values)) => values.get(row).map_or("", String::as_str),
            _ => "",
        }
    }

    /// The number of a case, or another count.
    pub(crate) fn id(&self, column: &str, row: usize) -> Option<u64> {
        id(self.number(column, row)?)
    }

    fn column(&self, name: &str) -> Option<&Column> {
        self.columns.iter().find(|column| column.entry.name == name)
    }
}

impl Column {
    /// True if it holds texts.
    pub(crate) fn is_text(&self) -> bool {
        matches!(self.cells, Cells::Text(_))
    }

    fn push(&mut self, cell: &str) -> Result<(), ()> {
        match &mut self.cells {
            Cells::Text(values) => values.push(plain(cell).into_owned()),
            Cells::Number(values) => match cell.trim() {
                "" => values.push(None),
                text => values.push(Some(text.parse().map_err(|_| ())?).filter(finite)),
            },
        }
        Ok(())
    }
}

fn column(name: &str, entry: Option<&TableEntry>) -> Column {
    let known = entry.and_then(|entry| entry.columns.iter().find(|column| column.name == name));
    let entry = known.cloned().unwrap_or_else(|| ColumnEntry {
        name: plain(name).into_owned(),
        unit: "text".to_owned(),
        meaning: String::new(),
    });
    let cells = match entry.unit.as_str() {
        "text" => Cells::Text(Vec::new()),
        _ => Cells::Number(Vec::new()),
    };
    Column { entry, cells }
}

fn finite(value: &f64) -> bool {
    value.is_finite()
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the range is checked"
)]
fn id(value: f64) -> Option<u64> {
    let is_whole = value.fract().abs() < f64::EPSILON;
    (is_whole && (0.0..LARGEST_ID).contains(&value)).then_some(value as u64)
}

fn unreadable(path: &Path, source: io::Error) -> ReportError {
    ReportError::Unreadable {
        file: path.to_owned(),
        source,
    }
}

fn row_error(path: &Path, error: csv::Error) -> ReportError {
    let line = error.position().map_or(0, csv::Position::line);
    let message = error.to_string();
    match error.into_kind() {
        csv::ErrorKind::Io(source) => unreadable(path, source),
        csv::ErrorKind::UnequalLengths {
            expected_len, len, ..
        } => ReportError::Row {
            table: path.to_owned(),
            line,
            message: format!("{len} cells, where the header has {expected_len}"),
        },
        csv::ErrorKind::Utf8 { .. } => ReportError::Row {
            table: path.to_owned(),
            line,
            message: "not in UTF-8".to_owned(),
        },
        _ => ReportError::Row {
            table: path.to_owned(),
            line,
            message: plain(&message).into_owned(),
        },
    }
}

//! Tables as data frames, and parts of tables as bytes.

use std::io::Cursor;
use std::path::Path;

use polars::prelude::{
    Column as FrameColumn, CsvWriter, DataFrame, NamedFrom, ParallelStrategy, ParquetReader,
    ParquetWriter, PolarsError, SerReader, SerWriter, Series,
};

use super::OutputError;
use crate::tables::{Column, Table, Values};

/// A table as a data frame.
pub(super) fn frame(table: &Table) -> Result<DataFrame, PolarsError> {
    let columns = table.columns.iter().map(series).collect();
    DataFrame::new(table.row_count(), columns)
}

/// A table as a Parquet file; `path` stands in the error.
pub(crate) fn parquet_bytes(table: &Table, path: &Path) -> Result<Vec<u8>, OutputError> {
    let mut bytes = Vec::new();
    let writer = ParquetWriter::new(&mut bytes).set_parallel(false);
    let written = frame(table).and_then(|mut frame| writer.finish(&mut frame));
    written.map_err(|source| encoding(table.name, path, source))?;
    Ok(bytes)
}

/// A table as a CSV file; `path` stands in the error.
pub(crate) fn csv_bytes(table: &Table, path: &Path) -> Result<Vec<u8>, OutputError> {
    let mut bytes = Vec::new();
    let mut writer = CsvWriter::new(&mut bytes).n_threads(1);
    let written = frame(table).and_then(|mut frame| writer.finish(&mut frame));
    written.map_err(|source| encoding(table.name, path, source))?;
    Ok(bytes)
}

/// The data frame in a Parquet file.
pub(super) fn from_parquet(bytes: Vec<u8>) -> Result<DataFrame, PolarsError> {
    ParquetReader::new(Cursor::new(bytes))
        .read_parallel(ParallelStrategy::None)
        .finish()
}

/// A table that cannot be encoded.
pub(super) fn encoding(table: &'static str, path: &Path, source: PolarsError) -> OutputError {
    OutputError::Encoding {
        table: table.to_owned(),
        path: path.into(),
        source,
    }
}

fn series(column: &Column) -> FrameColumn {
    let name = column.name.as_str().into();
    match &column.values {
        Values::Text(values) => {
            let words: Vec<Option<&str>> = values.iter().map(Option::as_deref).collect();
            Series::new(name, words).into()
        }
        Values::Whole(values) => Series::new(name, values).into(),
        Values::Number(values) => Series::new(name, values).into(),
    }
}

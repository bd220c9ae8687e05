//! The two files of a table, filled part by part.

use std::fs::File;
use std::io::{self, BufWriter, Write};
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use polars::io::csv::write::BatchedWriter as CsvBatches;
use polars::io::parquet::write::BatchedWriter as ParquetBatches;
use polars::prelude::{CsvWriter, DataFrame, ParquetWriter, PolarsError, SerWriter};

use super::frame::{encoding, frame, from_parquet};
use super::temporary::TemporaryFile;
use super::{OutputError, file_error};
use crate::tables::Table;

/// Rows that are written to Parquet together: a part of a run has few.
const ROWS_TOGETHER: usize = 20_000;

/// The CSV and the Parquet file of a table, under temporary names.
pub(crate) struct TableFiles {
    table: &'static str,
    rows: usize,
    waiting: Option<DataFrame>,
    csv: CsvBatches<Out>,
    parquet: ParquetBatches<Out>,
    files: [(TemporaryFile, Out); 2],
}

impl TableFiles {
    /// Begins the files of a table with these columns.
    pub(super) fn begin(folder: &Path, table: &Table) -> Result<Self, OutputError> {
        let open = |extension: &str| {
            let file = TemporaryFile::at(folder.join(format!("{}.{extension}", table.name)));
            Out::create(file.path()).map(|out| (file, out))
        };
        let files = [open("csv")?, open("parquet")?];
        let begun = || -> Result<_, PolarsError> {
            let schema = frame(table)?.schema().clone();
            let csv = CsvWriter::new(files[0].1.clone())
                .n_threads(1)
                .batched(&schema)?;
            let parquet = ParquetWriter::new(files[1].1.clone())
                .set_parallel(false)
                .batched(&schema)?;
            Ok((csv, parquet))
        };
        let (csv, parquet) = begun().map_err(|source| encoding(table.name, folder, source))?;
        Ok(Self {
            table: table.name,
            rows: 0,
            waiting: None,
            csv,
            parquet,
            files,
        })
    }

    /// Rows so far.
    pub(crate) fn rows(&self) -> usize {
        self.rows
    }

    /// Adds the rows of a Parquet file.
    pub(crate) fn add(&mut self, bytes: Vec<u8>) -> Result<(), OutputError> {
        let outcome = self.try_add(bytes);
        self.told(outcome)
    }

    /// Writes what waits and closes the files.
    pub(crate) fn finish(&mut self) -> Result<(), OutputError> {
        let outcome = self.try_finish();
        self.told(outcome)?;
        for (file, out) in &self.files {
            out.close()
                .map_err(|source| file_error(file.path(), source))?;
        }
        Ok(())
    }

    /// The files, complete.
    pub(super) fn into_files(self) -> [TemporaryFile; 2] {
        self.files.map(|(file, _)| file)
    }

    fn try_add(&mut self, bytes: Vec<u8>) -> Result<(), PolarsError> {
        let more = from_parquet(bytes)?;
        self.rows += more.height();
        if more.height() == 0 {
            return Ok(());
        }
        self.csv.write_batch(&more)?;
        match &mut self.waiting {
            Some(waiting) => {
                waiting.vstack_mut(&more)?;
            }
            None => self.waiting = Some(more),
        }
        let waiting = self.waiting.as_ref().map_or(0, DataFrame::height);
        if waiting >= ROWS_TOGETHER {
            self.write_waiting()?;
        }
        Ok(())
    }

    fn try_finish(&mut self) -> Result<(), PolarsError> {
        self.write_waiting()?;
        self.csv.finish()?;
        self.parquet.finish().map(drop)
    }

    fn write_waiting(&mut self) -> Result<(), PolarsError> {
        let Some(mut rows) = self.waiting.take() else {
            return Ok(());
        };
        // One run of rows for each column, in the order of the parts.
        rows.rechunk_mut();
        self.parquet.write_batch(&rows)
    }

    /// What went wrong: if the system took no more, what it said, which the encoders lose.
    fn told(&self, outcome: Result<(), PolarsError>) -> Result<(), OutputError> {
        for (file, out) in &self.files {
            if let Some(failure) = out.inner().failure.take() {
                return Err(file_error(file.path(), failure));
            }
        }
        outcome.map_err(|source| encoding(self.table, self.files[0].0.target(), source))
    }
}

impl std::fmt::Debug for TableFiles {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("TableFiles")
            .field("table", &self.table)
            .field("rows", &self.rows)
            .finish_non_exhaustive()
    }
}

/// A file shared with an encoder, which keeps what it writes to.
#[derive(Clone)]
struct Out(Arc<Mutex<Inner>>);

struct Inner {
    file: BufWriter<File>,
    failure: Option<io::Error>,
}

impl Out {
    fn create(path: &Path) -> Result<Self, OutputError> {
        let file = File::create(path).map_err(|source| file_error(path, source))?;
        Ok(Self(Arc::new(Mutex::new(Inner {
            file: BufWriter::new(file),
            failure: None,
        }))))
    }

    fn inner(&self) -> MutexGuard<'_, Inner> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Writes what is left in the buffer and hands it to the disk, so that a full disk shows here and not
    /// after the rename.
    fn close(&self) -> io::Result<()> {
        let mut inner = self.inner();
        inner.file.flush()?;
        inner.file.get_ref().sync_all()
    }

    fn noting<T>(
        &self,
        write: impl FnOnce(&mut BufWriter<File>) -> io::Result<T>,
    ) -> io::Result<T> {
        let mut inner = self.inner();
        write(&mut inner.file).map_err(|error| {
            let told = io::Error::new(error.kind(), error.to_string());
            inner.failure.get_or_insert(error);
            told
        })
    }
}

impl Write for Out {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.noting(|file| file.write(bytes))
    }

    fn flush(&mut self) -> io::Result<()> {
        self.noting(Write::flush)
    }
}

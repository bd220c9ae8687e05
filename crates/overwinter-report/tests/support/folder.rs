//! An output folder in memory that can be changed before it is written.

use std::fs;

use serde_json::{Value, json};
use tempfile::TempDir;

/// A table: columns with their units, and rows of text.
#[derive(Clone, Debug)]
pub(crate) struct Table {
    pub(crate) name: String,
    pub(crate) columns: Vec<(String, String)>,
    pub(crate) rows: Vec<Vec<String>>,
}

/// Manifest and tables.
#[derive(Clone, Debug)]
pub(crate) struct Folder {
    pub(crate) manifest: Value,
    pub(crate) tables: Vec<Table>,
}

impl Table {
    /// A table from `name|unit` columns and rows of cells parted by bars.
    pub(crate) fn new(name: &str, columns: &str, rows: &[&str]) -> Self {
        let columns = columns.split_whitespace().map(|column| {
            let (name, unit) = column.split_once('|').unwrap_or((column, "text"));
            (name.to_owned(), unit.replace('~', " "))
        });
        let row = |row: &&str| row.split('|').map(|cell| cell.trim().to_owned()).collect();
        Self {
            name: name.to_owned(),
            columns: columns.collect(),
            rows: rows.iter().map(row).collect(),
        }
    }

    /// Puts a value into a column of every row.
    pub(crate) fn fill(&mut self, column: &str, value: &str) {
        let at = self.place(column);
        for row in &mut self.rows {
            row[at] = value.to_owned();
        }
    }

    /// Place of a column.
    pub(crate) fn place(&self, column: &str) -> usize {
        let found = self.columns.iter().position(|(name, _)| name == column);
        found.expect("a column of the table")
    }

    /// The file.
    pub(crate) fn csv(&self) -> String {
        let mut writer = csv::Writer::from_writer(Vec::new());
        let header: Vec<&str> = self.columns.iter().map(|(name, _)| name.as_str()).collect();
        writer.write_record(header).expect("a header");
        for row in &self.rows {
            writer.write_record(row).expect("a row");
        }
        String::from_utf8(writer.into_inner().expect("all written")).expect("text")
    }

    fn entry(&self) -> Value {
        let columns: Vec<Value> = self
            .columns
            .iter()
            .map(|(name, unit)| json!({"name": name, "unit": unit, "meaning": "invented"}))
            .collect();
        json!({"name": self.name, "one_row_is": "invented", "rows": self.rows.len(), "columns": columns})
    }
}

impl Folder {
    /// A folder with a manifest that has everything but tables.
    pub(crate) fn new(title: &str, tables: Vec<Table>) -> Self {
        let manifest = json!({
            "program": "overwinter",
            "version": env!("CARGO_PKG_VERSION"),
            "title": title,
            "scenario": {"path": "invented.toml", "sha256": "ab".repeat(32)},
            "weather": [{
                "path": "invented.csv", "sha256": "cd".repeat(32), "place": "Invented Field",
                "region": "Nowhere", "latitude_deg": 42.0, "longitude_deg": -88.0, "elevation_m": 201.0,
                "format": "invented", "year": "typical", "stress": [],
                "credit": "Weather made up for a test",
                "defects": [{"defect": "a gap", "count": 3, "first_line": 9, "action": "filled"}]
            }],
            "seed": 1, "axes": [], "sampled": [], "draws": 1, "cases": 1,
            "defaults_used": [
                {"key": "crop.leaf_area_index", "value": "2", "source": "estimate"},
                {"key": "frost_limit", "value": "0 degC", "source": "definition of the Celsius scale"}
            ],
            "allowed_residual_share": 1e-6,
            "cautions": ["An invented caution."]
        });
        Self { manifest, tables }
    }

    /// The same without a table.
    pub(crate) fn without(mut self, name: &str) -> Self {
        self.tables.retain(|table| table.name != name);
        self
    }

    /// A table, to be changed.
    pub(crate) fn table(&mut self, name: &str) -> &mut Table {
        let table = self.tables.iter_mut().find(|table| table.name == name);
        table.expect("a table of the folder")
    }

    /// Writes it; it is gone when the returned folder is dropped.
    pub(crate) fn write(&self) -> TempDir {
        let folder = tempfile::tempdir().expect("a folder");
        let mut manifest = self.manifest.clone();
        manifest["tables"] = self.tables.iter().map(Table::entry).collect();
        let text = serde_json::to_string_pretty(&manifest).expect("a manifest");
        fs::write(folder.path().join("manifest.json"), text).expect("written");
        for table in &self.tables {
            let path = folder.path().join(format!("{}.csv", table.name));
            fs::write(path, table.csv()).expect("written");
        }
        folder
    }
}

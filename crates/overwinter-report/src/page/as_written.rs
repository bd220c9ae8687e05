//! A table as it was written, for what has no section of its own.

use maud::Markup;

use super::block::DataTable;
use crate::figures;
use crate::table::{Column, Table};

/// A table as it was written, its numbers to three figures.
pub(super) fn as_it_is(table: &Table, caption: &str) -> Markup {
    let told: Vec<&Column> = table
        .columns()
        .iter()
        .filter(|column| !column.entry.name.ends_with("case_id"))
        .collect();
    let mut numbers = DataTable::new(caption, told.iter().map(|column| heading(column)).collect());
    for row in table.rows() {
        let cell = |column: &&Column| {
            let name = column.entry.name.as_str();
            if column.is_text() {
                table.text(name, row).to_owned()
            } else {
                figures::cell(table.number(name, row))
            }
        };
        let mut cells: Vec<String> = told.iter().map(cell).collect();
        let name = if cells.is_empty() {
            String::new()
        } else {
            cells.remove(0)
        };
        numbers.push(name, cells);
    }
    numbers.draw()
}

/// Name and unit of a column in words.
fn heading(column: &Column) -> String {
    let name = column.entry.name.replace('_', " ");
    match column.entry.unit.as_str() {
        "" | "text" | "number" | "count" => name,
        unit => format!("{name}, {unit}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_have_their_unit() {
        assert_eq!(
            capitalised("simple_payback", "years"),
            "simple payback, years"
        );
        assert_eq!(capitalised("design", "text"), "design");
    }

    fn capitalised(name: &str, unit: &str) -> String {
        use crate::manifest::{ColumnEntry, TableEntry};
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("t.csv");
        std::fs::write(&path, format!("{name}\n1\n")).expect("a table");
        let entry = TableEntry {
            name: "t".to_owned(),
            columns: vec![ColumnEntry {
                name: name.to_owned(),
                unit: unit.to_owned(),
                meaning: String::new(),
            }],
        };
        let table = Table::read(&path, Some(&entry), &|_| true)
            .expect("readable")
            .expect("there");
        heading(&table.columns()[0])
    }
}

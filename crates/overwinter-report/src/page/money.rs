//! What an upgrade costs and when it has paid for itself, once the tables tell.

use maud::{Markup, html};

use super::View;
use super::block::{self, DataTable};
use crate::figures;
use crate::table::{Column, Table};

/// The section.
pub(super) fn section(view: View<'_>) -> Markup {
    html! {
        section aria-labelledby="payback" {
            h2 #payback { "Payback" }
            @match view.run.table("costs") {
                None => (block::gap("costs", "what each design costs to buy and to keep", "This run states no prices \
                    of covers and equipment. Put your quotes beside the fuel above.")),
                Some(table) => {
                    h3 { "What each design costs" }
                    (as_it_is(table, "Costs of the designs"))
                }
            }
            @match view.run.table("savings") {
                None => (block::gap("savings", "savings a year and the time until an upgrade has paid for itself",
                    "Without costs there is no payback. As a first look: what an upgrade costs, divided by what it \
                    saves a year (Which design), is the simple payback in years.")),
                Some(table) => {
                    h3 { "What each design saves" }
                    (as_it_is(table, "Savings and payback of the designs"))
                }
            }
            (block::caution("Savings and payback are estimates and no promise. A film may wear out before it has \
                paid for itself: set its years of life beside the payback. A qualified assessor has to review them."))
        }
    }
}

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

//! What every section is built of: a chart with its words and its table, gaps, cautions.

use maud::{Markup, html};

use crate::folder::Run;

/// Cases up to which a run for a page keeps every hour.
const MOST_HOURLY: u64 = 24;

/// Rows up to which a table is not torn across printed pages.
const MOST_SHORT: usize = 14;

/// A table of numbers, with a name for every row and every column.
#[derive(Clone, Debug, Default)]
pub(super) struct DataTable {
    /// What it holds.
    pub(super) caption: String,
    /// Names of the columns, that of the row names first.
    pub(super) head: Vec<String>,
    /// Rows: name and cells.
    pub(super) rows: Vec<(String, Vec<String>)>,
    /// True if its cells are words.
    pub(super) is_words: bool,
}

impl DataTable {
    /// A table without rows.
    pub(super) fn new(caption: impl Into<String>, head: Vec<String>) -> Self {
        Self {
            caption: caption.into(),
            head,
            ..Self::default()
        }
    }

    /// The same with cells to be read from the left.
    pub(super) fn words(mut self) -> Self {
        self.is_words = true;
        self
    }

    /// Adds a row.
    pub(super) fn push(&mut self, name: impl Into<String>, cells: Vec<String>) {
        self.rows.push((name.into(), cells));
    }

    /// True if it is not to be torn across printed pages.
    fn is_short(&self) -> bool {
        self.rows.len() <= MOST_SHORT
    }

    /// The table; nothing without rows.
    pub(super) fn draw(&self) -> Markup {
        if self.rows.is_empty() {
            return html! {};
        }
        html! {
            div.wide.whole[self.is_short()] role="group" tabindex="0" aria-label={ "Table: " (self.caption) } {
                table.words[self.is_words] {
                    caption { (self.caption) }
                    thead { tr { @for name in &self.head { th scope="col" { (name) } } } }
                    tbody {
                        @for (name, cells) in &self.rows {
                            tr { th scope="row" { (name) } @for cell in cells { td.long[is_long(cell)] { (cell) } } }
                        }
                    }
                }
            }
        }
    }
}

/// True for a cell with a word that has to be broken to fit, such as a digest.
fn is_long(cell: &str) -> bool {
    cell.split_whitespace()
        .any(|word| word.chars().count() > 40)
}

/// A chart with what it shows in words before it and its numbers below.
pub(super) fn chart(title: &str, finding: &str, drawing: &Markup, table: &DataTable) -> Markup {
    html! {
        div.whole[table.is_short()] {
            figure {
                figcaption { (title) }
                p.finding { (finding) }
                div.wide role="group" tabindex="0" aria-label={ "Chart: " (title) } { (drawing) }
            }
            (table.draw())
        }
    }
}

/// What is not there, and how it would come to be.
pub(super) fn gap(table: &str, what: &str, remedy: &str) -> Markup {
    html! {
        p.gap { strong { "Not in this report: " } (what) " (table " code { (table) } "). " (remedy) }
    }
}

/// The one command that gives a page with every hour of the year.
pub(super) fn with_hours(run: &Run) -> String {
    let manifest = run.manifest();
    let scenario = match manifest.scenario.path.as_str() {
        "" => "FILE",
        path => path,
    };
    let alone = if manifest.cases > MOST_HOURLY {
        format!(
            " Of more than {MOST_HOURLY} cases it keeps no hours: leave the designs that matter."
        )
    } else {
        String::new()
    };
    format!(
        "It needs every hour of the year. One command runs the scenario with its hours and writes this page anew: \
         overwinter run {scenario} --report --force --out and the folder of the tables.{alone}"
    )
}

/// A caution at the output it belongs to.
pub(super) fn caution(words: &str) -> Markup {
    html! {
        p.caution { strong { "Caution. " } (words) }
    }
}

/// A remark.
pub(super) fn note(words: &str) -> Markup {
    html! {
        p.note { (words) }
    }
}

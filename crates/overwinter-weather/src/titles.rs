//! Finding columns by their titles, whatever their case, blanks and order.

use crate::field::Field;
use crate::table::ColumnRule;

/// What a column of a format is called and how its numbers are read.
pub(crate) struct TitledColumn {
    pub(crate) field: Field,
    /// Accepted titles, lower case, without blanks at the ends.
    pub(crate) titles: &'static [&'static str],
    pub(crate) scale: f64,
    pub(crate) offset: f64,
    pub(crate) missing_from: f64,
}

/// Rules for the columns that the title line has; a repeated title counts once.
pub(crate) fn rules_by_title(titles: &[String], known: &[TitledColumn]) -> Vec<ColumnRule> {
    known
        .iter()
        .filter_map(|column| {
            let index = position(titles, column.titles)?;
            Some(ColumnRule {
                field: column.field,
                index,
                title: titles[index].clone(),
                scale: column.scale,
                offset: column.offset,
                missing_from: column.missing_from,
            })
        })
        .collect()
}

/// Position of the first title that is one of `wanted`, in the order of `wanted`.
pub(crate) fn position(titles: &[String], wanted: &[&str]) -> Option<usize> {
    wanted
        .iter()
        .find_map(|wanted| titles.iter().position(|title| folded(title) == *wanted))
}

/// A title in lower case without blanks at its ends and without a doubled closing bracket.
fn folded(title: &str) -> String {
    title.trim().to_lowercase().replace("))", ")")
}

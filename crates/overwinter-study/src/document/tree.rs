//! The tree of a TOML document.

use toml::Spanned;
use toml::de::{DeArray, DeTable, DeValue};

use crate::error::Problem;

/// A value and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Node {
    /// The value.
    pub(crate) value: Value,
    /// Where it was written.
    pub(crate) place: Place,
}

/// Where a value was written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Place {
    /// Line, counted from 1.
    pub(crate) line: usize,
    /// Axis and alternative that brought it, counted from 0.
    pub(crate) alternative: Option<(usize, usize)>,
    /// Sampled input and draw that brought it, counted from 0.
    pub(crate) draw: Option<(usize, usize)>,
}

/// A TOML value.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Value {
    /// A string.
    Text(String),
    /// A whole or decimal number.
    Number(f64),
    /// True or false.
    Flag(bool),
    /// A date or time, as written.
    Date(String),
    /// A list.
    List(Vec<Node>),
    /// A table, in file order.
    Table(Vec<Entry>),
}

/// A key with its value.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Entry {
    /// The key.
    pub(crate) key: String,
    /// Line of the key.
    pub(crate) line: usize,
    /// The value.
    pub(crate) node: Node,
}

impl Value {
    /// The value as a user would write it, shortened.
    pub(crate) fn written(&self) -> String {
        match self {
            Self::Text(text) => format!("\"{text}\""),
            Self::Number(number) => number.to_string(),
            Self::Flag(flag) => flag.to_string(),
            Self::Date(date) => date.clone(),
            Self::List(_) => "[...]".to_owned(),
            Self::Table(_) => "{...}".to_owned(),
        }
    }

    /// The value's type in words.
    pub(crate) fn type_wording(&self) -> &'static str {
        match self {
            Self::Text(_) => "a text",
            Self::Number(_) => "a bare number",
            Self::Flag(_) => "true or false",
            Self::Date(_) => "a date",
            Self::List(_) => "a list",
            Self::Table(_) => "a table",
        }
    }
}

/// Reads a TOML text; every syntax error becomes a problem with its line.
pub(crate) fn parse(text: &str) -> Result<Node, Vec<Problem>> {
    let lines = LineIndex::new(text);
    let (table, errors) = DeTable::parse_recoverable(text);
    if errors.is_empty() {
        return Ok(Node {
            value: table_value(table.get_ref(), &lines),
            place: lines.place(0),
        });
    }
    let problem = |error: &toml::de::Error| Problem {
        line: lines.line(error.span().map_or(0, |span| span.start)),
        key: String::new(),
        value: None,
        message: format!("this is not valid TOML: {}", error.message()),
        alternative: None,
    };
    Err(errors.iter().map(problem).collect())
}

/// Start of every line, to turn byte offsets into line numbers.
struct LineIndex(Vec<usize>);

impl LineIndex {
    fn new(text: &str) -> Self {
        let after_breaks = text.match_indices('\n').map(|(at, _)| at + 1);
        Self(std::iter::once(0).chain(after_breaks).collect())
    }

    fn line(&self, offset: usize) -> usize {
        self.0.partition_point(|start| *start <= offset)
    }

    fn place(&self, offset: usize) -> Place {
        Place {
            line: self.line(offset),
            ..Place::default()
        }
    }
}

fn node(value: &Spanned<DeValue<'_>>, lines: &LineIndex) -> Node {
    Node {
        place: lines.place(value.span().start),
        value: match value.get_ref() {
            DeValue::String(text) => Value::Text(text.to_string()),
            DeValue::Integer(whole) => Value::Number(whole_number(whole)),
            DeValue::Float(float) => Value::Number(float.as_str().parse().unwrap_or(f64::NAN)),
            DeValue::Boolean(flag) => Value::Flag(*flag),
            DeValue::Datetime(date) => Value::Date(date.to_string()),
            DeValue::Array(list) => list_value(list, lines),
            DeValue::Table(table) => table_value(table, lines),
        },
    }
}

fn whole_number(whole: &toml::de::DeInteger<'_>) -> f64 {
    // A scenario has no use for whole numbers beyond 2^53, which a double holds exactly.
    i64::from_str_radix(whole.as_str(), whole.radix()).map_or(f64::NAN, |number| number as f64)
}

fn list_value(list: &DeArray<'_>, lines: &LineIndex) -> Value {
    Value::List(list.iter().map(|item| node(item, lines)).collect())
}

fn table_value(table: &DeTable<'_>, lines: &LineIndex) -> Value {
    let mut entries: Vec<_> = table
        .iter()
        .map(|(key, value)| {
            let entry = Entry {
                key: key.get_ref().to_string(),
                line: lines.line(key.span().start),
                node: node(value, lines),
            };
            (key.span().start, entry)
        })
        .collect();
    entries.sort_by_key(|(start, _)| *start);
    Value::Table(entries.into_iter().map(|(_, entry)| entry).collect())
}

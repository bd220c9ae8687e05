//! A JSON Schema (draft 2020-12) of the scenario file, for editors.
//!
//! It is drawn from the reader itself, which notes every key it asks for while it is led past all
//! of them. No key is `required`, because an axis may bring what the file leaves out.

mod forms;
mod walks;
mod wording;

use serde_json::{Value, json};

use crate::document::{Asked, Form, KeyPath, Record, Usual};

/// The schema as indented JSON with a line break at its end, always in the same order.
pub fn scenario_schema() -> String {
    let (record, _) = walks::walked();
    format!("{:#}\n", whole(&record))
}

fn whole(record: &Record) -> Value {
    let has_keys = |asked: &Asked| {
        let is_table = |form: &Form| matches!(form, Form::Table | Form::Tables);
        asked.forms.iter().any(is_table)
    };
    let tables = record.keys.iter().filter(|(_, asked)| has_keys(asked));
    let definitions = tables.map(|(path, _)| (path.join("."), table(record, path)));
    let mut fields = vec![
        (
            "$schema",
            json!("https://json-schema.org/draft/2020-12/schema"),
        ),
        ("title", json!("overwinter scenario")),
        ("$defs", object(definitions)),
    ];
    fields.extend(table_fields(record, &KeyPath::new()));
    object(fields)
}

fn table(record: &Record, path: &KeyPath) -> Value {
    object(table_fields(record, path))
}

fn table_fields(record: &Record, path: &KeyPath) -> Vec<(&'static str, Value)> {
    let is_key = |key: &KeyPath| key.len() == path.len() + 1 && key.starts_with(path);
    let keys = record.keys.iter().filter(|(key, _)| is_key(key));
    let properties = keys.filter_map(|(key, asked)| Some((key.last()?, property(key, asked))));
    let mut fields = vec![
        ("properties", object(properties)),
        ("type", json!("object")),
    ];
    if record.closed.contains(path) {
        fields.push(("additionalProperties", json!(false)));
    }
    fields
}

fn property(path: &KeyPath, asked: &Asked) -> Value {
    let mut choices = forms::choices(path, &asked.forms);
    let mut fields = match choices.len() {
        0 => Vec::new(),
        1 => choices.remove(0),
        _ => vec![("anyOf", choices.into_iter().map(object).collect())],
    };
    let description = wording::description(asked);
    if !description.is_empty() {
        fields.push(("description", json!(description)));
    }
    fields.extend(default(asked).map(|value| ("default", value)));
    object(fields)
}

/// The default, if it is the same for every scenario and written as a value of the key.
fn default(asked: &Asked) -> Option<Value> {
    let [Usual::Value(value, _)] = asked.usual.as_slice() else {
        return None;
    };
    match asked.forms.first()? {
        Form::Flag => Some(json!(value == "true")),
        Form::Table | Form::Tables | Form::List | Form::Listed(_) => None,
        _ => Some(json!(value)),
    }
}

/// An object with its keys in alphabetical order.
fn object<K: Into<String>>(fields: impl IntoIterator<Item = (K, Value)>) -> Value {
    let mut fields: Vec<(String, Value)> = fields
        .into_iter()
        .map(|(key, value)| (key.into(), value))
        .collect();
    fields.sort_by(|(a, _), (b, _)| a.cmp(b));
    Value::Object(fields.into_iter().collect())
}

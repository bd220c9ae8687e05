//! As much of JSON Schema (draft 2020-12) as the schema of scenarios uses; any other keyword is a
//! defect, so that nothing in the schema goes unchecked.

use regex::Regex;
use serde_json::{Map, Value};

/// What is wrong with a schema itself.
pub(crate) fn defects(schema: &Value) -> Vec<String> {
    let mut found = Vec::new();
    if schema["$schema"] != "https://json-schema.org/draft/2020-12/schema" {
        found.push("no known dialect".to_owned());
    }
    check_schema(schema, schema, "#", &mut found);
    found
}

/// Where a value does not fit a schema.
pub(crate) fn complaints(schema: &Value, value: &Value) -> Vec<String> {
    let mut found = Vec::new();
    check_value(schema, schema, value, "", &mut found);
    found
}

fn check_schema(root: &Value, schema: &Value, at: &str, found: &mut Vec<String>) {
    if schema.is_boolean() {
        return;
    }
    let Some(fields) = schema.as_object() else {
        found.push(format!("{at}: neither an object nor true or false"));
        return;
    };
    for (keyword, value) in fields {
        let here = format!("{at}/{keyword}");
        let is_sound = match keyword.as_str() {
            "$schema" => value.is_string() && at == "#",
            "title" | "description" => value.as_str().is_some_and(|text| !text.is_empty()),
            "$ref" => value.as_str().and_then(|text| target(root, text)).is_some(),
            "type" => value.as_str().is_some_and(|name| TYPES.contains(&name)),
            "pattern" => value.as_str().is_some_and(|text| Regex::new(text).is_ok()),
            "minimum" | "maximum" => value.is_number(),
            "minItems" => value.is_u64(),
            "enum" => is_set(value),
            "default" => complaints_here(root, schema, value).is_empty(),
            "additionalProperties" | "items" => {
                check_schema(root, value, &here, found);
                true
            }
            "anyOf" => value.as_array().is_some_and(|list| {
                for one in list {
                    check_schema(root, one, &here, found);
                }
                list.len() > 1
            }),
            "$defs" | "properties" => value.as_object().is_some_and(|members| {
                for (name, member) in members {
                    check_schema(root, member, &format!("{here}/{name}"), found);
                }
                true
            }),
            _ => false,
        };
        if !is_sound {
            found.push(here);
        }
    }
}

const TYPES: [&str; 5] = ["object", "array", "string", "number", "boolean"];

fn is_set(value: &Value) -> bool {
    value.as_array().is_some_and(|list| {
        let is_new = |(index, item): (usize, &Value)| !list[..index].contains(item);
        !list.is_empty() && list.iter().enumerate().all(is_new)
    })
}

fn target<'a>(root: &'a Value, reference: &str) -> Option<&'a Value> {
    root.pointer(reference.strip_prefix('#')?)
}

fn complaints_here(root: &Value, schema: &Value, value: &Value) -> Vec<String> {
    let mut found = Vec::new();
    check_value(root, schema, value, "", &mut found);
    found
}

fn check_value(root: &Value, schema: &Value, value: &Value, at: &str, found: &mut Vec<String>) {
    let empty = Map::new();
    for (keyword, wanted) in schema.as_object().unwrap_or(&empty) {
        let fits = match keyword.as_str() {
            "$ref" => {
                let target = wanted.as_str().and_then(|text| target(root, text));
                check_value(root, target.expect("a definition"), value, at, found);
                true
            }
            "type" => type_of(value) == wanted,
            "enum" => wanted.as_array().is_some_and(|list| list.contains(value)),
            "pattern" => value.as_str().is_none_or(|text| {
                let pattern = wanted.as_str().expect("a pattern");
                Regex::new(pattern).expect("a pattern").is_match(text)
            }),
            "minimum" => value.as_f64().is_none_or(|n| Some(n) >= wanted.as_f64()),
            "maximum" => value.as_f64().is_none_or(|n| Some(n) <= wanted.as_f64()),
            "minItems" => value
                .as_array()
                .is_none_or(|list| Some(list.len() as u64) >= wanted.as_u64()),
            "anyOf" => wanted.as_array().is_some_and(|list| {
                list.iter()
                    .any(|one| complaints_here(root, one, value).is_empty())
            }),
            "items" => {
                for (index, item) in value.as_array().into_iter().flatten().enumerate() {
                    check_value(root, wanted, item, &format!("{at}.{}", index + 1), found);
                }
                true
            }
            "properties" => {
                check_members(root, schema, value, at, found);
                true
            }
            _ => true,
        };
        if !fits {
            found.push(format!("{}: {keyword}", at.trim_start_matches('.')));
        }
    }
}

fn check_members(root: &Value, schema: &Value, value: &Value, at: &str, found: &mut Vec<String>) {
    for (key, member) in value.as_object().into_iter().flatten() {
        let path = format!("{at}.{key}");
        match schema["properties"].get(key) {
            Some(known) => check_value(root, known, member, &path, found),
            None if schema["additionalProperties"] == false => {
                found.push(format!("{}: unknown", path.trim_start_matches('.')));
            }
            None => {}
        }
    }
}

fn type_of(value: &Value) -> &'static str {
    match value {
        Value::Null => "null",
        Value::Bool(_) => "boolean",
        Value::Number(_) => "number",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    }
}

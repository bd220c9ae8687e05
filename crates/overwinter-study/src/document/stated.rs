//! What a file states, key by key, as it stands there.

use super::{Given, Node, Value};

/// Every value of a document with its key path, in file order. Texts stand without quotes, items of a
/// list with commas between them, and tables in a list under their number: `heater.1.fuel`.
pub(crate) fn stated(document: &Node) -> Vec<Given> {
    let mut found = Vec::new();
    walk("", document, &mut found);
    found
}

fn walk(path: &str, node: &Node, found: &mut Vec<Given>) {
    let below = |key: &str| match path {
        "" => key.to_owned(),
        path => format!("{path}.{key}"),
    };
    match &node.value {
        Value::Table(entries) => {
            for entry in entries {
                walk(&below(&entry.key), &entry.node, found);
            }
        }
        Value::List(items) if items.iter().any(is_table) => {
            for (number, item) in (1..).zip(items) {
                walk(&below(&format!("{number}")), item, found);
            }
        }
        value => found.push(Given {
            key: path.to_owned(),
            value: plain(value),
            line: node.place.line,
        }),
    }
}

fn is_table(node: &Node) -> bool {
    matches!(node.value, Value::Table(_))
}

fn plain(value: &Value) -> String {
    match value {
        Value::Text(text) => text.clone(),
        Value::List(items) => {
            let items = items.iter().map(|item| plain(&item.value));
            items.collect::<Vec<_>>().join(", ")
        }
        other => other.written(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::parse;

    #[test]
    fn every_value_stands_under_its_key() {
        let text = "title = \"a\"\n[house]\nwidth = \"30 ft\"\nbays = 2\n[[heater]]\nfuel = \"oil\"\n\
                    [[heater]]\nfuel = \"wood\"\nvented = true\n[[axis]]\nname = \"n\"\n\
                    values = [1, \"b\"]\n";
        let found = stated(&parse(text).expect("valid TOML"));
        let found: Vec<_> = found
            .iter()
            .map(|of| (&*of.key, &*of.value, of.line))
            .collect();
        let wanted = [
            ("title", "a", 1),
            ("house.width", "30 ft", 3),
            ("house.bays", "2", 4),
            ("heater.1.fuel", "oil", 6),
            ("heater.2.fuel", "wood", 8),
            ("heater.2.vented", "true", 9),
            ("axis.1.name", "n", 11),
            ("axis.1.values", "1, b", 12),
        ];
        assert_eq!(found, wanted);
    }
}

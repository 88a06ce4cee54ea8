//! The words of requests: names of questions and fields, examples, materials; from the schemas and the test vectors.

use std::collections::BTreeSet;
use std::sync::LazyLock;

use gelwright::door;
use serde_json::Value;

use super::seeds;

/// All of them.
pub(crate) static ALL: LazyLock<Vec<String>> = LazyLock::new(|| {
    let mut found = BTreeSet::new();
    for q in door::questions() {
        found.insert(q.name.to_owned());
        of_schema(&q.request_schema(), &mut found);
    }
    for case in seeds::cases() {
        seeds::texts(&case["request"], &mut |text| {
            found.insert(text.to_owned());
        });
    }
    found.retain(|word| (1..40).contains(&word.len()));
    found.into_iter().collect()
});

fn of_schema(schema: &Value, found: &mut BTreeSet<String>) {
    let Value::Object(fields) = schema else { return };
    for (name, content) in fields {
        match (name.as_str(), content) {
            ("properties", Value::Object(inner)) => found.extend(inner.keys().cloned()),
            ("const" | "enum" | "examples", content) => seeds::texts(content, &mut |text| {
                found.insert(text.to_owned());
            }),
            _ => {}
        }
        match content {
            Value::Array(items) => items.iter().for_each(|v| of_schema(v, found)),
            Value::Object(inner) => {
                of_schema(content, found);
                inner.values().for_each(|v| of_schema(v, found));
            }
            _ => {}
        }
    }
}

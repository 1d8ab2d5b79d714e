//! The generated files in `routes/` are those the code makes now.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use serde_json::Value;

const REFRESH: &str = "to write it anew: UPDATE=1 cargo test -p fulmar-route --test generated";

fn routes() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../routes")
}

fn fresh(path: &Path, now: &str) {
    let there = std::fs::read_to_string(path).unwrap_or_default();
    if there == now {
        return;
    }
    assert!(std::env::var_os("UPDATE").is_some(), "{} is stale; {REFRESH}", path.display());
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::write(path, now).unwrap();
}

#[test]
fn the_schemas_are_fresh() {
    for (name, schema) in route::schemas() {
        let text = serde_json::to_string_pretty(&schema).unwrap() + "\n";
        fresh(&routes().join("schema").join(name), &text);
    }
}

#[test]
fn the_key_reference_is_fresh() {
    let path = routes().join("README.md");
    let text = std::fs::read_to_string(&path).unwrap();
    let begin = "<!-- keys: begin -->\n";
    let end = "<!-- keys: end -->";
    let (before, rest) = text.split_once(begin).unwrap();
    let (_, after) = rest.split_once(end).unwrap();
    fresh(&path, &format!("{before}{begin}\n{}\n{end}{after}", route::reference()));
}

/// Every reference leads somewhere, and every definition is used.
#[test]
fn the_schemas_hang_together() {
    for (name, schema) in route::schemas() {
        let defined: BTreeSet<String> =
            schema["$defs"].as_object().unwrap().keys().cloned().collect();
        let mut used = BTreeSet::new();
        walk(&schema, &mut |value| {
            if let Some(Value::String(reference)) = value.get("$ref") {
                used.insert(reference.strip_prefix("#/$defs/").unwrap().to_owned());
            }
        });
        assert_eq!(defined, used, "{name}");
        walk(&schema, &mut |value| {
            let Some(properties) = value.get("properties").and_then(Value::as_object) else {
                return;
            };
            if value.get("type") != Some(&Value::from("object")) {
                return;
            }
            for (key, property) in properties {
                assert!(property["description"].as_str().is_some_and(|d| d.len() > 1), "{key}");
            }
            for key in value.get("required").and_then(Value::as_array).into_iter().flatten() {
                assert!(properties.contains_key(key.as_str().unwrap()), "{key}");
            }
        });
    }
}

fn walk(value: &Value, visit: &mut impl FnMut(&Value)) {
    visit(value);
    match value {
        Value::Array(items) => items.iter().for_each(|item| walk(item, visit)),
        Value::Object(map) => map.values().for_each(|item| walk(item, visit)),
        _ => {}
    }
}

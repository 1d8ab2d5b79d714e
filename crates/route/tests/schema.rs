//! The schemas say what reading says, where a schema can: files that are read without a finding
//! fit, and files with keys that are unknown or missing do not.
//!
//! Both sides are others than those that are tested: a small validator of our own, of just the
//! words that the schemas use, and YAML read by the library straight into JSON values.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::path::{Path, PathBuf};

use regex::Regex;
use serde_json::Value;

struct Validator<'s> {
    root: &'s Value,
}

impl Validator<'_> {
    /// What does not fit, in words; nothing if all does.
    fn misfits(&self, schema: &Value, value: &Value, at: &str) -> Vec<String> {
        let mut out = Vec::new();
        let map = schema.as_object().unwrap();
        for (word, says) in map {
            let misfit = match word.as_str() {
                "$schema" | "$defs" | "title" | "description" | "examples" => None,
                "$ref" => {
                    let name = says.as_str().unwrap().strip_prefix("#/$defs/").unwrap();
                    out.extend(self.misfits(&self.root["$defs"][name], value, at));
                    None
                }
                "type" => {
                    let kinds: Vec<&str> = match says {
                        Value::Array(kinds) => kinds.iter().map(|k| k.as_str().unwrap()).collect(),
                        kind => vec![kind.as_str().unwrap()],
                    };
                    let fits = kinds.iter().any(|kind| match *kind {
                        "object" => value.is_object(),
                        "array" => value.is_array(),
                        "string" => value.is_string(),
                        "number" => value.is_number(),
                        "integer" => value.is_i64() || value.is_u64(),
                        "boolean" => value.is_boolean(),
                        other => panic!("type {other}"),
                    });
                    (!fits).then(|| format!("{value} is no {kinds:?}"))
                }
                "properties" => {
                    for (key, inner) in says.as_object().unwrap() {
                        if let Some(value) = value.get(key) {
                            out.extend(self.misfits(inner, value, &format!("{at}/{key}")));
                        }
                    }
                    None
                }
                "additionalProperties" => {
                    let known = map.get("properties").and_then(Value::as_object);
                    for (key, value) in value.as_object().into_iter().flatten() {
                        if known.is_some_and(|known| known.contains_key(key)) {
                            continue;
                        }
                        match says {
                            Value::Bool(false) => out.push(format!("{at}: unknown {key}")),
                            inner => {
                                out.extend(self.misfits(inner, value, &format!("{at}/{key}")));
                            }
                        }
                    }
                    None
                }
                "propertyNames" => {
                    for key in value.as_object().into_iter().flatten().map(|(key, _)| key) {
                        out.extend(self.misfits(says, &Value::from(key.as_str()), at));
                    }
                    None
                }
                "required" => {
                    for key in says.as_array().unwrap() {
                        let key = key.as_str().unwrap();
                        if value.is_object() && value.get(key).is_none() {
                            out.push(format!("{at}: {key} is missing"));
                        }
                    }
                    None
                }
                "items" => {
                    for (number, item) in value.as_array().into_iter().flatten().enumerate() {
                        out.extend(self.misfits(says, item, &format!("{at}/{number}")));
                    }
                    None
                }
                "minItems" => value
                    .as_array()
                    .is_some_and(|items| (items.len() as u64) < says.as_u64().unwrap())
                    .then(|| "too few".to_owned()),
                "minProperties" => value
                    .as_object()
                    .is_some_and(|keys| (keys.len() as u64) < says.as_u64().unwrap())
                    .then(|| "too few keys".to_owned()),
                "maxProperties" => value
                    .as_object()
                    .is_some_and(|keys| (keys.len() as u64) > says.as_u64().unwrap())
                    .then(|| "too many keys".to_owned()),
                "minimum" => value
                    .as_f64()
                    .is_some_and(|number| number < says.as_f64().unwrap())
                    .then(|| format!("{value} is too small")),
                "maximum" => value
                    .as_f64()
                    .is_some_and(|number| number > says.as_f64().unwrap())
                    .then(|| format!("{value} is too large")),
                "pattern" => {
                    let pattern = Regex::new(says.as_str().unwrap()).unwrap();
                    value
                        .as_str()
                        .is_some_and(|text| !pattern.is_match(text))
                        .then(|| format!("{value} does not match {says}"))
                }
                "enum" => (!says.as_array().unwrap().contains(value))
                    .then(|| format!("{value} is none of {says}")),
                "anyOf" | "oneOf" | "allOf" => {
                    let each: Vec<_> = says
                        .as_array()
                        .unwrap()
                        .iter()
                        .map(|inner| self.misfits(inner, value, at))
                        .collect();
                    let fit = each.iter().filter(|misfits| misfits.is_empty()).count();
                    let fits = match word.as_str() {
                        "anyOf" => fit > 0,
                        "oneOf" => fit == 1,
                        _ => fit == each.len(),
                    };
                    (!fits).then(|| format!("{fit} of {word}: {each:?}"))
                }
                other => panic!("the schemas use `{other}`, which this test does not know"),
            };
            out.extend(misfit.map(|misfit| format!("{at}: {misfit}")));
        }
        out
    }
}

/// What does not fit the schema of the file's kind.
fn misfits(text: &str) -> Vec<String> {
    // YAML 1.2: `on` and `yes` are texts.
    let options = serde_yaml::options! { strict_booleans: true };
    let value: Value = serde_yaml::from_str_with_options(text, options).unwrap();
    let kind = ["tour", "library", "aircraft"].into_iter().find(|key| value.get(key).is_some());
    let name = format!("{}.schema.json", kind.unwrap());
    let (_, schema) = route::schemas().into_iter().find(|(schema, _)| *schema == name).unwrap();
    Validator { root: &schema }.misfits(&schema, &value, "")
}

fn case(name: &str) -> Vec<(String, String)> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases").join(name);
    let text = std::fs::read_to_string(path).unwrap();
    let clean: Vec<_> = text.lines().filter(|l| !l.trim_start().starts_with("#~")).collect();
    clean
        .join("\n")
        .split("#= ")
        .skip(1)
        .map(|part| {
            let (path, text) = part.split_once('\n').unwrap();
            (path.to_owned(), text.to_owned())
        })
        .collect()
}

#[test]
fn what_is_read_without_a_finding_fits() {
    for (path, text) in case("everything.yaml") {
        assert_eq!(misfits(&text), Vec::<String>::new(), "{path}");
    }
    let routes = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../routes");
    let mut files = Vec::new();
    for folder in ["tours", "aircraft", "library"] {
        for entry in std::fs::read_dir(routes.join(folder)).unwrap() {
            files.push(entry.unwrap().path());
        }
    }
    let yaml = |path: &PathBuf| path.extension().is_some_and(|extension| extension == "yaml");
    files.retain(yaml);
    assert!(!files.is_empty());
    for path in files {
        let text = std::fs::read_to_string(&path).unwrap();
        assert_eq!(misfits(&text), Vec::<String>::new(), "{}", path.display());
    }
}

/// Each of these, put into a file that fits, makes it one that does not, for reading and for the
/// schema.
#[test]
fn what_reading_refuses_does_not_fit() {
    for wrong in [
        "zoones: {}",
        "zones: {a: {circle: {centre: A}}}",
        "zones: {a: {circle: {centre: A, radius: 1 km, colour: red}}}",
        "zones: {a: {circle: {centre: A, radius: 900}}}",
        "zones: {a: {circle: {centre: A, radius: 5 kt}}}",
        "zones: {a: {circle: {centre: A, radius: 1 km}, band: 300 to 500 ft}}",
        "zones: {a: {band: above 300 ft}}",
        "zones: {a: {circle: {centre: A, radius: 1 km}, any of: [b]}}",
        "zones: {a: {polygon: {points: [A, B]}}}",
        "zones: {the town: {any of: [b]}}",
        "zones: {a: {any of: []}}",
        "zones: {a: {any of: [b], quiet: yes}}",
        "waypoints: {A: {at: nowhere at all}}",
        "waypoints: {A: {at: {lat: 91, lon: 0}}}",
        "rules: {a: {record: true}}",
        "rules: {a: {priority: 1.5}}",
        "rules: {a: {when: {track: north}}}",
        "rules: {a: {when: {groundspeed: 40..80}}}",
        "rules: {a: {when: {pass: 0}}}",
        "rules: {a: {camera: {look at: ARCH, away: left}}}",
        "rules: {a: {camera: [left, {nose: 4, tail: 4}]}}",
        "rules: {a: {still: twice}}",
        "narrations: {a: {length: 5 s}}",
        "narrations: {a: {text: Hello, words per minute: 5}}",
    ] {
        let library = format!("library: L\n{wrong}\n");
        assert!(!misfits(&library).is_empty(), "the schema accepts {wrong}");
        let world = route::MemoryWorld::new()
            .with("tour.yaml", "tour: T\ninclude: l.yaml\n")
            .with("l.yaml", library);
        let (_, findings) = route::read(&world, "tour.yaml", None);
        let refused = findings.iter().any(|finding| &*finding.place.file == "l.yaml");
        assert!(refused, "reading accepts {wrong}");
    }
}

//! The JSON Schema of the kinds of files, from the declaration of their keys.
//!
//! Draft 2020-12. Editors complete and check by it as one types; what only reading can tell (order
//! of the ends of a band, ranges of quantities) is said in the descriptions.

use serde_json::{Map, Value, json};

use crate::decode::{Reads, of};
use crate::keys::{AircraftFile, LibraryFile, TodayFile, TourFile};
use crate::shape::{Definition, Field, Shape, Shapes};

/// The schemas: file name and content.
#[must_use]
pub fn schemas() -> Vec<(&'static str, Value)> {
    vec![
        ("tour.schema.json", schema(of::<TourFile>(), "A tour")),
        ("aircraft.schema.json", schema(of::<AircraftFile>(), "An aircraft")),
        ("library.schema.json", schema(of::<LibraryFile>(), "A library")),
        ("today.schema.json", schema(of::<TodayFile>(), "What is different today")),
    ]
}

fn schema(root: impl Reads, title: &str) -> Value {
    let mut shapes = Shapes::default();
    let shape = root.shape(&mut shapes);
    let definitions: Map<String, Value> = shapes
        .entries()
        .iter()
        .filter_map(|entry| {
            let mut value = definition(entry.definition.as_ref()?);
            value.insert("description".into(), json!(entry.about));
            Some((identifier(entry.name), Value::Object(value)))
        })
        .collect();
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": title,
        "$ref": reference(&shape),
        "$defs": definitions,
    })
}

fn identifier(name: &str) -> String {
    name.replace(' ', "-")
}

fn reference(shape: &Shape) -> Value {
    match shape {
        Shape::Named(name) => json!(format!("#/$defs/{}", identifier(name))),
        _ => Value::Null,
    }
}

fn definition(definition: &Definition) -> Map<String, Value> {
    let value = match definition {
        Definition::Pattern { pattern, examples } => json!({
            "type": "string",
            "pattern": format!("^{pattern}$"),
            "examples": examples,
        }),
        Definition::Any(any) => shape(&Shape::Any(any.clone())),
        Definition::Mapping { fields, choices } => mapping(fields, choices),
    };
    match value {
        Value::Object(map) => map,
        _ => Map::new(),
    }
}

fn mapping(fields: &[Field], choices: &[Vec<&'static str>]) -> Value {
    let properties: Map<String, Value> = fields
        .iter()
        .map(|field| {
            let mut value = shape(&field.shape);
            if let Value::Object(map) = &mut value {
                map.insert("description".into(), json!(field.sentence()));
            }
            (field.key.to_owned(), value)
        })
        .collect();
    let required: Vec<_> = fields.iter().filter(|f| f.required).map(|f| f.key).collect();
    let mut out = json!({
        "type": "object",
        "properties": properties,
        "additionalProperties": false,
    });
    if let Value::Object(map) = &mut out {
        if !required.is_empty() {
            map.insert("required".into(), json!(required));
        }
        let choices: Vec<Value> = choices
            .iter()
            .map(|keys| {
                let one: Vec<Value> = keys.iter().map(|key| json!({ "required": [key] })).collect();
                json!({ "oneOf": one })
            })
            .collect();
        if !choices.is_empty() {
            map.insert("allOf".into(), Value::Array(choices));
        }
    }
    out
}

fn shape(of: &Shape) -> Value {
    match of {
        Shape::Named(_) => json!({ "$ref": reference(of) }),
        Shape::List(item, least) => {
            json!({ "type": "array", "items": shape(item), "minItems": least })
        }
        Shape::OneOrMany(item) => {
            let list = Shape::List(item.clone(), 1);
            json!({ "anyOf": [shape(item), shape(&list)] })
        }
        Shape::Table(value) => json!({
            "type": "object",
            "propertyNames": { "$ref": "#/$defs/name" },
            "additionalProperties": shape(value),
        }),
        Shape::OneName(value) => json!({
            "type": "object",
            "additionalProperties": shape(value),
            "minProperties": 1,
            "maxProperties": 1,
        }),
        Shape::Any(any) => json!({ "anyOf": any.iter().map(shape).collect::<Vec<_>>() }),
        Shape::Words(words) => json!({ "enum": words }),
        Shape::Flag => json!({ "type": "boolean" }),
        // A text that looks like a number need not be quoted.
        Shape::Text => json!({ "type": ["string", "number"] }),
        Shape::Amount(range) => {
            json!({ "$ref": format!("#/$defs/{}", identifier(range.quantity.name())) })
        }
        Shape::Number { whole, least, most } => json!({
            "type": if *whole { "integer" } else { "number" },
            "minimum": least,
            "maximum": most,
        }),
    }
}

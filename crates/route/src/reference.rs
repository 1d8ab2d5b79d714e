//! The key reference of the language, in Markdown, from the declaration of its keys.

use std::fmt::Write as _;

use crate::decode::{Reads, of};
use crate::keys::{AircraftFile, LibraryFile, TodayFile, TourFile};
use crate::shape::{Definition, Entry, Field, Shape, Shapes};

/// Every mapping with its keys, and every kind of value, as Markdown sections of the third level.
#[must_use]
pub fn reference() -> String {
    let mut shapes = Shapes::default();
    of::<TourFile>().shape(&mut shapes);
    of::<LibraryFile>().shape(&mut shapes);
    of::<AircraftFile>().shape(&mut shapes);
    of::<TodayFile>().shape(&mut shapes);
    let mut out = String::new();
    for entry in shapes.entries() {
        if let Some(Definition::Mapping { fields, choices }) = &entry.definition {
            mapping(&mut out, entry, fields, choices);
        }
    }
    out.push_str("### values\n\n| value | written | such as |\n| --- | --- | --- |\n");
    for entry in shapes.entries() {
        let written = match &entry.definition {
            Some(Definition::Pattern { examples, .. }) => {
                examples.iter().map(|text| format!("`{text}`")).collect::<Vec<_>>().join(", ")
            }
            Some(Definition::Any(any)) => any.iter().map(value).collect::<Vec<_>>().join(" or "),
            _ => continue,
        };
        // Writing to a text cannot fail.
        let _ = writeln!(
            out,
            "| <a id=\"{}\"></a>{} | {} | {} |",
            anchor(entry.name),
            entry.name,
            cell(&entry.about),
            cell(&written)
        );
    }
    out
}

fn mapping(out: &mut String, entry: &Entry, fields: &[Field], choices: &[Vec<&'static str>]) {
    let _ = writeln!(out, "### {}\n\n{}", entry.name, entry.about);
    for keys in choices {
        let keys: Vec<_> = keys.iter().map(|key| format!("`{key}`")).collect();
        let _ = writeln!(out, "Exactly one of {} must be there.", keys.join(", "));
    }
    out.push_str("\n| key | value | what it is |\n| --- | --- | --- |\n");
    for field in fields {
        let key = if field.required { "**`" } else { "`" };
        let end = if field.required { "`**" } else { "`" };
        let _ = writeln!(
            out,
            "| {key}{}{end} | {} | {} |",
            field.key,
            cell(&value(&field.shape)),
            cell(&field.sentence())
        );
    }
    out.push('\n');
}

fn value(shape: &Shape) -> String {
    match shape {
        Shape::Named(name) => link(name),
        Shape::List(of, least) => format!("a list of {least} or more: {}", value(of)),
        Shape::OneOrMany(of) => format!("{}; or a list of them", value(of)),
        Shape::Table(of) => format!("names, each with its {}", value(of)),
        Shape::OneName(of) => format!("a name with its {}", value(of)),
        Shape::Any(any) => any.iter().map(value).collect::<Vec<_>>().join(" or "),
        Shape::Words(words) => {
            words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(", ")
        }
        Shape::Flag => "`true`, `false`".to_owned(),
        Shape::Text => "a text".to_owned(),
        Shape::Amount(range) => link(range.quantity.name()),
        Shape::Number { whole, least, most } => {
            let kind = if *whole { "a whole number" } else { "a number" };
            format!("{kind}, {least} to {most}")
        }
    }
}

fn link(name: &str) -> String {
    format!("[{name}](#{})", anchor(name))
}

fn anchor(name: &str) -> String {
    name.replace(' ', "-")
}

/// Text for a cell of a table.
fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}

//! `fulmar schema`.

use crate::args::{SchemaArgs, SchemaKind};
use crate::outcome::{Outcome, Stop};
use crate::render;
use crate::terminal::Terminal;

/// Prints the JSON Schema of a kind of file.
pub(super) fn run(args: &SchemaArgs, terminal: &mut Terminal) -> Result<Outcome, Stop> {
    let wanted = match args.kind {
        SchemaKind::Tour => "tour.schema.json",
        SchemaKind::Aircraft => "aircraft.schema.json",
        SchemaKind::Library => "library.schema.json",
        SchemaKind::Today => "today.schema.json",
    };
    for (name, schema) in route::schemas() {
        if name == wanted {
            render::json(&mut *terminal.out, &schema)?;
        }
    }
    Ok(Outcome::Clean)
}

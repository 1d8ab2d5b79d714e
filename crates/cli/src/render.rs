//! Turning results into text and JSON. Nothing here reads or decides anything.

pub(crate) mod against;
pub(crate) mod compare;
pub(crate) mod coverage;
pub(crate) mod cue_sheet;
pub(crate) mod event_plan;
pub(crate) mod findings;
pub(crate) mod fit;
pub(crate) mod grid;
pub(crate) mod identity;
pub(crate) mod light;
pub(crate) mod mix;
pub(crate) mod place;
pub(crate) mod recordings;
pub(crate) mod screen;
pub(crate) mod summary;
pub(crate) mod table;
pub(crate) mod takes;
#[cfg(test)]
pub(crate) mod testing;
pub(crate) mod texts;
pub(crate) mod time;
pub(crate) mod why;
pub(crate) mod wire;
pub(crate) mod words;

use std::io::{self, Write};

/// Prints JSON for programs, laid out over lines.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn json(out: &mut dyn Write, value: &serde_json::Value) -> io::Result<()> {
    serde_json::to_writer_pretty(&mut *out, value)?;
    out.write_all(b"\n")
}

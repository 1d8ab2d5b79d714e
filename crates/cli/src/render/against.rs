//! What becomes of a tour today, against the tour as written.

use std::io::{self, Write};

use compiler::Effect;
use serde_json::{Value, json};

use super::time::Length;
use crate::input::tour::Against;

/// Prints a line for each kind of thing that is lost or won.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn text(out: &mut dyn Write, against: &Against, indent: &str) -> io::Result<()> {
    let written = &against.written.code;
    let lines = lines(&against.effect);
    if lines.is_empty() {
        return writeln!(
            out,
            "{indent}against the tour as written (plan {written}) the passengers lose nothing"
        );
    }
    writeln!(out, "{indent}against the tour as written (plan {written}):")?;
    lines.iter().try_for_each(|line| writeln!(out, "{indent}  {line}"))
}

fn lines(effect: &Effect) -> Vec<String> {
    let mut lines = Vec::new();
    let lists = [
        ("not filmed today", &effect.not_filmed),
        ("no still at the closest point today", &effect.no_still),
        ("not told to the end today", &effect.not_told),
        ("filmed only today", &effect.newly_filmed),
        ("told to the end only today", &effect.newly_told),
    ];
    for (what, names) in lists {
        if !names.is_empty() {
            lines.push(format!("{what}: {}", names.join(", ")));
        }
    }
    let (before, after) = effect.stills;
    if before != after {
        lines.push(format!("stills: {after} instead of {before}"));
    }
    let (before, after) = effect.recorded;
    // What a gust does to the length of the film is not worth a line.
    if (before.0 - after.0).abs() >= 1_000 {
        lines.push(format!("recorded: {} instead of {}", Length(after), Length(before)));
    }
    lines
}

/// The `today` member of JSON outputs.
pub(crate) fn json(against: &Against) -> Value {
    let Effect { not_filmed, newly_filmed, not_told, newly_told, no_still, stills, recorded } =
        &against.effect;
    json!({
        "written_code": against.written.code,
        "sights_not_filmed": not_filmed,
        "sights_newly_filmed": newly_filmed,
        "narrations_not_told": not_told,
        "narrations_newly_told": newly_told,
        "sights_without_still": no_still,
        "stills": { "written": stills.0, "today": stills.1 },
        "recorded_ms": { "written": recorded.0.0, "today": recorded.1.0 },
    })
}

//! Plans that are refused as a whole.

use diagnostic::{Diagnostic, Page, Place, Severity};
use plan::{Fault, Plan, PlanError};
use route::Sources;

pub(super) const PAGES: &[Page] = &[Page {
    name: "plan-refused",
    severity: Severity::Error,
    finds: "A plan that holds more, or larger, things than a plan can: more rules, longer texts, \
            more points.",
    why: "The controller keeps all of a plan at hand, so everything in it has a bound.",
    example: "narrations:\n  all: {text: \"… a whole book …\"}",
    better: "narrations:\n  first: {text: \"…\"}\n  second: {text: \"…\"}",
}];

/// What a refused plan means for its author.
pub(crate) fn refused(plan: &Plan, sources: &Sources, error: &PlanError) -> Diagnostic {
    let whole = || Place::whole(plan.sources.first().map_or("?", String::as_str));
    let place = error.written.map_or_else(whole, |written| {
        let file = sources.files().get(written.file as usize);
        file.map_or_else(whole, |file| Place {
            file: file.name.clone(),
            line: written.line,
            column: written.column,
            bytes: offset_of(&file.text, written.line, written.column),
        })
    });
    let help = match error.fault {
        Fault::OutOfBounds { .. } => "bring it within these bounds",
        _ => "this should have been found before: please report it, with the files",
    };
    Diagnostic::error("plan-refused", place, error.to_string()).help(help)
}

/// The byte range of the character at a line and column; empty at the end of the text.
fn offset_of(text: &str, line: u32, column: u32) -> (usize, usize) {
    let before = (line as usize).saturating_sub(1);
    let start_of_line = match before {
        0 => 0,
        _ => text.match_indices('\n').nth(before - 1).map_or(text.len(), |(at, _)| at + 1),
    };
    let rest = text.get(start_of_line..).unwrap_or_default();
    let mut characters = rest.char_indices().skip((column as usize).saturating_sub(1));
    match characters.next() {
        Some((at, character)) => (start_of_line + at, start_of_line + at + character.len_utf8()),
        None => (text.len(), text.len()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_and_column_become_bytes() {
        let text = "a: 1\nsærsk: 2\n";
        assert_eq!(offset_of(text, 1, 1), (0, 1));
        assert_eq!(offset_of(text, 2, 2), (6, 8));
        assert_eq!(offset_of(text, 9, 9), (text.len(), text.len()));
    }
}

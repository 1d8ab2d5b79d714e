//! What is wrong with an input, where, and what to do about it.
//!
//! A [`Diagnostic`] is data. It is rendered elsewhere: for a terminal, as one line, or as JSON.
//! Every crate that reads something a person wrote reports with this one type, so that all the
//! mistakes of a run are sorted and counted together.

mod edit;
mod page;

pub use edit::{Edit, Mended, mend};
pub use page::Page;

use std::fmt;
use std::sync::Arc;

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The input cannot be used as it stands.
    Error,
    /// The input can be used; somebody should look.
    Warning,
    /// Something worth knowing that changes nothing.
    Note,
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Note => "note",
        })
    }
}

/// A place in a text: which file, where in it, and how much of it is meant.
///
/// Lines and columns count from 1; columns count characters (Unicode scalar values), not bytes.
/// `line` 0 means the file as a whole. `bytes` is the half-open byte range of the text meant, for
/// underlining; an empty range marks a point.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Place {
    /// The file's name as the person gave it.
    pub file: Arc<str>,
    /// Line, from 1; 0 for the file as a whole.
    pub line: u32,
    /// Column in characters, from 1; 0 for the file as a whole.
    pub column: u32,
    /// Byte offsets of the text meant: start, and end (not included).
    pub bytes: (usize, usize),
}

impl Place {
    /// The file as a whole, where no line is to blame (missing, unreadable, empty).
    #[must_use]
    pub fn whole(file: impl Into<Arc<str>>) -> Self {
        Self { file: file.into(), line: 0, column: 0, bytes: (0, 0) }
    }

    /// The place of the byte range `start..end` of `text`, the content of `file`.
    ///
    /// Offsets beyond the text, or inside a character, are moved back to the nearest boundary.
    #[must_use]
    pub fn in_text(file: impl Into<Arc<str>>, text: &str, start: usize, end: usize) -> Self {
        let boundary = |mut at: usize| {
            at = at.min(text.len());
            while !text.is_char_boundary(at) {
                at -= 1;
            }
            at
        };
        let start = boundary(start);
        let end = boundary(end).max(start);
        let before = &text[..start];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        let line = before.bytes().filter(|b| *b == b'\n').count() + 1;
        let column = before[line_start..].chars().count() + 1;
        Self {
            file: file.into(),
            line: u32::try_from(line).unwrap_or(u32::MAX),
            column: u32::try_from(column).unwrap_or(u32::MAX),
            bytes: (start, end),
        }
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.line == 0 {
            f.write_str(&self.file)
        } else {
            write!(f, "{}:{}:{}", self.file, self.line, self.column)
        }
    }
}

/// A second place that helps to understand the first, with what it is.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Related {
    /// Where.
    pub place: Place,
    /// What is there, in a few words ("first named here").
    pub label: String,
}

/// One finding.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Diagnostic {
    /// Stable name in kebab-case, such as `unknown-name`.
    pub name: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// The text to blame.
    pub place: Place,
    /// What is wrong, one sentence without a full stop at its end.
    pub headline: String,
    /// What is said at the underlined text; empty for nothing.
    pub label: String,
    /// Other places concerned.
    pub related: Vec<Related>,
    /// What to do; empty only where the headline says it.
    pub help: String,
    /// The changes to the text that together mend it; none where the remedy is not certain.
    pub edits: Vec<Edit>,
    /// When it shows on the planned flight, in milliseconds from lift-off, for whoever looks at that
    /// flight; `None` where it has no moment.
    pub moment: Option<i64>,
}

impl Diagnostic {
    /// A finding with a headline at a place, and nothing else yet.
    #[must_use]
    pub fn new(
        name: &'static str,
        severity: Severity,
        place: Place,
        headline: impl Into<String>,
    ) -> Self {
        Self {
            name,
            severity,
            place,
            headline: headline.into(),
            label: String::new(),
            related: Vec::new(),
            help: String::new(),
            edits: Vec::new(),
            moment: None,
        }
    }

    /// A finding of [`Severity::Error`].
    #[must_use]
    pub fn error(name: &'static str, place: Place, headline: impl Into<String>) -> Self {
        Self::new(name, Severity::Error, place, headline)
    }

    /// A finding of [`Severity::Warning`].
    #[must_use]
    pub fn warning(name: &'static str, place: Place, headline: impl Into<String>) -> Self {
        Self::new(name, Severity::Warning, place, headline)
    }

    /// A finding of [`Severity::Note`].
    #[must_use]
    pub fn note(name: &'static str, place: Place, headline: impl Into<String>) -> Self {
        Self::new(name, Severity::Note, place, headline)
    }

    /// Adds what is said at the underlined text.
    #[must_use]
    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    /// Adds what to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = help.into();
        self
    }

    /// Adds changes to the text that together mend it; for an unsure remedy none.
    #[must_use]
    pub fn edits(mut self, edits: impl IntoIterator<Item = Edit>) -> Self {
        self.edits.extend(edits);
        self
    }

    /// Adds when it shows on the planned flight, in milliseconds from lift-off.
    #[must_use]
    pub const fn moment(mut self, from_lift_off: i64) -> Self {
        self.moment = Some(from_lift_off);
        self
    }

    /// Adds a second place.
    #[must_use]
    pub fn related(mut self, place: Place, label: impl Into<String>) -> Self {
        self.related.push(Related { place, label: label.into() });
        self
    }
}

/// Puts findings in the order in which they are shown: file, line, column, severity, name, text.
/// Findings that are equal in everything are kept once.
pub fn sort(findings: &mut Vec<Diagnostic>) {
    findings.sort_by(|a, b| {
        let key = |d: &Diagnostic| (d.place.line, d.place.column, d.severity, d.name);
        a.place
            .file
            .cmp(&b.place.file)
            .then_with(|| key(a).cmp(&key(b)))
            .then_with(|| a.headline.cmp(&b.headline))
    });
    findings.dedup();
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_and_lines_count_from_one() {
        let text = "a: 1\nsight: Grænse\n";
        let at = text.find("nse").unwrap_or_default();
        let place = Place::in_text("x.yaml", text, at, at + 3);
        assert_eq!((place.line, place.column), (2, 11));
        assert_eq!(place.to_string(), "x.yaml:2:11");
    }

    #[test]
    fn an_offset_inside_a_character_or_past_the_end_is_moved_back() {
        let text = "æ";
        assert_eq!(Place::in_text("x", text, 1, 99).bytes, (0, 2));
    }

    #[test]
    fn equal_findings_are_shown_once_and_errors_before_warnings() {
        let place = Place::whole("a");
        let mut all = vec![
            Diagnostic::warning("b", place.clone(), "w"),
            Diagnostic::error("z", place.clone(), "e"),
            Diagnostic::warning("b", place, "w"),
        ];
        sort(&mut all);
        assert_eq!(all.iter().map(|d| d.name).collect::<Vec<_>>(), ["z", "b"]);
    }
}

//! Changes to a text that mend what is wrong with it.

use std::collections::BTreeSet;

use crate::{Diagnostic, Place};

/// A change to a text, offered only where it is certain to be what the author means.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Edit {
    /// The text that goes. It lies within one line; an empty one is a point to write at.
    pub place: Place,
    /// What is written in its place, without a line break.
    pub replacement: String,
    /// What is done, in plain words, such as ``write `left` instead of `lft` ``.
    pub title: String,
}

impl Edit {
    /// Writes `replacement` at `place`, where `before` stands.
    #[must_use]
    pub fn write(place: Place, before: &str, replacement: impl Into<String>) -> Self {
        let replacement = replacement.into();
        let title = format!("write `{replacement}` instead of `{before}`");
        Self { place, replacement, title }
    }
}

/// A text with the edits of findings made in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mended<'f> {
    /// The text as it is now.
    pub text: String,
    /// What was changed, from the top to the bottom.
    pub made: Vec<(&'f Diagnostic, &'f Edit)>,
}

/// Makes the edits of `findings` in `text`, the content of the file that `is_file` knows by name.
///
/// The edits of one finding are made together or not at all. Where two findings want to change the
/// same text, the first in the order of [`crate::sort`] has it; the other's turn comes when the text
/// has been checked again. Edits that are the same are made once. An edit that does not fit the text
/// (beyond its end, inside a character, over several lines) is left out with its finding, and so is
/// one that also changes other files than those that `is_file` knows.
#[must_use]
pub fn mend<'f>(
    text: &str,
    is_file: impl Fn(&str) -> bool,
    findings: &'f [Diagnostic],
) -> Mended<'f> {
    let mut taken: BTreeSet<(usize, usize)> = BTreeSet::new();
    let mut made: Vec<(&Diagnostic, &Edit)> = Vec::new();
    for finding in findings.iter().filter(|finding| !finding.edits.is_empty()) {
        let fits = finding.edits.iter().all(|edit| is_file(&edit.place.file) && fits(text, edit));
        let same = |edit: &Edit| {
            made.iter().any(|(_, other)| {
                other.place.bytes == edit.place.bytes && other.replacement == edit.replacement
            })
        };
        let fresh: Vec<&Edit> = finding.edits.iter().filter(|edit| !same(edit)).collect();
        if !fits || fresh.iter().any(|edit| taken.iter().any(|other| touch(edit, *other))) {
            continue;
        }
        taken.extend(fresh.iter().map(|edit| edit.place.bytes));
        made.extend(fresh.into_iter().map(|edit| (finding, edit)));
    }
    made.sort_by_key(|(_, edit)| edit.place.bytes);
    let mut new = String::with_capacity(text.len());
    let mut done = 0;
    for (_, edit) in &made {
        let (start, end) = edit.place.bytes;
        new.push_str(text.get(done..start).unwrap_or_default());
        new.push_str(&edit.replacement);
        done = end;
    }
    new.push_str(text.get(done..).unwrap_or_default());
    Mended { text: new, made }
}

fn fits(text: &str, edit: &Edit) -> bool {
    let (start, end) = edit.place.bytes;
    let one_line = |text: &str| !text.contains(['\n', '\r']);
    text.get(start..end).is_some_and(one_line) && one_line(&edit.replacement)
}

/// Whether an edit changes text that is already spoken for, or writes at an end of it, where the
/// order of the two would matter.
fn touch(edit: &Edit, (start, end): (usize, usize)) -> bool {
    edit.place.bytes.0 <= end && start <= edit.place.bytes.1
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

    use super::*;

    const TEXT: &str = "a: lft # the left one\r\nb: rigth\r\n";

    fn edit(of: &str, replacement: &str) -> Edit {
        let at = TEXT.find(of).unwrap();
        Edit::write(Place::in_text("t", TEXT, at, at + of.len()), of, replacement)
    }

    fn finding(edits: &[Edit]) -> Diagnostic {
        Diagnostic::error("x", Place::whole("t"), "wrong").edits(edits.iter().cloned())
    }

    fn mended(findings: &[Diagnostic]) -> (String, usize) {
        let mended = mend(TEXT, |file| file == "t", findings);
        (mended.text, mended.made.len())
    }

    #[test]
    fn all_else_stays_as_it_was() {
        let found = [finding(&[edit("rigth", "right")]), finding(&[edit("lft", "left")])];
        assert_eq!(mended(&found), ("a: left # the left one\r\nb: right\r\n".into(), 2));
        assert_eq!(mended(&[]), (TEXT.into(), 0));
    }

    #[test]
    fn the_first_has_a_text_that_two_want_and_the_same_edit_is_made_once() {
        let found = [
            finding(&[edit("lft", "left")]),
            finding(&[edit("lft # the", "x"), edit("rigth", "right")]),
            finding(&[edit("lft", "left")]),
            // What only touches is left out too.
            finding(&[edit(": ", "=")]),
        ];
        assert_eq!(mended(&found), (TEXT.replace("lft", "left"), 1));
    }

    #[test]
    fn what_does_not_fit_is_left_out_with_its_finding() {
        let beyond =
            Edit { place: Place { bytes: (90, 91), ..edit("a", "").place }, ..edit("a", "b") };
        let elsewhere = Edit { place: Place::whole("u"), ..edit("a", "c") };
        let lines = Edit { replacement: "c\nd".into(), ..edit("a", "") };
        let over = edit("one\r\nb", "c");
        for odd in [beyond, elsewhere, lines, over] {
            let found = [finding(&[edit("lft", "left"), odd])];
            assert_eq!(mended(&found), (TEXT.into(), 0));
        }
        let inside = Place { bytes: (1, 2), ..Place::whole("t") };
        let found = finding(&[Edit { place: inside, ..edit("a", "b") }]);
        assert!(mend("æ", |_| true, &[found]).made.is_empty());
    }
}

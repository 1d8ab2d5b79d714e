//! Texts of the authored files written anew in their places, with everything round them left as it
//! is, byte by byte: comments, order, blank lines, the other texts.
//!
//! A text keeps the style in which its author wrote it (plain, in quotes, folded, literal) and its
//! indentation; what was broken into lines is broken again at the file's own width. Whatever is
//! written is read again before it is given out: nothing but those texts may read otherwise than
//! before. Where a style cannot hold a text, quotes that can are taken.

mod layout;
mod style;

use std::fmt;

use crate::span::{FileId, SourceFile, Span};
use crate::yaml::{self, Node, NodeKind, Scalar};

/// A text to be written in the place of another, or where none is yet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NewText<'t> {
    /// The whole value that is there now, as the model gives it.
    pub at: Span,
    /// What is to be read there. Blanks and line breaks at its ends are left out, as in reading.
    pub text: &'t str,
}

/// Why a text was not written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotRewritten {
    /// The file as it is cannot be read.
    Unreadable,
    /// There is no text at this place, or it is to be written twice.
    NoText(Span),
    /// Nothing is to be written there: a text cannot be blank.
    Blank(Span),
    /// Whatever way it is written, it would not be read again as it is, or something else would not.
    CannotBeHeld(Span),
}

impl NotRewritten {
    /// The place concerned, if it is one.
    #[must_use]
    pub const fn at(&self) -> Option<Span> {
        match self {
            Self::Unreadable => None,
            Self::NoText(at) | Self::Blank(at) | Self::CannotBeHeld(at) => Some(*at),
        }
    }
}

impl fmt::Display for NotRewritten {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Unreadable => "the file cannot be read as it is",
            Self::NoText(_) => "there is no text of its own here",
            Self::Blank(_) => "a text cannot be blank",
            Self::CannotBeHeld(_) => "the text cannot be written here so that it is read again",
        })
    }
}

impl std::error::Error for NotRewritten {}

/// The text of a file in which these texts are written anew; their order does not matter.
///
/// The result has been read again: it differs from the file as it was in these texts and in nothing
/// else, neither in a value nor, outside the texts, in a byte.
///
/// # Errors
/// [`NotRewritten`] where one of them cannot be written; then none is.
pub fn rewrite(file: &SourceFile, texts: &[NewText<'_>]) -> Result<String, NotRewritten> {
    let mut texts = texts.to_vec();
    texts.sort_by_key(|text| text.at.start);
    if let Some(pair) = texts.windows(2).find(|pair| pair[1].at.start < pair[0].at.end) {
        return Err(NotRewritten::NoText(pair[1].at));
    }
    let mut now = file.text.to_string();
    let mut tree = read(&now).ok_or(NotRewritten::Unreadable)?;
    let width = layout::width(&now, &tree);
    // From the bottom to the top, so that the places above stay where they are.
    for text in texts.iter().rev() {
        let wanted = text.text.trim();
        if wanted.is_empty() {
            return Err(NotRewritten::Blank(text.at));
        }
        let Some(scalar) = scalar_at(&tree, text.at) else {
            return Err(NotRewritten::NoText(text.at));
        };
        if scalar.text.trim() == wanted {
            continue;
        }
        let ways = style::ways(&now, (text.at.start, text.at.end), scalar.block, wanted, width);
        let held = ways.into_iter().find_map(|way| {
            let before = now.get(..way.from)?;
            let after = now.get(text.at.end..)?;
            let new = format!("{before}{}{after}", way.written);
            let new_tree = read(&new)?;
            same_but(&tree, &new_tree, text.at.start, wanted).then_some((new, new_tree))
        });
        (now, tree) = held.ok_or(NotRewritten::CannotBeHeld(text.at))?;
    }
    Ok(now)
}

/// The tree of a text in which there is no mistake.
fn read(text: &str) -> Option<Node> {
    let mut findings = Vec::new();
    let tree = yaml::parse(FileId(0), &SourceFile::new("", text), &mut findings);
    tree.filter(|_| findings.is_empty())
}

/// The text at a place; no key.
fn scalar_at(node: &Node, at: Span) -> Option<&Scalar> {
    match &node.kind {
        NodeKind::Nothing | NodeKind::Refused => None,
        NodeKind::Scalar(scalar) => {
            let is_it = (node.span.start, node.span.end) == (at.start, at.end);
            is_it.then_some(scalar)
        }
        NodeKind::List(items) => items.iter().find_map(|item| scalar_at(item, at)),
        NodeKind::Map(pairs) => pairs.iter().find_map(|pair| scalar_at(&pair.value, at)),
    }
}

/// Whether two trees are one but for the text at an offset of the first, which is as wanted.
fn same_but(before: &Node, after: &Node, start: usize, wanted: &str) -> bool {
    match (&before.kind, &after.kind) {
        (NodeKind::Nothing, NodeKind::Nothing) => true,
        (NodeKind::Scalar(_), NodeKind::Scalar(new)) if before.span.start == start => {
            new.text.trim() == wanted
        }
        (NodeKind::Scalar(old), NodeKind::Scalar(new)) => old.text == new.text,
        (NodeKind::List(old), NodeKind::List(new)) => {
            let mut pairs = old.iter().zip(new);
            old.len() == new.len() && pairs.all(|(old, new)| same_but(old, new, start, wanted))
        }
        (NodeKind::Map(old), NodeKind::Map(new)) => {
            let mut pairs = old.iter().zip(new);
            old.len() == new.len()
                && pairs.all(|(old, new)| {
                    old.key == new.key && same_but(&old.value, &new.value, start, wanted)
                })
        }
        _ => false,
    }
}

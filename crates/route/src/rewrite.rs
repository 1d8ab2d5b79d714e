//! Texts of the authored files written anew in their places, with everything round them left as it
//! is, byte by byte: comments, order, blank lines, the other texts.
//!
//! A text keeps the style in which its author wrote it (plain, in quotes, folded, literal) and its
//! indentation; what was broken into lines is broken again at the file's own width. Whatever is
//! written is read again before it is given out: nothing but those texts may read otherwise than
//! before. Where a style cannot hold a text, quotes that can are taken.

mod add;
mod layout;
mod style;

use std::fmt;

use crate::span::{FileId, SourceFile, Span};
use crate::yaml::{self, Node, NodeKind, Pair, Scalar};

/// A text to be written in the place of another, or where none is yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewText<'t> {
    /// Where.
    pub place: TextPlace,
    /// What is to be read there. Blanks and line breaks at its ends are left out, as in reading.
    pub text: &'t str,
}

/// Where a text is to be written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TextPlace {
    /// In the place of the whole value that is there now, as the model gives it.
    InPlaceOf(Span),
    /// Where nothing is yet: within an entry, under these keys, one below the other. Those that are
    /// there already hold mappings; the first that is missing becomes the last of its mapping.
    Under {
        /// The name of the entry, where it is given.
        entry: Span,
        /// The keys, such as `text` and `de`.
        keys: Vec<String>,
    },
}

impl TextPlace {
    /// Where it is, or, where nothing is yet, the entry that it belongs to.
    #[must_use]
    pub const fn span(&self) -> Span {
        match self {
            Self::InPlaceOf(at) => *at,
            Self::Under { entry, .. } => *entry,
        }
    }
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

/// The text of a file in which these texts are written; their order does not matter.
///
/// The result has been read again: it differs from the file as it was in these texts and in nothing
/// else, neither in a value nor, outside the texts, in a byte.
///
/// # Errors
/// [`NotRewritten`] where one of them cannot be written; then none is.
pub fn rewrite(file: &SourceFile, texts: &[NewText<'_>]) -> Result<String, NotRewritten> {
    let mut texts: Vec<&NewText<'_>> = texts.iter().collect();
    texts.sort_by_key(|text| text.place.span().start);
    for pair in texts.windows(2) {
        let [first, second] = pair else { continue };
        if let (TextPlace::InPlaceOf(first), TextPlace::InPlaceOf(second)) =
            (&first.place, &second.place)
            && second.start < first.end
        {
            return Err(NotRewritten::NoText(*second));
        }
    }
    let mut now = file.text.to_string();
    let mut tree = read(&now).ok_or(NotRewritten::Unreadable)?;
    let width = layout::width(&now, &tree);
    // From the bottom to the top, so that the places above stay where they are.
    for text in texts.iter().rev() {
        let at = text.place.span();
        let wanted = text.text.trim();
        if wanted.is_empty() {
            return Err(NotRewritten::Blank(at));
        }
        let (ways, change) = match &text.place {
            TextPlace::InPlaceOf(at) => {
                let scalar = scalar_at(&tree, *at).ok_or(NotRewritten::NoText(*at))?;
                if scalar.text.trim() == wanted {
                    continue;
                }
                let stretch = (at.start, at.end);
                let ways = style::ways(&now, stretch, scalar.block, wanted, width);
                (ways, Difference { at: at.start, added: None, wanted })
            }
            TextPlace::Under { entry, keys } => {
                let entry = entry_at(&tree, *entry).ok_or(NotRewritten::NoText(at))?;
                let (map, rest) = add::place(entry, keys).ok_or(NotRewritten::NoText(at))?;
                let ways = add::ways(&now, map, rest, wanted, width);
                (ways, Difference { at: map.span.start, added: Some(rest), wanted })
            }
        };
        let held = ways.into_iter().find_map(|way| {
            let before = now.get(..way.from)?;
            let after = now.get(way.to..)?;
            let new = format!("{before}{}{after}", way.written);
            let new_tree = read(&new)?;
            change.is_all(&tree, &new_tree).then_some((new, new_tree))
        });
        (now, tree) = held.ok_or(NotRewritten::CannotBeHeld(at))?;
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

/// The value of the pair whose key stands at a place.
fn entry_at(node: &Node, key: Span) -> Option<&Node> {
    match &node.kind {
        NodeKind::Nothing | NodeKind::Refused | NodeKind::Scalar(_) => None,
        NodeKind::List(items) => items.iter().find_map(|item| entry_at(item, key)),
        NodeKind::Map(pairs) => pairs.iter().find_map(|pair| {
            let is_it = (pair.key_span.start, pair.key_span.end) == (key.start, key.end);
            if is_it { Some(&pair.value) } else { entry_at(&pair.value, key) }
        }),
    }
}

/// What two trees may differ in.
struct Difference<'t> {
    /// The text that is another, or the mapping that has one pair more, by where it begins in the
    /// first tree.
    at: usize,
    /// The keys of that pair, one below the other.
    added: Option<&'t [String]>,
    /// The text.
    wanted: &'t str,
}

impl Difference<'_> {
    /// Whether that is all that they differ in.
    fn is_all(&self, before: &Node, after: &Node) -> bool {
        let here = before.span.start == self.at;
        match (&before.kind, &after.kind) {
            (NodeKind::Nothing, NodeKind::Nothing) => true,
            (NodeKind::Scalar(_), NodeKind::Scalar(new)) if here && self.added.is_none() => {
                new.text.trim() == self.wanted
            }
            // The empty lines behind a block may belong to it, and are no part of its text.
            (NodeKind::Scalar(old), NodeKind::Scalar(new)) => {
                let text = |text: &str| text.trim_end_matches('\n').to_owned();
                text(&old.text) == text(&new.text)
            }
            (NodeKind::List(old), NodeKind::List(new)) => {
                let mut pairs = old.iter().zip(new);
                old.len() == new.len() && pairs.all(|(old, new)| self.is_all(old, new))
            }
            (NodeKind::Map(old), NodeKind::Map(new)) => {
                let mut pairs = old.iter().zip(new);
                let same = pairs
                    .all(|(old, new)| old.key == new.key && self.is_all(&old.value, &new.value));
                let more = new.get(old.len()..).unwrap_or_default();
                let as_wanted = match (self.added.filter(|_| here), more) {
                    (Some(keys), [pair]) => is_pair(pair, keys, self.wanted),
                    (None, []) => true,
                    _ => false,
                };
                same && new.len() >= old.len() && as_wanted
            }
            _ => false,
        }
    }
}

/// Whether a pair has these keys, one below the other, and this text under them.
fn is_pair(pair: &Pair, keys: &[String], wanted: &str) -> bool {
    let Some((key, rest)) = keys.split_first() else { return false };
    pair.key == *key
        && match &pair.value.kind {
            NodeKind::Scalar(scalar) => rest.is_empty() && scalar.text.trim() == wanted,
            NodeKind::Map(pairs) => match &pairs[..] {
                [pair] => is_pair(pair, rest, wanted),
                _ => false,
            },
            _ => false,
        }
}

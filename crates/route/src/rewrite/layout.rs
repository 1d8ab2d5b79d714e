//! How a text is broken into lines: at the width at which its file is, and where its author broke
//! it himself, there.

use crate::yaml::{Block, Node, NodeKind};

/// Where nothing in the file shows how wide its lines are: as wide as these pages.
const USUAL_WIDTH: usize = 100;

/// How wide the lines of a file's texts are, in characters: the longest line of those texts that
/// are broken into several.
pub(super) fn width(text: &str, tree: &Node) -> usize {
    let mut widest = 0;
    widest_of(text, tree, &mut widest);
    if widest == 0 { USUAL_WIDTH } else { widest }
}

fn widest_of(text: &str, node: &Node, widest: &mut usize) {
    match &node.kind {
        NodeKind::Nothing | NodeKind::Refused => {}
        NodeKind::Scalar(scalar) => {
            let start = line_start(text, node.span.start);
            let raw = text.get(start..node.span.end).unwrap_or_default();
            let lines = raw.lines().filter(|line| !line.trim().is_empty());
            let lengths: Vec<usize> = lines.map(|line| line.trim_end().chars().count()).collect();
            if lengths.len() > 1 && scalar.block != Some(Block::Literal) {
                *widest = lengths.into_iter().max().unwrap_or(0).max(*widest);
            }
        }
        NodeKind::List(items) => items.iter().for_each(|item| widest_of(text, item, widest)),
        NodeKind::Map(pairs) => {
            pairs.iter().for_each(|pair| widest_of(text, &pair.value, widest));
        }
    }
}

/// Where the line begins in which an offset lies.
pub(super) fn line_start(text: &str, at: usize) -> usize {
    text.get(..at).and_then(|above| above.rfind('\n')).map_or(0, |at| at + 1)
}

/// The words of a line, as far as it may be broken: a line break reads as one blank, so that only a
/// single blank between two other characters can become one.
pub(super) fn words(line: &str) -> Vec<&str> {
    let mut words = Vec::new();
    let mut start = 0;
    let bytes = line.as_bytes();
    let blank = |at: usize| bytes.get(at).is_none_or(|byte| matches!(byte, b' ' | b'\t'));
    for (at, _) in line.match_indices(' ') {
        if at > 0 && !blank(at - 1) && !blank(at + 1) {
            words.push(line.get(start..at).unwrap_or_default());
            start = at + 1;
        }
    }
    words.push(line.get(start..).unwrap_or_default());
    words
}

/// Words in lines of at most so many characters, the first of which has less room by what already
/// stands before it. A word that is longer has a line of its own.
pub(super) fn filled<'t>(words: &[&'t str], first: usize, width: usize) -> Vec<Vec<&'t str>> {
    let mut lines: Vec<Vec<&str>> = Vec::new();
    let mut used = 0;
    let mut room = first;
    for word in words {
        let length = word.chars().count();
        match lines.last_mut() {
            Some(line) if used + 1 + length <= room => {
                line.push(word);
                used += 1 + length;
            }
            _ => {
                room = if lines.is_empty() { first } else { width };
                lines.push(vec![word]);
                used = length;
            }
        }
    }
    lines
}

/// Between which widths, in characters, lines can have been filled up to be broken as these are;
/// none where their author broke them elsewhere.
pub(super) fn filled_at(paragraphs: &[Vec<&str>]) -> Option<(usize, usize)> {
    let length = |line: &str| line.chars().count();
    let least = paragraphs.iter().flatten().map(|line| length(line)).max()?;
    let next = paragraphs.iter().flat_map(|lines| lines.windows(2)).map(|pair| {
        let word = words(pair[1].trim_start()).first().map_or(0, |word| length(word));
        length(pair[0]) + word
    });
    let most = next.min().unwrap_or(usize::MAX);
    (least <= most).then_some((least, most))
}

/// A paragraph in lines at most so wide. Where its author broke lines elsewhere, those at its
/// beginning and at its end that say the same as before stay as they were.
pub(super) fn paragraph(new: &str, old: &[&str], by_hand: bool, width: usize) -> Vec<String> {
    let words = words(new);
    let joined = |lines: Vec<Vec<&str>>| {
        lines.into_iter().map(|line| line.join(" ")).collect::<Vec<String>>()
    };
    if !by_hand {
        return joined(filled(&words, width, width));
    }
    let old_words: Vec<Vec<&str>> = old.iter().map(|line| self::words(line)).collect();
    let mut from = 0;
    let mut kept = 0;
    for line in &old_words {
        if words.get(from..from + line.len()) != Some(line.as_slice()) {
            break;
        }
        from += line.len();
        kept += 1;
    }
    let mut to = words.len();
    let mut kept_behind = 0;
    for line in old_words.get(kept..).unwrap_or_default().iter().rev() {
        let begins = to.checked_sub(line.len()).filter(|begins| *begins >= from);
        let Some(begins) = begins.filter(|at| words.get(*at..to) == Some(line.as_slice())) else {
            break;
        };
        to = begins;
        kept_behind += 1;
    }
    let whole = |lines: &[&str]| lines.iter().map(|line| (*line).to_owned()).collect::<Vec<_>>();
    let mut lines = whole(old.get(..kept).unwrap_or_default());
    lines.extend(joined(filled(words.get(from..to).unwrap_or_default(), width, width)));
    lines.extend(whole(old.get(old.len() - kept_behind..).unwrap_or_default()));
    lines
}

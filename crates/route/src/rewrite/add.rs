//! A text where none is yet: a pair more at the end of a mapping.

use super::layout::line_start;
use super::style::{Way, folded, line_break, on_one_line};
use crate::yaml::{Node, NodeKind};

/// The mapping in which the first of the keys is missing, and the keys from there on. None where all
/// of them are there, or where something stands in their way that is no mapping.
pub(super) fn place<'n, 'k>(
    entry: &'n Node,
    keys: &'k [String],
) -> Option<(&'n Node, &'k [String])> {
    let NodeKind::Map(pairs) = &entry.kind else { return None };
    let (key, rest) = keys.split_first()?;
    match pairs.iter().find(|pair| pair.key == *key) {
        Some(pair) => place(&pair.value, rest),
        None if pairs.is_empty() => None,
        None => Some((entry, keys)),
    }
}

/// The ways to write a text under these keys at the end of a mapping.
pub(super) fn ways(
    file: &str,
    map: &Node,
    keys: &[String],
    wanted: &str,
    width: usize,
) -> Vec<Way> {
    let NodeKind::Map(pairs) = &map.kind else { return Vec::new() };
    let (Some(first), Some(last)) = (pairs.first(), pairs.last()) else { return Vec::new() };
    let end = last.value.span.end.max(last.key_span.end);
    if file.get(map.span.start..).is_some_and(|text| text.starts_with('{')) {
        return in_line(file, end, keys, wanted, width);
    }
    let column = file.get(line_start(file, first.key_span.start)..first.key_span.start);
    let column = column.map_or(0, |before| before.chars().count());
    let rest = file.get(end..).unwrap_or_default();
    let line = rest.split('\n').next().unwrap_or_default();
    let at = end + line.trim_end_matches('\r').len();
    // In a mapping of its own it has no neighbours.
    let blocks = keys.len() == 1
        && pairs.iter().any(|pair| match &pair.value.kind {
            NodeKind::Scalar(scalar) => scalar.block.is_some(),
            _ => false,
        });
    below(keys, column, wanted, width, line_break(file), blocks)
        .into_iter()
        .map(|written| Way { from: at, to: at, written })
        .collect()
}

/// Within braces: on the same line, or on one of its own where that becomes too wide.
fn in_line(file: &str, at: usize, keys: &[String], wanted: &str, width: usize) -> Vec<Way> {
    let start = line_start(file, at);
    let line = file.get(start..).and_then(|text| text.lines().next()).unwrap_or_default();
    let blanks = line.len() - line.trim_start_matches(' ').len();
    let pair = |value: String| {
        let (last, outer) = keys.split_last().map_or(("", &[][..]), |(last, outer)| (last, outer));
        let inner = format!("{last}: {value}");
        outer.iter().rev().fold(inner, |inner, key| format!("{key}: {{{inner}}}"))
    };
    let way = |text: String| {
        let pair = pair(text);
        let fits = line.chars().count() + 2 + pair.chars().count() <= width;
        let gap = if fits {
            " ".to_owned()
        } else {
            line_break(file).to_owned() + &" ".repeat(blanks + 2)
        };
        Way { from: at, to: at, written: format!(",{gap}{pair}") }
    };
    on_one_line(wanted).into_iter().map(way).collect()
}

/// On lines of its own: as its neighbours are, in blocks or not, where it fits.
fn below(
    keys: &[String],
    column: usize,
    wanted: &str,
    width: usize,
    line_break: &'static str,
    blocks: bool,
) -> Vec<String> {
    let mut head = String::new();
    let mut blanks = column;
    let Some((last, outer)) = keys.split_last() else { return Vec::new() };
    for key in outer {
        head.push_str(&format!("{line_break}{}{key}:", " ".repeat(blanks)));
        blanks += 2;
    }
    head.push_str(&format!("{line_break}{}{last}: ", " ".repeat(blanks)));
    let room = width.saturating_sub(blanks + last.chars().count() + 2);
    let lines = || on_one_line(wanted).into_iter();
    let block = format!(">-{line_break}{}", folded(wanted, blanks + 2, width, line_break));
    let short: Vec<String> =
        lines().filter(|line| !blocks && line.chars().count() <= room).collect();
    let all = short.into_iter().chain([block]).chain(lines());
    all.map(|value| format!("{head}{value}")).collect()
}

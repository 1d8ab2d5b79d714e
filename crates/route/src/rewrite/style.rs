//! The ways in which a text can be written in the place of another, the best first. Whether one of
//! them holds the text is seen by reading it again, so nothing here has to be proved.

use super::layout::{filled, filled_at, line_start, paragraph, words};
use crate::yaml::Block;

/// A way to write a text.
pub(super) struct Way {
    /// From where on the file is written anew: the text's own beginning, or that of its line or of
    /// its sign where it is a block.
    pub(super) from: usize,
    /// Up to where: the text's own end.
    pub(super) to: usize,
    /// What is written.
    pub(super) written: String,
}

/// The ways to write `wanted` in the place of the value at `at`.
pub(super) fn ways(
    file: &str,
    at: (usize, usize),
    block: Option<Block>,
    wanted: &str,
    width: usize,
) -> Vec<Way> {
    let line_break = line_break(file);
    match block {
        Some(block) => {
            let site = BlockSite::new(file, at, width, line_break);
            let mut ways = site.ways(block, wanted, at.1);
            // Where not even that is to be, the text stands in the place of the sign.
            if let Some((from, sign)) = site.sign {
                let own = FlowSite::new(file, (from, at.1), width, line_break);
                let quoted = FlowSite { body: site.blanks(), ..own };
                let both =
                    quoted.single_quoted(wanted).into_iter().chain(quoted.double_quoted(wanted));
                let comment = parted(sign).1.trim_end();
                ways.extend(both.map(|text| Way {
                    from,
                    to: at.1,
                    written: format!("{text}{comment}"),
                }));
            }
            ways
        }
        None => {
            let site = FlowSite::new(file, at, width, line_break);
            let mut ways = match site.raw.chars().next() {
                Some('"') => site.double_quoted(wanted),
                Some('\'') => site.single_quoted(wanted),
                _ => site.plain(wanted),
            };
            ways.extend(site.single_quoted(wanted));
            ways.extend(site.double_quoted(wanted));
            ways.into_iter().map(|written| Way { from: at.0, to: at.1, written }).collect()
        }
    }
}

/// The line break of a file.
pub(super) fn line_break(file: &str) -> &'static str {
    match file.split_once('\n') {
        Some((first, _)) if first.ends_with('\r') => "\r\n",
        _ => "\n",
    }
}

/// The lines of a folded text where none is yet, each after so many blanks.
pub(super) fn folded(wanted: &str, body: usize, width: usize, line_break: &'static str) -> String {
    let site = BlockSite { from: 0, lines: Vec::new(), body, width, line_break, sign: None };
    let room = width.saturating_sub(body).max(1);
    site.written(&site.folded_lines(wanted, &[], false, room))
}

/// The ways to write a text on one line, the plainest first.
pub(super) fn on_one_line(wanted: &str) -> Vec<String> {
    let double = format!("\"{}\"", escaped(wanted));
    if wanted.contains('\n') {
        return vec![double];
    }
    vec![wanted.to_owned(), format!("'{}'", wanted.replace('\'', "''")), double]
}

/// Where a block stands.
struct BlockSite<'f> {
    /// Where its first line begins, with its blanks.
    from: usize,
    /// Its lines, without the blanks that all of them have.
    lines: Vec<&'f str>,
    /// How many blanks that are.
    body: usize,
    /// How wide lines are in this file, in characters.
    width: usize,
    /// The file's line break.
    line_break: &'static str,
    /// Its sign: where that begins, and what stands from there to the first line.
    sign: Option<(usize, &'f str)>,
}

impl<'f> BlockSite<'f> {
    fn new(file: &'f str, at: (usize, usize), width: usize, line_break: &'static str) -> Self {
        let from = line_start(file, at.0);
        let raw = file.get(from..at.1).unwrap_or_default();
        let lines = raw.split('\n').map(|line| line.trim_end_matches('\r'));
        let blanks = |line: &str| line.len() - line.trim_start_matches(' ').len();
        let spoken = lines.clone().filter(|line| !line.trim().is_empty());
        let body = spoken.map(blanks).min().unwrap_or_default();
        let lines = lines.map(|line| line.get(body..).unwrap_or_default()).collect();
        Self { from, lines, body, width, line_break, sign: sign(file, from) }
    }

    fn blanks(&self) -> String {
        " ".repeat(self.body)
    }

    fn ways(&self, block: Block, wanted: &str, to: usize) -> Vec<Way> {
        let mut all = match block {
            Block::Literal => vec![wanted.split('\n').map(str::to_owned).collect()],
            Block::Folded => self.folded(wanted),
        };
        let mut ways: Vec<Way> = all
            .iter()
            .map(|lines| Way { from: self.from, to, written: self.written(lines) })
            .collect();
        // The sign may say how far in the lines are; the text's own first line shows that too.
        if let Some((at, sign)) = self.sign
            && let Some(lines) = all.pop()
        {
            let (own, rest) = parted(sign);
            let own: String = own.chars().filter(|c| !c.is_ascii_digit()).collect();
            let written = format!("{own}{rest}{}", self.written(&lines));
            ways.push(Way { from: at, to, written });
        }
        ways
    }

    fn written(&self, lines: &[String]) -> String {
        let blanks = self.blanks();
        let lines: Vec<String> = lines
            .iter()
            .map(|line| if line.is_empty() { String::new() } else { format!("{blanks}{line}") })
            .collect();
        lines.join(self.line_break)
    }

    fn folded(&self, wanted: &str) -> Vec<Vec<String>> {
        let old = paragraphs(&self.lines);
        let room = self.width.saturating_sub(self.body).max(1);
        let (by_hand, width) = match filled_at(&old) {
            // Lines that were never broken are long on purpose.
            Some((least, _)) if old.iter().all(|lines| lines.len() == 1) => {
                (false, room.max(least))
            }
            Some((least, most)) => (false, room.clamp(least, most)),
            None => (true, room),
        };
        let kept = self.folded_lines(wanted, &old, by_hand, width);
        let anew = self.folded_lines(wanted, &[], false, width);
        vec![kept, anew]
    }

    /// The lines of a folded text: a line break within it takes an empty line, but beside a line
    /// that begins with a blank, which is not folded.
    fn folded_lines(
        &self,
        wanted: &str,
        old: &[Vec<&str>],
        by_hand: bool,
        width: usize,
    ) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        let all: Vec<&str> = wanted.split('\n').collect();
        let spoken = all.iter().filter(|line| !line.is_empty()).count();
        let mut last: Option<&str> = None;
        let mut number = 0;
        for line in all {
            if line.is_empty() {
                lines.push(String::new());
                continue;
            }
            let apart = |line: &str| line.starts_with([' ', '\t']);
            if last.is_some_and(|last| !apart(last) && !apart(line)) {
                lines.push(String::new());
            }
            last = Some(line);
            if apart(line) {
                lines.push(line.to_owned());
            } else {
                let same = old.iter().find(|old| old.join(" ") == line);
                let there = if spoken == old.len() { old.get(number) } else { None };
                match same {
                    Some(same) => lines.extend(same.iter().map(|line| (*line).to_owned())),
                    None => {
                        let there = there.map_or(&[][..], Vec::as_slice);
                        lines.extend(paragraph(line, there, by_hand, width));
                    }
                }
            }
            number += 1;
        }
        lines
    }
}

/// The sign of the block whose lines begin at an offset.
fn sign(file: &str, lines: usize) -> Option<(usize, &str)> {
    let above = file.get(..lines)?.trim_end();
    let line = line_start(above, above.len());
    let header = above.get(line..)?;
    let begins = |at: &usize| {
        let sign = header.get(*at..).unwrap_or_default();
        let (own, rest) = parted(sign);
        let mut own = own.chars().skip(1);
        let alone = own.all(|c| c == '-' || c == '+' || c.is_ascii_digit());
        let rest = rest.trim_start();
        alone && (rest.is_empty() || rest.starts_with('#'))
    };
    let mut signs = header.match_indices(['>', '|']).map(|(at, _)| at);
    let at = signs.find(begins)? + line;
    Some((at, file.get(at..lines)?))
}

/// A sign, and what stands behind it.
fn parted(sign: &str) -> (&str, &str) {
    sign.split_at(sign.find([' ', '\t', '\r', '\n']).unwrap_or(sign.len()))
}

/// Where a text stands that is no block: plain, or between quotes.
struct FlowSite<'f> {
    /// The value as written.
    raw: &'f str,
    /// What stands before it on its line, in characters.
    before: usize,
    /// What stands behind it on its last line, in characters.
    behind: usize,
    /// The blanks before its lines but the first.
    body: String,
    /// How wide lines are in this file, in characters.
    width: usize,
    /// The file's line break.
    line_break: &'static str,
}

impl<'f> FlowSite<'f> {
    fn new(file: &'f str, at: (usize, usize), width: usize, line_break: &'static str) -> Self {
        let raw = file.get(at.0..at.1).unwrap_or_default();
        let line = file.get(line_start(file, at.0)..at.0).unwrap_or_default();
        let behind = file.get(at.1..).unwrap_or_default().lines().next().unwrap_or_default();
        let blanks = |line: &str| line.len() - line.trim_start_matches(' ').len();
        let below = raw.lines().skip(1).filter(|line| !line.trim().is_empty()).map(blanks).min();
        Self {
            raw,
            before: line.chars().count(),
            behind: behind.chars().count(),
            body: " ".repeat(below.unwrap_or_else(|| blanks(line) + 2)),
            width,
            line_break,
        }
    }

    fn plain(&self, wanted: &str) -> Vec<String> {
        self.flowing(wanted, "", str::to_owned)
    }

    fn single_quoted(&self, wanted: &str) -> Vec<String> {
        self.flowing(wanted, "'", |line| line.replace('\'', "''"))
    }

    fn double_quoted(&self, wanted: &str) -> Vec<String> {
        let mut ways = Vec::new();
        // Paragraphs as its author wrote them, then as escapes.
        if !self.raw.contains("\\n") {
            ways.extend(self.flowing(wanted, "\"", escaped));
        }
        ways.extend(self.in_one_run(&escaped(wanted), "\""));
        ways
    }

    /// A text whose paragraphs are parted by empty lines, between quotes or none.
    fn flowing(&self, wanted: &str, quote: &str, written: fn(&str) -> String) -> Vec<String> {
        if !wanted.contains('\n') {
            return self.in_one_run(&written(wanted), quote);
        }
        let room = self.width.saturating_sub(self.body.len()).max(1);
        let mut lines = Vec::new();
        for (number, line) in wanted.split('\n').enumerate() {
            if number > 0 {
                lines.push(String::new());
            }
            let line = written(line);
            let first = if number == 0 { self.first_room(quote) } else { room };
            lines.extend(filled(&words(&line), first, room).iter().map(|line| line.join(" ")));
        }
        vec![self.flow(&lines, quote)]
    }

    /// A text without line breaks of its own, between quotes or none: on one line where its author
    /// had it so and it fits, else broken; and on one line where it cannot be broken.
    fn in_one_run(&self, written: &str, quote: &str) -> Vec<String> {
        let one_line = format!("{quote}{written}{quote}");
        let whole = self.before + one_line.chars().count() + self.behind;
        let was_one = !self.raw.contains('\n');
        let was = self.before + self.raw.chars().count() + self.behind;
        if was_one && (whole <= self.width || whole <= was || was > self.width) {
            return vec![one_line];
        }
        let room = self.width.saturating_sub(self.body.len()).max(1);
        let lines = filled(&words(written), self.first_room(quote), room);
        let lines: Vec<String> = lines.iter().map(|line| line.join(" ")).collect();
        vec![self.flow(&lines, quote), one_line]
    }

    fn first_room(&self, quote: &str) -> usize {
        self.width.saturating_sub(self.before + quote.len()).max(1)
    }

    fn flow(&self, lines: &[String], quote: &str) -> String {
        let mut flow = quote.to_owned();
        for (number, line) in lines.iter().enumerate() {
            if number > 0 {
                flow.push_str(self.line_break);
                if !line.is_empty() {
                    flow.push_str(&self.body);
                }
            }
            flow.push_str(line);
        }
        flow.push_str(quote);
        flow
    }
}

/// The lines of a folded text by paragraph: those between which a line break reads as a blank.
fn paragraphs<'l>(lines: &[&'l str]) -> Vec<Vec<&'l str>> {
    let mut all: Vec<Vec<&str>> = Vec::new();
    let mut open = false;
    for line in lines {
        let apart = line.starts_with([' ', '\t']);
        match all.last_mut() {
            _ if line.is_empty() => open = false,
            Some(paragraph) if open && !apart => paragraph.push(line),
            _ => {
                all.push(vec![line]);
                open = !apart;
            }
        }
    }
    all
}

/// A text as it stands between double quotes.
fn escaped(text: &str) -> String {
    let mut written = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '"' => written.push_str("\\\""),
            '\\' => written.push_str("\\\\"),
            '\n' => written.push_str("\\n"),
            '\t' => written.push_str("\\t"),
            '\u{FEFF}' | '\u{85}' | '\u{2028}' | '\u{2029}' => {
                written.push_str(&format!("\\u{:04X}", u32::from(c)));
            }
            c if c.is_control() => written.push_str(&format!("\\u{:04X}", u32::from(c))),
            c => written.push(c),
        }
    }
    written
}

//! Findings on a screen, never longer or wider than it is.

use diagnostic::Diagnostic;
use unicode_width::UnicodeWidthChar;

use super::findings::{Count, Texts, concise, full};

/// What fits on a screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Size {
    /// Characters in a line.
    pub(crate) columns: usize,
    /// Lines.
    pub(crate) rows: usize,
}

/// What is said where a check was clean.
pub(crate) const ALL_WELL: &str = "all well";

/// The lines of a screen: how many findings there are and `when`, then the findings, errors first,
/// as many of the first of them in full as leave a line for each of the others; where even lines do
/// not all fit, as many as do and the number of the rest. Then, where there is room, what can be
/// flown.
pub(crate) fn lines(
    findings: &[Diagnostic],
    texts: &Texts,
    can_be_flown: &str,
    when: &str,
    size: Size,
    look: Look,
) -> Vec<String> {
    // A line as wide as the screen may make the terminal begin another.
    let width = size.columns.saturating_sub(1).max(1);
    let count = Count::of(findings);
    let words = if findings.is_empty() { ALL_WELL.to_owned() } else { count.words() };
    let mut all = vec![format!("{words}; {when}")];
    let mut sorted: Vec<&Diagnostic> = findings.iter().collect();
    sorted.sort_by_key(|finding| finding.severity);
    let room = size.rows.saturating_sub(all.len());
    if sorted.len() > room {
        let shown = room.saturating_sub(1);
        let (first, rest) = sorted.split_at(shown.min(sorted.len()));
        all.extend(first.iter().map(|finding| concise(finding)));
        if room > 0 {
            all.push(format!("and {} more", Count::of(rest.iter().copied()).words()));
        }
    } else {
        let (in_full, mut used) = as_many_in_full(&sorted, texts, room, look);
        let others = sorted.get(in_full.len()..).unwrap_or_default();
        used += others.len();
        all.extend(in_full.into_iter().flatten());
        all.extend(others.iter().map(|finding| concise(finding)));
        let room = room.saturating_sub(used);
        all.extend(can_be_flown.lines().take(room).map(str::to_owned));
    }
    all.iter().take(size.rows.max(1)).map(|line| fit(line, width)).collect()
}

/// How findings are shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Look {
    /// Whether they may be shown in full.
    pub(crate) full: bool,
    /// Whether in colours.
    pub(crate) colour: bool,
}

/// The lines of the first findings in full, and how many those are: as many as leave a line in
/// `room` for each of the others.
fn as_many_in_full(
    findings: &[&Diagnostic],
    texts: &Texts,
    room: usize,
    look: Look,
) -> (Vec<Vec<String>>, usize) {
    let mut shown = Vec::new();
    let mut used = 0;
    if !look.full {
        return (shown, used);
    }
    let renderer = super::findings::renderer(look.colour);
    for (at, finding) in findings.iter().enumerate() {
        let text = full(finding, texts, &renderer);
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        lines.push(String::new());
        let others = findings.len() - at - 1;
        if used + lines.len() + others > room {
            break;
        }
        used += lines.len();
        shown.push(lines);
    }
    (shown, used)
}

/// A line cut to a width. Colours take no room; other control characters become blanks.
fn fit(line: &str, width: usize) -> String {
    let mut cut = String::new();
    let mut at = 0;
    // Where it would be cut, were there more than fits.
    let mut end = 0;
    let mut coloured = false;
    let mut letters = line.chars().peekable();
    while let Some(letter) = letters.next() {
        if letter == '\u{1b}' && letters.next_if_eq(&'[').is_some() {
            coloured = true;
            cut.push_str("\u{1b}[");
            for code in letters.by_ref() {
                cut.push(code);
                if ('@'..='~').contains(&code) {
                    break;
                }
            }
            continue;
        }
        let letter = if letter.is_control() { ' ' } else { letter };
        at += letter.width().unwrap_or(0);
        if at > width {
            cut.truncate(end);
            cut.push('…');
            break;
        }
        cut.push(letter);
        if at < width {
            end = cut.len();
        }
    }
    if coloured {
        cut.push_str("\u{1b}[0m");
    }
    cut
}

#[cfg(test)]
mod tests {
    use diagnostic::Place;

    use super::*;

    const PLAIN: Look = Look { full: true, colour: false };

    fn findings(errors: usize, warnings: usize) -> Vec<Diagnostic> {
        let text = "a: 1\n".repeat(50);
        let place = |line: usize| Place::in_text("t.yaml", &text, line * 5, line * 5 + 1);
        // The warnings stand above the errors in the file.
        (0..warnings)
            .map(|at| Diagnostic::warning("loose", place(at), "a warning").help("look"))
            .chain((warnings..warnings + errors).map(|at| {
                Diagnostic::error("wrong", place(at), "an error").label("here").help("mend it")
            }))
            .collect()
    }

    fn shown(findings: &[Diagnostic], columns: usize, rows: usize, look: Look) -> Vec<String> {
        let texts = Texts::from([("t.yaml".into(), "a: 1\n".repeat(50).into())]);
        let flown = "The tour: can be flown\n";
        lines(findings, &texts, flown, "checked at 12:00:00", Size { columns, rows }, look)
    }

    #[test]
    fn what_is_clean_says_so() {
        let lines = shown(&[], 80, 24, PLAIN);
        assert_eq!(lines, ["all well; checked at 12:00:00", "The tour: can be flown"]);
    }

    #[test]
    fn the_first_are_shown_in_full_and_the_others_in_a_line_each() {
        let lines = shown(&findings(2, 2), 80, 14, PLAIN);
        assert_eq!(lines[0], "2 errors and 2 warnings; checked at 12:00:00");
        assert!(lines[1].starts_with("error[wrong]: an error"), "{lines:#?}");
        assert!(lines.iter().any(|line| line.contains("^ here")), "{lines:#?}");
        assert_eq!(lines.iter().filter(|line| line.contains("an error")).count(), 2);
        assert_eq!(lines.iter().filter(|line| line.contains("a warning")).count(), 2);
        assert!(lines.len() <= 14, "{lines:#?}");
        let concise = shown(&findings(1, 0), 80, 24, Look { full: false, colour: false });
        assert_eq!(concise[1], "t.yaml:1:1: error[wrong]: an error; mend it");
    }

    #[test]
    fn what_does_not_fit_is_counted_by_severity_and_errors_are_not_lost() {
        let lines = shown(&findings(3, 30), 80, 6, PLAIN);
        assert_eq!(lines.len(), 6);
        assert!(lines[1..4].iter().all(|line| line.contains("error[wrong]")), "{lines:#?}");
        assert_eq!(lines[5], "and 29 warnings more");
        let lines = shown(&findings(9, 2), 80, 4, PLAIN);
        assert_eq!(lines[3], "and 7 errors and 2 warnings more");
    }

    #[test]
    fn no_screen_is_too_small() {
        for (columns, rows) in [(0, 0), (1, 1), (2, 2), (5, 3), (80, 1)] {
            for colour in [false, true] {
                let lines = shown(&findings(4, 4), columns, rows, Look { full: true, colour });
                assert!(lines.len() <= rows.max(1), "{columns} {rows}: {lines:#?}");
                for line in lines.iter().filter(|line| !line.contains('\u{1b}')) {
                    assert!(line.chars().count() < columns.max(2), "{columns} {rows}: {line}");
                }
            }
        }
    }

    #[test]
    fn lines_are_cut_by_the_room_they_take() {
        assert_eq!(fit("abcdef", 6), "abcdef");
        assert_eq!(fit("abcdefg", 6), "abcde…");
        assert_eq!(fit("日本語", 6), "日本語");
        assert_eq!(fit("日本語", 5), "日本…");
        assert_eq!(fit("日本語", 4), "日…");
        assert_eq!(fit("\u{1b}[31mred\u{1b}[0m wine", 5), "\u{1b}[31mred\u{1b}[0m …\u{1b}[0m");
        assert_eq!(fit("a\tb\u{7}c", 9), "a b c");
        // Half a code at the end does no harm.
        assert_eq!(fit("a\u{1b}[3", 9), "a\u{1b}[3\u{1b}[0m");
    }
}

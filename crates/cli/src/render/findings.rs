//! Findings for a terminal, as one line each, and as JSON.

use std::collections::BTreeMap;
use std::io::{self, Write};
use std::sync::Arc;

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use diagnostic::{Diagnostic, Place, Severity};
use serde_json::{Value, json};

use super::words::counted;
use crate::args::MessageFormat;
use crate::outcome::Outcome;

/// How many findings are printed in full; of more, only the number is said.
const MOST_IN_FULL: usize = 200;

/// Said of what can be mended for the author.
const BY_FIX: &str = "`fulmar check --fix` does it";

/// The texts that findings point into, by file name. A file that is missing here (a recorded
/// flight, which may be larger than memory) is named and not quoted.
pub(crate) type Texts = BTreeMap<Arc<str>, Arc<str>>;

/// How many findings there are of each kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Count {
    /// Errors.
    pub(crate) errors: usize,
    /// Warnings.
    pub(crate) warnings: usize,
    /// Notes.
    pub(crate) notes: usize,
}

impl Count {
    /// Counts.
    pub(crate) fn of<'d>(findings: impl IntoIterator<Item = &'d Diagnostic>) -> Self {
        let mut count = Self::default();
        for finding in findings {
            match finding.severity {
                Severity::Error => count.errors += 1,
                Severity::Warning => count.warnings += 1,
                Severity::Note => count.notes += 1,
            }
        }
        count
    }

    /// How a command ends that told them and could run.
    pub(crate) const fn outcome(self) -> Outcome {
        if self.errors + self.warnings > 0 { Outcome::Findings } else { Outcome::Clean }
    }

    /// In words, such as `2 errors and 1 warning`; empty for none at all.
    pub(crate) fn words(self) -> String {
        let part = |number: usize, word: &str| (number > 0).then(|| counted(number, word));
        let parts: Vec<String> =
            [part(self.errors, "error"), part(self.warnings, "warning"), part(self.notes, "note")]
                .into_iter()
                .flatten()
                .collect();
        match parts.as_slice() {
            [] => String::new(),
            [one] => one.clone(),
            [first @ .., last] => format!("{} and {last}", first.join(", ")),
        }
    }
}

/// Prints findings, which are sorted already, and their number; nothing where there are none.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn print(
    out: &mut dyn Write,
    findings: &[Diagnostic],
    texts: &Texts,
    format: MessageFormat,
    colour: bool,
) -> io::Result<()> {
    if findings.is_empty() {
        return Ok(());
    }
    match format {
        MessageFormat::Json => {
            for finding in findings {
                writeln!(out, "{}", as_json(finding))?;
            }
            return Ok(());
        }
        MessageFormat::Concise => {
            for finding in findings {
                writeln!(out, "{}", concise(finding))?;
            }
        }
        MessageFormat::Full => {
            let renderer = renderer(colour);
            for finding in findings.iter().take(MOST_IN_FULL) {
                writeln!(out, "{}\n", full(finding, texts, &renderer))?;
            }
            if findings.len() > MOST_IN_FULL {
                writeln!(
                    out,
                    "and {} more, which --message-format concise prints",
                    findings.len() - MOST_IN_FULL
                )?;
            }
        }
    }
    // Of the gravest; of those the first.
    let name =
        findings.iter().min_by_key(|finding| finding.severity).map_or("NAME", |first| first.name);
    writeln!(out, "{}; `fulmar explain {name}` says more about {name}", Count::of(findings).words())
}

/// What draws a finding in full.
pub(crate) fn renderer(colour: bool) -> Renderer {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    renderer.decor_style(DecorStyle::Ascii)
}

/// A finding as one line.
pub(crate) fn concise(finding: &Diagnostic) -> String {
    let mut line =
        format!("{}: {}[{}]: {}", finding.place, finding.severity, finding.name, finding.headline);
    for related in &finding.related {
        line.push_str(&format!(" ({}: {})", related.label, related.place));
    }
    if !finding.help.is_empty() {
        line.push_str(&format!("; {}", finding.help));
    }
    if !finding.edits.is_empty() {
        line.push_str(&format!("; {BY_FIX}"));
    }
    one_line(&line)
}

/// Line breaks and other control characters made visible, so that one finding stays one line.
fn one_line(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// A finding as JSON.
pub(crate) fn as_json(finding: &Diagnostic) -> Value {
    let place = |place: &Place| {
        json!({
            "file": &*place.file,
            "line": place.line,
            "column": place.column,
            "bytes": [place.bytes.0, place.bytes.1],
        })
    };
    let related: Vec<Value> = finding
        .related
        .iter()
        .map(|related| json!({ "place": place(&related.place), "label": related.label }))
        .collect();
    let edits: Vec<Value> = finding
        .edits
        .iter()
        .map(|edit| {
            json!({
                "place": place(&edit.place),
                "replacement": edit.replacement,
                "title": edit.title,
            })
        })
        .collect();
    json!({
        "format": "fulmar-finding",
        "version": 1,
        "name": finding.name,
        "severity": finding.severity.to_string(),
        "place": place(&finding.place),
        "headline": finding.headline,
        "label": finding.label,
        "help": finding.help,
        "related": related,
        "edits": edits,
    })
}

/// The part of a text that is shown: whole lines from the first place to the last.
struct Excerpt<'a> {
    text: &'a str,
    first_byte: usize,
    first_line: usize,
}

impl<'a> Excerpt<'a> {
    fn of(text: &'a str, places: &[&Place]) -> Self {
        let start = places.iter().map(|place| place.bytes.0).min().unwrap_or(0).min(text.len());
        let end = places.iter().map(|place| place.bytes.1).max().unwrap_or(0).min(text.len());
        let first_line = places.iter().map(|place| place.line).min().unwrap_or(1).max(1);
        let before = text.get(..start).unwrap_or_default();
        let first_byte = before.rfind('\n').map_or(0, |at| at + 1);
        let last_byte =
            text.get(end..).and_then(|rest| rest.find('\n')).map_or(text.len(), |at| end + at);
        Self {
            text: text.get(first_byte..last_byte.max(first_byte)).unwrap_or_default(),
            first_byte,
            first_line: usize::try_from(first_line).unwrap_or(1),
        }
    }

    fn span(&self, place: &Place) -> std::ops::Range<usize> {
        let at = |byte: usize| byte.saturating_sub(self.first_byte).min(self.text.len());
        let start = at(place.bytes.0);
        // What goes over several lines is marked on its first: the rest is plain to see.
        let end = at(place.bytes.1);
        let first_line_end =
            self.text.get(start..end).and_then(|text| text.find('\n')).map_or(end, |at| start + at);
        start..first_line_end.max(start)
    }
}

fn snippet<'a>(
    text: &'a str,
    marks: &[(&'a Place, &'a str, AnnotationKind)],
) -> Option<Snippet<'a, Annotation<'a>>> {
    let (first, ..) = marks.first()?;
    let places: Vec<&Place> = marks.iter().map(|(place, ..)| *place).collect();
    let excerpt = Excerpt::of(text, &places);
    let mut snippet =
        Snippet::source(excerpt.text).line_start(excerpt.first_line).path(&*first.file).fold(true);
    for (place, label, kind) in marks {
        let mark = kind.span(excerpt.span(place));
        snippet = snippet.annotation(if label.is_empty() { mark } else { mark.label(*label) });
    }
    Some(snippet)
}

/// A finding in full, on several lines.
pub(crate) fn full(finding: &Diagnostic, texts: &Texts, renderer: &Renderer) -> String {
    let level = match finding.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    let mut group: Group<'_> =
        Group::with_title(level.primary_title(finding.headline.as_str()).id(finding.name));
    let quotable = |place: &Place| {
        texts
            .get(&place.file)
            .filter(|text| place.line > 0 && place.bytes.1 <= text.len() && !text.is_empty())
    };
    if let Some(text) = quotable(&finding.place) {
        let mut marks = vec![(&finding.place, finding.label.as_str(), AnnotationKind::Primary)];
        for related in &finding.related {
            if related.place.file == finding.place.file && related.place.line > 0 {
                marks.push((&related.place, related.label.as_str(), AnnotationKind::Context));
            }
        }
        if let Some(snippet) = snippet(text, &marks) {
            group = group.element(snippet);
        }
    } else {
        group = group.element(origin(&finding.place));
        if !finding.label.is_empty() {
            group = group.element(Level::NOTE.message(finding.label.as_str()));
        }
    }
    for related in &finding.related {
        let quoted_already = quotable(&finding.place).is_some()
            && related.place.file == finding.place.file
            && related.place.line > 0;
        if quoted_already {
            continue;
        }
        let mark = [(&related.place, related.label.as_str(), AnnotationKind::Context)];
        match quotable(&related.place).and_then(|text| snippet(text, &mark)) {
            Some(snippet) => group = group.element(snippet),
            None => {
                group = group
                    .element(origin(&related.place))
                    .element(Level::NOTE.message(related.label.as_str()));
            }
        }
    }
    if !finding.help.is_empty() {
        group = group.element(Level::HELP.message(finding.help.as_str()));
    }
    let titles: Vec<&str> = finding.edits.iter().map(|edit| edit.title.as_str()).collect();
    let fix = format!("{}; {BY_FIX}", titles.join(", "));
    if !titles.is_empty() {
        group = group.element(Level::HELP.with_name("fix").message(fix.as_str()));
    }
    renderer.render(&[group])
}

fn origin(place: &Place) -> Origin<'_> {
    let origin = Origin::path(&*place.file);
    if place.line == 0 {
        return origin;
    }
    let number = |value: u32| usize::try_from(value).unwrap_or(usize::MAX);
    origin.line(number(place.line)).char_column(number(place.column))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

    use diagnostic::Edit;

    use super::*;

    const TEXT: &str = "rules:\n  arch:\n    camera: lft\n  arch:\n    camera: left\n";

    fn texts() -> Texts {
        Texts::from([("t.yaml".into(), TEXT.into())])
    }

    fn place(of: &str, from: usize) -> Place {
        let at = from + TEXT[from..].find(of).unwrap();
        Place::in_text("t.yaml", TEXT, at, at + of.len())
    }

    fn printed(findings: &[Diagnostic], format: MessageFormat) -> String {
        let mut out = Vec::new();
        print(&mut out, findings, &texts(), format, false).unwrap();
        String::from_utf8(out).unwrap()
    }

    #[test]
    fn a_finding_in_full_shows_the_text_underlined_and_what_to_do() {
        let finding = Diagnostic::error("unknown-name", place("lft", 0), "no camera `lft`")
            .label("not a camera of the Heron")
            .help("did you mean `left`?");
        let text = printed(&[finding], MessageFormat::Full);
        assert!(text.contains("error[unknown-name]: no camera `lft`"), "{text}");
        assert!(text.contains("t.yaml:3:13"), "{text}");
        assert!(text.contains("    camera: lft"), "{text}");
        assert!(text.contains("^^^ not a camera of the Heron"), "{text}");
        assert!(text.contains("help: did you mean `left`?"), "{text}");
        assert!(
            text.ends_with("1 error; `fulmar explain unknown-name` says more about unknown-name\n")
        );
    }

    #[test]
    fn both_places_of_a_double_are_quoted() {
        let second = place("arch", 30);
        let finding = Diagnostic::error("duplicate-key", second, "`arch` is given twice")
            .label("again here")
            .related(place("arch", 0), "first here");
        let text = printed(&[finding], MessageFormat::Full);
        assert!(text.contains("first here") && text.contains("again here"), "{text}");
    }

    #[test]
    fn a_file_without_text_is_named_and_not_quoted() {
        let place = Place { file: "f.gpx".into(), line: 7, column: 2, bytes: (100, 120) };
        let finding = Diagnostic::warning("bad-point", place, "latitude 91").label("not used");
        let text = printed(&[finding], MessageFormat::Full);
        assert!(text.contains("f.gpx:7:2") && text.contains("not used"), "{text}");
    }

    #[test]
    fn one_finding_is_one_line_whatever_it_quotes() {
        let finding = Diagnostic::error("x", place("lft", 0), "line\nbreak").help("mend\rit");
        assert_eq!(
            printed(&[finding], MessageFormat::Concise).lines().next(),
            Some("t.yaml:3:13: error[x]: line break; mend it")
        );
    }

    #[test]
    fn json_has_everything() {
        let finding = Diagnostic::note("x", place("lft", 0), "h").related(place("arch", 0), "l");
        let value: Value = serde_json::from_str(&printed(&[finding], MessageFormat::Json)).unwrap();
        assert_eq!(value["place"]["line"], 3);
        assert_eq!(value["place"]["bytes"][0], 27);
        assert_eq!(value["related"][0]["place"]["line"], 2);
        assert_eq!(value["severity"], "note");
    }

    #[test]
    fn what_can_be_mended_says_so_in_every_form() {
        let edit = Edit::write(place("lft", 0), "lft", "left");
        let finding = Diagnostic::error("x", place("lft", 0), "h").help("write it").edits([edit]);
        let print = |format| printed(std::slice::from_ref(&finding), format);
        let does = "`fulmar check --fix` does it";
        let full = print(MessageFormat::Full);
        assert!(full.contains(&format!("fix: write `left` instead of `lft`; {does}")), "{full}");
        let line = print(MessageFormat::Concise);
        assert!(line.contains(&format!("h; write it; {does}\n")), "{line}");
        let value: Value = serde_json::from_str(&print(MessageFormat::Json)).unwrap();
        assert_eq!(value["edits"][0]["replacement"], "left");
        assert_eq!(value["edits"][0]["place"]["bytes"], json!([27, 30]));
    }

    #[test]
    fn numbers_in_words() {
        let words = |errors, warnings, notes| Count { errors, warnings, notes }.words();
        assert_eq!(words(2, 1, 0), "2 errors and 1 warning");
        assert_eq!(words(1, 2, 3), "1 error, 2 warnings and 3 notes");
        assert_eq!(words(0, 0, 0), "");
    }
}

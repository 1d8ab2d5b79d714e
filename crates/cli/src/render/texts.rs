//! What an edited sheet changes, as a list to read and as JSON.

use std::io::{self, Write};

use compiler::Pace;
use earth::Millis;
use route::Project;
use script::{Change, Field, Import, Version};
use serde_json::{Value, json};
use similar::{ChangeTag, TextDiff};

use super::time::Length;
use super::wire::TEXTS;
use super::words::counted;

/// What is shown.
pub(crate) struct Page<'a> {
    /// The tour as it is.
    pub(crate) project: &'a Project,
    /// What the sheet changes.
    pub(crate) import: &'a Import,
}

/// How much is said in how much time.
struct Measure {
    count: usize,
    length: Millis,
}

impl Page<'_> {
    fn pace(&self, change: &Change) -> Pace {
        script::pace(self.project, &change.name, &change.language)
    }

    /// Whether there is a recording of the text as it was.
    fn is_recorded(&self, change: &Change) -> bool {
        let Some(entry) = self.project.narrations.get(&change.name) else { return false };
        let audio = match change.version {
            Version::Long => entry.value.told.audio.as_ref(),
            Version::Short => entry.value.short.as_ref().and_then(|it| it.value.audio.as_ref()),
        };
        let own = change.language == self.project.language;
        let is_there = audio.is_some_and(|audio| audio.get(&change.language, own).is_some());
        change.field == Field::Text && is_there
    }

    fn measure(&self, change: &Change, text: &str) -> Measure {
        let pace = self.pace(change);
        Measure { count: pace.count(text), length: pace.lasts(text) }
    }
}

/// The list: each text with the words that go and come, and how much longer or shorter it becomes.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn list(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    for change in &page.import.changes {
        let number = change.number.map(|number| format!("{number} ")).unwrap_or_default();
        let short = if change.version == Version::Short { " (short)" } else { "" };
        let what = match change.field {
            Field::Text => "",
            Field::Pronunciation => ", pronunciation",
        };
        writeln!(out, "{number}{}{short}, {}{what}", change.name, change.language)?;
        if change.field == Field::Text {
            writeln!(out, "  {}", measures(page, change))?;
            if page.is_recorded(change) {
                writeln!(out, "  recorded with the text before, so to be recorded again")?;
            }
        }
        let before = change.before.as_deref().unwrap_or_default();
        writeln!(out, "  {}\n", marked(before, &change.after).replace('\n', "\n  "))?;
    }
    if !page.import.remarks.is_empty() {
        writeln!(out, "Written in the sheet, and staying there:")?;
        for remark in &page.import.remarks {
            let short = if remark.version == Version::Short { " (short)" } else { "" };
            let words = remark.words.join("; ").replace('\n', " ");
            writeln!(out, "  {}{short}, {}: {words}", remark.name, remark.language)?;
        }
        writeln!(out)?;
    }
    let changed = counted(page.import.changes.len(), "text");
    writeln!(out, "{changed} changed, {} unchanged", counted(page.import.unchanged, "row"))
}

fn measures(page: &Page<'_>, change: &Change) -> String {
    let unit = page.pace(change).unit();
    let now = page.measure(change, &change.after);
    let Some(before) = &change.before else {
        return format!("{} {unit}, about {}; new", now.count, Length(now.length));
    };
    let was = page.measure(change, before);
    let by = now.length - was.length;
    let how = match by.0 {
        0 => "as long as before".to_owned(),
        ..0 => format!("{} shorter", Length(Millis(-by.0))),
        _ => format!("{} longer", Length(by)),
    };
    format!(
        "{} {unit} before, {} now; about {} before, {} now: {how}",
        was.count,
        now.count,
        Length(was.length),
        Length(now.length)
    )
}

/// A text with the words that go in `[- -]` and those that come in `{+ +}`.
fn marked(before: &str, after: &str) -> String {
    let words = TextDiff::from_words(before, after);
    let mut marked = String::new();
    let mut open: Option<ChangeTag> = None;
    let ends = |tag| match tag {
        ChangeTag::Delete => ("[-", "-]"),
        ChangeTag::Insert => ("{+", "+}"),
        ChangeTag::Equal => ("", ""),
    };
    for change in words.iter_all_changes() {
        let tag = change.tag();
        if open != Some(tag) {
            marked.push_str(open.map_or("", |open| ends(open).1));
            marked.push_str(ends(tag).0);
            open = Some(tag);
        }
        marked.push_str(change.value());
    }
    marked.push_str(open.map_or("", |open| ends(open).1));
    marked
}

/// The same for programs.
pub(crate) fn json(page: &Page<'_>) -> Value {
    let (format, version) = TEXTS;
    let changes: Vec<Value> = page.import.changes.iter().map(|change| one(page, change)).collect();
    let remarks: Vec<Value> = page
        .import
        .remarks
        .iter()
        .map(|remark| {
            json!({
                "narration": remark.name,
                "version": remark.version.word(),
                "language": remark.language,
                "remarks": remark.words,
            })
        })
        .collect();
    json!({
        "format": format,
        "version": version,
        "changes": changes,
        "unchanged": page.import.unchanged,
        "remarks": remarks,
    })
}

fn one(page: &Page<'_>, change: &Change) -> Value {
    let text = change.field == Field::Text;
    let now = text.then(|| page.measure(change, &change.after));
    let was = change.before.as_ref().filter(|_| text).map(|before| page.measure(change, before));
    json!({
        "number": change.number,
        "narration": change.name,
        "version": change.version.word(),
        "language": change.language,
        "field": if text { "text" } else { "pronunciation" },
        "old": change.before,
        "new": change.after,
        "recorded": page.is_recorded(change),
        "unit": page.pace(change).unit(),
        "old_count": was.as_ref().map(|was| was.count),
        "new_count": now.as_ref().map(|now| now.count),
        "old_length_ms": was.map(|was| was.length.0),
        "new_length_ms": now.map(|now| now.length.0),
    })
}

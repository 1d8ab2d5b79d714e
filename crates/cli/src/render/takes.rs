//! A folder of takes against what a tour says, as a table with a pick-up list, and as JSON.

use std::io::{self, Write};

use serde_json::{Value, json};
use sound::takes::{Cue, CueTakes, Matched, Standing};

use super::table::Table;
use super::time::Length;
use super::wire::TAKES;
use crate::input::recording::Recording;

/// What is shown.
pub(crate) struct Page<'a> {
    /// What the tour says, and what else there is.
    pub(crate) cues: &'a [Cue],
    /// The recordings in the folder, in the order of the files that were matched.
    pub(crate) recordings: &'a [Recording],
    /// How they stand to each other.
    pub(crate) matched: &'a Matched,
}

impl Page<'_> {
    /// What the tour says.
    fn each(&self) -> impl Iterator<Item = (&Cue, &CueTakes)> {
        self.cues.iter().zip(&self.matched.cues).filter(|(cue, _)| cue.said)
    }

    fn used(&self, own: &CueTakes) -> Option<&Recording> {
        self.recordings.get(own.take()?.file)
    }
}

/// The table, and below it what has to be recorded, with its text.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn table(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    let mut table = Table::new(&[
        ">no.",
        "narration",
        "language",
        "standing",
        ">take",
        ">of",
        ">length",
        "file",
    ]);
    for (cue, own) in page.each() {
        let used = page.used(own);
        let length = used.and_then(|one| one.measured.as_ref().ok()).map(|one| one.length());
        let chosen = own.take().is_some_and(|take| take.chosen);
        let number = own.take().map(|take| take.number.to_string()).unwrap_or_default();
        table.row(vec![
            cue.number.to_string(),
            cue.name.clone(),
            cue.language.clone(),
            own.standing.word().to_owned(),
            if chosen { format!("{number}, chosen") } else { number },
            if own.takes.is_empty() { String::new() } else { own.takes.len().to_string() },
            length.map(|length| Length(length).to_string()).unwrap_or_default(),
            used.map(|one| one.name().replace(|c: char| c.is_control(), "?")).unwrap_or_default(),
        ]);
    }
    table.print(out, "")?;
    let to_record: Vec<_> = page.each().filter(|(_, own)| own.standing.to_record()).collect();
    if to_record.is_empty() {
        return writeln!(out, "\nNothing to record.");
    }
    writeln!(out, "\nTo record ({}):", to_record.len())?;
    for (cue, own) in to_record {
        let why = match &own.standing {
            Standing::TextChanged { .. } => "the text has changed",
            Standing::Unusable => "the take cannot be used",
            _ => "there is no take",
        };
        writeln!(out, "\n{} {}, {}: {why}", cue.number, cue.name, cue.language)?;
        if let Standing::TextChanged { was } = &own.standing {
            writeln!(out, "  recorded: {}", one_line(was))?;
        }
        writeln!(out, "  to say:   {}", one_line(&cue.text))?;
    }
    Ok(())
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The same for programs.
pub(crate) fn json(page: &Page<'_>) -> Value {
    let (format, version) = TAKES;
    let cues: Vec<Value> = page.each().map(|(cue, own)| one(page, cue, own)).collect();
    let astray: Vec<String> = page
        .matched
        .astray
        .iter()
        .filter_map(|(file, _)| page.recordings.get(*file).map(Recording::name))
        .collect();
    json!({ "format": format, "version": version, "cues": cues, "astray": astray })
}

fn one(page: &Page<'_>, cue: &Cue, own: &CueTakes) -> Value {
    let used = page.used(own);
    let length = used.and_then(|one| one.measured.as_ref().ok()).map(|one| one.length().0);
    let takes: Vec<Value> = own
        .takes
        .iter()
        .map(|take| {
            json!({
                "take": take.number,
                "chosen": take.chosen,
                "file": page.recordings.get(take.file).map(Recording::name),
            })
        })
        .collect();
    let recorded_text = match &own.standing {
        Standing::TextChanged { was } => Some(was),
        _ => None,
    };
    json!({
        "number": cue.number,
        "narration": cue.name,
        "language": cue.language,
        "standing": own.standing.word(),
        "to_record": own.standing.to_record(),
        "file": used.map(Recording::name),
        "take": own.take().map(|take| take.number),
        "length_ms": length,
        "text": cue.text,
        "recorded_text": recorded_text,
        "takes": takes,
    })
}

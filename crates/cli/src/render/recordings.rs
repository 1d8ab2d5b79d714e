//! What recordings measure, as a table and as JSON.

use std::io::{self, Write};

use earth::Millis;
use serde_json::{Value, json};
use sound::Measurement;

use super::table::Table;
use super::time::Length;
use super::wire::RECORDINGS;
use crate::input::recording::Recording;

/// A table, and a line that sums it up.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn table(out: &mut dyn Write, recordings: &[Recording]) -> io::Result<()> {
    let mut table = Table::new(&[
        "recording",
        "kind",
        ">length",
        ">rate",
        ">channels",
        ">head",
        ">tail",
        ">LUFS",
        ">dBTP",
        "remarks",
    ]);
    for recording in recordings {
        table.row(row(recording));
    }
    table.print(out, "")?;
    let measured: Vec<&Measurement> =
        recordings.iter().filter_map(|recording| recording.measured.as_ref().ok()).collect();
    let whole =
        measured.iter().fold(Millis(0), |sum, one| Millis(sum.0.saturating_add(one.length().0)));
    let number = match measured.len() {
        1 => "1 recording".to_owned(),
        number => format!("{number} recordings"),
    };
    writeln!(out, "{number}, {} in all", Length(whole))
}

fn row(recording: &Recording) -> Vec<String> {
    let seconds =
        |length: Millis, digits: usize| format!("{:.digits$} s", length.0 as f64 / 1000.0);
    // A name may hold anything; what steers a terminal stays out of it.
    let name = recording.name().replace(|c: char| c.is_control(), "?");
    let names: Vec<&str> = recording.findings().iter().map(|finding| finding.name).collect();
    let remarks = names.join(", ");
    let Ok(measured) = &recording.measured else {
        let mut row = vec![name];
        row.resize(9, String::new());
        row.push(remarks);
        return row;
    };
    vec![
        name,
        format!("{}, {}", measured.kind, measured.coding),
        seconds(measured.length(), 3),
        measured.rate.to_string(),
        measured.channels.to_string(),
        seconds(measured.head, 2),
        seconds(measured.tail, 2),
        measured.loudness.map_or_else(|| "-".to_owned(), |level| format!("{:.1}", level.get())),
        measured.true_peak.map_or_else(|| "-".to_owned(), |peak| format!("{:.1}", peak.get())),
        remarks,
    ]
}

/// The same for programs.
pub(crate) fn json(recordings: &[Recording]) -> Value {
    let (format, version) = RECORDINGS;
    let each: Vec<Value> = recordings.iter().map(one).collect();
    json!({ "format": format, "version": version, "recordings": each })
}

fn one(recording: &Recording) -> Value {
    let measured = recording.measured.as_ref().ok();
    let remarks: Vec<Value> = recording
        .findings()
        .iter()
        .map(|finding| {
            json!({
                "name": finding.name,
                "severity": finding.severity.to_string(),
                "headline": finding.headline,
            })
        })
        .collect();
    json!({
        "file": recording.name(),
        "content": recording.content.map(|content| content.to_string()),
        "kind": measured.map(|one| one.kind.word()),
        "coding": measured.map(|one| one.coding.to_string()),
        "state": measured.map(|one| one.state.word()),
        "rate_hz": measured.map(|one| one.rate.hertz()),
        "channels": measured.map(|one| one.channels),
        "frames": measured.map(|one| one.frames),
        "length_ms": measured.map(|one| one.length().0),
        "stated_length_ms": measured.and_then(Measurement::stated_length).map(|length| length.0),
        "head_silence_ms": measured.map(|one| one.head.0),
        "tail_silence_ms": measured.map(|one| one.tail.0),
        "loudness_lufs": measured.and_then(|one| one.loudness).map(sound::Lufs::get),
        "true_peak_dbtp": measured.and_then(|one| one.true_peak).map(sound::Dbtp::get),
        "clipped": measured.map(|one| one.clipped),
        "remarks": remarks,
    })
}

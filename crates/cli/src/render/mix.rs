//! What was mixed, and how loud it came out.

use std::io::{self, Write};

use earth::{Dbtp, Decibels, Lufs, Millis, Utc};
use plan::{MusicId, NarrationId, Plan};
use serde_json::{Value, json};
use sound::mix::{Brought, Heard, Side};
use timeline::{Ending, Flight};

use super::identity::Identity;
use super::table::Table;
use super::time::{Length, Since, UtcText};
use super::wire::MIX;
use super::words;

/// What is shown.
pub(crate) struct Page<'a> {
    /// The plan.
    pub(crate) plan: &'a Plan,
    /// Which plan it is.
    pub(crate) identity: &'a Identity,
    /// The files flown; none for the planned route.
    pub(crate) files: &'a [String],
    /// The day in words.
    pub(crate) day: &'a str,
    /// Which flight of them.
    pub(crate) flight_number: u32,
    /// The flight.
    pub(crate) flight: &'a Flight,
    /// The languages heard, and by whom.
    pub(crate) voices: Vec<(&'a str, Side)>,
    /// The first moment heard.
    pub(crate) from: Utc,
    /// The last.
    pub(crate) to: Utc,
    /// The file written.
    pub(crate) output: String,
    /// Bits of its samples.
    pub(crate) bits: u16,
    /// What the whole measures.
    pub(crate) whole: Heard,
    /// The narrations.
    pub(crate) lines: Vec<Line>,
    /// The music.
    pub(crate) pieces: Vec<Piece>,
}

/// A narration as it was heard.
pub(crate) struct Line {
    /// Which one.
    pub(crate) narration: NarrationId,
    /// The language of its words.
    pub(crate) language: String,
    /// When it began.
    pub(crate) at: Utc,
    /// How much of it was told.
    pub(crate) told: Millis,
    /// How long it was paused.
    pub(crate) paused: Millis,
    /// How it ended.
    pub(crate) ending: Ending,
    /// Its recording.
    pub(crate) recording: Option<String>,
    /// How that was brought to its level; none where there is none.
    pub(crate) brought: Option<Brought>,
}

/// A piece of music as it was heard.
pub(crate) struct Piece {
    /// Which one.
    pub(crate) music: MusicId,
    /// When it began.
    pub(crate) at: Utc,
    /// How long it was on.
    pub(crate) length: Millis,
    /// How long it was ducked.
    pub(crate) ducked: Millis,
    /// How long it was paused.
    pub(crate) paused: Millis,
    /// Its recording.
    pub(crate) recording: Option<String>,
    /// How that was brought to its level; none where there is none.
    pub(crate) brought: Option<Brought>,
}

/// For people.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn text(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    writeln!(out, "{}\n", page.identity.head())?;
    let flown = match page.files {
        [] => "the planned route".to_owned(),
        files => format!("{}, flight {}", files.join(", "), page.flight_number),
    };
    let since = |time| Since(page.flight.since(time));
    writeln!(
        out,
        "{flown}: {} from {} to {}, {}",
        Length(page.to - page.from),
        since(page.from),
        since(page.to),
        languages(page)
    )?;
    if !page.day.is_empty() {
        writeln!(out, "for the day: {}", page.day)?;
    }
    let loudness = page.whole.loudness.map_or("no loudness".to_owned(), |it| it.to_string());
    let peak = page.whole.true_peak.map_or("silent".to_owned(), |it| format!("true peak {it}"));
    let limited = match page.whole.limited {
        Some(by) => format!("; together they went up to {by} too high, and were limited"),
        None => String::new(),
    };
    writeln!(out, "{loudness}, {peak}{limited}")?;
    let mix = &page.plan.mix;
    if !page.lines.is_empty() {
        writeln!(out, "\nnarrations are brought to {}, peaks below {}", mix.narration, mix.peak)?;
        lines(page).print(out, "  ")?;
    }
    if !page.pieces.is_empty() {
        writeln!(
            out,
            "\nmusic is {} lower under a narration: down in {}, up in {}",
            mix.duck,
            Length(mix.attack),
            Length(mix.release)
        )?;
        pieces(page).print(out, "  ")?;
    }
    Ok(())
}

fn languages(page: &Page<'_>) -> String {
    let each = page.voices.iter().map(|(language, side)| match side {
        Side::Both => format!("in {language}"),
        Side::Left => format!("{language} on the left"),
        Side::Right => format!("{language} on the right"),
    });
    each.collect::<Vec<_>>().join(", ")
}

fn lines(page: &Page<'_>) -> Table {
    let mut table = Table::new(&[
        "at",
        "narration",
        "in",
        ">told",
        ">LUFS",
        ">gain",
        ">now",
        ">dBTP",
        ">limited",
        "remarks",
    ]);
    for line in &page.lines {
        let [found, gain, now, peak, limited] = levels(line.brought.as_ref());
        let mut remarks = Vec::new();
        if line.brought.is_none() {
            remarks.push("silent: no recording".to_owned());
        }
        if line.paused > Millis::ZERO {
            remarks.push(format!("paused for {}", Length(line.paused)));
        }
        if let Ending::CutOff(by) = line.ending {
            remarks.push(format!("cut off: {}", words::cut(page.plan, by)));
        }
        table.row(vec![
            Since(page.flight.since(line.at)).to_string(),
            words::narration(page.plan, line.narration).to_owned(),
            line.language.clone(),
            Length(line.told).to_string(),
            found,
            gain,
            now,
            peak,
            limited,
            remarks.join(", "),
        ]);
    }
    table
}

fn pieces(page: &Page<'_>) -> Table {
    let mut table =
        Table::new(&["at", "music", ">on", ">ducked", ">LUFS", ">gain", ">now", "remarks"]);
    for piece in &page.pieces {
        let [found, gain, now, ..] = levels(piece.brought.as_ref());
        let mut remarks = Vec::new();
        if piece.brought.is_none() {
            remarks.push("silent: no recording".to_owned());
        }
        if piece.paused > Millis::ZERO {
            remarks.push(format!("paused for {}", Length(piece.paused)));
        }
        table.row(vec![
            Since(page.flight.since(piece.at)).to_string(),
            words::music(page.plan, piece.music).to_owned(),
            Length(piece.length).to_string(),
            Length(piece.ducked).to_string(),
            found,
            gain,
            now,
            remarks.join(", "),
        ]);
    }
    table
}

/// Loudness found, gain, loudness and true peak brought to, and what was limited.
fn levels(brought: Option<&Brought>) -> [String; 5] {
    let figure = |figure: Option<f64>| figure.map_or("-".to_owned(), |it| format!("{it:.1}"));
    let gain = brought.map_or("-".to_owned(), |it| format!("{:+.1}", it.gain.get()));
    let limited = brought.and_then(|it| it.limited);
    [
        figure(brought.and_then(|it| it.found).map(Lufs::get)),
        gain,
        figure(brought.and_then(|it| it.loudness).map(Lufs::get)),
        figure(brought.and_then(|it| it.true_peak).map(Dbtp::get)),
        limited.map_or_else(String::new, |by| format!("{:.1}", by.get())),
    ]
}

/// For programs.
pub(crate) fn json(page: &Page<'_>) -> Value {
    let (format, version) = MIX;
    let plan = page.plan;
    let since = |time| page.flight.zero.map(|zero: Utc| time - zero);
    let when = |time: Utc| {
        let since: Option<Millis> = since(time);
        (UtcText(time).to_string(), since.map(|it| Since(it).to_string()), since.map(|it| it.0))
    };
    let voices = page.voices.iter().map(|(language, side)| {
        let side = match side {
            Side::Both => "both",
            Side::Left => "left",
            Side::Right => "right",
        };
        json!({ "language": language, "side": side })
    });
    let lines = page.lines.iter().map(|line| {
        let (time, t, since) = when(line.at);
        let cut = match line.ending {
            Ending::Told => None,
            Ending::CutOff(by) => Some(words::cut(plan, by)),
        };
        let mut value = json!({
            "narration": words::narration(plan, line.narration),
            "language": line.language,
            "time": time,
            "t": t,
            "since_takeoff_ms": since,
            "told_ms": line.told.0,
            "paused_ms": line.paused.0,
            "cut_off": cut,
            "recording": line.recording,
        });
        add_levels(&mut value, line.brought.as_ref());
        value
    });
    let pieces = page.pieces.iter().map(|piece| {
        let (time, t, since) = when(piece.at);
        let mut value = json!({
            "music": words::music(plan, piece.music),
            "time": time,
            "t": t,
            "since_takeoff_ms": since,
            "length_ms": piece.length.0,
            "ducked_ms": piece.ducked.0,
            "paused_ms": piece.paused.0,
            "recording": piece.recording,
        });
        add_levels(&mut value, piece.brought.as_ref());
        value
    });
    json!({
        "format": format,
        "version": version,
        "plan": page.identity.json(),
        "files": page.files,
        "planned_flight": page.files.is_empty(),
        "day": page.day,
        "flight_number": page.flight_number,
        "output": page.output,
        "bits": page.bits,
        "from": UtcText(page.from).to_string(),
        "to": UtcText(page.to).to_string(),
        "length_ms": (page.to - page.from).0,
        "voices": voices.collect::<Vec<_>>(),
        "loudness_lufs": page.whole.loudness.map(Lufs::get),
        "true_peak_dbtp": page.whole.true_peak.map(Dbtp::get),
        "limited_db": page.whole.limited.map(Decibels::get),
        "narrations": lines.collect::<Vec<_>>(),
        "music": pieces.collect::<Vec<_>>(),
    })
}

fn add_levels(value: &mut Value, brought: Option<&Brought>) {
    let Some(map) = value.as_object_mut() else { return };
    let mut add = |key: &str, figure: Option<f64>| {
        map.insert(key.to_owned(), json!(figure));
    };
    add("found_lufs", brought.and_then(|it| it.found).map(Lufs::get));
    add("gain_db", brought.map(|it| it.gain.get()));
    add("loudness_lufs", brought.and_then(|it| it.loudness).map(Lufs::get));
    add("true_peak_dbtp", brought.and_then(|it| it.true_peak).map(Dbtp::get));
    add("limited_db", brought.and_then(|it| it.limited).map(Decibels::get));
}

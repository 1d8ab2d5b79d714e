//! Cue sheets: what music was played, how long and by what right.

use std::io::{self, Write};

use earth::{Millis, Utc};
use plan::{Music, Plan};
use serde_json::{Value, json};
use timeline::Played;

use super::identity::Identity;
use super::table::Table;
use super::time::{Length, TimeOfDay, UtcText};
use super::wire::CUE_SHEET;
use super::words::counted;

/// How music is used on these flights, in the word of cue sheets: nobody is seen playing it.
const USE: &str = "background";

/// What is shown.
pub(crate) struct Page<'a> {
    /// The plan.
    pub(crate) plan: &'a Plan,
    /// Which plan it is.
    pub(crate) identity: &'a Identity,
    /// The sheets, by time.
    pub(crate) sheets: Vec<Sheet>,
}

/// One sheet: of a flight, or of all flights of a year.
#[derive(Clone, Debug, Default)]
pub(crate) struct Sheet {
    /// The day of the flight, or of the last of them, in UTC.
    pub(crate) day: String,
    /// When the flight took off; none for a year.
    pub(crate) took_off: Option<Utc>,
    /// Where it is recorded; none for a year.
    pub(crate) file: Option<String>,
    /// How many flights it is about.
    pub(crate) flights: u32,
    /// What was played.
    pub(crate) played: Vec<Played>,
}

impl Sheet {
    /// The day of a flight, or the year.
    fn period(&self) -> &str {
        match self.took_off {
            Some(_) => &self.day,
            None => self.day.get(..self.day.len().saturating_sub(6)).unwrap_or(&self.day),
        }
    }
}

/// Whether the licence for a piece had ended on a day, `YYYY-MM-DD`; its last day counts.
pub(crate) fn is_past(piece: &Music, day: &str) -> bool {
    let until = piece.licence.as_ref().and_then(|licence| licence.until.as_deref());
    // Days are written so that they sort as texts.
    until.is_some_and(|until| until < day)
}

/// A line of a sheet.
struct Line<'a> {
    piece: &'a Music,
    played: Played,
    reference: &'a str,
    until: &'a str,
    past: bool,
}

fn lines<'a>(page: &'a Page<'_>, sheet: &Sheet) -> Vec<Line<'a>> {
    let line = |played: &Played| {
        let piece = page.plan.music.get(played.music.index())?;
        let licence = piece.licence.as_ref();
        let word = |text: Option<&'a String>| text.map_or("", String::as_str);
        Some(Line {
            piece,
            played: *played,
            reference: word(licence.and_then(|licence| licence.reference.as_ref())),
            until: word(licence.and_then(|licence| licence.until.as_ref())),
            past: is_past(piece, &sheet.day),
        })
    };
    sheet.played.iter().filter_map(line).collect()
}

/// For people: a table for each sheet.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn text(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    writeln!(out, "{}", page.identity.head())?;
    if page.sheets.is_empty() {
        return writeln!(out, "\nNo flight took off.");
    }
    for sheet in &page.sheets {
        let flights = match (sheet.took_off, &sheet.file) {
            (Some(took_off), Some(file)) => format!("take-off {}Z, {file}", TimeOfDay(took_off)),
            _ => counted(sheet.flights as usize, "flight"),
        };
        writeln!(out, "\n{}, {flights}", sheet.period())?;
        let lines = lines(page, sheet);
        if lines.is_empty() {
            writeln!(out, "  no music was played")?;
            continue;
        }
        let mut table = Table::new(&[
            "title",
            "composer",
            "publisher",
            "use",
            ">times",
            ">heard",
            ">in the film",
            "licence",
            "until",
        ]);
        for line in lines {
            table.row(vec![
                line.piece.title.clone(),
                line.piece.composer.clone().unwrap_or_default(),
                line.piece.publisher.clone().unwrap_or_default(),
                USE.to_owned(),
                line.played.times.to_string(),
                whole(line.played.heard),
                whole(line.played.in_film),
                line.reference.to_owned(),
                if line.past { format!("{}, past", line.until) } else { line.until.to_owned() },
            ]);
        }
        table.print(out, "  ")?;
    }
    Ok(())
}

/// A length in words, to the second.
fn whole(length: Millis) -> String {
    Length(Millis((length.0 + 500) / 1000 * 1000)).to_string()
}

/// Seconds, to the millisecond.
fn seconds(length: Millis) -> String {
    format!("{:.3}", length.secs())
}

/// A line for each piece of each sheet, under headings.
///
/// # Errors
/// Where `out` cannot be written.
pub(crate) fn csv(out: &mut dyn Write, page: &Page<'_>) -> io::Result<()> {
    let mut rows = csv::Writer::from_writer(out);
    rows.write_record([
        "plan",
        "revision",
        "status",
        "period",
        "took_off",
        "file",
        "flights",
        "music",
        "title",
        "composer",
        "publisher",
        "use",
        "times",
        "heard_s",
        "in_film_s",
        "licence",
        "licence_until",
        "licence_past",
    ])?;
    let revision = page.identity.revision.to_string();
    for sheet in &page.sheets {
        let took_off = sheet.took_off.map(|time| UtcText(time).to_string()).unwrap_or_default();
        for line in lines(page, sheet) {
            rows.write_record([
                page.identity.code.as_str(),
                &revision,
                page.identity.status(),
                sheet.period(),
                &took_off,
                sheet.file.as_deref().unwrap_or_default(),
                &sheet.flights.to_string(),
                &line.piece.name,
                &line.piece.title,
                line.piece.composer.as_deref().unwrap_or_default(),
                line.piece.publisher.as_deref().unwrap_or_default(),
                USE,
                &line.played.times.to_string(),
                &seconds(line.played.heard),
                &seconds(line.played.in_film),
                line.reference,
                line.until,
                if line.past { "yes" } else { "no" },
            ])?;
        }
    }
    rows.flush()
}

/// The same for programs.
pub(crate) fn json(page: &Page<'_>) -> Value {
    let (format, version) = CUE_SHEET;
    let sheets: Vec<Value> = page.sheets.iter().map(|sheet| sheet_json(page, sheet)).collect();
    json!({
        "format": format,
        "version": version,
        "plan": page.identity.json(),
        "sheets": sheets,
    })
}

fn sheet_json(page: &Page<'_>, sheet: &Sheet) -> Value {
    let music: Vec<Value> = lines(page, sheet)
        .into_iter()
        .map(|line| {
            let licence = line.piece.licence.as_ref();
            json!({
                "music": line.piece.name,
                "title": line.piece.title,
                "composer": line.piece.composer,
                "publisher": line.piece.publisher,
                "use": USE,
                "times": line.played.times,
                "heard_ms": line.played.heard.0,
                "in_film_ms": line.played.in_film.0,
                "licence": licence.and_then(|licence| licence.reference.as_ref()),
                "licence_until": licence.and_then(|licence| licence.until.as_ref()),
                "licence_past": line.past,
            })
        })
        .collect();
    json!({
        "period": sheet.period(),
        "took_off": sheet.took_off.map(|time| UtcText(time).to_string()),
        "file": sheet.file,
        "flights": sheet.flights,
        "played": music,
    })
}

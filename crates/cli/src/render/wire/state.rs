//! The state at a fix as JSON and as CSV.

use std::fmt::Write as _;
use std::io;

use earth::Millis;
use engine::{CameraWhy, Gps, Playing, State};
use plan::Plan;
use serde::Serialize;

use super::change::camera_why;
use super::{SinceWire, UtcWire};
use crate::render::identity::Identity;
use crate::render::time::{Since, UtcText};
use crate::render::words;

/// A state on the wire.
#[derive(Debug, Serialize)]
pub(crate) struct StateWire<'a> {
    time: UtcWire,
    t: Option<SinceWire>,
    since_takeoff_ms: Option<i64>,
    since_first_ms: i64,
    run: u32,
    flight: u32,
    lat: f64,
    lon: f64,
    altitude_m: Option<f64>,
    groundspeed_m_s: Option<f64>,
    track_deg: Option<f64>,
    heading_deg: Option<f64>,
    heading_from: Option<&'static str>,
    phase: Option<&'static str>,
    gps: &'static str,
    zones: Vec<&'a str>,
    camera: Option<&'a str>,
    camera_why: &'static str,
    camera_rule: Option<&'a str>,
    camera_next: Option<&'a str>,
    record: bool,
    take: Option<u32>,
    take_time_ms: Option<i64>,
    narration: Option<&'a str>,
    narration_into_ms: Option<i64>,
    narration_how: Option<&'static str>,
    music: Option<&'a str>,
    music_ducked: bool,
    title: Option<&'a str>,
    stills: Vec<&'a str>,
    voice_on: bool,
    radio_busy: bool,
}

impl<'a> StateWire<'a> {
    /// A state, with the time since take-off as it is known now.
    pub(crate) fn of(plan: &'a Plan, state: &State<'_>, since: Option<Millis>) -> Self {
        let camera_rule = match state.camera_why {
            CameraWhy::Rule(id) | CameraWhy::ShotHold(id) => Some(words::rule(plan, id)),
            _ => None,
        };
        Self {
            time: UtcWire(state.time),
            t: since.map(SinceWire),
            since_takeoff_ms: since.map(|since| since.0),
            since_first_ms: state.since_first.0,
            run: state.run,
            flight: state.flight,
            lat: state.position.lat(),
            lon: state.position.lon(),
            altitude_m: state.altitude.map(earth::Metres::get),
            groundspeed_m_s: state.groundspeed.map(earth::MetresPerSecond::get),
            track_deg: state.track.map(earth::DegreesTrue::get),
            heading_deg: state.heading.map(|(heading, _)| heading.get()),
            heading_from: state.heading.map(|(_, from)| words::heading_from(from)),
            phase: state.airborne.map(|up| if up { "airborne" } else { "on_the_ground" }),
            gps: match state.gps {
                Gps::First => "first",
                Gps::Good => "good",
                Gps::Back => "back",
                Gps::Gap => "gap",
            },
            zones: state.zones.iter().map(|id| words::zone(plan, *id)).collect(),
            camera: state.camera.map(|id| words::camera(plan, id)),
            camera_why: camera_why(state.camera_why),
            camera_rule,
            camera_next: state.camera_next.map(|id| words::camera(plan, id)),
            record: state.take.is_some(),
            take: state.take.map(|take| take.take),
            take_time_ms: state.take.map(|take| take.time.0),
            narration: state.narration.map(|now| words::narration(plan, now.narration)),
            narration_into_ms: state.narration.map(|now| now.into.0),
            narration_how: state.narration.map(|now| match now.how {
                Playing::Full => "full",
                Playing::Ducked => "ducked",
                Playing::Paused => "paused",
            }),
            music: state.music.map(|id| words::music(plan, id)),
            music_ducked: state.music_ducked,
            title: state.title.map(|id| words::title(plan, id)),
            stills: state.stills.iter().map(|id| words::camera(plan, *id)).collect(),
            voice_on: state.voice_on,
            radio_busy: state.radio_busy,
        }
    }
}

/// The columns of the CSV form, in order.
pub(crate) const COLUMNS: [&str; 35] = [
    "plan",
    "revision",
    "status",
    "time",
    "t",
    "since_takeoff_ms",
    "since_first_ms",
    "run",
    "flight",
    "lat",
    "lon",
    "altitude_m",
    "groundspeed_m_s",
    "track_deg",
    "heading_deg",
    "heading_from",
    "phase",
    "gps",
    "zones",
    "camera",
    "camera_why",
    "camera_rule",
    "camera_next",
    "record",
    "take",
    "take_time_ms",
    "narration",
    "narration_into_ms",
    "narration_how",
    "music",
    "music_ducked",
    "title",
    "stills",
    "voice",
    "radio",
];

/// Writes CSV rows without making new text for every field.
pub(crate) struct CsvRows<W: io::Write> {
    writer: csv::Writer<W>,
    code: String,
    revision: String,
    status: &'static str,
    field: String,
}

impl<W: io::Write> CsvRows<W> {
    /// Begins with the headings.
    ///
    /// # Errors
    /// Where `out` cannot be written.
    pub(crate) fn new(out: W, identity: &Identity) -> io::Result<Self> {
        let mut writer =
            csv::WriterBuilder::new().terminator(csv::Terminator::Any(b'\n')).from_writer(out);
        writer.write_record(COLUMNS).map_err(io_error)?;
        Ok(Self {
            writer,
            code: identity.code.clone(),
            revision: identity.revision.to_string(),
            status: identity.status(),
            field: String::new(),
        })
    }

    /// Writes one row.
    ///
    /// # Errors
    /// Where the row cannot be written.
    pub(crate) fn row(&mut self, state: &StateWire<'_>) -> io::Result<()> {
        self.text(&self.code.clone())?;
        self.text(&self.revision.clone())?;
        self.text(self.status)?;
        self.shown(Some(UtcText(state.time.0)))?;
        self.shown(state.t.map(|t| Since(t.0)))?;
        self.shown(state.since_takeoff_ms)?;
        self.shown(Some(state.since_first_ms))?;
        self.shown(Some(state.run))?;
        self.shown(Some(state.flight))?;
        self.shown(Some(state.lat))?;
        self.shown(Some(state.lon))?;
        self.shown(state.altitude_m)?;
        self.shown(state.groundspeed_m_s)?;
        self.shown(state.track_deg)?;
        self.shown(state.heading_deg)?;
        self.text(state.heading_from.unwrap_or_default())?;
        self.text(state.phase.unwrap_or_default())?;
        self.text(state.gps)?;
        self.list(&state.zones)?;
        self.text(state.camera.unwrap_or_default())?;
        self.text(state.camera_why)?;
        self.text(state.camera_rule.unwrap_or_default())?;
        self.text(state.camera_next.unwrap_or_default())?;
        self.text(if state.record { "on" } else { "off" })?;
        self.shown(state.take)?;
        self.shown(state.take_time_ms)?;
        self.text(state.narration.unwrap_or_default())?;
        self.shown(state.narration_into_ms)?;
        self.text(state.narration_how.unwrap_or_default())?;
        self.text(state.music.unwrap_or_default())?;
        self.text(if state.music_ducked { "yes" } else { "no" })?;
        self.text(state.title.unwrap_or_default())?;
        self.list(&state.stills)?;
        self.text(if state.voice_on { "on" } else { "off" })?;
        self.text(if state.radio_busy { "busy" } else { "clear" })?;
        self.writer.write_record(None::<&[u8]>).map_err(io_error)
    }

    /// Sends everything on its way.
    ///
    /// # Errors
    /// Where it cannot be written.
    pub(crate) fn flush(&mut self) -> io::Result<()> {
        self.writer.flush()
    }

    fn text(&mut self, text: &str) -> io::Result<()> {
        self.writer.write_field(text).map_err(io_error)
    }

    fn shown(&mut self, value: Option<impl std::fmt::Display>) -> io::Result<()> {
        self.field.clear();
        if let Some(value) = value {
            write!(self.field, "{value}").map_err(io::Error::other)?;
        }
        self.writer.write_field(&self.field).map_err(io_error)
    }

    /// Names hold no blanks, so a blank parts them.
    fn list(&mut self, names: &[&str]) -> io::Result<()> {
        self.field.clear();
        for name in names {
            if !self.field.is_empty() {
                self.field.push(' ');
            }
            self.field.push_str(name);
        }
        self.writer.write_field(&self.field).map_err(io_error)
    }
}

/// What went wrong in writing, its kind kept: a reader that has gone away is told apart by it.
fn io_error(error: csv::Error) -> io::Error {
    match error.into_kind() {
        csv::ErrorKind::Io(error) => error,
        other => io::Error::other(format!("{other:?}")),
    }
}

//! Reading GPX as a stream of fixes.

use std::collections::VecDeque;
use std::io::{BufRead, Read};

use earth::{Fix, Metres, Position};
use quick_xml::Reader;
use quick_xml::events::Event;

use crate::document::{Document, Found, Wanted};
use crate::made_times::{Clock, MadeTimes};
use crate::plain;
use crate::report::{Kind, REPORTED_ONE_BY_ONE, Report};
use crate::source::Source;

/// How a GPX file is to be read.
#[derive(Clone, Copy, Debug, Default)]
pub struct Options {
    /// How to make times for a file that has none; without it such a file is refused. A file that
    /// has times keeps them.
    pub made_times: Option<MadeTimes>,
}

/// Points without a time that are held back until it is known whether the file has any.
const HELD: usize = 50_000;

/// Reads GPX from any source of bytes, plain or packed with gzip, and hands out its track points
/// as fixes in file order. Memory does not grow with the file.
///
/// What the rules of GPX forbid and what happens then is in the table at the head of this crate.
/// Nothing is dropped without being counted: see [`Report`].
///
/// # Example
/// ```
/// let text = r#"<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>
///   <trkpt lat="60.1" lon="-1.2"><ele>120</ele><time>2026-03-01T10:00:00Z</time></trkpt>
/// </trkseg></trk></gpx>"#;
/// let mut reader = track::GpxReader::new(text.as_bytes(), "flight.gpx", track::Options::default());
/// let fix = reader.next_fix().expect("one point");
/// assert_eq!(fix.position.lat(), 60.1);
/// assert_eq!(reader.next_fix(), None);
/// assert!(reader.report().diagnostics.is_empty());
/// ```
pub struct GpxReader<'a> {
    points: Points<'a>,
    times: Times,
    segment: u64,
    ended: bool,
}

/// Where the times come from.
enum Times {
    /// The file.
    File,
    /// It is not known yet: points without one are held back, the places of the first beside them.
    Undecided { how: MadeTimes, held: VecDeque<(Fix, u64)>, places: Vec<(u64, u64, u64)> },
    /// They are made; what was held back comes first.
    Made { clock: Clock, held: VecDeque<(Fix, u64)> },
}

impl<'a> GpxReader<'a> {
    /// A reader of a file; the name is what its diagnostics call it.
    #[must_use]
    pub fn new(source: impl Read + 'a, name: &str, options: Options) -> Self {
        let times = match options.made_times {
            None => Times::File,
            Some(how) => Times::Undecided { how, held: VecDeque::new(), places: Vec::new() },
        };
        Self { points: Points::new(source, name, Wanted::Track), times, segment: 0, ended: false }
    }

    /// Reads every point by its events.
    #[cfg(test)]
    pub(crate) const fn by_events_alone(mut self) -> Self {
        self.points.quick = false;
        self
    }

    /// The next fix; `None` at the end of the file or of what can be read of it.
    pub fn next_fix(&mut self) -> Option<Fix> {
        loop {
            if let Times::Made { clock, held } = &mut self.times
                && let Some((fix, segment)) = held.pop_front()
            {
                self.segment = segment;
                self.points.document.report.fixes += 1;
                return Some(clock.stamp(fix));
            }
            if self.ended {
                return None;
            }
            let Some(Found::Point { fix, timed, segment }) = self.points.next() else {
                self.end();
                continue;
            };
            if let Some(fix) = self.timed(fix, timed, segment) {
                self.segment = segment;
                self.points.document.report.fixes += 1;
                return Some(fix);
            }
        }
    }

    /// The number, from 1 through the whole file, of the track segment of the last fix. Points
    /// outside any segment count with the one before, at first 0.
    #[must_use]
    pub const fn segment(&self) -> u64 {
        self.segment
    }

    /// What was found besides the fixes, so far.
    #[must_use]
    pub const fn report(&self) -> &Report {
        &self.points.document.report
    }

    /// What was found besides the fixes.
    #[must_use]
    pub fn into_report(self) -> Report {
        self.points.document.report
    }

    fn timed(&mut self, fix: Fix, timed: bool, segment: u64) -> Option<Fix> {
        match &mut self.times {
            Times::File if timed => return Some(fix),
            Times::File => {
                self.points.without_time();
                return None;
            }
            Times::Made { clock, .. } => {
                if timed {
                    self.points.document.warn_of_late_times(self.points.xml.get_ref());
                }
                return Some(clock.stamp(fix));
            }
            Times::Undecided { how, held, places } if !timed => {
                if places.len() < usize::try_from(REPORTED_ONE_BY_ONE).unwrap_or(0) {
                    places.push(self.points.xml.get_ref().point_place());
                }
                held.push_back((fix, segment));
                if held.len() < HELD {
                    return None;
                }
                let how = *how;
                self.times = Times::Made { clock: Clock::new(how), held: std::mem::take(held) };
                self.points.document.note_made_times(how);
                return None;
            }
            Times::Undecided { held, places, .. } => {
                let report = &mut self.points.document.report;
                for at in 0..held.len() {
                    if report.add(Kind::MissingTime)
                        && let Some(place) = places.get(at)
                    {
                        report.say(Kind::MissingTime, *place, "");
                    }
                }
                self.points.document.note_times_not_made();
            }
        }
        self.times = Times::File;
        Some(fix)
    }

    fn end(&mut self) {
        self.ended = true;
        if let Times::Undecided { how, held, .. } = &mut self.times {
            if !held.is_empty() {
                self.points.document.note_made_times(*how);
            }
            self.times = Times::Made { clock: Clock::new(*how), held: std::mem::take(held) };
        }
        let held = match &self.times {
            Times::Made { held, .. } => held.len(),
            _ => 0,
        };
        self.points.document.judge_track(held > 0);
        self.points.document.report.sum_up();
    }
}

impl Iterator for GpxReader<'_> {
    type Item = Fix;

    fn next(&mut self) -> Option<Fix> {
        self.next_fix()
    }
}

/// A waypoint or a point of a route: a place that is not flown, with what it is called.
#[derive(Clone, Debug, PartialEq)]
pub struct Waypoint {
    /// Where.
    pub position: Position,
    /// Its elevation above mean sea level, if given.
    pub elevation: Option<Metres>,
    /// What it is called, if anything.
    pub name: Option<String>,
    /// The number of the route it belongs to, from 1; `None` for a waypoint.
    pub route: Option<u64>,
}

/// The most waypoints and route points that [`read_waypoints`] gives.
pub const MOST_WAYPOINTS: usize = 100_000;

/// Reads the waypoints and route points of a GPX file, in file order, and what else was found.
/// Track points are counted and not looked at.
pub fn read_waypoints(source: impl Read, name: &str) -> (Vec<Waypoint>, Report) {
    let mut points = Points::new(source, name, Wanted::Waypoints);
    let mut all = Vec::new();
    let mut too_many = 0_u64;
    while let Some(found) = points.next() {
        match found {
            Found::Waypoint(waypoint) if all.len() < MOST_WAYPOINTS => all.push(waypoint),
            _ => too_many += 1,
        }
    }
    points.document.judge_waypoints(too_many);
    points.document.report.sum_up();
    (all, points.document.report)
}

/// The points of a file, with or without times.
struct Points<'a> {
    xml: Reader<Source<'a>>,
    buffer: Vec<u8>,
    document: Document,
    ended: bool,
    /// The last event was a tag, so that what comes next is the parser's to begin.
    after_tag: bool,
    /// Plain points are read the quick way.
    quick: bool,
}

impl<'a> Points<'a> {
    fn new(source: impl Read + 'a, name: &str, wanted: Wanted) -> Self {
        let (source, unreadable) = Source::new(source);
        let mut document = Document::new(name, wanted);
        if let Some(unreadable) = unreadable {
            document.refuse(unreadable);
        }
        Self {
            xml: Reader::from_reader(source),
            buffer: Vec::new(),
            document,
            ended: unreadable.is_some(),
            after_tag: false,
            quick: true,
        }
    }

    /// The next point that is not rejected; `None` at the end, after which there is nothing more
    /// to be said of the file.
    fn next(&mut self) -> Option<Found> {
        while !self.ended {
            self.buffer.clear();
            self.xml.get_mut().begin_event();
            if self.after_tag && self.quick && self.document.may_be_plain() {
                let source = self.xml.get_mut();
                if let Some((length, fix)) =
                    plain::point(source.at_hand(), self.document.report.version)
                {
                    source.begin_point();
                    source.consume(length);
                    return Some(self.document.plain_point(fix));
                }
            }
            self.after_tag = false;
            let source_error = match self.xml.read_event_into(&mut self.buffer) {
                Ok(Event::Start(tag)) => {
                    self.after_tag = true;
                    self.document.start(&tag, self.xml.get_mut())
                }
                Ok(Event::End(_)) => {
                    self.after_tag = true;
                    match self.document.end(self.xml.get_ref()) {
                        Some(found) => return Some(found),
                        None => continue,
                    }
                }
                Ok(Event::Empty(tag)) => match self.document.start(&tag, self.xml.get_mut()) {
                    Ok(()) => match self.document.end(self.xml.get_ref()) {
                        Some(found) => return Some(found),
                        None => continue,
                    },
                    stopped => stopped,
                },
                Ok(Event::Text(text)) => self.document.text(&text, self.xml.get_ref()),
                Ok(Event::CData(text)) => self.document.text(&text, self.xml.get_ref()),
                Ok(Event::GeneralRef(reference)) => {
                    self.document.reference(&reference);
                    continue;
                }
                Ok(Event::Decl(declaration)) => {
                    self.document.declaration(&declaration, self.xml.get_mut())
                }
                Ok(Event::DocType(_)) => {
                    self.document.doctype(self.xml.get_ref());
                    continue;
                }
                Ok(Event::PI(_) | Event::Comment(_)) => continue,
                Ok(Event::Eof) => self.document.end_of_file(self.xml.get_ref()),
                Err(error) => self.document.broken(&error, self.xml.get_ref()),
            };
            if source_error.is_err() {
                self.ended = true;
                self.document.last_words(self.xml.get_ref());
            }
        }
        None
    }

    fn without_time(&mut self) {
        let place = self.xml.get_ref().point_place();
        if self.document.report.add(Kind::MissingTime) {
            self.document.report.say(Kind::MissingTime, place, "");
        }
    }
}

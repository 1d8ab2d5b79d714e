//! Recorded flights: opened, measured, and handed out fix by fix.

use std::cell::Cell;
use std::fs::File;
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::rc::Rc;

use diagnostic::Diagnostic;
use earth::{Fix, Millis, Utc};
use track::{GpxReader, MadeTimes, Options};

use super::file;

/// What is wanted, for messages.
const WHAT: &str = "a recorded flight (GPX)";

/// What was found out about a recorded flight before it is flown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Measure {
    /// The time of the first fix.
    pub(crate) first: Option<Utc>,
    /// The usual interval between fixes, over all files.
    pub(crate) usual_interval: Option<Millis>,
    /// Bytes of all files, as they lie on the disk.
    pub(crate) bytes: u64,
}

/// The files of a recorded flight, flown one after the other as if they were one: a file break
/// counts for nothing by itself, only time does.
#[derive(Debug)]
pub(crate) struct Recording<'a> {
    paths: &'a [PathBuf],
    made_times: Option<MadeTimes>,
}

/// What the files held.
#[derive(Debug, Default)]
pub(crate) struct Flown {
    /// Track points seen.
    pub(crate) points: u64,
    /// Track points that could be flown.
    pub(crate) fixes: u64,
    /// Everything to be said of the files.
    pub(crate) findings: Vec<Diagnostic>,
}

impl<'a> Recording<'a> {
    /// A recording; nothing is opened yet.
    pub(crate) const fn new(paths: &'a [PathBuf], made_times: Option<MadeTimes>) -> Self {
        Self { paths, made_times }
    }

    /// Measures it: opens every file once and reads as much as is needed for the usual interval.
    ///
    /// # Errors
    /// A finding for each file that cannot be opened.
    pub(crate) fn measure(&self) -> Result<Measure, Vec<Diagnostic>> {
        let mut bytes = 0;
        let mut findings = Vec::new();
        for path in self.paths {
            match file::open(path, WHAT) {
                Ok((_, size)) => bytes += size,
                Err(finding) => findings.push(*finding),
            }
        }
        if !findings.is_empty() {
            return Err(findings);
        }
        let mut first = None;
        let times = Times { recording: self, next: 0, reader: None, last: None }
            .inspect(|time| first = first.or(Some(*time)));
        let usual_interval = track::usual_interval(times);
        Ok(Measure { first, usual_interval, bytes })
    }

    /// Hands out every fix until `each` says to stop; `progress` is told how many bytes have been
    /// read, now and then.
    pub(crate) fn fly(
        &self,
        mut each: impl FnMut(&Fix) -> Go,
        mut progress: impl FnMut(u64),
    ) -> Flown {
        /// Fixes between two words of progress.
        const NOW_AND_THEN: u64 = 4096;
        let mut read = Flown::default();
        let counter = Rc::new(Cell::new(0));
        let mut last = None;
        let mut go = Go::On;
        for path in self.paths {
            let mut reader = match self.reader(path, &counter, last) {
                Ok(reader) => reader,
                Err(finding) => {
                    read.findings.push(*finding);
                    continue;
                }
            };
            let mut number = 0;
            while go == Go::On {
                let Some(fix) = reader.next_fix() else { break };
                last = Some(fix.time);
                go = each(&fix);
                number += 1;
                if number % NOW_AND_THEN == 0 {
                    progress(counter.get());
                }
            }
            let report = reader.into_report();
            read.points += report.points;
            read.fixes += report.fixes;
            read.findings.extend(report.diagnostics);
            if go == Go::Stop {
                break;
            }
        }
        read
    }

    /// Opens one file. Where times are made, they go on a second after the file before.
    fn reader(
        &self,
        path: &Path,
        counter: &Rc<Cell<u64>>,
        last: Option<Utc>,
    ) -> Result<GpxReader<'static>, Box<Diagnostic>> {
        let (file, _) = file::open(path, WHAT)?;
        let made_times = match (self.made_times, last) {
            (Some(made), Some(last)) => Some(made.from(last + Millis::from_secs(1))),
            (made, _) => made,
        };
        let counted = Counted { file, bytes: Rc::clone(counter) };
        Ok(GpxReader::new(counted, &file::name(path), Options { made_times }))
    }
}

/// Whether to go on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Go {
    /// Give the next.
    On,
    /// It is enough.
    Stop,
}

/// The times of all fixes of all files, read no further than somebody asks.
struct Times<'a> {
    recording: &'a Recording<'a>,
    next: usize,
    reader: Option<GpxReader<'static>>,
    last: Option<Utc>,
}

impl Iterator for Times<'_> {
    type Item = Utc;

    fn next(&mut self) -> Option<Utc> {
        loop {
            if let Some(fix) = self.reader.as_mut().and_then(GpxReader::next_fix) {
                self.last = Some(fix.time);
                return Some(fix.time);
            }
            let path = self.recording.paths.get(self.next)?;
            self.next += 1;
            // What is the matter with a file is said when it is flown.
            self.reader = self.recording.reader(path, &Rc::default(), self.last).ok();
        }
    }
}

/// Counts the bytes that are read.
struct Counted {
    file: File,
    bytes: Rc<Cell<u64>>,
}

impl Read for Counted {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        let number = self.file.read(buffer)?;
        self.bytes.set(self.bytes.get() + number as u64);
        Ok(number)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

    use std::io::Write;

    use super::*;

    fn gpx(points: &str) -> tempfile::NamedTempFile {
        let mut file = tempfile::NamedTempFile::new().unwrap();
        write!(
            file,
            "<gpx version=\"1.1\" creator=\"x\" xmlns=\"http://www.topografix.com/GPX/1/1\">\
             <trk><trkseg>{points}</trkseg></trk></gpx>"
        )
        .unwrap();
        file
    }

    fn point(second: u32) -> String {
        format!(
            "<trkpt lat=\"10\" lon=\"20.{second:03}\"><time>2026-01-01T00:00:{second:02}Z</time></trkpt>"
        )
    }

    #[test]
    fn two_files_are_measured_and_flown_as_one() {
        let (a, b) = (gpx(&(point(0) + &point(2))), gpx(&(point(4) + &point(9))));
        let paths = [a.path().to_owned(), b.path().to_owned()];
        let recording = Recording::new(&paths, None);
        let measure = recording.measure().unwrap();
        assert_eq!(measure.usual_interval, Some(Millis(2000)));
        assert_eq!(measure.first.unwrap().0 % 60_000, 0);
        let mut seconds = Vec::new();
        let read = recording.fly(
            |fix| {
                seconds.push(fix.time.0 / 1000 % 60);
                Go::On
            },
            |_| (),
        );
        assert_eq!(seconds, [0, 2, 4, 9]);
        assert_eq!((read.points, read.fixes, read.findings.len()), (4, 4, 0));
    }

    #[test]
    fn what_cannot_be_opened_is_said_in_plain_words() {
        let directory = tempfile::tempdir().unwrap();
        let empty = tempfile::NamedTempFile::new().unwrap();
        let paths = [
            directory.path().join("none.gpx"),
            directory.path().to_owned(),
            empty.path().to_owned(),
        ];
        let findings = Recording::new(&paths, None).measure().unwrap_err();
        let names: Vec<&str> = findings.iter().map(|finding| finding.name).collect();
        assert_eq!(names, ["file-missing", "not-a-file", "file-empty"]);
        assert!(findings.iter().all(|finding| !finding.help.is_empty()));
    }
}

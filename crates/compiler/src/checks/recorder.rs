//! An aircraft without a recorder.

use diagnostic::{Page, Severity};
use plan::Recorder;
use route::Span;
use route::model::{Aircraft, Project};

use crate::findings::Findings;

/// What recorders on sightseeing aircraft write: 25 Mbit/s a stream (trade practice, no source).
const COMMON: Recorder = Recorder { streams: 1, bits_per_second: 25_000_000, card_bytes: None };

pub(super) const PAGES: &[Page] = &[Page {
    name: "no-recorder",
    severity: Severity::Note,
    finds: "An aircraft file that says nothing about its recorder.",
    why: "What a flight takes of the card is then reckoned with one stream of 25 Mbit/s, and \
              nobody is told when the card would be full.",
    example: "aircraft: Heron\ncameras: …",
    better: "aircraft: Heron\ncameras: …\nrecorder: {streams: 2, bit rate: 25 Mbit/s, card: 128 GB}",
}];

pub(crate) fn missing(
    aircraft: &Aircraft,
    project: &Project,
    findings: &mut Findings<'_>,
) -> Recorder {
    // What it says of its recorder may be what could not be read.
    let whole_file = Span { start: 0, end: usize::MAX, ..aircraft.model.span };
    if !project.could_be_read(whole_file) {
        return COMMON;
    }
    let headline = format!("`{}` says nothing about its recorder", aircraft.model.value);
    let finding = findings
        .note("no-recorder", aircraft.model.span, headline)
        .help("add `recorder` with its streams, bit rate and card");
    findings.put(finding);
    COMMON
}

//! A tour read with all its files, its recordings measured.

use std::collections::BTreeSet;
use std::path::PathBuf;

use diagnostic::{Diagnostic, Severity};
use route::Project;
use route::model::{Recorded, Recordings};
use sound::State;

use super::recording::{Candidate, Recording};
use super::world::Disk;

/// [`route::read`], with what is known of the recordings that the tour names. One that is not there
/// is left out; one that cannot be used is found fault with, and left out too.
pub(crate) fn read(
    disk: &Disk,
    tour: &str,
    aircraft: Option<&str>,
) -> (Option<Project>, Vec<Diagnostic>) {
    let (project, mut found) = route::read(disk, tour, aircraft);
    let Some(mut project) = project else { return (None, found) };
    let Heard { recordings, unusable, faults } = recordings(disk, &project);
    project.recordings = Some(recordings);
    project.unusable_recordings = unusable;
    found.extend(faults);
    (Some(project), found)
}

/// What came of the recordings that a project names.
#[derive(Default)]
struct Heard {
    recordings: Recordings,
    unusable: BTreeSet<String>,
    faults: Vec<Diagnostic>,
}

fn recordings(disk: &Disk, project: &Project) -> Heard {
    let candidates: Vec<Candidate> = project
        .audio_paths()
        .into_iter()
        .map(|path| Candidate { path: PathBuf::from(path), named: true })
        .collect();
    disk.measure(&candidates);
    let mut heard = Heard::default();
    let mut told = BTreeSet::new();
    for named in project.audio() {
        let path = &named.value;
        let Some(recording) = disk.measured(path) else { continue };
        if !told.insert(path) {
            continue;
        }
        let wrong = recording.findings();
        let wrong = wrong.into_iter().filter(|finding| finding.severity == Severity::Error);
        let place = project.sources.place(named.span);
        heard
            .faults
            .extend(wrong.map(|finding| finding.related(place.clone(), "it is named here")));
        match recorded(&recording) {
            Some(recorded) => {
                heard.recordings.insert(path.clone(), recorded);
            }
            None => {
                heard.unusable.insert(path.clone());
            }
        }
    }
    heard
}

fn recorded(recording: &Recording) -> Option<Recorded> {
    let measured = recording.measured.as_ref().ok()?;
    if measured.state != State::Whole || measured.is_silent() {
        return None;
    }
    Some(Recorded {
        content: recording.content?.to_string(),
        length: measured.length(),
        head: measured.head,
        tail: measured.tail,
        loudness: measured.loudness,
        true_peak: measured.true_peak,
        clipped: measured.clipped,
        channels: measured.channels,
    })
}

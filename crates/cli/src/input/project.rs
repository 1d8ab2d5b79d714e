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
    let (recordings, mut faults) = recordings(disk, &project);
    project.recordings = Some(recordings);
    found.append(&mut faults);
    (Some(project), found)
}

fn recordings(disk: &Disk, project: &Project) -> (Recordings, Vec<Diagnostic>) {
    let candidates: Vec<Candidate> = project
        .audio_paths()
        .into_iter()
        .map(|path| Candidate { path: PathBuf::from(path), named: true })
        .collect();
    disk.measure(&candidates);
    let mut all = Recordings::new();
    let mut faults = Vec::new();
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
        faults.extend(wrong.map(|finding| finding.related(place.clone(), "it is named here")));
        if let Some(recorded) = recorded(&recording) {
            all.insert(path.clone(), recorded);
        }
    }
    (all, faults)
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

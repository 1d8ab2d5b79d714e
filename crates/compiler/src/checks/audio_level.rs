//! Recordings that are not alike in loudness, or very soft.

use diagnostic::{Page, Severity};

use super::recordings::{Said, said};
use crate::findings::Findings;
use crate::review::Flown;

/// Narrations may be so far from each other, in LU: about as much as can be heard (EBU R 128
/// allows a programme 1 LU where it is live).
const APART: f64 = 1.0;
/// A single channel is heard on both ears, and is so much louder than it measures, in LU: twice the
/// power (ITU-R BS.1770-4 adds the powers of the channels).
const ON_BOTH_EARS: f64 = 3.01;
/// A recording that has to be raised by more than this, in decibels, is found to be soft: so much
/// does it raise the noise of the room too (common practice, no source).
const RAISED: f64 = 12.0;

pub(super) const PAGES: &[Page] = &[
    Page {
        name: "audio-apart",
        severity: Severity::Warning,
        finds: "Recordings of narrations that are more than 1 LU apart in loudness as they are heard, \
                one of a single channel on both ears, over all languages of the tour. The mix brings each to its level and does not mind; it is \
                found for whatever plays the files as they are.",
        why: "Passengers turn the volume up for the one and are startled by the next.",
        example: "# arch.ogg has -18 LUFS, keep.ogg -23 LUFS",
        better: "# all of them exported at one loudness, such as -18 LUFS",
    },
    Page {
        name: "audio-soft",
        severity: Severity::Warning,
        finds: "A recording of a narration that has to be raised by more than 12 dB to the level of \
                the mix.",
        why: "The noise of the room and of the equipment is raised with it, and heard as soon as it \
              starts.",
        example: "# arch.ogg has -36 LUFS; narrations are brought to -18 LUFS",
        better: "# recorded anew, nearer to the microphone or with more gain",
    },
];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let target = flown.project.mix.narration.get();
    let all = said(flown.project);
    let mut loudness: Vec<(f64, &Said<'_>)> =
        all.iter().filter_map(|said| Some((heard(said)?, said))).collect();
    // Between equals the first written.
    loudness.sort_by(|(one, _), (other, _)| one.total_cmp(other));
    for (level, said) in &loudness {
        let raised = target - level;
        let Some(named) = said.named.filter(|_| raised > RAISED) else { continue };
        let headline = format!(
            "the recording of {} in `{}` is soft: heard at {level:.1} LUFS, to be raised by {raised:.1} dB",
            said.name(),
            said.language,
        );
        let finding = findings
            .warning("audio-soft", named.span, headline)
            .help("record it anew at a higher level: raising it raises its noise");
        findings.put_or_join(finding);
    }
    let (Some((least, softest)), Some((most, loudest))) = (loudness.first(), loudness.last())
    else {
        return;
    };
    let Some((soft, loud)) = softest.named.zip(loudest.named) else { return };
    if most - least <= APART {
        return;
    }
    let headline = format!(
        "the recordings are {:.1} LU apart: {} in `{}` is heard at {least:.1} LUFS, {} in `{}` at \
         {most:.1} LUFS",
        most - least,
        softest.name(),
        softest.language,
        loudest.name(),
        loudest.language,
    );
    let finding = findings
        .warning("audio-apart", soft.span, headline)
        .label("the softest")
        .related(findings.sources().place(loud.span), "the loudest")
        .help(format!("export all of them at one loudness, such as {target:.0} LUFS"));
    findings.put(finding);
}

/// How loud a recording is heard, in LUFS.
fn heard(said: &Said<'_>) -> Option<f64> {
    let recorded = said.recorded?;
    let measured = recorded.loudness?.get();
    Some(if recorded.channels == 1 { measured + ON_BOTH_EARS } else { measured })
}

//! Recordings that are not there.

use diagnostic::{Page, Severity};

use super::recordings::{Said, played, said};
use crate::findings::Findings;
use crate::review::Flown;

pub(super) const PAGES: &[Page] = &[Page {
    name: "audio-missing",
    severity: Severity::Warning,
    finds: "A recording that is named and is not there; and, once any narration of the tour is \
            recorded, those that rules ask for and that are not, in each of the tour's languages.",
    why: "Its length is then reckoned from the words, and in flight nothing is heard.",
    example: "narrations:\n  arch: {text: …, audio: {en: ../audio/en/acrh.ogg}}",
    better: "narrations:\n  arch: {text: …, audio: {en: ../audio/en/arch.ogg}}",
}];

pub(crate) fn check(flown: &Flown<'_>, findings: &mut Findings<'_>) {
    let said = said(flown.project);
    let narrations = said.iter().filter_map(|said| Some((said.named?, said.recorded)));
    for (named, recorded) in narrations.chain(played(flown.project)) {
        // What cannot be used has been told already.
        if recorded.is_some() || flown.project.unusable_recordings.contains(&named.value) {
            continue;
        }
        let headline = format!("there is no recording at `{}`", named.value);
        let finding = findings
            .warning("audio-missing", named.span, headline)
            .help("correct its name, put the recording there, or take the key out until it is");
        findings.put_or_join(finding);
    }
    if said.iter().all(|said| said.named.is_none()) {
        return;
    }
    let mut told: Vec<&str> = Vec::new();
    for language in said.iter().map(|said| said.language) {
        if !told.contains(&language) {
            told.push(language);
            unrecorded(&said, language, findings);
        }
    }
}

/// What is not recorded in a language, in one finding.
fn unrecorded(said: &[Said<'_>], language: &str, findings: &mut Findings<'_>) {
    /// So many are named.
    const MOST: usize = 5;
    let all = said.iter().filter(|said| said.language == language && said.named.is_none());
    let missing: Vec<&Said<'_>> = all.collect();
    let Some(first) = missing.first() else { return };
    let mut names: Vec<String> = missing.iter().take(MOST).map(|said| said.name()).collect();
    if missing.len() > MOST {
        names.push(format!("and {} more", missing.len() - MOST));
    }
    let headline = format!("not recorded in `{language}`: {}", names.join(", "));
    let finding = findings
        .warning("audio-missing", first.entry.name.span, headline)
        .help(format!("name their recordings: `audio: {{{language}: …}}`"));
    findings.put(finding);
}

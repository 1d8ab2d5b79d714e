//! What the checks of recordings share: the recordings that the tour's rules ask for.

use std::collections::BTreeSet;

use earth::Millis;
use route::Spanned;
use route::model::{Entry, Narration, Project, Recorded, Recordings, Version};

use crate::pace::Pace;

/// A narration that a rule asks for, long or short, in one of the tour's languages.
pub(super) struct Said<'p> {
    pub(super) entry: &'p Entry<Narration>,
    pub(super) short: bool,
    pub(super) language: &'p str,
    /// Its words in that language.
    pub(super) text: &'p Spanned<String>,
    /// The recording that the author names.
    pub(super) named: Option<&'p Spanned<String>>,
    /// What that recording measures, where it is there.
    pub(super) recorded: Option<&'p Recorded>,
}

impl Said<'_> {
    /// Its name, for people.
    pub(super) fn name(&self) -> String {
        let short = if self.short { " (short)" } else { "" };
        format!("`{}`{short}", self.entry.name.value)
    }

    /// How long its words are reckoned to take.
    pub(super) fn reckoned(&self, project: &Project) -> Millis {
        Pace::of(project, &self.entry.value, self.language).lasts(&self.text.value)
    }
}

/// All that is said in all languages of the tour, in the order written; nothing where recordings
/// have not been looked for. What is told in another language for want of a text of its own is told
/// of there.
pub(super) fn said(project: &Project) -> Vec<Said<'_>> {
    let Some(recordings) = &project.recordings else { return Vec::new() };
    let languages = languages(project);
    let asked = asked(project);
    let entries = project.narrations.entries.iter();
    let mut all = Vec::new();
    for entry in entries.filter(|entry| asked.contains(entry.name.value.as_str())) {
        let short = entry.value.short.iter().map(|short| (true, &short.value));
        for (short, version) in std::iter::once((false, &entry.value.told)).chain(short) {
            let each = languages
                .iter()
                .filter_map(|language| one(project, recordings, entry, (short, version), language));
            all.extend(each);
        }
    }
    all
}

fn one<'p>(
    project: &Project,
    recordings: &'p Recordings,
    entry: &'p Entry<Narration>,
    (short, version): (bool, &'p Version),
    language: &'p str,
) -> Option<Said<'p>> {
    let own = language == project.language;
    let text = version.text.get(language, own)?;
    let named = version.audio.as_ref().and_then(|audio| audio.get(language, own));
    let recorded = named.and_then(|named| recordings.get(&named.value));
    Some(Said { entry, short, language, text, named, recorded })
}

/// Every language that the tour is or can be told in.
fn languages(project: &Project) -> Vec<&str> {
    let mut all: Vec<&str> = vec![&project.language];
    let others = project.other_languages.entries.iter().map(|entry| entry.name.value.as_str());
    for language in project.languages().into_iter().chain(others) {
        if !all.contains(&language) {
            all.push(language);
        }
    }
    all
}

/// The narrations that a rule asks for.
fn asked(project: &Project) -> BTreeSet<&str> {
    let effects = project.rules.entries.iter().filter_map(|rule| rule.value.narration.as_ref());
    effects.map(|effect| effect.value.narration.value.as_str()).collect()
}

/// The recordings of music that a rule asks for, with what they measure: the place that names one.
pub(super) fn played(project: &Project) -> Vec<(&Spanned<String>, Option<&Recorded>)> {
    let Some(recordings) = &project.recordings else { return Vec::new() };
    let asked: BTreeSet<&str> = project
        .rules
        .entries
        .iter()
        .filter_map(|rule| rule.value.music.as_ref())
        .map(|music| music.value.as_str())
        .collect();
    let entries = project.music.entries.iter();
    entries
        .filter(|entry| asked.contains(entry.name.value.as_str()))
        .filter_map(|entry| entry.value.audio.as_ref())
        .map(|named| (named, recordings.get(&named.value)))
        .collect()
}

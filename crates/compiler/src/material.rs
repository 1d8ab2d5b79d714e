//! What is said, played and shown, with what is known of its recordings.

use plan::{
    Audio, Licence, Music, Narration, NarrationId, PlaceId, Repeat, SyncWord, Title, Voice,
};
use route::Spanned;
use route::model::{self, ByLanguage, Project, Recorded, Version};

use crate::checks;
use crate::findings::Findings;
use crate::names::Scope;
use crate::pace::Pace;
use crate::source;
use crate::sources::seen_from_tour;

/// The narrations in the order written, and behind them their short versions in the same order.
pub(crate) fn narrations(
    project: &Project,
    scope: &Scope<'_>,
    findings: &mut Findings<'_>,
) -> Option<Vec<Narration>> {
    // The tour's language could not be read, which has been reported.
    if project.languages().is_empty() {
        return None;
    }
    let mut all = Vec::new();
    let mut shorter = Vec::new();
    let mut whole = true;
    let written = project.narrations.entries.len();
    for entry in &project.narrations.entries {
        let narration = &entry.value;
        let sight = narration.sight.as_ref().and_then(|sight| scope.find_sight(sight, findings));
        let sight = sight.map(PlaceId);
        let told = Told { project, narration };
        let versions = std::iter::once(&narration.told);
        for version in versions.chain(narration.short.iter().map(|short| &short.value)) {
            let is_short = !std::ptr::eq(version, &narration.told);
            let voices: Vec<Voice> = project
                .languages()
                .into_iter()
                .map(|language| told.voice(version, language))
                .collect();
            let length = voices.iter().map(|voice| voice.length).max().unwrap_or_default();
            if length.0 <= 0 || voices.iter().any(|voice| voice.length.0 <= 0) {
                checks::narration::without_words(&entry.name, findings);
                whole = false;
                continue;
            }
            let name = if is_short {
                format!("{} (short)", entry.name.value)
            } else {
                entry.name.value.to_string()
            };
            let into = if is_short { &mut shorter } else { &mut all };
            into.push(Narration {
                name,
                voices,
                length,
                again: narration.again,
                on_ground: narration.on_the_ground,
                on_radio: narration.on_radio.map(crate::settings::on_radio),
                longest_pause: narration.longest_pause.map(|pause| pause.value),
                sight,
                short: None,
                source: source(&project.sources, entry.name.span),
            });
        }
    }
    let has_short = project.narrations.entries.iter().map(|entry| entry.value.short.is_some());
    let mut next = written;
    for (narration, has_short) in all.iter_mut().zip(has_short) {
        if has_short {
            narration.short = u32::try_from(next).ok().map(NarrationId);
            next += 1;
        }
    }
    all.append(&mut shorter);
    whole.then_some(all)
}

struct Told<'p> {
    project: &'p Project,
    narration: &'p model::Narration,
}

impl Told<'_> {
    fn voice(&self, version: &Version, language: &str) -> Voice {
        let project = self.project;
        let (text, language) = told(project, &version.text, language);
        let recorded = recorded(project, version, language);
        let given = in_language(project, version.length.as_ref(), language);
        let length = match (recorded, given) {
            (Some((_, recorded)), _) => recorded.length,
            (None, Some(given)) => given.value,
            (None, None) => Pace::of(project, self.narration, language).lasts(text),
        };
        let word = in_language(project, version.sync_word.as_ref(), language);
        Voice {
            language: language.to_owned(),
            text: text.to_owned(),
            length,
            estimated: recorded.is_none() && given.is_none(),
            audio: recorded.map(|(path, recorded)| audio(project, path, recorded)),
            sync_word: word
                .map(|word| SyncWord { word: word.value.word.clone(), at: word.value.at }),
        }
    }
}

/// What is given in a language, which is named.
pub(crate) fn in_language<'p, T>(
    project: &Project,
    given: Option<&'p ByLanguage<T>>,
    language: &str,
) -> Option<&'p Spanned<T>> {
    given.and_then(|given| given.get(language, language == project.language))
}

/// The recording of a version in a language, where it is there and can be used.
pub(crate) fn recorded<'p>(
    project: &'p Project,
    version: &'p Version,
    language: &str,
) -> Option<(&'p str, &'p Recorded)> {
    let named = in_language(project, version.audio.as_ref(), language)?;
    Some((&named.value, project.recordings.as_ref()?.get(&named.value)?))
}

fn audio(project: &Project, path: &str, recorded: &Recorded) -> Audio {
    Audio { file: seen_from_tour(&project.sources, path), content: recorded.content.clone() }
}

/// The pieces of music in the order written.
pub(crate) fn music(project: &Project, findings: &mut Findings<'_>) -> Vec<Music> {
    let piece = |entry: &model::Entry<model::Music>| {
        let (name, written) = (entry.name.value.to_string(), &entry.value);
        let text = |text: &Option<Spanned<String>>| text.as_ref().map(|text| text.value.clone());
        let recorded = written.audio.as_ref().and_then(|named| {
            Some((&named.value, project.recordings.as_ref()?.get(&named.value)?))
        });
        let length = recorded.map(|(_, recorded)| recorded.length);
        let repeat = written.repeat.as_ref().filter(|_| recorded.is_some());
        if let (Some(repeat), Some(length)) = (repeat, length)
            && repeat.value.to > length
        {
            checks::music_loop::past_end(&entry.name, repeat, length, findings);
        }
        Music {
            title: text(&written.title).unwrap_or_else(|| name.clone()),
            name,
            composer: text(&written.composer),
            publisher: text(&written.publisher),
            audio: recorded.map(|(path, recorded)| audio(project, path, recorded)),
            length,
            repeat: repeat.map(|repeat| Repeat {
                from: repeat.value.from,
                to: repeat.value.to,
                crossfade: repeat.value.crossfade,
            }),
            level: written.level.map(|level| level.value),
            licence: written.licence.as_ref().map(|licence| Licence {
                reference: text(&licence.value.reference),
                until: text(&licence.value.until),
            }),
        }
    };
    project.music.entries.iter().map(piece).collect()
}

/// The titles in the order written.
pub(crate) fn titles(project: &Project) -> Vec<Title> {
    let title = |entry: &model::Entry<model::Title>| {
        let (text, _) = told(project, &entry.value.text, project.told_in());
        Title { name: entry.name.value.to_string(), text: text.to_owned() }
    };
    project.titles.entries.iter().map(title).collect()
}

/// A text and its language. One that is missing in the language that is wanted has been reported
/// if it is used; if it is not, any will do.
fn told<'p>(
    project: &'p Project,
    texts: &'p ByLanguage<String>,
    language: &'p str,
) -> (&'p str, &'p str) {
    if let Some(told) = project.text_in(language, texts) {
        return (&told.text.value, told.language);
    }
    let any = texts.values().next();
    (any.map_or("", |text| text.value.as_str()), &project.language)
}

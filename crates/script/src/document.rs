//! What a voice artist is given: every narration that a tour asks for, in one language.

use compiler::fit::Fits;
use compiler::{EventPlan, Pace};
use earth::Millis;
use plan::{Approval, NarrationId, Plan};
use route::Project;

use crate::planned::{Planned, Room, planned, room};
use crate::when::cue_point;

/// A script in one language.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    /// The tour's title.
    pub tour: String,
    /// Its revision.
    pub revision: u32,
    /// The short code of its plan.
    pub code: String,
    /// Whether somebody has approved it, in words.
    pub status: String,
    /// In what it differs from the tour as written; nothing for the tour as written.
    pub differences: Vec<String>,
    /// The language.
    pub language: String,
    /// How fast it is spoken.
    pub pace: Pace,
    /// What is said, by number.
    pub lines: Vec<Line>,
}

/// Which of the two texts of a narration.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Version {
    /// The one that is told where there is room for it.
    Long,
    /// The one that is told instead where there is not.
    Short,
}

impl Version {
    /// In a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Long => "long",
            Self::Short => "short",
        }
    }
}

/// By what name takes of a narration are known: its own, and for its short version that with
/// `-short` behind it.
#[must_use]
pub fn take_name(narration: &str, version: Version) -> String {
    match version {
        Version::Long => narration.to_owned(),
        Version::Short => format!("{narration}-short"),
    }
}

/// Where a length comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LengthFrom {
    /// Reckoned from the text.
    Text,
    /// Given by the author.
    Author,
    /// Measured on a recording.
    Recording,
}

/// One thing said.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Its place in the order of the tour, from 1; the same that takes are numbered by.
    pub number: u32,
    /// The narration's name.
    pub name: String,
    /// Which of its texts.
    pub version: Version,
    /// When it is asked for, in plain words; one for each rule that asks for it.
    pub when: Vec<String>,
    /// When and where it starts on the planned flight; none if it does not.
    pub planned: Option<Planned>,
    /// How much room it has; none where it is never told.
    pub room: Option<Room>,
    /// Its text in this language; none where there is none.
    pub text: Option<String>,
    /// The language in which it is told instead, where there is none.
    pub told_in: Option<String>,
    /// How long it takes, and whence that is known; none where there is no text.
    pub length: Option<(Millis, LengthFrom)>,
    /// The word that belongs on a moment of the picture, and when it falls in the recording.
    pub sync_word: Option<(String, Millis)>,
    /// How fast it is spoken: as its language is, unless it has a pace of its own.
    pub pace: Pace,
    /// Notes on how the words of a narration are spoken; they stand with its long version.
    pub pronunciation: Option<String>,
}

/// The narrations that the rules of a tour ask for, each with its number: its place in the order in
/// which the rules are written, from 1.
#[must_use]
pub fn numbered(project: &Project) -> Vec<(u32, &str)> {
    let mut names: Vec<&str> = Vec::new();
    let asked = project.rules.entries.iter().filter_map(|rule| rule.value.narration.as_ref());
    for name in asked.map(|effect| effect.value.narration.value.as_str()) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    (1..).zip(names).collect()
}

impl Document {
    /// The script of a tour in one of its languages, its planned flight as `events` tell it, and its
    /// room as `fits` do; `code` is the short code of `plan`.
    ///
    /// The plan may be one in another language, as long as this one is not complete: lengths are
    /// then reckoned from the texts.
    #[must_use]
    pub fn new(
        project: &Project,
        plan: &Plan,
        events: &EventPlan,
        fits: &Fits,
        code: &str,
        language: &str,
    ) -> Self {
        let voice = plan.languages.iter().position(|one| one == language);
        let mut lines = Vec::new();
        for (number, name) in numbered(project) {
            let Some(entry) = project.narrations.get(name) else { continue };
            let narration = &entry.value;
            let id = plan.narrations.iter().position(|one| one.name == name);
            let id = id.and_then(|index| u32::try_from(index).ok()).map(NarrationId);
            let short_id = id.and_then(|id| plan.narrations.get(id.index())?.short);
            // Whichever of the two is told there, it is where both have to fit.
            let either: Vec<NarrationId> = id.into_iter().chain(short_id).collect();
            let long = (Version::Long, &narration.told, id);
            let short = narration.short.iter().map(|it| (Version::Short, &it.value, short_id));
            for (version, written, id) in std::iter::once(long).chain(short) {
                let told = project.text_in(language, &written.text);
                let own = told.filter(|told| told.language == language);
                let pace = Pace::of(project, narration, language);
                let spoken = id.and_then(|id| plan.narrations.get(id.index())?.voices.get(voice?));
                let length = own.map(|told| match spoken {
                    Some(voice) if voice.audio.is_some() => (voice.length, LengthFrom::Recording),
                    Some(voice) if !voice.estimated => (voice.length, LengthFrom::Author),
                    _ => (pace.lasts(&told.text.value), LengthFrom::Text),
                });
                let note = narration.pronunciation.as_ref().filter(|_| version == Version::Long);
                let note = note.and_then(|notes| notes.get(language, language == project.language));
                lines.push(Line {
                    number,
                    name: name.to_owned(),
                    version,
                    when: either.first().map(|id| asked_when(plan, *id)).unwrap_or_default(),
                    planned: planned(plan, events, &either),
                    room: either.first().and_then(|id| room(plan, fits, *id)),
                    text: own.map(|told| told.text.value.clone()),
                    told_in: match own {
                        Some(_) => None,
                        None => told.map(|told| told.language.to_owned()),
                    },
                    length,
                    sync_word: spoken
                        .and_then(|voice| voice.sync_word.as_ref())
                        .filter(|_| own.is_some())
                        .map(|sync| (sync.word.clone(), sync.at)),
                    pace,
                    pronunciation: note.map(|note| note.value.clone()),
                });
            }
        }
        Self {
            tour: plan.title.clone(),
            revision: plan.revision,
            code: code.to_owned(),
            status: match &plan.approval {
                Approval::Draft => "draft".to_owned(),
                Approval::Approved { by, on } => format!("approved by {by} on {on}"),
            },
            differences: plan.differences.clone(),
            language: language.to_owned(),
            pace: language_pace(project, language),
            lines,
        }
    }
}

impl Line {
    /// How many words, or characters, it has more than there is room for; none where it fits.
    pub(crate) fn too_long_by(&self) -> Option<usize> {
        let room = self.room.as_ref()?.least;
        let (length, _) = self.length.filter(|(length, _)| *length > room)?;
        // What is measured may take longer than its words.
        Some(self.pace.that_last(length - room) as usize)
    }
}

impl Document {
    /// How much there is to record, and what does not fit on the planned flight, in a line each.
    #[must_use]
    pub fn summary(&self) -> String {
        let spoken = self.lines.iter().filter(|line| line.text.is_some()).count();
        let mut summary = format!(
            "{spoken} text{} in {}, {} in all, {} {} a minute",
            if spoken == 1 { "" } else { "s" },
            self.language,
            self.total(),
            self.pace.a_minute(),
            self.pace.unit()
        );
        for line in &self.lines {
            if let Some(by) = line.too_long_by() {
                summary.push_str(&format!(
                    "\n{} {}{}: {by} {} too long for the least room it has",
                    line.number,
                    line.name,
                    if line.version == Version::Short { " (short)" } else { "" },
                    line.pace.unit()
                ));
            }
        }
        summary
    }

    /// How long all of it takes, in words.
    pub(crate) fn total(&self) -> String {
        let lengths = self.lines.iter().filter_map(|line| line.length);
        let whole = lengths.map(|(length, _)| length.0).sum::<i64>().div_euclid(1000);
        format!("{} min {:02} s", whole / 60, whole % 60)
    }
}

/// How fast a language is spoken in a tour, where a narration has no pace of its own.
fn language_pace(project: &Project, language: &str) -> Pace {
    let other = project.other_languages.get(language).map(|entry| &entry.value);
    if let Some(pace) = other.and_then(|other| other.characters_per_minute.as_ref()) {
        return Pace::Characters(pace.value);
    }
    let other = other.and_then(|other| other.words_per_minute);
    Pace::Words(other.map_or(project.defaults.words_per_minute, |pace| pace.value))
}

/// How fast a narration of a project is spoken in a language.
#[must_use]
pub fn pace(project: &Project, narration: &str, language: &str) -> Pace {
    let narration = project.narrations.get(narration);
    narration.map_or_else(
        || language_pace(project, language),
        |entry| Pace::of(project, &entry.value, language),
    )
}

fn asked_when(plan: &Plan, narration: NarrationId) -> Vec<String> {
    let asks =
        |rule: &&plan::Rule| rule.narration.is_some_and(|asked| asked.narration == narration);
    plan.rules.iter().filter(asks).map(|rule| cue_point(plan, rule)).collect()
}

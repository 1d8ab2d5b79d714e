//! Takes: recordings in a folder, matched to what is to be said.
//!
//! What is to be said comes from whoever knows the tour, as [`Cue`]s; what lies in the folder, as
//! [`TakeFile`]s; and what was known before, from the folder's [`Ledger`]. [`match_takes`] brings
//! them together and decides nothing by the clock or by the date of a file: the take in use is the
//! one that an editor has chosen, else the one with the highest number.

mod findings;
mod ledger;
mod name;

pub use ledger::{Ledger, Noted};

use crate::digest::Digest;
use name::{Named, read_name};

/// Something to be said, in one language.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cue {
    /// Its place in the script, from 1.
    pub number: u32,
    /// The name of the narration.
    pub name: String,
    /// The language, as a tag such as `de` or `pt-BR`.
    pub language: String,
    /// What is to be said now.
    pub text: String,
    /// Whether the tour says it. What it does not say may be said on another one that shares the
    /// folder: its takes are matched and noted, and are not missed.
    pub said: bool,
}

/// A recording in the folder of takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TakeFile {
    /// Its path as seen from the folder, with `/`.
    pub path: String,
    /// Its content; none where it could not be read.
    pub content: Option<Digest>,
    /// Whether it can be used: decoded, whole and not silent.
    pub usable: bool,
}

/// A recording that belongs to a cue.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Take {
    /// Which of the files.
    pub file: usize,
    /// Its number; 1 where its name has none.
    pub number: u32,
    /// Whether an editor has chosen it.
    pub chosen: bool,
}

/// How a cue stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Recorded, with the words that are to be said now.
    Recorded,
    /// Recorded, and nothing was known of any take before: it is taken to have the words of now.
    New,
    /// Recorded anew since the folder was last noted: another take, or another content under an
    /// old name. It is taken to have the words of now.
    Rerecorded,
    /// Recorded, and the text has changed since.
    TextChanged {
        /// The text when it was recorded.
        was: String,
    },
    /// The take in use cannot be used: see what is the matter with its file.
    Unusable,
    /// There is no take.
    Missing,
}

impl Standing {
    /// One word, or two: `recorded`, `new`, `re-recorded`, `text-changed`, `unusable`, `missing`.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Recorded => "recorded",
            Self::New => "new",
            Self::Rerecorded => "re-recorded",
            Self::TextChanged { .. } => "text-changed",
            Self::Unusable => "unusable",
            Self::Missing => "missing",
        }
    }

    /// Whether the voice artist has to come again for it: it is on the pick-up list.
    #[must_use]
    pub const fn to_record(&self) -> bool {
        matches!(self, Self::TextChanged { .. } | Self::Unusable | Self::Missing)
    }
}

/// A cue with its takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CueTakes {
    /// Its takes, by their numbers.
    pub takes: Vec<Take>,
    /// Which of them is in use; none where there is none.
    pub used: Option<usize>,
    /// How it stands.
    pub standing: Standing,
}

impl CueTakes {
    /// The take in use.
    #[must_use]
    pub fn take(&self) -> Option<&Take> {
        self.takes.get(self.used?)
    }
}

/// Why a recording belongs to no cue.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Astray {
    /// No cue has such a name or number; the name that is most like it, if one is.
    NoCue {
        /// A name that was perhaps meant.
        near: Option<String>,
    },
    /// A cue has the name, and it is to be said in several languages, of which the file names none.
    NoLanguage,
}

/// Everything that a folder of takes shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Matched {
    /// The cues, in the order given.
    pub cues: Vec<CueTakes>,
    /// Files that belong to no cue, and why.
    pub astray: Vec<(usize, Astray)>,
    /// Files of one cue with the same number and different contents; the last is used.
    pub doubles: Vec<(usize, usize)>,
    /// Takes that an editor has chosen and that are not there any more: cue, and the file's name.
    pub gone: Vec<(usize, String)>,
}

/// Brings together what is to be said, what lies in the folder, and what was noted of it.
#[must_use]
pub fn match_takes(cues: &[Cue], files: &[TakeFile], ledger: &Ledger) -> Matched {
    let mut matched = Matched {
        cues: vec![
            CueTakes { takes: Vec::new(), used: None, standing: Standing::Missing };
            cues.len()
        ],
        astray: Vec::new(),
        doubles: Vec::new(),
        gone: Vec::new(),
    };
    for (file, found) in files.iter().enumerate() {
        match read_name(&found.path, cues) {
            Named::Cue { cue, number } => {
                let noted = found.content.and_then(|content| ledger.find(&cues[cue], content));
                let chosen = noted.is_some_and(|noted| noted.chosen);
                matched.cues[cue].takes.push(Take { file, number, chosen });
            }
            Named::Astray(why) => matched.astray.push((file, why)),
        }
    }
    for (index, cue) in cues.iter().enumerate() {
        let own = &mut matched.cues[index];
        // Stable: of two with one number the later path is the later take.
        own.takes.sort_by_key(|take| take.number);
        for pair in own.takes.windows(2) {
            let [one, next] = pair else { continue };
            if one.number == next.number && files[one.file].content != files[next.file].content {
                matched.doubles.push((one.file, next.file));
            }
        }
        let chosen = own.takes.iter().rposition(|take| take.chosen);
        own.used = chosen.or(own.takes.len().checked_sub(1));
        own.standing = standing(cue, own, files, ledger);
        if chosen.is_none() {
            let gone = ledger.of(cue).filter(|noted| noted.chosen);
            matched.gone.extend(gone.map(|noted| (index, noted.file.clone())));
        }
    }
    matched
}

fn standing(cue: &Cue, own: &CueTakes, files: &[TakeFile], ledger: &Ledger) -> Standing {
    let Some(take) = own.take() else { return Standing::Missing };
    let file = &files[take.file];
    let Some(content) = file.content.filter(|_| file.usable) else { return Standing::Unusable };
    match ledger.find(cue, content) {
        Some(noted) if same_words(&noted.text, &cue.text) => Standing::Recorded,
        Some(noted) => Standing::TextChanged { was: noted.text.clone() },
        None if ledger.of(cue).next().is_some() => Standing::Rerecorded,
        None => Standing::New,
    }
}

/// Whether two texts have the same words; how they are broken into lines does not matter.
fn same_words(one: &str, other: &str) -> bool {
    one.split_whitespace().eq(other.split_whitespace())
}

impl Matched {
    /// The ledger with every take that is there noted: one that was not known is noted with the
    /// text of now. Of the cues in `accepted` (by their places) the take in use is noted with the
    /// text of now as well: somebody has listened, and it still fits.
    #[must_use]
    pub fn noted(
        &self,
        cues: &[Cue],
        files: &[TakeFile],
        ledger: &Ledger,
        accepted: &[usize],
    ) -> Ledger {
        let mut ledger = ledger.clone();
        for (index, (cue, own)) in cues.iter().zip(&self.cues).enumerate() {
            for (number, take) in own.takes.iter().enumerate() {
                let file = &files[take.file];
                let Some(content) = file.content else { continue };
                let accept = accepted.contains(&index) && own.used == Some(number);
                ledger.note(cue, &file.path, take.number, content, accept);
            }
        }
        ledger
    }
}

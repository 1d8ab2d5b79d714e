//! What is known of the recordings that a project names.

use std::collections::{BTreeMap, BTreeSet};

use earth::{Dbtp, Lufs, Millis};

use super::Project;
use crate::span::Spanned;

/// What decoding a recording to its end has shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Recorded {
    /// Digest of its bytes: BLAKE3, 64 hexadecimal digits in lower case.
    pub content: String,
    /// How long it lasts.
    pub length: Millis,
    /// Silence before its first sound.
    pub head: Millis,
    /// Silence behind its last sound.
    pub tail: Millis,
    /// Integrated loudness; none where it is silent or too short to have one.
    pub loudness: Option<Lufs>,
    /// True peak; none where it is silent.
    pub true_peak: Option<Dbtp>,
    /// How often it is clipped.
    pub clipped: u64,
    /// How many channels it has.
    pub channels: u16,
}

/// The recordings of a project that are there and can be used, by their path as a [`crate::World`]
/// knows it.
pub type Recordings = BTreeMap<String, Recorded>;

impl Project {
    /// Every recording that the project names, with the places that name it, in the order written.
    #[must_use]
    pub fn audio(&self) -> Vec<&Spanned<String>> {
        let narrations = self.narrations.entries.iter().flat_map(|entry| {
            let short = entry.value.short.iter().map(|short| &short.value);
            std::iter::once(&entry.value.told).chain(short)
        });
        let said = narrations
            .filter_map(|version| version.audio.as_ref())
            .flat_map(|audio| audio.values());
        let played = self.music.entries.iter().filter_map(|entry| entry.value.audio.as_ref());
        said.chain(played).collect()
    }

    /// The paths of every recording that the project names, each once.
    #[must_use]
    pub fn audio_paths(&self) -> BTreeSet<&str> {
        self.audio().into_iter().map(|audio| audio.value.as_str()).collect()
    }
}

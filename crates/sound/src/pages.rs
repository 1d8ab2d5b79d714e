//! The pages of what can be found.

use diagnostic::{Page, Severity};

/// All pages of this crate.
#[must_use]
pub fn pages() -> &'static [Page] {
    PAGES
}

const fn page(
    name: &'static str,
    severity: Severity,
    [finds, why, example, better]: [&'static str; 4],
) -> Page {
    Page { name, severity, finds, why, example, better }
}

const PAGES: &[Page] = &[
    page(
        "recording-unreadable",
        Severity::Error,
        [
            "A recording that can be opened but not read to its end.",
            "What cannot be read on the ground is not heard in the air.",
            "a card with a bad block",
            "the recording copied again from where it was made",
        ],
    ),
    page(
        "not-a-recording",
        Severity::Error,
        [
            "A file that is empty or holds no sound: a text, a picture, an archive.",
            "Its ending does not make it a recording; in the aircraft there would be silence.",
            "arch.wav, which is a text that says the file has moved",
            "arch.wav with the voice in it",
        ],
    ),
    page(
        "recording-kind",
        Severity::Error,
        [
            "Sound of a kind that is not decoded here, such as Opus, AAC or AIFF, told by the \
             content and not by the ending.",
            "What is not decoded has no known length and no known loudness, so nothing could be \
             said about whether it fits.",
            "arch.opus",
            "arch.flac, exported at 48 kHz and 24 bit",
        ],
    ),
    page(
        "recording-broken",
        Severity::Error,
        [
            "A recording whose beginning is there and from which nothing can be decoded, or whose \
             header contradicts itself.",
            "There is nothing to play.",
            "the first kilobyte of a WAV file",
            "the whole file",
        ],
    ),
    page(
        "recording-unusual",
        Severity::Error,
        [
            "A sampling rate, a number of channels or a length that no narration and no music has.",
            "It is most likely another file than the one meant, or a header that lies.",
            "a recording at 96 Hz",
            "a recording at 48 kHz",
        ],
    ),
    page(
        "recording-cut-off",
        Severity::Error,
        [
            "A recording that ends before its end: the header promises more, or the last piece is \
             there in part only.",
            "A copy that was interrupted plays like any other until the voice stops in the middle \
             of a word. An MP3 without a table of its length that was cut exactly between two \
             pieces cannot be told from a whole one.",
            "arch.flac, 3.1 of 14.2 MB copied",
            "arch.flac, 14.2 MB",
        ],
    ),
    page(
        "recording-never-closed",
        Severity::Error,
        [
            "A WAV file whose header says that there is no sound, with sound behind it.",
            "A recorder leaves such a file when it loses its power. Most players play nothing, \
             and the last seconds may be missing.",
            "a header with a length of nought, and ten minutes of sound",
            "the same, opened, listened to and exported again",
        ],
    ),
    page(
        "recording-damaged",
        Severity::Error,
        [
            "A recording that reaches its end, with something inside that cannot be decoded, that \
             is not what its digest says, or that is no number.",
            "It clicks, skips or goes silent.",
            "a FLAC file with a byte that fell over on the card",
            "the file copied again",
        ],
    ),
    page(
        "recording-header",
        Severity::Warning,
        [
            "A header that gives another length than can be heard.",
            "A player that trusts the header stops too early or waits for nothing. All lengths \
             here are those that can be heard.",
            "an MP3 that was cut and kept the table of the longer one",
            "the same, exported again",
        ],
    ),
    page(
        "recording-ending",
        Severity::Warning,
        [
            "A name whose ending belongs to another kind than the content.",
            "Here the content counts, but a player may go by the name.",
            "arch.wav, which is an MP3",
            "arch.mp3",
        ],
    ),
    page(
        "recording-silent",
        Severity::Error,
        [
            "A recording without any sound above -60 dBFS.",
            "The narration would be played and nobody would hear it.",
            "an export of the muted track",
            "an export of the voice",
        ],
    ),
    page(
        "recording-silence",
        Severity::Warning,
        [
            "More than half a second of silence (below -60 dBFS) before the first sound, or more \
             than a second behind the last. The limits are common practice.",
            "The word comes late on the picture, music stays down under nothing, and the next \
             narration waits.",
            "2.4 s before the voice begins",
            "0.1 s before the voice begins",
        ],
    ),
    page(
        "recording-clipped",
        Severity::Warning,
        [
            "Three or more samples, one behind the other, at full scale.",
            "The top of the wave is gone; it rasps, and no later turning down mends it.",
            "a voice recorded with its loudest words at 0 dBFS",
            "the same voice recorded 10 dB lower",
        ],
    ),
    page(
        "recording-rate",
        Severity::Warning,
        [
            "A recording sampled at less than 16 kHz.",
            "Consonants lose what makes them clear, and a cabin is loud.",
            "8 kHz, as from a telephone",
            "48 kHz",
        ],
    ),
    page(
        "recording-channels",
        Severity::Warning,
        [
            "A recording of more than two channels.",
            "Headsets have two; which of the others are heard would be left to chance.",
            "six channels",
            "one channel for a voice, two for music",
        ],
    ),
    page(
        "take-missing",
        Severity::Warning,
        [
            "Narrations that have a text and no take, language by language.",
            "Where the voice should be there would be silence.",
            "`arch` has a German text, and the folder has 012_arch_en_t1.wav only",
            "012_arch_de_t1.wav beside it",
        ],
    ),
    page(
        "take-outdated",
        Severity::Warning,
        [
            "A take whose text has changed since it was recorded, by the notes in the folder.",
            "The passenger hears the old words; captions and script have the new ones.",
            "an arch that was sold, and a take that still names its owner",
            "a new take; or the old one accepted, where only a comma has changed",
        ],
    ),
    page(
        "take-astray",
        Severity::Warning,
        [
            "A recording in a folder of takes whose name is that of no narration of the tour or its \
             libraries.",
            "It is never used, and perhaps it is the one that is missing.",
            "012_acrh_de_t2.wav",
            "012_arch_de_t2.wav",
        ],
    ),
    page(
        "take-language",
        Severity::Warning,
        [
            "A take of a narration that is said in several languages, without its own.",
            "In which of them it is would be a guess.",
            "012_arch_t2.wav",
            "012_arch_de_t2.wav, or de/012_arch_t2.wav",
        ],
    ),
    page(
        "take-twice",
        Severity::Warning,
        [
            "Two files with different contents that are the same take by their names.",
            "Which of them is the later one is left to the order of their names.",
            "012_arch_de_t2.wav and 012_arch_de_t2.flac",
            "012_arch_de_t2.wav and 012_arch_de_t3.flac",
        ],
    ),
    page(
        "take-gone",
        Severity::Warning,
        [
            "A take that was chosen in the notes of the folder and is not there any more, or was \
             recorded over.",
            "Another is used than the one that somebody has listened to and chosen.",
            "take 2 is chosen, and only take 1 and take 3 are there",
            "take 3 is chosen",
        ],
    ),
    page(
        "takes-file",
        Severity::Error,
        [
            "Notes of a folder of takes that cannot be read.",
            "They say which words each take was recorded for; without them no change of a text \
             would be noticed. They are never written over unread.",
            "a line whose last quotation mark was lost in editing",
            "the line as it was",
        ],
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_page_is_whole() {
        for page in pages() {
            assert!(page.is_whole(), "{}", page.name);
        }
    }
}

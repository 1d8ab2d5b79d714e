//! What a file is, told by its content and never by its ending.

use std::fmt;

/// The kinds of recording that are measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// WAV: uncompressed, 8 to 32 bit whole numbers, or floating point.
    Wav,
    /// FLAC in its own container: compressed without loss.
    Flac,
    /// MP3 (MPEG audio layer III).
    Mp3,
    /// Vorbis in an Ogg container.
    Vorbis,
}

impl Kind {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Wav, Self::Flac, Self::Mp3, Self::Vorbis];

    /// One word, as it stands in files: `wav`, `flac`, `mp3`, `vorbis`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Wav => "wav",
            Self::Flac => "flac",
            Self::Mp3 => "mp3",
            Self::Vorbis => "vorbis",
        }
    }

    /// The kind of this [`word`](Self::word).
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }

    /// The endings (lower case, without the point) that such a file is expected to have, the usual
    /// one first.
    #[must_use]
    pub const fn endings(self) -> &'static [&'static str] {
        match self {
            Self::Wav => &["wav", "wave", "bwf"],
            Self::Flac => &["flac"],
            Self::Mp3 => &["mp3"],
            Self::Vorbis => &["ogg", "oga"],
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Wav => "WAV",
            Self::Flac => "FLAC",
            Self::Mp3 => "MP3",
            Self::Vorbis => "Ogg Vorbis",
        })
    }
}

/// What the first bytes of a file show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sniffed {
    /// A recording that can be measured. An MP3 begins at `start`; nought for the others.
    Known { kind: Kind, start: u64 },
    /// Sound, or a film with sound, of a kind that is not decoded; its name.
    Foreign(&'static str),
    /// No sound at all; what it seems to be.
    NotSound(&'static str),
}

/// Kinds known by the bytes at a fixed place.
const FOREIGN: &[(usize, &[u8], &str)] = &[
    (4, b"ftyp", "an MPEG-4 file (AAC or ALAC, as in .m4a and .mp4)"),
    (0, b"FORM", "an AIFF file"),
    (0, b"RF64", "a WAV file of the large kind (RF64)"),
    (0, b"BW64", "a WAV file of the large kind (BW64)"),
    (0, b"riff", "a WAV file of the large kind (Wave64)"),
    (0, &[0x30, 0x26, 0xB2, 0x75], "a Windows Media file"),
    (0, b"MThd", "a MIDI file, which has notes and no sound"),
    (0, b"caff", "a Core Audio file"),
    (0, &[0x1A, 0x45, 0xDF, 0xA3], "a Matroska or WebM file"),
    (0, b"wvpk", "a WavPack file"),
    (0, b"MAC ", "a Monkey's Audio file"),
    (0, b".snd", "an AU file"),
    (0, b"#!AMR", "an AMR file"),
];

/// What else is often taken for a recording.
const NOT_SOUND: &[(&[u8], &str)] = &[
    (b"%PDF", "a PDF document"),
    (&[0x89, b'P', b'N', b'G'], "a PNG picture"),
    (&[0xFF, 0xD8, 0xFF], "a JPEG picture"),
    (b"PK\x03\x04", "a zip archive"),
    (&[0x1F, 0x8B], "a gzip archive"),
];

/// Names what a file is from `head`, its first bytes (a few kilobytes, or all it has).
pub(crate) fn sniff(head: &[u8]) -> Sniffed {
    if head.starts_with(b"fLaC") {
        return Sniffed::Known { kind: Kind::Flac, start: 0 };
    }
    if head.starts_with(b"RIFF") {
        return match head.get(8..12) {
            Some(b"WAVE") => Sniffed::Known { kind: Kind::Wav, start: 0 },
            Some(b"AVI ") => Sniffed::Foreign("an AVI film"),
            _ => Sniffed::NotSound("a RIFF file without sound"),
        };
    }
    if head.starts_with(b"OggS") {
        return sniff_ogg(head);
    }
    if let Some((.., name)) = FOREIGN
        .iter()
        .find(|(at, mark, _)| head.get(*at..).is_some_and(|there| there.starts_with(mark)))
    {
        return Sniffed::Foreign(name);
    }
    if let Some((_, name)) = NOT_SOUND.iter().find(|(mark, _)| head.starts_with(mark)) {
        return Sniffed::NotSound(name);
    }
    if let Some(found) = crate::structure::mpeg::sniff(head) {
        return found;
    }
    if head.iter().all(|byte| *byte == 0) {
        return Sniffed::NotSound("nothing but zeros");
    }
    // A text may be cut inside a character where `head` ends.
    let text = match std::str::from_utf8(head) {
        Ok(_) => true,
        Err(error) => error.error_len().is_none(),
    };
    let control = head.iter().any(|byte| *byte < 0x20 && !byte.is_ascii_whitespace());
    Sniffed::NotSound(if text && !control { "a text" } else { "of no known kind" })
}

fn sniff_ogg(head: &[u8]) -> Sniffed {
    // The first page holds the first packet alone: a header of 27 bytes, then a table of lacing
    // values of which byte 26 gives the number (RFC 3533, section 6).
    let segments = head.get(26).map_or(0, |count| usize::from(*count));
    let packet = head.get(27 + segments..).unwrap_or_default();
    if packet.starts_with(b"\x01vorbis") {
        return Sniffed::Known { kind: Kind::Vorbis, start: 0 };
    }
    let named: &[(&[u8], &str)] = &[
        (b"OpusHead", "an Opus recording"),
        (b"Speex   ", "a Speex recording"),
        (b"\x7fFLAC", "FLAC in an Ogg container"),
        (b"\x80theora", "a Theora film"),
    ];
    let name = named.iter().find(|(mark, _)| packet.starts_with(mark));
    Sniffed::Foreign(name.map_or("an Ogg file without Vorbis in it", |(_, name)| name))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A first Ogg page with one packet of this beginning.
    fn ogg(packet: &[u8]) -> Vec<u8> {
        let mut page = b"OggS\0\x02".to_vec();
        page.resize(26, 0);
        page.extend([1, 30]);
        page.extend(packet);
        page
    }

    #[test]
    fn kinds_are_told_by_their_content() {
        let known = |kind| Sniffed::Known { kind, start: 0 };
        assert_eq!(sniff(b"RIFF\x24\0\0\0WAVEfmt "), known(Kind::Wav));
        assert_eq!(sniff(b"fLaC\0\0\0\x22"), known(Kind::Flac));
        assert_eq!(sniff(&ogg(b"\x01vorbis")), known(Kind::Vorbis));
        assert_eq!(sniff(&ogg(b"OpusHead")), Sniffed::Foreign("an Opus recording"));
        assert_eq!(sniff(&ogg(b"\x7fFLAC")), Sniffed::Foreign("FLAC in an Ogg container"));
        assert_eq!(sniff(b"OggS"), Sniffed::Foreign("an Ogg file without Vorbis in it"));
        assert!(matches!(sniff(b"\0\0\0\x20ftypM4A "), Sniffed::Foreign(_)));
        assert_eq!(sniff(b"RIFF\0\0\0\0AVI "), Sniffed::Foreign("an AVI film"));
    }

    #[test]
    fn what_is_no_sound_is_named() {
        assert_eq!(sniff("Tinker's Arch, Grænse".as_bytes()), Sniffed::NotSound("a text"));
        assert_eq!(sniff(b"Gr\xC3"), Sniffed::NotSound("a text"));
        assert_eq!(sniff(&[0; 4096]), Sniffed::NotSound("nothing but zeros"));
        assert_eq!(sniff(&[7, 200, 3]), Sniffed::NotSound("of no known kind"));
        assert_eq!(sniff(b"%PDF-1.4"), Sniffed::NotSound("a PDF document"));
    }

    #[test]
    fn a_word_names_its_kind() {
        for kind in Kind::ALL {
            assert_eq!(Kind::of_word(kind.word()), Some(kind));
        }
        assert_eq!(Kind::of_word("opus"), None);
    }
}

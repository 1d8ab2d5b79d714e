//! Every kind of recording, whole, cut off, damaged and mislabelled.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

mod common;

use common::{amplitude, data, measured, refused, tone, wav, whole_numbers};
use earth::Millis;
use sound::{Coding, Kind, Measurement, State};

/// Lengths are those that ffmpeg decodes, see `tests/data/README.md`.
const ENCODED: [(&str, Kind, u64); 4] = [
    ("tone.flac", Kind::Flac, 33_075),
    ("tone.mp3", Kind::Mp3, 33_075),
    ("tone-no-table.mp3", Kind::Mp3, 34_560),
    ("tone.ogg", Kind::Vorbis, 33_075),
];

fn names(measured: &Measurement, file: &str) -> Vec<&'static str> {
    measured.review(file).iter().map(|finding| finding.name).collect()
}

#[test]
fn lengths_are_those_of_another_decoder() {
    for (name, kind, frames) in ENCODED {
        let measured = measured(&data(name));
        assert_eq!((measured.kind, measured.frames), (kind, frames), "{name}");
        assert_eq!(measured.state, State::Whole, "{name}");
        assert_eq!((measured.rate.hertz(), measured.channels), (22_050, 1), "{name}");
        assert_eq!(names(&measured, name), [""; 0], "{name}");
    }
}

/// Loudness in LUFS and true peak in dBTP that ffmpeg 5.1.9 (its filter `ebur128=peak=true`)
/// measures on the recordings of `tests/data`; it prints a tenth.
const LEVELS: [(&str, f64, f64); 4] = [
    ("tone.flac", -16.6, -12.0),
    ("tone.mp3", -17.0, -12.4),
    ("tone-no-table.mp3", -17.0, -12.4),
    ("tone.ogg", -16.6, -11.6),
];

#[test]
fn levels_are_those_of_another_meter() {
    let files = LEVELS.iter().map(|(name, loudness, peak)| (*name, data(name), *loudness, *peak));
    // What is encoded without loss is what the FLAC file holds.
    let whole = [16, 24].map(|bits| ("wav", whole_numbers(bits), -16.6, -12.0));
    for (name, bytes, loudness, peak) in files.chain(whole) {
        let measured = measured(&bytes);
        let (found, top) = (measured.loudness.unwrap().get(), measured.true_peak.unwrap().get());
        assert!((found - loudness).abs() <= 0.1, "{name}: {found}");
        assert!((top - peak).abs() <= 0.1, "{name}: {top}");
    }
}

#[test]
fn silence_at_the_ends_is_found_in_every_kind() {
    let files = ENCODED.iter().map(|(name, ..)| (*name, data(name)));
    for (name, bytes) in files.chain([("wav", whole_numbers(16))]) {
        let measured = measured(&bytes);
        // The MP3 encoder puts 50 ms before the sound, and only a table tells of them.
        let before = if name == "tone-no-table.mp3" { 250 } else { 200 };
        // A lossy coding smears the ends of a tone over one of its blocks.
        let smear = if measured.coding == Coding::Lossy { 40 } else { 10 };
        assert!((measured.head.0 - before).abs() <= smear, "{name}: {:?}", measured.head);
        assert!((measured.tail.0 - 300).abs() <= smear, "{name}: {:?}", measured.tail);
    }
}

#[test]
fn samples_of_every_width() {
    for bits in [8, 16, 24, 32] {
        let found = measured(&whole_numbers(bits));
        assert_eq!(found.coding, Coding::Whole { bits });
        assert_eq!((found.frames, found.state), (33_075, State::Whole));
    }
    let float = measured(&wav(22_050, 33_075, &[&tone]));
    assert_eq!((float.coding, float.frames), (Coding::Float { bits: 32 }, 33_075));
}

#[test]
fn a_cut_wav_is_named_with_what_is_missing() {
    let whole = whole_numbers(16);
    for keep in [whole.len() - 1, whole.len() - 2, whole.len() / 2, 50] {
        let found = measured(&whole[..keep]);
        assert_eq!(found.state, State::CutOff, "{keep}");
        assert_eq!(found.frames, (keep as u64 - 44) / 2, "{keep}");
        assert_eq!(found.stated_frames, Some(33_075));
    }
    let half = measured(&whole[..44 + 33_076]);
    let finding = half.review("arch.wav").remove(0);
    assert_eq!(finding.headline, "it is cut off: 0.8 s of 1.5 s are there");
}

#[test]
fn a_cut_recording_of_every_kind_is_named() {
    for (name, ..) in ENCODED {
        let whole = data(name);
        let length = measured(&whole).frames;
        // The tables that a Vorbis decoder needs are most of this short recording.
        let cuts = if name == "tone.ogg" { [75, 85, 95, 99] } else { [30, 50, 75, 97] };
        for percent in cuts {
            let found = measured(&whole[..whole.len() * percent / 100]);
            assert_eq!(found.state, State::CutOff, "{name} at {percent} %");
            assert!(found.frames < length, "{name} at {percent} %: {}", found.frames);
            assert!(found.frames > 0, "{name} at {percent} %");
        }
    }
}

#[test]
fn an_mp3_with_a_table_cut_between_two_frames_is_named() {
    // Frames of 32 kbit/s at 22,050 Hz have 104 or 105 bytes; the walk finds where.
    let whole = data("tone.mp3");
    let at = (2000..whole.len()).find(|at| whole[*at] == 0xFF && whole[at + 1] == 0xF3).unwrap();
    let found = measured(&whole[..at]);
    assert_eq!(found.state, State::CutOff);
    assert!(found.stated_frames.unwrap() > found.frames);
}

#[test]
fn an_mp3_whose_table_lies_is_measured_to_its_end() {
    let mut lying = data("tone.mp3");
    let table = lying.windows(4).position(|mark| mark == b"Info" || mark == b"Xing").unwrap();
    lying[table + 8..table + 12].copy_from_slice(&10_u32.to_be_bytes());
    let found = measured(&lying);
    assert!(found.frames > 33_000, "{}", found.frames);
    assert!(found.stated_frames.unwrap() < 6_000);
    assert_eq!(names(&found, "a.mp3"), ["recording-header"]);
}

#[test]
fn a_wav_that_was_never_closed_is_read_all_the_same() {
    let mut bytes = whole_numbers(16);
    bytes[4..8].fill(0);
    bytes[40..44].fill(0);
    let found = measured(&bytes);
    assert_eq!((found.state, found.frames), (State::NeverClosed, 33_075));
    assert_eq!(names(&found, "a.wav"), ["recording-never-closed"]);
}

#[test]
fn a_wav_that_was_streamed_has_no_length_and_is_whole() {
    let mut bytes = whole_numbers(16);
    bytes[4..8].fill(0xFF);
    bytes[40..44].fill(0xFF);
    let found = measured(&bytes);
    assert_eq!((found.state, found.frames, found.stated_frames), (State::Whole, 33_075, None));
}

#[test]
fn a_byte_that_fell_over_in_a_flac_is_found() {
    let mut bytes = data("tone.flac");
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0x10;
    assert_eq!(measured(&bytes).state, State::Damaged);
}

#[test]
fn a_flac_that_was_streamed_is_whole_and_cut_off_is_found_all_the_same() {
    let mut streamed = data("tone.flac");
    // Neither length nor digest, as an encoder leaves them that cannot come back to its header.
    streamed[21] &= 0xF0;
    streamed[22..42].fill(0);
    let found = measured(&streamed);
    assert_eq!((found.state, found.frames, found.stated_frames), (State::Whole, 33_075, None));
    for percent in [40, 70, 99] {
        let cut = &streamed[..streamed.len() * percent / 100];
        assert_eq!(measured(cut).state, State::CutOff, "{percent} %");
    }
}

#[test]
fn pages_missing_from_an_ogg_are_found() {
    let bytes = data("tone.ogg");
    let pages: Vec<usize> =
        (0..bytes.len() - 4).filter(|at| bytes[*at..].starts_with(b"OggS")).collect();
    let (from, until) = (pages[pages.len() - 2], pages[pages.len() - 1]);
    let mut without = bytes[..from].to_vec();
    without.extend(&bytes[until..]);
    assert_eq!(measured(&without).state, State::Damaged, "{pages:?}");
}

#[test]
fn recordings_one_behind_the_other_in_an_ogg_are_refused() {
    let mut chained = data("tone.ogg");
    chained.extend(data("tone.ogg"));
    let finding = refused(&chained).finding("a.ogg");
    let headline = "this Ogg Vorbis file holds several recordings one behind the other";
    assert_eq!((finding.name, finding.headline.as_str()), ("recording-broken", headline));
}

#[test]
fn titles_before_and_behind_an_mp3_are_no_sound() {
    let mut tagged = b"ID3\x04\0\0\0\0\x08\0".to_vec();
    tagged.resize(10 + 1024, 0);
    tagged.extend(data("tone.mp3"));
    tagged.extend(b"TAG");
    tagged.resize(tagged.len() + 125, b' ');
    let found = measured(&tagged);
    assert_eq!((found.frames, found.state), (33_075, State::Whole));
}

#[test]
fn what_is_not_decoded_is_refused_by_name() {
    let refusal = |bytes: &[u8]| {
        let finding = refused(bytes).finding("a.wav");
        assert!(!finding.help.is_empty());
        (finding.name, finding.headline)
    };
    let kind = "recording-kind";
    let opus = refusal(&data("tone.opus"));
    assert_eq!(opus, (kind, "this is an Opus recording, which is not decoded here".to_owned()));
    assert!(refusal(&data("tone.aac")).1.contains("AAC"));
    assert_eq!(refusal(b"\0\0\0\x20ftypM4A \0\0\0\0").0, kind);
    let mut adpcm = whole_numbers(16);
    adpcm[20] = 2;
    assert!(refusal(&adpcm).1.contains("ADPCM"));
    assert_eq!(refusal(b"Dear colleague, the file has moved.").0, "not-a-recording");
    assert_eq!(refusal(&[]).0, "not-a-recording");
    let mut no_channels = whole_numbers(16);
    no_channels[22] = 0;
    let (name, headline) = refusal(&no_channels);
    assert_eq!(name, "recording-broken");
    assert_eq!(headline, "this WAV file says that it has no channels");
    assert_eq!(refusal(&wav(96, 960, &[&|_| 0.5])).0, "recording-unusual");
}

#[test]
fn what_an_editor_should_hear_of_is_told() {
    let loud = |frame: u64| if frame % 100 < 50 { 1.0 } else { -1.0 };
    assert_eq!(names(&measured(&wav(48_000, 48_000, &[&loud])), "a.wav"), ["recording-clipped"]);
    let quiet = |_: u64| amplitude(-61.0);
    assert_eq!(names(&measured(&wav(48_000, 48_000, &[&quiet])), "a.wav"), ["recording-silent"]);
    let audible = |_: u64| amplitude(-59.0);
    assert_eq!(names(&measured(&wav(48_000, 48_000, &[&audible])), "a.wav"), [""; 0]);
    assert_eq!(names(&measured(&wav(8_000, 8_000, &[&audible])), "a.wav"), ["recording-rate"]);
    let six: [&dyn Fn(u64) -> f64; 6] = [&audible; 6];
    assert_eq!(names(&measured(&wav(48_000, 4_800, &six)), "a.wav"), ["recording-channels"]);
    assert_eq!(names(&measured(&data("tone.mp3")), "takes/arch.WAV"), ["recording-ending"]);
    let late = |frame: u64| if frame > 48_000 { 0.1 } else { 0.0 };
    let late = measured(&wav(48_000, 96_000, &[&late]));
    assert_eq!((late.head, late.tail), (Millis(1000), Millis(0)));
    assert_eq!(names(&late, "a.wav"), ["recording-silence"]);
    let odd = |frame: u64| if frame == 500 { f64::NAN } else { 0.1 };
    let odd = measured(&wav(48_000, 48_000, &[&odd]));
    assert_eq!((odd.not_numbers, names(&odd, "a.wav")), (1, vec!["recording-damaged"]));
}

#[test]
fn a_recording_too_short_for_loudness_has_none() {
    let short = measured(&wav(48_000, 4_800, &[&|_| 0.1]));
    assert_eq!((short.loudness, short.length()), (None, Millis(100)));
}

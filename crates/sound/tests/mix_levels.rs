//! Levels through the mixer: reference tones, voices, peaks.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

mod common;

use common::mixing::{
    bed, level, noise, opener, prepared, render, rendered, score, sine, speech, voice,
};
use common::{amplitude, wav};
use earth::Millis;
use proptest::prelude::*;
use sound::mix::{Bits, Brought, Frame, Level, Mixer, RATE, Side, WavFile};
use sound::{Dbtp, Decibels, Lufs};

const SECOND: u64 = RATE as u64;

/// Pieces of time: seconds, and the level in them.
type Pieces = [(f64, f64)];

fn near(found: f64, expected: f64, tolerance: f64, case: &str) {
    assert!((found - expected).abs() <= tolerance, "{case}: {found}, expected {expected}");
}

fn loudness(brought: &Brought) -> f64 {
    brought.loudness.unwrap().get()
}

/// EBU Tech 3341 (version 3 of 2016, the same in version 4 of 2023), table 1, cases 1 to 3 and 5:
/// sines of 1 kHz on both channels, levels their peaks in dBFS, -23.0 LUFS (case 2: -33.0) within
/// 0.1 LU. A bed alone comes out as it went in.
#[test]
fn the_published_signals_pass_through_as_they_are() {
    let cases: [(&str, &Pieces, f64); 4] = [
        ("case 1", &[(20.0, -23.0)], -23.0),
        ("case 2", &[(20.0, -33.0)], -33.0),
        ("case 3", &[(10.0, -36.0), (60.0, -23.0), (10.0, -36.0)], -23.0),
        ("case 5", &[(20.0, -26.0), (20.1, -20.0), (20.0, -26.0)], -23.0),
    ];
    for (case, pieces, expected) in cases {
        let seconds: f64 = pieces.iter().map(|(length, _)| length).sum();
        let tone = sine(RATE, 1000.0, 0.0);
        let signal = |frame: u64| {
            let (mut until, mut peak) = (0.0, 0.0);
            for (length, here) in pieces {
                if frame as f64 >= until * f64::from(RATE) {
                    peak = amplitude(*here);
                }
                until += length;
            }
            peak * tone(frame)
        };
        let frames = (seconds * f64::from(RATE)) as u64;
        let source = wav(RATE, frames, &[&signal, &signal]);
        let mut score = score((seconds * 1000.0) as i64);
        score.beds = vec![bed(0, 0, (seconds * 1000.0) as i64)];
        let (heard, whole) = render(score, std::slice::from_ref(&source));
        near(whole.loudness.unwrap().get(), expected, 0.1, case);
        assert_eq!(whole.limited, None, "{case}");
        // To the last bit, where nothing is to be changed.
        let decoded = hound::WavReader::new(&source[..]).unwrap().into_samples::<f32>();
        let decoded: Vec<f32> = decoded.map(Result::unwrap).collect();
        assert!(heard.as_flattened() == &decoded[..], "{case}");
    }
}

/// ITU-R BS.1770-4, annex 1: a sine of 997 Hz at 0 dBFS in one channel reads -3.01 LKFS; on both
/// channels, as one channel is heard, twice the power: 3.01 LU more.
#[test]
fn one_channel_is_measured_as_it_is_heard() {
    let tone = sine(RATE, 997.0, -20.0);
    let mono = wav(RATE, 10 * SECOND, &[&tone]);
    let mut score = score(10_000);
    score.voices = vec![voice(0, 0, 10_000)];
    let sources = [mono];
    let ready = prepared(score.clone(), &sources);
    let brought = *ready.voices().next().unwrap();
    near(brought.found.unwrap().get(), -20.0, 0.05, "found");
    near(brought.gain.get(), 2.0, 0.05, "gain");
    let (frames, whole) = render(score, &sources);
    near(whole.loudness.unwrap().get(), -18.0, 0.06, "heard");
    assert!(frames.iter().all(|[left, right]| left.to_bits() == right.to_bits()));
}

#[test]
fn voices_are_brought_within_a_unit_of_the_target_whatever_they_are() {
    let seconds = 6;
    let mut sources = vec![];
    for (rate, peak) in [(48_000, -1.0), (44_100, -25.0), (22_050, -12.0), (16_000, -40.0)] {
        let signal = speech(rate, u64::from(rate), amplitude(peak));
        sources.push(wav(rate, seconds * u64::from(rate), &[&signal]));
    }
    let stereo = speech(RATE, 5, amplitude(-9.0));
    let quieter = |frame: u64| 0.3 * stereo(frame);
    sources.push(wav(RATE, seconds * SECOND, &[&stereo, &quieter]));
    let steady = sine(RATE, 300.0, -30.0);
    sources.push(wav(RATE, seconds * SECOND, &[&steady]));

    let mut limited = 0;
    for number in 0..sources.len() {
        let mut score = score(6_000);
        score.voices = vec![voice(number, 0, 6_000)];
        let ready = prepared(score.clone(), &sources);
        let brought = *ready.voices().next().unwrap();
        // What the limiter takes is made up for.
        near(loudness(&brought), -18.0, 0.15, &format!("voice {number} as told"));
        let (_, whole) = render(score, &sources);
        near(whole.loudness.unwrap().get(), -18.0, 1.0, &format!("voice {number} as heard"));
        near(whole.loudness.unwrap().get(), loudness(&brought), 0.15, "told and heard");
        assert!(whole.true_peak.unwrap().get() <= -3.0, "voice {number}: {whole:?}");
        assert!(brought.true_peak.unwrap().get() <= -3.0, "voice {number}: {brought:?}");
        limited += usize::from(brought.limited.is_some());
    }
    assert!((1..sources.len()).contains(&limited), "the limiter worked for {limited}");
}

#[test]
fn what_has_no_loudness_is_left_as_it_is_and_says_so() {
    let silence = |_: u64| 0.0;
    let short = sine(RATE, 500.0, -10.0);
    let sources = [wav(RATE, SECOND, &[&silence]), wav(RATE, SECOND / 5, &[&short])];
    let mut score = score(1_000);
    score.voices = vec![voice(0, 0, 1_000), voice(1, 0, 200)];
    let ready = prepared(score, &sources);
    for brought in ready.voices() {
        assert_eq!((brought.found, brought.loudness), (None, None));
        assert_eq!(brought.gain, Decibels::of(0.0));
    }
}

/// Two voices and loud music at once go far above full scale; what comes out does not.
#[test]
fn the_peak_holds_for_the_whole_as_another_meter_finds_it() {
    let music = noise(3, 0.9);
    let one = speech(RATE, 1, 0.9);
    let other = sine(RATE, 11_000.0, -6.0);
    let sources = [
        wav(RATE, 5 * SECOND, &[&music, &one]),
        wav(RATE, 5 * SECOND, &[&one]),
        wav(44_100, 5 * 44_100, &[&other]),
    ];
    for peak in [-3.0, -1.0, -9.0] {
        let mut score = score(5_000);
        score.peak = Dbtp::new(peak).unwrap();
        score.beds = vec![bed(0, 0, 5_000)];
        score.voices = vec![voice(1, 0, 5_000), voice(2, 1_000, 3_000)];
        let (_, whole) = render(score, &sources);
        assert!(whole.limited.unwrap().get() > 1.0);
        let found = whole.true_peak.unwrap().get();
        assert!(found <= peak, "{found} above {peak}");
        assert!(found > peak - 1.0, "{found}, which is less than was allowed");
    }
}

/// The same, looked for in eight places by a sinc over 64 samples. Twelve samples, as the standard's
/// own filter has, see too little of what lies near half the sampling rate, so the noise has none.
#[test]
fn the_peak_holds_as_a_finer_meter_finds_it() {
    let grain = noise(3, 1.0);
    let music = |frame: u64| {
        let near = (frame..frame + 4).map(&grain).zip([0.2, 0.6, 0.6, 0.2]);
        near.map(|(sample, weight)| sample * weight).sum::<f64>()
    };
    let one = sine(RATE, 5_000.0, -2.0);
    let sources = [wav(RATE, 3 * SECOND, &[&music, &one])];
    let mut score = score(3_000);
    score.beds = vec![bed(0, 0, 3_000)];
    let (frames, whole) = render(score, &sources);
    assert!(whole.limited.unwrap().get() > 1.0);
    let finest = finest_peak(&frames);
    assert!((-3.6..=-2.9).contains(&finest), "{finest}");
}

/// True peak in dB of both channels, looked for in eight places between two samples.
fn finest_peak(frames: &[Frame]) -> f64 {
    let weights: Vec<Vec<f64>> = (0..8)
        .map(|phase| {
            let place = 31.0 + f64::from(phase) / 8.0;
            (0..64)
                .map(|tap| {
                    let distance = f64::from(tap) - place;
                    let angle = std::f64::consts::PI * distance;
                    let sinc = if distance == 0.0 { 1.0 } else { libm::sin(angle) / angle };
                    sinc * (0.5 + 0.5 * libm::cos(angle / 33.0))
                })
                .collect()
        })
        .collect();
    let mut peak = 0.0_f64;
    for channel in 0..2 {
        for piece in frames.windows(64).filter(|piece| piece[31][channel].abs() > 0.3) {
            for weights in &weights {
                let sum: f64 = piece
                    .iter()
                    .zip(weights)
                    .map(|(frame, weight)| f64::from(frame[channel]) * weight)
                    .sum();
                peak = peak.max(sum.abs());
            }
        }
    }
    20.0 * libm::log10(peak)
}

/// EBU Tech 3341, table 1, cases 15, 17 and 18: sines whose samples miss their peaks, true peak
/// -6.0 dBTP within +0.2 and -0.4 dB. Held to less than that, they are held.
#[test]
fn peaks_between_the_samples_are_seen() {
    for (case, divisor, degrees) in [(15, 4.0, 0.0), (17, 6.0, 60.0), (18, 8.0, 67.5)] {
        let signal = |frame: u64| {
            let from_end = frame.min(SECOND - 1 - frame) as f64 / 480.0;
            let angle = std::f64::consts::TAU * (frame as f64 / divisor + degrees / 360.0);
            0.5 * from_end.min(1.0) * libm::sin(angle)
        };
        let sources = [wav(RATE, SECOND, &[&signal, &signal])];
        let mut score = score(1_000);
        score.beds = vec![bed(0, 0, 1_000)];
        let (_, whole) = render(score.clone(), &sources);
        let found = whole.true_peak.unwrap().get();
        assert!((-6.4..=-5.8).contains(&found), "case {case}: {found}");
        assert_eq!(whole.limited, None);
        score.peak = Dbtp::new(-8.0).unwrap();
        let (_, whole) = render(score, &sources);
        let found = whole.true_peak.unwrap().get();
        assert!((-8.4..=-8.0).contains(&found), "case {case}: {found}");
    }
}

#[test]
fn resampling_keeps_frequency_level_and_time() {
    for rate in [8_000, 11_025, 16_000, 22_050, 32_000, 44_100, 96_000, 37_123] {
        let tone = sine(rate, 1000.0, -20.0);
        let sources = [wav(rate, 2 * u64::from(rate), &[&tone])];
        let mut score = score(2_000);
        score.beds = vec![bed(0, 0, 2_000)];
        let (frames, _) = render(score, &sources);
        near(level(&frames, 0.1, 1.9), -23.01, 0.02, &format!("{rate} Hz"));
        // Sample for sample the same sine: the same frequency, and no delay.
        let same = sine(RATE, 1000.0, -20.0);
        for (frame, [left, _]) in frames.iter().enumerate().skip(4_800).take(86_400) {
            near(f64::from(*left), same(frame as u64), 2e-4, &format!("{rate} Hz, {frame}"));
        }
    }
}

#[test]
fn six_channels_become_two_and_low_effects_are_left_out() {
    let silence = |_: u64| 0.0;
    let tone = sine(RATE, 400.0, -20.0);
    let at = |place: usize| {
        let mut channels: Vec<&dyn Fn(u64) -> f64> = vec![&silence; 6];
        channels[place] = &tone;
        let mut bytes = wav(RATE, SECOND, &channels);
        // Front left, right and centre, low effects, back left and right.
        bytes[40..44].copy_from_slice(&0x3F_u32.to_le_bytes());
        let mut score = score(1_000);
        score.beds = vec![bed(0, 0, 1_000)];
        let (frames, _) = render(score, &[bytes]);
        let other: Vec<Frame> = frames.iter().map(|[left, right]| [*right, *left]).collect();
        [level(&frames, 0.1, 0.9), level(&other, 0.1, 0.9)]
    };
    let expected = [(-23.01, None), (-26.02, Some(-26.02)), (-26.02, None)];
    for (place, (left, right)) in [0, 2, 4].into_iter().zip(expected) {
        let [found_left, found_right] = at(place);
        near(found_left, left, 0.02, &format!("left of channel {place}"));
        match right {
            Some(right) => near(found_right, right, 0.02, &format!("right of channel {place}")),
            None => assert_eq!(found_right, f64::NEG_INFINITY),
        }
    }
    assert_eq!(at(3), [f64::NEG_INFINITY; 2]);
}

/// Each language on a side of its own, with the music on both; heard on both ears it is as loud as
/// when everything is together.
#[test]
fn two_languages_apart_are_each_as_loud_as_one_together() {
    let (english, german) = (sine(RATE, 400.0, -30.0), sine(RATE, 700.0, -12.0));
    let left_only = |_: u64| 0.0;
    let music = sine(RATE, 1500.0, -40.0);
    let sources = [
        wav(RATE, 4 * SECOND, &[&english]),
        wav(RATE, 4 * SECOND, &[&german]),
        wav(RATE, 4 * SECOND, &[&music, &left_only]),
    ];
    let mut apart = score(4_000);
    apart.apart = true;
    apart.voices = vec![voice(0, 0, 4_000), voice(1, 0, 4_000)];
    apart.voices[0].side = Side::Left;
    apart.voices[1].side = Side::Right;
    apart.beds = vec![bed(2, 0, 4_000)];
    let (frames, whole) = render(apart, &sources);
    near(whole.loudness.unwrap().get(), -18.0, 0.2, "heard");
    let side = |channel: usize| -> Vec<Frame> { frames.iter().map(|f| [f[channel]; 2]).collect() };
    for channel in 0..2 {
        // A sine's loudness on both ears is its peak level, but for what the curve of the ear does
        // between 400 and 1000 Hz.
        near(level(&side(channel), 0.5, 3.5), -21.0, 1.0, &format!("side {channel}"));
    }
    let mut together = score(4_000);
    together.voices = vec![voice(0, 0, 4_000)];
    let (alone, _) = render(together, &sources);
    near(level(&side(0), 0.5, 3.5), level(&alone, 0.5, 3.5), 0.05, "as together");
}

#[test]
fn what_is_written_is_read_by_others() {
    let tone = sine(RATE, 997.0, -15.0);
    let sources = [wav(RATE, 2 * SECOND, &[&tone])];
    let mut score = score(2_500);
    score.voices = vec![voice(0, 0, 2_000)];
    for bits in [Bits::Sixteen, Bits::TwentyFour] {
        let mut mixer = Mixer::new(prepared(score.clone(), &sources), opener(&sources));
        let mut bytes = std::io::Cursor::new(vec![]);
        let mut file = WavFile::begin(&mut bytes, bits, mixer.length()).unwrap();
        let mut block = [[0.0; 2]; 1000];
        let mut all = vec![];
        loop {
            let filled = mixer.fill(&mut block).unwrap();
            if filled == 0 {
                break;
            }
            file.write(&block[..filled]).unwrap();
            all.extend_from_slice(&block[..filled]);
        }
        file.finish().unwrap();
        let bytes = bytes.into_inner();
        // hound reads whole numbers, symphonia measures.
        let reader = hound::WavReader::new(&bytes[..]).unwrap();
        let spec = reader.spec();
        assert_eq!((spec.channels, spec.sample_rate), (2, 48_000));
        assert_eq!(spec.bits_per_sample, bits.number());
        let full = f64::from(1_u32 << (bits.number() - 1));
        let read: Vec<f64> =
            reader.into_samples::<i32>().map(|sample| f64::from(sample.unwrap()) / full).collect();
        assert_eq!(read.len(), 2 * all.len());
        let step = if bits == Bits::Sixteen { 1.5 } else { 0.5 } / full;
        for (read, sample) in read.iter().zip(all.as_flattened()) {
            assert!((read - f64::from(*sample)).abs() <= step + 1e-12);
        }
        let measured = common::measured(&bytes);
        assert_eq!(measured.length(), Millis(2_500));
        assert_eq!(measured.state, sound::State::Whole);
        let heard = mixer.heard();
        near(measured.loudness.unwrap().get(), heard.loudness.unwrap().get(), 0.1, "read");
        near(measured.true_peak.unwrap().get(), heard.true_peak.unwrap().get(), 0.02, "read");
        assert!(measured.tail.0 >= 490, "silence stays silent");
        assert!(read[2 * 96_100..].iter().all(|sample| *sample == 0.0));
    }
}

#[test]
fn a_file_that_its_header_cannot_describe_is_refused() {
    for (bits, most) in [(Bits::Sixteen, 1_073_741_791), (Bits::TwentyFour, 715_827_861)] {
        let begin = |frames| WavFile::begin(std::io::Cursor::new(vec![]), bits, frames);
        assert!(begin(most).is_ok());
        match begin(most + 1) {
            Err(sound::mix::NotWritten::TooLong { most: told }) => assert_eq!(told, most),
            _ => panic!("not refused"),
        }
    }
}

/// What is not played, and the words for it.
#[test]
fn bad_sources_are_refused_by_their_number_and_reason() {
    let tone = sine(RATE, 500.0, -20.0);
    let good = wav(RATE, SECOND, &[&tone]);
    for (bytes, name) in [
        (b"this is no sound".to_vec(), "not-a-recording"),
        (vec![], "not-a-recording"),
        (common::data("tone.opus"), "recording-kind"),
        (good[..30].to_vec(), "recording-broken"),
    ] {
        let sources = [good.clone(), bytes];
        let mut with = score(1_000);
        with.voices = vec![voice(1, 0, 1_000), voice(0, 0, 1_000), voice(1, 0, 900)];
        with.beds = vec![bed(1, 0, 1_000), bed(7, 0, 1_000)];
        let failed = sound::mix::prepare(with, &mut opener(&sources), || {}).unwrap_err();
        let told: Vec<_> = failed.iter().map(|one| one.source).collect();
        assert_eq!(told, [1, 7], "each once");
        assert_eq!(failed[0].refusal.finding("b").name, name);
        assert_eq!(failed[1].refusal.finding("b").name, "recording-unreadable");
    }
}

/// One that is cut off is played as far as it goes.
#[test]
fn a_cut_off_source_sounds_as_far_as_it_goes() {
    let tone = sine(RATE, 500.0, -20.0);
    let whole = wav(RATE, 2 * SECOND, &[&tone]);
    let mut score = score(2_000);
    score.beds = vec![bed(0, 0, 2_000)];
    let (frames, _) = render(score, &[whole[..whole.len() / 2].to_vec()]);
    near(level(&frames, 0.1, 0.9), -23.01, 0.02, "its beginning");
    assert_eq!(level(&frames, 1.1, 2.0), f64::NEG_INFINITY);
}

#[test]
fn every_kind_of_recording_sounds() {
    for name in ["tone.flac", "tone.mp3", "tone.ogg"] {
        let mut score = score(1_500);
        score.voices = vec![voice(0, 0, 1_500)];
        score.voices[0].level = Level::Loudness(Lufs::new(-23.0).unwrap());
        let (frames, whole) = render(score, &[common::data(name)]);
        near(whole.loudness.unwrap().get(), -23.0, 0.2, name);
        assert!(level(&frames, 0.0, 0.15) < -60.0, "{name}");
        assert!(level(&frames, 0.3, 1.1) > -28.0, "{name}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    /// The same frames come out to the last bit, whatever the blocks.
    #[test]
    fn blocks_do_not_matter(
        blocks in proptest::collection::vec(1_usize..3_000, 1..6),
        starts in proptest::collection::vec(0_i64..1_500, 3),
        rate in prop_oneof![Just(48_000_u32), Just(44_100), Just(8_000)],
    ) {
        let one = speech(rate, 1, 0.9);
        let music = noise(2, 0.4);
        let sources =
            [wav(rate, u64::from(rate), &[&one]), wav(RATE, 2 * SECOND, &[&music, &one])];
        let mut score = score(2_000);
        score.voices = vec![voice(0, starts[0], 600), voice(0, starts[1], 1_000)];
        score.beds = vec![bed(1, starts[2], 1_700)];
        score.beds[0].fade_out = Millis(200);
        score.ducking.spans = vec![common::mixing::span(starts[0], starts[0] + 600)];
        let (whole, _) = rendered(score.clone(), &sources, &[1_000_000]);
        let (pieces, _) = rendered(score, &sources, &blocks);
        prop_assert!(whole == pieces);
    }
}

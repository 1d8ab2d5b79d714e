//! Scores and rendering for the tests of the mixer.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]
#![allow(dead_code, reason = "each test file uses some of it")]

use std::f64::consts::TAU;
use std::io::{self, Cursor};

use earth::Millis;
use sound::mix::{
    Bed, Ducking, Frame, Heard, Level, Mixer, Prepared, RATE, Score, Side, Source, Span, Stretch,
    Voice, prepare,
};
use sound::{Dbtp, Decibels, Lufs};

/// Opens the recordings by their place.
pub(crate) fn opener(
    sources: &[Vec<u8>],
) -> impl FnMut(usize) -> io::Result<Box<dyn Source>> + use<> {
    let sources = sources.to_vec();
    move |number| {
        let bytes = sources.get(number).cloned().ok_or(io::ErrorKind::NotFound)?;
        Ok(Box::new(Cursor::new(bytes)) as Box<dyn Source>)
    }
}

/// Nothing sounds yet; ducking 12 dB, 0.3 s, 1.5 s; peak -3 dBTP.
pub(crate) fn score(length: i64) -> Score {
    Score {
        length: Millis(length),
        voices: vec![],
        beds: vec![],
        ducking: Ducking {
            depth: Decibels::of(12.0),
            attack: Millis(300),
            release: Millis(1500),
            spans: vec![],
        },
        peak: Dbtp::new(-3.0).unwrap(),
        apart: false,
    }
}

/// A voice to -18 LUFS, whole.
pub(crate) fn voice(source: usize, at: i64, length: i64) -> Voice {
    Voice {
        source,
        level: Level::Loudness(Lufs::new(-18.0).unwrap()),
        side: Side::Both,
        stretches: vec![stretch(at, 0, length)],
        ducked: vec![],
    }
}

pub(crate) fn stretch(at: i64, from: i64, length: i64) -> Stretch {
    Stretch { at: Millis(at), from: Millis(from), length: Millis(length) }
}

/// A bed as it is, without fades.
pub(crate) fn bed(source: usize, at: i64, until: i64) -> Bed {
    Bed {
        source,
        level: Level::Gain(Decibels::of(0.0)),
        at: Millis(at),
        until: Millis(until),
        fade_in: Millis(0),
        fade_out: Millis(0),
        repeat: None,
        pauses: vec![],
    }
}

pub(crate) fn span(from: i64, until: i64) -> Span {
    Span { from: Millis(from), until: Millis(until) }
}

pub(crate) fn prepared(score: Score, sources: &[Vec<u8>]) -> Prepared {
    match prepare(score, &mut opener(sources), || {}) {
        Ok(prepared) => prepared,
        Err(failed) => panic!("{failed:?}"),
    }
}

/// Renders in blocks of these sizes, over and over.
pub(crate) fn rendered(score: Score, sources: &[Vec<u8>], blocks: &[usize]) -> (Vec<Frame>, Heard) {
    let mut mixer = Mixer::new(prepared(score, sources), opener(sources));
    let mut all = Vec::new();
    for size in blocks.iter().cycle() {
        let mut block = vec![[9.0, 9.0]; *size];
        let filled = mixer.fill(&mut block).unwrap_or_else(|failed| panic!("{failed:?}"));
        all.extend_from_slice(&block[..filled]);
        if filled < *size {
            break;
        }
    }
    assert_eq!(all.len() as u64, mixer.length());
    (all, mixer.heard())
}

pub(crate) fn render(score: Score, sources: &[Vec<u8>]) -> (Vec<Frame>, Heard) {
    rendered(score, sources, &[4096])
}

/// A sine of this frequency, its peak in dBFS, sampled at this rate.
pub(crate) fn sine(rate: u32, frequency: f64, peak: f64) -> impl Fn(u64) -> f64 {
    let amplitude = super::amplitude(peak);
    move |frame| amplitude * libm::sin(TAU * frequency * frame as f64 / f64::from(rate))
}

/// Level of the left channel from one time to another, in dB, as the root mean square; a sine of
/// full scale is at -3.01.
pub(crate) fn level(frames: &[Frame], from: f64, until: f64) -> f64 {
    let place = |seconds: f64| (seconds * f64::from(RATE)).round() as usize;
    let piece = &frames[place(from)..place(until)];
    let power: f64 = piece.iter().map(|[left, _]| f64::from(*left) * f64::from(*left)).sum();
    10.0 * libm::log10(power / piece.len() as f64)
}

/// The greatest step from one sample of the left channel to the next.
pub(crate) fn greatest_step(frames: &[Frame]) -> f64 {
    let steps = frames.windows(2).map(|pair| f64::from((pair[1][0] - pair[0][0]).abs()));
    steps.fold(0.0, f64::max)
}

/// Noise, the same for the same seed, evenly spread from -`peak` to `peak`.
pub(crate) fn noise(seed: u64, peak: f64) -> impl Fn(u64) -> f64 {
    move |frame| {
        let mut mixed = (seed ^ frame.wrapping_mul(0x9E37_79B9_7F4A_7C15)).wrapping_add(frame);
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^= mixed >> 31;
        peak * ((mixed >> 11) as f64 / (1_u64 << 52) as f64 - 1.0)
    }
}

/// A little like speech: bursts of noise with a few high peaks, and pauses between.
pub(crate) fn speech(rate: u32, seed: u64, peak: f64) -> impl Fn(u64) -> f64 {
    let grain = noise(seed, 1.0);
    move |frame| {
        let time = frame as f64 / f64::from(rate);
        let word = (time * 2.3 + seed as f64).fract();
        let swell = if word < 0.7 { libm::sin(word / 0.7 * std::f64::consts::PI) } else { 0.0 };
        let buzz = libm::sin(TAU * 140.0 * time);
        let spike = if frame % u64::from(rate / 4) < 12 { 1.0 } else { 0.0 };
        peak * swell * (0.2 * buzz * buzz * buzz + 0.15 * grain(frame) + 0.65 * spike)
    }
}

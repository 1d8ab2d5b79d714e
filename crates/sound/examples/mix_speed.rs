//! How fast a flight is mixed, on one core.
//!
//! ```text
//! cargo run --release -p fulmar-sound --example mix_speed [-- MINUTES [VOICE MUSIC]]
//! ```
//!
//! An hour, unless told otherwise, of what a long flight has: 25 s of voice each minute, of which
//! one in three needs the limiter and one in ten is paused; music all the time, ducked, each piece
//! ten minutes long made of a loop, crossfaded to the next; all of it at 44.1 kHz, so that it is
//! resampled; written as 24 bit. The time is that of everything: measuring each source, mixing,
//! measuring the whole, and writing. Files stand for the made-up voice and music where they are
//! named.

#![allow(clippy::print_stdout, reason = "a program that says what it measures")]

use std::f64::consts::TAU;
use std::io::{self, Cursor};
use std::time::Instant;

use earth::Millis;
use sound::mix::{
    Bed, Bits, Ducking, Level, Mixer, Repeat, Score, Side, Source, Span, Stretch, Voice, WavFile,
    prepare,
};
use sound::{Dbtp, Decibels, Lufs};

/// Voices that differ, so that each has to be measured: one for each minute of an hour.
const VOICES: usize = 60;
/// Pieces of music.
const PIECES: usize = 4;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut words = std::env::args().skip(1);
    let minutes: i64 = words.next().map_or(Ok(60), |word| word.parse())?;
    let sources: Vec<Vec<u8>> = match (words.next(), words.next()) {
        (Some(voice), Some(music)) => {
            let (voice, music) = (std::fs::read(voice)?, std::fs::read(music)?);
            (0..VOICES).map(|_| voice.clone()).chain((0..PIECES).map(|_| music.clone())).collect()
        }
        _ => (0..VOICES).map(made_up_voice).chain((0..PIECES).map(made_up_music)).collect(),
    };
    let mut open = |number: usize| -> io::Result<Box<dyn Source>> {
        let bytes = sources.get(number).cloned().ok_or(io::ErrorKind::NotFound)?;
        Ok(Box::new(Cursor::new(bytes)))
    };
    let failed = |failed: sound::mix::Failed| failed.refusal.finding("a source").headline;
    let first =
        |all: Vec<sound::mix::Failed>| all.into_iter().next().map(failed).unwrap_or_default();

    let began = Instant::now();
    let prepared = prepare(score(minutes)?, &mut open, || {}).map_err(first)?;
    let limited = prepared.voices().filter(|brought| brought.limited.is_some()).count();
    let measured = began.elapsed().as_secs_f64();
    let mut mixer = Mixer::new(prepared, open);
    let place = std::env::temp_dir().join(format!("mix_speed.{}.wav", std::process::id()));
    let file = std::fs::File::create(&place)?;
    let mut file = WavFile::begin(file, Bits::TwentyFour, mixer.length()).map_err(unwritten)?;
    let mut block = vec![[0.0; 2]; 4800];
    loop {
        let filled = mixer.fill(&mut block).map_err(failed)?;
        if filled == 0 {
            break;
        }
        file.write(block.get(..filled).unwrap_or_default()).map_err(unwritten)?;
    }
    file.finish().map_err(unwritten)?;
    let heard = mixer.heard();
    let all = began.elapsed().as_secs_f64();
    std::fs::remove_file(&place)?;

    let seconds = minutes as f64 * 60.0;
    println!("{minutes} min of sound, {limited} of {minutes} narrations limited: {heard:?}");
    println!("sources measured in {measured:.1} s, all done in {all:.1} s");
    println!(
        "{:.0} times as fast as heard; an hour in {:.1} s",
        seconds / all,
        all / seconds * 3600.0
    );
    Ok(())
}

fn unwritten(error: sound::mix::NotWritten) -> String {
    format!("{error:?}")
}

fn score(minutes: i64) -> Result<Score, &'static str> {
    let target = Lufs::new(-18.0).ok_or("no number")?;
    let level = Lufs::new(-26.0).ok_or("no number")?;
    let stretch =
        |at, from, length| Stretch { at: Millis(at), from: Millis(from), length: Millis(length) };
    let voices = (0..minutes)
        .map(|minute| {
            let at = minute * 60_000 + 10_000;
            let stretches = if minute % 10 == 0 {
                vec![stretch(at, 0, 12_000), stretch(at + 18_000, 12_000, 13_000)]
            } else {
                vec![stretch(at, 0, 25_000)]
            };
            let source = usize::try_from(minute).unwrap_or(0) % VOICES;
            Voice {
                source,
                level: Level::Loudness(target),
                side: Side::Both,
                stretches,
                ducked: vec![],
            }
        })
        .collect::<Vec<_>>();
    let beds = (0..=minutes / 10)
        .map(|piece| Bed {
            source: VOICES + usize::try_from(piece).unwrap_or(0) % PIECES,
            level: Level::Loudness(level),
            at: Millis(piece * 600_000),
            until: Millis((piece + 1) * 600_000),
            fade_in: Millis(3_000),
            fade_out: Millis(3_000),
            repeat: Some(Repeat {
                from: Millis(4_000),
                to: Millis(58_000),
                crossfade: Millis(2_000),
            }),
            pauses: vec![],
        })
        .collect();
    let spans = (0..minutes)
        .map(|minute| Span {
            from: Millis(minute * 60_000 + 10_000),
            until: Millis(minute * 60_000 + 35_000),
        })
        .collect();
    Ok(Score {
        length: Millis(minutes * 60_000),
        voices,
        beds,
        ducking: Ducking {
            depth: Decibels::new(12.0).ok_or("no number")?,
            attack: Millis(300),
            release: Millis(1_500),
            spans,
        },
        peak: Dbtp::new(-3.0).ok_or("no number")?,
        apart: false,
    })
}

/// 25 s of something like speech, one channel; every third has peaks far above its loudness.
fn made_up_voice(number: usize) -> Vec<u8> {
    let sharp = if number.is_multiple_of(3) { 0.9 } else { 0.0 };
    wav(1, 25, |time, _| {
        let swell = (0.5 - 0.5 * libm::cos(TAU * 2.3 * time)) * 0.12;
        let edge = if (time * 4.0).fract() < 0.0005 { sharp } else { 0.0 };
        let pitch = 120.0 + number as f64;
        swell * (libm::sin(TAU * pitch * time) + libm::sin(TAU * 7.3 * pitch * time)) + edge
    })
}

/// A minute of something like music, two channels.
fn made_up_music(number: usize) -> Vec<u8> {
    wav(2, 60, |time, channel| {
        let base = 110.0 * (1.0 + number as f64 / 8.0);
        (1..6)
            .map(|part| {
                let part = f64::from(part);
                0.06 / part * libm::sin(TAU * base * part * time + f64::from(channel) * part)
            })
            .sum()
    })
}

/// A WAV file of 16 bit at 44.1 kHz.
fn wav(channels: u16, seconds: u32, signal: impl Fn(f64, u16) -> f64) -> Vec<u8> {
    let (rate, frame) = (44_100_u32, u32::from(channels) * 2);
    let bytes = rate * seconds * frame;
    let mut wav = b"RIFF".to_vec();
    wav.extend((36 + bytes).to_le_bytes());
    wav.extend(b"WAVEfmt \x10\0\0\0\x01\0");
    wav.extend(channels.to_le_bytes());
    wav.extend(rate.to_le_bytes());
    wav.extend((rate * frame).to_le_bytes());
    wav.extend(u16::try_from(frame).unwrap_or(0).to_le_bytes());
    wav.extend(b"\x10\0data");
    wav.extend(bytes.to_le_bytes());
    for number in 0..rate * seconds {
        let time = f64::from(number) / f64::from(rate);
        for channel in 0..channels {
            let sample = (signal(time, channel) * 32_767.0).clamp(-32_768.0, 32_767.0) as i16;
            wav.extend(sample.to_le_bytes());
        }
    }
    wav
}

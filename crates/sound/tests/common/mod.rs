//! Recordings made for the tests.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]
#![allow(dead_code, reason = "each test file uses some of it")]

pub(crate) mod mixing;

use std::f64::consts::TAU;
use std::io::Cursor;

use sound::{Measurement, Refusal, measure};

/// A small recording from `tests/data`, see the page there.
pub(crate) fn data(name: &str) -> Vec<u8> {
    let path = format!("{}/tests/data/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read(&path).unwrap_or_else(|error| panic!("{path}: {error}"))
}

pub(crate) fn measured(bytes: &[u8]) -> Measurement {
    match measure(Cursor::new(bytes)) {
        Ok(measured) => measured,
        Err(refusal) => panic!("{:?}", refusal.finding("test")),
    }
}

pub(crate) fn refused(bytes: &[u8]) -> Refusal {
    match measure(Cursor::new(bytes)) {
        Ok(measured) => panic!("measured: {measured:?}"),
        Err(refusal) => refusal,
    }
}

/// A WAV file, 32 bit float, of channels that are functions of the frame's number.
pub(crate) fn wav(rate: u32, frames: u64, channels: &[&dyn Fn(u64) -> f64]) -> Vec<u8> {
    let spec = hound::WavSpec {
        channels: channels.len() as u16,
        sample_rate: rate,
        bits_per_sample: 32,
        sample_format: hound::SampleFormat::Float,
    };
    let mut bytes = Cursor::new(Vec::new());
    let mut writer = hound::WavWriter::new(&mut bytes, spec).unwrap();
    for frame in 0..frames {
        for channel in channels {
            writer.write_sample(channel(frame) as f32).unwrap();
        }
    }
    writer.finalize().unwrap();
    bytes.into_inner()
}

/// A WAV file of whole numbers: one channel, the tone of the recordings in `tests/data`.
pub(crate) fn whole_numbers(bits: u16) -> Vec<u8> {
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: 22_050,
        bits_per_sample: bits,
        sample_format: hound::SampleFormat::Int,
    };
    let full = f64::from(1_u32 << (bits - 1)) - 1.0;
    let mut bytes = Cursor::new(Vec::new());
    let mut writer = hound::WavWriter::new(&mut bytes, spec).unwrap();
    for frame in 0..33_075_u64 {
        writer.write_sample((tone(frame) * full).round() as i32).unwrap();
    }
    writer.finalize().unwrap();
    bytes.into_inner()
}

/// The tone of the recordings in `tests/data`.
pub(crate) fn tone(frame: u64) -> f64 {
    let time = frame as f64 / 22_050.0;
    if (0.2..=1.2).contains(&time) { 0.25 * libm::sin(TAU * 440.0 * time) } else { 0.0 }
}

/// An amplitude from decibels below full scale.
pub(crate) fn amplitude(decibels: f64) -> f64 {
    libm::pow(10.0, decibels / 20.0)
}

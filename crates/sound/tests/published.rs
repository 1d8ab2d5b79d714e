//! Loudness and true peak against the published test signals, made here by their description.
//!
//! Source of a row, where it says no other: EBU Tech 3341, "Loudness metering: 'EBU mode' metering
//! to supplement loudness normalisation" (version 3 of 2016, the same in version 4 of 2023), table
//! 1, the minimum requirements test signals: levels are peaks of each channel in dBFS, loudness
//! within 0.1 LU, true peak within +0.2 and -0.4 dB. Cases 4, 16 and 19 are that table's too, and
//! their figures are here from memory. Not made are cases 7 and 8, authentic programmes, and 20 to 23,
//! whose description leaves the low-pass filter open.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on should stop")]

mod common;

use std::f64::consts::{PI, TAU};

use common::{amplitude, measured, wav};

const RATE: u32 = 48_000;

/// Pieces of time: seconds, and the level in them.
type Pieces = [(f64, f64)];

/// Loudness of a stereo sine of 1 kHz, both channels alike, with a level for each piece of time.
fn stereo_loudness(pieces: &Pieces) -> f64 {
    let ends: Vec<(u64, f64)> = pieces
        .iter()
        .scan(0.0, |until, (seconds, level)| {
            *until += seconds;
            Some(((*until * f64::from(RATE)).round() as u64, amplitude(*level)))
        })
        .collect();
    let signal = |frame: u64| {
        let peak = ends.iter().find(|(until, _)| frame < *until).map_or(0.0, |(_, peak)| *peak);
        peak * libm::sin(TAU * 1000.0 * frame as f64 / f64::from(RATE))
    };
    let (frames, _) = *ends.last().unwrap();
    measured(&wav(RATE, frames, &[&signal, &signal])).loudness.unwrap().get()
}

fn assert_near(found: f64, expected: f64, tolerance: f64, case: &str) {
    assert!((found - expected).abs() <= tolerance, "{case}: {found}, published {expected}");
}

#[test]
fn loudness_of_the_published_signals() {
    let cases: &[(&str, &Pieces, f64)] = &[
        ("case 1", &[(20.0, -23.0)], -23.0),
        ("case 2", &[(20.0, -33.0)], -33.0),
        ("case 3", &[(10.0, -36.0), (60.0, -23.0), (10.0, -36.0)], -23.0),
        (
            "case 4, from memory",
            &[(10.0, -72.0), (10.0, -36.0), (60.0, -23.0), (10.0, -36.0), (10.0, -72.0)],
            -23.0,
        ),
        ("case 5", &[(20.0, -26.0), (20.1, -20.0), (20.0, -26.0)], -23.0),
    ];
    for (case, pieces, expected) in cases {
        assert_near(stereo_loudness(pieces), *expected, 0.1, case);
    }
}

/// Case 6: five channels; left, right and centre count once, the surrounds 1.41 times.
#[test]
fn loudness_of_five_channels() {
    let sine = |level: f64| {
        move |frame: u64| {
            amplitude(level) * libm::sin(TAU * 1000.0 * frame as f64 / f64::from(RATE))
        }
    };
    let (front, centre, surround) = (sine(-28.0), sine(-24.0), sine(-30.0));
    let mut bytes =
        wav(RATE, 20 * u64::from(RATE), &[&front, &front, &centre, &surround, &surround]);
    // The extensible header of the writer carries a mask of the speakers: front left, right and
    // centre, back left and right.
    assert_eq!(bytes[20..22], [0xFE, 0xFF]);
    bytes[40..44].copy_from_slice(&0x37_u32.to_le_bytes());
    assert_near(measured(&bytes).loudness.unwrap().get(), -23.0, 0.1, "case 6");
}

/// ITU-R BS.1770-4, annex 1: a sine of 997 Hz at 0 dBFS in the left, centre or right channel alone
/// reads -3.01 LKFS.
#[test]
fn loudness_of_the_reference_tone() {
    let sine = |frame: u64| libm::sin(TAU * 997.0 * frame as f64 / f64::from(RATE));
    let silence = |_: u64| 0.0;
    let mono = measured(&wav(RATE, 480_000, &[&sine])).loudness.unwrap().get();
    assert_near(mono, -3.01, 0.05, "one channel");
    let left = measured(&wav(RATE, 480_000, &[&sine, &silence])).loudness.unwrap().get();
    assert_near(left, -3.01, 0.05, "left of two");
    // Computed from the filter's published coefficients, not printed in the standard.
    let both = measured(&wav(RATE, 480_000, &[&sine, &sine])).loudness.unwrap().get();
    assert_near(both, 0.0, 0.02, "both of two");
}

/// Cases 15 to 18: a sine whose samples miss its peaks, faded in and out over 10 ms.
#[test]
fn true_peak_between_the_samples() {
    for (case, divisor, degrees) in [
        ("case 15", 4.0, 0.0),
        ("case 16, from memory", 4.0, 45.0),
        ("case 17", 6.0, 60.0),
        ("case 18", 8.0, 67.5),
    ] {
        let (frames, fade) = (u64::from(RATE), f64::from(RATE) / 100.0);
        let signal = |frame: u64| {
            let from_end = frame.min(frames - 1 - frame) as f64;
            let angle = TAU * frame as f64 / divisor + degrees / 180.0 * PI;
            0.5 * (from_end / fade).min(1.0) * libm::sin(angle)
        };
        let found = measured(&wav(RATE, frames, &[&signal, &signal])).true_peak.unwrap().get();
        assert!((-6.4..=-5.8).contains(&found), "{case}: {found}, published -6.0");
    }
}

/// Case 19, from memory: the same at twice the amplitude and more: above full scale between the samples.
#[test]
fn true_peak_above_full_scale() {
    let signal = |frame: u64| 1.41 * libm::sin(PI / 2.0 * frame as f64 + PI / 4.0);
    let faded = |frame: u64| {
        let from_end = frame.min(47_999 - frame) as f64;
        (from_end / 480.0).min(1.0) * signal(frame)
    };
    let found = measured(&wav(RATE, 48_000, &[&faded, &faded])).true_peak.unwrap().get();
    assert!((2.6..=3.2).contains(&found), "case 19: {found}, published +3.0");
}

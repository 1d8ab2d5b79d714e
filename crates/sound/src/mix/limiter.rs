//! A limiter of true peaks that looks ahead.
//!
//! For every frame it is reckoned what gain its peak allows, between the samples too. The gain that
//! is used is the mean, over the time looked ahead, of the least that is allowed from then on; so it
//! is down before the peak comes, gets there without a corner, and is never more than the peak
//! allows. Upwards it goes slowly. Both channels are turned down alike, so that nothing wanders from
//! side to side. What needs no limiting passes unchanged to the last bit.

use std::collections::VecDeque;
use std::f64::consts::PI;

use super::{Frame, RATE, amplitude};

/// How far it looks ahead: 5 ms (common practice, no source).
const AHEAD: usize = RATE as usize / 200;
/// Over this time the greater part of a reduction is given back (common practice, no source).
const RELEASE_SECONDS: f64 = 0.1;
/// So much below the peak that is asked for is aimed at, in decibels: no two meters find the same
/// place between the samples.
const MARGIN: f64 = 0.1;

/// Places between two samples that are looked at, the first being a sample (ITU-R BS.1770-4, annex
/// 2, asks for four at 48 kHz).
const PHASES: usize = 4;
/// Samples that such a place is reckoned from.
const TAPS: usize = 12;
/// Of them, so many lie behind the place.
const LATER: usize = TAPS / 2;

/// Gains are kept as whole numbers, so that a sum of them is exact.
const UNIT: u32 = 1 << 30;

/// How many frames come out later than they go in.
pub(super) const LATENCY: usize = AHEAD + 2 * LATER;

/// The limiter.
pub(super) struct Limiter {
    ceiling: f32,
    /// No sample up to this lets a place between the samples be above the ceiling.
    harmless: f32,
    between: [[f32; TAPS]; PHASES],
    release: f64,
    /// The last samples of each channel, newest last, twice one behind the other: from wherever the
    /// oldest lies, all lie in a row.
    recent: [[f32; 2 * TAPS]; 2],
    /// Where the oldest lies.
    oldest: usize,
    /// How many of the newest frames are harmless.
    quiet_for: usize,
    /// Allowed gains that may yet be the least, with the number of their frame; rising.
    least: VecDeque<(u64, u32)>,
    /// The frame that goes in next.
    number: u64,
    held: f64,
    /// The gains that the mean is taken of, and their sum.
    means: VecDeque<u32>,
    sum: u64,
    waiting: VecDeque<Frame>,
    lowest: u32,
}

impl Limiter {
    /// A limiter that holds true peaks at or below this, in dBTP.
    pub(super) fn new(peak: f64) -> Self {
        let ceiling = amplitude(peak - MARGIN);
        let between = interpolator();
        let most = between
            .iter()
            .map(|taps| taps.iter().map(|tap| f64::from(tap.abs())).sum())
            .fold(1.0, f64::max);
        Self {
            ceiling: ceiling as f32,
            harmless: (ceiling / most) as f32,
            between,
            release: 1.0 - libm::exp(-1.0 / (RELEASE_SECONDS * f64::from(RATE))),
            recent: [[0.0; 2 * TAPS]; 2],
            oldest: 0,
            quiet_for: TAPS,
            least: VecDeque::new(),
            number: 0,
            held: 1.0,
            means: std::iter::repeat_n(UNIT, AHEAD + 1).collect(),
            sum: u64::from(UNIT) * (AHEAD as u64 + 1),
            waiting: VecDeque::with_capacity(LATENCY + 1),
            lowest: UNIT,
        }
    }

    /// Takes a frame, and gives the one that went in [`LATENCY`] before it.
    pub(super) fn take(&mut self, frame: Frame) -> Option<Frame> {
        for (recent, sample) in self.recent.iter_mut().zip(frame) {
            recent[self.oldest] = sample;
            recent[self.oldest + TAPS] = sample;
        }
        self.oldest = (self.oldest + 1) % TAPS;
        let harmless = frame.iter().all(|sample| sample.abs() <= self.harmless);
        self.quiet_for = if harmless { (self.quiet_for + 1).min(TAPS) } else { 0 };
        let allowed = if self.quiet_for == TAPS { UNIT } else { self.allowed() };
        self.waiting.push_back(frame);

        while self.least.back().is_some_and(|(_, gain)| *gain >= allowed) {
            self.least.pop_back();
        }
        self.least.push_back((self.number, allowed));
        // A gain counts while its peak is looked ahead to, and for the taps around it.
        let window = (AHEAD + TAPS + 1) as u64;
        while self.least.front().is_some_and(|(number, _)| number + window <= self.number) {
            self.least.pop_front();
        }
        let least = self.least.front().map_or(UNIT, |(_, gain)| *gain);
        self.number += 1;

        let least = f64::from(least) / f64::from(UNIT);
        self.held = least.min(self.held + (1.0 - self.held) * self.release);
        if self.held > 1.0 - 1e-6 {
            self.held = 1.0;
        }
        let gain = (self.held * f64::from(UNIT)) as u32;
        self.means.push_back(gain);
        self.sum += u64::from(gain);
        self.sum -= u64::from(self.means.pop_front().unwrap_or(UNIT));
        if self.waiting.len() <= LATENCY {
            return None;
        }
        let frame = self.waiting.pop_front()?;
        let mean = self.sum / (AHEAD as u64 + 1);
        if mean >= u64::from(UNIT) {
            return Some(frame);
        }
        self.lowest = self.lowest.min(u32::try_from(mean).unwrap_or(UNIT));
        let factor = (mean as f64 / f64::from(UNIT)) as f32;
        Some(frame.map(|sample| sample * factor))
    }

    /// The least factor there was.
    pub(super) fn lowest(&self) -> f64 {
        f64::from(self.lowest) / f64::from(UNIT)
    }

    /// The gain that the middle of the newest samples allows.
    fn allowed(&self) -> u32 {
        let mut peak = 0.0_f32;
        for recent in &self.recent {
            for taps in &self.between {
                let recent = recent.iter().skip(self.oldest);
                let value: f32 = recent.zip(taps).map(|(sample, tap)| sample * tap).sum();
                peak = peak.max(value.abs());
            }
        }
        if peak <= self.ceiling {
            return UNIT;
        }
        (f64::from(self.ceiling) / f64::from(peak) * f64::from(UNIT)) as u32
    }
}

/// What the samples count for the places between the sixth and the seventh of twelve: a sinc under a
/// Hann window, each place's weights brought to a sum of 1.
fn interpolator() -> [[f32; TAPS]; PHASES] {
    let mut between = [[0.0_f32; TAPS]; PHASES];
    for (phase, taps) in between.iter_mut().enumerate() {
        let place = (TAPS - 1 - LATER) as f64 + phase as f64 / PHASES as f64;
        let weight = |tap: usize| {
            let distance = tap as f64 - place;
            let sinc =
                if distance == 0.0 { 1.0 } else { libm::sin(PI * distance) / (PI * distance) };
            let window = 0.5 + 0.5 * libm::cos(PI * distance / (LATER as f64 + 1.0));
            sinc * window
        };
        let sum: f64 = (0..TAPS).map(weight).sum();
        for (tap, value) in taps.iter_mut().enumerate() {
            *value = (weight(tap) / sum) as f32;
        }
    }
    between
}

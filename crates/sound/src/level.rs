//! What is measured on the samples themselves, a piece at a time.

use earth::{Dbtp, Lufs};
use ebur128::{Channel, EbuR128, Mode};
use symphonia::core::audio::{Channels, Position};

use crate::quantity::SampleRate;

/// A piece of sound counts as silent where no channel's level (root mean square, over ten
/// milliseconds) is above this, in decibels below full scale. A booth with a microphone open is
/// about here or below, and breath and lips are above it (common practice, no source).
pub(crate) const SILENCE: f64 = -60.0;

/// A sample this near to full scale is at its end: the highest whole number of 16 bit, and all
/// above it.
const FULL_SCALE: f32 = 32_767.0 / 32_768.0;
/// So many samples of a channel one behind the other at full scale are taken for clipped: one or
/// two can be a good recording's highest point (common practice, no source).
const CLIPPED: u32 = 3;

/// All meters of a recording.
pub(crate) struct Levels {
    channels: usize,
    loudness: EbuR128,
    silence: Silence,
    /// For each channel, how many samples at full scale have just come one behind the other.
    full: Vec<u32>,
    clipped: u64,
    not_numbers: u64,
    frames: u64,
}

/// What the meters showed.
pub(crate) struct Shown {
    pub(crate) loudness: Option<Lufs>,
    pub(crate) true_peak: Option<Dbtp>,
    /// Frames before the first sound; all of them where there is none.
    pub(crate) head: u64,
    /// Frames behind the last sound; all of them where there is none.
    pub(crate) tail: u64,
    pub(crate) clipped: u64,
    pub(crate) not_numbers: u64,
}

impl Levels {
    /// Meters for this rate and these channels; `None` where the meter of loudness takes neither.
    pub(crate) fn new(rate: SampleRate, channels: &Channels) -> Option<Self> {
        let count = channels.count();
        let mode = Mode::I | Mode::TRUE_PEAK;
        let mut loudness = EbuR128::new(u32::try_from(count).ok()?, rate.hertz(), mode).ok()?;
        loudness.set_channel_map(&channel_map(channels)).ok()?;
        Some(Self {
            channels: count,
            loudness,
            silence: Silence::new(rate, count),
            full: vec![0; count],
            clipped: 0,
            not_numbers: 0,
            frames: 0,
        })
    }

    /// How many channels there are.
    pub(crate) fn channels(&self) -> usize {
        self.channels
    }

    /// How many frames have been taken.
    pub(crate) fn frames(&self) -> u64 {
        self.frames
    }

    /// Takes a piece, channels interleaved. A sample that is no number is taken for silence and
    /// counted.
    pub(crate) fn take(&mut self, samples: &mut [f32]) {
        for frame in samples.chunks_exact_mut(self.channels) {
            self.frames += 1;
            for (sample, full) in frame.iter_mut().zip(&mut self.full) {
                if !sample.is_finite() {
                    *sample = 0.0;
                    self.not_numbers += 1;
                }
                if sample.abs() < FULL_SCALE {
                    *full = 0;
                } else {
                    *full = full.saturating_add(1);
                    self.clipped += u64::from(*full == CLIPPED);
                }
            }
            self.silence.take(frame);
        }
        // It can only refuse what is not a whole number of frames, and `chunks_exact` has left
        // nothing of that kind here: a decoder gives whole frames.
        let _ = self.loudness.add_frames_f32(samples);
    }

    pub(crate) fn shown(mut self) -> Shown {
        self.silence.end_block();
        let channels = u32::try_from(self.channels).unwrap_or_default();
        let peaks = (0..channels).filter_map(|channel| self.loudness.true_peak(channel).ok());
        Shown {
            true_peak: Dbtp::of_amplitude(peaks.fold(0.0, f64::max)),
            loudness: self.loudness.loudness_global().ok().and_then(Lufs::new),
            head: self.silence.head.unwrap_or(self.frames),
            tail: self.frames - self.silence.sound_until,
            clipped: self.clipped,
            not_numbers: self.not_numbers,
        }
    }
}

/// Which channel is where, for the weights of BS.1770-4, table 3: those at the side count 1.41
/// times, the one of low effects does not count.
fn channel_map(channels: &Channels) -> Vec<Channel> {
    let Channels::Positioned(positions) = channels else {
        return vec![Channel::Center; channels.count()];
    };
    let places = positions.iter().map(|position| match position {
        Position::FRONT_LEFT => Channel::Left,
        Position::FRONT_RIGHT => Channel::Right,
        Position::LFE1 | Position::LFE2 => Channel::Unused,
        Position::REAR_LEFT | Position::SIDE_LEFT => Channel::LeftSurround,
        Position::REAR_RIGHT | Position::SIDE_RIGHT => Channel::RightSurround,
        _ => Channel::Center,
    });
    places.collect()
}

/// Finds where sound begins and ends, to ten milliseconds.
struct Silence {
    block: u64,
    threshold: f64,
    /// Sum of squares of each channel in the block being filled.
    energy: Vec<f64>,
    filled: u64,
    /// Frames before the block being filled.
    before: u64,
    head: Option<u64>,
    sound_until: u64,
}

impl Silence {
    fn new(rate: SampleRate, channels: usize) -> Self {
        let amplitude = libm::pow(10.0, SILENCE / 20.0);
        Self {
            block: u64::from(rate.hertz() / 100),
            threshold: amplitude * amplitude,
            energy: vec![0.0; channels],
            filled: 0,
            before: 0,
            head: None,
            sound_until: 0,
        }
    }

    fn take(&mut self, frame: &[f32]) {
        for (energy, sample) in self.energy.iter_mut().zip(frame) {
            let sample = f64::from(*sample);
            *energy += sample * sample;
        }
        self.filled += 1;
        if self.filled == self.block {
            self.end_block();
        }
    }

    fn end_block(&mut self) {
        let limit = self.threshold * self.filled as f64;
        if self.energy.iter().any(|energy| *energy > limit) {
            self.head.get_or_insert(self.before);
            self.sound_until = self.before + self.filled;
        }
        self.before += self.filled;
        self.filled = 0;
        self.energy.fill(0.0);
    }
}

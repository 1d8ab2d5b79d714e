//! A source as it is heard: two channels at 48 kHz, a frame at a time.

use std::f32::consts::FRAC_1_SQRT_2;

use rubato::audioadapter_buffers::direct::InterleavedSlice;
use rubato::{Fft, FixedSync, Resampler};
use symphonia::core::audio::{Channels, Position};

use super::{Frame, RATE, Source};
use crate::quantity::SampleRate;
use crate::reader::{Reader, Spec};
use crate::refusal::Refusal;

/// Frames that are resampled at a time, about; a multiple that suits both rates is used.
const CHUNK: usize = 2048;

/// How the channels of a source become two.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Fold {
    /// Left and right as they are.
    Sides,
    /// One channel, on both.
    Middle,
}

/// A source being played.
pub(super) struct Stream {
    reader: Reader<'static>,
    fold: Fold,
    /// Frames at 48 kHz that are to be left out before the first.
    skip: u64,
    set: Option<Set>,
    samples: Vec<f32>,
    ready: Vec<Frame>,
    /// How many of those ready have been given.
    given: usize,
    ended: bool,
}

/// What is known from the first piece on.
struct Set {
    /// What a sample of each channel counts on the left and on the right.
    weights: Vec<Frame>,
    /// Frames of the source that are yet to be left out.
    skip: u64,
    resample: Option<Resample>,
}

impl Stream {
    /// Plays a source from this frame on, counted at 48 kHz.
    pub(super) fn open(source: Box<dyn Source>, from: u64, fold: Fold) -> Result<Self, Refusal> {
        let reader = Reader::open(source)?;
        Ok(Self {
            reader,
            fold,
            skip: from,
            set: None,
            samples: Vec::new(),
            ready: Vec::new(),
            given: 0,
            ended: false,
        })
    }

    /// The next frame; `None` at the end.
    pub(super) fn next(&mut self) -> Result<Option<Frame>, Refusal> {
        loop {
            if let Some(frame) = self.ready.get(self.given) {
                self.given += 1;
                return Ok(Some(*frame));
            }
            if self.ended {
                return Ok(None);
            }
            self.ready.clear();
            self.given = 0;
            self.decode()?;
        }
    }

    /// Decodes the next piece.
    fn decode(&mut self) -> Result<(), Refusal> {
        let Some(spec) = self.reader.next(&mut self.samples)? else {
            self.ended = true;
            if let Some(resample) = self.set.as_mut().and_then(|set| set.resample.as_mut()) {
                resample.finish(&mut self.ready);
            }
            return Ok(());
        };
        let set = match &mut self.set {
            Some(set) => set,
            None => self.set.insert(Set::new(spec, self.fold, self.skip)?),
        };
        let channels = set.weights.len();
        for frame in self.samples.chunks_exact(channels) {
            if set.skip > 0 {
                set.skip -= 1;
                continue;
            }
            let mut folded = [0.0, 0.0];
            for (sample, [left, right]) in frame.iter().zip(&set.weights) {
                // A sample that is no number is taken for silence, as where it is measured.
                let sample = if sample.is_finite() { *sample } else { 0.0 };
                folded[0] += sample * left;
                folded[1] += sample * right;
            }
            match &mut set.resample {
                Some(resample) => resample.take(folded, &mut self.ready),
                None => self.ready.push(folded),
            }
        }
        Ok(())
    }
}

impl Set {
    fn new(spec: &Spec, fold: Fold, skip: u64) -> Result<Self, Refusal> {
        let rate = spec.rate.hertz();
        let resample = if rate == RATE { None } else { Some(Resample::new(spec.rate)?) };
        let skip = u128::from(skip) * u128::from(rate) / u128::from(RATE);
        let mut weights = weights(&spec.channels);
        if fold == Fold::Middle {
            weights = weights.iter().map(|[left, right]| [(left + right) / 2.0; 2]).collect();
        }
        Ok(Self { weights, skip: u64::try_from(skip).unwrap_or(u64::MAX), resample })
    }
}

/// What each channel counts on the left and on the right. One alone is on both. Of more than two
/// those in the middle are on both 3 dB lower, those at the side and behind on theirs 3 dB lower,
/// and the one of low effects is left out (as ITU-R BS.775 folds them, from memory). Where nothing
/// says which is which, the first two are left and right.
fn weights(channels: &Channels) -> Vec<Frame> {
    let count = channels.count();
    match (channels, count) {
        (_, 1) => vec![[1.0, 1.0]],
        (_, 2) => vec![[1.0, 0.0], [0.0, 1.0]],
        (Channels::Positioned(positions), _) => positions.iter().map(weight).collect(),
        _ => (0..count)
            .map(|channel| match channel {
                0 => [1.0, 0.0],
                1 => [0.0, 1.0],
                _ => [FRAC_1_SQRT_2, FRAC_1_SQRT_2],
            })
            .collect(),
    }
}

fn weight(position: Position) -> Frame {
    match position {
        Position::FRONT_LEFT => [1.0, 0.0],
        Position::FRONT_RIGHT => [0.0, 1.0],
        Position::LFE1 | Position::LFE2 => [0.0, 0.0],
        Position::REAR_LEFT | Position::SIDE_LEFT => [FRAC_1_SQRT_2, 0.0],
        Position::REAR_RIGHT | Position::SIDE_RIGHT => [0.0, FRAC_1_SQRT_2],
        _ => [FRAC_1_SQRT_2, FRAC_1_SQRT_2],
    }
}

fn common_factor(one: u32, other: u32) -> u32 {
    if other == 0 { one.max(1) } else { common_factor(other, one % other) }
}

/// From a source's rate to 48 kHz, without a delay.
struct Resample {
    resampler: Fft<f32>,
    rate: SampleRate,
    /// What is not yet enough to go on with.
    waiting: Vec<Frame>,
    /// How many frames that is.
    wanted: usize,
    /// Frames of the resampler's own delay that are yet to be left out.
    delay: usize,
    taken: u64,
    given: u64,
}

impl Resample {
    fn new(rate: SampleRate) -> Result<Self, Refusal> {
        let hertz = rate.hertz();
        // The filter's middle lies on a frame only where it is made for an even number of them.
        let even = 2 * (hertz / common_factor(hertz, RATE)) as usize;
        let chunk = CHUNK.next_multiple_of(even.max(2));
        let resampler = Fft::new(hertz as usize, RATE as usize, chunk, 2, FixedSync::Both)
            .map_err(|_| Refusal::Rate(hertz))?;
        let wanted = resampler.input_frames_next();
        let delay = resampler.output_delay();
        Ok(Self { resampler, rate, waiting: Vec::new(), wanted, delay, taken: 0, given: 0 })
    }

    fn take(&mut self, frame: Frame, ready: &mut Vec<Frame>) {
        self.taken += 1;
        self.waiting.push(frame);
        if self.waiting.len() >= self.wanted {
            self.run(ready);
        }
    }

    /// Gives what is left: as many frames in all as the source's length has at 48 kHz.
    fn finish(&mut self, ready: &mut Vec<Frame>) {
        let rate = u128::from(self.rate.hertz());
        let whole = (u128::from(self.taken) * u128::from(RATE)).div_ceil(rate);
        let whole = u64::try_from(whole).unwrap_or(u64::MAX);
        let before = ready.len();
        while self.given < whole {
            self.waiting.resize(self.wanted, [0.0, 0.0]);
            let before = (self.given, self.delay);
            self.run(ready);
            if (self.given, self.delay) == before {
                break;
            }
        }
        let surplus = usize::try_from(self.given.saturating_sub(whole)).unwrap_or(0);
        ready.truncate(ready.len().saturating_sub(surplus).max(before));
    }

    fn run(&mut self, ready: &mut Vec<Frame>) {
        let waiting = self.waiting.as_flattened();
        let input = InterleavedSlice::new(waiting, 2, self.waiting.len());
        // Both can only fail for a buffer of a wrong size, and this one has the size asked for.
        let output = input.ok().and_then(|input| self.resampler.process(&input, None).ok());
        self.waiting.clear();
        let output = output.map(|output| output.take_data()).unwrap_or_default();
        let (frames, _) = output.as_chunks::<2>();
        let late = self.delay.min(frames.len());
        self.delay -= late;
        let frames = frames.get(late..).unwrap_or_default();
        self.given += frames.len() as u64;
        ready.extend_from_slice(frames);
    }
}

//! Tones: what a piece is made of.

use std::f64::consts::TAU;

/// What sounds are sampled at here; that of the synthesiser, so that all have one.
pub(crate) const RATE: u32 = 22_050;

/// A stretch of sound that goes round: what sounds beyond its end sounds at its beginning, so it
/// can be repeated for ever without a seam.
pub(crate) struct Round {
    samples: Vec<f64>,
}

impl Round {
    pub(crate) fn new(seconds: f64) -> Self {
        Self { samples: vec![0.0; frames(seconds)] }
    }

    /// How many samples it has.
    pub(crate) fn frames(&self) -> usize {
        self.samples.len()
    }

    /// The sample so many after the beginning, any number of times round.
    pub(crate) fn at(&self, frame: usize) -> f64 {
        let at = frame.checked_rem(self.samples.len()).unwrap_or_default();
        self.samples.get(at).copied().unwrap_or_default()
    }

    /// Adds a tone.
    pub(crate) fn add(&mut self, tone: &Tone) {
        let (begin, round) = (frames(tone.at), self.frames());
        for frame in 0..frames(tone.lasts()) {
            let since = frame as f64 / f64::from(RATE);
            if let Some(sample) = self.samples.get_mut((begin + frame) % round.max(1)) {
                *sample += tone.sample(since);
            }
        }
    }
}

/// How many samples a time has.
pub(crate) fn frames(seconds: f64) -> usize {
    (seconds * f64::from(RATE)) as usize
}

/// How a tone comes and goes.
#[derive(Clone, Copy)]
pub(crate) enum Touch {
    /// Swells, is held, and dies away, each in so many seconds.
    Bowed { swell: f64, held: f64, away: f64 },
    /// Begins at once and falls to a third in so many seconds, again and again.
    Plucked { third: f64 },
}

/// One tone.
pub(crate) struct Tone {
    /// When it begins, in seconds.
    pub(crate) at: f64,
    /// Semitones above 440 Hz.
    pub(crate) height: f64,
    pub(crate) loud: f64,
    pub(crate) touch: Touch,
}

impl Tone {
    /// Seconds until nothing of it is left to hear.
    fn lasts(&self) -> f64 {
        match self.touch {
            Touch::Bowed { swell, held, away } => swell + held + away,
            Touch::Plucked { third } => third * 6.0,
        }
    }

    fn sample(&self, since: f64) -> f64 {
        let hertz = 440.0 * libm::pow(2.0, self.height / 12.0);
        let wave = |n: f64, detuned: f64| libm::sin(TAU * n * hertz * (1.0 + detuned) * since);
        match self.touch {
            // Two strings a little apart, so that the tone breathes.
            Touch::Bowed { .. } => {
                let string = |detuned: f64| {
                    wave(1.0, detuned) + 0.35 * wave(2.0, detuned) + 0.12 * wave(3.0, -detuned)
                };
                self.loud * self.swell(since) * (string(0.0012) + string(-0.0012)) / 2.0
            }
            Touch::Plucked { .. } => {
                let string = wave(1.0, 0.0) + 0.25 * wave(2.0, 0.0003) + 0.08 * wave(4.0, 0.0);
                self.loud * self.swell(since) * string
            }
        }
    }

    /// How far it has come up, from 0 to 1.
    fn swell(&self, since: f64) -> f64 {
        match self.touch {
            Touch::Bowed { swell, held, away } => {
                let up = (since / swell).min(1.0);
                let down = ((swell + held + away - since) / away).clamp(0.0, 1.0);
                smooth(up) * smooth(down)
            }
            Touch::Plucked { third } => {
                // Ten milliseconds to begin without a click, and as smooth an end.
                let end = ((self.lasts() - since) / 0.3).clamp(0.0, 1.0);
                smooth((since / 0.01).min(1.0)) * libm::pow(1.0 / 3.0, since / third) * smooth(end)
            }
        }
    }
}

/// From 0 to 1 without a corner at either end.
pub(crate) fn smooth(part: f64) -> f64 {
    0.5 - 0.5 * libm::cos(std::f64::consts::PI * part)
}

/// Holds down all peaks above a limit: turned down for a moment before and behind them.
pub(crate) fn hold_down(samples: &mut [f64], limit: f64) {
    // A third of the way back in five milliseconds.
    let back = 1.0 / (0.015 * f64::from(RATE));
    let mut gains: Vec<f64> =
        samples.iter().map(|sample| (limit / sample.abs().max(limit)).min(1.0)).collect();
    let mut now = 1.0_f64;
    let mut come_back = |gain: &mut f64| {
        now = gain.min(now + (1.0 - now) * back);
        *gain = now;
    };
    gains.iter_mut().for_each(&mut come_back);
    gains.iter_mut().rev().for_each(&mut come_back);
    samples.iter_mut().zip(gains).for_each(|(sample, gain)| *sample *= gain);
}

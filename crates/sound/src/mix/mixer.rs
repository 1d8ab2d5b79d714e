//! Everything together.

use super::fader::Gain;
use super::limiter::{LATENCY, Limiter};
use super::meter::Meter;
use super::play::{Cue, Playing, Speaking};
use super::prepare::{Prepared, fold_of};
use super::stream::Fold;
use super::{Dbtp, Decibels, Failed, Frame, Lufs, Open, decibels, frames};

/// Renders a score, a block at a time. The same frames come out, whatever the blocks.
pub struct Mixer<'o> {
    open: Box<dyn Open + 'o>,
    prepared: Prepared,
    fold: Fold,
    /// Stretches of voices in the order of their beginnings, with the next at the end.
    cues: Vec<Cue>,
    /// The numbers of the beds in the order of their beginnings, with the next at the end.
    beds: Vec<usize>,
    speaking: Vec<Speaking>,
    playing: Vec<Playing>,
    duck: Gain,
    limiter: Limiter,
    /// The frame that is mixed next.
    at: u64,
    length: u64,
    /// Frames that have come out.
    out: u64,
    meters: Meters,
}

/// What the whole measures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heard {
    /// Integrated loudness; `None` where there is none. It is found from steps of a tenth of a unit.
    pub loudness: Option<Lufs>,
    /// True peak; `None` where all is silent.
    pub true_peak: Option<Dbtp>,
    /// By how much the limiter of the whole has taken down the highest peak; `None` where it had
    /// nothing to do.
    pub limited: Option<Decibels>,
}

/// Meters of what two ears hear, or of what each of two listeners hears on both.
enum Meters {
    Together(Box<Meter>),
    Apart(Box<[Meter; 2]>),
}

impl<'o> Mixer<'o> {
    /// Ready to render. Each source is opened when it begins to sound.
    pub fn new(prepared: Prepared, open: impl Open + 'o) -> Self {
        let score = &prepared.score;
        let mut cues: Vec<Cue> = score
            .voices
            .iter()
            .zip(&prepared.voices)
            .enumerate()
            .flat_map(|(number, (voice, (_, change)))| {
                let change = *change;
                voice.stretches.iter().map(move |stretch| Cue {
                    voice: number,
                    change,
                    stretch: *stretch,
                })
            })
            .collect();
        cues.sort_by_key(|cue| std::cmp::Reverse(frames(cue.stretch.at)));
        let begins = |bed: &usize| score.beds.get(*bed).map(|bed| frames(bed.at));
        let mut beds: Vec<usize> = (0..score.beds.len()).collect();
        beds.sort_by_key(|bed| std::cmp::Reverse(begins(bed)));
        let duck = score.ducking.gain(&score.ducking.spans);
        let meters = if score.apart {
            Meters::Apart(Box::new([Meter::counting(), Meter::counting()]))
        } else {
            Meters::Together(Box::new(Meter::counting()))
        };
        Self {
            open: Box::new(open),
            fold: fold_of(score),
            cues,
            beds,
            speaking: Vec::new(),
            playing: Vec::new(),
            duck,
            limiter: Limiter::new(score.peak.get()),
            at: 0,
            length: frames(score.length),
            out: 0,
            meters,
            prepared,
        }
    }

    /// How many frames there will be in all.
    pub fn length(&self) -> u64 {
        self.length
    }

    /// Fills a block and says how much of it; nought at the end.
    ///
    /// # Errors
    /// A source that cannot be played, and why.
    pub fn fill(&mut self, block: &mut [Frame]) -> Result<usize, Failed> {
        let mut filled = 0;
        for place in block {
            if self.out >= self.length {
                break;
            }
            let mut out = None;
            while out.is_none() {
                let frame = if self.at < self.length { self.mix()? } else { [0.0, 0.0] };
                self.at += 1;
                out = self.limiter.take(frame);
                if self.at > self.length.saturating_add(LATENCY as u64 + 1) {
                    break;
                }
            }
            *place = out.unwrap_or([0.0, 0.0]);
            self.meters.take(*place);
            self.out += 1;
            filled += 1;
        }
        Ok(filled)
    }

    /// What has been rendered measures so.
    pub fn heard(&mut self) -> Heard {
        let lowest = self.limiter.lowest();
        let limited = (lowest < 1.0).then(|| Decibels::of(-decibels(lowest)));
        Heard { loudness: self.meters.loudness(), true_peak: self.meters.true_peak(), limited }
    }

    fn mix(&mut self) -> Result<Frame, Failed> {
        let at = self.at;
        let open = &mut *self.open;
        let score = &self.prepared.score;
        while let Some(cue) = self.cues.pop_if(|cue| frames(cue.stretch.at) <= at) {
            if let Some(voice) = score.voices.get(cue.voice) {
                let speaking = Speaking::begin(voice, cue, &score.ducking, open, self.fold)?;
                self.speaking.push(speaking);
            }
        }
        let begins = |bed: &usize| score.beds.get(*bed).map_or(0, |bed| frames(bed.at));
        while let Some(number) = self.beds.pop_if(|bed| begins(bed) <= at) {
            let (Some(bed), Some((_, change, repeat))) =
                (score.beds.get(number), self.prepared.beds.get(number))
            else {
                continue;
            };
            let how = (*change, *repeat);
            self.playing.push(Playing::begin(bed, how, &score.ducking, open, self.fold)?);
        }
        let mut frame = [0.0, 0.0];
        let mut index = 0;
        while let Some(voice) = self.speaking.get_mut(index) {
            if voice.add(at, &mut frame)? {
                index += 1;
            } else {
                self.speaking.remove(index);
            }
        }
        if self.playing.is_empty() {
            return Ok(frame);
        }
        let ducked = self.duck.factor(at);
        index = 0;
        while let Some(bed) = self.playing.get_mut(index) {
            if bed.add(at, ducked, &mut frame, open)? {
                index += 1;
            } else {
                self.playing.remove(index);
            }
        }
        Ok(frame)
    }
}

impl Meters {
    fn take(&mut self, [left, right]: Frame) {
        match self {
            Self::Together(meter) => meter.take([left, right]),
            Self::Apart(meters) => {
                let [one, other] = &mut **meters;
                one.take([left; 2]);
                other.take([right; 2]);
            }
        }
    }

    /// The loudness; of two listeners, that of the louder side.
    fn loudness(&mut self) -> Option<Lufs> {
        match self {
            Self::Together(meter) => meter.loudness(),
            Self::Apart(meters) => meters
                .iter_mut()
                .filter_map(Meter::loudness)
                .max_by(|one, other| one.get().total_cmp(&other.get())),
        }
    }

    fn true_peak(&mut self) -> Option<Dbtp> {
        match self {
            Self::Together(meter) => meter.true_peak(),
            Self::Apart(meters) => meters
                .iter_mut()
                .filter_map(Meter::true_peak)
                .max_by(|one, other| one.get().total_cmp(&other.get())),
        }
    }
}

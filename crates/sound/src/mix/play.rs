//! Voices and music while they sound.

use std::f64::consts::FRAC_PI_2;

use super::fader::{Fader, Gain, Law};
use super::limiter::{LATENCY, Limiter};
use super::prepare::{Change, Loop, stream};
use super::stream::{Fold, Stream};
use super::{Bed, CUT, Ducking, Failed, Frame, Open, Side, Stretch, Voice, frames};
use crate::refusal::Refusal;

/// A source at its level.
struct Levelled {
    stream: Stream,
    factor: f32,
    limiter: Option<Limiter>,
    /// Frames that the limiter still holds once the source has ended.
    held: usize,
}

impl Levelled {
    fn new(stream: Stream, change: Change) -> Self {
        let limiter = change.limit.map(Limiter::new);
        let held = if limiter.is_some() { LATENCY } else { 0 };
        Self { stream, factor: change.factor, limiter, held }
    }

    fn next(&mut self) -> Result<Option<Frame>, Refusal> {
        loop {
            let frame = match self.stream.next()? {
                Some(frame) => frame.map(|sample| sample * self.factor),
                None if self.held > 0 => {
                    self.held -= 1;
                    [0.0, 0.0]
                }
                None => return Ok(None),
            };
            match &mut self.limiter {
                None => return Ok(Some(frame)),
                Some(limiter) => {
                    if let Some(frame) = limiter.take(frame) {
                        return Ok(Some(frame));
                    }
                }
            }
        }
    }
}

/// A stretch of a voice that is to sound.
#[derive(Clone, Copy, Debug)]
pub(super) struct Cue {
    /// The number of the voice.
    pub(super) voice: usize,
    pub(super) change: Change,
    pub(super) stretch: Stretch,
}

/// A stretch of a voice that sounds.
pub(super) struct Speaking {
    source: usize,
    side: Side,
    levelled: Levelled,
    edge: Gain,
    duck: Gain,
    end: u64,
}

impl Speaking {
    pub(super) fn begin(
        voice: &Voice,
        cue: Cue,
        ducking: &Ducking,
        open: &mut dyn Open,
        fold: Fold,
    ) -> Result<Self, Failed> {
        let source = voice.source;
        let (at, from) = (frames(cue.stretch.at), frames(cue.stretch.from));
        let stream =
            stream(open, source, from, fold).map_err(|refusal| Failed { source, refusal })?;
        // A voice that begins at its beginning has its own; one that goes on comes back.
        let mut edge = Fader::at(if from > 0 { 0.0 } else { 1.0 });
        edge.go(at, 1.0, frames(CUT));
        let until = at.saturating_add(frames(cue.stretch.length));
        edge.go(until, 0.0, frames(CUT));
        Ok(Self {
            source,
            side: voice.side,
            levelled: Levelled::new(stream, cue.change),
            edge: Gain::new(edge, Law::Power),
            duck: ducking.gain(&voice.ducked),
            end: until.saturating_add(frames(CUT)),
        })
    }

    /// Adds its next frame to what is heard. False once it is over.
    pub(super) fn add(&mut self, at: u64, heard: &mut Frame) -> Result<bool, Failed> {
        if at >= self.end {
            return Ok(false);
        }
        let next = self.levelled.next();
        let next = next.map_err(|refusal| Failed { source: self.source, refusal })?;
        let Some([left, right]) = next else { return Ok(false) };
        let factor = self.edge.factor(at) * self.duck.factor(at);
        if self.side != Side::Right {
            heard[0] += left * factor;
        }
        if self.side != Side::Left {
            heard[1] += right * factor;
        }
        Ok(true)
    }
}

/// A bed that sounds.
pub(super) struct Playing {
    source: usize,
    fold: Fold,
    factor: f32,
    repeat: Option<Loop>,
    fade: Gain,
    pause: Gain,
    end: u64,
    going: Tape,
    /// The place in the source.
    place: u64,
    /// What comes, while the loop goes back.
    coming: Option<Tape>,
    /// Whether what is repeated is kept the first time, and what has been kept of it.
    keeps: bool,
    kept: Vec<Frame>,
}

/// What is repeated is kept where it is no longer than this, in frames: two minutes, 46 MB. The rest
/// is decoded again each time, from the beginning of the source.
const MOST_KEPT: u64 = 5_760_000;

/// Where a bed's frames come from.
enum Tape {
    /// The source.
    Source(Box<Stream>),
    /// What was kept, from this place on.
    Kept(usize),
}

impl Tape {
    fn next(&mut self, kept: &[Frame]) -> Result<Option<Frame>, Refusal> {
        match self {
            Self::Source(stream) => stream.next(),
            Self::Kept(place) => {
                let frame = kept.get(*place).copied();
                *place += 1;
                Ok(frame)
            }
        }
    }
}

impl Playing {
    pub(super) fn begin(
        bed: &Bed,
        (change, repeat): (Change, Option<Loop>),
        ducking: &Ducking,
        open: &mut dyn Open,
        fold: Fold,
    ) -> Result<Self, Failed> {
        let stream = stream(open, bed.source, 0, fold)
            .map_err(|refusal| Failed { source: bed.source, refusal })?;
        let (at, until) = (frames(bed.at), frames(bed.until));
        let mut fade = Fader::at(0.0);
        fade.go(at, 1.0, frames(bed.fade_in));
        fade.go(until, 0.0, frames(bed.fade_out));
        let pause = Fader::closed_in(&bed.pauses, ducking.attack, ducking.release);
        Ok(Self {
            source: bed.source,
            fold,
            factor: change.factor,
            repeat,
            fade: Gain::new(fade, Law::Power),
            pause: Gain::new(pause, Law::Power),
            end: until.saturating_add(frames(bed.fade_out)),
            going: Tape::Source(Box::new(stream)),
            place: 0,
            coming: None,
            keeps: repeat.is_some_and(|it| it.goes + it.crossfade - it.comes <= MOST_KEPT),
            kept: Vec::new(),
        })
    }

    /// Adds its next frame to what is heard, ducked by this factor. False once it is over.
    pub(super) fn add(
        &mut self,
        at: u64,
        ducked: f32,
        heard: &mut Frame,
        open: &mut dyn Open,
    ) -> Result<bool, Failed> {
        if at >= self.end {
            return Ok(false);
        }
        if self.pause.is_closed(at) {
            return Ok(true);
        }
        let next = self.next(open);
        let next = next.map_err(|refusal| Failed { source: self.source, refusal })?;
        let Some(frame) = next else { return Ok(false) };
        let factor = self.factor * self.fade.factor(at) * self.pause.factor(at) * ducked;
        for (heard, sample) in heard.iter_mut().zip(frame) {
            *heard += sample * factor;
        }
        Ok(true)
    }

    /// The next frame of the source, going back where it is repeated.
    fn next(&mut self, open: &mut dyn Open) -> Result<Option<Frame>, Refusal> {
        let Some(repeat) = self.repeat else { return self.going.next(&self.kept) };
        if self.place == repeat.goes && self.coming.is_none() {
            self.coming = Some(if self.keeps {
                Tape::Kept(0)
            } else {
                Tape::Source(Box::new(stream(open, self.source, repeat.comes, self.fold)?))
            });
        }
        let going = self.going.next(&self.kept)?;
        // One that is at its end is silent for the rest of the crossfade.
        let silent_behind = going.unwrap_or([0.0, 0.0]);
        if self.keeps && self.place >= repeat.comes && matches!(self.going, Tape::Source(_)) {
            self.kept.push(silent_behind);
        }
        self.place += 1;
        let Some(coming) = &mut self.coming else { return Ok(going) };
        let going = silent_behind;
        let Some(came) = coming.next(&self.kept)? else { return Ok(None) };
        let done = self.place - repeat.goes;
        let (down, up) = seam(done as f64 / repeat.crossfade as f64, repeat.alike);
        let frame = [going[0] * down + came[0] * up, going[1] * down + came[1] * up];
        if done >= repeat.crossfade
            && let Some(coming) = self.coming.take()
        {
            self.going = coming;
            self.place = repeat.comes + repeat.crossfade;
        }
        Ok(Some(frame))
    }
}

/// What counts of that which goes and that which comes, at a part of a crossfade of two that are so
/// alike. The power of the sum, `a² + b² + 2 a b alike` for two of one power, stays what it is.
fn seam(part: f64, alike: f64) -> (f32, f32) {
    let (up, down) = libm::sincos(FRAC_PI_2 * part.clamp(0.0, 1.0));
    let power = (1.0 + 2.0 * up * down * alike).sqrt();
    ((down / power) as f32, (up / power) as f32)
}

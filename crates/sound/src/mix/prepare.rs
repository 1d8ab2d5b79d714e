//! What each source has to be changed by, found before anything is rendered.

use std::collections::HashMap;

use super::limiter::{LATENCY, Limiter};
use super::meter::Meter;
use super::stream::{Fold, Stream};
use super::{
    Bed, Dbtp, Decibels, Failed, Frame, Level, Lufs, Open, Repeat, Score, amplitude, decibels,
    frames,
};
use crate::refusal::Refusal;

/// How near a limited voice is brought to its loudness, in LU.
const NEAR: f64 = 0.1;
/// So often the gain is made up for what the limiter takes.
const MOST_ROUNDS: usize = 6;
/// The limiter is not driven further than this above the plain gain, in dB: what does not get loud
/// enough by then is no voice with a few peaks but one peak with a little voice.
const MOST_MADE_UP: f64 = 6.0;
/// The shortest crossfade of a loop, in frames: 5 ms.
const SHORTEST_CROSSFADE: u64 = 240;
/// The longest, in frames: a minute. It bounds the memory in which the ends are compared.
const LONGEST_CROSSFADE: u64 = 2_880_000;

/// How a source was brought to its level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Brought {
    /// How loud it is by itself, as it is heard; `None` where it is silent or shorter than 0.4 s.
    pub found: Option<Lufs>,
    /// What it is changed by.
    pub gain: Decibels,
    /// How loud it is then; `None` as above.
    pub loudness: Option<Lufs>,
    /// Its true peak then; `None` where it is silent, and for music, whose peaks count in the whole
    /// only.
    pub true_peak: Option<Dbtp>,
    /// By how much the limiter takes down its highest peak; `None` where a plain gain is enough.
    pub limited: Option<Decibels>,
}

/// A score that is ready to be rendered.
#[derive(Clone, Debug)]
pub struct Prepared {
    pub(super) score: Score,
    /// For each voice.
    pub(super) voices: Vec<(Brought, Change)>,
    /// For each bed.
    pub(super) beds: Vec<(Brought, Change, Option<Loop>)>,
}

/// What a source is changed by while it plays.
#[derive(Clone, Copy, Debug)]
pub(super) struct Change {
    pub(super) factor: f32,
    /// The true peak that a limiter holds it to, in dBTP.
    pub(super) limit: Option<f64>,
}

/// What of a bed is repeated, in frames.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Loop {
    /// Where the crossfade begins in what goes.
    pub(super) goes: u64,
    /// Where it begins in what comes.
    pub(super) comes: u64,
    pub(super) crossfade: u64,
    /// How alike the two are, from 0 to 1.
    pub(super) alike: f64,
}

impl Prepared {
    /// How each voice of the score was brought to its level, in the score's order.
    pub fn voices(&self) -> impl Iterator<Item = &Brought> {
        self.voices.iter().map(|(brought, _)| brought)
    }

    /// The same for each bed.
    pub fn beds(&self) -> impl Iterator<Item = &Brought> {
        self.beds.iter().map(|(brought, ..)| brought)
    }
}

/// Measures every source of a score as it will be heard, and finds what it has to be changed by.
/// `done` is told after each voice and bed.
///
/// # Errors
/// Every source that cannot be played, each once, and why.
pub fn prepare(
    score: Score,
    open: &mut impl Open,
    mut done: impl FnMut(),
) -> Result<Prepared, Vec<Failed>> {
    let fold = fold_of(&score);
    let mut failed: Vec<Failed> = Vec::new();
    let mut known: HashMap<(usize, u64, bool), (Brought, Change)> = HashMap::new();
    let mut voices = Vec::with_capacity(score.voices.len());
    for voice in &score.voices {
        let key = key(voice.source, voice.level);
        if let Some(brought) = known.get(&key) {
            voices.push(*brought);
        } else if !failed.iter().any(|failed| failed.source == voice.source) {
            let mut play = || stream(open, voice.source, 0, fold);
            match bring_voice(&mut play, voice.level, score.peak.get()) {
                Ok(brought) => voices.push(*known.entry(key).or_insert(brought)),
                Err(refusal) => failed.push(Failed { source: voice.source, refusal }),
            }
        }
        done();
    }
    let mut beds: Vec<(Brought, Change, Option<Loop>)> = Vec::with_capacity(score.beds.len());
    for (number, bed) in score.beds.iter().enumerate() {
        let same = |other: &Bed| {
            let how = (other.source, other.level, other.repeat);
            how == (bed.source, bed.level, bed.repeat)
        };
        let known = score.beds.iter().take(number).position(same);
        if let Some(brought) = known.and_then(|known| beds.get(known)) {
            beds.push(*brought);
        } else if !failed.iter().any(|failed| failed.source == bed.source) {
            let mut play = || stream(open, bed.source, 0, fold);
            match bring_bed(&mut play, bed.level, bed.repeat) {
                Ok(brought) => beds.push(brought),
                Err(refusal) => failed.push(Failed { source: bed.source, refusal }),
            }
        }
        done();
    }
    if failed.is_empty() { Ok(Prepared { score, voices, beds }) } else { Err(failed) }
}

fn key(source: usize, level: Level) -> (usize, u64, bool) {
    match level {
        Level::Gain(gain) => (source, gain.get().to_bits(), true),
        Level::Loudness(target) => (source, target.get().to_bits(), false),
    }
}

pub(super) fn fold_of(score: &Score) -> Fold {
    if score.apart { Fold::Middle } else { Fold::Sides }
}

pub(super) fn stream(
    open: &mut dyn Open,
    source: usize,
    from: u64,
    fold: Fold,
) -> Result<Stream, Refusal> {
    Stream::open(open(source).map_err(Refusal::Unreadable)?, from, fold)
}

/// What a source measures when it is played.
struct Shown {
    loudness: Option<Lufs>,
    true_peak: Option<Dbtp>,
    lowest: f64,
}

fn play_through(mut stream: Stream, change: Option<Change>) -> Result<Shown, Refusal> {
    let mut meter = Meter::exact();
    let mut limiter = change.and_then(|change| change.limit).map(Limiter::new);
    let factor = change.map_or(1.0, |change| change.factor);
    let mut take = |frame: Frame, limiter: &mut Option<Limiter>| match limiter {
        Some(limiter) => {
            if let Some(frame) = limiter.take(frame) {
                meter.take(frame);
            }
        }
        None => meter.take(frame),
    };
    while let Some(frame) = stream.next()? {
        take(frame.map(|sample| sample * factor), &mut limiter);
    }
    if limiter.is_some() {
        for _ in 0..LATENCY {
            take([0.0, 0.0], &mut limiter);
        }
    }
    let lowest = limiter.map_or(1.0, |limiter| limiter.lowest());
    Ok(Shown { loudness: meter.loudness(), true_peak: meter.true_peak(), lowest })
}

fn plain_gain(level: Level, found: Option<Lufs>) -> f64 {
    match (level, found) {
        (Level::Gain(gain), _) => gain.get(),
        (Level::Loudness(target), Some(found)) => target.get() - found.get(),
        // What has no loudness is left as it is.
        (Level::Loudness(_), None) => 0.0,
    }
}

fn bring_voice(
    play: &mut dyn FnMut() -> Result<Stream, Refusal>,
    level: Level,
    peak: f64,
) -> Result<(Brought, Change), Refusal> {
    let found = play_through(play()?, None)?;
    let plain = plain_gain(level, found.loudness);
    let plain_peak = found.true_peak.map(|there| there.get() + plain);
    if plain_peak.is_none_or(|there| there <= peak) {
        let brought = Brought {
            found: found.loudness,
            gain: Decibels::of(plain),
            loudness: found.loudness.and_then(|there| Lufs::new(there.get() + plain)),
            true_peak: plain_peak.and_then(Dbtp::new),
            limited: None,
        };
        return Ok((brought, Change { factor: amplitude(plain) as f32, limit: None }));
    }
    let mut gain = plain;
    let mut best: Option<(f64, Brought, Change)> = None;
    for _ in 0..MOST_ROUNDS {
        let change = Change { factor: amplitude(gain) as f32, limit: Some(peak) };
        let shown = play_through(play()?, Some(change))?;
        let brought = Brought {
            found: found.loudness,
            gain: Decibels::of(gain),
            loudness: shown.loudness,
            true_peak: shown.true_peak,
            limited: Some(Decibels::of(-decibels(shown.lowest))),
        };
        let missing = match (level, shown.loudness) {
            (Level::Loudness(target), Some(there)) => target.get() - there.get(),
            _ => 0.0,
        };
        if best.is_none_or(|(least, ..)| missing.abs() < least) {
            best = Some((missing.abs(), brought, change));
        }
        let next = (gain + missing).min(plain + MOST_MADE_UP);
        if missing.abs() <= NEAR || (next - gain).abs() < NEAR / 10.0 {
            break;
        }
        gain = next;
    }
    let (_, brought, change) = best.ok_or(Refusal::Empty)?;
    Ok((brought, change))
}

fn bring_bed(
    play: &mut dyn FnMut() -> Result<Stream, Refusal>,
    level: Level,
    repeat: Option<Repeat>,
) -> Result<(Brought, Change, Option<Loop>), Refusal> {
    let mut meter = Meter::exact();
    let mut stream = play()?;
    let mut length = 0;
    while let Some(frame) = stream.next()? {
        meter.take(frame);
        length += 1;
    }
    let found = meter.loudness();
    let gain = plain_gain(level, found);
    let brought = Brought {
        found,
        gain: Decibels::of(gain),
        loudness: found.and_then(|there| Lufs::new(there.get() + gain)),
        true_peak: None,
        limited: None,
    };
    let change = Change { factor: amplitude(gain) as f32, limit: None };
    let placed = repeat.and_then(|repeat| place(repeat, length));
    let placed = match placed {
        Some(placed) => Some(Loop { alike: alike(play()?, placed)?, ..placed }),
        None => None,
    };
    Ok((brought, change, placed))
}

/// Where the crossfade of a loop lies in a source of so many frames; `None` where nothing is left to
/// be repeated.
fn place(repeat: Repeat, length: u64) -> Option<Loop> {
    let (from, to) = (frames(repeat.from), frames(repeat.to).min(length));
    let period = to.checked_sub(from).filter(|period| *period >= SHORTEST_CROSSFADE)?;
    let wanted = frames(repeat.crossfade).clamp(SHORTEST_CROSSFADE, LONGEST_CROSSFADE).min(period);
    let before = wanted.min(from);
    let behind = (wanted - before).min(length - to);
    // With nothing before and nothing behind, what comes is faded in alone.
    let crossfade = (before + behind).max(SHORTEST_CROSSFADE);
    Some(Loop { goes: to - before, comes: from - before, crossfade, alike: 0.0 })
}

/// How alike two pieces of a source are: their correlation, from 0 (nothing to do with each other,
/// or opposed) to 1 (the same).
fn alike(mut stream: Stream, placed: Loop) -> Result<f64, Refusal> {
    // The pieces may overlap; only the earlier one has to be remembered.
    let (mut earlier, mut products, mut one, mut other) = (Vec::new(), 0.0, 0.0, 0.0);
    let mut at = 0;
    while at < placed.goes + placed.crossfade {
        let Some([left, right]) = stream.next()? else { break };
        let middle = left + right;
        if (placed.comes..placed.comes + placed.crossfade).contains(&at) {
            earlier.push(middle);
        }
        if let Some(place) = at.checked_sub(placed.goes) {
            let there = usize::try_from(place).ok().and_then(|place| earlier.get(place));
            let (a, b) = (f64::from(middle), f64::from(there.copied().unwrap_or(0.0)));
            products += a * b;
            one += a * a;
            other += b * b;
        }
        at += 1;
    }
    let power = (one * other).sqrt();
    Ok(if power > 0.0 { (products / power).clamp(0.0, 1.0) } else { 0.0 })
}

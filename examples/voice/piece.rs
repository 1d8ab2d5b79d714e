//! The pieces of music: chords held by strings, and their tones plucked one after the other. They
//! are made up, as their composers are.

use crate::tones::{RATE, Round, Tone, Touch, frames, smooth};

/// A piece: it comes up, goes round once, goes on for as long as a crossfade takes, and dies away.
pub(crate) struct Piece {
    pub(crate) name: &'static str,
    /// The chords, each for one bar: semitones above A (440 Hz is 0), the lowest first.
    chords: &'static [[f64; 4]],
    /// Seconds of a bar.
    bar: f64,
    /// Which tones of the chord are plucked, in which order, evenly over the bar.
    plucked: &'static [usize],
    /// How loud these are beside the strings.
    bright: f64,
}

/// Seconds in which a piece comes up.
const UP: f64 = 2.0;
/// Seconds behind the round that sound like its beginning: room for a crossfade.
const CROSS: f64 = 2.0;
/// Seconds in which it dies away where it is not repeated.
const AWAY: f64 = 3.0;

pub(crate) const PIECES: &[Piece] = &[
    Piece {
        name: "westering",
        chords: &[
            [-19.0, -12.0, -3.0, 4.0],
            [-22.0, -10.0, -3.0, 2.0],
            [-24.0, -12.0, -5.0, 4.0],
            [-17.0, -10.0, -1.0, 2.0],
            [-19.0, -12.0, -3.0, 0.0],
            [-22.0, -10.0, -7.0, 2.0],
            [-26.0, -14.0, -5.0, -2.0],
            [-17.0, -10.0, -5.0, -1.0],
        ],
        bar: 4.8,
        plucked: &[0, 1, 2, 3, 2, 1, 3, 2],
        bright: 0.5,
    },
    Piece {
        name: "salt-road",
        chords: &[
            [-21.0, -9.0, -2.0, 3.0],
            [-21.0, -9.0, -4.0, 3.0],
            [-25.0, -13.0, -4.0, 0.0],
            [-18.0, -11.0, -6.0, 1.0],
            [-21.0, -9.0, -2.0, 3.0],
            [-16.0, -9.0, -4.0, 0.0],
            [-23.0, -11.0, -6.0, 1.0],
            [-21.0, -9.0, -2.0, 3.0],
        ],
        bar: 3.6,
        plucked: &[0, 2, 1, 2, 3, 2],
        bright: 0.7,
    },
    Piece {
        name: "slow-water",
        chords: &[
            [-24.0, -12.0, -8.0, -1.0],
            [-19.0, -7.0, -3.0, 4.0],
            [-24.0, -12.0, -5.0, 4.0],
            [-17.0, -10.0, -5.0, 2.0],
        ],
        bar: 8.0,
        plucked: &[3, 2, 1, 2],
        bright: 0.3,
    },
    Piece {
        name: "homeward-light",
        chords: &[
            [-17.0, -10.0, -1.0, 2.0],
            [-19.0, -7.0, -3.0, 4.0],
            [-20.0, -8.0, -1.0, 4.0],
            [-15.0, -8.0, -3.0, 1.0],
            [-22.0, -10.0, -3.0, 2.0],
            [-24.0, -12.0, -5.0, 2.0],
            [-19.0, -7.0, 0.0, 4.0],
            [-17.0, -10.0, -3.0, 2.0],
        ],
        bar: 4.4,
        plucked: &[0, 1, 2, 3, 1, 2, 3, 2],
        bright: 0.6,
    },
];

impl Piece {
    /// What is repeated, once round.
    pub(crate) fn round(&self) -> Round {
        let mut round = Round::new(self.turn());
        for (number, chord) in self.chords.iter().enumerate() {
            let at = number as f64 * self.bar;
            for (voice, height) in chord.iter().enumerate() {
                // A chord is still heard while the next one comes up.
                let touch = Touch::Bowed {
                    swell: self.bar * 0.35,
                    held: self.bar * 0.4,
                    away: self.bar * 0.6,
                };
                let loud = if voice == 0 { 0.30 } else { 0.20 };
                round.add(&Tone { at, height: *height, loud, touch });
            }
            let step = self.bar / self.plucked.len() as f64;
            for (number, voice) in self.plucked.iter().enumerate() {
                let Some(height) = chord.get(*voice) else { continue };
                let touch = Touch::Plucked { third: 0.7 };
                // An octave above the strings; the first of a bar a little louder.
                let loud = self.bright * if number == 0 { 0.24 } else { 0.16 };
                round.add(&Tone {
                    at: at + number as f64 * step,
                    height: height + 12.0,
                    loud,
                    touch,
                });
            }
        }
        round
    }

    /// The whole piece, full scale at 1.
    pub(crate) fn play(&self) -> Vec<f64> {
        let round = self.round();
        let (up, all) = (frames(UP), frames(UP) + round.frames() + frames(CROSS) + frames(AWAY));
        // So that what follows the coming up is the round from its beginning.
        let before = round.frames() - up % round.frames();
        (0..all)
            .map(|frame| {
                let begun = smooth((frame as f64 / up as f64).min(1.0));
                let left = smooth(((all - frame) as f64 / frames(AWAY) as f64).min(1.0));
                // A quarter of full scale is enough to work with.
                0.25 * begun * left * round.at(before + frame)
            })
            .collect()
    }

    /// Seconds of the round.
    pub(crate) fn turn(&self) -> f64 {
        self.chords.len() as f64 * self.bar
    }

    /// How it is repeated, as a library writes it.
    pub(crate) fn looped(&self) -> String {
        format!(
            "goes round from {UP} s to {} s, at {RATE} Hz",
            frames(UP + self.turn()) as f64 / f64::from(RATE)
        )
    }
}

//! Where a fader stands over time.

use std::f64::consts::FRAC_PI_2;

use super::{Millis, Span, amplitude, frames};

/// The way of a fader: from 0, closed, to 1, open, in straight lines. What a place on the way means
/// is said by a [`Law`].
#[derive(Clone, Debug)]
pub(super) struct Fader {
    /// Where it stands at which frame; of two at the same frame the later counts.
    points: Vec<(u64, f64)>,
    /// The last point that was passed.
    passed: usize,
}

impl Fader {
    /// One that stands still.
    pub(super) fn at(position: f64) -> Self {
        Self { points: vec![(0, position)], passed: 0 }
    }

    /// One that is open, and closed in these spans, which may overlap and come in any order:
    /// all the way down in `down` and up in `up`.
    pub(super) fn closed_in(spans: &[Span], down: Millis, up: Millis) -> Self {
        let mut sorted: Vec<(u64, u64)> = spans
            .iter()
            .map(|span| (frames(span.from), frames(span.until)))
            .filter(|(from, until)| from < until)
            .collect();
        sorted.sort_unstable();
        let mut joined: Vec<(u64, u64)> = Vec::new();
        for (from, until) in sorted {
            match joined.last_mut() {
                Some(last) if from <= last.1 => last.1 = last.1.max(until),
                _ => joined.push((from, until)),
            }
        }
        let mut fader = Self::at(1.0);
        for (from, until) in joined {
            fader.go(from, 0.0, frames(down));
            fader.go(until, 1.0, frames(up));
        }
        fader
    }

    /// From this frame on it goes to `position`, at the speed that takes `travel` frames for the
    /// whole way. What it was to do later is forgotten.
    pub(super) fn go(&mut self, from: u64, position: f64, travel: u64) {
        let stands = self.look(from, 0);
        self.points.retain(|(frame, _)| *frame < from);
        self.points.push((from, stands));
        let takes = (travel as f64 * (position - stands).abs()).round() as u64;
        self.points.push((from.saturating_add(takes), position));
    }

    /// Where it stands. Frames are asked for in their order.
    pub(super) fn position(&mut self, frame: u64) -> f64 {
        while self.points.get(self.passed + 1).is_some_and(|(next, _)| *next <= frame) {
            self.passed += 1;
        }
        self.look(frame, self.passed)
    }

    /// Where it stands, looked for from this point on.
    fn look(&self, frame: u64, passed: usize) -> f64 {
        let mut before = self.points.get(passed).copied().unwrap_or((0, 1.0));
        for after in self.points.iter().skip(passed + 1) {
            if after.0 > frame {
                let part = (frame - before.0) as f64 / (after.0 - before.0) as f64;
                return before.1 + (after.1 - before.1) * part;
            }
            before = *after;
        }
        before.1
    }
}

/// What a place on the way means.
#[derive(Clone, Copy, Debug)]
pub(super) enum Law {
    /// Closed is so many decibels lower, and the way is even in decibels.
    Decibels(f64),
    /// Closed is silent; two of them that cross keep their power.
    Power,
}

impl Law {
    pub(super) fn amplitude(self, position: f64) -> f64 {
        match self {
            Self::Decibels(depth) => amplitude(-depth * (1.0 - position)),
            Self::Power => libm::sin(FRAC_PI_2 * position),
        }
    }
}

/// A fader with its law, which remembers what it last said: most of the time it stands still.
#[derive(Clone, Debug)]
pub(super) struct Gain {
    fader: Fader,
    law: Law,
    last: (f64, f32),
}

impl Gain {
    pub(super) fn new(fader: Fader, law: Law) -> Self {
        Self { fader, law, last: (1.0, law.amplitude(1.0) as f32) }
    }

    /// The factor at a frame. Frames are asked for in their order.
    pub(super) fn factor(&mut self, frame: u64) -> f32 {
        let position = self.fader.position(frame);
        if position.to_bits() != self.last.0.to_bits() {
            self.last = (position, self.law.amplitude(position) as f32);
        }
        self.last.1
    }

    /// Whether it is closed at a frame. Frames are asked for in their order.
    pub(super) fn is_closed(&mut self, frame: u64) -> bool {
        self.fader.position(frame) <= 0.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn span(from: i64, until: i64) -> Span {
        Span { from: Millis(from), until: Millis(until) }
    }

    #[test]
    fn a_fader_takes_its_time_for_the_whole_way() {
        let mut fader = Fader::closed_in(&[span(1000, 3000)], Millis(300), Millis(1500));
        let mut at = |millis: u64| fader.position(millis * 48);
        assert_eq!(at(0), 1.0);
        assert_eq!(at(1000), 1.0);
        assert!((at(1150) - 0.5).abs() < 1e-12);
        assert_eq!(at(1300), 0.0);
        assert_eq!(at(3000), 0.0);
        assert!((at(3750) - 0.5).abs() < 1e-12);
        assert_eq!(at(4500), 1.0);
        assert_eq!(at(9000), 1.0);
    }

    #[test]
    fn turned_round_half_way_it_goes_on_from_there_at_the_same_speed() {
        let spans = [span(2000, 9000), span(0, 1000)];
        let mut fader = Fader::closed_in(&spans, Millis(300), Millis(2000));
        let mut at = |millis: u64| fader.position(millis * 48);
        assert!((at(2000) - 0.5).abs() < 1e-9);
        assert!((at(2075) - 0.25).abs() < 1e-9);
        assert!(at(2150).abs() < 1e-9);
    }

    #[test]
    fn spans_that_touch_or_overlap_are_one() {
        let spans = [span(0, 1000), span(1000, 2000), span(500, 1500), span(7, 7), span(9, 3)];
        let mut one = Fader::closed_in(&[span(0, 2000)], Millis(100), Millis(100));
        let mut many = Fader::closed_in(&spans, Millis(100), Millis(100));
        for millis in 0..3000 {
            assert_eq!(one.position(millis * 48), many.position(millis * 48));
        }
    }

    #[test]
    fn without_any_time_it_jumps() {
        let mut fader = Fader::closed_in(&[span(10, 20)], Millis(0), Millis(0));
        assert_eq!(fader.position(479), 1.0);
        assert_eq!(fader.position(480), 0.0);
        assert_eq!(fader.position(959), 0.0);
        assert_eq!(fader.position(960), 1.0);
    }

    #[test]
    fn a_crossfade_keeps_the_power() {
        for step in 0..=10 {
            let place = f64::from(step) / 10.0;
            let (one, other) = (Law::Power.amplitude(place), Law::Power.amplitude(1.0 - place));
            assert!((one * one + other * other - 1.0).abs() < 1e-12);
        }
        assert_eq!(Law::Power.amplitude(0.0), 0.0);
        assert!((Law::Decibels(12.0).amplitude(0.0) - amplitude(-12.0)).abs() < 1e-12);
    }
}

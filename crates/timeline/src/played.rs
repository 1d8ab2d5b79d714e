//! What was heard of each piece of music in a flight: what a cue sheet tells.

use earth::Millis;
use plan::{MusicId, MusicOnRadio, Plan};

use crate::flight::{Flight, MusicSpan, Span};

/// What was heard of a piece in a flight.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Played {
    /// Which piece.
    pub music: MusicId,
    /// How often it was played: each time that it began, or that a flight began while it went on.
    pub times: u32,
    /// How long it was heard in all, ducked or not; fades at its ends are not reckoned.
    pub heard: Millis,
    /// How much of that was recorded, and so is in the film.
    pub in_film: Millis,
}

impl Flight {
    /// What was heard of each piece, in the order in which they first began. A piece that is played
    /// once is heard for as long as its recording lasts, where that is known; music that pauses for
    /// a busy radio is not heard meanwhile.
    #[must_use]
    pub fn played(&self, plan: &Plan) -> Vec<Played> {
        let mut all: Vec<Played> = Vec::new();
        for span in &self.music {
            let piece = plan.music.get(span.music.index());
            let once = piece.filter(|piece| piece.repeat.is_none()).and_then(|piece| piece.length);
            let heard = heard(span, once, plan.mix.radio);
            let in_film = heard
                .iter()
                .flat_map(|heard| self.takes.iter().filter_map(|take| take.span.overlap(*heard)));
            let more = Played {
                music: span.music,
                times: 1,
                heard: sum(heard.iter().copied()),
                in_film: sum(in_film),
            };
            match all.iter_mut().find(|played| played.music == span.music) {
                Some(played) => played.add(more),
                None => all.push(more),
            }
        }
        all
    }
}

impl Played {
    /// Adds what was heard of the same piece elsewhere.
    pub fn add(&mut self, more: Self) {
        self.times = self.times.saturating_add(more.times);
        self.heard = self.heard + more.heard;
        self.in_film = self.in_film + more.in_film;
    }
}

fn sum(spans: impl Iterator<Item = Span>) -> Millis {
    spans.fold(Millis::ZERO, |sum, span| sum + span.length())
}

/// When a piece sounds within one of its spans: all of it, without the pauses for the radio, and no
/// longer than a piece lasts that is played once.
fn heard(span: &MusicSpan, once: Option<Millis>, radio: MusicOnRadio) -> Vec<Span> {
    let mut heard = Vec::new();
    let mut from = span.span.from;
    if radio == MusicOnRadio::Paused {
        for pause in &span.ducked {
            heard.push(Span { from, to: pause.from.max(from) });
            from = from.max(pause.to);
        }
    }
    heard.push(Span { from, to: span.span.to.max(from) });
    if let Some(length) = once {
        // What it had of a flight before, it has had: pauses in that are not known here.
        let mut left = length - (span.span.from - span.began);
        for span in &mut heard {
            span.to = span.to.min(span.from + left.max(Millis::ZERO));
            left = left - span.length();
        }
    }
    heard.retain(|span| span.from < span.to);
    heard
}

#[cfg(test)]
mod tests {
    use earth::Utc;
    use plan::MusicId;

    use super::*;

    fn span(from: i64, to: i64) -> Span {
        Span { from: Utc(from), to: Utc(to) }
    }

    fn music(span: Span, began: i64, ducked: &[Span]) -> MusicSpan {
        MusicSpan {
            music: MusicId(0),
            span,
            began: Utc(began),
            rule: None,
            ducked: ducked.to_vec(),
            ended: None,
            followed_by: None,
        }
    }

    #[test]
    fn what_is_repeated_or_of_unknown_length_sounds_all_the_time() {
        let ducked = [span(20_000, 30_000)];
        let piece = music(span(10_000, 90_000), 10_000, &ducked);
        assert_eq!(heard(&piece, None, MusicOnRadio::Ducked), [span(10_000, 90_000)]);
    }

    #[test]
    fn what_is_paused_for_the_radio_does_not_sound_meanwhile() {
        let ducked = [span(20_000, 30_000), span(80_000, 90_000)];
        let piece = music(span(10_000, 90_000), 10_000, &ducked);
        let parts = [span(10_000, 20_000), span(30_000, 80_000)];
        assert_eq!(heard(&piece, None, MusicOnRadio::Paused), parts);
        // It began paused.
        let ducked = [span(10_000, 15_000)];
        let piece = music(span(10_000, 20_000), 10_000, &ducked);
        assert_eq!(heard(&piece, None, MusicOnRadio::Paused), [span(15_000, 20_000)]);
    }

    #[test]
    fn what_is_played_once_is_over_when_its_recording_is() {
        let once = Some(Millis(45_000));
        let piece = music(span(10_000, 90_000), 10_000, &[]);
        assert_eq!(heard(&piece, once, MusicOnRadio::Ducked), [span(10_000, 55_000)]);
        let shorter = music(span(10_000, 20_000), 10_000, &[]);
        assert_eq!(heard(&shorter, once, MusicOnRadio::Ducked), [span(10_000, 20_000)]);
        // A pause puts its end off.
        let paused = music(span(10_000, 90_000), 10_000, &[span(20_000, 30_000)]);
        let parts = [span(10_000, 20_000), span(30_000, 65_000)];
        assert_eq!(heard(&paused, once, MusicOnRadio::Paused), parts);
        // It began in the flight before, and ended there or has 5 s left.
        let older = music(span(60_000, 90_000), 10_000, &[]);
        assert_eq!(heard(&older, once, MusicOnRadio::Ducked), []);
        let older = music(span(50_000, 90_000), 10_000, &[]);
        assert_eq!(heard(&older, once, MusicOnRadio::Ducked), [span(50_000, 55_000)]);
    }
}

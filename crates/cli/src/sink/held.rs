//! Waiting for the take-off, from which the time that people are shown is counted.

use std::collections::VecDeque;

use earth::{Millis, Utc};
use engine::{Change, Event};

/// How much waits for a take-off at most; what is beyond that is shown without the time since
/// take-off, so that memory stays bounded on an aircraft that sits with its power on.
const MOST_WAITING: usize = 20_000;

/// Things in order, each of which wants to know the time since take-off.
///
/// What comes before the take-off waits for it and gets a negative time; what belongs to a flight
/// that never took off goes out with none.
#[derive(Debug)]
pub(crate) struct Held<T> {
    waiting: VecDeque<(Utc, T)>,
    flight: (u32, u32),
}

/// What may go out now, in order, each with its time since take-off.
pub(crate) type Released<T> = Vec<(Option<Millis>, T)>;

impl<T> Held<T> {
    /// Nothing waits.
    pub(crate) const fn new() -> Self {
        Self { waiting: VecDeque::new(), flight: (0, 0) }
    }

    /// A change has come: if it is a take-off or belongs to another flight than what waits, that
    /// goes out.
    pub(crate) fn hear(&mut self, change: &Change) -> Released<T> {
        let flight = (change.run, change.flight);
        if flight != self.flight {
            self.flight = flight;
            return self.release(None);
        }
        if change.event == Event::TookOff {
            let since = change.since_takeoff.unwrap_or_default();
            return self.release(Some(change.effect - since));
        }
        Vec::new()
    }

    /// Lets something wait; what has waited too long goes out.
    pub(crate) fn wait(&mut self, time: Utc, what: T) -> Released<T> {
        self.waiting.push_back((time, what));
        let mut out = Vec::new();
        while self.waiting.len() > MOST_WAITING {
            out.extend(self.waiting.pop_front().map(|(_, what)| (None, what)));
        }
        out
    }

    /// Everything goes out; there will be no take-off.
    pub(crate) fn finish(&mut self) -> Released<T> {
        self.release(None)
    }

    fn release(&mut self, takeoff: Option<Utc>) -> Released<T> {
        self.waiting
            .drain(..)
            .map(|(time, what)| (takeoff.map(|takeoff| time - takeoff), what))
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use earth::Position;

    use super::*;

    fn change(effect: i64, flight: u32, event: Event) -> Change {
        Change {
            effect: Utc(effect),
            own: None,
            run: 1,
            flight,
            since_takeoff: None,
            take: None,
            event,
            rule: None,
            position: Position::of(0.0, 0.0),
            altitude: None,
        }
    }

    #[test]
    fn what_comes_before_take_off_gets_a_negative_time_once_it_is_known() {
        let mut held = Held::new();
        assert!(held.hear(&change(0, 1, Event::RunBegan)).is_empty());
        assert!(held.wait(Utc(0), "began").is_empty());
        assert_eq!(held.hear(&change(5000, 1, Event::TookOff)), [(Some(Millis(-5000)), "began")]);
        assert!(held.finish().is_empty());
    }

    #[test]
    fn a_flight_that_never_took_off_goes_out_without_a_time() {
        let mut held = Held::new();
        held.hear(&change(0, 1, Event::RunBegan));
        held.wait(Utc(0), 1);
        assert_eq!(held.hear(&change(9, 2, Event::FlightBegan)), [(None, 1)]);
        held.wait(Utc(9), 2);
        assert_eq!(held.finish(), [(None, 2)]);
    }

    #[test]
    fn what_waits_is_bounded() {
        let mut held = Held::new();
        let gone: usize = (0..MOST_WAITING + 5).map(|n| held.wait(Utc(0), n).len()).sum();
        assert_eq!(gone, 5);
    }
}

//! What a page keeps of a flight beside its poses and its timeline.

use earth::{Position, Utc};
use engine::{Change, Event, HandOutcome, Notice, Sink, State};
use plan::{Hand, ZoneId};
use timeline::{Flight, Span};

/// What happened once, with the flight it belongs to and where the aircraft was.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Happened<T> {
    /// The run and the flight it belongs to.
    pub flight: (u32, u32),
    /// When.
    pub time: Utc,
    /// Where the aircraft was.
    pub position: Position,
    /// What.
    pub what: T,
}

impl<T> Happened<T> {
    /// Whether it belongs to a flight.
    #[must_use]
    pub fn is_on(&self, flight: &Flight) -> bool {
        self.flight == (flight.run, flight.number)
    }
}

/// What was filmed inside a no-filming zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FilmedInside {
    /// Which zone.
    pub zone: ZoneId,
    /// From when to when.
    pub span: Span,
    /// Whether by hand, where the route allows that.
    pub by_hand: bool,
}

/// What the pilot's hand did, and what was filmed where nothing may be: a sink of the engine.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Watch {
    /// What the pilot's hand did.
    pub hand: Vec<Happened<(Hand, HandOutcome)>>,
    /// What was filmed where nothing may be.
    pub filmed_inside: Vec<Happened<FilmedInside>>,
}

impl Sink for Watch {
    fn change(&mut self, change: &Change) {
        let flight = (change.run, change.flight);
        let (time, position) = (change.effect, change.position);
        match change.event {
            Event::Hand { action, outcome } => {
                self.hand.push(Happened { flight, time, position, what: (action, outcome) });
            }
            Event::FilmedInside { zone, from, to, by_hand } => {
                let what = FilmedInside { zone, span: Span { from, to }, by_hand };
                self.filmed_inside.push(Happened { flight, time, position, what });
            }
            _ => {}
        }
    }

    fn state(&mut self, _: &State<'_>) {}

    fn notice(&mut self, _: &Notice) {}
}

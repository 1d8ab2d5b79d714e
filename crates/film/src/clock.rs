//! From when time is counted in what is handed on.

use earth::Millis;
use timeline::{Flight, Span};

/// From when time is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clock {
    /// From the first moment of the flight, on the ground or in the air.
    Flight,
    /// From take-off, or from the first fix of a run that began in the air. What is before it has
    /// no time.
    TakeOff,
    /// The film's own: all takes, one after the other. What is not recorded has no time.
    Film,
    /// The film's own, of one take.
    Take(u32),
}

/// A part of a flight that has times on a clock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Section {
    /// When, on the flight.
    pub span: Span,
    /// The clock's time at its beginning.
    pub at: Millis,
    /// The take that it is, if it is one.
    pub take: Option<u32>,
}

impl Section {
    /// The clock's time when it ends.
    #[must_use]
    pub fn ends(&self) -> Millis {
        self.at + self.span.length()
    }
}

/// The parts of a flight that have times on a clock, in their order; they do not overlap, on the
/// flight or on the clock.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sections {
    /// The parts.
    pub all: Vec<Section>,
}

/// A span on the clock, and the place in [`Sections::all`] of the section it lies in.
pub(crate) type Placed = (usize, (Millis, Millis));

impl Sections {
    /// Those of a flight. None for a flight that has nothing on that clock: no take, or no such
    /// take, or no take-off.
    #[must_use]
    pub fn of(flight: &Flight, clock: Clock) -> Self {
        let whole = |span: Span| Section { span, at: Millis::ZERO, take: None };
        let takes = |wanted: Option<u32>| {
            let takes = flight.takes.iter();
            let takes = takes.filter(move |take| wanted.is_none_or(|it| it == take.number));
            let mut at = Millis::ZERO;
            takes
                .map(|take| {
                    let section = Section { span: take.span, at, take: Some(take.number) };
                    at = section.ends();
                    section
                })
                .collect()
        };
        let all = match clock {
            Clock::Flight => vec![whole(flight.span)],
            Clock::TakeOff => flight
                .zero
                .map(|zero| whole(Span { from: zero, to: flight.span.to }))
                .into_iter()
                .collect(),
            Clock::Film => takes(None),
            Clock::Take(number) => takes(Some(number)),
        };
        Self { all }
    }

    /// How long it is on the clock.
    #[must_use]
    pub fn length(&self) -> Millis {
        self.all.last().map_or(Millis::ZERO, Section::ends)
    }

    /// Where a span of the flight lies on the clock: not at all, or in one section or several.
    pub(crate) fn place(&self, span: Span) -> impl Iterator<Item = Placed> {
        self.all.iter().enumerate().filter_map(move |(place, section)| {
            let both = section.span.overlap(span)?;
            let from = section.at + (both.from - section.span.from);
            Some((place, (from, from + both.length())))
        })
    }
}

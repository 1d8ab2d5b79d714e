//! What a flight was made of: shots, takes, narrations, music, titles, stills, each from when to
//! when.
//!
//! The engine tells changes; whoever mixes, cuts, captions or counts needs spans. A [`Builder`] is
//! the engine's sink that makes them; [`Timeline::of`] makes them of changes that were kept.
//!
//! Times are the engine's: whole milliseconds, UTC, when a thing took effect. Nothing is rounded
//! and nothing is joined: two spans of one channel that touch are two because something changed
//! there. All spans run from their first moment up to, but without, their last.
//!
//! Everything belongs to one flight. What goes on when a new flight begins (a camera live, music,
//! a title, a busy radio) ends with the one and begins with the other, and tells of when it began
//! for itself. What a new flight cuts off (a take, a narration) belongs to the flight before.
//!
//! ```
//! use earth::{Millis, Utc};
//! use timeline::Span;
//!
//! let take = Span { from: Utc(60_000), to: Utc(90_000) };
//! let narration = Span { from: Utc(85_000), to: Utc(99_000) };
//! assert_eq!(take.overlap(narration), Some(Span { from: Utc(85_000), to: Utc(90_000) }));
//! assert_eq!(take.length(), Millis::from_secs(30));
//! ```

mod builder;
mod flight;
mod played;
pub mod words;

use engine::Change;
use plan::Plan;

pub use builder::Builder;
pub use flight::{
    Ending, Flight, Landing, MusicSpan, Shot, Span, Still, Stretch, Take, Telling, TitleSpan,
    Untold, Visit, Waited,
};
pub use played::Played;

/// The flights of everything that was flown, in order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Timeline {
    /// The flights; the time on the ground after one belongs to it until the next begins.
    pub flights: Vec<Flight>,
}

impl Timeline {
    /// The timeline of changes as the engine told them, in their order. What is still going on
    /// after the last of them ends with it.
    #[must_use]
    pub fn of(plan: &Plan, changes: &[Change]) -> Self {
        let mut builder = Builder::new(plan);
        for change in changes {
            builder.take_up(change);
        }
        builder.finish()
    }

    /// The flights that were in the air at all.
    pub fn flown(&self) -> impl Iterator<Item = &Flight> {
        self.flights.iter().filter(|flight| flight.zero.is_some())
    }
}

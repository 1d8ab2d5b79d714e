//! Times for a track that has none.

use earth::{Fix, MetresPerSecond, Millis, Position, SourceHeading, Utc, geodesic};

use crate::point::SPEED;

/// How times are made for a file that has none: a groundspeed, and when the first point was.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MadeTimes {
    pub(crate) groundspeed: MetresPerSecond,
    pub(crate) start: Utc,
}

/// The groundspeed is not above nought, or above 1000 m/s.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("a groundspeed for making times must be above 0 and not above 1000 m/s")]
pub struct GroundspeedError;

impl MadeTimes {
    /// 2000-01-01T00:00:00Z, when made times begin unless something else is said.
    pub const START: Utc = Utc(946_684_800_000);

    /// Times at this groundspeed, from [`MadeTimes::START`].
    ///
    /// # Errors
    /// [`GroundspeedError`] for a speed that is not above nought, or above 1000 m/s.
    pub fn at(groundspeed: MetresPerSecond) -> Result<Self, GroundspeedError> {
        if groundspeed.get() > 0.0 && SPEED.contains(&groundspeed.get()) {
            Ok(Self { groundspeed, start: Self::START })
        } else {
            Err(GroundspeedError)
        }
    }

    /// The same from another time.
    #[must_use]
    pub const fn from(self, start: Utc) -> Self {
        Self { start, ..self }
    }
}

/// Stamps points with the time at which they are reached.
pub(crate) struct Clock {
    how: MadeTimes,
    last: Option<(Position, Utc)>,
    metres: f64,
}

impl Clock {
    pub(crate) const fn new(how: MadeTimes) -> Self {
        Self { how, last: None, metres: 0.0 }
    }

    /// The fix with its time: the geodesic distance from point to point up to here, over the
    /// groundspeed, and later than the one before, also where both are at one place. A speed that
    /// the file gives is left out, as it belongs to other times.
    pub(crate) fn stamp(&mut self, fix: Fix) -> Fix {
        if let Some((last, _)) = self.last {
            self.metres += geodesic::inverse(last, fix.position).distance.get();
        }
        let flown = Millis::from_secs_f64(self.metres / self.how.groundspeed.get());
        let time = self.how.start + flown;
        let time = self.last.map_or(time, |(_, last)| time.max(last + Millis(1)));
        self.last = Some((fix.position, time));
        let heading = fix.heading.map(|heading| SourceHeading { time, ..heading });
        Fix { time, groundspeed: None, heading, ..fix }
    }
}
